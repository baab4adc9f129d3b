"""Putting a backup back: made ready beside the catalog first, then put in its place, the old one set aside.

Until `tirage-restoring/` stands whole in the catalog's folder the old catalog is in use, and from then on `finish` can
always be gone on with: every step is a renaming, and each looks first whether it was done.
"""

import errno
import json
import os
import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path

from catalog.errors import TirageError
from catalog.store import backup as copies_of_file
from catalog.store import backup_log
from catalog.store.backing_up import PICTURES, SETTINGS
from catalog.store.backups import Backup, Watch
from catalog.store.connection import DATABASE, RESTORING, WritesRefusedError
from catalog.store.manifest import Kept
from catalog.store.migrations import APPLICATION_ID
from catalog.whole_files import PART, content, copy, open_plain, read_plain, settle, within, write_whole

GROWING = f".{RESTORING}{PART}"
PLAN = "plan.json"
SET_ASIDE = re.compile(r"set-aside-\d{4}-\d{2}-\d{2}-\d{6}(-\d+)?")
KEYS = "keys"
FOLDERS = (PICTURES, "out")
OURS = (DATABASE, SETTINGS, PICTURES, KEYS, RESTORING, backup_log.FILE)
UNUSABLE = ("file is not a database", "malformed", "unable to open", "disk I/O error", "unsupported file format")


class RestoreRefusedError(TirageError):
    """A backup that is not put back."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(f"Nothing was restored or changed: {reason}. {remedy}")


class NotRestoredError(TirageError):
    """A disk that got in the way; the old catalog is in use."""

    def __init__(self, target: Path, reason: str) -> None:
        super().__init__(
            f"Nothing was restored in {target} ({reason}); what was there is as it was. Make room, look at the disks, "
            f"and try again."
        )


def check_target(target: Path) -> None:
    """Raises RestoreRefusedError but where a folder is new or empty, or a catalog is or was in it."""
    if (target / DATABASE).is_symlink():
        raise RestoreRefusedError(
            f"{target / DATABASE} is a link to {os.readlink(target / DATABASE)}", "Restore into the folder it leads to."
        )
    if target.exists() and not target.is_dir():
        raise RestoreRefusedError(f"{target} is no folder", "Name a new one with --into DIR.")
    if target.is_dir() and any(target.iterdir()) and not any((target / name).exists() for name in OURS):
        raise RestoreRefusedError(
            f"{target} holds other things and no catalog", "Name a new or empty folder with --into DIR."
        )


@contextmanager
def held(target: Path) -> Iterator[tuple[sqlite3.Connection | None, str]]:
    """The catalog in a folder, held against everybody who writes; or None, and why it cannot be opened ("": none).

    What a writer left half-done is rolled back by SQLite first. Raises WritesRefusedError where another holds it.
    """
    path = target / DATABASE
    if not path.is_file():
        yield None, ""
        return
    connection, reason = sqlite3.connect(path, isolation_level=None, timeout=10), ""
    connection.row_factory = sqlite3.Row
    try:
        try:
            connection.execute("BEGIN IMMEDIATE")
            if connection.execute("PRAGMA application_id").fetchone()[0] not in (0, APPLICATION_ID):
                raise RestoreRefusedError(f"{path} was written by another program", "Name another folder.")
            connection.execute("SELECT count(*) FROM journal_seal").fetchone()
        except UnicodeDecodeError:  # SQLite quotes a damaged schema as it is
            reason = "malformed"
        except sqlite3.DatabaseError as problem:
            reason = str(problem)
            if not any(word in reason for word in (*UNUSABLE, "no such table")):
                raise WritesRefusedError(reason) from problem
        yield (None if reason else connection), reason
    finally:
        connection.close()


def prepare(backup: Backup, target: Path, watch: Watch, lenient: bool) -> list[str]:
    """Make the files of a backup ready beside the catalog, each compared with the manifest; what is amiss.

    `lenient` lets pictures be missing. Whether the history proves is the caller's to ask before.
    Raises RestoreRefusedError, NotRestoredError; the old catalog is in use still.
    """
    growing, minds = target / GROWING, []
    try:
        target.mkdir(mode=0o700, parents=True, exist_ok=True)
        if growing.exists():
            shutil.rmtree(growing)  # what a restore that was cut off left
        for folder in (growing, growing / PICTURES, growing / KEYS):
            folder.mkdir(mode=0o700)
        for kept in watch(backup.manifest.files):
            problem = _fetch(kept, backup.folder, target, growing)
            if problem and not (lenient and kept.pool):
                raise RestoreRefusedError(
                    f"the backup does not verify: {problem}",
                    "Take another backup, or, if only pictures are missing, say --anyway REASON.",
                )
            minds += [problem] if problem else []
        wrong = copies_of_file.damage(growing / DATABASE)
        if wrong:
            raise RestoreRefusedError(f"the backup does not verify: {wrong[0]}", "Take another backup.")
    except OSError as problem:
        abandon(target)
        raise NotRestoredError(target, problem.strerror or str(problem)) from problem
    except BaseException:
        abandon(target)
        raise
    return minds


def make_ready(target: Path, now: datetime) -> None:
    """Let `tirage-restoring/` stand, whole: from here on the restoring goes on whatever happens. Raises OSError."""
    growing = target / GROWING
    for path in growing.glob(f"{DATABASE[:-3]}-schema-*"):  # the backup itself is the copy before a migration
        path.unlink()
    stamp = f"set-aside-{now:%Y-%m-%d-%H%M%S}"
    names = (stamp if count == 1 else f"{stamp}-{count}" for count in range(1, 10_000))
    aside = next(name for name in names if not (target / name).exists())
    write_whole(growing / PLAN, json.dumps({"aside": aside}).encode())
    for here, _, names_here in os.walk(growing):
        for name in names_here:
            settle(Path(here) / name)
        settle(Path(here))
    growing.rename(target / RESTORING)
    settle(target)


def abandon(target: Path) -> None:
    """Take away what was made ready and not yet put in place."""
    shutil.rmtree(target / GROWING, ignore_errors=True)


def finish(target: Path) -> Path | None:
    """Put what is ready in its place, and what was there aside; where that is, or None where nothing was there.

    Can be gone on with after it was cut off anywhere. The caller holds the catalog. Raises NotRestoredError, OSError.
    """
    ready = target / RESTORING
    aside = target / _planned(target, ready)
    if any((target / one).exists() for one in (DATABASE, f"{DATABASE}-journal", SETTINGS, PICTURES)):
        aside.mkdir(mode=0o700, exist_ok=True)
    for one in (SETTINGS, PICTURES):
        _exchange(ready / one, target / one, aside / one)
    if (ready / DATABASE).exists():
        _set_aside(target / DATABASE, aside / DATABASE)
        (ready / DATABASE).replace(target / DATABASE)
        settle(target)
    _bring_keys(ready / KEYS, target / KEYS)
    for folder in FOLDERS:
        (target / folder).mkdir(mode=0o700, exist_ok=True)
    shutil.rmtree(target / GROWING, ignore_errors=True)
    ready.rename(target / GROWING)  # half taken away it would look unfinished
    with suppress(OSError):  # it is done; seen half-done after a power cut, it would only be finished once more
        settle(target)
    abandon(target)
    return aside if aside.is_dir() else None


def _planned(target: Path, ready: Path) -> str:
    """The name of the folder in which what is there is set aside. Raises NotRestoredError, OSError."""
    try:
        name = json.loads(read_plain(ready / PLAN, 1 << 16, follow=False))["aside"]
        if SET_ASIDE.fullmatch(name):
            return str(name)
    except (ValueError, TypeError, KeyError, RecursionError):
        pass
    raise NotRestoredError(target, f"{RESTORING}/{PLAN} is damaged")


def _fetch(kept: Kept, backup: Path, target: Path, growing: Path) -> str:
    """Bring one file to where it is made ready; why it is not what the manifest says, "" where it is."""
    goal = growing / kept.path
    if kept.path.startswith(f"{KEYS}/") and (target / kept.path).exists():
        return ""  # the key that is there stays
    goal.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    wanted = (kept.sha256, kept.size)
    if kept.pool and _link_same(target, kept, goal):
        return ""
    try:
        with open_plain(kept.where(backup)) as source:
            found = copy(source, goal)
    except OSError as problem:
        if problem.errno in (errno.ENOSPC, errno.EDQUOT, errno.EROFS):
            raise
        goal.unlink(missing_ok=True)
        return f"{kept.path} cannot be read ({problem.strerror or problem})"
    if found != wanted:
        goal.unlink()
        return f"{kept.path} is not what was kept: it was changed or damaged"
    return ""


def _link_same(target: Path, kept: Kept, goal: Path) -> bool:
    """Take the picture that is in the catalog's folder already, where it is the same; without a second copy of it."""
    try:
        there = within(target, kept.path)
        if content(there) != (kept.sha256, kept.size):
            return False
        os.link(there, goal)
    except OSError:
        return False
    return True


