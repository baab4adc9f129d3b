"""Copies of the catalog file, taken by SQLite itself in one step, and what proves one."""

import itertools
import sqlite3
from pathlib import Path

from catalog.whole_files import new_file, settle

MOST_NAMED = 5


class CopyDiffersError(sqlite3.DatabaseError):
    """A copy of the file that came out damaged or is not what was copied; SQLite's own error would not stop it."""


def copy(connection: sqlite3.Connection, target: Path) -> None:
    """Copy the open catalog to `target`, which must not exist, down to the disk and for its owner alone.

    One step: a copy by steps restarts at every write. A reading is begun first: it waits for a writer as long as the
    connection waits, where the copying itself would wait for ever. Not inside a transaction that writes.
    """
    new_file(target).close()
    reading = not connection.in_transaction
    if reading:
        connection.execute("BEGIN")
    other = sqlite3.connect(target)
    try:
        other.execute("PRAGMA journal_mode = MEMORY")  # nothing is left beside it when the machine stops here
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
        connection.backup(other)
    finally:
        other.close()
        if reading:
            connection.execute("ROLLBACK")
    settle(target)


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
    """Keep the file as it is beside it, whole and proved or not at all, under a name that nothing has; where it is.

    Through a connection of its own, so that the caller may hold the file against other writers meanwhile.
    Raises CopyDiffersError.
    """
    names = (f"{path.stem}-schema-{version}{'' if n == 1 else f'-{n}'}.db" for n in itertools.count(1))
    target = next(path.with_name(name) for name in names if not path.with_name(name).exists())
    growing = path.with_name(f"{target.name}.part")
    growing.unlink(missing_ok=True)  # what a crash left
    connection = sqlite3.connect(path, isolation_level=None, timeout=10)
    try:
        copy(connection, growing)
        _prove_same(connection, growing)
        growing.chmod(path.stat().st_mode & 0o777)
        growing.rename(target)
        settle(target.parent)
    finally:
        connection.close()
        growing.unlink(missing_ok=True)
    return target


def reopened(path: Path) -> sqlite3.Connection:
    """A copy opened so that nothing is written beside it, not even a lock; it may be on a disk that only reads."""
    return sqlite3.connect(path.resolve().as_uri() + "?mode=ro&immutable=1", uri=True, isolation_level=None)


def problems(path: Path) -> list[str]:
    """What is wrong in a copy, in sentences: its pages, its parents, its chain of seals, every row; read only."""
    return damage(path) or unproved(path)


def damage(path: Path) -> list[str]:
    """What SQLite finds wrong with the pages of a copy."""
    connection = reopened(path)
    try:
        found = [row[0] for row in connection.execute("PRAGMA integrity_check(5)")]
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        found = [str(error)]
    finally:
        connection.close()
    return [f"the file is damaged ({one})" for one in found if one != "ok"]


def foreign(path: Path) -> list[str]:
    """Tables, indexes, views and triggers in a copy that its schema does not have, or that it lacks.

    A trigger of somebody else's would run with the first command on what was put back.
    """
    from catalog.store import migrations

    connection = reopened(path)
    try:
        version = migrations.version_of(connection)
        if not 1 <= version <= migrations.SCHEMA_VERSION:
            return [f"it is of schema {version}, which this program does not know"]
        shipped, found = migrations.shipped_schema(version), migrations.schema(connection)
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        return [f"the file is damaged ({error})"]
    finally:
        connection.close()
    names = sorted({f"{part.type} {part.name}" for part in (shipped - found) + (found - shipped)})
    return [f"another program changed what its schema has: the {name}" for name in names[:MOST_NAMED]]


def unproved(path: Path) -> list[str]:
    """What the journal does not bear out in a copy whose pages are whole: parents, the chain of seals, every row."""
    from catalog.store import journal
    from catalog.store.row_proof import differences

    connection = reopened(path)
    connection.row_factory = sqlite3.Row
    try:
        lost = connection.execute("PRAGMA foreign_key_check").fetchmany(5)
        found = [f"row {row[1]} of {row[0]} names a {row[2]} that does not exist" for row in lost]
        found += journal.prove(connection, outside=False)
        found += [
            f"row {one.key} of {one.table} is not as the journal has it"
            for one in itertools.islice(differences(connection), 5)
        ]
    except (sqlite3.DatabaseError, ValueError, LookupError, TypeError) as error:
        return [f"the file is damaged ({error})"]
    finally:
        connection.close()
    return found


def _prove_same(connection: sqlite3.Connection, target: Path) -> None:
    """Whether a copy is sound and ends in the same seal. Raises CopyDiffersError."""
    from catalog.store import journal

    other = reopened(target)
    try:
        damage = other.execute("PRAGMA quick_check(1)").fetchone()[0]
        same = journal.last_digest(other) == journal.last_digest(connection)
    finally:
        other.close()
    if damage != "ok" or not same:
        raise CopyDiffersError(damage if damage != "ok" else "its copy ends in another seal")
