"""Decay of what is left in a wash: the fits against an independent library, and what must hold for any readings."""

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats

from catalog.formulas.decay import Decay, enough, fit
from catalog.formulas.diffusion import two_compartments

TIMES = (2, 4, 6, 8, 10, 15, 20, 30, 45, 60, 90)


def one(seed: int, times: tuple[float, ...] = TIMES, scatter: float = 0.1) -> list[tuple[float, float]]:
    rng = random.Random(seed)
    return [(t, 30 * math.exp(-0.05 * t + rng.gauss(0, scatter))) for t in times]


def two(seed: int, times: tuple[float, ...] = TIMES, scatter: float = 0.1) -> list[tuple[float, float]]:
    rng = random.Random(seed)
    return [(t, two_compartments(t, 40, 0.35, 4, 0.035) * math.exp(rng.gauss(0, scatter))) for t in times]


@pytest.mark.parametrize("seed", range(6))
def test_one_exponential_as_another_library_has_it(seed: int) -> None:
    points = one(seed)
    ours = fit(points)
    if ours.left_out:  # one of twenty, as the test for a bend has it
        points = points[ours.left_out :]
    theirs = stats.linregress([t for t, _ in points], [math.log(y) for _, y in points])
    ((amount, rate),) = ours.parts
    assert (amount, rate) == pytest.approx((math.exp(theirs.intercept), -theirs.slope))
    times = [t for t, _ in points]
    mean, spread = np.mean(times), np.sum((np.array(times) - np.mean(times)) ** 2)
    deviation = theirs.stderr * spread**0.5
    margin = (
        stats.t.ppf(0.975, len(points) - 2) * deviation * math.sqrt(1 + 1 / len(points) + (33 - mean) ** 2 / spread)
    )
    low, high = ours.limits(33)
    assert (low, high) == pytest.approx((ours.at(33) * math.exp(-margin), ours.at(33) * math.exp(margin)))


@pytest.mark.parametrize("seed", range(6))
def test_two_exponentials_as_another_library_has_them(seed: int) -> None:
    points = two(seed)
    ours = fit(points)
    times, left = np.array([t for t, _ in points]), np.log([y for _, y in points])

    def curve(t, a, b, c, d):  # type: ignore[no-untyped-def]
        return np.log(np.exp(a - np.exp(b) * t) + np.exp(c - np.exp(d) * t))

    found, covariance = optimize.curve_fit(curve, times, left, p0=np.log([40, 0.35, 4, 0.035]), xtol=1e-12, ftol=1e-14)
    assert [number for part in ours.parts for number in part] == pytest.approx(list(np.exp(found)), rel=1e-4)
    deviation = math.sqrt(np.sum((left - curve(times, *found)) ** 2) / 7)
    assert ours.deviation == pytest.approx(deviation, rel=1e-6)
    assert np.array(ours.covariance) * deviation**2 == pytest.approx(covariance, rel=2e-3, abs=1e-6)


def test_exact_readings_give_back_their_curve() -> None:
    ours = fit(two(0, scatter=0.0))
    assert [number for part in ours.parts for number in part] == pytest.approx([40, 0.35, 4, 0.035], rel=1e-4)
    assert ours.scatter < 1e-5


# which model the rule takes: readings -> (exponentials, earlier readings left out)
MODELS = {
    "one phase, many readings": (one(3), 1, 0),
    "one phase, few readings": (one(3, (5, 10, 20, 40, 60)), 1, 0),
    "two phases, many readings": (two(3), 2, 0),
    "two phases, too few readings": (two(3, (2, 5, 20, 40, 60, 90), 0.03), 1, 2),
    "two phases, seven readings": (two(0, (2, 5, 10, 20, 40, 60, 90)), 1, 3),
    "one reading of the first phase": (two(3, (2, 20, 30, 40, 50, 60, 75, 90), 0.03), 1, 1),
}


@pytest.mark.parametrize("name", MODELS)
def test_model(name: str) -> None:
    points, parts, left_out = MODELS[name]
    ours = fit(points)
    assert (len(ours.parts), ours.left_out) == (parts, left_out)
    assert ours.first == sorted(points)[left_out][0] and ours.size == len(points) - left_out


def test_two_phases_are_seldom_seen_in_one() -> None:
    """The criterion takes two exponentials for one of twenty trials at most that have one phase only."""
    assert sum(len(fit(one(seed)).parts) == 2 or fit(one(seed)).left_out > 0 for seed in range(40)) <= 2


