"""Values read off one's own calibration: within it, in order, and none where a clean piece is read."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.errors import TirageError
from catalog.quantities import format_residue, parse_residue
from catalog.records import calibrations
from catalog.records.calibrations import Point
from catalog.rules import measured_residue
from tests.process_sample import Studio, event


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Studio]:
    """Strips whose densities scatter a little, the clean ones too."""
    made = Studio(Path(tmp_path_factory.mktemp("residue")) / "catalog")
    rng = random.Random(5)
    points = [
        Point(max(0, round(200 * micrograms + 50 + rng.gauss(0, 10))), micrograms * 1_000)
        for micrograms in (0, 0, 1, 1, 2, 2, 4, 4)
    ]
    calibrations.add(made.connection, event(1), "noisy", "stain", points)
    yield made
    made.connection.close()


def read_off(studio: Studio, gained: float) -> int | None:
    try:
        return measured_residue.stained(studio.connection, f"{gained:.6f}", "0", "noisy").value
    except TirageError:
        return None


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.floats(0, 0.2), st.floats(0, 0.2))
def test_a_darker_stain_is_never_less_and_nothing_is_told_beyond(studio: Studio, one: float, other: float) -> None:
    light, dark = sorted((one, other))
    low, high = read_off(studio, light), read_off(studio, dark)
    for value in (low, high):
        assert value is None or 0 <= value <= 4_000
    assert low is None or high is None or low <= high


def test_a_clean_piece_that_reads_a_little_low_holds_none(studio: Studio) -> None:
    calibration = calibrations.named(studio.connection, "noisy")
    through = measured_residue.line_of(studio.connection, calibration)
    assert read_off(studio, through.at(0) - 0.99 * through.margin(0)) == 0
    assert read_off(studio, through.at(0) - 1.01 * through.margin(0)) is None


def test_of_a_few_strips_a_clean_piece_is_seldom_refused(studio: Studio) -> None:
    """With four strips the line itself is hardly known; 95 % limits refuse a fortieth of clean pieces."""
    rng, refused = random.Random(3), 0
    for number in range(60):
        points = [Point(round(50 + 200 * known + rng.gauss(0, 5)), known * 1_000) for known in (0, 1, 2, 4)]
        calibrations.add(studio.connection, event(1), f"few{number}", "stain", points)
        try:
            measured_residue.stained(studio.connection, f"{(50 + rng.gauss(0, 5)) / 1_000:.6f}", "0", f"few{number}")
        except TirageError:
            refused += 1
    assert refused <= 3


def test_interval_is_told(studio: Studio) -> None:
    told = measured_residue.stained(studio.connection, "0.045", "0", "noisy").told
    assert "±" in told and "(95 %)" in told and told.startswith("on “noisy”: ")


@given(st.integers(0, 10**6))
def test_residue_as_it_is_shown_reads_back(nanograms: int) -> None:
    assert parse_residue(format_residue(nanograms)) == nanograms


@given(st.integers(0, 10**6), st.sampled_from(["ion", "anhydrous", "crystals", "ammonium"]))
def test_both_sides_are_twice_one(nanograms: int, basis: str) -> None:
    text = format_residue(nanograms)
    one, both = (measured_residue.typed(text, "hypo", basis, sides).value for sides in ("one", "both"))
    assert abs(one - 2 * both) <= 1
