"""Opening a catalog: one folder, one SQLite file, settings that keep it whole."""

import sqlite3
from datetime import datetime
from pathlib import Path

from catalog.errors import TirageError
from catalog.store import migrations

DATABASE = "catalog.db"
LEAST_SQLITE = (3, 37, 0)  # STRICT tables


class NoCatalogError(TirageError):
    """A folder that holds no catalog."""

    def __init__(self, folder: Path) -> None:
        super().__init__(
            f"There is no catalog in {folder}; expected a {DATABASE} there. Go to a catalog's folder, "
            f"name one with --catalog DIR, or begin one with: tirage init DIR --artist NAME."
        )


class NotACatalogError(TirageError):
    """A catalog.db that something else wrote, or that is damaged."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"{path} is not a catalog of this program ({reason}); nothing was changed. "
            f"Name another folder with --catalog DIR, or bring back a copy that was kept."
        )


class NewerCatalogError(TirageError):
    """A file written by a newer version."""

    def __init__(self, path: Path, version: int) -> None:
        super().__init__(
            f"{path} was written by a newer version (schema {version}, this one knows "
            f"{migrations.SCHEMA_VERSION}); nothing was changed. Install the newer version."
        )


class OldSqliteError(TirageError):
    """An SQLite library without STRICT tables."""

    def __init__(self) -> None:
        super().__init__(
            f"This Python brings SQLite {sqlite3.sqlite_version}; 3.37 or newer is needed. Use a newer Python."
        )


class FolderNotEmptyError(TirageError):
    """A new catalog where something is already."""

    def __init__(self, folder: Path) -> None:
        super().__init__(f"{folder} is not empty; a new catalog needs a new or an empty folder. Name another one.")


class WritesRefusedError(TirageError):
    """A disk, folder or file that cannot be written, or a catalog that something else holds."""

    def __init__(self, reason: str) -> None:
        remedy = {
            "attempt to write a readonly database": "The file or its folder is read-only; change its permissions.",
            "unable to open database file": "The folder cannot be written; change its permissions.",
            "database or disk is full": "The disk is full; make room.",
            "database is locked": "Another program holds the catalog; wait until it is done, then try again.",
            "database disk image is malformed": "The file is damaged: work on from a copy that was kept, and keep the "
            "damaged one for whoever can read it.",
            "disk I/O error": "The disk did not answer; look at the disk before anything else.",
        }.get(reason, "")
        super().__init__(f"The catalog could not be read or written ({reason}). Nothing was changed. {remedy}".rstrip())


def find(start: Path) -> Path | None:
    """The nearest folder at or above `start` that holds a catalog."""
    for folder in (start, *start.parents):
        if (folder / DATABASE).exists():
            return folder
    return None


def open_catalog(folder: Path, *, writing: bool, now: datetime | None = None) -> sqlite3.Connection:
    """Open the catalog in `folder`; readers can only read. An older schema is backed up and migrated first.

    Raises NoCatalogError, NotACatalogError, NewerCatalogError, OldSqliteError.
    """
    path = folder / DATABASE
    if sqlite3.sqlite_version_info < LEAST_SQLITE:
        raise OldSqliteError
    if not path.is_file():
        raise NoCatalogError(folder)
    connection = _connect(path)
    try:
        application = connection.execute("PRAGMA application_id").fetchone()[0]
        version = connection.execute("PRAGMA user_version").fetchone()[0]
    except sqlite3.DatabaseError as error:
        connection.close()
        raise NotACatalogError(path, str(error)) from error
    if application != migrations.APPLICATION_ID or version < 1:
        connection.close()
        raise NotACatalogError(path, "another program wrote it" if application else "it has no mark of this program")
    if version > migrations.SCHEMA_VERSION:
        connection.close()
        raise NewerCatalogError(path, version)
    if version < migrations.SCHEMA_VERSION:
        from catalog.store.backup import copy_before_migration

        copy_before_migration(connection, path, version)
        connection.execute("BEGIN IMMEDIATE")
        migrations.migrate(connection)
        connection.execute("COMMIT")
    if not writing:
        connection.execute("PRAGMA query_only = ON")
    return connection


def create(folder: Path) -> sqlite3.Connection:
    """Make an empty catalog in a new or empty folder, inside an open transaction. Raises FolderNotEmptyError."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FolderNotEmptyError(folder)
    folder.mkdir(parents=True, exist_ok=True)
    connection = _connect(folder / DATABASE)
    connection.execute("BEGIN IMMEDIATE")
    migrations.migrate(connection)
    return connection


def _connect(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None, timeout=10)
    connection.row_factory = sqlite3.Row
    try:
        # A catalog in a synced folder must be one file at rest: rollback journal, never a write-ahead log.
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA recursive_triggers = ON")
        connection.execute("PRAGMA secure_delete = ON")
        connection.execute("PRAGMA synchronous = FULL")
    except sqlite3.DatabaseError:
        pass  # told by the first reading in open_catalog, with its reason
    return connection
