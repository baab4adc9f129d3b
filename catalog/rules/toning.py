"""Toning: what a print was toned with, in words, and what to mind before it goes into a toner."""

import re
import sqlite3
from collections.abc import Sequence

from catalog.dates import Moment
from catalog.formulas.toning import gold_needed_mg
from catalog.quantities import format_duration, format_weight, parse_residue
from catalog.records import negatives, prints, settings
from catalog.records.baths import Bath
from catalog.records.items import Coded, shorten
from catalog.records.loads import Wet, timelines
from catalog.records.steps import StepOfItem, histories, history

# What a toner is named after, as a whole word in the name of its bath: “iron” is not in “environmental”.
METALS = ("selenium", "gold", "sepia", "sulfide", "thiocarbamide", "platinum", "palladium", "iron", "copper")
# How long fixed prints are washed before a toner, by words in its name; the first line that fits counts.
# A practitioner's advice (R. Lambrecht, in a forum); no standard.
WASHED_BEFORE = (
    (("polysulfide", "polysulphide", "direct"), 30 * 60, "a direct sulfide toner"),
    (("sepia", "bleach", "thiocarbamide", "thiourea", "indirect"), 60 * 60, "bleaching and redeveloping in sulfide"),
    (("sulfide", "sulphide"), 30 * 60, "a direct sulfide toner"),
    (("selenium",), 10 * 60, "selenium"),
)  # fmt: skip
ADVICE = "practitioners' advice, no standard"
WHY_WASHED = "Fixer that is left stains, and dissolves bleached highlights"


def toning(connection: sqlite3.Connection, print_id: int) -> str:
    """Every toning in time order, “selenium toner 1+20, 2 min; gold toner 5 min”, or "" when untoned."""
    return toning_of(history(connection, print_id))


def toning_of(steps: Sequence[StepOfItem]) -> str:
    """The same, of steps in time order."""
    said = []
    for step in steps:
        if step.kind == "tone":
            bath = step.bath_text or "toner not recorded"
            joint = ", " if bath[-1].isdigit() else " "
            said.append(bath + (joint + format_duration(step.seconds) if step.seconds is not None else ""))
    return "; ".join(said)


def toned_of(steps: Sequence[StepOfItem]) -> str:
    """“selenium-toned”, “selenium- and gold-toned”; “toned” where no bath says with what, "" when untoned."""
    baths = [step.bath_text for step in steps if step.kind == "tone"]
    named = list(dict.fromkeys(metal for metal in map(_metal, baths) if metal))
    if not named:
        return "toned" if baths else ""
    return "- and ".join(named) + "-toned"


def protection_words(steps: Sequence[StepOfItem]) -> str:
    """What may be said of a toning as a protection, "" when untoned: it goes as far as the silver was converted.

    Protection follows the degree of conversion (S. Puglia, 2000, in a list post); no conversion test is kept.
    """
    toned = toned_of(steps)
    return f"{toned.capitalize()}; how far the silver was converted was not tested." if toned else ""


def advice(connection: sqlite3.Connection, items: Sequence[Coded], bath: Bath, at: Moment | None = None) -> list[str]:
    """What to mind before items go into a toner, one sentence each; it refuses nothing.

    To be asked before the toning is recorded. With `at`, what is dated later counts as not done yet.
    """
    past = timelines(connection, [item.id for item in items]).of
    wets = {item.id: [wet for wet in past.get(item.id, []) if _before(wet, at)] for item in items}
    metals = _metals_before(connection, items, wets)
    said = [_unwashed(items, wets, bath), *_sequence(items, wets, metals, bath)]
    if _metal(bath.name) == "gold":
        said.append(_gold(connection, items))
    return [sentence for sentence in said if sentence]


def _words(name: str) -> list[str]:
    return re.findall(r"[^\W\d_]+", name.casefold())


def _metal(name: str) -> str:
    """What a toner is named after, or ""."""
    return next((word for word in _words(name) if word in METALS), "")


def _before(wet: Wet, at: Moment | None) -> bool:
    """Whether a step came before a moment, as far as days and hours are known."""
    if at is None:
        return True
    instant = at.instant
    if instant is not None and wet.place.stamp is not None:
        return wet.place.stamp <= instant.timestamp()
    return not at.latest or wet.place.day <= at.latest


