"""Exposure: stops, dodging and burning, test strips, and rescaling for another paper, lamp, distance or size.

Times are in any one unit, stops are log2, densities and log exposures log10.
"""

from math import log2


def stops_between(time: float, other: float) -> float:
    """How many stops `other` is more than `time`: s = log2(t/t0). Raises ValueError unless both are positive."""
    _positive(time, other)
    return log2(other / time)


def factor_of_stops(stops: float) -> float:
    """What a time is multiplied by for so many stops: 2^s (R. Lambrecht, f/stop timing table, 1999/2005)."""
    return float(2.0**stops)


def held_back(time: float, stops: float) -> float:
    """How long an area is shaded to be dodged by `stops`: t(1 − 2^−s) (Lambrecht, as above)."""
    _positive(time)
    return time * (1 - factor_of_stops(-stops))


def burned_in(time: float, stops: float) -> float:
    """How much more an area gets to be burned in by `stops`: t(2^s − 1) (Lambrecht, as above)."""
    _positive(time)
    return time * (factor_of_stops(stops) - 1)


def speed_factor(speed: float, new_speed: float) -> float:
    """For a paper of another speed: t2 = t1 P1/P2, as the speed goes by the reciprocal of exposure (ISO 6846)."""
    _positive(speed, new_speed)
    return speed / new_speed


def distance_factor(distance: float, new_distance: float) -> float:
    """For a lamp at another distance: (d2/d1)², the inverse square law of a source that is as small as a point."""
    _positive(distance, new_distance)
    return (new_distance / distance) ** 2


def light_factor(light: float, new_light: float) -> float:
    """For another illuminance at the paper: E1/E2, exposure being illuminance by time."""
    _positive(light, new_light)
    return light / new_light


def size_factor(scale: float, new_scale: float) -> float:
    """For another enlargement at one aperture: ((m2 + 1)/(m1 + 1))², derived here from a thin lens."""
    _positive(scale, new_scale)
    return ((new_scale + 1) / (scale + 1)) ** 2


def reciprocity_factor(factor: float, exponent: float) -> float:
    """A factor of light lost, as a factor of time: r^(1/p) of Schwarzschild's law E = I t^p (his p was 0.86)."""
    _positive(factor, exponent)
    return float(factor ** (1 / exponent))


def dry_down_factor(percent: float) -> float:
    """For a print judged wet that dries darker by `percent` of its exposure: 1 − p/100 (printers' practice)."""
    if not 0 <= percent < 100:
        raise ValueError("dry-down is from 0 to less than 100 per cent")
    return 1 - percent / 100


def dry_down_of_density(darker: float, contrast: float) -> float:
    """The same from how much darker a patch dried and the local contrast there: 10^(−ΔD/γ), derived here."""
    _positive(contrast)
    return float(10 ** (-darker / contrast))


def strip_times(first: float, stops: float, patches: int) -> list[float]:
    """What the patches of a test strip get in all: t·2^(ks), k from 0 on (Lambrecht, as above)."""
    _positive(first, stops, patches)
    return [first * factor_of_stops(stops * patch) for patch in range(patches)]


def paper_speed(exposure: float) -> float:
    """P = 1000/Hm with Hm in lux seconds for a net density of 0.60 (ISO 6846; the figure 0.60 is from memory)."""
    _positive(exposure)
    return 1000 / exposure


def _positive(*values: float) -> None:
    if min(values) <= 0:
        raise ValueError("times, speeds, distances, lights and exponents are more than nothing")
