"""A place with backups: which are there, whether each is still what its manifest says, and which may go."""

import shutil
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from catalog.store import backup as copies_of_file
from catalog.store import manifest
from catalog.store.connection import DATABASE
from catalog.store.manifest import DOUBTFUL, FILE, NAME, Kept, Manifest, NoBackupError
from catalog.whole_files import PART, content

MONTHS = 12  # of which the newest backup of each stays: common practice, no source
HOLDS = "SELECT 1 FROM journal_seal WHERE digest = ?"
FIRST = "SELECT digest FROM journal_seal ORDER BY id LIMIT 1"

Watch = Callable[[Sequence[Kept]], Iterable[Kept]]


@dataclass(frozen=True)
class Backup:
    """One backup in its place."""

    folder: Path
    manifest: Manifest

    @property
    def doubtful(self) -> bool:
        """Whether it did not verify when it was made, and was kept aside."""
        return self.folder.name.endswith(DOUBTFUL)

    @property
    def age(self) -> tuple[str, int, str]:
        """What backups are ordered by, the newest last, where neither continues the other's history."""
        return (self.manifest.made, self.manifest.commands, self.folder.name)


@dataclass(frozen=True)
class Place:
    """What a place holds: backups, each after those whose history it continues, and what cannot be read, and why."""

    backups: tuple[Backup, ...]
    unreadable: tuple[str, ...]

    @property
    def newest_good(self) -> Backup | None:
        """The newest that was verified when it was made."""
        return next((one for one in reversed(self.backups) if not one.doubtful), None)


def look(place: Path) -> Place:
    """What is in a place; nothing is verified. Raises OSError where it cannot be read."""
    found, unreadable = [], []
    for path in sorted(place.iterdir()):
        if NAME.fullmatch(path.name):
            try:
                found.append(Backup(path, manifest.read(path)))
            except NoBackupError as problem:
                unreadable.append(problem.sentence)
    return Place(tuple(_in_order(found)), tuple(unreadable))


def continues(later: Backup, earlier: Backup) -> bool:
    """Whether a backup holds all that another holds: the seal that the other ends in is in its chain."""
    if later.manifest.root != earlier.manifest.root or later.manifest.commands < earlier.manifest.commands:
        return False
    if later.manifest.seal == earlier.manifest.seal:
        return True
    connection = copies_of_file.reopened(later.folder / DATABASE)
    try:
        return connection.execute(HOLDS, (earlier.manifest.seal,)).fetchone() is not None
    except sqlite3.DatabaseError:
        return False
    finally:
        connection.close()


def _in_order(found: Sequence[Backup]) -> list[Backup]:
    """Backups by their history, for a clock may have gone back; by their dates where they are forks of one another."""
    ordered: list[Backup] = []
    for one in sorted(found, key=lambda one: one.age):
        # Among those before it, it comes in front of the first that continues it and has more commands.
        longer = [
            place
            for place, other in enumerate(ordered)
            if other.manifest.commands > one.manifest.commands and continues(other, one)
        ]
        ordered.insert(longer[0] if longer else len(ordered), one)
    return ordered


def verify(backup: Backup, watch: Watch = iter) -> list[str]:
    """What is wrong with a backup, in sentences: every byte read again, the chain and every row proved.

    `watch` goes through its files, for a progress bar.
    """
    found = []
    for kept in watch(backup.manifest.files):
        problem = damage(kept, backup.folder)
        if problem:
            found.append(problem)
    return found + verify_catalog(backup)


def verify_catalog(backup: Backup) -> list[str]:
    """What is wrong with the catalog file of a backup alone."""
    path = backup.folder / DATABASE
    if path.is_symlink() or not path.is_file():
        return [f"{DATABASE} is missing or a link"]
    found = (
        copies_of_file.damage(path)
        or copies_of_file.foreign(path)
        or [*copies_of_file.unproved(path), *_stands(path, backup.manifest)]
    )
    return [f"{DATABASE}: {one}" for one in found]


def ruined(backup: Backup) -> list[str]:
    """What makes the catalog file of a backup useless: damaged pages, or another history than its manifest says."""
    path = backup.folder / DATABASE
    if path.is_symlink() or not path.is_file():
        return [f"{DATABASE} is missing or a link"]
    return copies_of_file.damage(path) or _stands(path, backup.manifest)


