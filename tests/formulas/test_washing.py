"""The bounds on washing, against the worked tables."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.formulas.washing import changes_needed, dilution_bound, flow_bound, plate_bound, washing_factor

# Successive changes, C = C0 (v / (V + v))^n, computed independently: carried ml, fresh ml, changes, fraction left.
SUCCESSIVE_CHANGES = [
    (10, 500, 1, 0.0196078), (10, 500, 5, 2.8983e-9), (30, 1000, 1, 0.0291262), (30, 1000, 4, 7.1967e-7),
    (50, 500, 5, 6.2092e-6), (20, 980, 2, 4.000e-4),
    # the same 6 litres in 1, 2, 3 and 6 changes
    (30, 6000, 1, 4.975e-3), (30, 3000, 2, 9.803e-5), (30, 2000, 3, 3.228e-6), (30, 1000, 6, 6.105e-10),
]  # fmt: skip
# Successive changes, C = C0 (v / (V + v))^n, computed independently: carried ml, fresh ml, fraction wanted, changes.
# The last meets its limit exactly.
NEEDED = [(50, 500, 1e-4, 4), (30, 1000, 1e-6, 4), (10, 500, 1e-3, 2), (20, 980, 4e-4, 2)]
# Stirred tank, C = C0 exp(-Q t / V), computed independently: litres a minute, litres, minutes, fraction left.
FLOWS = [(2, 10, 5, 0.367879), (2, 10, 23.02585, 0.0100000), (4, 20, 30, 0.00247875)]


@pytest.mark.parametrize(("carried", "fresh", "changes", "left"), SUCCESSIVE_CHANGES)
def test_successive_changes(carried: float, fresh: float, changes: int, left: float) -> None:
    assert dilution_bound(carried, fresh, changes) == pytest.approx(left, rel=2e-4)


@pytest.mark.parametrize(("carried", "fresh", "fraction", "changes"), NEEDED)
def test_changes_needed(carried: float, fresh: float, fraction: float, changes: int) -> None:
    assert changes_needed(carried, fresh, fraction) == changes


@pytest.mark.parametrize(("flow", "volume", "minutes", "left"), FLOWS)
def test_running_water(flow: float, volume: float, minutes: float, left: float) -> None:
    assert flow_bound(flow, volume, minutes) == pytest.approx(left, rel=1e-5)


def test_half_time_of_running_water() -> None:
    # Stirred tank, C = C0 exp(-Q t / V), computed independently: half-time = V ln 2 / Q.
    assert flow_bound(2, 10, 10 * math.log(2) / 2) == pytest.approx(0.5)


@given(st.floats(1, 500), st.floats(50, 20_000), st.floats(1e-9, 0.9))
def test_one_change_fewer_is_never_enough(carried: float, fresh: float, fraction: float) -> None:
    changes = changes_needed(carried, fresh, fraction)
    assert dilution_bound(carried, fresh, changes) <= fraction * (1 + 1e-9)
    assert changes == 1 or dilution_bound(carried, fresh, changes - 1) > fraction


@given(st.floats(1, 500), st.floats(100, 20_000), st.integers(1, 8))
def test_splitting_the_same_water_never_does_worse(carried: float, water: float, changes: int) -> None:
    left = dilution_bound(carried, water / changes, changes)
    assert dilution_bound(carried, water / (changes + 1), changes + 1) <= left * (1 + 1e-9)


def test_nonsense_is_refused() -> None:
    for arguments in [(-1, 500, 1), (10, 0, 1), (10, 500, -1)]:
        with pytest.raises(ValueError, match="at least 0"):
            dilution_bound(*arguments)
    for carried, fresh, fraction in [(0, 500, 0.1), (10, 0, 0.1), (10, 500, 0), (10, 500, 1), (1e300, 1, 0.5)]:
        with pytest.raises(ValueError, match=r"more than 0|changes nothing"):
            changes_needed(carried, fresh, fraction)
    for flow, volume, minutes in [(-1, 10, 5), (2, 0, 5), (2, 10, -5)]:
        with pytest.raises(ValueError, match="at least 0"):
            flow_bound(flow, volume, minutes)


# Half a minute: US Navy basic photography training course; f = 2^-t computed independently: minutes, fraction left.
PLATES = [(0, 1), (1, 0.5), (2, 0.25), (5, 0.03125), (10, 9.766e-4), (20, 9.537e-7)]
# US Army TM 11-2323 at 50 and 35 °F; the others derived here by doubling in equal steps: °F, times as long.
COLD_WATER = [(50, 2), (35, 4), (68, 1), (80, 1), (59, 2**0.5), (42.5, 2**1.5)]


@pytest.mark.parametrize(("minutes", "left"), PLATES)
def test_plates_lose_half_a_minute(minutes: float, left: float) -> None:
    assert plate_bound(minutes) == pytest.approx(left, rel=1e-4)


@pytest.mark.parametrize(("fahrenheit", "times"), COLD_WATER)
def test_cold_water(fahrenheit: float, times: float) -> None:
    assert washing_factor((fahrenheit - 32) * 5 / 9) == pytest.approx(times)


@given(st.floats(1.7, 40), st.floats(0, 10))
def test_colder_water_never_washes_faster(celsius: float, warmer: float) -> None:
    assert washing_factor(celsius) >= washing_factor(celsius + warmer) >= 1


def test_no_figure_below_the_coldest_published() -> None:
    with pytest.raises(ValueError, match="35 °F"):
        washing_factor(1)
    with pytest.raises(ValueError, match="at least 0"):
        plate_bound(-1)
