"""The use of baths: what went through each in time order, its area, and the silver it left by estimate."""

import json
import sqlite3
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from catalog.capacities import SQUARE_MICROMETRES, parse_coating, parse_share
from catalog.formulas.fixing import silver_added, silver_carried
from catalog.measures import parse_size, rounded
from catalog.quantities import parse_volume
from catalog.records import settings
from catalog.records.loads import Place, in_order, place_of
from catalog.vocabulary import WET_STEPS

# The sheet of a print is its own, else its edition's, else what is known of the image on it.
AREA_OF_PRINT = """coalesce(p.sheet_height * p.sheet_width, e.sheet_height * e.sheet_width,
    p.image_height * p.image_width, e.image_height * e.image_width, n.height * n.width)"""
STEPS = """SELECT s.id, s.bath, s.kind, s.earliest, s.latest, s.happened, s.clock, s.sheets,
    (SELECT min(item) FROM step_item WHERE step = s.id) FROM step s WHERE s.bath IN (SELECT value FROM json_each(?))
    ORDER BY s.id"""
AREAS = f"""SELECT i.step, sum(t.kind <> 'control strip'), sum(t.kind = 'control strip'),
    sum(CASE t.kind WHEN 'print' THEN {AREA_OF_PRINT} WHEN 'negative' THEN n.height * n.width END),
    sum(CASE t.kind WHEN 'print' THEN {AREA_OF_PRINT} IS NULL WHEN 'negative' THEN n.height * n.width IS NULL END)
    FROM step s CROSS JOIN step_item i ON i.step = s.id JOIN item t ON t.id = i.item LEFT JOIN print p ON p.id = i.item
    LEFT JOIN edition e ON e.id = p.edition LEFT JOIN negative n ON n.id = coalesce(p.negative, i.item)
    WHERE s.bath IN (SELECT value FROM json_each(?)) GROUP BY i.step"""
WET = ", ".join(f"'{kind}'" for kind in sorted(WET_STEPS - {"rinse"}))
BEFORE = f"""SELECT o.id, o.bath, o.kind FROM step_item j JOIN step o ON o.id = j.step
    WHERE j.item = ? AND o.id < ? AND o.kind IN ({WET}) ORDER BY o.id DESC LIMIT 1"""
VOLUMES = "SELECT id, volume FROM bath WHERE id IN (SELECT value FROM json_each(?))"


class Use(NamedTuple):
    """One step in a bath: how many sheets, plates and strips went through, and their area in square centimetres.

    `guessed` of them had no known size and are counted at the usual sheet. `after` is the fix before this one, in
    another bath and with no wash between, so that this one is a second fix; None where it is none.
    """

    step: int
    bath: int
    kind: str
    place: Place
    sheets: int
    area: int
    guessed: int
    after: int | None


class Total(NamedTuple):
    """What went through a bath in one role: steps, sheets, square centimetres, and how many had no known size."""

    steps: int
    sheets: int
    area: int
    guessed: int


def uses(connection: sqlite3.Connection, baths: Iterable[int]) -> dict[int, list[Use]]:
    """Every step in these baths, each bath's in time order; three queries, and one probe for each fix."""
    wanted = json.dumps(list(baths))
    strip, usual = _setting_area(connection, "strip-size"), _setting_area(connection, "usual-sheet")
    areas = {row[0]: tuple(row)[1:] for row in connection.execute(AREAS, (wanted,))}
    found: dict[int, list[Use]] = {}
    for step, bath, kind, earliest, latest, happened, clock, more, item in connection.execute(STEPS, (wanted,)):
        sheets, strips, known, unknown = areas.get(step, (0, 0, 0, 0))
        known, unknown = known or 0, unknown or 0
        sized = sheets - unknown
        average = known / sized if sized else usual  # of the other sheets of this step
        area = known + unknown * usual + strips * strip + more * average
        after = _first_fix(connection, step, bath, item) if kind == "fix" and item is not None else None
        place = place_of(earliest or latest, happened, clock, "", "", step)
        found.setdefault(bath, []).append(
            Use(step, bath, kind, place, sheets + strips + more, rounded(int(area), SQUARE_MICROMETRES),
                unknown + (0 if sized else more), after)
        )  # fmt: skip
    return {bath: in_order(of_bath, [use.place for use in of_bath]) for bath, of_bath in found.items()}


def total(used: Sequence[Use], *, second: bool) -> Total:
    """What went through as a second fixer, or as the first and only one (every other bath too)."""
    counted = [use for use in used if (use.after is not None) == second]
    return Total(
        len(counted),
        sum(use.sheets for use in counted),
        sum(use.area for use in counted),
        sum(use.guessed for use in counted),
    )


def silver(connection: sqlite3.Connection, used: dict[int, list[Use]]) -> dict[int, float]:
    """Step -> grams of silver a litre in its fixer after it, by estimate; none where the volume is not known.

    A first fixer takes what its sheets leave in it; a second what they carry over from the first. The fixers that
    these sheets came from are read too.
    """
    everything = dict(used)
    while missing := _fixers_before(connection, everything):
        read = uses(connection, missing)
        everything |= {bath: read.get(bath, []) for bath in missing}
    volumes = dict(connection.execute(VOLUMES, (json.dumps(list(everything)),)).fetchall())
    coated = parse_coating(settings.value(connection, "coated-silver")) / 1_000
    undeveloped = parse_share(settings.value(connection, "undeveloped-share")) / 1_000
    carried = parse_volume(settings.value(connection, "carried-over"))
    every = [use for of_bath in everything.values() for use in of_bath if use.kind == "fix" and volumes.get(use.bath)]
    held: dict[int, float] = {}
    rose: dict[int, tuple[float, float]] = {}  # step -> what its fixer held before and after it
    for use in in_order(every, [use.place for use in every]):
        before, volume = held.get(use.bath, 0.0), volumes[use.bath]
        if use.after in rose:
            after = silver_carried(before, *rose[use.after], use.sheets, min(carried, volume), volume)
        elif use.after is not None:
            after = before  # the volume of the first fixer is not known, so nothing can be said of this one
        else:
            after = before + silver_added(coated, undeveloped, use.area, volume)
        held[use.bath], rose[use.step] = after, (before, after)
    return {step: after for step, (_, after) in rose.items()}


def _first_fix(connection: sqlite3.Connection, step: int, bath: int, item: int) -> int | None:
    """The fix in another bath that this one follows, with nothing but a rinse between."""
    before = connection.execute(BEFORE, (item, step)).fetchone()
    return before[0] if before and before[2] == "fix" and before[1] not in (None, bath) else None


def _fixers_before(connection: sqlite3.Connection, known: dict[int, list[Use]]) -> set[int]:
    steps = [use.after for of_bath in known.values() for use in of_bath if use.after is not None]
    asked = "SELECT DISTINCT bath FROM step WHERE id IN (SELECT value FROM json_each(?))"
    return {row[0] for row in connection.execute(asked, (json.dumps(steps),))} - set(known)


def _setting_area(connection: sqlite3.Connection, name: str) -> int:
    height, width = parse_size(settings.value(connection, name))
    return height * width
