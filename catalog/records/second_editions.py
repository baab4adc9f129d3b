"""Second editions of one negative: when another one is the same again, and when it must be disclosed.

What makes an edition is its size and its process: gallery glossaries define it as the most prints of an image “in a
certain size or method” (The Photographers' Gallery, glossary). Two of one size and process are one edition twice.
"""

import sqlite3
from collections.abc import Mapping
from typing import Any, NamedTuple

from catalog.errors import TirageError
from catalog.measures import format_size
from catalog.store.rows import fetch_all

# A cancelled edition of which nothing was ever given out does not count; a cancellation proof gives nothing out.
READ = """SELECT e.id, c.code, e.size, e.image_height, e.image_width, e.process, e.paper, e.toning, e.estate
    FROM edition e JOIN code c ON c.id = e.id"""
OTHERS = f"""{READ} WHERE e.negative = ? AND e.id IS NOT ? AND (e.state <> 'cancelled' OR EXISTS (
    SELECT 1 FROM print p WHERE p.edition = e.id AND p.kind IS NOT NULL AND p.kind NOT IN ('work', 'reference', 'CP')))
    ORDER BY e.id"""
ONE = f"{READ} WHERE e.id = ?"
NEGATIVE = "SELECT negative, disclosure FROM edition WHERE id = ?"
SEVERAL = "SELECT negative FROM edition GROUP BY negative HAVING count(*) > 1 ORDER BY negative"
SAID = """SELECT disclosure <> '' OR EXISTS (SELECT 1 FROM edition_erratum WHERE edition = e.id)
    FROM edition e WHERE e.id = ?"""
SAME_SIZE = 5_000  # micrometres a side: common practice, no source


class SecondEditionError(TirageError):
    """An edition that another one is already."""

    def __init__(self, other: str, size: str, process: str, only: str) -> None:
        size, process = size or "size not recorded", process or "process not recorded"
        beside = f"{other} is an edition of the same image, {size}, {process}"
        if only:
            super().__init__(
                f"{beside}; this one differs only in {only}, which makes no second edition unless it is decided and "
                f"disclosed. Say it in a sentence that is printed with both editions: --disclose “SENTENCE”; or name "
                f"another --image size or --process."
            )
        else:
            super().__init__(
                f"{beside}, on the same paper and toned alike: a second one would sell the same prints twice. Print "
                f"within {other}, or name another --image size or --process."
            )


class Candidate(NamedTuple):
    """What makes an edition the one it is; an id of 0 is one not declared yet."""

    id: int
    code: str
    size: int | None
    image_height: int | None
    image_width: int | None
    process: str
    paper: str
    toning: str
    estate: int

    def coincides(self, other: "Candidate") -> bool:
        """Whether size and process are the same; a size that is not known counts as the same."""
        sides = ((self.image_height, other.image_height), (self.image_width, other.image_width))
        return all(same_side(mine, theirs) for mine, theirs in sides) and _plain(self.process) == _plain(other.process)

    def differs(self, other: "Candidate") -> list[str]:
        """In what it differs from one that coincides, so that a disclosure can make it an edition of its own.

        An open run beside a numbered one is no such thing: it would print more of what was limited.
        """
        pairs = (
            ("its intended paper", _plain(self.paper), _plain(other.paper)),
            ("its intended toning", _plain(self.toning), _plain(other.toning)),
            ("being of the estate", bool(self.estate), bool(other.estate)),
        )
        return [name for name, mine, theirs in pairs if mine != theirs]


def same_side(one: int | None, other: int | None) -> bool:
    """Whether two sides are taken for one: as near as paper and mask allow, or not known."""
    return one is None or other is None or abs(one - other) <= SAME_SIZE


def refuse_second(connection: sqlite3.Connection, negative: int, candidate: Candidate, disclosure: str) -> None:
    """Raise SecondEditionError where another edition of a negative is the same, or differs too little unsaid."""
    for other in fetch_all(connection, Candidate, OTHERS, (negative, candidate.id or None)):
        if not candidate.coincides(other):
            continue
        only = candidate.differs(other)
        if only and disclosure.strip():
            continue
        size = format_size(other.image_height, other.image_width) if other.image_height and other.image_width else ""
        raise SecondEditionError(other.code, size, other.process, " and ".join(only))


def refuse_becoming_second(connection: sqlite3.Connection, identity: int, changed: Mapping[str, Any]) -> None:
    """Raise SecondEditionError where a declared edition, with some columns changed, is another one again."""
    negative, disclosure = connection.execute(NEGATIVE, (identity,)).fetchone()
    candidate = fetch_all(connection, Candidate, ONE, (identity,))[0]
    told = {name: value for name, value in changed.items() if name != "disclosure"}
    refuse_second(connection, negative, candidate._replace(**told), changed.get("disclosure", disclosure))


def undisclosed(connection: sqlite3.Connection) -> list[tuple[str, str]]:
    """(Second, first) of editions that coincide and of which neither paper says so, as from before this was asked."""
    found = []
    for (negative,) in connection.execute(SEVERAL).fetchall():
        alike = fetch_all(connection, Candidate, OTHERS, (negative, None))
        for place, second in enumerate(alike):
            first = next((one for one in alike[:place] if second.coincides(one)), None)
            if first and not connection.execute(SAID, (second.id,)).fetchone()[0]:
                found.append((second.code, first.code))
    return found


def _plain(text: str) -> str:
    """Words without case, signs or spacing: “Gelatin-silver” is “gelatin silver”."""
    return " ".join("".join(sign if sign.isalnum() else " " for sign in text.casefold()).split())
