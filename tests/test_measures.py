"""Lengths and sizes: typed in centimetres or inches, kept in micrometres."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import NotUnderstood
from catalog.measures import (
    format_length,
    format_size,
    parse_length,
    parse_number,
    parse_size,
    rounded,
    trimmed,
    without_commas,
)

# typed, micrometres; the inch is 25.4 mm exactly (edition facts 7.3)
LENGTHS = [
    ("40cm", 400_000), ("406.4 mm", 406_400), ("2mm", 2_000), ("1.5 mm", 1_500), ("1m", 1_000_000),
    ("10 m", 10_000_000),
    ("16in", 406_400), ('16"', 406_400), ("6 1/2 in", 165_100), ("6½in", 165_100), ("6-1/2 inches", 165_100),
    ("1/8 in", 3_175), ("3/16in", 4_763), (".5cm", 5_000), ("40 CM", 400_000),
]  # fmt: skip

# typed, height and width; photographic sheets: 1 in = 25.4 mm; plates: common collectors’ sizes, common practice, no
# source
SIZES = [
    ("40x50cm", 400_000, 500_000), ("40 x 50 cm", 400_000, 500_000), ("40cm x 50cm", 400_000, 500_000),
    ("50x40cm", 500_000, 400_000), ("406.4×508 mm", 406_400, 508_000),
    ("8x10in", 203_200, 254_000), ("11x14in", 279_400, 355_600), ('16x20"', 406_400, 508_000),
    ('16"x20"', 406_400, 508_000), ("20 by 24 in", 508_000, 609_600), ("18x22in", 457_200, 558_800),
    ("6 1/2 x 8 1/2 in", 165_100, 215_900), ("6½x8½in", 165_100, 215_900),
    ("whole plate", 165_100, 215_900), ("Full plate", 165_100, 215_900), ("half plate us", 107_950, 139_700),
    ("US half-plate", 107_950, 139_700), ("half plate uk", 120_650, 165_100), ("quarter plate", 82_550, 107_950),
    ("1/4 plate", 82_550, 107_950), ("sixth plate", 69_850, 82_550), ("eighth plate", 53_975, 82_550),
    ("ninth plate", 50_800, 63_500), ("sixteenth plate", 34_925, 41_275),
    ("A3", 297_000, 420_000), ("A4", 210_000, 297_000), ("a5", 148_000, 210_000), ("Letter", 215_900, 279_400),
]  # fmt: skip

REFUSED_SIZES = [
    ("8x10", "8x10cm"), ("8x", "40x50cm"), ("x8", "40x50cm"), ("8 cm", "40x50cm"), ("0x10cm", "more than nothing"),
    ("-4x5cm", ""), ("20x20m", "at most 10 m"), ("40,5x50cm", "40.5x50cm"), ("40cm x 50", "40cm x 50cm"),
    ("half plate", "half plate uk"), ("1/2 plate", "half plate us"), ("mammoth plate", "18x22in"), ("8x10x12cm", ""),
    ("8x10ft", ""), ("A9", ""), ("6/0x5in", ""), ("٤x٥cm", ""), ("4²x5cm", ""), ("banana", ""), ("", ""),
]  # fmt: skip

# height, width, metric, imperial
WRITTEN = [
    (400_000, 500_000, "40.0 × 50.0 cm", "15¾ × 19 11/16 in"),
    (406_400, 508_000, "40.6 × 50.8 cm", "16 × 20 in"),
    (165_100, 215_900, "16.5 × 21.6 cm", "6½ × 8½ in"),
    (53_975, 82_550, "5.4 × 8.3 cm", "2⅛ × 3¼ in"),
    (210_000, 297_000, "21.0 × 29.7 cm", "8.27 × 11.69 in"),
]


@pytest.mark.parametrize(("text", "micrometres"), LENGTHS)
def test_lengths(text: str, micrometres: int) -> None:
    assert parse_length(text) == micrometres


@pytest.mark.parametrize("text", ["40", "16", "0cm", "-2mm", "10.1m", "2,5cm", "cm", "", "1 2 cm", "3/2in", "5 ft"])
def test_refused_lengths(text: str) -> None:
    with pytest.raises(NotUnderstood, match="is not a length"):
        parse_length(text)


@pytest.mark.parametrize(("text", "height", "width"), SIZES)
def test_sizes_keep_the_order_typed(text: str, height: int, width: int) -> None:
    assert parse_size(text) == (height, width)


@pytest.mark.parametrize(("text", "offer"), REFUSED_SIZES)
def test_refused_sizes(text: str, offer: str) -> None:
    with pytest.raises(NotUnderstood) as problem:
        parse_size(text)
    assert offer in problem.value.expected


@pytest.mark.parametrize(("height", "width", "metric", "imperial"), WRITTEN)
def test_written_sizes(height: int, width: int, metric: str, imperial: str) -> None:
    assert format_size(height, width) == metric
    assert format_size(height, width, units="imperial") == imperial


def test_written_lengths() -> None:
    table = {2_000: "2 mm", 4_763: "4.76 mm", 20_000: "2.0 cm", 400_000: "40.0 cm"}
    assert {micrometres: format_length(micrometres) for micrometres in table} == table
    assert format_length(3_175, units="imperial") == "⅛ in"
    assert format_length(1_588, units="imperial") == "1/16 in"


def test_small_numbers() -> None:
    assert (rounded(5, 2), rounded(-5, 2), rounded(7, 3)) == (3, -3, 2)
    assert (trimmed(1_400, 3), trimmed(-400, 3), trimmed(0, 3), trimmed(7, 0)) == ("1.4", "−0.4", "0", "7")
    numbers = {"6 1/2": (13, 2), "⅓": (1, 3), "2.50": (250, 100), ".": None, "1/0": None}
    assert {text: parse_number(text) for text in numbers} == numbers


sides = st.integers(1_000, 10_000_000)


@given(sides, sides)
def test_centimetres_come_back_within_half_a_millimetre(height: int, width: int) -> None:
    back = parse_size(format_size(height, width)) if max(height, width) < 9_999_500 else (height, width)
    assert all(abs(one - other) <= 500 for one, other in zip(back, (height, width), strict=True))


@given(sides)
def test_inches_come_back_within_a_fifth_of_a_millimetre(side: int) -> None:
    written = format_length(side, units="imperial")
    assert abs(parse_length(written) - side) <= 128 if side < 9_999_000 else written


@given(st.integers(1, 393 * 16), st.integers(1, 393 * 16))
def test_sixteenths_of_an_inch_come_back_exactly(height: int, width: int) -> None:
    first, second = rounded(height * 25_400, 16), rounded(width * 25_400, 16)
    assert parse_size(format_size(first, second, units="imperial")) == (first, second)


@given(st.text(max_size=25))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (parse_length, parse_size):
        try:
            read(text)
        except NotUnderstood as problem:
            assert problem.sentence


# typed with commas -> what is expected; it can be typed as it stands in the sentence
COMMAS = {
    "9,0": "a decimal point, such as 9.0",
    "40,5x50,5cm": "a decimal point, such as 40.5x50.5cm",
    "1.234,5": "no sign between thousands and a decimal point, such as 1234.5",
    "1,234.5 mm": "no sign between thousands and a decimal point, such as 1234.5 mm",
    "1,234,567": "no sign between thousands and a decimal point, such as 1234567",
    "1,234": "a decimal point, such as 1.234, or no sign between thousands, such as 1234",
}


@pytest.mark.parametrize("typed", COMMAS)
def test_a_comma_is_answered_with_what_can_be_typed(typed: str) -> None:
    assert without_commas(typed) == COMMAS[typed]
    with pytest.raises(NotUnderstood, match="expected"):
        parse_length(typed)
