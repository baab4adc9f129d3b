"""Exposure arithmetic against published and worked figures."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from catalog.formulas import exposure

TIMES = st.floats(0.1, 10_000)
STOPS = st.floats(-8, 8)

# R. Lambrecht, f/stop timing table (1999/2005): of a base of 25.4 s, a dodge of 1/3 and a burn of 1/2; the fourth
# decimal worked out from the formula.
LAMBRECHT = [("dodge", 25.4, 1 / 3, 5.2, 5.2400), ("burn", 25.4, 1 / 2, 10.5, 10.5210)]
# What a step multiplies by: 1/4 as ×1.19 in the same table, all to six places from 2^s.
STEPS = [(1 / 12, 1.059463), (1 / 6, 1.122462), (1 / 4, 1.189207), (1 / 3, 1.259921), (1 / 2, 1.414214)]
# Worked from s = log2(t/t0).
BETWEEN = [(10, 12.5, 0.32193), (16, 8, -1), (12, 18, 0.58496)]
# Worked from t2 = t1 P1/P2 (ISO 6846 speeds).
SPEEDS = [(10, 200, 160, 12.5), (12, 250, 400, 7.5)]
# Worked from the inverse square law.
DISTANCES = [(10, 50, 100, 40), (12, 60, 75, 18.75), (20, 100, 90, 16.2)]
# Worked from Schwarzschild's E = I t^p, 10 s with a quarter of the light; 0.86 is his own exponent.
RECIPROCITY = [(1, 40.000), (0.95, 43.028), (0.90, 46.661), (0.86, 50.127)]
# Worked from 1 − p/100, in stops.
DRY_DOWN = [(5, -0.07400), (8, -0.12029), (10, -0.15200), (12, -0.18442)]
# Worked from 10^(−ΔD/γ).
DRY_DENSITY = [(0.03, 1.0, 0.9333), (0.03, 0.6, 0.8913), (0.02, 0.5, 0.9120)]
# P = 1000/Hm, Hm in lux seconds (ISO 6846; formula from memory).
PAPER_SPEEDS = [(1, 1000), (2.5, 400), (10, 100)]


@pytest.mark.parametrize(("kind", "base", "stops", "published", "exact"), LAMBRECHT)
def test_dodge_and_burn(kind: str, base: float, stops: float, published: float, exact: float) -> None:
    found = exposure.held_back(base, stops) if kind == "dodge" else exposure.burned_in(base, stops)
    assert found == pytest.approx(exact, abs=5e-5)
    assert round(found, 1) == published


@pytest.mark.parametrize(("stops", "factor"), STEPS)
def test_factor_of_a_step(stops: float, factor: float) -> None:
    assert exposure.factor_of_stops(stops) == pytest.approx(factor, abs=5e-7)


@pytest.mark.parametrize(("time", "other", "stops"), BETWEEN)
def test_stops_between_times(time: float, other: float, stops: float) -> None:
    assert exposure.stops_between(time, other) == pytest.approx(stops, abs=5e-6)


@pytest.mark.parametrize(("time", "old", "new", "wanted"), SPEEDS)
def test_another_speed(time: float, old: float, new: float, wanted: float) -> None:
    assert time * exposure.speed_factor(old, new) == pytest.approx(wanted)


@pytest.mark.parametrize(("time", "old", "new", "wanted"), DISTANCES)
def test_another_distance(time: float, old: float, new: float, wanted: float) -> None:
    assert time * exposure.distance_factor(old, new) == pytest.approx(wanted)


def test_a_quarter_of_the_light_is_four_times_the_time() -> None:
    assert exposure.light_factor(10, 2.5) == 4


# Worked by hand: from 1:1 to 3:1 the light falls to (2/4)², from 2x to 3x to (3/4)².
@pytest.mark.parametrize(("scale", "new", "factor"), [(1, 3, 4.0), (2, 3, 16 / 9), (3, 1, 0.25), (2, 2, 1)])
def test_another_enlargement(scale: float, new: float, factor: float) -> None:
    assert exposure.size_factor(scale, new) == pytest.approx(factor)


@pytest.mark.parametrize(("exponent", "seconds"), RECIPROCITY)
def test_reciprocity(exponent: float, seconds: float) -> None:
    assert 10 * exposure.reciprocity_factor(4, exponent) == pytest.approx(seconds, abs=5e-4)


@pytest.mark.parametrize(("percent", "stops"), DRY_DOWN)
def test_dry_down(percent: float, stops: float) -> None:
    found = exposure.stops_between(1, exposure.dry_down_factor(percent))
    assert found == pytest.approx(stops, abs=5e-6)


def test_a_quarter_stop_less_is_about_sixteen_per_cent() -> None:
    assert exposure.factor_of_stops(-0.25) - 1 == pytest.approx(-0.1591, abs=5e-5)


@pytest.mark.parametrize(("darker", "contrast", "factor"), DRY_DENSITY)
def test_dry_down_of_a_density(darker: float, contrast: float, factor: float) -> None:
    assert exposure.dry_down_of_density(darker, contrast) == pytest.approx(factor, abs=5e-5)


@pytest.mark.parametrize(("lux_seconds", "speed"), PAPER_SPEEDS)
def test_paper_speed(lux_seconds: float, speed: float) -> None:
    assert exposure.paper_speed(lux_seconds) == pytest.approx(speed)


def test_a_strip_of_thirds() -> None:
    # Lambrecht's table, from 5 s in thirds of a stop; decimals worked out.
    assert exposure.strip_times(5, 1 / 3, 5) == pytest.approx([5, 6.2996, 7.9370, 10, 12.5992], abs=5e-5)


@given(TIMES, STOPS)
def test_stops_go_there_and_back(time: float, stops: float) -> None:
    there = time * exposure.factor_of_stops(stops)
    assert exposure.stops_between(time, there) == pytest.approx(stops, abs=1e-9)
    assert there * exposure.factor_of_stops(-stops) == pytest.approx(time)


@given(TIMES, st.floats(0.01, 4))
def test_what_is_held_back_and_burned_in_is_the_difference(time: float, stops: float) -> None:
    assert time - exposure.held_back(time, stops) == pytest.approx(time * exposure.factor_of_stops(-stops))
    assert time + exposure.burned_in(time, stops) == pytest.approx(time * exposure.factor_of_stops(stops))
    assert 0 < exposure.held_back(time, stops) < time


@given(TIMES, st.floats(0.1, 100), st.floats(0.1, 100))
def test_scaling_goes_there_and_back(time: float, old: float, new: float) -> None:
    for factor in (exposure.speed_factor, exposure.distance_factor, exposure.light_factor, exposure.size_factor):
        assert time * factor(old, new) * factor(new, old) == pytest.approx(time)


@given(TIMES, st.floats(0.01, 1), st.integers(2, 30))
def test_a_strip_rises_evenly(first: float, stops: float, patches: int) -> None:
    times = exposure.strip_times(first, stops, patches)
    assert len(times) == patches and times[0] == first
    assert all(exposure.stops_between(a, b) == pytest.approx(stops) for a, b in zip(times, times[1:], strict=False))
    assert times == sorted(times)


@given(st.floats(0.5, 1), st.floats(1.01, 100))
def test_failing_reciprocity_asks_for_more(exponent: float, factor: float) -> None:
    assume(exponent < 1)
    assert exposure.reciprocity_factor(factor, exponent) >= factor
    assert exposure.reciprocity_factor(1 / factor, exponent) <= 1 / factor


@pytest.mark.parametrize(
    "call",
    [
        lambda: exposure.stops_between(0, 1),
        lambda: exposure.speed_factor(-1, 1),
        lambda: exposure.distance_factor(1, 0),
        lambda: exposure.dry_down_factor(100),
        lambda: exposure.strip_times(1, 1, 0),
    ],
)
def test_nothing_is_made_of_what_cannot_be(call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError):
        call()