def _exchange(ready: Path, place: Path, aside: Path) -> None:
    """Put what is ready in its place, and what is there aside."""
    if not ready.exists():
        return
    if place.exists() or place.is_symlink():
        place.rename(_free(aside))
        settle(aside.parent)
    ready.rename(place)
    settle(place.parent)


def _set_aside(database: Path, aside: Path) -> None:
    """Keep the catalog's file under a second name, so that it is never away; and what a crash left of it too."""
    journal = database.with_name(f"{database.name}-journal")
    if not database.exists() and not journal.exists():
        return
    for path, goal in ((database, aside), (journal, aside.with_name(journal.name))):
        if not path.exists() or (goal.exists() and goal.samefile(path)):
            continue
        try:
            os.link(path, _free(goal))
        except OSError:  # a disk that knows no second names
            path.rename(_free(goal))
    settle(aside.parent)
    journal.unlink(missing_ok=True)  # it would be rolled back into the restored file
    settle(database.parent)


def _bring_keys(ready: Path, keys: Path) -> None:
    if not ready.is_dir() or not any(ready.iterdir()):
        return
    keys.mkdir(mode=0o700, exist_ok=True)
    for path in sorted(ready.iterdir()):
        if not (keys / path.name).exists():
            path.rename(keys / path.name)
    settle(keys)


def _free(path: Path) -> Path:
    names = (path if n == 1 else path.with_name(f"{path.stem}-{n}{path.suffix}") for n in range(1, 10_000))
    return next(name for name in names if not name.exists())
