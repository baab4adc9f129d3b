"""How many cells the rows of a table have, and which have too many."""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from catalog.exchange.importing.frame import REFUSED, Told

if TYPE_CHECKING:
    from catalog.exchange.importing.tables import Line


def width(lines: "Sequence[Line]", head: "Line", refused: bool, delimited: bool) -> int:
    """How many columns count: to the last cell that holds something, in a table with a delimiter under the headings.

    An empty heading counts there too, for a spreadsheet writes one over each of its columns; but for lists of rows
    `refused`, whose cells it would then write under it that were cut in the wrong place.
    """
    widest = max(len(trimmed(line.texts)) for line in lines)
    if not delimited:
        return widest
    headed = len(trimmed(head.texts))
    return headed if refused else max(headed, min(widest, len(head.texts)))


def usual(body: "Iterable[Line]") -> int:
    """How many cells most rows have, empty ones with them; of two counts that are as frequent the higher.

    A spreadsheet ends all rows alike: one that is longer has a delimiter too many somewhere.
    """
    return max(Counter(len(line.texts) for line in body).items(), key=lambda one: (one[1], one[0]))[0]


def trimmed(texts: Sequence[str]) -> Sequence[str]:
    """Cells without the empty ones at the end."""
    end = len(texts)
    while end and not texts[end - 1]:
        end -= 1
    return texts[:end]


def overlong(number: int, texts: Sequence[str], width: int, usual: int) -> Told:
    """That a row has more cells than there are headings (`width`), or than the others have (`usual`)."""
    filled = any(texts[width:])
    others = f"the other rows have {usual}" if usual == width or not filled else f"there are {width} headings"
    shown = trimmed(texts) if filled else texts
    return Told(
        number,
        "",
        "; ".join(shown).rstrip()[:200],
        REFUSED,
        f"it has {len(shown)} cells and {others}, so its cells may stand under the wrong headings; put a text "
        f"that holds the delimiter in quotes, or write a heading over every column",
    )
