"""Fixing: how much silver a fixer holds, by estimate, and how long fixing takes in the cold.

Nothing that is seen proves that fixing is complete: a negative that looks clear may be badly fixed (L.-P. Clerc,
Photography: Theory and Practice, section 410). What is worked out here is an estimate from the area that went
through; how much silver a paper bears and how much of it stays undeveloped are the user's own figures.
"""

COLDEST = 5.0  # degrees Celsius, 41 °F
_SQUARE_CENTIMETRES = 10_000  # of a square metre


def silver_added(coated: float, undeveloped: float, area_cm2: float, volume_ml: float) -> float:
    """Grams of silver a litre that an area of paper or plate gives to a fixer: c = sigma f A / V.

    `coated` (sigma) grams of silver a square metre, `undeveloped` (f) the share of it that fixing takes out, 0 to
    1, `area_cm2` (A) square centimetres, `volume_ml` (V) millilitres. Source: mass balance, derived; a coating of
    0.54 to 1.61 g/m² is what practitioners name (a forum post of an emulsion engineer, no authority), the share is
    from memory. Raises `ValueError` unless sigma >= 0, 0 <= f <= 1, A >= 0 and V > 0.
    """
    if coated < 0 or not 0 <= undeveloped <= 1 or area_cm2 < 0 or volume_ml <= 0:
        raise ValueError("coating and area are at least 0, the share lies between 0 and 1, the volume is more than 0")
    return coated * undeveloped * (area_cm2 / _SQUARE_CENTIMETRES) / (volume_ml / 1_000)


def area_to_reach(coated: float, undeveloped: float, rise: float, volume_ml: float) -> float:
    """Square centimetres that raise a fixer by so many grams of silver a litre: A = c V / (sigma f).

    As `silver_added`, solved for the area. Source: mass balance, derived. Raises `ValueError` unless sigma and V
    are more than 0, 0 < f <= 1 and the rise is at least 0.
    """
    if coated <= 0 or not 0 < undeveloped <= 1 or rise < 0 or volume_ml <= 0:
        raise ValueError("coating, share and volume are more than 0, the rise is at least 0")
    return rise * (volume_ml / 1_000) / (coated * undeveloped) * _SQUARE_CENTIMETRES


def silver_carried(
    second: float, first_before: float, first_after: float, sheets: int, carried_ml: float, volume_ml: float
) -> float:
    """Grams of silver a litre in a second fixer after sheets carried some of the first over: dc2/dn = (v / V)(c1 - c2).

    Sheet by sheet, the first fixer (c1) rising evenly from `first_before` to `first_after`, `carried_ml` (v) with each
    sheet into `volume_ml` (V), from `second` (c2). Source: mass balance, derived. Raises `ValueError` unless V > 0
    and all others are at least 0, and v no more than V.
    """
    if min(second, first_before, first_after, sheets, carried_ml) < 0 or not 0 < volume_ml >= carried_ml:
        raise ValueError("nothing is below 0, and no more is carried over than the second fixer holds")
    share = carried_ml / volume_ml
    rise = (first_after - first_before) / sheets if sheets else 0.0
    for sheet in range(1, sheets + 1):
        second += share * (first_before + rise * sheet - second)
    return second


def fixing_factor(celsius: float) -> float:
    """How many times as long fixing takes below 68 °F (20 °C): twice for every 18 °F less; 1 from there up.

    t = t68 2^((68 - F) / 18). Source: US Army TM 11-2323. Raises `ValueError` below 41 °F (5 °C), the coldest that its
    rule was worked out for in what was read.
    """
    if celsius < COLDEST:
        raise ValueError("no figure is published for fixing below 41 °F (5 °C)")
    return float(2 ** max(0.0, (20 - celsius) / 10))
