"""What the commands of steps share: their operands, and the one way in which a step is recorded and answered."""

import sqlite3
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, TypeVar

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import Operand
from catalog.quantities import looks_like_duration
from catalog.records.baths import Bath
from catalog.records.items import Coded
from catalog.records.steps import Step
from catalog.whole_numbers import whole_number

Function = TypeVar("Function", bound=Callable[..., Any])
DURATION = Operand(
    "duration", "--duration", "DURATION", "how long, such as 1m or 2:30", required=False, accepts=looks_like_duration
)
SHEETS = Operand(
    "extra",
    "--more",
    "+N",
    "sheets without a code that went along",
    required=False,
    accepts=lambda word: word.startswith("+") and whole_number(word[1:]) is not None,
)
STEP_OF = ("negative", "print", "control strip")


class Stage(NamedTuple):
    """One step as it was typed."""

    kind: str
    items: str
    bath: Bath | None = None
    duration: str | None = None
    temperature: str | None = None
    sheets: int = 0
    detail: Mapping[str, object] | None = None
    washer: str | None = None


def step_options(function: Function) -> Function:
    """--bath and --temperature."""
    function = click.option("--bath", metavar="BATH", help="The bath (default: the one in the tray).")(function)
    return temperature_option(function)


def temperature_option(function: Function) -> Function:
    """--temperature."""
    return click.option("--temperature", metavar="20C", help="The temperature.")(function)


def record(desk: Desk, work: Work, stage: Stage) -> str:
    """Record a step, warn of what is to be minded after it, and return what to say."""
    from catalog.quantities import format_duration, parse_duration, parse_temperature
    from catalog.records import items as things
    from catalog.records import steps, washers
    from catalog.rules import making

    found = things.find(work.connection, stage.items, *STEP_OF)
    vessel = washers.by_name(work.connection, stage.washer) if stage.washer else None
    seconds = parse_duration(stage.duration) if stage.duration else None
    step = steps.record(
        work.connection,
        work.event,
        stage.kind,
        found,
        bath=stage.bath,
        washer=vessel,
        seconds=seconds,
        celsius=parse_temperature(stage.temperature) if stage.temperature else None,
        sheets=stage.sheets,
        detail=stage.detail,
    )
    followed = making.follow(work.connection, work.event, step, found)
    work.touch([*found, Coded(step.id, step.code, "step")])
    _warn(desk, work, step, stage.bath)
    bath = stage.bath
    where = f" in {bath.text()} ({bath.code})" if bath else (f" in “{vessel.name}”" if vessel else "")
    length = f", {format_duration(seconds)}" if seconds else ""
    more = f" and {stage.sheets} without a code" if stage.sheets else ""
    return "\n".join([f"{things.shorten(found)}{more}: {stage.kind}{where}{length} ({step.code}).", *followed])


def bath_named(connection: sqlite3.Connection, text: str | None) -> Bath | None:
    """The bath of a code that was typed, or None where none was."""
    from catalog.records import baths, items

    return baths.read(connection, items.find_one(connection, text, "bath")) if text else None


def count_of(extra: str | None) -> int:
    """The number of “+5”, 0 where nothing was typed. Raises NotUnderstood."""
    from catalog.errors import NotUnderstood

    if not extra:
        return 0
    count = whole_number(extra.lstrip("+"))
    if count is None or count > 10_000:
        raise NotUnderstood("a number of sheets without a code", extra, "+1 to +10000")
    return count


def _warn(desk: Desk, work: Work, step: Step, bath: Bath | None) -> None:
    from catalog.rules import bath_limits, bath_standing
    from catalog.rules.cautions import caution_today
    from catalog.rules.hazards import hazards_at

    if warning := caution_today(work.connection, step):
        desk.warn(warning)
    for line in hazards_at(work.connection, step):
        desk.warn(line)
    if bath and (past := bath_limits.limits_passed(work.connection, [bath.id]).get(step.id)):
        desk.warn(f"Mind: {past} {bath_standing.remedy(bath)}")
