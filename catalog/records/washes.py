"""Washes: what is put into a washer now, and what is taken out of it."""

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from catalog.dates import Moment
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records.items import Coded
from catalog.records.loads import restart, timelines
from catalog.records.step_order import IN_WASHER, StillInWasherError, check, check_water, instant_text
from catalog.records.steps import ADD_ITEM, Step, enter, read
from catalog.records.washers import Washer

OPEN_LOADS = """SELECT DISTINCT i.step FROM step_item i JOIN step s ON s.id = i.step
    WHERE i.joined <> '' AND i.left_at = '' AND s.washer = ? ORDER BY i.step DESC"""
INSIDE = """SELECT c.id, c.code, c.kind, i.step, i.joined FROM step_item i JOIN step s ON s.id = i.step
    JOIN code c ON c.id = i.item WHERE s.washer = ? AND i.joined <> '' AND i.left_at = '' ORDER BY i.item"""
WAS_IN = "SELECT 1 FROM step_item WHERE step = ? AND item = ?"
LEAVE = "UPDATE step_item SET left_at = ? WHERE step = ? AND item = ?"
CHANGE_LOAD = "UPDATE step SET sheets = ?, detail = ? WHERE id = ?"


class NotInWasherError(TirageError):
    """An item taken out of a washer that it is not in."""

    def __init__(self, item: Coded) -> None:
        super().__init__(
            f"{item.code} is in no washer; only what was put in can be taken out. Put it in with: "
            f"tirage wash {item.code}, or record a wash after the fact: tirage wash {item.code} 60m."
        )


class LeftBeforeJoinedError(TirageError):
    """An item that would leave the washer before it joined."""

    def __init__(self, item: Coded, joined: str, moment: Moment) -> None:
        super().__init__(
            f"{item.code} joined the washer at {instant_text(joined)} and cannot leave it at "
            f"{moment.text()}, before that; expected a later time. Give it with --at, and --on."
        )


class NoClockError(TirageError):
    """A wash load without a time of day."""

    def __init__(self, moment: Moment) -> None:
        super().__init__(
            f"Going in and out of a washer needs a day and a time of day, and “{moment.text()}” has none; "
            f"add --at HH:MM, or record the wash after the fact with its length: tirage wash 1-6 60m."
        )


@dataclass(frozen=True)
class Left:
    """An item that left a washer: the minutes since the last unwashed item joined, and since when those count."""

    item: Coded
    washer: str
    seconds: int
    restarted: str


class Inside(NamedTuple):
    """An item in a washer, and the instant from which its washing counts so far."""

    item: Coded
    joined: str
    since: str

    def seconds(self, now: datetime) -> int:
        """Seconds that count so far."""
        return max(0, int((now - datetime.fromisoformat(self.since)).total_seconds()))


def inside(connection: sqlite3.Connection, washer: Washer) -> list[Inside]:
    """What is in a washer, with the washing that counts so far."""
    rows = connection.execute(INSIDE, (washer.id,)).fetchall()
    restarts = {
        (identity, wet.step): wet.restarted
        for identity, wets in timelines(connection, [row[0] for row in rows]).of.items()
        for wet in wets
    }
    return [
        Inside(Coded(identity, code, kind), joined, restarts.get((identity, step)) or joined)
        for identity, code, kind, step, joined in rows
    ]


def join(
    connection: sqlite3.Connection,
    event: Event,
    washer: Washer,
    items: Sequence[Coded],
    *,
    sheets: int = 0,
    celsius: int | None = None,
    detail: Mapping[str, object] | None = None,
) -> Step:
    """Put items in a washer now: opens a load, or joins the one that is in it, whose temperature stays as told."""
    now = _instant(event)
    check(connection, event, "wash", items, None)
    check_water("wash", celsius)
    for item in items:
        inside = connection.execute(IN_WASHER, (item.id,)).fetchone()
        if inside:
            raise StillInWasherError(item, inside["name"], inside["joined"])
    rows = connection.execute(OPEN_LOADS, (washer.id,)).fetchall()
    loads = [read(connection, Coded(row[0], "", "step")) for row in rows]
    # A load that an item left already takes it no second time, and one that was opened on a later day takes nothing.
    open_load = next(
        (
            load
            for load in loads
            if load.earliest <= event.moment.date
            and not any(connection.execute(WAS_IN, (load.id, item.id)).fetchone() for item in items)
        ),
        None,
    )
    if open_load is None:
        joined = now.isoformat()
        step = enter(connection, event, "wash", items, None, washer, None, celsius, sheets, detail or {}, joined)
        return read(connection, step)
    if sheets or detail:
        details = {**open_load.details, **(detail or {})}
        if sheets:  # what has no code is unwashed, and restarts the washing of all
            details["restarts"] = [*details.get("restarts", []), now.isoformat()]
        told = json.dumps(details, ensure_ascii=False)
        connection.execute(CHANGE_LOAD, (open_load.sheets + sheets, told, open_load.id))
    connection.executemany(ADD_ITEM, [(open_load.id, item.id, now.isoformat()) for item in items])
    return read(connection, Coded(open_load.id, open_load.code, "step"))


def leave(connection: sqlite3.Connection, event: Event, items: Sequence[Coded]) -> list[Left]:
    """Take items out of their washer; says the washing that counts. Raises NotInWasherError, LeftBeforeJoinedError."""
    now = _instant(event)
    places = {}
    for item in items:
        inside = connection.execute(IN_WASHER, (item.id,)).fetchone()
        if not inside:
            raise NotInWasherError(item)
        if now < datetime.fromisoformat(inside["joined"]):
            raise LeftBeforeJoinedError(item, inside["joined"], event.moment)
        places[item] = inside
    connection.executemany(LEAVE, [(now.isoformat(), inside["step"], item.id) for item, inside in places.items()])
    left = []
    for item, inside in places.items():
        again = restart(connection, inside["step"], item.id)
        start = datetime.fromisoformat(again or inside["joined"])
        left.append(Left(item, inside["name"], int((now - start).total_seconds()), again))
    return left


def _instant(event: Event) -> datetime:
    now = event.moment.instant
    if now is None:
        raise NoClockError(event.moment)
    return now
