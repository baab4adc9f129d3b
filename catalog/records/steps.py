"""Steps: recorded stages that one or many items went through together."""

import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from catalog.dates import Moment
from catalog.errors import NotUnderstood
from catalog.events import Event
from catalog.records.baths import Bath
from catalog.records.items import Coded, give_codes
from catalog.records.step_order import check, check_water
from catalog.records.washers import Washer
from catalog.store.rows import fetch_all, fetch_one

ADD = """INSERT INTO step (id, kind, bath, washer, happened, earliest, latest, clock, seconds, celsius, sheets, detail,
    note, by) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_ITEM = "INSERT INTO step_item (step, item, joined) VALUES (?, ?, ?)"
COLUMNS = """s.id, c.code, s.kind, s.bath, coalesce(bc.code, ''), coalesce(trim(b.name || ' ' || b.dilution), ''),
    coalesce(w.name, ''), coalesce(w.kind, ''), s.happened, s.earliest, s.latest, s.clock, s.seconds, s.celsius,
    s.sheets, s.detail, s.note, s.by"""
JOINS = """JOIN code c ON c.id = s.id LEFT JOIN bath b ON b.id = s.bath LEFT JOIN code bc ON bc.id = b.id
    LEFT JOIN washer w ON w.id = s.washer"""
READ = f"SELECT {COLUMNS} FROM step s {JOINS} WHERE s.id = ?"
LIST = f"SELECT {COLUMNS} FROM step s {JOINS} ORDER BY s.id"
OF_ITEMS = f"""SELECT i.item, {COLUMNS}, i.joined, i.left_at FROM step_item i JOIN step s ON s.id = i.step {JOINS}
    WHERE i.item IN (SELECT value FROM json_each(?))"""
ITEMS_OF = "SELECT c.id, c.code, c.kind FROM step_item i JOIN code c ON c.id = i.item WHERE i.step = ? ORDER BY c.id"


@dataclass(frozen=True)
class Step:
    """One recorded stage."""

    id: int
    code: str
    kind: str
    bath: int | None
    bath_code: str
    bath_text: str
    washer: str
    washer_kind: str
    happened: str
    earliest: str
    latest: str
    clock: str
    seconds: int | None
    celsius: int | None
    sheets: int
    detail: str
    note: str
    by: str

    @property
    def moment(self) -> Moment:
        """When it happened."""
        return Moment(self.happened, self.earliest, self.latest, self.clock)

    @property
    def details(self) -> dict[str, Any]:
        """What only this kind has."""
        found: dict[str, Any] = json.loads(self.detail)
        return found


@dataclass(frozen=True)
class StepOfItem(Step):
    """One stage of one item, with the instants it joined and left a load."""

    joined: str
    left_at: str


def record(
    connection: sqlite3.Connection,
    event: Event,
    kind: str,
    items: Sequence[Coded],
    *,
    bath: Bath | None = None,
    washer: Washer | None = None,
    seconds: int | None = None,
    celsius: int | None = None,
    sheets: int = 0,
    detail: Mapping[str, object] | None = None,
) -> Step:
    """Record one stage that items went through together. Raises what it checks (see the errors above)."""
    check(connection, event, kind, items, bath)
    check_water(kind, celsius)
    step = enter(connection, event, kind, items, bath, washer, seconds, celsius, sheets, detail or {}, "")
    return read(connection, step)


def enter(
    connection: sqlite3.Connection,
    event: Event,
    kind: str,
    items: Iterable[Coded],
    bath: Bath | None,
    washer: Washer | None,
    seconds: int | None,
    celsius: int | None,
    sheets: int,
    detail: Mapping[str, object],
    joined: str,
) -> Coded:
    """Enter one stage as it is, and its items as they joined it."""
    if sheets < 0 or (seconds is not None and seconds <= 0):
        raise NotUnderstood(
            "a number for a step", str(min(sheets, seconds or 0)), "sheets from 0 on, at least a second"
        )
    step = give_codes(connection, "step")[0]
    details = json.dumps(dict(detail), ensure_ascii=False)
    connection.execute(
        ADD,
        (
            step.id,
            kind,
            bath.id if bath else None,
            washer.id if washer else None,
            *event.columns,
            seconds,
            celsius,
            sheets,
            details,
            event.note,
            event.by,
        ),
    )
    connection.executemany(ADD_ITEM, [(step.id, item.id, joined) for item in items])
    return step


def read(connection: sqlite3.Connection, step: Coded) -> Step:
    """One step."""
    found = fetch_one(connection, Step, READ, (step.id,))
    assert found is not None
    return found


def steps(connection: sqlite3.Connection) -> list[Step]:
    """Every step, in the order of entry."""
    return fetch_all(connection, Step, LIST)


def items_of(connection: sqlite3.Connection, step: Coded | Step) -> list[Coded]:
    """What went through a step."""
    return fetch_all(connection, Coded, ITEMS_OF, (step.id,))


def history(connection: sqlite3.Connection, item: Coded | int) -> list[StepOfItem]:
    """Everything an item went through, in time order."""
    identity = item if isinstance(item, int) else item.id
    return histories(connection, [identity]).get(identity, [])


def histories(connection: sqlite3.Connection, items: Iterable[int]) -> dict[int, list[StepOfItem]]:
    """Everything that many items went through, each in time order, in one query."""
    from catalog.records.loads import in_order, place_of

    found: dict[int, list[StepOfItem]] = {}
    for item, *step in connection.execute(OF_ITEMS, (json.dumps(list(items)),)):
        found.setdefault(item, []).append(StepOfItem(*step))
    return {
        item: in_order(
            steps, [place_of(s.earliest or s.latest, s.happened, s.clock, s.joined, s.left_at, s.id) for s in steps]
        )
        for item, steps in found.items()
    }
