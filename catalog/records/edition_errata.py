"""Errata: what was said wrongly of an edition, set right in a sentence that is printed with it from then on."""

import sqlite3
from typing import NamedTuple

from catalog.errors import NotUnderstood
from catalog.events import Event
from catalog.store.rows import fetch_all

ADD = "INSERT INTO edition_erratum (edition, text, happened, earliest, latest, by) VALUES (?, ?, ?, ?, ?, ?)"
ALL = "SELECT text, happened, by FROM edition_erratum WHERE edition = ? ORDER BY id"
LONGEST = 400


class Erratum(NamedTuple):
    """One sentence that sets right what was said of an edition."""

    text: str
    happened: str
    by: str


def sentence(what: str, text: str) -> str:
    """A sentence that is printed in public, its blanks and its end set right. Raises NotUnderstood."""
    said = " ".join(text.split())
    if not 0 < len(said) <= LONGEST:
        raise NotUnderstood(what, said[:60], f"one sentence of 1 to {LONGEST} characters, in quotes")
    return said if said[-1] in ".!?…" else f"{said}."


def add(connection: sqlite3.Connection, event: Event, edition: int, text: str) -> Erratum:
    """Add an erratum; it is never taken away again."""
    said = sentence("an erratum", text)
    connection.execute(ADD, (edition, said, *event.columns[:3], event.by))
    return errata(connection, edition)[-1]


def errata(connection: sqlite3.Connection, edition: int) -> list[Erratum]:
    """The errata of an edition, in order of entry."""
    return fetch_all(connection, Erratum, ALL, (edition,))
