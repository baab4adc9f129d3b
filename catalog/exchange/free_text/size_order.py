"""Which side of a size stands first, where words say so: “(w x h)”, “HxB”, “haut. x larg.”."""

import re

from catalog.exchange.free_text.size_words import SIDES

_NAMES = r"(h|w|b|l|height|width|höhe|breite|haut(?:eur)?\.?|larg(?:eur)?\.?)"
_PAIR = rf"{_NAMES}\s?(?:x|×|by|/)\s?{_NAMES}"
# “(w x h)”, “HxB:”, in brackets, before the numbers or after them.
_ORDER = re.compile(rf"^{_PAIR}\s*[:=]?\s*(?=\d)|[\[(]\s*{_PAIR}\s*[\])]|\s{_PAIR}$", re.IGNORECASE)


def order(typed: str, width_first: bool) -> tuple[str, bool]:
    """A text without the words that tell the order of its sides, and whether the width is first."""
    found = _ORDER.search(typed)
    first, second = [name.lower().rstrip(".") for name in found.groups() if name] if found else ("", "")
    if not found or {SIDES[first], SIDES[second]} != {"height", "width"}:
        return typed, width_first
    return f"{typed[: found.start()]} {typed[found.end() :]}".strip(), SIDES[first] == "width"
