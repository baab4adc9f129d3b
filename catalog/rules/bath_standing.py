"""The standing of a bath: what went through it, what is left by the user's own figures, and what nobody can say."""

import sqlite3
from datetime import date
from shlex import join
from typing import NamedTuple

from catalog.capacities import (
    area_of,
    format_area,
    format_life,
    format_sheets,
    format_silver_strength,
)
from catalog.dates import parse_date
from catalog.formulas.fixing import area_to_reach
from catalog.measures import format_size, parse_size, rounded
from catalog.quantities import format_weight
from catalog.records import settings
from catalog.records.bath_events import BathEvent, events_of, promotions, strength_words
from catalog.records.baths import Bath
from catalog.rules import bath_use
from catalog.rules.bath_limits import life_ends
from catalog.rules.bath_use import Total

# Of the newest editions alone: what a studio printed twenty years ago says little of the next sheet. No source.
EDITION_SIZES = """SELECT sheet_height, sheet_width FROM (SELECT * FROM edition ORDER BY id DESC LIMIT 50)
    WHERE sheet_height IS NOT NULL AND sheet_width IS NOT NULL AND state <> 'cancelled' ORDER BY id DESC"""
SIZES_THROUGH = """SELECT coalesce(p.sheet_height, e.sheet_height), coalesce(p.sheet_width, e.sheet_width) FROM step s
    JOIN step_item i ON i.step = s.id JOIN print p ON p.id = i.item LEFT JOIN edition e ON e.id = p.edition
    WHERE s.bath = ? AND coalesce(p.sheet_height, e.sheet_height) IS NOT NULL
    GROUP BY 1, 2 ORDER BY count(*) DESC"""
MOST_SIZES = 3
ROTATIONS = (
    "Printers advise at most 3 to 4 such turns, or about a week in use, and then both mixed fresh (a forum post and "
    "memory, no authority)."
)
NO_PROOF = (
    "A clear look proves nothing. What does: a silver test on a control strip that went last through it "
    "(tirage test k1 silver none)."
)


class Left(NamedTuple):
    """What the figures set for a bath leave: square centimetres, None where no figure bounds it; and what is past."""

    area: int | None
    past: tuple[str, ...]  # of “capacity”, “silver limit”, “life”
    ends: str  # the last day of its life, the first that it can be, or ""
    silver: float | None  # grams a litre, an estimate


class Standing(NamedTuple):
    """All that is known of one bath now."""

    bath: Bath
    used: Total
    second: Total
    capacity: int | None  # with what was added
    gold: int | None  # milligrams of gold chloride, with what was added
    left: Left
    sizes: tuple[tuple[int, int], ...]  # sheets of the user's, micrometres
    events: tuple[BathEvent, ...]
    turns: int  # promotions in a row

    @property
    def counted(self) -> Total:
        """What counts for its capacity: as the second fixer while it is one, else as the first."""
        return self.second if self.bath.position == "second" else self.used

    @property
    def gold_per_area(self) -> int | None:
        """Milligrams of gold chloride a square metre of what was toned, if all of it was used."""
        return rounded(self.gold * 10_000, self.used.area) if self.gold and self.used.area else None


def standing(connection: sqlite3.Connection, bath: Bath, today: str) -> Standing:
    """The standing of one bath on a day."""
    used = bath_use.uses(connection, [bath.id])
    steps = used.get(bath.id, [])
    events = tuple(events_of(connection, bath.id))
    capacity = bath.capacity and bath.capacity + sum(done.capacity or 0 for done in events)
    gold = (bath.metal or 0) + sum(done.metal or 0 for done in events)
    held = None
    if bath.kind == "fixer" and bath.volume:
        silver = bath_use.silver(connection, used)
        held = silver.get(steps[-1].step) if steps else 0.0
    first, second = bath_use.total(steps, second=False), bath_use.total(steps, second=True)
    counted = second if bath.position == "second" else first
    return Standing(
        bath,
        first,
        second,
        capacity,
        gold or None,
        _left(connection, bath, capacity, counted.area, held, today),
        _sizes(connection, bath),
        events,
        promotions(connection, bath) if bath.kind == "fixer" else 0,
    )


