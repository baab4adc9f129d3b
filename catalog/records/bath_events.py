"""What was done to baths after they were mixed: care, replenishing, and a second fixer taking the first one's place."""

import sqlite3
from typing import NamedTuple

from catalog.capacities import format_area
from catalog.dates import Moment
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.formulas.old_units import parse_strength
from catalog.quantities import format_weight
from catalog.records import baths
from catalog.records.baths import Bath
from catalog.records.items import Coded
from catalog.store.rows import fetch_all, fetch_one

ADD = """INSERT INTO bath_event (bath, kind, text, strength, capacity, metal, happened, earliest, latest, clock, by)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
OF = """SELECT kind, text, strength, capacity, metal, happened, earliest, latest, clock, by FROM bath_event
    WHERE bath = ? ORDER BY id"""
# Each promotion names the first fixer whose place it took; that one may have been promoted before.
PROMOTIONS = """WITH RECURSIVE line(bath, count) AS (SELECT ?, 0 UNION ALL
    SELECT c.id, line.count + 1 FROM line JOIN bath_event e ON e.bath = line.bath AND e.kind = 'promoted'
    LEFT JOIN code c ON c.code = e.text) SELECT max(count) FROM line"""


class NotSecondFixerError(TirageError):
    """A bath promoted that is no second fixer in use."""

    def __init__(self, bath: Bath) -> None:
        super().__init__(
            f"{bath.code} ({bath.text()}) is no second fixer, and only a second fixer takes the place of the first. "
            f"See: tirage bath list."
        )


class NoCapacityError(TirageError):
    """Capacity added to a bath that has none set."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{code} has no capacity set, so none can be added; expected one first. Set it: "
            f"tirage correct {code} capacity=2.5m2 --why “was not told”."
        )


class BathEvent(NamedTuple):
    """One thing done to a bath; capacity in square centimetres more, metal in milligrams of gold added."""

    kind: str
    text: str
    strength: str
    capacity: int | None
    metal: int | None
    happened: str
    earliest: str
    latest: str
    clock: str
    by: str

    def told(self) -> str:
        """What was done, in words: “cared for: sunned and filtered, measured 9 %”."""
        if self.kind == "promoted":
            return "became the first fixer" + (f", in the place of {self.text}" if self.text else "")
        extra = [f"{format_area(self.capacity)} more capacity"] if self.capacity else []
        extra += [f"{format_weight(self.metal)} of gold"] if self.metal else []
        extra += [f"measured {strength_words(self.strength)}"] if self.strength else []
        return f"{self.kind}: {', '.join([self.text, *extra])}"

    @property
    def moment(self) -> Moment:
        """When it was done."""
        return Moment(self.happened, self.earliest, self.latest, self.clock)


def strength_words(typed: str) -> str:
    """A strength as it was typed, and in per cent where that was typed otherwise."""
    return typed if typed.endswith("%") else f"{typed} = {parse_strength(typed).text()}"


def care(
    connection: sqlite3.Connection,
    event: Event,
    bath: Bath,
    text: str,
    *,
    strength: str = "",
    capacity: int | None = None,
    metal: int | None = None,
) -> None:
    """Record that a bath was cared for, or replenished where capacity (square centimetres) or gold (mg) was added.

    Raises NotUnderstood, NoCapacityError, NotForThisBathError, BathGoneError, BathNotMixedError.
    """
    text = " ".join(text.split())
    if not text:
        raise NotUnderstood("what was done to a bath", text, "some words, such as “sunned and filtered”")
    baths.check_usable(bath, event.moment)
    if metal and bath.kind != "toner":
        raise baths.NotForThisBathError("--gold", bath.kind, "toner")
    if capacity and bath.capacity is None:
        raise NoCapacityError(bath.code)
    kind = "replenished" if capacity or metal else "cared for"
    connection.execute(ADD, (bath.id, kind, text, strength, capacity, metal, *event.columns, event.by))


def promote(connection: sqlite3.Connection, event: Event, bath: Coded) -> tuple[Bath, Bath | None]:
    """The second fixer becomes the first; the first there was is discarded. Returns both.

    Raises NotSecondFixerError, BathGoneError, BathNotMixedError.
    """
    found = baths.read(connection, bath)
    if found.position != "second":
        raise NotSecondFixerError(found)
    baths.check_usable(found, event.moment)
    if found.discarded:
        raise baths.BathGoneError(found.code, found.discarded)
    gone = fetch_one(connection, Bath, baths.IN_TRAY, ("fixer", "", 0))
    if gone:
        baths.discard(connection, event, Coded(gone.id, gone.code, "bath"))
    connection.execute(baths.PUT, ("first", found.id))
    text = gone.code if gone else ""
    connection.execute(ADD, (found.id, "promoted", text, "", None, None, *event.columns, event.by))
    return baths.read(connection, bath), gone


def events_of(connection: sqlite3.Connection, bath: int) -> list[BathEvent]:
    """What was done to a bath, in time order."""
    found = fetch_all(connection, BathEvent, OF, (bath,))
    return sorted(found, key=lambda done: done.moment.sort_key)


def promotions(connection: sqlite3.Connection, bath: Bath) -> int:
    """How often in a row a second fixer took the place of a first, up to this one, since both were fresh."""
    count: int = connection.execute(PROMOTIONS, (bath.id,)).fetchone()[0]
    return count
