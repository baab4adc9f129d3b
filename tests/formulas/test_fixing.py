"""Silver in fixers and the time of fixing, against worked tables."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.formulas.fixing import area_to_reach, fixing_factor, silver_added, silver_carried

SHEET = 8 * 10 * 6.4516  # an 8 x 10 in sheet, square centimetres

# c = sigma f A / V, computed independently: coating g/m², undeveloped share, sheets 8 x 10 in, litres, g/l of silver.
SILVER = [(1.5, 0.7, 10, 1, 0.5419), (1.5, 0.7, 20, 1, 1.0839), (1.0, 0.8, 50, 1, 2.0645)]
# The same solved for the area: coating, share, g/l, sheets 8 x 10 in a litre.
SHEETS = [(1.5, 0.7, 0.5, 9.23), (1.0, 0.8, 0.5, 12.11), (1.5, 0.7, 2, 36.9), (1.0, 0.8, 2, 48.4)]
# t = t68 2^((68 - F) / 18), US Army TM 11-2323: degrees Fahrenheit, times as long.
COLD = [(68, 1), (59, 1.4142), (50, 2.0), (41, 2.8284), (80, 1)]


@pytest.mark.parametrize(("coated", "share", "sheets", "litres", "silver"), SILVER)
def test_silver_from_an_area(coated: float, share: float, sheets: int, litres: float, silver: float) -> None:
    assert silver_added(coated, share, sheets * SHEET, litres * 1_000) == pytest.approx(silver, abs=5e-5)


@pytest.mark.parametrize(("coated", "share", "rise", "sheets"), SHEETS)
def test_area_to_a_limit(coated: float, share: float, rise: float, sheets: float) -> None:
    assert area_to_reach(coated, share, rise, 1_000) / SHEET == pytest.approx(sheets, rel=2e-3)


def test_silver_carried_into_a_second_fixer() -> None:
    # dc2/dn = (v / V2)(c1 - c2), stepwise, computed independently: c1 from 0 to 2 g/l over 50 sheets, 15 ml, 1 l.
    assert silver_carried(0, 0, 2, 50, 15, 1_000) == pytest.approx(0.6071, abs=5e-5)


@pytest.mark.parametrize(("fahrenheit", "times"), COLD)
def test_fixing_in_the_cold(fahrenheit: float, times: float) -> None:
    assert fixing_factor((fahrenheit - 32) * 5 / 9) == pytest.approx(times, rel=1e-4)


def test_no_figure_below_the_coldest() -> None:
    with pytest.raises(ValueError, match="41 °F"):
        fixing_factor(4.9)


@given(st.floats(0.1, 3), st.floats(0.1, 1), st.floats(0, 5), st.floats(100, 20_000))
def test_area_and_silver_are_each_other_turned_round(coated: float, share: float, rise: float, volume: float) -> None:
    assert silver_added(coated, share, area_to_reach(coated, share, rise, volume), volume) == pytest.approx(rise)


@given(st.floats(0, 3), st.floats(0, 3), st.integers(0, 200), st.floats(0, 100))
def test_a_second_fixer_never_holds_more_than_the_first(
    second: float, first: float, sheets: int, carried: float
) -> None:
    after = silver_carried(second, first, first, sheets, carried, 1_000)
    low, high = sorted((second, first))
    assert low - 1e-9 <= after <= high + 1e-9


@given(st.floats(0, 2), st.floats(0, 2), st.integers(1, 60), st.integers(1, 60))
def test_sheets_in_two_goes_carry_what_they_carry_in_one(start: float, rise: float, one: int, two: int) -> None:
    each = rise / (one + two)
    middle = silver_carried(0, start, start + each * one, one, 30, 2_000)
    whole = silver_carried(0, start, start + rise, one + two, 30, 2_000)
    assert silver_carried(middle, start + each * one, start + rise, two, 30, 2_000) == pytest.approx(whole)


def test_nonsense_is_refused() -> None:
    for call in (
        lambda: silver_added(1, 1.5, 1, 1), lambda: silver_added(1, 0.5, 1, 0), lambda: area_to_reach(0, 0.5, 1, 1),
        lambda: silver_carried(0, 0, 1, 1, 2_000, 1_000), lambda: silver_carried(-1, 0, 1, 1, 1, 1_000),
    ):  # fmt: skip
        with pytest.raises(ValueError, match="0"):
            call()
