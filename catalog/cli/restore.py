"""Putting a backup back, on the command line: what it would undo is told and asked first."""

import os
import signal
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from catalog.cli import restore_choice
from catalog.cli.backup import watched
from catalog.cli.desk import Desk
from catalog.cli.kept_words import counted, when
from catalog.cli.options import Operand, command, event_options
from catalog.cli.restore_choice import NotSaidError
from catalog.errors import TirageError
from catalog.store import connection as store

if TYPE_CHECKING:
    from catalog.rules.set_aside import Forgotten
    from catalog.store.backups import Backup
    from catalog.store.copies import Compared

BACKUP = Operand("backup", "--backup", "DIR", "a backup, or the folder they are in (its newest)", required=False)
MOST_NAMED = 12


class ChangedMeanwhileError(TirageError):
    """A catalog that somebody wrote to while a backup was made ready."""

    def __init__(self) -> None:
        super().__init__(
            "Nothing was restored: somebody worked in this catalog meanwhile. Wait until nobody does, then try again."
        )


@command("restore", BACKUP, short_help="Put a backup back; what is there is set aside.")
@click.option("--into", metavar="DIR", help="Where to: a new folder, or a catalog's (else the catalog you stand in).")
@click.option("--anyway", metavar="REASON", default="", help="Although work is set aside, or pictures are missing.")
@click.option("--finish", "finishing", is_flag=True, help="Only finish a restore that was cut off.")
@event_options
def restore_command(desk: Desk, backup: str | None, into: str | None, anyway: str, finishing: bool) -> None:
    """Put a backup back, proved first. What is in the folder now is set aside whole, in a dated folder within it.

    Where the catalog has work that the backup has not, the work is told and has to be confirmed. Codes given in it
    stay void, so that no label ever means two things. Keys that are there stay.

    \b
    tirage restore /media/disk/studio-backups --into studio
    tirage restore /media/disk/studio-backups/backup-2026-11-25-203000 --anyway "the import was a mistake"
    """
    from catalog.store import restoring

    target = _target(desk, into)
    restoring.check_target(target)
    if (target / store.RESTORING).exists():
        with _at(target) as _:
            aside = restoring.finish(target)
        desk.say(f"The restore that was cut off is finished.{_aside(aside)} Next: tirage check")
        if backup is not None:
            desk.warn("Mind: the backup you named was not looked at; if it is another one, say the same again.")
        return
    if finishing:
        raise NotSaidError(f"no restore was cut off in {target}.")
    chosen = restore_choice.chosen(desk, backup)
    _restore(desk, chosen, target, anyway)


def _restore(desk: Desk, chosen: "Backup", target: Path, anyway: str) -> None:
    from catalog.rules import set_aside
    from catalog.store import restoring
    from catalog.store.backup import reopened
    from catalog.whole_files import only_one

    seal = _ask(desk, chosen, target, anyway)
    fresh = not target.exists()
    target.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        with only_one(target) as alone:
            if not alone:
                raise ChangedMeanwhileError
            lost = restoring.prepare(chosen, target, watched(desk, "Files"), bool(anyway))
            try:
                with restoring.held(target) as (present, reason):
                    if _seal(present) != seal:
                        raise ChangedMeanwhileError
                    copy = reopened(target / restoring.GROWING / store.DATABASE)
                    try:
                        since = set_aside.forgotten(present, copy) if present else None
                        newest = set_aside.newest_codes(copy)
                    finally:
                        copy.close()
                    if since and since.codes:
                        _keep_void(desk, target / restoring.GROWING, since, anyway)
                    with _uninterrupted():
                        restoring.make_ready(target, desk.now)
                        aside = restoring.finish(target)
            finally:
                restoring.abandon(target)
    except BaseException as problem:
        if fresh and not any(target.iterdir()):
            target.rmdir()
        if isinstance(problem, OSError) and (target / store.RESTORING).exists():
            raise store.UnfinishedRestoreError(target) from problem
        if isinstance(problem, OSError):
            raise restoring.NotRestoredError(target, problem.strerror or str(problem)) from problem
        raise
    said = chosen.manifest
    desk.say(
        f"Restored {chosen.folder} into {target}: {counted(said.commands)}, the last “{said.command}” of "
        f"{when(said.sealed)}.{_aside(aside)}"
    )
    if reason:
        desk.warn(f"Mind: what was there could not be read ({reason}), so what was recorded since is not known.")
    desk.mind(lost)
    restore_choice.note(desk, chosen, target)
    _tell(desk, chosen, since, newest, target, aside)


def _target(desk: Desk, into: str | None) -> Path:
    if into is not None:
        return Path(os.path.abspath(into))
    found = desk.find()
    if found is None:
        raise NotSaidError("there is no catalog here to restore into. Say where, such as: --into studio")
    return found.absolute()