def said(found: Standing, usual: str, today: str) -> list[str]:
    """The standing in sentences, the answer to “is it still good” first; `usual` is the setting `usual-sheet`."""
    lines = [_verdict(found), *_through(found, usual)]
    bath, left = found.bath, found.left
    if left.silver is not None and (found.used.steps or found.second.steps):
        limit = f"; the limit set here is {format_silver_strength(bath.silver_limit)}" if bath.silver_limit else ""
        lines.append(
            f"By estimate it holds {left.silver:.2g} g/l of silver, reckoned from what went through it (settings "
            f"coated-silver, undeveloped-share, carried-over){limit}. An estimate, never a measurement."
        )
    lines += _age(found, today)
    if found.gold:
        lines.append(_gold(found))
    lines += _done(found)
    if found.turns:
        lines.append(f"That was turn {found.turns} in a row of a second fixer taking the first place. {ROTATIONS}")
    if bath.kind == "fixer":
        lines.append(NO_PROOF)
    return lines


def room(found: Standing) -> list[tuple[int, int, int]]:
    """How many more sheets of each of the user's sizes fit: count, height, width; nothing where no figure is set."""
    if found.left.area is None:
        return []
    return [(found.left.area // area_of(height, width), height, width) for height, width in found.sizes]


def left_words(left: Left) -> str:
    """What is left in a few words, for a list: “0.52 m²”, “past its life”."""
    if left.past:
        return "past its " + " and ".join(left.past)
    return "" if left.area is None else format_area(left.area)


def _left(
    connection: sqlite3.Connection, bath: Bath, capacity: int | None, area: int, held: float | None, today: str
) -> Left:
    rooms, past = [], []
    if capacity:
        rooms.append(max(0, capacity - area))
        if area > capacity:
            past.append("capacity")
    if bath.silver_limit and held is not None:
        limit = bath.silver_limit / 1_000
        if held > limit:
            past.append("silver limit")
        if bath.position != "second":  # a second fixer takes what is carried over, not what its sheets leave
            rooms.append(int(area_to_reach(*bath_use.coating(connection), max(0.0, limit - held), bath.volume or 0)))
    mixed = bath.earliest or bath.latest  # the strict side, where it is not told to the day
    ends = life_ends(bath.life, mixed) if bath.life and mixed else ""
    if ends and today > ends:
        past.append("life")
    return Left(min(rooms, default=None), tuple(past), ends, held)


def _sizes(connection: sqlite3.Connection, bath: Bath) -> tuple[tuple[int, int], ...]:
    """Sheets that went through it, then those of editions, each size once however it was turned; else the usual one."""
    known: dict[tuple[int, ...], tuple[int, int]] = {}
    for sql, values in ((SIZES_THROUGH, (bath.id,)), (EDITION_SIZES, ())):
        for height, width in connection.execute(sql, values):
            known.setdefault(tuple(sorted((height, width))), (height, width))
    return tuple(known.values())[:MOST_SIZES] or (parse_size(settings.value(connection, "usual-sheet")),)


def _verdict(found: Standing) -> str:
    bath, left = found.bath, found.left
    basis = f" (basis: {bath.basis or 'not told'})"
    if bath.discarded:
        return f"It was discarded on {parse_date(bath.discarded).text()}."
    if left.past:
        past = f"past its {' and '.join(left.past)}{basis}. {remedy(bath)}"
        if left.past == ("life",) and bath.earliest != bath.latest:
            return f"By the figures set here it may be no longer good: mixed that early, it is {past}"
        return f"No longer good by the figures set here: it is {past}"
    if left.area is not None:
        if left.area == 0:
            return f"Used up by the figures set here{basis}. {remedy(bath)}"
        sheets = [format_sheets(*one).replace(" ", " more ", 1) for one in room(found)]
        return f"Room for about {' or '.join(sheets)}, by {_bounds(found)} set here{basis}."
    if left.ends or bath.silver_limit:
        return f"Within the figures set here{basis}."
    if bath.kind not in ("fixer", "toner"):
        return "No capacity and no life is set for it."
    return (
        f"How long it is still good nobody can say: no capacity and no life is set for it. Set what its data sheet "
        f"says: tirage correct {bath.code} capacity=2.5m2 life=7d basis='data sheet' --why 'was not told'."
    )


def remedy(bath: Bath) -> str:
    """What to do with a bath that is used up."""
    if bath.kind == "fixer" and bath.position == "second":
        return "Mix both fixers fresh, and test a control strip for silver."
    fresh = f"Mix a fresh one ({mix_command(bath)})"
    if bath.kind == "fixer":
        turn = " or let the second take its place (tirage bath promote)" if bath.position == "first" else ""
        return f"{fresh}{turn}, and test a control strip of what it fixed for silver."
    more = f" or replenish it (tirage bath care {bath.code} 'gold added' --gold 10mg)" if bath.metal else ""
    return f"{fresh}{more}."


def mix_command(bath: Bath) -> str:
    """The line that mixes one like it."""
    words = ["tirage", "bath", "mix", bath.kind, bath.name]
    words += ["--second"] if bath.position == "second" else []
    return join(words)


def _bounds(found: Standing) -> str:
    """Which figure leaves the least: “the capacity of 2.5 m²” or the silver limit."""
    if found.capacity and max(0, found.capacity - found.counted.area) == found.left.area:
        return f"the capacity of {format_area(found.capacity)}"
    return f"the silver limit of {format_silver_strength(found.bath.silver_limit or 0)}, an estimate,"


def _through(found: Standing, usual: str) -> list[str]:
    lines = []
    for words, used in (("Through it so far", found.used), ("Through it as the second fixer", found.second)):
        if used.steps:
            steps = "1 step" if used.steps == 1 else f"{used.steps} steps"
            sheets = "1 sheet or plate" if used.sheets == 1 else f"{used.sheets} sheets and plates"
            guess = f"; {used.guessed} without a known size, counted as {_size(usual)}" if used.guessed else ""
            lines.append(f"{words}: {sheets} in {steps}, {format_area(used.area)}{guess}.")
    return lines or ["Nothing went through it so far."]


def _size(text: str) -> str:
    return format_size(*parse_size(text))


def _gold(found: Standing) -> str:
    text = f"{format_weight(found.gold or 0)} of gold chloride went into it"
    if found.gold_per_area is None:
        return f"{text}; nothing was toned in it so far."
    return f"{text}: {found.gold_per_area} mg a square metre of what was toned so far, if all of it was used."


def _done(found: Standing) -> list[str]:
    """When it was last cared for, replenished and measured, and how often; all of it is in its history."""
    lines = []
    for kind, words in (("cared for", "Last cared for"), ("replenished", "Last replenished"), ("promoted", "")):
        alike = [done for done in found.events if done.kind == kind]
        if alike and words:
            often = f" ({len(alike)} times so far: tirage history {found.bath.code})" if len(alike) > 1 else ""
            lines.append(f"{words} on {alike[-1].moment.text()}: {alike[-1].told().partition(': ')[2]}{often}.")
        elif alike:
            lines.append(f"It {alike[-1].told()}, on {alike[-1].moment.text()}.")
    measured = [done for done in found.events if done.strength]
    if measured and measured[-1] != [done for done in found.events if done.kind == measured[-1].kind][-1]:
        lines.append(f"Last measured on {measured[-1].moment.text()}: {strength_words(measured[-1].strength)}.")
    return lines


def _age(found: Standing, today: str) -> list[str]:
    bath, left = found.bath, found.left
    if bath.discarded or bath.earliest != bath.latest or not bath.latest:
        return []
    days = (date.fromisoformat(today) - date.fromisoformat(bath.latest)).days
    old = "Mixed today" if days == 0 else f"Mixed {days} {'day' if days == 1 else 'days'} ago"
    if not left.ends:
        return [f"{old}."]
    verb = "ended" if "life" in left.past else "ends"
    return [f"{old}; its life of {format_life(bath.life or 0)} set here {verb} on {parse_date(left.ends).text()}."]
