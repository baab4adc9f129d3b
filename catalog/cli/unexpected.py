"""What is said and kept when something fails that nobody foresaw."""

import os
import sqlite3
import stat
import tempfile
import traceback
from contextlib import closing
from datetime import datetime
from pathlib import Path

import click

from catalog.errors import TirageError
from catalog.plain_text import shown
from catalog.store import connection as store

LOG = "tirage.log"
MOST_TOLD = 3


class AlteredCatalogError(TirageError):
    """A catalog with something in it that this program never wrote, and a fault that this may be the cause of."""

    def __init__(self, folder: Path, found: list[str], fault: Exception) -> None:
        more = f" And {len(found) - MOST_TOLD} more: tirage check." if len(found) > MOST_TOLD else ""
        super().__init__(
            f"{folder / store.DATABASE} was damaged or altered, which may be why this could not be read "
            f"({type(fault).__name__}). {' '.join(found[:MOST_TOLD])}{more} Look at the whole with tirage check; a "
            f"backup comes back with tirage restore. {_kept(fault, folder)}"
        )


def damage(folder: Path) -> list[str]:
    """What SQLite finds wrong with a catalog's file, and rows that are not as the journal has them, in sentences."""
    from catalog.rules.checks.findings import Subject
    from catalog.rules.checks.tampering import file_whole, rows_as_journalled

    found: list[str] = []
    with closing(store.open_catalog(folder, writing=False)) as connection:
        for look in (file_whole, rows_as_journalled):
            try:
                found += [one.sentence for one in look(Subject(connection, folder, datetime.min))]
            except Exception as error:  # whatever a damaged file makes of a look at it, it is damaged
                found.append(f"The file cannot be read whole: {error}.")
    return found


def report(error: Exception) -> int:
    """Say what failed; a refusal by the database or the disk exits 1, anything else leaves a log and exits 3."""
    if isinstance(error, sqlite3.IntegrityError):
        click.echo(f"tirage: The catalog refused this: {shown(str(error))}. Nothing was changed.", err=True)
        return 1
    if isinstance(error, sqlite3.DatabaseError):
        click.echo(f"tirage: {shown(store.WritesRefusedError(str(error)).sentence)}", err=True)
        return 1
    if isinstance(error, UnicodeDecodeError):  # also SQLite's own words, where it quotes what is damaged
        click.echo(
            f"tirage: What was read is no text in UTF-8 ({shown(str(error))}). Nothing was changed. A file that was "
            f"named holds something else, or the catalog is damaged: look with tirage check.",
            err=True,
        )
        return 1
    if isinstance(error, RuntimeError) and str(error).startswith("Symlink loop"):  # Python before 3.13 says it so
        click.echo(
            f"tirage: {shown(str(error).partition(' from ')[2])}: its links lead back to themselves; expected a file "
            f"or a folder. Nothing in the catalog was changed.",
            err=True,
        )
        return 1
    if isinstance(error, OSError):
        where = f"{error.filename}: " if error.filename is not None else ""
        click.echo(
            f"tirage: {shown(f'{where}{error.strerror or error}')}. Nothing in the catalog was changed.", err=True
        )
        return 1
    sentence = getattr(error, "sentence", None)  # what labels/, which knows nothing of the catalog, refuses
    if sentence:
        click.echo(f"tirage: {shown(str(sentence))}", err=True)
        return 1
    kept = _kept(error, store.find(Path.cwd()))
    click.echo(
        f"tirage: Something failed that nobody foresaw ({type(error).__name__}). Nothing was changed. {kept}", err=True
    )
    return 3


def _kept(error: Exception, folder: Path | None) -> str:
    try:
        return f"What happened is kept in {keep(error, folder)}; please report it."
    except OSError:
        return "No log could be written: " + "".join(traceback.format_exception_only(error)).strip()


def keep(error: Exception, folder: Path | None) -> Path:
    """Write what failed behind the log of a catalog, or without one to a new file in the system's temporary folder.

    It may quote what was entered, so only its owner reads it; and it is never written through a link.
    """
    if folder is None:
        descriptor, name = tempfile.mkstemp(prefix="tirage-", suffix=".log")
        log = Path(name)
    else:
        log = folder / LOG
        flags = os.O_WRONLY | os.O_APPEND | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
        descriptor = os.open(log, flags, 0o600)
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        if not stat.S_ISREG(os.fstat(descriptor).st_mode):
            raise OSError(f"{log} is no plain file")
        file.write(f"{datetime.now().astimezone().isoformat(timespec='seconds')}\n")
        file.write("".join(traceback.format_exception(error)))
    return log
