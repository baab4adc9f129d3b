"""Diffusion: how fast thiosulfate could leave a sheet if nothing but diffusion held it back.

A layer of thickness L, open on one side and sealed on the other, with an even load at first and clean water at its
face, is the plane sheet of J. Crank, The Mathematics of Diffusion (the equations from memory, checked here against
an independent evaluation). A sheet open on both sides is two such layers of half its thickness. For paper it is a
lower bound of the time: fibres and baryta hold thiosulfate back (L.-P. Clerc, Photography, section 607), which two
exponentials follow better.
"""

import math

_SHORT = 0.02  # below it the short form is exact to the last place, above it few terms of the series are needed


def fraction_left(time: float) -> float:
    """Fraction left in the layer at the dimensionless time T = D t / L²; 1 at and before the beginning.

    f(T) = sum over k >= 0 of 8 / ((2k+1)² π²) · exp(-(2k+1)² π² T / 4). Source: Crank, plane sheet.
    """
    if time <= 0:
        return 1.0
    if time < _SHORT:
        return short_form(time)
    total, odd = 0.0, 1
    while True:
        term = 8 / (odd * odd * math.pi**2) * math.exp(-odd * odd * math.pi**2 * time / 4)
        total += term
        if term <= total * 1e-17:
            return total
        odd += 2


def short_form(time: float) -> float:
    """The fraction left while T is small (under about 0.2): 1 - 2 sqrt(T / π). Source: Crank, plane sheet."""
    return 1 - 2 * math.sqrt(time / math.pi)


def time_until(fraction: float) -> float:
    """The dimensionless time at which so small a fraction is left: the inverse of `fraction_left`, by bisection.

    Raises `ValueError` unless 0 < fraction <= 1.
    """
    if not 0 < fraction <= 1:
        raise ValueError("the fraction left lies between 0 and 1")
    early, late = 0.0, 1.0
    while fraction_left(late) > fraction:
        late *= 2
    for _ in range(200):
        middle = (early + late) / 2
        if middle in (early, late):
            break
        early, late = (middle, late) if fraction_left(middle) > fraction else (early, middle)
    return late


def seconds_until(fraction: float, layer: float, diffusion: float) -> float:
    """Seconds until so small a fraction is left of a layer of `layer` metres, `diffusion` in m²/s."""
    if layer <= 0 or diffusion <= 0:
        raise ValueError("thickness and diffusion coefficient are more than 0")
    return time_until(fraction) * layer * layer / diffusion


def late_half_time(layer: float, diffusion: float) -> float:
    """Seconds in which what is left halves, late: 4 L² ln 2 / (π² D), metres and m²/s.

    From the first term of the series, (8 / π²) exp(-π² T / 4), alone once T is large.
    """
    if layer <= 0 or diffusion <= 0:
        raise ValueError("thickness and diffusion coefficient are more than 0")
    return 4 * layer * layer * math.log(2) / (math.pi**2 * diffusion)


def two_compartments(time: float, fast: float, fast_rate: float, slow: float, slow_rate: float) -> float:
    """What is left where a part goes fast, by diffusion, and a part slowly, as fibres let it go.

    m(t) = m_fast exp(-k1 t) + m_slow exp(-k2 t), rates for the unit of `time`. Seen in long washes of paper (common
    practice, no standard; in line with Clerc, section 607); its constants are fitted to one's own readings.
    """
    return fast * math.exp(-fast_rate * time) + slow * math.exp(-slow_rate * time)
