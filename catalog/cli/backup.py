"""Backups on the command line: made, listed, proved again."""

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from catalog.cli.desk import Desk
from catalog.cli.kept_words import counted, size, when
from catalog.cli.options import Operand, command, output_options
from catalog.errors import TirageError

if TYPE_CHECKING:
    from catalog.store.backing_up import Growing
    from catalog.store.backups import Backup
    from catalog.store.manifest import Manifest

PLACE = Operand("place", "--place", "DIR", "where the backups are, best on another disk", required=False)
SEALS = "SELECT digest FROM journal_seal ORDER BY id"


class NoPlaceError(TirageError):
    """Nobody has said yet where backups go."""

    def __init__(self) -> None:
        super().__init__(
            "No place is known for backups of this catalog; expected a folder on another disk, as a backup beside the "
            "catalog is lost with it. Name it once, and it is remembered: tirage backup DIR"
        )


class PlaceGoneError(TirageError):
    """A place where backups were, and are no more: most often a disk that is not plugged in."""

    def __init__(self, place: Path, name: str) -> None:
        super().__init__(
            f"No backup was made: {place} does not hold {name} any more, which was made there, nor another. Plug that "
            f"disk in; or begin anew in another folder: tirage backup DIR"
        )


class NoBackupThereError(TirageError):
    """A place without a backup."""

    def __init__(self, place: Path, reason: str) -> None:
        super().__init__(f"There is no backup in {place} ({reason}). Name another folder, or make one: tirage backup")


@command("backup", PLACE, short_help="Keep the whole catalog in another place, proved.")
@click.option("--keep", metavar="N", type=click.IntRange(1), help="How many of the newest stay (else as in settings).")
@click.option("--with-keys", is_flag=True, help="Also keys without a passphrase, each put under one that is asked for.")
@click.option("--passphrase-file", metavar="FILE", help="Holds the passphrase for --with-keys (else asked, twice).")
@click.option("--list", "listed", is_flag=True, help="Only show which backups are there.")
@click.option("--check", "checked", is_flag=True, help="Only read backups again, each byte, and prove them.")
@output_options
def backup_command(
    desk: Desk,
    place: str | None,
    keep: int | None,
    with_keys: bool,
    passphrase_file: str | None,
    listed: bool,
    checked: bool,
) -> int:
    """Keep the catalog as it is now in another place, while it is in use, and prove what was kept.

    In it are catalog.db, settings.toml, every picture (once for all backups) and private keys that are under a
    passphrase. Papers in out/ are not: the catalog draws them again. The place is remembered.

    The newest ten stay (setting backups-kept), the newest of each of twelve months, and the one with the longest
    history; others go, once the new one is proved. Without a catalog, --list and --check need only DIR.

    \b
    tirage backup /media/disk/studio-backups
    tirage backup
    tirage backup --check
    """
    if listed or checked:
        return _look(desk, _place(desk, place), checked)
    where = _place(desk, place)
    _refuse_gone(desk, where)
    secret = _secret(passphrase_file) if with_keys else ""
    return _back_up(desk, where, keep, secret)


def _place(desk: Desk, typed: str | None) -> Path:
    from catalog.store import backup_log

    if typed is not None:
        return Path(os.path.abspath(typed))
    went = backup_log.read(desk.folder)
    if not went:
        raise NoPlaceError
    return Path(went[-1].place)


def _refuse_gone(desk: Desk, place: Path) -> None:
    """Raises PlaceGoneError where backups were made and none is: an empty folder stands where a disk should be."""
    from catalog.store import backup_log, backups

    for went in backup_log.read(desk.folder):
        if went.place == str(place) and not (place.is_dir() and backups.look(place).backups):
            raise PlaceGoneError(place, went.name)


def _secret(file: str | None) -> str:
    from catalog.cli.passphrases import new_passphrase
    from catalog.locked_keys import FEWEST_SIGNS, WeakPassphraseError

    secret = new_passphrase(file)
    if len(secret) < FEWEST_SIGNS:
        raise WeakPassphraseError  # before a long copy is begun
    return secret


def _back_up(desk: Desk, place: Path, keep: int | None, secret: str) -> int:
    from catalog.records import settings
    from catalog.rules import borne_out
    from catalog.store import backing_up, backup_log, backups, copies, synced
    from catalog.store.connection import DATABASE

    folder = desk.folder
    with backing_up.growing(folder, place, desk.now) as growing:
        with desk.counted(growing.pictures, "Pictures") as pictures:
            for picture in pictures:
                growing.keep_picture(picture)
        outside = _keep_keys(folder, growing, secret)
        made, doubts = growing.finish(borne_out.problems)
        minds = growing.minds
        gone, stays = ([], []) if doubts else backups.rotate(place, made, keep or _kept(desk, settings))
    if doubts:
        for doubt in doubts:
            desk.warn(f"STOP: {doubt}.")
        desk.mind(minds)
        desk.warn(
            f"{made.folder} was kept aside and does not count as a backup; no earlier one was taken away. If the "
            f"catalog itself is damaged (see: tirage check), go back to a good one: tirage restore {place}"
        )
        return 1
    said = made.manifest
    try:
        backup_log.note(folder, backup_log.Went(str(place), made.folder.name, said.made, said.commands, said.seal))
    except OSError as problem:
        minds.append(f"that this backup was made could not be noted in the catalog's folder ({problem.strerror}).")
    if desk.output:
        desk.show([{"backup": str(made.folder), "commands": said.commands, "seal": said.seal, "gone": ",".join(gone)}])
    else:
        desk.say(_told(made))
    if gone and not desk.output:
        desk.say(f"Taken away, as newer ones stay: {', '.join(gone)}.")
    beside = copies.beside(folder, DATABASE)
    desk.mind([*outside, *minds, *stays, *beside, *_same_disk(folder, place), *synced.sentences(folder)])
    return 0


