"""Recipes rescaled: there and back, shares of a split exposure, and words typed for a recipe."""

from typing import Any, cast

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import NotUnderstood
from catalog.records.densities import parse_readings, parse_tolerance
from catalog.records.recipes import Exposure, Recipe, WhichExposureError, parse_exposures
from catalog.rules.recipes import Asked, Compared, Factor, factors, lines

SPLIT = [
    Exposure("base", "soft", 10_000, None, "", 200_000),
    Exposure("dodge", "soft", None, 333, "face", None),
    Exposure("base", "hard", 6_000, None, "", 100_000),
    Exposure("burn", "hard", None, 500, "sky", None),
]
RECIPE = cast(Recipe, Recipe(*[None] * 5, None, "", None, None, "", 600_000, 2_500, *[None] * 3, *[""] * 7))  # type: ignore[arg-type]


def told(asked: Asked, exposures: list[Exposure] = SPLIT) -> list[Factor]:
    return factors(cast(Any, None), RECIPE, exposures, asked)


def test_each_filter_has_its_own_speed() -> None:
    # Worked, t·P1/P2: soft 10 s, 200 to 250, is 8 s; hard 6 s, 100 to 80, is 7.5 s.
    found = lines(SPLIT, told(Asked(speeds={"soft": 250_000, "hard": 80_000})))
    assert [round(line.milliseconds) for line in found] == [8_000, 7_500]


def test_dodges_and_burns_go_with_their_base() -> None:
    # R. Lambrecht's f/stop table: of 25.4 s, a third of a stop less is 5.2 s held back, half a stop more 10.5 s.
    exposures = parse_exposures(["25.4s"], ["tree 1/3"], ["sky 1/2"], {})
    (line,) = lines(exposures)
    assert [round(part.milliseconds, -2) for part in line.parts] == [5_200, 10_500]


@given(st.integers(100, 10**6), st.integers(100, 10**6))
def test_a_common_factor_leaves_the_shares(old: int, new: int) -> None:
    one = Factor("light", "", old / new, "")
    soft, hard = lines(SPLIT, [one])
    assert hard.milliseconds / (soft.milliseconds + hard.milliseconds) == pytest.approx(6 / 16)
    assert soft.parts[0].milliseconds / soft.milliseconds == pytest.approx(1 - 2 ** (-1 / 3))


@given(st.integers(200_000, 2 * 10**6), st.floats(0.5, 1))
def test_another_distance_and_back(distance: int, exponent: float) -> None:
    there = lines(SPLIT, told(Asked(distance=distance, reciprocity=exponent)))
    moved = RECIPE._replace(distance=distance)
    scaled = [Exposure("base", line.filter, max(1, round(line.milliseconds)), None, "", None) for line in there]
    back = lines(scaled, factors(cast(Any, None), moved, scaled, Asked(distance=600_000, reciprocity=exponent)))
    for line, first in zip(back, (10_000, 6_000), strict=True):
        assert line.milliseconds == pytest.approx(first, rel=0.01)  # a time is kept to a millisecond


PARTS = {
    "sky hard +1/2": ("hard", "sky", 500),
    "hard sky 1/2": ("hard", "sky", 500),
    "left edge soft 1 1/3 stops": ("soft", "left edge", 1_333),
    "upper left soft +¼": ("soft", "upper left", 250),
    "corner 2 hard 0.3": ("hard", "corner 2", 300),
}


@pytest.mark.parametrize("text", PARTS)
def test_a_burn_as_typed(text: str) -> None:
    found = parse_exposures(["soft 10s", "hard 6s"], [], [text], {})
    burn = next(one for one in found if one.kind == "burn")
    assert (burn.filter, burn.area, burn.stops) == PARTS[text]
    assert found[found.index(burn) - 1].filter == burn.filter


BASES = {
    "10s": ("", 10_000),
    "soft 10.5s": ("soft", 10_500),
    "grade 2 10s": ("grade 2", 10_000),
    "grade 2 1:30": ("grade 2", 90_000),
    "sun 2h 5m": ("sun", 7_500_000),
    "00 filter 2m30s": ("00 filter", 150_000),
}


@pytest.mark.parametrize("text", BASES)
def test_an_exposure_as_typed(text: str) -> None:
    (found,) = parse_exposures([text], [], [], {})
    assert (found.filter, found.milliseconds) == BASES[text]


def test_a_burn_names_its_exposure() -> None:
    with pytest.raises(WhichExposureError, match="“soft” or “hard”"):
        parse_exposures(["soft 10s", "hard 6s"], [], ["sky 1/2"], {})


TOLERANCES = {"0.03": {"": 30}, "0.03; shadow 0.06": {"": 30, "shadow": 60}, "upper mid 0.05": {"upper mid": 50}}


@pytest.mark.parametrize("text", TOLERANCES)
def test_a_tolerance_as_typed(text: str) -> None:
    assert parse_tolerance(text) == TOLERANCES[text]


@pytest.mark.parametrize("text", ["much", "0", "shadow", "-0.1", "10"])
def test_no_tolerance(text: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_tolerance(text)


def test_readings_as_typed() -> None:
    assert parse_readings(("Highlight", "0.12", "shadow", "T0.01")) == {"highlight": 120, "shadow": 2_000}
    assert parse_readings(("mid", "0")) == {"mid": 0}


VERDICTS = [(750, 780, 30, "within"), (750, 781, 30, "too dark"), (750, 719, 30, "too light"),
            (None, 700, 30, "not read on both"), (750, 700, None, "no tolerance set")]  # fmt: skip


@pytest.mark.parametrize(("reference", "value", "tolerance", "verdict"), VERDICTS)
def test_a_verdict(reference: int | None, value: int | None, tolerance: int | None, verdict: str) -> None:
    assert Compared("mid", reference, value, tolerance).verdict == verdict
