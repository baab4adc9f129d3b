"""Promises: numbers of an edition held for someone, before or after they are printed."""

import sqlite3

from catalog.events import Event
from catalog.records.editions import Edition, NumberRefusedError, limit
from catalog.vocabulary import number_label

STANDING = "SELECT standing FROM edition_number WHERE edition = ? AND kind = ? AND number = ?"
HOLD = "INSERT INTO edition_number (edition, kind, number, standing) VALUES (?, ?, ?, 'reserved')"
HOLD_FREE = "UPDATE edition_number SET standing = 'reserved' WHERE edition = ? AND kind = ? AND number = ?"
ADD = """INSERT INTO promise (edition, kind, number, party, promised, until, until_latest, by, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"""
WITHDRAW = """UPDATE promise SET ended = 'withdrawn' WHERE edition = ? AND kind = ? AND number = ? AND ended = ''"""
FREE = """UPDATE edition_number SET standing = 'free' WHERE edition = ? AND kind = ? AND number = ?
    AND standing = 'reserved'"""
OPEN = """SELECT p.kind, p.number, party.name FROM promise p JOIN party ON party.id = p.party
    WHERE p.edition = ? AND p.ended = '' ORDER BY p.id"""


def reserve(
    connection: sqlite3.Connection,
    event: Event,
    edition: Edition,
    kind: str,
    number: int,
    party: int,
    until: tuple[str, str],
) -> None:
    """Hold a number for someone; it is skipped when numbers are handed out. `until` is EDTF and latest day."""
    most = limit(connection, edition, kind)
    label = number_label(kind, number, edition.numerals)
    if edition.state == "cancelled":
        raise NumberRefusedError(edition.code, label, "the edition is cancelled", "Name one of another edition.")
    if not 1 <= number <= most:
        raise NumberRefusedError(
            edition.code,
            label,
            f"the edition has {kind} numbers from 1 to {most}" if most else f"it declares no {kind} numbers",
            "Name one of those." if most else "See: tirage edition show.",
        )
    row = connection.execute(STANDING, (edition.id, kind, number)).fetchone()
    if row and row[0] != "free":
        raise NumberRefusedError(edition.code, label, f"it is {row[0]} already", "Name a free number.")
    connection.execute(HOLD_FREE if row else HOLD, (edition.id, kind, number))
    connection.execute(ADD, (edition.id, kind, number, party, event.moment.date, *until, event.by, event.note))


def withdraw(connection: sqlite3.Connection, edition: Edition, kind: str, number: int) -> None:
    """Give a promised number free again."""
    if not connection.execute(WITHDRAW, (edition.id, kind, number)).rowcount:
        label = number_label(kind, number, edition.numerals)
        raise NumberRefusedError(edition.code, label, "it is not promised to anyone", "See: tirage edition show.")
    connection.execute(FREE, (edition.id, kind, number))


def open_promises(connection: sqlite3.Connection, edition: Edition) -> list[tuple[str, str]]:
    """What of an edition is held for whom: (“AP 2”, name)."""
    return [
        (number_label(kind, number, edition.numerals), name)
        for kind, number, name in connection.execute(OPEN, (edition.id,))
    ]