def _unwashed(items: Sequence[Coded], wets: dict[int, list[Wet]], bath: Bath) -> str:
    """Which items were washed too short since they were fixed, as far as it is recorded."""
    names = set(_words(bath.name))
    fitting = (line for line in WASHED_BEFORE if names & set(line[0]))
    _, needed, what = next(fitting, ((), 0, ""))
    if not needed:
        return ""
    short: dict[str, list[Coded]] = {}
    for item in items:
        washed = _washed_since(wets[item.id], "fix")
        if washed is None or washed < needed:
            length = f"washed {format_duration(washed)}" if washed else "with no timed wash recorded"
            short.setdefault(length, []).append(item)
    if not short:
        return ""
    told = "; ".join(f"{shorten(found)} {length}" for length, found in short.items())
    return f"Before {what}, wash {format_duration(needed)} after the fixer ({ADVICE}): {told}. {WHY_WASHED}."


def _washed_since(wets: Sequence[Wet], *kinds: str) -> int | None:
    """Seconds of water after the last step of some kinds, None where nothing says."""
    last = max((place for place, wet in enumerate(wets) if wet.kind in kinds), default=-1)
    known = [
        wet.seconds
        for wet in wets[last + 1 :]
        if wet.kind in ("wash", "rinse") and not wet.inside and wet.seconds is not None
    ]
    return sum(known) if known else None


def _metals_before(
    connection: sqlite3.Connection, items: Sequence[Coded], wets: dict[int, list[Wet]]
) -> dict[int, list[str]]:
    """What each item was toned with so far."""
    steps = histories(connection, [item.id for item in items])
    counted = {identity: {wet.step for wet in found} for identity, found in wets.items()}
    return {
        item.id: [
            _metal(step.bath_text) or step.bath_text
            for step in steps.get(item.id, ())
            if step.kind == "tone" and step.id in counted[item.id]
        ]
        for item in items
    }


def _sequence(
    items: Sequence[Coded], wets: dict[int, list[Wet]], metals: dict[int, list[str]], bath: Bath
) -> list[str]:
    """What to mind of a second toner after a first one."""
    now = _metal(bath.name)
    other = [item for item in items if any(metal != now for metal in metals[item.id])]
    if not now or not other:
        return []
    said = []
    reversed_ = [item for item in other if now == "selenium" and "gold" in metals[item.id]]
    if reversed_:
        said.append(
            f"{shorten(reversed_)}: in gold already, and a split toning goes the other way, selenium first and then "
            f"gold, which works on the silver that is left (from memory, not confirmed)."
        )
    carried = [item for item in other if _washed_since(wets[item.id], "tone") is None]
    if carried:
        said.append(f"{shorten(carried)}: no wash is recorded since the first toner; wash between the two ({ADVICE}).")
    said.append("Of a split toning, silver that neither toner reached stays unprotected.")
    return said


def _gold(connection: sqlite3.Connection, items: Sequence[Coded]) -> str:
    """How much gold chloride the area of some items takes at the user's rate, "" where none is set."""
    rate = settings.value(connection, "gold-rate")
    sizes = {item: _sides(connection, item) for item in items if item.kind != "control strip"}
    area = sum(sides[0] * sides[1] for sides in sizes.values() if sides)
    if not rate or not area:
        return ""
    weight = format_weight(gold_needed_mg(area, parse_residue(rate)))
    unknown = [item for item, sides in sizes.items() if not sides]
    without = f"; {shorten(unknown)} not counted, of unknown size" if unknown else ""
    metres = area / 10**12
    return (
        f"About {weight} of gold chloride for these {metres:.2g} m², at {rate} "
        f"(setting “gold-rate”: {_basis(connection)}){without}."
    )


def _sides(connection: sqlite3.Connection, item: Coded) -> tuple[int, int] | None:
    """The sides that take gold, in micrometres: of the sheet, else of the image, else of the plate."""
    if item.kind == "print":
        one = prints.read(connection, item.id)
        return prints.sheet_size(connection, one) or prints.image_size(connection, one)
    plate = negatives.read(connection, item.id)
    return (plate.height, plate.width) if plate.height and plate.width else None


def _basis(connection: sqlite3.Connection) -> str:
    return next(found.basis for found in settings.settings(connection) if found.name == "gold-rate")
