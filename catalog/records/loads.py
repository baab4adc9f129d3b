"""Loads: the order of what happened to items, and the washing that counts in a washer that others join."""

import json
import math
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import lru_cache
from typing import NamedTuple, TypeVar

from catalog.vocabulary import CHEMICAL_STEPS, WET_STEPS

Thing = TypeVar("Thing")
KINDS = ", ".join(f"'{kind}'" for kind in sorted(WET_STEPS))
WET_OF = f"""SELECT i.item, s.id, s.kind, s.earliest, s.latest, s.happened, s.clock, s.seconds, s.detail, i.joined,
    i.left_at, s.washer FROM step_item i JOIN step s ON s.id = i.step
    WHERE i.item IN (SELECT value FROM json_each(?)) AND s.kind IN ({KINDS})"""
# Who came into the washers of some spans between their ends: into a load, or in a wash told with a time of day.
# Instants are compared as text, as an index can. Where offsets differ (the night in which clocks are turned back,
# another zone) that is no order: what has another offset on these days and those beside them comes too, and `_came`
# compares all as instants.
_INSIDE = """({0} > w.value ->> 1 AND {0} < w.value ->> 2
        OR substr({0}, -6) <> substr(w.value ->> 1, -6) OR substr({0}, -6) <> substr(w.value ->> 2, -6))"""
_DAYS = """{0} >= date(substr(w.value ->> 1, 1, 10), '-1 day')
    AND {0} < coalesce(date(substr(w.value ->> 2, 1, 10), '+2 days'), 'a')"""
JOINERS = f"""SELECT w.key, i.step, i.item, i.joined FROM json_each(?) w CROSS JOIN step_item i
    ON i.joined <> '' AND {_DAYS.format("i.joined")} AND {_INSIDE.format("i.joined")}
    JOIN step s ON s.id = i.step AND s.washer = w.value ->> 0"""
TIMED = f"""SELECT w.key, s.id, s.earliest || 'T' || s.clock, s.sheets, s.detail, i.item, i.joined FROM json_each(?) w
    CROSS JOIN step s ON s.kind = 'wash' AND s.washer = w.value ->> 0 AND {_DAYS.format("s.earliest")}
    AND (s.sheets > 0 OR {_INSIDE.format("s.earliest || 'T' || s.clock")})
    JOIN step_item i ON i.step = s.id WHERE s.clock <> '' AND s.happened = s.earliest"""
ENDLESS = "9999-12-31"  # a date without an end may be later than any test
DOUBT_DAYS = 31  # what is dated with a mark of doubt may be off by so many days; no source


class Place(NamedTuple):
    """Where something stands in a timeline: its day, its instant on that day if known, the order of entry."""

    day: str
    stamp: float | None
    rank: int


@dataclass(slots=True)
class Wet:
    """A wet step of one item; for a wash, the seconds that count and when an unwashed item restarted them.

    A wash told with its length and a time of day to the minute began then (`began`); a time to the second is that of
    the entry, and nothing is known but that the wash was over.
    """

    step: int
    kind: str
    happened: str
    place: Place
    seconds: int | None
    joined: str
    left_at: str
    restarts: tuple[str, ...]
    restarted: str = ""
    latest: str = ""  # the last day it can have happened, "" where its day is exact
    washer: int | None = None
    began: str = ""

    @property
    def inside(self) -> bool:
        """Whether the item is in the washer still."""
        return bool(self.joined) and not self.left_at

    @property
    def ended(self) -> float | None:
        """The instant at which a wash that was told with its length ended, where that is known."""
        return _stamp(self.restarted or self.began) + (self.seconds or 0) if self.began else None


@dataclass(slots=True)
class Timelines:
    """The wet steps of items, each in time order."""

    of: dict[int, list[Wet]] = field(default_factory=dict)


class Span(NamedTuple):
    """When something was in a washer, as two instants."""

    washer: int
    start: str
    end: str


@lru_cache(maxsize=4096)
def span(happened: str, earliest: str, latest: str) -> tuple[str, str]:
    """The first and the last day that a date allows; equal only where it is one day without doubt."""
    if happened == earliest == latest:
        return earliest, latest
    if any(mark in happened for mark in "?~%"):
        earliest, latest = shifted(earliest, -DOUBT_DAYS), shifted(latest, DOUBT_DAYS)
    return earliest, latest or ENDLESS


@lru_cache(maxsize=65_536)
def shifted(day: str, days: int) -> str:
    """So many days later, within the calendar; "" stays open."""
    try:
        return (date.fromisoformat(day) + timedelta(days=days)).isoformat() if day else ""
    except (OverflowError, ValueError):
        return ENDLESS if days > 0 else "0001-01-01"


def place_of(day: str, happened: str, clock: str, joined: str, left_at: str, rank: int) -> Place:
    """The place of a step: a wash stands where it ended, as far as that is known."""
    instant = left_at or joined
    if instant:
        return Place(instant[:10], _stamp(instant), rank)
    return Place(day, _stamp(f"{happened}T{clock}") if clock else None, rank)


def in_order(things: Sequence[Thing], places: Sequence[Place]) -> list[Thing]:
    """Things in time order; what has no time of day comes after all that was entered before it for that day."""
    if _ordered(places):
        return list(things)
    latest: dict[str, float] = {}
    keys: list[tuple[str, float, int, int]] = []
    for index in sorted(range(len(things)), key=lambda i: (places[i].rank, i)):
        day, stamp, rank = places[index]
        keys.append((day, latest.get(day, float("-inf")) if stamp is None else stamp, rank, index))
        if stamp is not None:
            latest[day] = max(stamp, latest.get(day, stamp))
    return [things[key[3]] for key in sorted(keys)]


