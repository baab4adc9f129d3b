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
FORMULA = r"=\s*[+-]?[A-Za-z][A-Za-z0-9._]*\s*\(.*"  # that a spreadsheet never worked out
SUM = re.compile(rf"(?:{UNIT}\s*)?{NUMBER}{UNIT}?|[€$£]\s*{NUMBER}|[-–—]|{FORMULA}", re.IGNORECASE)
YEAR = re.compile(r"(?<![0-9.,])(?:1[5-9]|20)[0-9]{2}(?![0-9.,])")
HEAD = re.compile(rf"[Σ∑]?\s*(?:{TOTAL})\s*[:.=]*\s*(?:{NUMBER}(?:{UNIT})?)?|[Σ∑]\s*", re.IGNORECASE)


def tell(row: Row, one: str) -> None:
    """Refuse a row that begins with such a word, its code or its title, and holds nothing else but numbers.

    `one` is what a row of the list is, in the singular.
    """
    filled = [text for text in row.texts if text]
    if not filled or not HEAD.fullmatch(filled[0]):
        return
    numbers = [filled[0], *filled[1:]] if any(sign.isdigit() for sign in filled[0]) else filled[1:]
    # “Somme”, “Somme, 1916” and “Somme 1916” are pictures.
    pictured = "somme" in filled[0].lower() and (not numbers or (len(numbers) == 1 and YEAR.search(numbers[0])))
    if not pictured and all(SUM.fullmatch(text) for text in filled[1:]):
        row.refuse(
            "",
            f"it reads as the sum of a list (“{'; '.join(filled)[:60]}”), not as a {one}; leave it out. If it is a "
            f"{one} called so, write more in its cells",
        )
