"""Loads: the order of what happened to items, and the washing that counts in a washer that others join."""

import json
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from typing import NamedTuple, TypeVar

from catalog.vocabulary import CHEMICAL_STEPS, WET_STEPS

Thing = TypeVar("Thing")
KINDS = ", ".join(f"'{kind}'" for kind in sorted(WET_STEPS))
WET_OF = f"""SELECT i.item, s.id, s.kind, s.earliest, s.latest, s.happened, s.clock, s.seconds, s.detail, i.joined,
    i.left_at FROM step_item i JOIN step s ON s.id = i.step
    WHERE i.item IN (SELECT value FROM json_each(?)) AND s.kind IN ({KINDS})"""
PEERS = """SELECT i.step, i.item, i.joined FROM step_item i
    WHERE i.step IN (SELECT value FROM json_each(?)) AND i.joined <> ''"""
ENDLESS = "9999-12-31"  # a date without an end may be later than any test


class Place(NamedTuple):
    """Where something stands in a timeline: its day, its instant on that day if known, the order of entry."""

    day: str
    stamp: float | None
    rank: int


@dataclass(slots=True)
class Wet:
    """A wet step of one item; for a wash, the seconds that count and when an unwashed item restarted them."""

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

    @property
    def inside(self) -> bool:
        """Whether the item is in the washer still."""
        return bool(self.joined) and not self.left_at


@dataclass(slots=True)
class Timelines:
    """The wet steps of items, each in time order, and who joined their wash loads later than the first."""

    of: dict[int, list[Wet]] = field(default_factory=dict)
    peers: dict[int, list[tuple[int, str]]] = field(default_factory=dict)


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
    """The wet steps of items, with the washing that counts; four queries however many they are."""
    found = Timelines()
    ours = set(items)
    _read(connection, found, ours)
    loads = sorted({wet.step for wets in found.of.values() for wet in wets if wet.joined})
    if loads:
        peers: dict[int, list[tuple[int, str]]] = {}
        for step, item, joined in connection.execute(PEERS, (json.dumps(loads),)):
            peers.setdefault(step, []).append((item, joined))
        found.peers |= {step: late for step, of in peers.items() if (late := _later_joiners(of))}
        _read(connection, found, {item for late in found.peers.values() for item, _ in late} - ours)
    dirty = {
        step: [(joined, item) for item, joined in peers if _unwashed(found.of.get(item, []), step)]
        for step, peers in found.peers.items()
    }
    for item in ours:
        for wet in found.of.get(item, ()):
            if wet.joined:
                _count(wet, item, dirty.get(wet.step, []))
    return found


def restart(connection: sqlite3.Connection, step: int, item: int) -> str:
    """The instant at which an unwashed item last restarted the washing of this one in a load, or ""."""
    return next((wet.restarted for wet in timelines(connection, [item]).of.get(item, ()) if wet.step == step), "")


def _read(connection: sqlite3.Connection, found: Timelines, items: set[int]) -> None:
    rows: dict[int, list[Wet]] = {}
    shared: dict[int, Wet] = {}  # what nobody joins or leaves is the same for all that went through it
    for item, step, kind, earliest, latest, happened, clock, seconds, detail, joined, left_at in connection.execute(
        WET_OF, (json.dumps(sorted(items)),)
    ):
        if not joined and step in shared:
            rows.setdefault(item, []).append(shared[step])
            continue
        place = place_of(earliest or latest, happened, clock, joined, left_at, step)
        restarts = tuple(json.loads(detail).get("restarts", ())) if joined and detail != "{}" else ()
        exact = bool(joined) or (earliest == latest != "")
        wet = Wet(step, kind, happened, place, seconds, joined, left_at, restarts)
        wet.latest = "" if exact else latest or ENDLESS
        rows.setdefault(item, []).append(wet)
        if not joined:
            shared[step] = wet
    for item, wets in rows.items():
        found.of[item] = in_order(wets, [wet.place for wet in wets])


def _later_joiners(peers: list[tuple[int, str]]) -> list[tuple[int, str]]:
    """Those who joined a load after its first: only they can restart the washing of another."""
    if len({joined for _, joined in peers}) == 1:
        return []
    first = min(_stamp(joined) for _, joined in peers)
    return [(item, joined) for item, joined in peers if _stamp(joined) > first]


def _unwashed(wets: list[Wet], step: int) -> bool:
    """Whether an item came into a load with chemistry in it, or with nothing recorded that says otherwise."""
    for wet in reversed(wets[: next((i for i, wet in enumerate(wets) if wet.step == step), 0)]):
        if wet.kind == "wash" or wet.kind in CHEMICAL_STEPS:
            return wet.kind != "wash"
    return True


def _count(wet: Wet, item: int, dirty: list[tuple[str, int]]) -> None:
    start, end = _stamp(wet.joined), _stamp(wet.left_at) if wet.left_at else float("inf")
    instants = [joined for joined, other in dirty if other != item] + list(wet.restarts)
    later = [instant for instant in instants if start < _stamp(instant) < end]
    wet.restarted = max(later, key=_stamp, default="")
    if wet.left_at:
        wet.seconds = int(end - _stamp(wet.restarted or wet.joined))


@lru_cache(maxsize=65_536)
def _stamp(instant: str) -> float:
    return datetime.fromisoformat(instant).timestamp()
