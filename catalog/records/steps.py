"""Steps: recorded stages that one or many items went through together."""

import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from catalog.dates import Moment, later_than
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import baths
from catalog.records.baths import Bath
from catalog.records.items import Coded, give_codes
from catalog.records.washers import Washer
from catalog.store.rows import fetch_all, fetch_one
from catalog.vocabulary import BATH_OF_STEP, STEP_KINDS, WET_STEPS

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
OF_ITEM = f"""SELECT {COLUMNS}, i.joined, i.left_at FROM step_item i JOIN step s ON s.id = i.step {JOINS}
    WHERE i.item = ?"""
ITEMS_OF = "SELECT c.id, c.code, c.kind FROM step_item i JOIN code c ON c.id = i.item WHERE i.step = ? ORDER BY c.id"
IN_WASHER = """SELECT i.step, i.joined, w.name FROM step_item i JOIN step s ON s.id = i.step
    JOIN washer w ON w.id = s.washer WHERE i.item = ? AND i.joined <> '' AND i.left_at = ''"""
OPEN_LOADS = """SELECT DISTINCT i.step FROM step_item i JOIN step s ON s.id = i.step
    WHERE i.joined <> '' AND i.left_at = '' AND s.washer = ? ORDER BY i.step DESC"""
WAS_IN = "SELECT 1 FROM step_item WHERE step = ? AND item = ?"
LEAVE = "UPDATE step_item SET left_at = ? WHERE step = ? AND item = ?"
CHANGE_LOAD = "UPDATE step SET sheets = ?, detail = ? WHERE id = ?"
FIXES = """SELECT s.happened, s.earliest, s.latest, s.clock FROM step_item i JOIN step s ON s.id = i.step
    WHERE i.item = ? AND s.kind = 'fix'"""
MADE = "SELECT made, earliest, latest, clock FROM print WHERE id = ?"
STRIP_MADE = "SELECT made, made, made, '' FROM control_strip WHERE id = ?"
GONE = """SELECT happened, earliest, latest, clock FROM transfer WHERE item = ? AND kind = 'destruction'
    UNION ALL SELECT happened, earliest, latest, clock FROM negative_event WHERE negative = ? AND state = 'destroyed'"""
ITEM_KINDS = ("negative", "print", "control strip")
PLATE_ONLY = frozenset(
    {"clean glass", "albumen sub", "collodion", "sensitize", "iodine", "redevelop", "varnish", "cure"}
)
PAPER_ONLY = frozenset({"flatten", "spot"})


class StepKindError(TirageError):
    """A kind of step that does not exist."""

    def __init__(self, kind: str) -> None:
        super().__init__(f"“{kind}” is no step; expected one of {', '.join(STEP_KINDS)}.")


class WrongItemError(TirageError):
    """An item that cannot go through a kind of step."""

    def __init__(self, item: Coded, kind: str) -> None:
        goes = "prints, plates or control strips"
        if kind in PLATE_ONLY | PAPER_ONLY:
            goes = "plates and films (n1)" if kind in PLATE_ONLY else "prints (3) or control strips (k1)"
        super().__init__(
            f"{item.code} is a {item.kind}, and “{kind}” is not for that; expected {goes}. Name one of those."
        )


class NothingInStepError(TirageError):
    """A step without items."""

    def __init__(self, kind: str) -> None:
        super().__init__(
            f"Nothing went through this “{kind}”; expected at least one print, plate or control strip. "
            f"Name them, such as 1-6."
        )


class WrongBathError(TirageError):
    """A bath of a kind that the step does not take."""

    def __init__(self, bath: Bath, kind: str) -> None:
        wanted = BATH_OF_STEP.get(kind)
        expected = f"expected a {wanted}" if wanted else "this step takes no bath"
        super().__init__(
            f"{bath.code} is a {bath.kind} ({bath.text()}), and the step is “{kind}”; {expected}. "
            f"See: tirage bath list."
        )


class BeforeMadeError(TirageError):
    """A step dated before its item was made."""

    def __init__(self, item: Coded, made: Moment, moment: Moment) -> None:
        super().__init__(
            f"{item.code} was made on {made.text()}, and this step is dated {moment.text()}, before that; "
            f"expected a date from then on. Give the right one with --on."
        )


class AfterGoneError(TirageError):
    """A step dated after its item was destroyed."""

    def __init__(self, item: Coded, gone: Moment, moment: Moment) -> None:
        super().__init__(
            f"{item.code} was destroyed on {gone.text()}, and this step is dated {moment.text()}, after "
            f"that; what is destroyed goes through nothing more. Name another, or give the date "
            f"with --on."
        )