def _ask(desk: Desk, chosen: "Backup", target: Path, anyway: str) -> str:
    """Tell what would be set aside, and ask; the digest of the seal the present catalog stands at ("": none)."""
    from catalog.store import copies, restoring

    restore_choice.prove(desk, chosen, anyway)
    with restoring.held(target) as (present, reason):
        if reason:
            desk.warn(f"Mind: the catalog in {target} cannot be read ({reason}); it is set aside as it is.")
        if present is None:
            return ""
        try:
            compared, seal = copies.compare(present, chosen.folder / store.DATABASE), _seal(present)
        except copies.NotACopyError as problem:
            raise restoring.RestoreRefusedError(
                f"the catalog in {target} is another one than the backup's, of {chosen.manifest.artist}, begun "
                f"{chosen.manifest.begun}",
                "Restore into a new folder: --into DIR.",
            ) from problem
        behind = copies.since(present, compared.common)
        others = compared.theirs - compared.common
    if behind:
        desk.warn(_would(compared, behind, others))
        if not anyway:
            if not sys.stdin.isatty():
                raise NotSaidError("there is no terminal to ask at. If that is meant, say --anyway REASON.")
            if not click.confirm("Set that aside and go back?", default=False, err=True):
                raise click.Abort
    return seal


def _would(compared: "Compared", behind: list[tuple[str, str]], others: int) -> str:
    first, last = (f"“{command}” of {when(sealed)}" for command, sealed in (behind[0], behind[-1]))
    span = f"{first} to {last}" if len(behind) > 1 else first
    says = f"Mind: this catalog holds {counted(len(behind))} that the backup has not: {span}. They would be set aside."
    if others:
        says += f" The backup holds {others} that this catalog has not."
    return says


def _keep_void(desk: Desk, folder: Path, since: "Forgotten", anyway: str) -> None:
    """Take the codes given since into the restored catalog, sealed as the restore's own command."""
    from catalog.rules import set_aside
    from catalog.store import journal

    connection = store.open_catalog(folder, writing=True)
    try:
        connection.execute("BEGIN IMMEDIATE")
        set_aside.keep_void(connection, since.codes)
        why = anyway or desk.event.note
        sealed = desk.now.isoformat(timespec="seconds")
        journal.seal(connection, sealed=sealed, by=desk.event.by, command=journal.RESTORE, why=why)
        connection.execute("COMMIT")
    finally:
        connection.close()


def _tell(
    desk: Desk, chosen: "Backup", since: "Forgotten | None", newest: list[str], target: Path, aside: Path | None
) -> None:
    from catalog.records.items import shorten

    keys = [kept.path for kept in chosen.manifest.files if kept.path.startswith("keys/")]
    missing = [name for name in chosen.manifest.keys_left_out if not (target / name).exists()]
    if missing:
        desk.warn(f"Mind: not in the backup: {', '.join(missing)}. Bring it back from where it is kept safe.")
    if keys:
        desk.say(f"Keys in the backup are under the passphrase they had then: {', '.join(keys)}.")
    if since is None:
        desk.warn(
            f"Mind: what was recorded after this backup is not here. The newest codes are "
            f"{', '.join(newest) or 'none'}: if a label or a certificate with a later one is out, the same code would "
            f"be given again; enter first, in their order, the things that have them."
        )
    else:
        if since.codes:
            desk.warn(f"Mind: given since and void from now on: {shorten([code for code, _, _ in since.codes])}.")
        if since.numbers:
            desk.warn(
                f"STOP: numbers given since are free again here, and prints bear them: {_some(since.numbers)}. Sign "
                f"nothing of these editions before you settled what becomes of those prints."
            )
        if since.certificates:
            desk.warn(
                f"STOP: certificates issued since are out and unknown here: {_some(since.certificates)}. Ask for them "
                f"back, or work on from the catalog that was set aside."
            )
        if aside and (since.codes or since.numbers or since.certificates):
            desk.say(f"To compare: tirage check --against {aside / store.DATABASE}")
    desk.say("Next: tirage check")


def _some(names: tuple[str, ...]) -> str:
    more = len(names) - MOST_NAMED
    return "; ".join(names[:MOST_NAMED]) + (f"; and {more} more" if more > 0 else "")


def _aside(aside: Path | None) -> str:
    return f" What was there is whole in {aside.name}/." if aside else ""


def _seal(present: sqlite3.Connection | None) -> str:
    from catalog.store import journal

    return journal.last_digest(present) if present is not None else ""


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """The moment of putting it in place, which Ctrl-C does not stop: it would say that nothing was changed."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _at(target: Path) -> Iterator[None]:
    """Finish a restore with the catalog held. Raises UnfinishedRestoreError, NotRestoredError."""
    from catalog.store import restoring
    from catalog.whole_files import only_one

    with only_one(target) as alone, restoring.held(target):
        if not alone:
            raise ChangedMeanwhileError
        try:
            yield
        except OSError as problem:
            raise store.UnfinishedRestoreError(target) from problem
