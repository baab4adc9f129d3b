"""Copies of the catalog file, taken by SQLite itself in one step."""

import sqlite3
from pathlib import Path


def copy(connection: sqlite3.Connection, target: Path) -> None:
    """Copy the open catalog to `target`, which must not exist. One step: a copy by steps restarts at every write."""
    if target.exists():
        raise FileExistsError(target)
    with sqlite3.connect(target) as other:
        connection.backup(other)
    other.close()


def snapshot(connection: sqlite3.Connection) -> sqlite3.Connection:
    """A copy in memory for reading that takes longer than a second, so that a writer never waits.

    Not inside an open transaction (ValueError): SQLite would wait for ever for itself.
    """
    if connection.in_transaction:
        raise ValueError("no snapshot inside an open transaction")
    other = sqlite3.connect(":memory:", isolation_level=None)
    other.row_factory = sqlite3.Row
    connection.backup(other)
    other.execute("PRAGMA query_only = ON")
    return other


def copy_before_migration(connection: sqlite3.Connection, path: Path, version: int) -> Path:
    """Keep the catalog as it was, beside it, before its schema changes."""
    target = path.with_name(f"{path.stem}-schema-{version}.db")
    if not target.exists():
        copy(connection, target)
    return target
