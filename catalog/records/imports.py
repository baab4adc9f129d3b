"""Imported tables: which files were brought in, what stood in every row, and what each row became."""

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from json.encoder import encode_basestring
from typing import NamedTuple

from catalog.events import Event
from catalog.store.rows import insert_many

ADD_FILE = "INSERT INTO import_file (noun, name, sha256, headings, happened, by) VALUES (?, ?, ?, ?, ?, ?)"
ADD_ROW = "INSERT INTO import_row (id, file, line, digest, thing, cells, notes) VALUES (?, ?, ?, ?, ?, ?, ?)"
UPCOMING = "SELECT coalesce(max(id), 0) + 1 FROM import_row"
KNOWN = """SELECT r.digest, r.thing FROM import_row r JOIN import_file f ON f.id = r.file WHERE f.noun = ?"""
BEFORE = """SELECT f.id, f.name, r.line, r.thing, r.cells FROM import_row r JOIN import_file f ON f.id = r.file
    WHERE f.noun = ? ORDER BY r.id"""
HEADINGS = "SELECT id, headings FROM import_file WHERE noun = ?"
ROW_OF = """SELECT r.line, r.thing, r.cells, r.notes, f.name, f.happened, f.by FROM import_row r
    JOIN import_file f ON f.id = r.file WHERE r.thing = ? AND f.noun = ? ORDER BY r.id"""
OF_CODE = """SELECT r.line, r.thing, r.cells, r.notes, f.name, f.happened, f.by FROM import_row r
    JOIN import_file f ON f.id = r.file WHERE (r.thing = ?1 AND f.noun IN ('negatives', 'prints', 'editions'))
    OR (r.thing IN (SELECT id FROM residual_test WHERE item = ?1) AND f.noun = 'tests') ORDER BY r.id"""
NAMES = {
    "negatives": "SELECT code FROM code WHERE id = ?",
    "prints": "SELECT code FROM code WHERE id = ?",
    "editions": "SELECT code FROM code WHERE id = ?",
    "places": "SELECT name FROM place WHERE id = ?",
    "parties": "SELECT name FROM party WHERE id = ?",
    "tests": "SELECT code.code FROM residual_test t JOIN code ON code.id = t.item WHERE t.id = ?",
}


class NewRow(NamedTuple):
    """A row to be kept: its line, its digest, what it became, heading -> text, and the headings kept as notes."""

    line: int
    digest: str
    thing: int
    cells: Mapping[str, str]
    notes: Sequence[str]


class ImportedRow(NamedTuple):
    """A row that was brought in, with the file it stood in."""

    line: int
    thing: int
    cells: dict[str, str]
    notes: list[str]
    file: str
    happened: str
    by: str


class Earlier(NamedTuple):
    """A row that was brought in before, with the identity and the name of its file."""

    file: int
    name: str
    line: int
    thing: int
    cells: dict[str, str]


def add_file(
    connection: sqlite3.Connection, event: Event, noun: str, name: str, sha256: str, headings: Mapping[str, str]
) -> int:
    """Record that a file was brought in; `headings` is heading -> the field it was taken for, "" where none."""
    cursor = connection.execute(
        ADD_FILE, (noun, name, sha256, json.dumps(headings, ensure_ascii=False), event.moment.date, event.by)
    )
    return int(cursor.lastrowid or 0)


def add_rows(connection: sqlite3.Connection, file: int, rows: Iterable[NewRow]) -> None:
    """Keep the rows of a file as they stood in it; put together as JSON by hand, for a list has many."""
    first: int = connection.execute(UPCOMING).fetchone()[0]
    quoted: dict[str, str] = {}  # headings, each the same in every row

    def written(cells: Mapping[str, str]) -> str:
        for heading in cells.keys() - quoted.keys():
            quoted[heading] = encode_basestring(heading)
        return "{" + ",".join([f"{quoted[heading]}:{encode_basestring(text)}" for heading, text in cells.items()]) + "}"

    insert_many(
        connection,
        ADD_ROW,
        (
            (
                number, file, row.line, row.digest, row.thing, written(row.cells),
                f"[{','.join(map(encode_basestring, row.notes))}]",
            )
            for number, row in enumerate(rows, first)
        ),
    )  # fmt: skip


def known(connection: sqlite3.Connection, noun: str) -> dict[str, int]:
    """Digest -> what it became, of every row of a noun that was brought in."""
    return dict(connection.execute(KNOWN, (noun,)).fetchall())


def any_file(connection: sqlite3.Connection, noun: str) -> bool:
    """Whether a file of a noun was brought in before."""
    return connection.execute(HEADINGS, (noun,)).fetchone() is not None


def earlier(connection: sqlite3.Connection, noun: str) -> Iterator[Earlier]:
    """The rows of all earlier files of a noun, in the order they were brought in."""
    for file, name, line, thing, cells in connection.execute(BEFORE, (noun,)):
        yield Earlier(file, name, line, thing, json.loads(cells))


def fields(connection: sqlite3.Connection, noun: str) -> dict[int, dict[str, str]]:
    """File -> heading -> the field it was taken for, "" where none."""
    return {file: json.loads(headings) for file, headings in connection.execute(HEADINGS, (noun,))}


def name_of(connection: sqlite3.Connection, noun: str, thing: int) -> str:
    """How a person calls what a row became: its code, a place's or a party's name."""
    row = connection.execute(NAMES[noun], (thing,)).fetchone()
    return str(row[0]) if row else ""


def rows_of(connection: sqlite3.Connection, noun: str, thing: int) -> list[ImportedRow]:
    """The rows that a thing came from. One indexed search, so that showing a thing stays quick."""
    return [_imported(*row) for row in connection.execute(ROW_OF, (thing, noun))]


def notes_of(connection: sqlite3.Connection, noun: str, thing: int) -> list[tuple[str, str]]:
    """Heading and text of every cell that no field took or that was not understood, as it was written."""
    return [
        (heading, row.cells[heading])
        for row in rows_of(connection, noun, thing)
        for heading in row.notes
        if heading in row.cells
    ]


def told(connection: sqlite3.Connection, noun: str, thing: int) -> str:
    """The same on one line, for whoever looks at the thing: “Remarks: chipped; Old number: 12”. Private."""
    return "; ".join(
        f"{heading}: {' / '.join(text.splitlines())}" for heading, text in notes_of(connection, noun, thing)
    )


def of_code(connection: sqlite3.Connection, identity: int) -> list[ImportedRow]:
    """The rows that a thing with a code came from, and those of the tests on it, as its history tells them."""
    return [_imported(*row) for row in connection.execute(OF_CODE, (identity,))]


def _imported(line: int, thing: int, cells: str, notes: str, *file: str) -> ImportedRow:
    return ImportedRow(line, thing, json.loads(cells), json.loads(notes), *file)
