"""The database described by itself: tables, columns, keys and rules, each with its meaning in plain words."""

import re
import sqlite3
import tomllib
from collections import defaultdict
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from catalog.store.migrations import SCHEMA_FOLDER

GLOSSARY = Path(__file__).with_name("glossary.toml")
SEQUENCES = "sqlite_sequence"  # kept by SQLite for AUTOINCREMENT; without it a number could be given a second time
SEQUENCES_PURPOSE = "Each row is the highest number that a table ever gave, kept by SQLite itself."
TABLES = f"""SELECT name, sql FROM sqlite_schema WHERE type = 'table'
    AND (name NOT LIKE 'sqlite\\_%' ESCAPE '\\' OR name = '{SEQUENCES}') ORDER BY name"""
RULES = """SELECT sql FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = ?
    AND name NOT LIKE 'guard\\_%' ESCAPE '\\' AND name NOT LIKE 'journal\\_%' ESCAPE '\\' ORDER BY rowid"""
PURPOSE = re.compile(r"((?:^-- .*\n)+)CREATE TABLE (\w+)", re.MULTILINE)
REFUSAL = re.compile(r"RAISE\(ABORT, '((?:[^']|'')*)'\)")
VIRTUAL, STORED = 2, 3  # PRAGMA table_xinfo, hidden: a column that is worked out


class Reference(NamedTuple):
    """What a column, or some together, point to."""

    columns: tuple[str, ...]
    table: str
    theirs: tuple[str, ...]


class Column(NamedTuple):
    """One column: its type (TEXT or INTEGER), whether it may be NULL, whether it is worked out, what it means."""

    name: str
    type: str
    nullable: bool
    is_worked_out: bool
    meaning: str


class Table(NamedTuple):
    """One table: what a row of it means, its columns, its key, what it points to, its rules, its SQL."""

    name: str
    purpose: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    references: tuple[Reference, ...]
    rules: tuple[str, ...]
    sql: str

    @property
    def stored(self) -> tuple[Column, ...]:
        """The columns that are not worked out from others."""
        return tuple(column for column in self.columns if not column.is_worked_out)

    @property
    def order(self) -> str:
        """By what its rows are put in order: its key, as SQL."""
        return ", ".join(f'"{column}"' for column in self.key)


def described(connection: sqlite3.Connection) -> list[Table]:
    """Every table of an open catalog, in order of name, as the file itself has it."""
    return [_table(connection, row[0], row[1]) for row in connection.execute(TABLES).fetchall()]


def referring(tables: list[Table]) -> Mapping[str, list[str]]:
    """Table -> the tables that point to it, each once, in order of name."""
    found: dict[str, list[str]] = defaultdict(list)
    for table in tables:
        for name in sorted({reference.table for reference in table.references}):
            found[name].append(table.name)
    return found


def _table(connection: sqlite3.Connection, name: str, sql: str) -> Table:
    info = connection.execute(f'PRAGMA table_xinfo("{name}")').fetchall()
    key = tuple(row[1] for row in sorted(info, key=lambda row: row[5]) if row[5])
    types = {row[1]: row[2] for row in info}
    if name == SEQUENCES:  # SQLite gives its own table neither types nor a key
        key, types = ("name",), {"name": "TEXT", "seq": "INTEGER"}
    columns = tuple(
        Column(row[1], types[row[1]], not row[3] and row[1] not in key, row[6] in (VIRTUAL, STORED),
               meaning(name, row[1]))
        for row in info
    )  # fmt: skip
    return Table(name, purpose(name), columns, key, _references(connection, name), _rules(connection, name), sql)


def _references(connection: sqlite3.Connection, name: str) -> tuple[Reference, ...]:
    grouped: dict[int, list[tuple[str, str, str]]] = defaultdict(list)
    for row in connection.execute(f'PRAGMA foreign_key_list("{name}")').fetchall():
        grouped[row[0]].append((row[2], row[3], row[4]))
    found = [
        Reference(tuple(mine for _, mine, _ in parts), parts[0][0], tuple(theirs for _, _, theirs in parts))
        for parts in grouped.values()
    ]
    return tuple(sorted(found))


def _rules(connection: sqlite3.Connection, name: str) -> tuple[str, ...]:
    """The rules of the trade that a table keeps, as the messages of its triggers say them; each once."""
    found: dict[str, None] = {}
    for (sql,) in connection.execute(RULES, (name,)):
        for said in REFUSAL.findall(sql):
            text = said.replace("''", "'").partition(": ")[2] or said
            found[text[0].upper() + text[1:] + "."] = None
    return tuple(found)


def meaning(table: str, column: str) -> str:
    """What a column means, "" where nobody said."""
    words = _glossary()
    return words.get(table, {}).get(column) or words["shared"].get(column, "")


def purpose(table: str) -> str:
    """What a row of a table means, from the comment above it in the schema; "" where there is none."""
    return SEQUENCES_PURPOSE if table == SEQUENCES else _purposes().get(table, "")


@cache
def _glossary() -> dict[str, dict[str, str]]:
    return tomllib.loads(GLOSSARY.read_text(encoding="utf-8"))


@cache
def _purposes() -> dict[str, str]:
    found = {}
    for file in sorted(SCHEMA_FOLDER.glob("*/*.sql")):
        for comment, table in PURPOSE.findall(file.read_text(encoding="utf-8")):
            found[table] = _sentence(" ".join(line.removeprefix("-- ") for line in comment.splitlines()))
    return found


def _sentence(comment: str) -> str:
    """“one row a body of work” -> “Each row is a body of work.”"""
    text = "Each row is " + comment.removeprefix("one row ") if comment.startswith("one row ") else comment
    return text[0].upper() + text[1:] + "."
