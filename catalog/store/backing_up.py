"""Making a backup while the catalog is in use: whole or not at all, and read again before it counts."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from catalog.errors import TirageError
from catalog.store import backup as copies_of_file
from catalog.store import backups, manifest
from catalog.store.backups import Backup
from catalog.store.connection import (
    DATABASE,
    RESTORING,
    NewerCatalogError,
    NoCatalogError,
    NotACatalogError,
    UnfinishedRestoreError,
    WritesRefusedError,
)
from catalog.store.manifest import DOUBTFUL, FILE, POOL, Kept, Manifest
from catalog.store.migrations import APPLICATION_ID, SCHEMA_VERSION
from catalog.whole_files import (
    PART,
    Content,
    content,
    copy,
    files_below,
    only_one,
    open_plain,
    settle,
    within,
    write_whole,
)

SETTINGS, PICTURES, READ_ME = "settings.toml", "pictures", "backup-read-me.txt"
SEALS = """SELECT (SELECT count(*) FROM journal_seal), (SELECT digest FROM journal_seal ORDER BY id LIMIT 1),
    digest, sealed, command FROM journal_seal WHERE id = (SELECT max(id) FROM journal_seal)"""
WHOSE = "SELECT party.name, catalog.begun FROM catalog JOIN party ON party.id = catalog.artist"
RECORDED = "SELECT path, sha256 FROM picture ORDER BY id"
WORDS = """These are backups of a catalog of photographs, {artist}, begun {begun}.

Each folder named backup-DATE holds the catalog of that day: catalog.db (an SQLite database, which many programs open),
settings.toml, keys (if they are in it, each under a passphrase) and manifest.json (what is in the backup, with the
SHA-256 of every file). Pictures are in {pool}, once each, for all of them: keep that folder with the others.