FEW = ((5, 10, 20, 40, 60), (5, 10, 20, 40, 60, 90), (2, 5, 10, 20, 40, 60, 90), (2, 5, 10, 15, 20, 40, 60, 90))


@pytest.mark.parametrize("times", FEW, ids=len)
def test_few_readings_of_one_phase_have_one_and_of_two_have_two(times: tuple[float, ...]) -> None:
    """Of trials with one phase a twentieth is taken to have two, with room for chance; of those with two most are."""

    def bent(readings: list[tuple[float, float]]) -> bool:
        found = fit(readings)
        return found.left_out > 0 or len(found.parts) > 1

    seeds = range(60 if len(times) > 7 else 300)
    assert sum(bent(one(seed, times)) for seed in seeds) <= 0.08 * len(seeds)
    assert sum(bent(two(seed, times)) for seed in seeds[:60]) >= 55


@pytest.mark.parametrize("times", FEW[:3], ids=len)
def test_limits_of_few_readings_hold_what_they_say(times: tuple[float, ...]) -> None:
    inside = 0
    for seed in range(400):
        low, high = fit(one(seed, times)).limits(45)
        inside += low <= 30 * math.exp(-0.05 * 45 + random.Random(f"more {seed}").gauss(0, 0.1)) <= high
    assert 368 <= inside <= 394


def test_pieces_washed_for_one_time_are_left_out_together() -> None:
    found = fit([(t, y * share) for t, y in two(0, (2, 20, 40, 60, 90), 0) for share in (0.95, 1.05)])
    assert (len(found.parts), found.left_out, found.first) == (1, 2, 20)


def test_limits_hold_what_they_say() -> None:
    """A further reading falls between the limits nearly always: 95 of 100, with room for chance."""
    inside = 0
    for seed in range(300):
        low, high = fit(one(seed, (5, 10, 20, 40, 60))).limits(30)
        rng = random.Random(f"further {seed}")
        inside += low <= 30 * math.exp(-1.5 + rng.gauss(0, 0.1)) <= high
    assert 275 <= inside <= 298


readings = st.integers(0, 10_000).flatmap(
    lambda seed: st.sampled_from([one(seed), two(seed), one(seed, (5, 10, 20, 40)), two(seed, TIMES[::2])])
)


@settings(max_examples=40, deadline=None)
@given(readings, st.randoms(use_true_random=False))
def test_order_of_readings_does_not_matter(points: list[tuple[float, float]], shuffler: random.Random) -> None:
    other = points[:]
    shuffler.shuffle(other)
    assert fit(other) == fit(points)


@settings(max_examples=40, deadline=None)
@given(readings)
def test_less_is_left_after_a_longer_wash(points: list[tuple[float, float]]) -> None:
    ours = fit(points)
    left = [ours.at(ours.first + (ours.last - ours.first) * k / 50) for k in range(51)]
    assert left == sorted(left, reverse=True)
    for t in (ours.first, ours.last):
        low, high = ours.limits(t)
        assert low <= ours.at(t) <= high


@settings(max_examples=40, deadline=None)
@given(readings, st.floats(0.1, 20), st.floats(1.01, 3))
def test_a_lower_target_takes_longer(points: list[tuple[float, float]], target: float, share: float) -> None:
    ours = fit(points)
    higher, lower = enough(ours, target * share), enough(ours, target)
    for easy, hard in ((higher.best, lower.best), (higher.sure, lower.sure)):
        assert easy is None or hard is None or easy <= hard
    _within(ours, lower.sure, target)
    if lower.best is not None and lower.sure is not None:
        assert lower.best <= lower.sure


def _within(ours: Decay, sure: float | None, target: float) -> None:
    """From then on the limit stays under the target, and nothing is told outside the readings."""
    if sure is not None:
        assert ours.first <= sure <= ours.last
        for k in range(21):
            assert ours.limits(sure + (ours.last - sure) * k / 20)[1] <= target * (1 + 1e-9)


def test_refused() -> None:
    for points in ([], one(1)[:3], [(5, 1.0)] * 6, [*one(1), (5, 0.0)]):
        with pytest.raises(ValueError, match="four readings"):
            fit(points)
    with pytest.raises(ValueError, match="does not fall"):
        fit([(t, 1.0 + t) for t in TIMES])
