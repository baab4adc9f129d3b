"""Limits of baths: which steps were worked in a bath past what the user set for it."""

import json
import sqlite3
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from catalog.records.loads import Place, place_of
from catalog.rules import bath_use
from catalog.rules.bath_use import Use

LIMITED = """SELECT b.id, c.code, b.kind, b.capacity, b.silver_limit, b.life, b.earliest, b.latest FROM bath b
    JOIN code c ON c.id = b.id WHERE b.id IN (SELECT value FROM json_each(?)) AND b.kind IN ('fixer', 'toner')
    AND (b.capacity IS NOT NULL OR b.silver_limit IS NOT NULL OR b.life IS NOT NULL)"""
ADDED = """SELECT bath, capacity, earliest, latest, happened, clock FROM bath_event
    WHERE capacity IS NOT NULL AND bath IN (SELECT value FROM json_each(?))"""
DAYS = "SELECT id, earliest, latest FROM step WHERE bath IN (SELECT value FROM json_each(?))"
DONE = {"fix": "fixed", "tone": "toned"}
DAY = 86_400


class Limits(NamedTuple):
    """What the user set for one bath, and the first and the last day on which it can have been mixed."""

    id: int
    code: str
    kind: str
    capacity: int | None
    silver_limit: int | None
    life: int | None
    earliest: str
    latest: str


class _Added(NamedTuple):
    """Square centimetres that were added to a bath, and the first and the last that it can have been."""

    capacity: int
    first: Place
    last: Place


def limits_passed(connection: sqlite3.Connection, baths: Iterable[int]) -> dict[int, str]:
    """Step -> a sentence, for every fixing and toning in a bath that was past what the user set for it by then.

    A step that takes the bath past its capacity counts too, and what only may have been past it, by imprecise dates,
    is told as that. The sentences name codes alone and may be printed anywhere. One query where no bath has limits, a
    handful otherwise, however many steps there are.
    """
    limited = [Limits(*row) for row in connection.execute(LIMITED, (json.dumps(list(baths)),))]
    if not limited:
        return {}
    ids = [limits.id for limits in limited]
    used = bath_use.uses(connection, ids)
    days = {step: (first, last) for step, first, last in connection.execute(DAYS, (json.dumps(ids),))}
    added: dict[int, list[_Added]] = {}
    for bath, capacity, earliest, latest, happened, clock in connection.execute(ADDED, (json.dumps(ids),)):
        place = place_of(latest or earliest, happened, clock, "", "", 0)
        added.setdefault(bath, []).append(_Added(capacity, place._replace(day=earliest), place))
    weighed = {limits.id: used[limits.id] for limits in limited if limits.silver_limit and limits.id in used}
    held = bath_use.silver(connection, weighed) if weighed else {}
    passed = {}
    for limits in limited:
        for use, why in _passed(limits, used.get(limits.id, []), added.get(limits.id, ()), held, days):
            done = DONE[use.kind]
            passed[use.step] = f"{limits.kind.capitalize()} {limits.code} {why} set for it when this was {done}."
    return passed


def life_ends(life: int, mixed: str) -> str:
    """The last day of a life in seconds of a bath mixed on a day, which has no clock: whole days."""
    return (date.fromisoformat(mixed) + timedelta(days=-(-life // DAY))).isoformat()


def _passed(
    limits: Limits,
    used: Sequence[Use],
    added: Sequence[_Added],
    held: dict[int, float],
    days: dict[int, tuple[str, str]],
) -> Iterable[tuple[Use, str]]:
    area = {True: 0, False: 0}  # as a second fixer, and as the first
    for use in used:
        area[use.after is not None] += use.area
        if use.kind not in DONE:
            continue
        was: list[str] = []
        may: list[str] = []
        if limits.capacity and area[use.after is not None] > limits.capacity:
            over = area[use.after is not None] - limits.capacity
            first, last = (use.place._replace(day=day) for day in days[use.step])
            before = sum(one.capacity for one in added if _earlier(one.last, first))
            perhaps = sum(one.capacity for one in added if not last.day or not _earlier(last, one.first))
            if over > before:
                (was if over > perhaps else may).append("the capacity")
        if limits.silver_limit and held.get(use.step, 0) * 1_000 > limits.silver_limit:
            was.append("the silver limit (by estimate)")
        if limits.life and (certain := _outlived(limits, *days[use.step])) is not None:
            (was if certain else may).append("the life")
        told = [
            f"{words} {' and '.join(found)}"
            for words, found in (("was past", was), ("may have been past", may))
            if found
        ]
        if told:
            yield use, " and ".join(told)


def _outlived(limits: Limits, earliest: str, latest: str) -> bool | None:
    """Whether a step between two days was past the life: True certainly, False perhaps, None certainly not."""
    life = limits.life or 0
    if limits.latest and earliest and earliest > life_ends(life, limits.latest):
        return True
    within = limits.earliest and latest and latest <= life_ends(life, limits.earliest)
    return None if within else False


def _earlier(one: Place, two: Place) -> bool:
    """Whether one is certainly earlier than the other, or at the same minute: by day, else by the clocks of both."""
    if one.day != two.day or one.stamp is None or two.stamp is None:
        return one.day < two.day
    return one.stamp <= two.stamp
