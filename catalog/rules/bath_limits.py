"""Limits of baths: which steps were worked in a bath past what the user set for it."""

import json
import sqlite3
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from catalog.records.loads import Place, place_of
from catalog.rules import bath_use
from catalog.rules.bath_use import Use

LIMITED = """SELECT b.id, c.code, b.kind, b.capacity, b.silver_limit, b.life, b.latest FROM bath b
    JOIN code c ON c.id = b.id WHERE b.id IN (SELECT value FROM json_each(?)) AND b.kind IN ('fixer', 'toner')
    AND (b.capacity IS NOT NULL OR b.silver_limit IS NOT NULL OR b.life IS NOT NULL)"""
ADDED = """SELECT bath, capacity, earliest, latest, happened, clock FROM bath_event
    WHERE capacity IS NOT NULL AND bath IN (SELECT value FROM json_each(?))"""
DONE = {"fix": "fixed", "tone": "toned"}
DAY = 86_400


class Limits(NamedTuple):
    """What the user set for one bath; `latest` is the last day on which it can have been mixed."""

    id: int
    code: str
    kind: str
    capacity: int | None
    silver_limit: int | None
    life: int | None
    latest: str


def limits_passed(connection: sqlite3.Connection, baths: Iterable[int]) -> dict[int, str]:
    """Step -> a sentence, for every fixing and toning in a bath that was past what the user set for it by then.

    A step that takes the bath past its capacity counts too. The sentences name codes alone and may be printed
    anywhere. One query where no bath has limits, a handful otherwise, however many steps there are.
    """
    limited = [Limits(*row) for row in connection.execute(LIMITED, (json.dumps(list(baths)),))]
    if not limited:
        return {}
    ids = [limits.id for limits in limited]
    used = bath_use.uses(connection, ids)
    added: dict[int, list[tuple[int, Place]]] = {}
    for bath, capacity, earliest, latest, happened, clock in connection.execute(ADDED, (json.dumps(ids),)):
        place = place_of(earliest or latest, happened, clock, "", "", 0)
        added.setdefault(bath, []).append((capacity, place))
    weighed = {limits.id: used[limits.id] for limits in limited if limits.silver_limit and limits.id in used}
    held = bath_use.silver(connection, weighed) if weighed else {}
    passed = {}
    for limits in limited:
        for use, why in _passed(limits, used.get(limits.id, []), added.get(limits.id, ()), held):
            done = DONE[use.kind]
            passed[use.step] = f"{limits.kind.capitalize()} {limits.code} was past {why} when this was {done}."
    return passed


def life_ends(limits_life: int, latest: str) -> str:
    """The last day of a life in seconds of a bath mixed at the latest on a day, which has no clock: whole days."""
    return (date.fromisoformat(latest) + timedelta(days=-(-limits_life // DAY))).isoformat()


def capacity_at(capacity: int, added: Sequence[tuple[int, Place]], place: Place | None = None) -> int:
    """Square centimetres with what was added up to a place in time; what may have come before it counts."""
    return capacity + sum(more for more, when in added if place is None or not _later(when, place))


def _passed(
    limits: Limits, used: Sequence[Use], added: Sequence[tuple[int, Place]], held: dict[int, float]
) -> Iterable[tuple[Use, str]]:
    ends = life_ends(limits.life, limits.latest) if limits.life and limits.latest else ""
    area = {True: 0, False: 0}  # as a second fixer, and as the first
    for use in used:
        area[use.after is not None] += use.area
        if use.kind not in DONE:
            continue
        said = []
        if limits.capacity and area[use.after is not None] > capacity_at(limits.capacity, added, use.place):
            said.append("the capacity")
        if limits.silver_limit and held.get(use.step, 0) * 1_000 > limits.silver_limit:
            said.append("the silver limit (by estimate)")
        if ends and use.place.day > ends:
            said.append("the life")
        if said:
            yield use, " and ".join(said) + " set for it"


def _later(one: Place, two: Place) -> bool:
    """Whether one is certainly later than the other: by day, else by the clock where both have one."""
    if one.day != two.day or one.stamp is None or two.stamp is None:
        return one.day > two.day
    return one.stamp > two.stamp
