"""The use of baths: what went through each in time order, its area, and the silver it left by estimate."""

import json
import sqlite3
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from catalog.capacities import parse_coating, parse_share
from catalog.formulas.fixing import silver_added, silver_carried
from catalog.measures import SQUARE_MICROMETRES, parse_size, rounded
from catalog.quantities import parse_volume
from catalog.records import settings
from catalog.records.loads import Place, in_order, place_of
from catalog.vocabulary import WET_STEPS

# The sheet of a print is its own, else its edition's, else what is known of the image on it.
AREA_OF_PRINT = """coalesce(p.sheet_height * p.sheet_width, e.sheet_height * e.sheet_width,
    p.image_height * p.image_width, e.image_height * e.image_width, n.height * n.width)"""
STEPS = """SELECT s.id, s.bath, s.kind, s.earliest, s.latest, s.happened, s.clock, s.sheets FROM step s
    WHERE s.bath IN (SELECT value FROM json_each(?)) ORDER BY s.id"""
AREAS_OF = f"""SELECT i.step, sum(t.kind <> 'control strip'), sum(t.kind = 'control strip'),
    sum(CASE t.kind WHEN 'print' THEN {AREA_OF_PRINT} WHEN 'negative' THEN n.height * n.width END),
    sum(CASE t.kind WHEN 'print' THEN {AREA_OF_PRINT} IS NULL WHEN 'negative' THEN n.height * n.width IS NULL END)
    FROM step s CROSS JOIN step_item i ON i.step = s.id JOIN item t ON t.id = i.item LEFT JOIN print p ON p.id = i.item
    LEFT JOIN edition e ON e.id = p.edition LEFT JOIN negative n ON n.id = coalesce(p.negative, i.item)"""
AREAS = f"{AREAS_OF} WHERE s.bath IN (SELECT value FROM json_each(?)) GROUP BY i.step"
AREA_OF_SOME = f"{AREAS_OF} WHERE s.id = ? AND i.item IN (SELECT value FROM json_each(?)) GROUP BY i.step"
WET = ", ".join(f"'{kind}'" for kind in sorted(WET_STEPS - {"rinse"}))
# All wet steps of what was fixed in these baths and in another one too: of the rest no fix is a second one.
FIXED_TWICE = f"""SELECT j.item, o.id, o.kind, o.bath, o.earliest, o.latest, o.happened, o.clock, j.joined, j.left_at
    FROM step_item j JOIN step o ON o.id = j.step WHERE o.kind IN ({WET}) AND j.item IN (SELECT i.item FROM step s
    JOIN step_item i ON i.step = s.id WHERE s.kind = 'fix' AND s.bath IN (SELECT value FROM json_each(?)))
    AND (SELECT count(DISTINCT f.bath) FROM step_item g JOIN step f ON f.id = g.step
    WHERE g.item = j.item AND f.kind = 'fix') > 1"""
ANY_SECOND = "SELECT 1 FROM bath WHERE position <> '' LIMIT 1"
VOLUMES = "SELECT id, volume FROM bath WHERE id IN (SELECT value FROM json_each(?))"


class Use(NamedTuple):
    """What went through a bath in one step: how many sheets, plates and strips, and their area in square centimetres.

    `guessed` of them had no known size and are counted at the usual sheet. `after` is the fix before this one, in
    another bath and with no wash between, so that this one is a second fix; None where it is none. A step has one of
    these for each `after` of what went through it.
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


class _Areas(NamedTuple):
    """What went through a step: sheets, strips, and of the sheets the area of those of known size, how many are not."""

    sheets: int = 0
    strips: int = 0
    known: int | None = 0
    unknown: int | None = 0


def uses(connection: sqlite3.Connection, baths: Iterable[int]) -> dict[int, list[Use]]:
    """Every step in these baths, each bath's in time order; three queries, and one for each part of a mixed load."""
    wanted = json.dumps(list(baths))
    sizes = _setting_area(connection, "strip-size"), _setting_area(connection, "usual-sheet")
    areas = {row[0]: _Areas(*tuple(row)[1:]) for row in connection.execute(AREAS, (wanted,))}
    seconds = _second_fixes(connection, wanted)
    found: dict[int, list[Use]] = {}
    for step, bath, kind, earliest, latest, happened, clock, more in connection.execute(STEPS, (wanted,)).fetchall():
        place = place_of(earliest or latest, happened, clock, "", "", step)
        whole = areas.get(step, _Areas())
        for after, part in _parts(connection, step, whole, seconds.get(step, {})):
            # Sheets without a code count with the largest part of the load.
            sheets, area, guessed = _counted(part, *sizes, more)
            found.setdefault(bath, []).append(
                Use(step, bath, kind, place, sheets, rounded(area, SQUARE_MICROMETRES), guessed, after)
            )
            more = 0
    return {bath: in_order(of_bath, [use.place for use in of_bath]) for bath, of_bath in found.items()}


