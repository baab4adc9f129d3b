"""Baths: mixed volumes of chemistry, each with a life, one of a kind in the tray."""

import sqlite3
from shlex import quote
from typing import NamedTuple

from catalog import names
from catalog.capacities import Capacity
from catalog.dates import Moment, later_than, parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records.items import Coded, UnknownCodeError, find_one, give_codes
from catalog.store.rows import fetch_all, fetch_one
from catalog.vocabulary import BATH_KINDS

COLUMNS = """b.id, c.code, b.kind, b.name, b.dilution, b.volume, b.mixed, b.earliest, b.latest, b.in_tray, b.discarded,
    b.note, b.position, b.capacity, b.silver_limit, b.life, b.metal, b.basis FROM bath b JOIN code c ON c.id = b.id"""
READ = f"SELECT {COLUMNS} WHERE b.id = ?"
LIST = f"SELECT {COLUMNS} ORDER BY b.id"
IN_TRAY = f"""SELECT {COLUMNS} WHERE b.kind = ? AND b.in_tray = 1 AND instr(lower(b.name), lower(?))
    AND (b.position = 'second') = ? ORDER BY b.id DESC"""
ADD = """INSERT INTO bath (id, kind, name, dilution, volume, mixed, earliest, latest, note, position, capacity,
    silver_limit, life, metal, basis) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
# Toners stand side by side, one tray for each name, and a second fixer beside the first; of all else one is in use.
LEAVING = f"""SELECT {COLUMNS} WHERE b.kind = ?1 AND b.in_tray = 1 AND b.id <> ?2
    AND (b.kind <> 'toner' OR lower(b.name) = lower(?3)) AND (b.position = 'second') = ?4 ORDER BY b.id"""
LEAVE = "UPDATE bath SET in_tray = 0 WHERE id = ?"
BESIDE = "UPDATE bath SET position = 'first' WHERE kind = 'fixer' AND in_tray = 1 AND position = ''"
SECOND_IN_TRAY = "SELECT 1 FROM bath WHERE kind = 'fixer' AND in_tray = 1 AND position = 'second'"
PUT = "UPDATE bath SET in_tray = 1, position = ? WHERE id = ?"
LIMITED = f"""SELECT {COLUMNS} WHERE b.in_tray = 1
    AND (b.capacity IS NOT NULL OR b.silver_limit IS NOT NULL OR b.life IS NOT NULL) ORDER BY b.id"""
DISCARD = "UPDATE bath SET in_tray = 0, discarded = ? WHERE id = ?"
NAME_EXPECTED = "what it is, such as “alkaline rapid fixer”"


class NoBathInTrayError(TirageError):
    """A step that takes the bath in the tray, when there is none."""

    def __init__(self, kind: str, word: str = "") -> None:
        which = f"{kind} with “{word}” in its name" if word else kind
        name = f"{word} toner".strip() if kind == "toner" else "NAME"
        super().__init__(
            f"There is no {which} in a tray; a step needs to know its bath. Mix one: "
            f"tirage bath mix {quote(kind)} {quote(name)}, or put one back: tirage bath use b1."
        )


class NoSecondFixerError(TirageError):
    """A second fixing, when no second fixer is in a tray."""

    def __init__(self) -> None:
        super().__init__(
            "There is no second fixer in a tray; fixing twice takes one beside the first. Mix it: "
            "tirage bath mix fixer NAME --second, or give one duration for one fixer."
        )


class NoFirstFixerError(TirageError):
    """A second fixer mixed where there is no first."""

    def __init__(self) -> None:
        super().__init__(
            "A second fixer stands beside a first, and no fixer is in a tray. Mix the first one: "
            "tirage bath mix fixer NAME, or put one back: tirage bath use b1."
        )


class NoBasisError(TirageError):
    """A limit of a bath that does not say whose figure it is."""

    def __init__(self) -> None:
        super().__init__(
            "A capacity, a silver limit or a life was given without where it comes from; no published limit is "
            "confirmed, so it is kept as a figure of yours. Say whose it is: --basis 'data sheet of the fixer' (in a "
            "correction: basis='data sheet of the fixer')."
        )


class NotForThisBathError(TirageError):
    """A property that another kind of bath has."""

    def __init__(self, what: str, kind: str, wanted: str) -> None:
        super().__init__(f"{what} is for a {wanted}, and this is a {kind}. Leave it out, or name a {wanted}.")


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
    position: str = ""  # of a fixer: '', 'first' or 'second'
    capacity: int | None = None  # square centimetres, the whole bath
    silver_limit: int | None = None  # milligrams a litre
    life: int | None = None  # seconds
    metal: int | None = None  # milligrams of gold chloride put into it
    basis: str = ""

    def text(self) -> str:
        """The bath in words: “alkaline rapid fixer 1+4”."""
        return f"{self.name} {self.dilution}".strip()


def mix(
    connection: sqlite3.Connection,
    event: Event,
    kind: str,
    name: str,
    *,
    dilution: str = "",
    volume: int | None = None,
    second: bool = False,
    capacity: Capacity | None = None,
    silver_limit: int | None = None,
    life: int | None = None,
    metal: int | None = None,
    basis: str = "",
) -> Bath:
    """A new bath goes into the tray; the one of its kind (of its name, for a toner) leaves it.

    A second fixer stands beside the first; what leaves is told by `leaving` beforehand. Raises NotUnderstood,
    NoBasisError, NotForThisBathError, NoFirstFixerError.
    """
    if kind not in BATH_KINDS:
        raise NotUnderstood("a kind of bath", kind, f"one of {', '.join(BATH_KINDS)}")
    name = names.tidy("the name of a bath", name, NAME_EXPECTED)
    date, earliest, latest, _ = event.columns
    wanted = Bath(
        *(0, "", kind, name, dilution, volume, date, earliest, latest, 1, "", event.note, "second" if second else ""),
        *(capacity.of(volume) if capacity else None, silver_limit, life, metal, " ".join(basis.split())),
    )
    check_limits(wanted)
    wanted = wanted._replace(position=_position(connection, kind, second))
    for old in leaving(connection, kind, name, second=second):
        connection.execute(LEAVE, (old.id,))
    given = give_codes(connection, "bath")[0]
    connection.execute(ADD, (given.id, *wanted[2:9], event.note, *wanted[12:]))
    return read(connection, given)


def leaving(connection: sqlite3.Connection, kind: str, name: str, *, second: bool, but: int = 0) -> list[Bath]:
    """The baths that leave their trays when one of a kind and name comes, in the second fixer's place or not."""
    return fetch_all(connection, Bath, LEAVING, (kind, but, " ".join(name.split()), second))


