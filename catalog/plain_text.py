"""Text that shows as it is: signs that steer a terminal, or are not seen at all, are named and not printed."""

import unicodedata

# Not seen, although Unicode does not count them among the unprintable: joiners, fillers, selectors of a variant.
UNSEEN = frozenset(
    [0x034F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x2800, 0x3164, 0xFFA0]
    + [*range(0x180B, 0x1810), *range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0)]
)


def is_seen(sign: str) -> bool:
    """Whether a sign shows in a line: no control, direction, format or line-end sign, and none that is empty."""
    if sign.isprintable():
        return ord(sign) not in UNSEEN
    return unicodedata.category(sign) == "Zs"  # blanks of other widths


def unseen(text: str) -> str:
    """The first sign of a text that does not show, "" where all do."""
    if text.isascii() and text.isprintable():
        return ""
    return next((sign for sign in text if not is_seen(sign)), "")


def shown(text: str) -> str:
    """A text for one line of a terminal: each sign that does not show stands as its number, <U+001B>."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(sign if is_seen(sign) else named(sign) for sign in text)


def named(sign: str) -> str:
    """A sign by its number in Unicode."""
    return f"<U+{ord(sign):04X}>"