def _parts(
    connection: sqlite3.Connection, step: int, whole: _Areas, seconds: dict[int, set[int]]
) -> list[tuple[int | None, _Areas]]:
    """What went through a step by the fix that each of it came from; the largest part first."""
    if not seconds:
        return [(None, whole)]
    items = sum(map(len, seconds.values()))
    if len(seconds) == 1 and items == whole.sheets + whole.strips:
        return [(next(iter(seconds)), whole)]
    parts: list[tuple[int | None, _Areas]] = []
    for after, some in seconds.items():
        row = connection.execute(AREA_OF_SOME, (step, json.dumps(sorted(some)))).fetchone()
        parts.append((after, _Areas(*tuple(row)[1:])))
    rest = _Areas(
        whole.sheets - sum(part.sheets for _, part in parts),
        whole.strips - sum(part.strips for _, part in parts),
        (whole.known or 0) - sum(part.known or 0 for _, part in parts),
        (whole.unknown or 0) - sum(part.unknown or 0 for _, part in parts),
    )
    if rest.sheets + rest.strips:
        parts.append((None, rest))
    return sorted(parts, key=lambda one: -one[1].sheets)


def _counted(part: _Areas, strip: int, usual: int, more: int) -> tuple[int, int, int]:
    """How many sheets and strips, their area in square micrometres, and how many sheets had no known size."""
    known, unknown = part.known or 0, part.unknown or 0
    sized = part.sheets - unknown
    average = known / sized if sized else usual  # of the sheets without a code
    area = known + unknown * usual + part.strips * strip + more * average
    return part.sheets + part.strips + more, int(area), unknown + (0 if sized else more)


def total(used: Sequence[Use], *, second: bool) -> Total:
    """What went through as a second fixer, or as the first and only one (every other bath too)."""
    counted = [use for use in used if (use.after is not None) == second]
    return Total(
        len({use.step for use in counted}),
        sum(use.sheets for use in counted),
        sum(use.area for use in counted),
        sum(use.guessed for use in counted),
    )


def coating(connection: sqlite3.Connection) -> tuple[float, float]:
    """Grams of silver a square metre of paper, and the share that stays undeveloped, as the settings have them."""
    coated = parse_coating(settings.value(connection, "coated-silver")) / 1_000
    return coated, parse_share(settings.value(connection, "undeveloped-share")) / 1_000


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
    coated, undeveloped = coating(connection)
    carried = parse_volume(settings.value(connection, "carried-over"))
    every = [use for of_bath in everything.values() for use in of_bath if use.kind == "fix" and volumes.get(use.bath)]
    held: dict[int, float] = {}
    unsaid: set[int] = set()  # second fixers of which nothing can be said, for the volume of the first is not known
    rose: dict[int, tuple[float, float]] = {}  # step -> what its fixer held before and after it
    for use in in_order(every, [use.place for use in every]):
        before, volume = held.get(use.bath, 0.0), volumes[use.bath]
        if use.after is not None and use.after not in rose:
            unsaid.add(use.bath)
        if use.bath in unsaid:
            continue
        if use.after is not None:
            after = silver_carried(before, *rose[use.after], use.sheets, min(carried, volume), volume)
        else:
            after = before + silver_added(coated, undeveloped, use.area, volume)
        held[use.bath] = after
        rose[use.step] = (rose[use.step][0] if use.step in rose else before, after)
    return {step: after for step, (_, after) in rose.items()}


def _second_fixes(connection: sqlite3.Connection, baths: str) -> dict[int, dict[int, set[int]]]:
    """Step -> the fix in another bath that it follows, with nothing but a rinse between -> the items it is so of.

    By the time of the steps, however late one was told. What came from no other fixer is not named. Where no fixer
    was ever mixed as the second of two there is none.
    """
    if connection.execute(ANY_SECOND).fetchone() is None:
        return {}
    lines: dict[int, list[tuple[int, str, int | None, Place]]] = {}
    for item, step, kind, bath, earliest, latest, happened, clock, joined, left_at in connection.execute(
        FIXED_TWICE, (baths,)
    ):
        place = place_of(earliest or latest, happened, clock, joined, left_at, step)
        lines.setdefault(item, []).append((step, kind, bath, place))
    found: dict[int, dict[int, set[int]]] = {}
    for item, line in lines.items():
        line = in_order(line, [one[3] for one in line])
        for (first, before, bath, _), (step, kind, other, _) in pairwise(line):
            if kind == before == "fix" and None not in (bath, other) and bath != other:
                found.setdefault(step, {}).setdefault(first, set()).add(item)
    return found


def _fixers_before(connection: sqlite3.Connection, known: dict[int, list[Use]]) -> set[int]:
    steps = [use.after for of_bath in known.values() for use in of_bath if use.after is not None]
    asked = "SELECT DISTINCT bath FROM step WHERE id IN (SELECT value FROM json_each(?))"
    return {row[0] for row in connection.execute(asked, (json.dumps(steps),))} - set(known)


def _setting_area(connection: sqlite3.Connection, name: str) -> int:
    height, width = parse_size(settings.value(connection, name))
    return height * width
