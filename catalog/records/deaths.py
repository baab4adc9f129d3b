"""Deaths: when a party died. From the artist's on nothing is signed by the artist, and the estate has its own key."""

import sqlite3
from typing import NamedTuple

from catalog.dates import Date, parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import catalogs, parties

RECORD = "UPDATE party SET died = ?, died_latest = ? WHERE id = ?"
OF_THE_ARTIST = """FROM print p JOIN code ON code.id = p.id LEFT JOIN edition e ON e.id = p.edition
    WHERE p.signed <> '' AND coalesce(e.estate, 0) = 0"""
BY_ITS_KEY = """FROM certificate c JOIN code ON code.id = c.id JOIN artist_key k ON k.id = c.key
    WHERE k.holder = 'artist' AND NOT EXISTS (SELECT 1 FROM certificate_event v WHERE v.certificate = c.id
    AND v.event = 'revoked')"""
SIGNED_AFTER = f"SELECT code.code, p.signed {OF_THE_ARTIST} AND p.signed_earliest > ? ORDER BY p.id"
ISSUED_AFTER = f"SELECT code.code, c.issued {BY_ITS_KEY} AND c.earliest > ? ORDER BY c.id"
LEFT_BEFORE = """SELECT code.code, t.happened FROM transfer t JOIN code ON code.id = t.item
    WHERE t.kind = 'bequest' AND t.from_party = ? AND t.latest <> '' AND t.latest < ? ORDER BY t.id"""
OF_THE_ESTATE = """SELECT code.code FROM print p JOIN code ON code.id = p.id JOIN edition e ON e.id = p.edition
    WHERE e.estate = 1 UNION ALL SELECT code.code FROM certificate c JOIN code ON code.id = c.id
    JOIN artist_key k ON k.id = c.key WHERE k.holder = 'estate' LIMIT 1"""

SIGNED, ISSUED, LEFT = "signed by the artist", "issued with the artist's key", "left by will"
# what was done -> how its date is set right
REMEDIES = {
    SIGNED: "tirage correct {} signed=DATE --why REASON",
    ISSUED: "tirage certificate revoke {} --why REASON",
    LEFT: "tirage correct {} bequest-date=DATE --why REASON",
}


class DeathRecordedError(TirageError):
    """A second date of a death."""

    def __init__(self, name: str, died: str, reason: str) -> None:
        super().__init__(f"The death of {name} is recorded already ({died}){reason}")


class AliveThenError(TirageError):
    """A death before something that the artist signed, or after something that was left by will."""

    def __init__(self, name: str, died: str, after: "After") -> None:
        remedy = REMEDIES[after.what].format(after.code)
        super().__init__(
            f"{after.code} was {after.what} {parse_date(after.date).text()}, so {name} cannot have died {died}. "
            f"Give the true date of the death, or first set right the other one: {remedy}."
        )


class After(NamedTuple):
    """Something done on a day that the death contradicts: its code, what was done, and its date as EDTF."""

    code: str
    what: str
    date: str


def record(connection: sqlite3.Connection, event: Event, party: parties.Party, died: Date, why: str = "") -> None:
    """Record when a party died, or correct it for a reason, while nothing of the estate's rests on the artist's.

    Raises NotUnderstood, DeathRecordedError, AliveThenError.
    """
    _refuse_date(event, party, died)
    artist = catalogs.artist(connection).id == party.id
    if party.died:
        _refuse_correction(connection, party, died, why, artist)
    elif why:
        raise NotUnderstood("a correction", f"--why {why}", f"none: no death of {party.name} is recorded yet")
    signed = signed_after(connection, died.latest) if artist else []
    for after in (*signed, *left_before(connection, party.id, died.earliest)):
        raise AliveThenError(party.name, died.text(), after)
    connection.execute(RECORD, (died.edtf, died.latest, party.id))


def signed_after(connection: sqlite3.Connection, day: str) -> list[After]:
    """What the artist signed after a day, and certificates that the artist's key signed and that are not revoked."""
    prints = connection.execute(SIGNED_AFTER, (day,)).fetchall()
    papers = connection.execute(ISSUED_AFTER, (day,)).fetchall()
    return [After(row[0], SIGNED, row[1]) for row in prints] + [After(row[0], ISSUED, row[1]) for row in papers]


def left_before(connection: sqlite3.Connection, party: int, day: str) -> list[After]:
    """What a party left by will before a day, the first on which it may have died."""
    return [After(row[0], LEFT, row[1]) for row in connection.execute(LEFT_BEFORE, (party, day)).fetchall()]


def _refuse_date(event: Event, party: parties.Party, died: Date) -> None:
    if not died.latest:
        raise NotUnderstood(
            "the date of a death", died.edtf, "a date with an end, such as 2026-11-02, 2026 or “c. 1920”"
        )
    if died.earliest > event.moment.latest:
        raise NotUnderstood("the date of a death", died.edtf, "a date that has come")
    if party.born and died.latest < parse_date(party.born).earliest:
        raise NotUnderstood("the date of a death", died.edtf, f"one after the birth of {party.name} ({party.born})")


def _refuse_correction(
    connection: sqlite3.Connection, party: parties.Party, died: Date, why: str, artist: bool
) -> None:
    recorded = parse_date(party.died).text()
    if died.edtf == party.died:
        raise DeathRecordedError(party.name, recorded, ".")
    if not why.strip():
        raise DeathRecordedError(party.name, recorded, ". To correct the date, say why: --why REASON.")
    estate = connection.execute(OF_THE_ESTATE).fetchone() if artist else None
    if estate:
        raise DeathRecordedError(
            party.name, recorded, f", and {estate[0]} of the estate rests on that date, so it stays as it is."
        )
