"""Centuries and their halves, thirds and quarters as dates."""

from catalog.exchange.free_text.date_tokens import NotReadError

LAST_CENTURY = 21


def century(ordinal: int) -> str:
    """A century by its ordinal as EDTF, counted as `catalog.date_words` does: the 20th is "19XX", 1900 to 1999."""
    if not 0 < ordinal <= LAST_CENTURY:
        raise NotReadError(f"There is no {ordinal}. century here; expected one from the 1st to the {LAST_CENTURY}st.")
    return f"{ordinal - 1:02d}XX"


def part_of_century(which: int, parts: int, ordinal: int) -> tuple[str, str]:
    """The first and last year of a half, third or quarter: the first quarter of the 20th is ("1900", "1925").

    Some count 1901 to 1925, others 1900 to 1924. Where two parts meet, the year they dispute is in both, because a
    bound must never shut out a day that may be meant; a century keeps the ends that this catalog gives it.
    """
    hundred = century(ordinal)[:2]
    if not 0 < which <= parts:
        raise NotReadError(f"A century has {parts} such parts, not {which}.")
    first, last = 100 * (which - 1) // parts, -(-100 * which // parts)
    return f"{hundred}{first:02d}", f"{hundred}{min(last, 99):02d}"