class WashBeforeFixError(TirageError):
    """A wash dated before the first fix of its item."""

    def __init__(self, item: Coded, wash: Moment, fix: Moment) -> None:
        super().__init__(
            f"{item.code} would be washed before it was fixed: the wash is dated {wash.text()}, its first "
            f"fix {fix.text()}; expected a wash after the fix. Give its date with --on, or correct the "
            f"fix."
        )


class StillInWasherError(TirageError):
    """An item that is in a washer and would be elsewhere at the same time."""

    def __init__(self, item: Coded, washer: str, joined: str) -> None:
        super().__init__(
            f"{item.code} is in the washer “{washer}” since {instant_text(joined)}; it leaves before "
            f"anything else happens to it. Take it out first: tirage out {item.code}."
        )


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


@dataclass(frozen=True)
class Left:
    """An item that left a washer: the minutes since the last unwashed item joined, and since when those count."""

    item: Coded
    washer: str
    seconds: int
    restarted: str


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
    step = _add(connection, event, kind, items, bath, washer, seconds, celsius, sheets, detail or {}, "")
    return read(connection, step)


def join(
    connection: sqlite3.Connection,
    event: Event,
    washer: Washer,
    items: Sequence[Coded],
    *,
    sheets: int = 0,
    detail: Mapping[str, object] | None = None,
) -> Step:
    """Put items in a washer now: opens a load, or joins the one that is in it."""
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
        step = _add(connection, event, "wash", items, None, washer, None, None, sheets, detail or {}, now.isoformat())
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
    from catalog.records.loads import in_order, place_of

    identity = item if isinstance(item, int) else item.id
    found = fetch_all(connection, StepOfItem, OF_ITEM, (identity,))
    return in_order(
        found, [place_of(s.earliest or s.latest, s.happened, s.clock, s.joined, s.left_at, s.id) for s in found]
    )


def check(connection: sqlite3.Connection, event: Event, kind: str, items: Sequence[Coded], bath: Bath | None) -> None:
    """Whether items can have gone through a kind of step at that moment."""
    check_kind(kind)
    if not items:
        raise NothingInStepError(kind)
    if bath is not None:
        if BATH_OF_STEP.get(kind) != bath.kind:
            raise WrongBathError(bath, kind)
        baths.check_usable(bath, event.moment)
    for item in items:
        plate = item.kind == "negative"
        if item.kind not in ITEM_KINDS or (kind in PLATE_ONLY and not plate) or (kind in PAPER_ONLY and plate):
            raise WrongItemError(item, kind)
        _check_order(connection, event.moment, kind, item)


def check_kind(kind: str) -> None:
    """Whether there is such a step. Raises StepKindError."""
    if kind not in STEP_KINDS:
        raise StepKindError(kind)


def instant_text(instant: str) -> str:
    """An instant as a person writes it: “4 March 2026, 15:40”."""
    day, clock = instant[:10], instant[11:16]
    return Moment(day, day, day, clock).text()


def _check_order(connection: sqlite3.Connection, moment: Moment, kind: str, item: Coded) -> None:
    for row in connection.execute(STRIP_MADE if item.kind == "control strip" else MADE, (item.id,)):
        if later_than(Moment(*row), moment) and kind not in ("expose", "develop"):
            raise BeforeMadeError(item, Moment(*row), moment)
    for row in connection.execute(GONE, (item.id, item.id)):
        if later_than(moment, Moment(*row)):
            raise AfterGoneError(item, Moment(*row), moment)
    if kind == "wash":
        fixes = [Moment(*row) for row in connection.execute(FIXES, (item.id,))]
        if fixes and all(later_than(fix, moment) for fix in fixes):
            raise WashBeforeFixError(item, moment, min(fixes, key=lambda fix: fix.sort_key))
    if kind in WET_STEPS or kind in ("dry", "wetting agent", "flatten"):
        inside = connection.execute(IN_WASHER, (item.id,)).fetchone()
        if inside and not _before(moment, inside["joined"]):
            raise StillInWasherError(item, inside["name"], inside["joined"])


def _before(moment: Moment, joined: str) -> bool:
    if moment.instant is not None:
        return moment.instant < datetime.fromisoformat(joined)
    return bool(moment.earliest) and moment.earliest <= joined[:10]  # the same day may be before


def _instant(event: Event) -> datetime:
    now = event.moment.instant
    if now is None:
        raise NoClockError(event.moment)
    return now


def _add(
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
