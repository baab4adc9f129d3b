"""One stage at the sink, from a command or from a sheet: recorded, what follows from it, and what to mind of it."""

import sqlite3
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from catalog.dates import Moment
from catalog.events import Event
from catalog.quantities import format_duration
from catalog.records import baths, steps, washes
from catalog.records.baths import Bath
from catalog.records.items import Coded, shorten
from catalog.records.step_order import instant_text
from catalog.records.steps import Step
from catalog.records.washers import Washer
from catalog.rules import bath_limits, bath_standing, making, making_told, toning
from catalog.rules.cautions import caution_today
from catalog.rules.hazards import hazards_at
from catalog.rules.plate_fixers import paper_in_cyanide
from catalog.vocabulary import BATH_OF_STEP

STEP_OF = ("negative", "print", "control strip")  # what goes through steps
BATH_NEEDED = ("fix", "tone")  # of the others nobody may have recorded the bath


class Stage(NamedTuple):
    """What went through a stage together, in what, for how long (seconds), how warm (thousandths of a degree)."""

    kind: str
    items: Sequence[Coded]
    bath: Bath | None = None
    washer: Washer | None = None
    seconds: int | None = None
    celsius: int | None = None
    sheets: int = 0
    detail: Mapping[str, object] | None = None

    @property
    def named(self) -> str:
        """What went through it: “P-000001 to P-000006 and 2 without a code”."""
        return shorten(self.items) + (f" and {self.sheets} without a code" if self.sheets else "")


class Done(NamedTuple):
    """A stage that was recorded: sentences of what happened, and what to mind, each a sentence."""

    step: Step
    said: list[str]
    minds: list[str]  # the loud ones begin with STOP
    caution: str = ""  # of a substance, once a day


def record(connection: sqlite3.Connection, event: Event, stage: Stage, clock: str = "") -> Done:
    """Record a stage; `clock` is the time to tell, where one was. Raises what recording a step raises."""
    minds = tone_advice(connection, stage, event.moment)
    minds += making_told.minds(connection, event.moment, stage.items, stage.kind)
    step = steps.record(
        connection,
        event,
        stage.kind,
        stage.items,
        bath=stage.bath,
        washer=stage.washer,
        seconds=stage.seconds,
        celsius=stage.celsius,
        sheets=stage.sheets,
        detail=stage.detail,
    )
    followed = making.follow(connection, event, step, stage.items)
    minds += hazards_at(connection, step)
    minds += paper_in_cyanide(stage.bath, stage.items)
    if stage.bath and (past := bath_limits.limits_passed(connection, [stage.bath.id]).get(step.id)):
        minds.append(f"{past} {bath_standing.remedy(stage.bath)}")
    where = f" in {stage.bath.text()} ({stage.bath.code})" if stage.bath else ""
    where = where or (f" in “{stage.washer.name}”" if stage.washer else "")
    length = f", {format_duration(stage.seconds)}" if stage.seconds else ""
    at = f", {clock}" if clock else ""
    said = f"{stage.named}: {stage.kind}{where}{length}{at} ({step.code})."
    return Done(step, [said, *followed], minds, caution_today(connection, step))


def tone_advice(connection: sqlite3.Connection, stage: Stage, at: Moment) -> list[str]:
    """What to mind before things go into a toner; of another stage nothing."""
    return toning.advice(connection, stage.items, stage.bath, at) if stage.bath and stage.kind == "tone" else []


def join(connection: sqlite3.Connection, event: Event, washer: Washer, stage: Stage) -> Done:
    """Put things into a washer; tells whose washing begins anew. Raises as `washes.join` does."""
    before = {one.item.id: one for one in washes.inside(connection, washer)}
    step = washes.join(
        connection,
        event,
        washer,
        stage.items,
        sheets=stage.sheets,
        celsius=stage.celsius,
        detail=stage.detail,
    )
    clock = event.moment.clock[:5]
    again = [
        one.item
        for one in washes.inside(connection, washer)
        if one.item.id in before and one.since != before[one.item.id].since
    ]
    said = [f"{stage.named}: into the washer “{washer.name}” at {clock} ({step.code})."]
    if again:
        counts = "counts" if len(again) == 1 else "count"
        said.append(f"{shorten(again)} now {counts} from {clock}, as what joined was not washed.")
    return Done(step, said, [])


def leave(connection: sqlite3.Connection, event: Event, items: Sequence[Coded]) -> list[str]:
    """Take things out of their washer: one sentence for all that washed alike. Raises as `washes.leave` does."""
    alike: dict[tuple[str, int, str], list[Coded]] = {}
    for one in washes.leave(connection, event, items):
        alike.setdefault((one.washer, one.seconds, one.restarted), []).append(one.item)
    said = []
    for (washer, seconds, restarted), found in alike.items():
        line = f"{shorten(found)}: out of “{washer}” at {event.moment.clock[:5]}, washed {format_duration(seconds)}"
        counted = f", counted from {instant_text(restarted)}, when an unwashed item joined" if restarted else ""
        said.append(f"{line}{counted}.")
    return said


def usual_bath(connection: sqlite3.Connection, kind: str) -> Bath | None:
    """The bath in the tray for a kind of step; None where it takes none, or nobody recorded a wash aid or a developer.

    Raises NoBathInTrayError for a fix or a toning, SeveralBathsError.
    """
    if kind not in BATH_OF_STEP:
        return None
    try:
        return baths.in_tray(connection, BATH_OF_STEP[kind])
    except baths.NoBathInTrayError:
        if kind in BATH_NEEDED:
            raise
        return None
