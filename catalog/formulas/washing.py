"""Washing: how far water alone could dilute what a load carries, at the very best.

Each figure here is a bound for perfect mixing and full equilibrium at every moment. A gelatin layer on glass or
film comes near it (it loses a constant share per change: Clerc, Photography: Theory and Practice, section 607).
Paper does not: fibres and baryta hold thiosulfate back, its loss is slower and slows further as less remains
(same section). For a paper print these figures are therefore too optimistic, and never evidence that it is clean.
"""

import math
from typing import NamedTuple

# A fraction worked out in binary may miss a limit it meets exactly by a few units in the last place.
_ROUNDING = 1 + 1e-12
_USUAL, _COLD, _COLDEST = 68, 50, 35  # degrees Fahrenheit


class PublishedWash(NamedTuple):
    """A wash as a book or a manual gives it."""

    what: str
    wash: str
    source: str


PUBLISHED = (
    PublishedWash("fibre paper, thin", "30 min running, or a change every 5 min", "Clerc, Photography, section 607"),
    PublishedWash("fibre paper, very thick", "90 min likewise", "Clerc, section 607 (the figure is hard to read)"),
    PublishedWash("film, no wash aid", "30 min, the tank emptied every 3 min", "US Army SS0509"),
    PublishedWash("film or plate, least", "20 min, a full change every 3 min", "US Navy basic photography course"),
    PublishedWash("printing-out paper", "16 to 20 changes in 1 h", "Practical Photography, about 1909"),
    PublishedWash("fibre paper, emergency", "3 to 4 changes of 2 min, then again before filing", "US Army TM 11-2323"),
    PublishedWash("fibre paper with wash aid", "10 to 20 min", "common practice, from memory"),
    PublishedWash("fibre paper, no wash aid", "60 min", "common practice, from memory"),
    PublishedWash("resin-coated paper", "2 to 4 min", "common practice, from memory"),
)


def dilution_bound(carried_ml: float, fresh_ml: float, changes: int) -> float:
    """Fraction of the first concentration left at best after so many changes of water: (v / (V + v)) ** n.

    `carried_ml` (v) is the solution carried over with the load at each change, `fresh_ml` (V) the fresh water.
    A bound only, too optimistic for paper (see the module). Source: mass balance, derived; the principle in L.-P.
    Clerc, Photography, section 607.
    Raises `ValueError` unless v >= 0, V > 0 and changes >= 0.
    """
    if carried_ml < 0 or fresh_ml <= 0 or changes < 0:
        raise ValueError("carried solution and changes are at least 0, fresh water is more than 0")
    return float((carried_ml / (fresh_ml + carried_ml)) ** changes)


def changes_needed(carried_ml: float, fresh_ml: float, fraction: float) -> int:
    """Fewest changes after which at best no more than `fraction` is left: ceil(ln fraction / ln(v / (V + v))).

    Volumes in millilitres as in `dilution_bound`. A bound only: fewer can never do, and paper needs more (see
    the module). Source: mass balance, derived; the principle in L.-P. Clerc, Photography, section 607. Raises
    `ValueError` unless v > 0, V > 0, 0 < fraction < 1.
    """
    if carried_ml <= 0 or fresh_ml <= 0 or not 0 < fraction < 1:
        raise ValueError("carried solution and fresh water are more than 0, the fraction lies between 0 and 1")
    share = carried_ml / (fresh_ml + carried_ml)
    if share >= 1:
        raise ValueError("so little fresh water changes nothing")
    changes = max(1, math.floor(math.log(fraction) / math.log(share)))
    while share**changes > fraction * _ROUNDING:
        changes += 1
    return changes


def flow_bound(flow: float, volume: float, minutes: float) -> float:
    """Fraction of the first concentration left at best in a stirred vessel under running water: exp(-Q t / V).

    `flow` (Q) and `volume` (V) in the same unit of volume, the flow a minute; `minutes` (t). A bound only, too
    optimistic for paper and for a vessel with still corners (see the module). Source: stirred tank,
    derived. Raises `ValueError` unless flow >= 0, volume > 0 and minutes >= 0.
    """
    if flow < 0 or volume <= 0 or minutes < 0:
        raise ValueError("flow and minutes are at least 0, the volume is more than 0")
    return math.exp(-flow * minutes / volume)


def plate_bound(minutes: float) -> float:
    """Fraction of its hypo left at best in a plate or film in direct contact with running water: 2 ** -t.

    It loses half a minute; 20 minutes with a full change of water every 3 are the least. Source: US Navy basic
    photography training course. For gelatin on glass or film alone, never for paper. Raises `ValueError` unless
    minutes >= 0.
    """
    if minutes < 0:
        raise ValueError("minutes are at least 0")
    return float(2**-minutes)


def washing_factor(celsius: float) -> float:
    """How many times as long a print washes in cold water: 1 from 68 °F (20 °C) up, 2 at 50 °F, 4 at 35 °F.

    The points at 50 and 35 °F are those of US Army TM 11-2323; between the points it is derived here, as doubling in
    equal steps: twice for each 18 °F from 68 to 50, for each 15 °F from 50 to 35. Raises `ValueError` below 35 °F,
    where no figure is published.
    """
    fahrenheit = celsius * 9 / 5 + 32
    if fahrenheit < _COLDEST - 0.1:
        raise ValueError("no figure is published for water below 35 °F (1.7 °C)")
    if fahrenheit >= _COLD:
        return float(2 ** max(0.0, (_USUAL - fahrenheit) / (_USUAL - _COLD)))
    return float(2 ** (1 + (_COLD - fahrenheit) / (_COLD - _COLDEST)))
