"""What is said and kept when something fails that nobody foresaw."""

import sqlite3
import traceback
from datetime import datetime
from pathlib import Path

import click

from catalog.store.connection import WritesRefusedError, find


def report(error: Exception) -> int:
    """Say what failed; a refusal by the database or the disk exits 1, anything else leaves a log and exits 3."""
    if isinstance(error, sqlite3.IntegrityError):
        click.echo(f"tirage: The catalog refused this: {error}. Nothing was changed.", err=True)
        return 1
    if isinstance(error, sqlite3.DatabaseError):
        click.echo(f"tirage: {WritesRefusedError(str(error)).sentence}", err=True)
        return 1
    if isinstance(error, OSError):
        where = f"{error.filename}: " if error.filename is not None else ""
        click.echo(f"tirage: {where}{error.strerror or error}. Nothing in the catalog was changed.", err=True)
        return 1
    sentence = getattr(error, "sentence", None)  # what labels/, which knows nothing of the catalog, refuses
    if sentence:
        click.echo(f"tirage: {sentence}", err=True)
        return 1
    folder = find(Path.cwd()) or Path.cwd()
    log = folder / "tirage.log"
    try:
        with log.open("a", encoding="utf-8") as file:
            file.write(f"{datetime.now().astimezone().isoformat(timespec='seconds')}\n")
            file.write("".join(traceback.format_exception(error)))
        kept = f"What happened is kept in {log}; please report it."
    except OSError:
        kept = "No log could be written: " + "".join(traceback.format_exception_only(error)).strip()
    click.echo(
        f"tirage: Something failed that nobody foresaw ({type(error).__name__}). Nothing was changed. {kept}", err=True
    )
    return 3
