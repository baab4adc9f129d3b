"""Opening a catalog: one folder, one SQLite file, settings that keep it whole."""

import sqlite3
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from catalog.errors import TirageError
from catalog.store import migrations

DATABASE = "catalog.db"
RESTORING = "tirage-restoring"  # stands in the folder while a restored backup is put in its place
LEAST_SQLITE = (3, 37, 0)  # STRICT tables
# What SQLite says when the disk, the folder or another program is in the way -> what to do.
REMEDIES = {
    "attempt to write a readonly database": "The file or its folder is read-only; change its "
    "permissions. If a backup was put back here this moment, try again.",
    "unable to open database file": "The folder cannot be written; change its permissions.",
    "database or disk is full": "The disk is full; make room.",
    "database is locked": "Another program holds the catalog; wait until it is done, then try again.",
    "database disk image is malformed": "The file is damaged: work on from a copy that was kept, and keep the "
    "damaged one for whoever can read it.",
    "disk I/O error": "The disk did not answer; look at the disk before anything else.",
}


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


class NotMigratedError(TirageError):
    """A file of an older version that could not be brought to this one's schema."""

    def __init__(self, path: Path, version: int, reason: str) -> None:
        super().__init__(
            f"{path} is of an older version (schema {version}) and could not be brought to schema "
            f"{migrations.SCHEMA_VERSION} ({reason}); it is as it was. Another program may have changed its tables or "
            f"triggers: bring back a copy that was kept, or ask for help."
        )


class UnfinishedRestoreError(TirageError):
    """A restore that was cut off while the backup was put in its place."""

    def __init__(self, folder: Path) -> None:
        from shlex import quote

        super().__init__(
            f"A restore was cut off in {folder}. Nothing is lost: what was there is set aside, the backup is ready in "
            f"{RESTORING}/. Finish it, without the backup: tirage restore --finish --into {quote(str(folder))}"
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
        remedy = REMEDIES.get(reason, "")
        super().__init__(f"The catalog could not be read or written ({reason}). Nothing was changed. {remedy}".rstrip())


class NotConfirmedError(TirageError):
    """A disk that failed while a command was being committed, where it is done or may be."""

    def __init__(self, reason: str, stands: bool) -> None:
        super().__init__(
            f"The disk failed in the last moment ({reason}). "
            + (
                "All of it was recorded, and is safe only when the disk is: look at the disk, make a backup, and do "
                "not repeat the command."
                if stands
                else "Whether it was recorded cannot be read now: it is all there or nothing of it. Look at the disk, "
                "then at the history of what it was about (tirage history CODE), before you repeat the command."
            )
        )


def find(start: Path) -> Path | None:
    """The nearest folder at or above `start` that holds a catalog."""
    for folder in (start, *start.parents):
        if (folder / DATABASE).exists() or (folder / RESTORING).is_dir():
            return folder
    return None


def open_catalog(folder: Path, *, writing: bool, told: Callable[[int, Path], None] | None = None) -> sqlite3.Connection:
    """Open the catalog in `folder`; readers can only read.

    A file of an older schema is copied beside itself and migrated before it is written, and `told` is called with its
    version and the copy; a reader migrates a copy in memory and leaves the file alone.
    Raises NoCatalogError, NotACatalogError, NewerCatalogError, NotMigratedError, OldSqliteError,
    UnfinishedRestoreError.
    """
    path = folder / DATABASE
    if sqlite3.sqlite_version_info < LEAST_SQLITE:
        raise OldSqliteError
    if (folder / RESTORING).exists():
        raise UnfinishedRestoreError(folder)
    if not path.is_file():
        raise NoCatalogError(folder)
    connection = _connect(path)
    try:
        version = _version(connection, path)
        if version < migrations.SCHEMA_VERSION:
            connection = _migrated(connection, path, version, writing, told)
    except BaseException:
        connection.close()
        raise
    if not writing:
        connection.execute("PRAGMA query_only = ON")
    return connection


def _version(connection: sqlite3.Connection, path: Path) -> int:
    try:
        application = connection.execute("PRAGMA application_id").fetchone()[0]
        version = migrations.version_of(connection)
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        raise NotACatalogError(path, str(error)) from error
    if application != migrations.APPLICATION_ID or version < 1:
        raise NotACatalogError(path, "another program wrote it" if application else "it has no mark of this program")
    if version > migrations.SCHEMA_VERSION:
        raise NewerCatalogError(path, version)
    return version


def _migrated(
    connection: sqlite3.Connection,
    path: Path,
    version: int,
    writing: bool,
    told: Callable[[int, Path], None] | None,
) -> sqlite3.Connection:
    """The open file with the newest schema, or for a reader a copy of it in memory."""
    from catalog.store.backup import copy_before_migration

    if not writing:
        file, connection = connection, _connect(Path(":memory:"))
        file.backup(connection)
        file.close()
    kept: Path | None = None
    try:
        connection.execute("BEGIN IMMEDIATE")  # whoever comes second waits here, and finds it done
        version = migrations.version_of(connection)
        if writing and version < migrations.SCHEMA_VERSION:
            kept = copy_before_migration(path, version)
        migrations.migrate(connection)
        connection.execute("COMMIT")
    except BaseException as error:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        connection.close()
        if kept is not None:
            kept.unlink()
        if isinstance(error, sqlite3.Error) and str(error) not in REMEDIES:
            raise NotMigratedError(path, version, str(error)) from error
        raise
    if kept is not None and told is not None:
        told(version, kept)
    return connection


def create(folder: Path) -> sqlite3.Connection:
    """Make an empty catalog in a new or empty folder, inside an open transaction. Raises FolderNotEmptyError."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FolderNotEmptyError(folder)
    from catalog.whole_files import new_file  # here, so that commands that only read do not load it

    existed = folder.exists()
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.mkdir(mode=0o700, exist_ok=True)  # it holds names and prices
    path, connection = folder / DATABASE, None
    try:
        new_file(path).close()
        connection = _connect(path)
        connection.execute("BEGIN IMMEDIATE")
        migrations.migrate(connection)
    except BaseException:
        if connection is not None:
            connection.close()
        with suppress(OSError):  # a disk that fails here too is told of by what failed first
            path.unlink(missing_ok=True)
            if not existed:
                folder.rmdir()
        raise
    return connection


def _connect(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None, timeout=10)
    connection.row_factory = sqlite3.Row
    try:
        # A catalog in a synced folder must be one file at rest: rollback journal, never a write-ahead log.
        connection.execute("PRAGMA foreign_keys = ON")
        connection.execute("PRAGMA recursive_triggers = ON")
        connection.execute("PRAGMA secure_delete = ON")
        # Full, and the folder is synced as well after the journal is gone: without it a power cut could bring the
        # journal back, and with it what was before a commit that was acknowledged. https://sqlite.org/pragma.html
        connection.execute("PRAGMA synchronous = EXTRA")
    except (sqlite3.DatabaseError, UnicodeDecodeError):  # the latter: SQLite quotes a damaged schema as it is
        pass  # told by the first reading in open_catalog, with its reason
    return connection
