"""The unit that the numbers of a size show by themselves: what the trade sells by the inch or the centimetre."""

import re
from collections.abc import Sequence

from catalog.exchange.free_text.size_words import TRADE

FRACTION = re.compile("[/⁄½¼¾⅛⅜⅝⅞⅓⅔]")


def unit_seen(sides: Sequence[tuple[int, int]], written: str) -> tuple[str, str]:
    """The unit of two bare sides, each numerator and denominator, and by what it shows; two empty texts if not."""
    fractions = "in", "because of its fractions"
    shorter, longer = sorted(top * 100 // bottom for top, bottom in sides)
    exact = all(top * 100 % bottom == 0 for top, bottom in sides)
    for unit, sizes in TRADE.items():
        if exact and (shorter, longer) in sizes:
            return fractions if unit == "in" and FRACTION.search(written) else (unit, "as the trade sells that size")
    return fractions if FRACTION.search(written) else ("", "")
