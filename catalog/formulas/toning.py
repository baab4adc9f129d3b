"""Toning: how much gold an area of print takes."""

from catalog.measures import SQUARE_MICROMETRES


def gold_needed_mg(area_um2: int, nanograms_a_square_centimetre: int) -> int:
    """Milligrams of gold chloride for an area in square micrometres, to the nearest milligram.

    “A definite quantity of gold for a definite area of print”, the bath used once (Cyclopedia of Photography); the
    rate is the user's. Raises `ValueError` for an area or a rate below nothing.
    """
    if area_um2 < 0 or nanograms_a_square_centimetre < 0:
        raise ValueError("an area and a rate of gold are not negative")
    nanograms = area_um2 * nanograms_a_square_centimetre
    per_milligram = SQUARE_MICROMETRES * 10**6
    return (2 * nanograms + per_milligram) // (2 * per_milligram)
