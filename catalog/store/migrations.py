"""Numbered migrations: plain .sql in schema/NNNN/, run statement by statement inside one transaction."""

import sqlite3
from collections import Counter
from functools import cache
from pathlib import Path
from typing import NamedTuple

SCHEMA_FOLDER = Path(__file__).parent / "schema"
SCHEMA_VERSION = 4  # the newest folder in schema/; a constant, so that opening a catalog lists no folder
APPLICATION_ID = 0x54495241  # "TIRA", PRAGMA application_id


class Part(NamedTuple):
    """One thing in a schema: its type, its name, the table it is of, and its SQL ("" where SQLite made it)."""

    type: str
    name: str
    table: str
    sql: str


# What ANALYZE makes; https://sqlite.org/fileformat.html, sections 2.6.3 to 2.6.6
STATISTICS = {
    Part("table", name, name, f"CREATE TABLE {name}({columns})")
    for name, columns in (("sqlite_stat1", "tbl,idx,stat"), ("sqlite_stat4", "tbl,idx,neq,nlt,ndlt,sample"))
}


def statements(version: int) -> list[str]:
    """The SQL statements of one migration in order. (executescript would commit first and leave half a schema.)"""
    found = []
    for file in sorted((SCHEMA_FOLDER / f"{version:04d}").glob("*.sql")):
        pending = ""
        for line in file.read_text(encoding="utf-8").splitlines(keepends=True):
            pending += line
            if sqlite3.complete_statement(pending):
                found.append(pending.strip())
                pending = ""
    return found


def version_of(connection: sqlite3.Connection) -> int:
    """The schema version of the open file; 0 in a new one."""
    version: int = connection.execute("PRAGMA user_version").fetchone()[0]
    return version


def migrate(connection: sqlite3.Connection) -> int:
    """Bring the open file to the newest schema, inside the caller's transaction; the version it had before."""
    from catalog.store import guards  # here, so that opening a catalog does not load it

    before = version_of(connection)
    for version in range(before + 1, SCHEMA_VERSION + 1):
        for statement in statements(version):
            connection.execute(statement)
    if before < SCHEMA_VERSION:
        guards.renew(connection, added_columns())
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    return before


@cache  # what was shipped does not change while a program runs
def added_columns() -> dict[str, dict[str, str]]:
    """Table -> the columns that a later migration gave it, each with the SQL of its default, in their order.

    A row that the journal recorded before a migration says nothing of these: they then stood at their default.
    """
    connection = sqlite3.connect(":memory:", isolation_level=None)
    first: dict[str, set[str]] = {}
    added: dict[str, dict[str, str]] = {}
    try:
        for version in range(1, SCHEMA_VERSION + 1):
            for statement in statements(version):
                connection.execute(statement)
            names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
            for (name,) in names:
                columns = {row[1]: row[4] or "NULL" for row in connection.execute(f"PRAGMA table_info({name})")}
                known = first.setdefault(name, set(columns))
                later = {column: default for column, default in columns.items() if column not in known}
                if later:
                    added[name] = later
    finally:
        connection.close()
    return added


def shipped_schema(version: int = SCHEMA_VERSION) -> Counter[Part]:
    """Every table, index and trigger as that version of the schema had them, 1 to the newest."""
    from catalog.store import guards

    connection = sqlite3.connect(":memory:", isolation_level=None)
    try:
        for number in range(1, version + 1):
            for statement in statements(number):
                connection.execute(statement)
        added = {}
        for table, later in added_columns().items():
            there = {row[1] for row in connection.execute(f"PRAGMA table_info({table})")}
            added[table] = {column: default for column, default in later.items() if column in there}
        guards.renew(connection, added)
        found = schema(connection)
    finally:
        connection.close()
    return Counter({_as_once(part) if version == 1 else part: count for part, count in found.items()})


def _as_once(part: Part) -> Part:
    """A part as schema 1 had it: a transfer was told once then, and never altered."""
    if part.name != "guard_update_transfer":
        return part
    head, stop, _ = part.sql.partition("a key never changes')\n")
    never = "  WHEN 1 THEN RAISE(ABORT, 'transfer: its rows are never altered')\nEND; END"
    return part._replace(sql=head + stop + never)


def schema(connection: sqlite3.Connection) -> Counter[Part]:
    """Everything that is defined in the open file, counted: two things of different kinds may share one name.

    Left out is only what ANALYZE keeps, to the letter; the indexes that SQLite makes by itself are counted too.
    """
    rows = connection.execute("SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_master").fetchall()
    parts = Counter(Part(*row) for row in rows)
    return Counter({part: count for part, count in parts.items() if count > 1 or part not in STATISTICS})
