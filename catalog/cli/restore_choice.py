"""Which backup is put back, and whether it may be: proved, and borne out by its certificates."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.cli.backup import NoBackupThereError, look, verified
from catalog.cli.desk import Desk
from catalog.cli.kept_words import counted
from catalog.errors import TirageError
from catalog.store import connection as store

if TYPE_CHECKING:
    from catalog.store.backups import Backup, Place


class NotSaidError(TirageError):
    """A restore whose backup or target nobody named."""

    def __init__(self, what: str) -> None:
        super().__init__(f"Nothing was restored: {what}")


def chosen(desk: Desk, typed: str | None) -> "Backup":
    """The backup that was named, or of a place the one that goes furthest.

    Raises NotSaidError, NoBackupThereError, NoBackupError, NewerCatalogError.
    """
    from catalog.store import backup_log, backups, manifest

    if typed is None:
        went = backup_log.read(desk.folder) if desk.find() else []
        known = f" The newest one known here: {Path(went[-1].place) / went[-1].name}" if went else ""
        raise NotSaidError(f"say which backup: tirage restore DIR.{known}")
    path = Path(os.path.abspath(typed))
    path = path.parent if path.is_file() else path  # somebody named the catalog.db in it
    if manifest.NAME.fullmatch(path.name) or (path / manifest.FILE).exists():
        found = backups.Backup(path, manifest.read(path))
    else:
        found = _furthest(desk, path, look(path))
    if found.manifest.schema > store.migrations.SCHEMA_VERSION:
        raise store.NewerCatalogError(found.folder / store.DATABASE, found.manifest.schema)
    return found


def _furthest(desk: Desk, path: Path, place: "Place") -> "Backup":
    """The newest backup of a place; what others hold that it does not is told."""
    from catalog.store import backups

    desk.mind(place.unreadable)
    newest = place.newest_good
    if newest is None:
        raise NoBackupThereError(path, "none that was proved")
    others = [one for one in place.backups if not one.doubtful and not backups.continues(newest, one)]
    longer = [one for one in others if one.manifest.commands > newest.manifest.commands]
    desk.mind(
        f"{one.folder.name} holds more, {counted(one.manifest.commands)} against {newest.manifest.commands:,}, and "
        f"another history than {newest.folder.name}, which was made later and is taken. To take it, name it."
        for one in longer
    )
    return newest


def prove(desk: Desk, backup: "Backup", anyway: str) -> None:
    """Refuse a backup that does not hold; with `anyway` what is wrong with a readable one is only told.

    Raises RestoreRefusedError.
    """
    from catalog.rules import borne_out
    from catalog.store import backups, restoring

    ruined = backups.ruined(backup)
    wrong = ruined or backups.verify_catalog(backup) or borne_out.problems(backup.folder / store.DATABASE)
    if ruined or (wrong and not anyway):
        other = _good_beside(backup)
        instead = f"Take another backup{f', such as {other.folder}' if other else ''}"
        raise restoring.RestoreRefusedError(
            f"{backup.folder.name} does not verify: {wrong[0]}",
            f"{instead}." if ruined else f"{instead}; or, if there is no better one, say --anyway REASON.",
        )
    desk.mind(wrong)


def _good_beside(backup: "Backup") -> "Backup | None":
    """The newest other backup of the same catalog in that place that holds; None where none does."""
    try:
        there = look(backup.folder.parent).backups
    except NoBackupThereError:
        return None
    others = (
        one
        for one in reversed(there)
        if one.folder != backup.folder and not one.doubtful and one.manifest.root == backup.manifest.root
    )
    return next((one for one in others if not verified(one)), None)


def note(desk: Desk, backup: "Backup", target: Path) -> None:
    """Note in a restored catalog where it came from, so that it is known up to where it is in a backup."""
    from catalog.store import backup_log

    said, place = backup.manifest, str(backup.folder.parent)
    if backup.doubtful or any(went.place == place for went in backup_log.read(target)):
        return
    try:
        backup_log.note(target, backup_log.Went(place, backup.folder.name, said.made, said.commands, said.seal))
    except OSError as problem:
        desk.mind([f"where it came from could not be noted in the catalog's folder ({problem.strerror})."])