def check_limits(bath: Bath) -> None:
    """Whether a bath of its kind can have these limits, and they say whose they are.

    Raises NotForThisBathError, NoBasisError.
    """
    for what, given, wanted in (
        ("A second place (--second)", bath.position == "second", "fixer"),
        ("A silver limit", bath.silver_limit, "fixer"),
        ("Gold", bath.metal, "toner"),
    ):
        if given and bath.kind != wanted:
            raise NotForThisBathError(what, bath.kind, wanted)
    if (bath.capacity or bath.silver_limit or bath.life) and not bath.basis.strip():
        raise NoBasisError


def use(connection: sqlite3.Connection, event: Event, bath: Coded) -> Bath:
    """Put a bath back in the tray. Raises BathGoneError."""
    found = read(connection, bath)
    check_usable(found, event.moment)
    if found.discarded:
        raise BathGoneError(found.code, found.discarded)
    position = found.position or _position(connection, found.kind, False)
    for old in leaving(connection, found.kind, found.name, second=position == "second", but=found.id):
        connection.execute(LEAVE, (old.id,))
    connection.execute(PUT, (position, found.id))
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


def limited_in_trays(connection: sqlite3.Connection) -> list[Bath]:
    """The baths in trays that have a limit, in the order they were mixed."""
    return fetch_all(connection, Bath, LIMITED)


def in_tray(connection: sqlite3.Connection, kind: str, word: str = "") -> Bath:
    """The bath of a kind now in the tray, with `word` in its name; of two fixers the first.

    Raises NoBathInTrayError, SeveralBathsError.
    """
    found = fetch_all(connection, Bath, IN_TRAY, (kind, word, 0))
    if not found:
        raise NoBathInTrayError(kind, word)
    if len(found) > 1:
        raise SeveralBathsError(word or kind, [f"{bath.text()} ({bath.code})" for bath in found])
    return found[0]


def second_fixer(connection: sqlite3.Connection) -> Bath:
    """The second fixer in its tray. Raises NoSecondFixerError."""
    found = fetch_one(connection, Bath, IN_TRAY, ("fixer", "", 1))
    if found is None:
        raise NoSecondFixerError
    return found


def named(connection: sqlite3.Connection, text: str) -> Bath:
    """A bath by its code, else the one in a tray whose kind or name has that word; of two fixers the first.

    Raises UnknownCodeError where it is neither, SeveralBathsError, and what finding a code raises.
    """
    try:
        return read(connection, find_one(connection, text, "bath"))
    except UnknownCodeError:
        word = " ".join(text.split()).lower()
        found = [bath for bath in baths(connection) if bath.in_tray and word in f"{bath.kind} {bath.name}".lower()]
        first = [bath for bath in found if bath.position != "second"]
        if not found:
            raise
    found = first or found
    if len(found) > 1:
        raise SeveralBathsError(text, [f"{bath.text()} ({bath.code})" for bath in found])
    return found[0]


def check_usable(bath: Bath, moment: Moment) -> None:
    """Whether a bath can have been in use at a moment. Raises BathGoneError, BathNotMixedError."""
    if later_than(Moment(bath.mixed, bath.earliest, bath.latest, ""), moment):
        raise BathNotMixedError(bath.code, bath.mixed, moment)
    if bath.discarded:
        gone = parse_date(bath.discarded)
        if later_than(moment, Moment(gone.edtf, gone.earliest, gone.latest, "")):
            raise BathGoneError(bath.code, bath.discarded)


def _position(connection: sqlite3.Connection, kind: str, second: bool) -> str:
    """Where a fixer stands: first or second of two, or alone; a first that a second joins is told so."""
    if kind != "fixer":
        return ""
    if second:
        if fetch_one(connection, Bath, IN_TRAY, ("fixer", "", 0)) is None:
            raise NoFirstFixerError
        connection.execute(BESIDE)
        return "second"
    return "first" if connection.execute(SECOND_IN_TRAY).fetchone() else ""
