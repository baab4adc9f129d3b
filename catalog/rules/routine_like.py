"""What a routine takes over from something that was worked already."""

import sqlite3
from typing import NamedTuple

from catalog.errors import TirageError
from catalog.records import routines
from catalog.records.items import Coded
from catalog.records.loads import Wet, timelines
from catalog.rules.washing import washing_of
from catalog.rules.within import WARMER
from catalog.vocabulary import CHEMICAL_STEPS


class NotWorkedError(TirageError):
    """Something from which no routine can be taken."""

    def __init__(self, item: Coded, why: str, remedy: str) -> None:
        super().__init__(
            f"No routine can be taken from {item.code}: {why}. Take a strip or print that went the whole way, from "
            f"its fixing to the end of its last wash, or {remedy}."
        )


class Way(NamedTuple):
    """How a thing was worked, as far as a routine names it; None and "" where it did not happen or is not known."""

    paper: int | None = None
    fixer: str = ""
    fix_seconds: int | None = None
    second_fix_seconds: int | None = None
    wash_aid: str = ""
    wash_aid_seconds: int | None = None
    toner: str = ""
    washer: int | None = None
    wash_seconds: int | None = None
    changes: int | None = None
    sheets: int | None = None
    celsius: int | None = None


def way_of(connection: sqlite3.Connection, item: Coded) -> Way:
    """How a strip or a print was worked, from its first fix to the end of its last wash. Raises NotWorkedError."""
    wets = timelines(connection, [item.id]).of.get(item.id, [])
    manners = routines.manners(connection, {wet.step for wet in wets})
    start = next((place for place, wet in enumerate(wets) if wet.kind == "fix"), None)
    if start is None:
        raise NotWorkedError(item, "no fixing of it is recorded", "say all of it: --paper, --fixer, --fix, --wash")
    ours = wets[start:]
    fixes, aids, tones = (_of(ours, kind) for kind in ("fix", "wash aid", "tone"))
    last = max(place for place, wet in enumerate(ours) if wet.kind in CHEMICAL_STEPS)
    final = [manners[wet.step] for wet in ours[last + 1 :] if wet.kind == "wash"]
    washing = washing_of(ours)
    if washing.inside or not final:
        raise NotWorkedError(item, "its wash is not finished", "take it out first (tirage out)")
    if len(fixes) > 2 or len(aids) > 1:
        raise NotWorkedError(item, f"it was fixed {len(fixes)} times, with {len(aids)} wash aids", "say all of it")
    if any(not manners[wet.step].bath for wet in (*fixes, *aids, *tones)):
        raise NotWorkedError(item, "a bath of its fixing, wash aid or toning is not recorded", "say all of it")
    temperatures = [one.celsius for one in final]
    cold = [one for one in temperatures if one is not None]
    return Way(
        routines.paper_of(connection, item.id),
        manners[fixes[0].step].bath,
        fixes[0].seconds,
        fixes[1].seconds if fixes[1:] else None,
        manners[aids[0].step].bath if aids else "",
        aids[0].seconds if aids else None,
        "; ".join(manners[wet.step].bath for wet in tones),
        final[-1].washer,
        washing.seconds,
        sum(one.changes for one in final) or None,
        max(one.sheets for one in final) or 1,
        min(cold) - WARMER if cold and len(cold) == len(temperatures) else None,
    )


def _of(wets: list[Wet], kind: str) -> list[Wet]:
    return [wet for wet in wets if wet.kind == kind]
