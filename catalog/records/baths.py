"""Baths: mixed volumes of chemistry, each with a life, one of a kind in the tray."""

import sqlite3
from typing import NamedTuple

from catalog.dates import Moment, later_than, parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records.items import Coded, give_codes
from catalog.store.rows import fetch_all, fetch_one
from catalog.vocabulary import BATH_KINDS

COLUMNS = """b.id, c.code, b.kind, b.name, b.dilution, b.volume, b.mixed, b.earliest, b.latest, b.in_tray, b.discarded,
    b.note FROM bath b JOIN code c ON c.id = b.id"""
READ = f"SELECT {COLUMNS} WHERE b.id = ?"
LIST = f"SELECT {COLUMNS} ORDER BY b.id"
IN_TRAY = f"SELECT {COLUMNS} WHERE b.kind = ? AND b.in_tray = 1 AND instr(lower(b.name), lower(?)) ORDER BY b.id DESC"
ADD = """INSERT INTO bath (id, kind, name, dilution, volume, mixed, earliest, latest, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"""
# Toners stand side by side, one tray for each name; of every other kind one bath is in use.
LEAVE = """UPDATE bath SET in_tray = 0 WHERE kind = ? AND in_tray = 1 AND id <> ?
    AND (kind <> 'toner' OR lower(name) = lower(?))"""
PUT = "UPDATE bath SET in_tray = 1 WHERE id = ?"
DISCARD = "UPDATE bath SET in_tray = 0, discarded = ? WHERE id = ?"
USED = "SELECT count(*), coalesce(sum(s.sheets), 0) FROM step s WHERE s.bath = ?"
SHEETS = "SELECT count(*) FROM step_item i JOIN step s ON s.id = i.step WHERE s.bath = ?"


class NoBathInTrayError(TirageError):
    """A step that takes the bath in the tray, when there is none."""

    def __init__(self, kind: str, word: str = "") -> None:
        which = f"{kind} with “{word}” in its name" if word else kind
        name = f"{word} toner" if kind == "toner" else "what is in it"
        super().__init__(
            f"There is no {which} in a tray; a step needs to know its bath. Mix one: "
            f"tirage bath mix “{kind}” “{name}”, or put one back: tirage bath use b1."
        )


class SeveralBathsError(TirageError):
    """A word that fits several baths in trays."""

    def __init__(self, word: str, fitting: list[str]) -> None:
        super().__init__(
            f"“{word}” fits several baths in trays: {', '.join(fitting)}; expected one. Name it by its code."
        )


class BathGoneError(TirageError):
    """A bath used or discarded after it was discarded."""

    def __init__(self, code: str, discarded: str) -> None:
        super().__init__(
            f"{code} was discarded on {parse_date(discarded).text()}; a bath is used only before that. "
            f"Name another bath, or the right date with --on."
        )


class BathNotMixedError(TirageError):
    """A bath used or discarded before it was mixed."""

    def __init__(self, code: str, mixed: str, moment: Moment) -> None:
        super().__init__(
            f"{code} was mixed on {parse_date(mixed).text()}, after {moment.text()}; a bath is used only "
            f"from then on. Name another bath, or the right date with --on."
        )


class Bath(NamedTuple):
    """One mixed volume of chemistry."""

    id: int
    code: str
    kind: str
    name: str
    dilution: str
    volume: int | None
    mixed: str
    earliest: str
    latest: str
    in_tray: int
    discarded: str
    note: str

    def text(self) -> str:
        """The bath in words: “alkaline rapid fixer 1+4”."""
        return f"{self.name} {self.dilution}".strip()


def mix(
    connection: sqlite3.Connection, event: Event, kind: str, name: str, *, dilution: str = "", volume: int | None = None
) -> Bath:
    """A new bath goes into the tray; the one of its kind (of its name, for a toner) leaves it."""
    if kind not in BATH_KINDS:
        raise NotUnderstood("a kind of bath", kind, f"one of {', '.join(BATH_KINDS)}")
    name = " ".join(name.split())
    if not name:
        raise NotUnderstood("the name of a bath", name, "what it is, such as “alkaline rapid fixer”")
    given = give_codes(connection, "bath")[0]
    date, earliest, latest, _ = event.columns
    connection.execute(ADD, (given.id, kind, name, dilution, volume, date, earliest, latest, event.note))
    connection.execute(LEAVE, (kind, given.id, name))
    return read(connection, given)


def use(connection: sqlite3.Connection, event: Event, bath: Coded) -> Bath:
    """Put a bath back in the tray. Raises BathGoneError."""
    found = read(connection, bath)
    check_usable(found, event.moment)
    if found.discarded:
        raise BathGoneError(found.code, found.discarded)
    connection.execute(LEAVE, (found.kind, found.id, found.name))
    connection.execute(PUT, (found.id,))
    return read(connection, bath)


def discard(connection: sqlite3.Connection, event: Event, bath: Coded) -> Bath:
    """Pour a bath away. Raises BathGoneError, BathNotMixedError."""
    found = read(connection, bath)
    check_usable(found, event.moment)
    if found.discarded:
        raise BathGoneError(found.code, found.discarded)
    connection.execute(DISCARD, (event.moment.date, found.id))
    return read(connection, bath)


def read(connection: sqlite3.Connection, bath: Coded) -> Bath:
    """One bath."""
    found = fetch_one(connection, Bath, READ, (bath.id,))
    assert found is not None
    return found


def baths(connection: sqlite3.Connection) -> list[Bath]:
    """Every bath, in the order they were mixed."""
    return fetch_all(connection, Bath, LIST)


def in_tray(connection: sqlite3.Connection, kind: str, word: str = "") -> Bath:
    """The bath of a kind now in the tray, with `word` in its name. Raises NoBathInTrayError, SeveralBathsError."""
    found = fetch_all(connection, Bath, IN_TRAY, (kind, word))
    if not found:
        raise NoBathInTrayError(kind, word)
    if len(found) > 1:
        raise SeveralBathsError(word or kind, [f"{bath.text()} ({bath.code})" for bath in found])
    return found[0]


def use_so_far(connection: sqlite3.Connection, bath: Coded) -> tuple[int, int]:
    """How many steps a bath served, and how many sheets and plates went through it."""
    steps, sheets = connection.execute(USED, (bath.id,)).fetchone()
    coded: int = connection.execute(SHEETS, (bath.id,)).fetchone()[0]
    return steps, coded + sheets


def check_usable(bath: Bath, moment: Moment) -> None:
    """Whether a bath can have been in use at a moment. Raises BathGoneError, BathNotMixedError."""
    if later_than(Moment(bath.mixed, bath.earliest, bath.latest, ""), moment):
        raise BathNotMixedError(bath.code, bath.mixed, moment)
    if bath.discarded:
        gone = parse_date(bath.discarded)
        if later_than(moment, Moment(gone.edtf, gone.earliest, gone.latest, "")):
            raise BathGoneError(bath.code, bath.discarded)