def _ordered(places: Sequence[Place]) -> bool:
    """Whether places are in order already, as most are: all with a time of day, or none."""
    before = None
    for place in places:
        if before is not None and ((place.stamp is None) != (before.stamp is None) or place < before):
            return False
        before = place
    return True


def timelines(connection: sqlite3.Connection, items: Iterable[int]) -> Timelines:
    """The wet steps of items, with the washing that counts; a few queries however many they are.

    A wash counts from when the last unwashed item came into its washer, whatever load that was told with, and in
    whatever order.
    """
    found, ours = Timelines(), set(items)
    _read(connection, found, ours)
    of_span: dict[Span, list[tuple[Wet, int]]] = {}
    told: set[int] = set()
    for item in ours:
        for wet in found.of.get(item, ()):
            if wet.joined:
                of_span.setdefault(Span(wet.washer or 0, wet.joined, wet.left_at or ENDLESS), []).append((wet, item))
            elif wet.began and wet.washer and wet.step not in told:
                told.add(wet.step)  # it is one for all that went through it
                of_span.setdefault(Span(wet.washer, wet.began, _end(wet.began, wet.seconds)), []).append((wet, 0))
    came = _came(connection, found, list(of_span))
    for one, washes in of_span.items():
        for wet, item in washes:
            _count(wet, item, came.get(one, []))
    return found


def restart(connection: sqlite3.Connection, step: int, item: int) -> str:
    """The instant at which an unwashed item last restarted the washing of this one in a load, or ""."""
    return next((wet.restarted for wet in timelines(connection, [item]).of.get(item, ()) if wet.step == step), "")


def _read(connection: sqlite3.Connection, found: Timelines, items: set[int]) -> None:
    rows: dict[int, list[Wet]] = {}
    shared: dict[int, Wet] = {}  # what nobody joins or leaves is the same for all that went through it
    for (
        item,
        step,
        kind,
        earliest,
        latest,
        happened,
        clock,
        seconds,
        detail,
        joined,
        left_at,
        washer,
    ) in connection.execute(WET_OF, (json.dumps(sorted(items)),)):
        if not joined and step in shared:
            rows.setdefault(item, []).append(shared[step])
            continue
        place = place_of(earliest or latest, happened, clock, joined, left_at, step)
        restarts = tuple(json.loads(detail).get("restarts", ())) if joined and detail != "{}" else ()
        wet = Wet(step, kind, happened, place, seconds, joined, left_at, restarts)
        if not joined and not happened == earliest == latest:
            wet.latest = span(happened, earliest, latest)[1]
        if kind == "wash":
            wet.washer = washer
            if seconds and not joined and clock and clock[5] != ":":
                wet.began = f"{happened}T{clock}"
        rows.setdefault(item, []).append(wet)
        if not joined:
            shared[step] = wet
    for item, wets in rows.items():
        found.of[item] = in_order(wets, [wet.place for wet in wets])


def _came(connection: sqlite3.Connection, found: Timelines, spans: list[Span]) -> dict[Span, list[tuple[str, int]]]:
    """The instants at which what was unwashed came into a washer within each span, and what it was; 0: no code."""
    came: dict[Span, list[tuple[str, int]]] = {}
    if not spans:
        return came
    wanted = json.dumps(spans)
    coming = [(spans[key], step, item, joined) for key, step, item, joined in connection.execute(JOINERS, (wanted,))]
    for key, step, instant, sheets, detail, item, joined in connection.execute(TIMED, (wanted,)):
        if sheets:  # sheets without a code are taken as unwashed
            again = json.loads(detail).get("restarts", ())
            came.setdefault(spans[key], []).extend((one, 0) for one in (joined or instant, *again))
        if not joined:
            coming.append((spans[key], step, item, instant))
    coming = [one for one in coming if _stamp(one[0].start) < _stamp(one[3]) < _stamp(one[0].end)]
    _read(connection, found, {item for *_, item, _ in coming} - found.of.keys())
    for one, step, item, instant in coming:
        if _unwashed(found.of.get(item, []), step):
            came.setdefault(one, []).append((instant, item))
    return came


def _unwashed(wets: list[Wet], step: int) -> bool:
    """Whether an item came into a load with chemistry in it, or with nothing recorded that says otherwise."""
    for wet in reversed(wets[: next((i for i, wet in enumerate(wets) if wet.step == step), 0)]):
        if wet.kind == "wash" or wet.kind in CHEMICAL_STEPS:
            return wet.kind != "wash"
    return True


def _count(wet: Wet, item: int, came: list[tuple[str, int]]) -> None:
    """Restart a wash at the last coming of what was unwashed and is not the item itself."""
    if not (came or wet.restarts or wet.joined):
        return
    start = _stamp(wet.joined or wet.began)
    end = wet.ended or (_stamp(wet.left_at) if wet.left_at else float("inf"))
    instants = [instant for instant, other in came if other != item or not item] + list(wet.restarts)
    wet.restarted = max((one for one in instants if start < _stamp(one) < end), key=_stamp, default="")
    if wet.left_at or wet.restarted and wet.began:
        # A part of a second after a restart counts as one: whatever came in, this was a wash, however short.
        wet.seconds = math.ceil(end - _stamp(wet.restarted)) if wet.restarted else int(end - start)


def _end(began: str, seconds: int | None) -> str:
    return (datetime.fromisoformat(began) + timedelta(seconds=seconds or 0)).isoformat()


@lru_cache(maxsize=65_536)
def _stamp(instant: str) -> float:
    return datetime.fromisoformat(instant).timestamp()
