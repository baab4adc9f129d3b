"""Promises: numbers of an edition held for someone, before or after they are printed, until that person has the print.

Printing and signing do not keep a promise: the print does that bears the number, by a sale, a gift or a bequest to the
one it was promised to.
"""

import sqlite3
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records.editions import Edition, NumberRefusedError, limit, standing_of
from catalog.records.items import Coded
from catalog.records.lifetime import dead_at
from catalog.store.rows import fetch_one
from catalog.vocabulary import number_label

HOLD = "INSERT INTO edition_number (edition, kind, number, standing) VALUES (?, ?, ?, 'reserved')"
HOLD_FREE = "UPDATE edition_number SET standing = 'reserved' WHERE edition = ? AND kind = ? AND number = ?"
ADD = """INSERT INTO promise (edition, kind, number, party, promised, until, until_latest, by, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"""
END = "UPDATE promise SET ended = ? WHERE id = ?"
FREE = """UPDATE edition_number SET standing = 'free' WHERE edition = ? AND kind = ? AND number = ?
    AND standing = 'reserved'"""
READ = """SELECT p.id, c.code, p.kind, p.number, e.numerals, p.party, party.name, p.until FROM promise p
    JOIN party ON party.id = p.party JOIN edition e ON e.id = p.edition JOIN code c ON c.id = e.id"""
OF_NUMBER = f"{READ} WHERE p.edition = ? AND p.kind = ? AND p.number = ? AND p.ended = ''"
OF_PRINT = f"""{READ} JOIN print ON print.edition = p.edition AND print.kind = p.kind AND print.number = p.number
    WHERE print.id = ? AND p.ended = ''"""
NOT_PRINTED = """SELECT p.kind, p.number, party.name FROM promise p JOIN party ON party.id = p.party
    JOIN edition_number n ON n.edition = p.edition AND n.kind = p.kind AND n.number = p.number
    WHERE p.edition = ? AND p.ended = '' AND n.standing = 'reserved' ORDER BY p.id"""
# The promise that the command of a sale ended: kept, or withdrawn where the print went to another one.
ENDED_BY = f"""{READ} JOIN print ON print.edition = p.edition AND print.kind = p.kind AND print.number = p.number
    JOIN transfer t ON t.item = print.id AND t.kind = 'sale' WHERE t.id = ? AND p.ended <> ''
    AND EXISTS (SELECT 1 FROM journal j JOIN journal_seal s ON j.id BETWEEN s.first AND s.last
    JOIN journal k ON k.id BETWEEN s.first AND s.last WHERE j.tbl = 'transfer' AND j.key = json_array(t.id)
    AND j.before IS NULL AND k.tbl = 'promise' AND k.key = json_array(p.id) AND k.before IS NOT NULL)"""
# The print that bears a number now, while it is the studio's to give: not gone, not sold.
STILL_HERE = """SELECT 1 FROM print p JOIN standing s ON s.item = p.id
    WHERE p.edition = ? AND p.kind = ? AND p.number = ? AND p.state = 'living'
    AND s.owner = (SELECT artist FROM catalog) AND NOT EXISTS (SELECT 1 FROM transfer t
    WHERE t.item = p.id AND t.kind = 'sale' AND t.title = 0
    AND NOT EXISTS (SELECT 1 FROM transfer q WHERE q.settles = t.id))"""


class Promise(NamedTuple):
    """A number held for somebody; `until` is EDTF."""

    id: int
    edition: str
    kind: str
    number: int
    numerals: str
    party: int
    name: str
    until: str

    @property
    def label(self) -> str:
        """“4”, “AP 2”."""
        return number_label(self.kind, self.number, self.numerals)


class PromisedError(TirageError):
    """A print that is promised to somebody else than who would get it."""

    def __init__(self, code: str, found: Promise) -> None:
        until = f" until {parse_date(found.until).text()}" if found.until else ""
        typed = f"{found.edition}:{found.label.replace(' ', '')}"
        super().__init__(
            f"{code} was stopped: it is {found.label} of {found.edition}, which is promised to {found.name}{until}. "
            f"Withdraw the promise (tirage promise {typed} --withdraw), or go on with --anyway REASON, which withdraws "
            f"it too."
        )