def _keep_keys(folder: Path, growing: "Growing", secret: str) -> list[str]:
    """Put the private keys that are locked, or can be, into a backup; what to tell of those that are not."""
    from catalog import locked_keys
    from catalog.records.private_keys import FOLDER, NAME, PLAIN
    from catalog.whole_files import read_plain

    left = []
    for path in sorted((folder / FOLDER).glob("*.pem")):
        if not NAME.fullmatch(path.name):
            continue
        name = f"{FOLDER}/{path.name}"
        try:
            pem = read_plain(path, 1 << 16, follow=False)
        except OSError as problem:
            growing.leave_key_out(name)
            left.append(f"STOP: {name} is NOT in this backup: it cannot be read ({problem.strerror or problem}).")
            continue
        if PLAIN in pem and secret:
            locked = locked_keys.lock(pem, secret)
            locked_keys.unlock(locked, secret, name)  # what nobody can open again is no copy
            growing.keep_key(path.name, locked)
        elif locked_keys.is_locked(pem):
            growing.keep_key(path.name, pem)
        else:
            growing.leave_key_out(name)
            left.append(
                f"STOP: the private key {name} is NOT in this backup: it is under no passphrase, and whoever finds the "
                f"backup could sign in your name. Nobody can make it again. Put it under a passphrase, and every "
                f"backup holds it: tirage key protect. Or lock only the copy: tirage backup --with-keys."
            )
    return left


def _kept(desk: Desk, settings: Any) -> int:
    with desk.reading() as connection:
        return int(settings.value(connection, "backups-kept"))


def _told(made: "Backup") -> str:
    said = made.manifest
    pictures = sum(1 for kept in said.files if kept.pool)
    keys = sum(1 for kept in said.files if kept.path.startswith("keys/"))
    parts = ["catalog.db", *(["settings.toml"] if said.of("settings.toml") else [])]
    parts += [f"{pictures} picture{'' if pictures == 1 else 's'}"] if pictures else []
    parts += [f"{keys} key{'' if keys == 1 else 's'} under a passphrase"] if keys else []
    return (
        f"{made.folder}: {', '.join(parts)}; {size(said.size)}, {counted(said.commands)}, the last “{said.command}” of "
        f"{when(said.sealed)}. Read again and proved."
    )


def _same_disk(folder: Path, place: Path) -> list[str]:
    if folder.stat().st_dev != place.stat().st_dev:
        return []
    return ["this backup is on the same disk as the catalog, and is lost with it; keep another on another disk."]


def _look(desk: Desk, place: Path, checked: bool) -> int:
    from catalog.store import backups
    from catalog.store.manifest import NAME

    if NAME.fullmatch(place.name):
        from catalog.store import manifest

        found = backups.Place((backups.Backup(place, manifest.read(place)),), ())
    else:
        found = look(place)
    seals = _seals(desk)
    rows: list[dict[str, object]] = []
    wrong: list[str] = []
    for one in found.backups:
        problems = verified(one, watched(desk, one.folder.name)) if checked else []
        state = "doubtful, kept aside" if one.doubtful else "proved when it was made"
        if checked:
            state = "damaged" if problems else "proved now"
        wrong += [f"{one.folder.name}: {problem}" for problem in problems]
        rows.append(
            {
                "backup": one.folder.name,
                "commands behind": _behind(one.manifest, seals),
                "size": one.manifest.size if desk.output else size(one.manifest.size),
                "keys": sum(1 for kept in one.manifest.files if kept.path.startswith("keys/")),
                "state": state,
            }
        )
    desk.show(rows, empty=f"No backup is in {place}.")
    desk.mind([*wrong, *found.unreadable])
    return int(bool(wrong or found.unreadable))


def verified(backup: "Backup", watch: Callable[[Sequence[Any]], Iterable[Any]] = iter) -> list[str]:
    """What is wrong with a backup, its certificates against its history too, in sentences."""
    from catalog.rules import borne_out
    from catalog.store import backups
    from catalog.store.connection import DATABASE

    return backups.verify(backup, watch) or borne_out.problems(backup.folder / DATABASE)


def look(place: Path) -> "Any":
    """What is in a place. Raises NoBackupThereError."""
    from catalog.store import backups

    try:
        return backups.look(place)
    except OSError as problem:
        raise NoBackupThereError(place, problem.strerror or str(problem)) from None


def _seals(desk: Desk) -> list[str] | None:
    """The digests of the seals of the catalog one stands in, oldest first; None where there is none to compare with."""
    import sqlite3

    if desk.find() is None:
        return None
    try:
        with desk.reading() as connection:
            return [row[0] for row in connection.execute(SEALS)]
    except (sqlite3.DatabaseError, TirageError):
        return None


def _behind(said: "Manifest", seals: list[str] | None) -> object:
    if seals is None:
        return ""
    if said.root != (seals[0] if seals else ""):
        return "of another catalog"
    if said.seal in seals:
        return len(seals) - 1 - seals.index(said.seal)
    return "has others"


def watched(desk: Desk, label: str) -> Callable[[Sequence[Any]], Iterable[Any]]:
    """What goes through things under a progress bar."""

    def watch(things: Sequence[Any]) -> Iterator[Any]:
        with desk.counted(things, label) if things else nullcontext(things) as each:
            yield from each

    return watch
