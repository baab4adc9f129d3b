"""Straight lines and Student's t, against an independent library and a worked series."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from catalog.formulas.fits import line, t_quantile

# Strips with 0, 1, 2 and 4 µg/cm² whose stain gained 0, 0.02, 0.04 and 0.08 (an invented calibration): density, µg/cm².
STRIPS = [(0.0, 0.00), (1.0, 0.02), (2.0, 0.04), (4.0, 0.08)]
READ_OFF = [(0.028, 1.40), (0.05, 2.50)]
# Student's t, two-sided 95 %, as printed in any table of it: degrees of freedom, value.
PRINTED = [(1, 12.706), (2, 4.303), (3, 3.182), (4, 2.776), (5, 2.571), (10, 2.228), (30, 2.042)]

pairs = st.lists(st.tuples(st.floats(0, 50), st.floats(0, 2)), min_size=4, max_size=12, unique_by=lambda p: round(p[0]))


@pytest.mark.parametrize(("density", "left"), READ_OFF)
def test_strips(density: float, left: float) -> None:
    through = line(STRIPS)
    assert through.slope == pytest.approx(0.020) and through.deviation == pytest.approx(0, abs=1e-12)
    assert through.inverse(density) == pytest.approx(left)


@given(pairs)
def test_line_as_another_library_has_it(points: list[tuple[float, float]]) -> None:
    ours, theirs = line(points), stats.linregress(*zip(*points, strict=True))
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-7, abs=1e-9)
    assert ours.intercept == pytest.approx(theirs.intercept, rel=1e-7, abs=1e-8)
    assert ours.deviation / ours.spread**0.5 == pytest.approx(theirs.stderr, rel=1e-5, abs=1e-8)


@given(pairs, st.randoms(use_true_random=False))
def test_order_does_not_matter(points: list[tuple[float, float]], shuffler: random.Random) -> None:
    other = points[:]
    shuffler.shuffle(other)
    assert line(other) == line(points)


def test_margin_of_a_further_reading() -> None:
    """Of a line through seeded points, against the textbook's interval worked out with the other library."""
    rng = random.Random(7)
    points = [(x, 0.02 + 0.01 * x + rng.gauss(0, 0.003)) for x in (0, 5, 10, 20, 30, 40)]
    through = line(points)
    theirs = stats.linregress(*zip(*points, strict=True))
    mean = sum(x for x, _ in points) / 6
    residuals = [y - theirs.intercept - theirs.slope * x for x, y in points]
    deviation = (sum(r * r for r in residuals) / 4) ** 0.5
    spread = sum((x - mean) ** 2 for x, _ in points)
    expected = stats.t.ppf(0.975, 4) * deviation * (1 + 1 / 6 + (25 - mean) ** 2 / spread) ** 0.5
    assert through.margin(25) == pytest.approx(expected)
    assert through.inverse_margin(through.at(25)) == pytest.approx(expected / through.slope)


@pytest.mark.parametrize(("freedom", "value"), PRINTED)
def test_t_as_printed(freedom: int, value: float) -> None:
    assert t_quantile(0.975, freedom) == pytest.approx(value, abs=6e-4)


@given(st.floats(0.001, 0.9999), st.integers(1, 500))
def test_t_as_another_library_has_it(probability: float, freedom: int) -> None:
    assert t_quantile(probability, freedom) == pytest.approx(stats.t.ppf(probability, freedom), rel=1e-8, abs=1e-9)


def test_nonsense_is_refused() -> None:
    for points in ([], STRIPS[:2], [(1.0, 1.0)] * 4):
        with pytest.raises(ValueError, match="three points"):
            line(points)
    for probability, freedom in ((0, 3), (1, 3), (0.5, 0)):
        with pytest.raises(ValueError, match="probability"):
            t_quantile(probability, freedom)
