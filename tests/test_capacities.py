"""Capacities of baths, as areas and as sheets, against tables and their own round trips."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.capacities import (
    area_of,
    format_area,
    format_life,
    format_silver_strength,
    parse_capacity,
    parse_coating,
    parse_life,
    parse_share,
    parse_silver_strength,
)
from catalog.errors import NotUnderstood
from catalog.measures import parse_size

# Areas worked out from the inch of 25.4 mm (definition): as typed, square centimetres.
SHEETS = [
    ("1 4x5in", 129), ("1 whole plate", 356), ("1 8x10in", 516), ("1 sheet 11x14in", 994),
    ("1 sheet of 16x20in", 2_065),
    ("1 20x24in", 3_097), ("40 8x10in", 20_645), ("40 sheets 8x10in", 20_645), ("10 24x30cm", 7_200),
    ("2.5m2", 25_000), ("2.5 m²", 25_000), ("5000 cm2", 5_000), ("80 in2", 516), ("1 sq ft", 929),
]  # fmt: skip
WRONG = (
    "2.5",
    "40",
    "40 8x10",
    "40x8x10in",
    "sheets 8x10in",
    "0m2",
    "0 8x10in",
    "2,5m2",
    "-1m2",
    "2.5 parsec",
    "99999999m2",
)


@pytest.mark.parametrize(("typed", "area"), SHEETS)
def test_a_capacity_is_an_area(typed: str, area: int) -> None:
    assert parse_capacity(typed) == (area, False)
    assert parse_capacity(f"{typed}/l") == (area, True)


def test_a_capacity_a_litre_takes_the_volume() -> None:
    assert parse_capacity("50 8x10in per litre").of(2_000) == 51_612  # what a litre takes is rounded first
    assert parse_capacity("50 8x10in").of(None) == 25_806
    with pytest.raises(NotUnderstood, match="--volume"):
        parse_capacity("1 m2 / l").of(None)


@pytest.mark.parametrize("typed", WRONG)
def test_what_is_no_capacity(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="is not a capacity"):
        parse_capacity(typed)


@given(st.integers(1, 500), st.integers(1, 100), st.integers(1, 100))
def test_sheets_are_so_many_times_their_area(count: int, height: int, width: int) -> None:
    assert parse_capacity(f"{count} {height}x{width}cm").area == count * height * width
    assert area_of(*parse_size(f"{height}x{width}cm")) == height * width


@given(st.integers(1, 999) | st.integers(10, 10**6).map(lambda hundreds: hundreds * 100))
def test_areas_come_back_as_written(area: int) -> None:
    assert parse_capacity(format_area(area)).area == area


@given(st.integers(1, 10**6))
def test_silver_comes_back_as_written(milligrams: int) -> None:
    assert parse_silver_strength(format_silver_strength(milligrams)) == milligrams


@given(st.integers(1, 2_000).map(lambda hours: hours * 3_600))
def test_a_life_comes_back_as_written(seconds: int) -> None:
    assert parse_life(format_life(seconds)) == seconds


def test_figures_of_silver_and_life() -> None:
    assert parse_silver_strength("500 mg/l") == parse_silver_strength("0.5g/l") == 500
    assert parse_coating("1.5 g/m²") == 1_500
    assert parse_share("70 %") == parse_share("0.7") == 700
    assert parse_life("7d") == parse_life("1 week") == 604_800
    for parse, typed in (
        (parse_silver_strength, "0.5"), (parse_silver_strength, "0 g/l"), (parse_silver_strength, "0,5g/l"),
        (parse_coating, "1.5 g"), (parse_share, "70"), (parse_share, "120 %"), (parse_life, "2 months"),
        (parse_life, "0d"), (parse_life, "soon"), (parse_life, "30 years"),
    ):  # fmt: skip
        with pytest.raises(NotUnderstood):
            parse(typed)