class NotPromisedError(TirageError):
    """A promise withdrawn that was not made, or was made to somebody else."""

    def __init__(self, edition: str, label: str, found: Promise | None) -> None:
        if found is None:
            super().__init__(
                f"{label} of {edition} is promised to nobody, so there is nothing to withdraw. See what is: tirage "
                f"edition show {edition}."
            )
        else:
            typed = f"{edition}:{label.replace(' ', '')}"
            super().__init__(
                f"{label} of {edition} is promised to {found.name}, and to nobody else. To withdraw that promise: "
                f'tirage promise {typed} "{found.name}" --withdraw.'
            )


def reserve(
    connection: sqlite3.Connection,
    event: Event,
    edition: Edition,
    kind: str,
    number: int,
    party: int,
    until: tuple[str, str],
) -> None:
    """Hold a number for someone; a free one is then skipped when numbers are handed out.

    `until` is EDTF and latest day. Raises NumberRefusedError.
    """
    standing = standing_of(connection, edition, kind, number)
    refusal = _not_to_hold(connection, event, edition, kind, number, standing)
    if refusal:
        raise NumberRefusedError(edition.code, number_label(kind, number, edition.numerals), *refusal, "promised")
    if standing != "given":
        connection.execute(HOLD_FREE if standing else HOLD, (edition.id, kind, number))
    connection.execute(ADD, (edition.id, kind, number, party, event.moment.date, *until, event.by, event.note))


def _not_to_hold(
    connection: sqlite3.Connection, event: Event, edition: Edition, kind: str, number: int, standing: str
) -> tuple[str, str] | None:
    """Why a number cannot be held, and what to do; None where it can."""
    most = limit(connection, edition, kind)
    if edition.state == "cancelled":
        return "the edition is cancelled", "Name one of another edition."
    if not 1 <= number <= most:
        if not most:
            return f"it declares no {kind} numbers", "See: tirage edition show."
        return f"the edition has {kind} numbers from 1 to {most}", "Name one of those."
    held = fetch_one(connection, Promise, OF_NUMBER, (edition.id, kind, number))
    if held:
        return f"it is promised to {held.name} already", "Name another number, or withdraw that promise first."
    if standing == "given":
        here = connection.execute(STILL_HERE, (edition.id, kind, number)).fetchone()
        return None if here else ("its print is not the studio's to give any more", "Name another number.")
    if standing not in ("", "free"):
        return f"it is {standing} already", "Name a free number."
    artist = None if edition.estate else dead_at(connection, event)
    if artist:
        died = parse_date(artist.died).text()
        return f"{artist.name} died {died}, and none of it is given out after that", "Name one of an estate edition."
    return None


def withdraw(
    connection: sqlite3.Connection, edition: Edition, kind: str, number: int, party: int | None = None
) -> Promise:
    """End a promise, to a party where one is named; a number that no print bears yet is free again. What it was.

    Raises NotPromisedError.
    """
    found = fetch_one(connection, Promise, OF_NUMBER, (edition.id, kind, number))
    if found is None or party not in (None, found.party):
        raise NotPromisedError(edition.code, number_label(kind, number, edition.numerals), found)
    connection.execute(END, ("withdrawn", found.id))
    connection.execute(FREE, (edition.id, kind, number))
    return found


def of_print(connection: sqlite3.Connection, identity: int) -> Promise | None:
    """The promise of the number that a print bears, if it still stands."""
    return fetch_one(connection, Promise, OF_PRINT, (identity,))


def stop_other(connection: sqlite3.Connection, thing: Coded, party: int) -> None:
    """Raise PromisedError where a print would go to somebody else than it is promised to."""
    found = of_print(connection, thing.id)
    if found and found.party != party:
        raise PromisedError(thing.code, found)


def settle(connection: sqlite3.Connection, thing: Coded, party: int) -> Promise | None:
    """End the promise of a print that goes to a party: kept, or withdrawn where it is another one; what it was."""
    found = of_print(connection, thing.id)
    if found:
        connection.execute(END, ("kept" if found.party == party else "withdrawn", found.id))
    return found


def ended_by(connection: sqlite3.Connection, sale: int) -> Promise | None:
    """The promise that a sale ended, where it did: to its buyer, or to the one who was passed over."""
    return fetch_one(connection, Promise, ENDED_BY, (sale,))


def not_printed(connection: sqlite3.Connection, edition: Edition) -> list[tuple[str, str]]:
    """What of an edition is held for whom and no print bears yet: (“AP 2”, name)."""
    return [
        (number_label(kind, number, edition.numerals), name)
        for kind, number, name in connection.execute(NOT_PRINTED, (edition.id,))
    ]
