"""What the commands of steps share: their operands, and the one way in which a step is typed and answered."""

import sqlite3
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, TypeVar

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import Operand
from catalog.quantities import looks_like_duration
from catalog.records.baths import Bath
from catalog.records.items import Coded
from catalog.whole_numbers import whole_number

if TYPE_CHECKING:
    from catalog.rules.stage import Done, Stage

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
    anywhere=True,
)


def step_options(function: Function) -> Function:
    """--bath and --temperature."""
    function = click.option("--bath", metavar="BATH", help="The bath (default: the one in the tray).")(function)
    return temperature_option(function)


def temperature_option(function: Function) -> Function:
    """--temperature."""
    return click.option("--temperature", metavar="20C", help="The temperature.")(function)


def stage_of(
    connection: sqlite3.Connection,
    kind: str,
    items: str,
    bath: Bath | None = None,
    *,
    duration: str | None = None,
    temperature: str | None = None,
    sheets: int = 0,
    detail: Mapping[str, object] | None = None,
    washer: str | None = None,
) -> "Stage":
    """One step as it was typed. Raises what reading its words and finding its things raises."""
    from catalog.quantities import parse_duration, parse_temperature
    from catalog.records import items as things
    from catalog.records import washers
    from catalog.rules.stage import STEP_OF, Stage

    return Stage(
        kind,
        things.find(connection, items, *STEP_OF),
        bath,
        washers.by_name(connection, washer) if washer else None,
        parse_duration(duration) if duration else None,
        parse_temperature(temperature) if temperature else None,
        sheets,
        detail,
    )


def recorded(work: Work, stage: "Stage") -> "Done":
    """A step that was typed, recorded."""
    from catalog.rules.stage import record

    done = record(work.connection, work.event, stage)
    work.touch([*stage.items, Coded(done.step.id, done.step.code, "step")])
    return done


def tell(desk: Desk, *recorded: "Done") -> None:
    """Say what was recorded, and what to mind of it."""
    for done in recorded:
        if done.caution:
            desk.warn(done.caution)
        desk.mind(done.minds)
        for line in done.said:
            desk.say(line)


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
