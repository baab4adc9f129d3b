"""Gold by area, against an old handbook's figure."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.formulas.toning import gold_needed_mg
from catalog.measures import parse_size
from catalog.quantities import parse_residue, parse_weight


def test_a_grain_tones_a_sheet_of_albumen_paper() -> None:
    # Elementary Photography (public domain): one grain of gold chloride a sheet; 22 x 17 in is assumed. Worked:
    # 64.8 mg / 0.2413 m² = 268.6 mg/m².
    height, width = parse_size("22x17in")
    assert height * width / 10**12 == pytest.approx(0.2413, abs=5e-5)
    assert gold_needed_mg(height * width, parse_residue("268.6 mg/m2")) == parse_weight("1 grain") == 65


@given(st.integers(0, 10**13), st.integers(0, 10**5))
def test_twice_the_area_takes_twice_the_gold(area: int, rate: int) -> None:
    assert abs(gold_needed_mg(2 * area, rate) - 2 * gold_needed_mg(area, rate)) <= 1


def test_no_gold_for_less_than_nothing() -> None:
    with pytest.raises(ValueError):
        gold_needed_mg(-1, 1)
