"""Rows below a list, or within it, that hold its sums and are no thing of their own."""

import re

from catalog.exchange.importing.frame import Row

# Words over sums in English, French and German; from memory, not confirmed.
TOTAL = (
    r"(?:(?:grand|sub|sous|gesamt|zwischen|end)[ -]?)?(?:total(?:s|e|en|aux)?|sum(?:me|men)?|sommes?|totaux)"
    r"|total général|insgesamt|gesamt"
)
NUMBER = r"[-–]?[0-9][0-9.,'’\s]*"
UNIT = r"(?:[€$£%]|[^\W\d_]+\.?)"
SUM = re.compile(rf"(?:{UNIT}\s*)?{NUMBER}{UNIT}?|[€$£]\s*{NUMBER}", re.IGNORECASE)
HEAD = re.compile(rf"[Σ∑]?\s*(?:{TOTAL})\s*[:.=]*\s*(?:{NUMBER}(?:{UNIT})?)?|[Σ∑]\s*", re.IGNORECASE)


def tell(row: Row, one: str) -> None:
    """Refuse a row that begins with such a word and holds nothing else but numbers, most of its cells empty.

    `one` is what a row of the list is, in the singular.
    """
    filled = [text for text in row.texts if text]
    if not filled or not HEAD.fullmatch(filled[0]) or 2 * len(filled) > max(len(row.texts), 4):
        return
    if all(SUM.fullmatch(text) for text in filled[1:]):
        row.refuse(
            "",
            f"it reads as the sum of a list (“{'; '.join(filled)[:60]}”), not as a {one}; leave it out. If it is a "
            f"{one} called so, write more in its cells",
        )
