"""Hazards: cyanide beside an acid, iodine or another thing it must not meet with no rinse between, told loudly.

That acid frees hydrogen cyanide: CDC/NIOSH, 74-90-8 and cyanides. That iodine makes another poison of cyanide, and
what oxidisers and the waste of selenium and gold toners do to it: from memory, not confirmed. Which bath is which is
read from the names that the studio gave (see `substances`), so a name that hides its content is not seen.
"""

import sqlite3
from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from catalog import codes
from catalog.records import steps
from catalog.records.items import Coded, shorten
from catalog.records.loads import timelines
from catalog.records.steps import Step, StepOfItem
from catalog.rules.substances import is_cyanide, only_water, substance
from catalog.rules.waiting import typed

# A wide net: what a cyanide may be called holds one of these; `is_cyanide` decides.
WORDED = """SELECT c.id, c.code, c.kind, coalesce(b.name || ' ' || b.dilution, '') || ' ' || s.detail AS text
    FROM step s LEFT JOIN bath b ON b.id = s.bath JOIN step_item i ON i.step = s.id JOIN code c ON c.id = i.item
    WHERE text LIKE '%c%n%' OR text LIKE '%yan%' OR text LIKE '%prussi%' OR text LIKE '%blaus%' ORDER BY c.id"""
WATER = ("wash", "rinse")
WHAT = {
    "acid": "an acid",
    "iodine": "iodine",
    "fixer": "a fixer that may be acid",
    "oxidiser": "an oxidiser",
    "metal": "selenium or gold",
}
ADVICE = (
    "Acid frees hydrogen cyanide, a deadly gas that not everybody can smell; what iodine makes of cyanide is a poison "
    "too (that from memory). If it is happening now: away from the fumes into open air, and call for help if anybody "
    "feels unwell. Never pour the two together; rinse well under running water between them, with moving air. "
    "Oxidisers (bleach, hypochlorite) and the waste of selenium and gold toners stay away from cyanide too (from "
    "memory). The safety data sheets and local rules come first."
)
LATE = "If it was rinsed, record that: tirage step add rinse {} --on {} --detail before={}"


class Beside(NamedTuple):
    """Two steps of one item with cyanide and what must not meet it, and no water between; in time order."""

    before: Step
    after: Step
    other: str  # a key of WHAT


def besides(history: Sequence[StepOfItem], plate: bool, idle: Collection[int] = ()) -> list[Beside]:
    """Every pair of cyanide and what must not meet it that one item went through with no water between.

    Water is a wash, a rinse or a stop bath of nothing but water, in which the item stayed at all (`idle` names the
    steps in which it was washed for no time). A rinse that is told late, for a day without times, names the step it
    came before (detail `before`).
    """
    rinsed = {_code(str(step.details["before"])) for step in history if step.kind in WATER and "before" in step.details}
    found: list[Beside] = []
    since_water: list[tuple[str, Step]] = []
    for step in history:
        if step.code in rinsed:
            since_water.clear()
        now = substance(step, plate)
        if not now and _is_water(step) and step.seconds != 0 and step.id not in idle and "before" not in step.details:
            since_water.clear()
            continue
        for earlier, before in since_water if now else ():
            if "cyanide" in (earlier, now) and earlier != now:
                found.append(Beside(before, step, earlier if now == "cyanide" else now))
        if now:
            since_water = [(what, one) for what, one in since_water if what != now] + [(now, step)]
    return found


def idle_steps(connection: sqlite3.Connection, items: Sequence[int]) -> dict[int, set[int]]:
    """The steps in which items were washed for no time that counts, by item: in and straight out again."""
    of = timelines(connection, items).of
    return {item: {wet.step for wet in of.get(item, ()) if not wet.inside and wet.seconds == 0} for item in items}


def _is_water(step: Step) -> bool:
    return step.kind in WATER or (step.kind == "stop" and only_water(step.bath_text))


def _code(text: str) -> str:
    """The whole code of a step, however short it was typed."""
    span = codes.span(codes.bare(text))
    return codes.automatic(span.kind, span.first) if span else text


def hazards_at(connection: sqlite3.Connection, step: Step) -> list[str]:
    """Loud lines about a step that was just recorded: one for each pair of baths, with all that went through both."""
    things = steps.items_of(connection, step)
    histories = steps.histories(connection, [thing.id for thing in things])
    idle = idle_steps(connection, list(histories))
    alike: dict[tuple[int, int], tuple[Beside, list[str]]] = {}
    for thing in things:
        for pair in besides(histories.get(thing.id, []), thing.kind == "negative", idle.get(thing.id, ())):
            if step.id in (pair.before.id, pair.after.id):
                alike.setdefault((pair.before.id, pair.after.id), (pair, []))[1].append(thing.code)
    lines = [f"STOP: {told(pair, names)}" for pair, names in alike.values()]
    return [*lines, ADVICE] if lines else []


def told(pair: Beside, names: Sequence[str]) -> str:
    """A pair in a sentence, and how to record a rinse that was made."""
    first = f"{pair.before.bath_text or pair.before.kind} ({pair.before.code})"
    then = f"{pair.after.bath_text or pair.after.kind} ({pair.after.code})"
    return (
        f"{shorten(names)} went from {first} to {then}, cyanide beside {WHAT[pair.other]}, and no wash or rinse is "
        f"recorded between. {LATE.format(typed(names), pair.after.happened, pair.after.code)}"
    )


def histories_with_cyanide(connection: sqlite3.Connection) -> Iterator[tuple[Coded, list[StepOfItem]]]:
    """Everything that went through a step with cyanide in its words, with its whole history."""
    touched = {
        row["id"]: Coded(row["id"], row["code"], row["kind"])
        for row in connection.execute(WORDED).fetchall()
        if is_cyanide(row["text"])
    }
    for identity, history in steps.histories(connection, list(touched)).items():
        yield touched[identity], history
