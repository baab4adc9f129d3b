"""Hazards: cyanide beside an acid or iodine with no rinse recorded between, told loudly.

That acid frees hydrogen cyanide: CDC/NIOSH, 74-90-8 and cyanides. That iodine makes another poison of cyanide: from
memory, not confirmed. Which bath is which is read from the names that the studio gave, so a name that hides its
content is not seen.
"""

import re
import sqlite3
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from catalog import codes
from catalog.records import steps
from catalog.records.items import Coded, shorten
from catalog.records.steps import Step, StepOfItem
from catalog.rules.waiting import typed

# Ferri- and ferrocyanides and sulphocyanides (thiocyanates) are other things, and warned of elsewhere if at all.
CYANIDE = re.compile(r"(?<!ferri)(?<!ferro)(?<!sulpho)(?<!sulfo)(?<!thio)(?:[cz]yan(?:id|ur|kali)|cianur)|\bkcn\b")
JOINED = re.compile(r"(ferri|ferro|sulpho|sulfo|thio)[\s-]+(?=[cz]yan|cian)")
ACID = re.compile(
    r"(?<!non-)(?<!non )\bacid(?![\s-]*free)|\bacét|\bacetic|\bcitric|vinegar|vinaigre|essig|\bsauer|\bsaur|säure"
)
NO_ACID = re.compile(r"\balkalin|\balkalisch|\bneutral|\bwater\b|acid[\s-]*free|\bnon[\s-]acid")
IODINE = re.compile(r"\biodine|\biodin\b|\biode\b|\bjod\b|\byodo\b")
WORDED = """SELECT c.id, c.code, c.kind, coalesce(b.name || ' ' || b.dilution, '') || ' ' || s.detail AS text
    FROM step s LEFT JOIN bath b ON b.id = s.bath JOIN step_item i ON i.step = s.id JOIN code c ON c.id = i.item
    WHERE text LIKE '%yan%' OR text LIKE '%cian%' OR text LIKE '%kcn%' ORDER BY c.id"""
WATER = ("wash", "rinse")
WHAT = {"acid": "an acid", "iodine": "iodine"}
ADVICE = (
    "Acid frees hydrogen cyanide, a deadly gas that not everybody can smell; what iodine makes of cyanide is a poison "
    "too. If it is happening now: away from the fumes into open air, and call for help if anybody feels unwell. Never "
    "pour the two together; rinse well under running water between them, with moving air. The safety data sheets and "
    "local rules come first."
)
LATE = "If it was rinsed, record that: tirage step add rinse {} --on {} --detail before={}"


class Beside(NamedTuple):
    """Two steps of one item with cyanide and an acid or iodine, and no water between; in time order."""

    before: Step
    after: Step
    other: str  # "acid" or "iodine"


def is_cyanide(text: str) -> bool:
    """Whether words name a cyanide, as a fixer: “potassium cyanide”, “KCN”, but no ferricyanide."""
    return bool(CYANIDE.search(JOINED.sub(r"\1", text.casefold())))


def substance(step: Step, plate: bool) -> str:
    """What of this matters in a step: "cyanide", "acid", "iodine" or "".

    The developer of a collodion plate and the redeveloper hold acid in this trade, as does a stop bath, unless their
    name says otherwise.
    """
    text = " ".join([step.bath_text, *(str(value) for value in step.details.values())]).casefold()
    if is_cyanide(text):
        return "cyanide"
    if step.kind == "iodine" or IODINE.search(step.bath_text.casefold()):
        return "iodine"
    acid = step.kind in ("stop", "redevelop") or (step.kind == "develop" and plate)
    if (acid and not NO_ACID.search(text)) or (step.kind not in WATER and ACID.search(text)):
        return "acid"
    return ""


def besides(history: Sequence[StepOfItem], plate: bool) -> list[Beside]:
    """Every pair of cyanide and acid or iodine that one item went through with no wash or rinse between.

    A rinse that is told late, for a day without times, names the step it came before (detail `before`).
    """
    rinsed = {_code(str(step.details["before"])) for step in history if step.kind in WATER and "before" in step.details}
    found: list[Beside] = []
    since_water: list[tuple[str, Step]] = []
    for step in history:
        if step.code in rinsed:
            since_water.clear()
        if step.kind in WATER and step.seconds != 0 and "before" not in step.details:
            since_water.clear()
            continue
        now = substance(step, plate)
        for earlier, before in since_water if now else ():
            if "cyanide" in (earlier, now) and earlier != now:
                found.append(Beside(before, step, earlier if now == "cyanide" else now))
        if now:
            since_water = [(what, one) for what, one in since_water if what != now] + [(now, step)]
    return found


def _code(text: str) -> str:
    """The whole code of a step, however short it was typed."""
    span = codes.span(codes.bare(text))
    return codes.automatic(span.kind, span.first) if span else text


def hazards_at(connection: sqlite3.Connection, step: Step) -> list[str]:
    """Loud lines about a step that was just recorded: one for each pair of baths, with all that went through both."""
    things = steps.items_of(connection, step)
    histories = steps.histories(connection, [thing.id for thing in things])
    alike: dict[tuple[int, int], tuple[Beside, list[str]]] = {}
    for thing in things:
        for pair in besides(histories.get(thing.id, []), thing.kind == "negative"):
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