def damage(kept: Kept, folder: Path) -> str:
    """Why a file is not what its manifest says, "" where it is."""
    try:
        now = content(kept.where(folder))
    except OSError as problem:
        return f"{kept.path} cannot be read ({problem.strerror or problem})"
    return "" if now == (kept.sha256, kept.size) else f"{kept.path} is not what was kept: it was changed or damaged"


def may_go(backups: Sequence[Backup], keep: int) -> list[Backup]:
    """Which verified backups, the newest last, may go: all but the newest `keep`, one a month and the longest history.

    Of each of the last twelve months that have one, the newest stays.
    """
    good = [one for one in backups if not one.doubtful]
    stay = {one.folder for one in good[-keep:]}
    months = {one.manifest.made[:7]: one.folder for one in good}
    stay |= {months[month] for month in sorted(months)[-MONTHS:]}
    stay |= {max(good, key=lambda one: (one.manifest.commands, one.age)).folder} if good else set()
    return [one for one in good if one.folder not in stay]


def rotate(place: Path, newest: Backup, keep: int) -> tuple[list[str], list[str]]:
    """Take away what may go now that `newest` is verified: the names that went, and sentences on what stays.

    Only backups of the same catalog go, never `newest`, never one that is damaged or holds what is not ours, and none
    with work that no other that stays holds: that one is read again first.
    """
    gone, told = [], []
    found = look(place)
    ours = [one for one in found.backups if one.manifest.root == newest.manifest.root]
    going = [one for one in may_go(ours, keep) if one.folder != newest.folder]
    staying = [one for one in reversed(ours) if one not in going and one.folder != newest.folder and not one.doubtful]
    for one in going:
        problem = _only_here(one, newest, staying) or take_away(one)
        told += [problem] if problem else []
        gone += [] if problem else [one.folder.name]
    return gone, [*told, *found.unreadable]


def _only_here(one: Backup, newest: Backup, staying: Sequence[Backup]) -> str:
    """Why a backup stays though its turn has come: no other that is whole holds its work; "" where one does."""
    if continues(newest, one):  # it was read again and proved a moment ago
        return ""
    damaged = []
    for other in staying:
        if continues(other, one):
            kept = other.manifest.of(DATABASE)
            problem = damage(kept, other.folder) if kept else "it has no catalog"
            if not problem:
                return ""
            damaged.append(f" {other.folder.name} would hold it, but is damaged ({problem}).")
    return (
        f"{one.folder.name} stays, though its turn to go has come: no other backup here that is whole holds its work "
        f"up to “{one.manifest.command}”.{''.join(damaged[:1])}"
    )


def take_away(backup: Backup) -> str:
    """Delete a backup that may go, or say why it stays: it is damaged, or holds what no backup put there."""
    for kept in backup.manifest.files:
        problem = "" if kept.pool else damage(kept, backup.folder)
        if problem:
            return f"{backup.folder.name} stays, though its turn to go has come: {problem}. Look at that disk."
    ours = {kept.path for kept in backup.manifest.files if not kept.pool} | {FILE}
    there = {path.relative_to(backup.folder).as_posix() for path in backup.folder.rglob("*")}
    strange = sorted(there - ours - {"keys"})
    if strange:
        return f"{backup.folder.name} stays, though its turn to go has come: somebody put {strange[0]} into it."
    going = backup.folder.with_name(f".{backup.folder.name}{PART}")
    backup.folder.rename(going)  # a half-deleted backup is none
    shutil.rmtree(going)
    return ""


def sweep(place: Path) -> None:
    """Take away what a backup that was cut off left; only while nobody else works in the place."""
    for path in place.glob(f".backup-*{PART}"):
        if NAME.fullmatch(path.name[1 : -len(PART)]) and path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)


def _stands(path: Path, said: Manifest) -> list[str]:
    """Whether the history in a catalog file stands where a manifest says."""
    connection = copies_of_file.reopened(path)
    try:
        root = connection.execute(FIRST).fetchone()
        count, last = connection.execute(
            "SELECT count(*), (SELECT digest FROM journal_seal ORDER BY id DESC LIMIT 1) FROM journal_seal"
        ).fetchone()
    except sqlite3.DatabaseError as problem:
        return [f"it cannot be read ({problem})"]
    finally:
        connection.close()
    agrees = root is not None and (root[0], count, last) == (said.root, said.commands, said.seal)
    return [] if agrees else [f"its history does not end where the {FILE} says"]
