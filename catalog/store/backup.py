"""Copies of the catalog file, taken by SQLite itself in one step."""

import itertools
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


def copy_before_migration(path: Path, version: int) -> Path:
    """Keep the file as it is beside it, whole or not at all, under a name that nothing has; where the copy is.

    Through a connection of its own, so that the caller may hold the file against other writers meanwhile.
    """
    names = (f"{path.stem}-schema-{version}{'' if n == 1 else f'-{n}'}.db" for n in itertools.count(1))
    target = next(path.with_name(name) for name in names if not path.with_name(name).exists())
    growing = path.with_name(f"{target.name}.part")
    growing.unlink(missing_ok=True)  # what a crash left
    connection = sqlite3.connect(path, isolation_level=None, timeout=10)
    try:
        copy(connection, growing)
        growing.chmod(path.stat().st_mode & 0o777)
        growing.rename(target)
    finally:
        connection.close()
        growing.unlink(missing_ok=True)
    return target
