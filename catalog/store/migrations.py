"""Numbered migrations: plain .sql in schema/NNNN/, run statement by statement inside one transaction."""

import sqlite3
from pathlib import Path

SCHEMA_FOLDER = Path(__file__).parent / "schema"
SCHEMA_VERSION = 1  # the newest folder in schema/; a constant, so that opening a catalog lists no folder
APPLICATION_ID = 0x54495241  # "TIRA", PRAGMA application_id


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


def migrate(connection: sqlite3.Connection) -> int:
    """Bring the open file to the newest schema, inside the caller's transaction; the version it had before."""
    from catalog.store import guards  # here, so that opening a catalog does not load it

    before: int = connection.execute("PRAGMA user_version").fetchone()[0]
    for version in range(before + 1, SCHEMA_VERSION + 1):
        for statement in statements(version):
            connection.execute(statement)
    if before < SCHEMA_VERSION:
        guards.renew(connection)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {SCHEMA_VERSION}")
    return before


def shipped_schema() -> dict[str, str]:
    """Name -> SQL of every table, index and trigger as this version ships them."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    try:
        migrate(connection)
        return schema(connection)
    finally:
        connection.close()


def schema(connection: sqlite3.Connection) -> dict[str, str]:
    """Name -> SQL of everything in the open file that has SQL."""
    return dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL").fetchall())
