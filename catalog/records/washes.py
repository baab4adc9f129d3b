"""Washes: what is put into a washer now, and what is taken out of it."""

import json
import sqlite3
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from catalog.dates import Moment
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records.items import Coded
from catalog.records.step_order import IN_WASHER, StillInWasherError, check, instant_text
from catalog.records.steps import ADD_ITEM, Step, enter, read
from catalog.records.washers import Washer

OPEN_LOADS = """SELECT DISTINCT i.step FROM step_item i JOIN step s ON s.id = i.step
    WHERE i.joined <> '' AND i.left_at = '' AND s.washer = ? ORDER BY i.step DESC"""
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
    for item in items:
        inside = connection.execute(IN_WASHER, (item.id,)).fetchone()
        if inside:
            raise StillInWasherError(item, inside["name"], inside["joined"])
    rows = connection.execute(OPEN_LOADS, (washer.id,)).fetchall()
    loads = [read(connection, Coded(row[0], "", "step")) for row in rows]
    # A load that an item left already takes it no second time: the item opens another load in the same washer.
    open_load = next(
        (
            load
            for load in loads
            if not any(connection.execute(WAS_IN, (load.id, item.id)).fetchone() for item in items)
        ),
        None,
    )
    for load in loads:
        restarts = sheets > 0 or load is not open_load
        details = {**load.details, **(detail or {})} if load is open_load else load.details
        if restarts:
            details["restarts"] = [*details.get("restarts", []), now.isoformat()]
        if restarts or detail:
            more = sheets if load is open_load else 0
            connection.execute(CHANGE_LOAD, (load.sheets + more, json.dumps(details, ensure_ascii=False), load.id))
    if open_load is None:
        joined = now.isoformat()
        step = enter(connection, event, "wash", items, None, washer, None, celsius, sheets, detail or {}, joined)
        return read(connection, step)
    connection.executemany(ADD_ITEM, [(open_load.id, item.id, now.isoformat()) for item in items])
    return read(connection, Coded(open_load.id, open_load.code, "step"))


def leave(connection: sqlite3.Connection, event: Event, items: Sequence[Coded]) -> list[Left]:
    """Take items out of their washer; says the washing that counts. Raises NotInWasherError, LeftBeforeJoinedError."""
    from catalog.records.loads import restart

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
