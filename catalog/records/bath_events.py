"""What was done to baths after they were mixed: care, replenishing, and a second fixer taking the first one's place."""

import sqlite3
from typing import NamedTuple

from catalog.capacities import format_area
from catalog.dates import Moment
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.old_units import parse_strength
from catalog.quantities import format_weight
from catalog.records import baths
from catalog.records.baths import Bath
from catalog.records.items import Coded
from catalog.store.rows import fetch_all, fetch_one

ADD = """INSERT INTO bath_event (bath, kind, text, replaced, strength, capacity, metal, happened, earliest, latest,
    clock, by) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
OF = """SELECT e.kind, e.text, coalesce(c.code, ''), e.strength, e.capacity, e.metal, e.happened, e.earliest, e.latest,
    e.clock, e.by FROM bath_event e LEFT JOIN code c ON c.id = e.replaced WHERE e.bath = ? ORDER BY e.id"""
PROMOTED = "SELECT replaced FROM bath_event WHERE bath = ? AND kind = 'promoted' ORDER BY id DESC LIMIT 1"


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
            f"tirage correct {code} capacity=2.5m2 basis='data sheet' --why 'was not told'."
        )


class BathEvent(NamedTuple):
    """One thing done to a bath; capacity in square centimetres more, metal in milligrams of gold chloride added."""

    kind: str
    text: str
    replaced: str  # the code of the first fixer whose place it took
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
            return "became the first fixer" + (f", in the place of {self.replaced}" if self.replaced else "")
        extra = [f"{format_area(self.capacity)} more capacity"] if self.capacity else []
        extra += [f"{format_weight(self.metal)} of gold chloride"] if self.metal else []
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
    """Record that a bath was cared for, or replenished where capacity (cm²) or gold chloride (mg) was added.

    Raises NotUnderstood, NoCapacityError, NotForThisBathError, BathGoneError, BathNotMixedError.
    """
    text = " ".join(text.split())
    if not text:
        raise NotUnderstood("what was done to a bath", text, "some words, such as “sunned and filtered”")
    baths.check_usable(bath, event.moment)
    if strength and parse_strength(strength).percent > 100:
        raise NotUnderstood("the strength of a bath", strength, "at most 100 %")
    if metal and bath.kind != "toner":
        raise baths.NotForThisBathError("Gold", bath.kind, "toner")
    if capacity and bath.capacity is None:
        raise NoCapacityError(bath.code)
    kind = "replenished" if capacity or metal else "cared for"
    connection.execute(ADD, (bath.id, kind, text, None, strength, capacity, metal, *event.columns, event.by))


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
    replaced = gone.id if gone else None
    connection.execute(ADD, (found.id, "promoted", "", replaced, "", None, None, *event.columns, event.by))
    connection.execute(baths.PUT, ("first", found.id))
    return baths.read(connection, bath), gone


def events_of(connection: sqlite3.Connection, bath: int) -> list[BathEvent]:
    """What was done to a bath, in time order."""
    found = fetch_all(connection, BathEvent, OF, (bath,))
    return sorted(found, key=lambda done: done.moment.sort_key)


def promotions(connection: sqlite3.Connection, bath: Bath) -> int:
    """How often in a row a second fixer took the place of a first, up to this one, since both were fresh."""
    line: set[int] = set()
    one: int | None = bath.id
    while one is not None and one not in line and (row := connection.execute(PROMOTED, (one,)).fetchone()):
        line.add(one)
        one = row[0]
    return len(line)