To work on from the newest, with the program tirage:   tirage restore "THIS FOLDER" --into NEW-FOLDER
Without it: copy catalog.db out of the newest folder, and open the copy with any program for SQLite databases.
Papers (labels, certificates) are not in it: the catalog draws them again.
"""
MOST_DOUBTS = 8


class PlaceError(TirageError):
    """A place where no backup of this catalog can be kept."""

    def __init__(self, place: Path, reason: str, remedy: str) -> None:
        super().__init__(f"No backup was made in {place}: {reason}. {remedy}")


class NotBackedUpError(TirageError):
    """A backup that could not be written."""

    def __init__(self, place: Path, reason: str) -> None:
        super().__init__(
            f"No backup was made in {place} ({reason}); the catalog and the backups there are as they were. Make room, "
            f"look at that disk, or name another folder."
        )


@dataclass(frozen=True)
class Picture:
    """One picture to keep: its path below pictures/, and the digest that was recorded ("" where none was)."""

    path: str
    recorded: str


class Growing:
    """A backup that is being made; nothing of it counts before `finish`."""

    def __init__(self, folder: Path, place: Path, part: Path, made: datetime) -> None:
        self._folder, self._place, self._part, self._made = folder, place, part, made
        self._files: list[Kept] = []
        self._left_out: list[str] = []
        self.minds: list[str] = []  # what a person should know of it, though it is whole
        self.said = self._copy_catalog()
        if (folder / SETTINGS).is_file():
            with open_plain(folder / SETTINGS, follow=True) as source:
                self._keep(SETTINGS, copy(source, part / SETTINGS))
        self.pictures = self._wanted()

    def keep_picture(self, picture: Picture) -> None:
        """Keep one picture in the pool, or see that it is there and as it should be. Raises OSError."""
        path, (found, reason) = f"{PICTURES}/{picture.path}", self._read(picture)
        if not picture.recorded or (found and found.sha256 == picture.recorded):
            if found is None:
                self.minds.append(f"{path} is not in the backup: {reason}.")
                return
            self._files.append(self._stored(picture.path, found.sha256) or self._store(picture, found.sha256))
            return
        what = "was changed since it was recorded" if found else f"cannot be read ({reason})"
        stored = self._stored(picture.path, picture.recorded)
        if stored:
            self._files.append(stored)
            self.minds.append(f"{path} {what}; as recorded it is here, from earlier: {POOL}/{stored.pool}.")
            return
        self.minds.append(f"{path} {what}, and no backup here has it as recorded; see: tirage check.")
        found, _ = self._read(replace(picture, recorded=""))  # what there is now, unless it lies elsewhere
        if found:
            self._files.append(self._store(replace(picture, recorded=""), found.sha256))

    def keep_key(self, name: str, locked: bytes) -> None:
        """Keep a private key that is under a passphrase."""
        (self._part / "keys").mkdir(mode=0o700, exist_ok=True)
        write_whole(self._part / "keys" / name, locked)
        self._keep(f"keys/{name}", content(self._part / "keys" / name))

    def leave_key_out(self, name: str) -> None:
        """Note that a private key is not in it."""
        self._left_out.append(name)

    def finish(self, further: Callable[[Path], list[str]] = lambda path: []) -> tuple[Backup, list[str]]:
        """Write the manifest, read everything of this backup again and give it its name; what is wrong with it.

        `further` says what else does not hold in its catalog file, whose pages, rows and chain do.
        One with something wrong is named so, and never counts as a backup that may replace another.
        """
        said = replace(self.said, files=tuple(self._files), keys_left_out=tuple(self._left_out))
        doubts = backups.verify_catalog(Backup(self._part, said))[:MOST_DOUBTS] or further(self._part / DATABASE)
        said = replace(said, doubts=tuple(doubts))
        write_whole(self._part / FILE, said.text())
        for folder in filter(Path.is_dir, (self._part / "keys", self._part, self._place / POOL)):
            settle(folder)
        doubts += [problem for kept in said.files if not kept.pool and (problem := backups.damage(kept, self._part))]
        if manifest.read(self._part) != said:
            doubts.append(f"{FILE} is not what was written")
        target = self._name(bool(doubts))
        self._part.rename(target)
        settle(self._place)
        words = WORDS.format(artist=said.artist, begun=said.begun, pool=POOL).encode()
        write_whole(self._place / READ_ME, words)
        return Backup(target, said), doubts

    def _copy_catalog(self) -> Manifest:
        """The catalog's file by SQLite's own copying, and where its history stands. Raises TirageError."""
        path, target = self._folder / DATABASE, self._part / DATABASE
        if not path.is_file():
            raise NoCatalogError(self._folder)
        connection = sqlite3.connect(path, isolation_level=None, timeout=60)
        try:
            application = connection.execute("PRAGMA application_id").fetchone()[0]
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            if application != APPLICATION_ID:
                raise NotACatalogError(path, "another program wrote it, or it is damaged")
            if version > SCHEMA_VERSION:
                raise NewerCatalogError(path, version)
            copies_of_file.copy(connection, target)
        finally:
            connection.close()
        self._keep(DATABASE, content(target))
        copied = copies_of_file.reopened(target)
        try:
            commands, root, seal, sealed, command = copied.execute(SEALS).fetchone() or (0, "", "", "", "")
            artist, begun = copied.execute(WHOSE).fetchone() or ("", "")
            self._recorded = copied.execute(RECORDED).fetchall()
        finally:
            copied.close()
        made = self._made.astimezone(UTC).isoformat(timespec="seconds")
        return Manifest(made, artist, begun, version, root, commands, seal, sealed, command, ())

    def _keep(self, path: str, found: Content) -> None:
        self._files.append(Kept(path, found.sha256, found.size))

    def _wanted(self) -> list[Picture]:
        """Every picture that is recorded, then every other file in pictures/."""
        wanted = {path: Picture(path, digest) for path, digest in self._recorded}
        for path in list(wanted):
            try:
                within(Path("/nowhere"), path)
            except OSError:
                self.minds.append(f"The picture {path} is recorded outside {PICTURES}/, and is not in the backup.")
                del wanted[path]
        for path in files_below(self._folder / PICTURES):
            wanted.setdefault(path, Picture(path, ""))
        return list(wanted.values())

    def _names(self, path: str, digest: str) -> tuple[str, str]:
        """Where in the pool a picture lies: under its own name, or with its digest where another has that."""
        plain = Path(path)
        return path, plain.with_name(f"{plain.stem}.{digest[:16]}{plain.suffix}").as_posix()

    def _stored(self, path: str, digest: str) -> Kept | None:
        """The picture in the pool, read again."""
        for name in self._names(path, digest):
            try:
                found = content(within(self._place, f"{POOL}/{name}"))
            except OSError:
                continue
            if found.sha256 == digest:
                return Kept(f"{PICTURES}/{path}", digest, found.size, name)
        return None

    def _read(self, picture: Picture) -> tuple[Content | None, str]:
        """What a picture holds, or why it cannot be read."""
        try:
            return content(within(self._folder / PICTURES, picture.path)), ""
        except OSError as problem:
            return None, problem.strerror or str(problem)

    def _store(self, picture: Picture, digest: str) -> Kept:
        path, source = picture.path, within(self._folder / PICTURES, picture.path)
        for name in self._names(path, digest):
            target = within(self._place, f"{POOL}/{name}")
            if target.exists():
                continue
            target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            growing = target.with_name(f".{target.name}{PART}")
            growing.unlink(missing_ok=True)
            try:
                with open_plain(source) as original:
                    copy(original, growing)
                found = content(growing)
                if found.sha256 != digest:
                    raise OSError(f"{PICTURES}/{path} changed while it was copied")
                growing.rename(target)
            finally:
                growing.unlink(missing_ok=True)
            settle(target.parent)
            return Kept(f"{PICTURES}/{path}", found.sha256, found.size, name)
        raise OSError(f"{POOL}/{name} is damaged; move it away")

    def _name(self, doubtful: bool) -> Path:
        stamp = f"backup-{self._made:%Y-%m-%d-%H%M%S}"
        for count in range(1, 10_000):
            name = f"{stamp}{'' if count == 1 else f'-{count}'}"
            if not any((self._place / f"{name}{end}").exists() for end in ("", DOUBTFUL)):
                return self._place / f"{name}{DOUBTFUL if doubtful else ''}"
        raise OSError("too many backups in one second")


@contextmanager
def growing(folder: Path, place: Path, made: datetime) -> Iterator[Growing]:
    """A backup of the catalog in `folder` that is made in `place`; nothing of it stays when it is not finished.

    Raises PlaceError, NotBackedUpError, WritesRefusedError, NoCatalogError, NotACatalogError, NewerCatalogError.
    """
    if (folder / RESTORING).exists():
        raise UnfinishedRestoreError(folder)
    if place.resolve().is_relative_to(folder.resolve()):
        raise PlaceError(place, "it is in the catalog's own folder, and is lost with it", "Name another disk.")
    if place.exists() and not place.is_dir():
        raise PlaceError(place, "it is no folder", "Name a folder.")
    try:
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        with only_one(place) as alone:
            if not alone:
                raise PlaceError(place, "another backup is being made there", "Wait until it is done.")
            backups.sweep(place)
            part = place / f".backup-{made:%Y-%m-%d-%H%M%S}{PART}"
            part.mkdir(mode=0o700)
            try:
                made_of = Growing(folder, place, part, made)
                _same_catalog(place, made_of)
                yield made_of
            finally:
                shutil.rmtree(part, ignore_errors=True)
    except UnicodeDecodeError as problem:  # SQLite quotes a damaged schema as it is
        raise WritesRefusedError("database disk image is malformed") from problem
    except sqlite3.DatabaseError as problem:
        raise WritesRefusedError(str(problem)) from problem
    except OSError as problem:
        raise NotBackedUpError(place, problem.strerror or str(problem)) from problem


def _same_catalog(place: Path, made_of: Growing) -> None:
    """Raises PlaceError where a place holds backups of another catalog."""
    ours = made_of.said
    for one in backups.look(place).backups:
        if one.manifest.root != ours.root:
            raise PlaceError(
                place,
                f"backups of another catalog are there, of {one.manifest.artist}, begun {one.manifest.begun}",
                "Give each catalog a folder of its own.",
            )
