"""Densities and density ranges against worked and published figures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.formulas import density as formulas

# Worked from D = −log10 R.
DENSITIES = [(0.90, 0.04576), (0.50, 0.30103), (0.18, 0.74473), (0.10, 1.00000), (0.01, 2.00000), (1, 0)]
# Worked from the split of grades, which is from memory; end points 0.50 and 1.70 are in the Focal Encyclopedia of
# Photography, 4th edition, p. 679.
GRADES = [(1050, 2), (850, 3), (1250, 1), (1800, None), (1700, 0), (500, 5), (499, None), (1150, 1)]
# A specialist printer in the alt-photo-process list, 1996 (2.20 to 2.30 for a plain bath of 10 to 15 %; 1.80), and the
# Focal Encyclopedia (0.50 to 1.70).
NEEDED = [
    ("albumen", 2200, 2300),
    ("salted paper", 2200, 2300),
    ("Salt print, waxed", 2200, 2300),
    ("gelatin-chloride printing-out paper", 1800, 1800),
    ("platinum", 1800, 1800),
    ("gelatin silver", 500, 1700),
    ("silver gelatin", 500, 1700),
    ("carbon", None, None),
    ("", None, None),
]


@pytest.mark.parametrize(("share", "found"), DENSITIES)
def test_density(share: float, found: float) -> None:
    assert formulas.density(share) == pytest.approx(found, abs=5e-6)


@pytest.mark.parametrize("share", [0, -0.1, 1.001])
def test_no_density_of_what_reflects_nothing_or_more_than_all(share: float) -> None:
    with pytest.raises(ValueError):
        formulas.density(share)


@pytest.mark.parametrize(("found", "grade"), GRADES)
def test_grade(found: int, grade: int | None) -> None:
    assert formulas.grade_for(found) == grade


@given(st.integers(500, 1700))
def test_every_range_of_the_span_has_one_grade(found: int) -> None:
    grade = formulas.grade_for(found)
    assert grade is not None
    assert (formulas.grade_for(found + 1) or 0) <= grade


@pytest.mark.parametrize(("process", "least", "most"), NEEDED)
def test_what_a_process_wants(process: str, least: int | None, most: int | None) -> None:
    found = formulas.needed(process)
    assert (found and found.least, found and found.most) == (least, most)
