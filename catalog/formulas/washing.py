"""Washing: how far water alone could dilute what a load carries, at the very best.

Each figure here is a bound for perfect mixing and full equilibrium at every moment. A gelatin layer on glass or
film comes near it (it loses a constant share per change: Clerc, Photography: Theory and Practice, section 607).
Paper does not: fibres and baryta hold thiosulfate back, its loss is slower and slows further as less remains
(same section). For a paper print these figures are therefore too optimistic, and never evidence that it is clean.
"""

import math

# A fraction worked out in binary may miss a limit it meets exactly by a few units in the last place.
_ROUNDING = 1 + 1e-12


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
