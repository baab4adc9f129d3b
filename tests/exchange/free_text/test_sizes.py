"""Sizes as people and museums wrote them."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.errors import NotUnderstood
from catalog.exchange.free_text.sizes import read_size
from catalog.measures import format_size, parse_size

# Text -> height and width in micrometres and what is measured, of each size in it; without a doubt.
# First block: open data (CC0) of the Williams College Museum of Art, the Metropolitan Museum of Art, Tate, the Colby
# College Museum of Art and the Historisches Museum Frankfurt, single facts of the Bibliothèque nationale de France;
# inches and centimetres agree there by the museum's own figures. Second: common practice, no source.
READ = [
    ("Overall: 19 1/8 x 28 1/8 in. (48.6 x 71.4 cm)", [(485_775, 714_375, "")]),
    ("sheet: 12 x 12 in. (30.5 x 30.5 cm)\r\nimage: 10 7/8 x 11 in. (27.6 x 27.9 cm)",
     [(304_800, 304_800, "sheet"), (276_225, 279_400, "image")]),
    ("sheet: 17 3/8 x 9 13/16 in. (44.2 x 24.9 cm)\\r\\nplate: 15 1/2 x 9 in. (39.3 x 22.9 cm)",
     [(441_325, 249_238, "sheet"), (393_700, 228_600, "plate")]),
    ("Image: 36.6 x 24.1 cm (14 7/16 x 9 1/2 in.)\nMount: 63 x 45 cm (24 13/16 x 17 11/16 in.)",
     [(366_000, 241_000, "image"), (630_000, 450_000, "mount")]),
    ("Image: 16 3/4 x 22 3/4 in. (42.5 x 57.8 cm) | Sheet: 19 x 24 7/8 in. (48.3 x 63.2 cm)",
     [(425_450, 577_850, "image"), (482_600, 631_825, "sheet")]),
    ("40 1/8 x 28in. (101.9 x 71.1cm)", [(1_019_175, 711_200, "")]),
    ("image: 243 x 335 mm", [(243_000, 335_000, "image")]),
    ("8 1/4 in. x 12 1/4 in. (20.96 cm x 31.12 cm)", [(209_550, 311_150, "")]),
    ("(plate: 133 x 217 mm)", [(133_000, 217_000, "plate")]),
    ("(213 x 124 mm; 219 x 125 mm)", [(213_000, 124_000, ""), (219_000, 125_000, "")]),
    ("Bildmaß: 26 x 22,7 cm; Blattmaß: 30,3 x 26,5 cm; Objektmaß: 53 x 36,1 cm",
     [(260_000, 227_000, "image"), (303_000, 265_000, "sheet"), (530_000, 361_000, "")]),
    ("9 x 18,1 cm (Karton)", [(90_000, 181_000, "mount")]), ("13 x 18 cm (sup.)", [(130_000, 180_000, "")]),
    ("21 1/2 x 17\" (54.7 x 43.2 cm)", [(546_100, 431_800, "")]), ("format 6,5x9 cm", [(65_000, 90_000, "")]),
    ("20.3 x 25.4 cm", [(203_000, 254_000, "")]), ("11 × 14 in.", [(279_400, 355_600, "")]),
    ('8" x 10"', [(203_200, 254_000, "")]), ("8 1/2 x 6½ in", [(215_900, 165_100, "")]),
    ("8-1/2 x 11 inches", [(215_900, 279_400, "")]), ("203 mm x 254 mm", [(203_000, 254_000, "")]),
    ("12,5 x 17,5 cm", [(125_000, 175_000, "")]), ("8 by 10 inches", [(203_200, 254_000, "")]),
    ("18 sur 24 cm", [(180_000, 240_000, "")]), ("20.3cm×25.4cm", [(203_000, 254_000, "")]),
    ("image: 19 x 24 cm; sheet: 20.3 x 25.4 cm", [(190_000, 240_000, "image"), (203_000, 254_000, "sheet")]),
    ("19 x 24 cm image, 20 x 25 cm sheet", [(190_000, 240_000, "image"), (200_000, 250_000, "sheet")]),
    ("20 x 25 cm; sheet 24 x 30 cm", [(200_000, 250_000, ""), (240_000, 300_000, "sheet")]),
    ("H. 20 cm; L. 25 cm", [(200_000, 250_000, "")]), ("H 20 x W 25 cm", [(200_000, 250_000, "")]),
    ("25 (w) x 20 (h) cm", [(200_000, 250_000, "")]), ("B 25 x H 20 cm", [(200_000, 250_000, "")]),
    ("30 x 24 cm (w x h)", [(240_000, 300_000, "")]), ("24 x 30 cm (HxB)", [(240_000, 300_000, "")]),
    ("BxH: 30 x 24 cm", [(240_000, 300_000, "")]), ("24 x 30 cm (haut. x larg.)", [(240_000, 300_000, "")]),
    ("24cmx30cm", [(240_000, 300_000, "")]), ("8 x 10 in. / 20.3 x 25.4 cm", [(203_200, 254_000, "")]),
    ("24 x 30 Zentimeter", [(240_000, 300_000, "")]),
    ("Breite 25 cm, Höhe 20 cm", [(200_000, 250_000, "")]), ("hauteur 20 cm, largeur 25 cm", [(200_000, 250_000, "")]),
]  # fmt: skip

# Text -> size, and a part of the doubt that has to be told.
DOUBTFUL = [
    ("8x10", (203_200, 254_000), "read as in"), ("10 x 8", (254_000, 203_200), "read as in"),
    ("4x5", (101_600, 127_000), "read as in"), ("16×20", (406_400, 508_000), "read as in"),
    ("18x24", (180_000, 240_000), "read as cm"), ("13x18", (130_000, 180_000), "read as cm"),
    ("6,5x9", (65_000, 90_000), "read as cm"), ("6x6", (60_000, 60_000), "read as cm"),
    ("whole plate", (165_100, 215_900), "nominal"), ("Pleine plaque", (165_100, 215_900), "nominal"),
    ("quart de plaque", (82_550, 107_950), "nominal"), ("Ganze Platte", (165_100, 215_900), "nominal"),
    ("half plate UK", (120_650, 165_100), "nominal"), ("A4", (210_000, 297_000), "nominal"),
    ("8 x 10 in. (30.3 x 25.4 cm)", (203_200, 254_000), "do not agree"),
    ("32 x 26 in. (81.3 x 65.1 cm)", (812_800, 660_400), "do not agree"),  # as a museum published it
    ("image 19 x 24, sheet 20 x 25 cm", (190_000, 240_000), "taken from the size after it"),
    ("88 x 119 x 2 mm", (88_000, 119_000), "thickness"), ("c. 20 x 25 cm", (200_000, 250_000), "“c” is not kept"),
    ("20 x 25 cm (approx.)", (200_000, 250_000), "not kept"), ("8x10 in?", (203_200, 254_000), "“?” is not kept"),
    ("11 x 17\" (28 x 43.2 cm) (approx.)", (279_400, 431_800), "not kept"),
    ("6 1/2 x 8 1/2", (165_100, 215_900), "because of its fractions"),
    ("9 x 6½", (90_000, 65_000), "as the trade"), ("oval 10 x 14 cm", (100_000, 140_000), "“oval” is not kept"),
    ("8 x 10 (20.3 x 25.4 cm)", (203_000, 254_000), "in brackets"), ("l3 x 18 cm", (180_000, 30_000), "Only one side"),
    ("19 x 24 (20 x 25) cm", (190_000, 240_000), "taken from the size after it"),
    ("image/sheet: 19 x 24 cm", (190_000, 240_000), "not for the sheet"),
    ("20 x 25 cm, frame 40 x 50 cm", (200_000, 250_000), "frame"),
    ("support: 1017 x 1017 mm\nframe (each): 1097 x 1088 mm", (1_017_000, 1_017_000), "frame"),
]  # fmt: skip

NOT_READ = [
    ("14 x 14", "no unit"), ("886 x 538", "no unit"), ("40,5x50", "no unit"), ("half plate", "half plate us"),
    ("demi-plaque", "half plate us"), ("mammoth plate", "18x22in"), ("7 5/8\" (19.3 cm)", "one side"),
    ("H. 20 cm", "one side"), ("Diam. 24 in. (61 cm)", "Diam"), ("up to 8x10", "up"), ("4x5 and smaller", "smaller"),
    ("24 ft. x 10 in", "unit that is not read"), ("8 x 10 pouces", "unit that is not read"),
    ("1,200 x 800 mm", "thousands"), ("1.200 x 800 mm", "thousands"), ("2 x 13 x 18 cm", "three numbers"),
    ("8x", "lacks"), ("x8", "not understood"), ("0 x 10 cm", "no length"), ("20 x 20 m", "more than 10 m"),
    ("8-10 x 12 in", "not understood"),
    ("8x10x12x14 cm", "more than three"), ("large", "number"), ("Dimensions unavailable", "unavailable"),
    ("", "Nothing"),
    ("frame 40 x 50 cm", "frame only"), ("H 20 x H 25 cm", "height and width"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "sizes"), READ)
def test_sizes_are_read(text: str, sizes: list[tuple[int, int, str]]) -> None:
    reading = read_size(text)
    assert [(one.height, one.width, one.which) for one in (reading, *reading.more)] == sizes
    assert all((one.doubts, one.why_not) == ((), "") for one in (reading, *reading.more))


@pytest.mark.parametrize(("text", "size", "doubt"), DOUBTFUL)
def test_a_choice_is_told(text: str, size: tuple[int, int], doubt: str) -> None:
    reading = read_size(text)
    assert (reading.height, reading.width, reading.why_not) == (*size, "")
    assert any(doubt in said for said in reading.doubts), reading.doubts


@pytest.mark.parametrize(("text", "reason"), NOT_READ)
def test_what_is_not_understood_gives_no_size(text: str, reason: str) -> None:
    reading = read_size(text)
    assert (reading.height, reading.width, reading.more) == (None, None, ())
    assert reason in reading.why_not


def test_the_unit_and_the_order_as_told() -> None:
    assert read_size("8x10", unit="in")[:4] == (203_200, 254_000, "", ())
    assert read_size("18x24", unit="in")[:4] == (457_200, 609_600, "", ())
    assert read_size("8x10 cm", unit="in")[:4] == (80_000, 100_000, "", ())  # what stands there goes first
    assert read_size("20 x 25 cm", width_first=True)[:4] == (250_000, 200_000, "", ())
    assert read_size("H 20 x W 25 cm", width_first=True)[:4] == (200_000, 250_000, "", ())
    assert read_size("14 x 14", unit="furlong").why_not


# Text, the unit of the whole list -> the unit taken, and a part of the doubt, "" where there is none
USUAL = [
    ("8x10", "cm", "in", "where it is cm, say so"), ("4 x 5", "mm", "in", "where it is mm, say so"),
    ("6.5x8.5", "cm", "in", "as the trade sells"), ("3.25x4.25", "cm", "in", "as the trade sells"),
    ("10x8", "cm", "in", "as the trade sells"), ("6 1/2 x 9 1/4", "cm", "in", "because of its fractions"),
    ("8x10", "in", "in", ""), ("18x24", "cm", "cm", ""), ("20.3 x 25.4", "cm", "cm", ""), ("14 x 14", "cm", "cm", ""),
    ("13x18", "in", "in", "may be cm"), ("8.0 x 10.0", "cm", "cm", "may be in"), ("20x25", "in", "in", ""),
]  # fmt: skip


@pytest.mark.parametrize(("text", "usual", "unit", "doubt"), USUAL)
def test_the_unit_of_a_list_is_weaker_than_what_the_trade_sells(text: str, usual: str, unit: str, doubt: str) -> None:
    reading, meant = read_size(text, usual=usual), read_size(text, unit=unit)
    assert (reading.height, reading.width) == (meant.height, meant.width) and not meant.doubts
    assert (doubt in "".join(reading.doubts)) if doubt else reading.doubts == ()
    assert read_size(f"{text} cm", usual=usual)[:2] == read_size(text, unit="cm")[:2]


@given(st.integers(1, 99_999), st.integers(1, 99_999))
def test_sizes_the_catalog_writes_are_read_again(height: int, width: int) -> None:
    text = format_size(height * 100, width * 100)
    if "0.0" in (text.split(" × ")[0], text.split(" × ")[1][:3]):
        return
    assert read_size(text)[:2] == parse_size(text.replace("×", "x"))


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_any_text_is_a_size_or_none(text: str) -> None:
    reading = read_size(text)
    assert bool(reading.why_not) == (reading.height is None) == (reading.width is None)
    try:
        typed = parse_size(text)
    except NotUnderstood:
        return
    assert reading[:2] == typed


WORD_HEAP = '8 10 20.3 1/2 ½ x × cm in. " ( ) ; , image sheet plate frame H W L 8x10 c. ? whole / mm'
pieces = st.sampled_from(WORD_HEAP.split())


@given(st.lists(pieces, max_size=10))
@settings(max_examples=200, deadline=None)
def test_any_heap_of_size_words_is_a_size_or_none(words: list[str]) -> None:
    reading = read_size(" ".join(words))
    assert bool(reading.why_not) == (reading.height is None) == (reading.width is None)


@pytest.mark.parametrize("sign", ["1", "a", " ", "x", "(", "1 ", "1x", "1/", '"', "½"])
def test_ten_thousand_signs_take_no_more_than_a_moment(sign: str) -> None:
    started = time.perf_counter()
    read_size(sign * 10_000)
    read_size((sign * 400)[:400])
    assert time.perf_counter() - started < 1
