"""Papers: described stocks that prints are made on."""

import sqlite3
from typing import NamedTuple

from catalog.errors import TirageError
from catalog.records.items import Coded
from catalog.store.rows import fetch_all

READ = "SELECT id, name, description, base, surface, tone, weight, batch, opened, note FROM paper"
ADD = """INSERT INTO paper (name, description, base, surface, tone, weight, batch, opened, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"""

LAST_OF = {
    "edition": """SELECT coalesce(
        (SELECT paper FROM print WHERE edition = ?1 AND paper IS NOT NULL ORDER BY id DESC LIMIT 1),
        (SELECT paper.id FROM paper JOIN edition ON edition.paper = paper.description WHERE edition.id = ?1
            ORDER BY paper.id DESC LIMIT 1))""",
    "negative": """SELECT (SELECT paper FROM print WHERE negative = ?1 AND paper IS NOT NULL
        ORDER BY id DESC LIMIT 1)""",
}
NEWEST_PRINTED_ON = "SELECT paper FROM print WHERE paper IS NOT NULL ORDER BY id DESC LIMIT 1"


class UnknownPaperError(TirageError):
    """A paper nobody described."""

    def __init__(self, name: str, known: list[str]) -> None:
        names = ", ".join(known) if known else "none yet"
        super().__init__(
            f"There is no paper “{name}”; known: {names}. Describe it first: tirage paper add NAME DESCRIPTION."
        )


class PaperTakenError(TirageError):
    """A second paper of one name."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is a paper “{name}” already; give a new box or batch a name of its own.")


class Paper(NamedTuple):
    """One paper. Weight in grams a square metre."""

    id: int
    name: str
    description: str
    base: str
    surface: str
    tone: str
    weight: int | None
    batch: str
    opened: str
    note: str


def listed(connection: sqlite3.Connection) -> list[Paper]:
    """All papers, in the order they came."""
    return fetch_all(connection, Paper, f"{READ} ORDER BY id")


def read(connection: sqlite3.Connection, identity: int) -> Paper:
    """One paper by its identity."""
    return fetch_all(connection, Paper, f"{READ} WHERE id = ?", (identity,))[0]


def named(connection: sqlite3.Connection, name: str) -> Paper:
    """The paper of a name, in any case, or of the one name that begins so. Raises UnknownPaperError."""
    papers = listed(connection)
    exact = [paper for paper in papers if paper.name.lower() == name.lower()]
    begins = [paper for paper in papers if paper.name.lower().startswith(name.lower())]
    found = exact or (begins if len(begins) == 1 else [])
    if not found:
        raise UnknownPaperError(name, [paper.name for paper in papers])
    return found[0]


def last_used(connection: sqlite3.Connection, of: Coded) -> int | None:
    """The paper last printed on of an edition (else the one it intends) or of a negative; None when there is none."""
    found: int | None = connection.execute(LAST_OF[of.kind], (of.id,)).fetchone()[0]
    return found


def newest_printed_on(connection: sqlite3.Connection) -> int | None:
    """The paper of the newest print that has one; None when there is none."""
    row = connection.execute(NEWEST_PRINTED_ON).fetchone()
    return row[0] if row else None


def add(
    connection: sqlite3.Connection,
    name: str,
    description: str,
    *,
    base: str = "",
    surface: str = "",
    tone: str = "",
    weight: int | None = None,
    batch: str = "",
    opened: str = "",
    note: str = "",
) -> Paper:
    """Describe a paper. Raises PaperTakenError."""
    if any(paper.name.lower() == name.lower() for paper in listed(connection)):
        raise PaperTakenError(name)
    cursor = connection.execute(ADD, (name, description, base, surface, tone, weight, batch, opened, note))
    return read(connection, int(cursor.lastrowid or 0))
