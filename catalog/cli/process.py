"""Steps at the command line: fix, wash, out, tone, dry, and every other by its name."""

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from typing import Any, TypeVar

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import ITEMS, Operand, command, event_options, group, output_options
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
BATH_WORD = Operand("bath", "--bath", "BATH", "a bath (b7), or a word of the toner in the tray (selenium)")
STEP_OF = ("negative", "print", "control strip")

step_command = group("step", "One stage for one or many items: add, show, list.")


def step_options(function: Function) -> Function:
    """--bath and --temperature."""
    function = click.option("--bath", metavar="BATH", help="The bath (default: the one in the tray).")(function)
    return click.option("--temperature", metavar="20C", help="The temperature.")(function)


@command("fix", ITEMS, SHEETS, DURATION, help="Fix prints or plates, in the fixer that is in the tray.")
@step_options
@event_options
def fix_command(
    desk: Desk, items: str, extra: str | None, duration: str | None, bath: str | None, temperature: str | None
) -> None:
    from catalog.records import baths

    with desk.writing() as work:
        found = _bath(work.connection, bath) or baths.in_tray(work.connection, "fixer")
        said = _record(desk, work, "fix", items, found, duration, temperature, _count(extra))
    desk.say(said)


@command("tone", ITEMS, BATH_WORD, DURATION, help="Tone prints.")
@click.option("--temperature", metavar="20C", help="The temperature.")
@event_options
def tone_command(desk: Desk, items: str, bath: str, duration: str | None, temperature: str | None) -> None:
    from catalog.records import baths

    with desk.writing() as work:
        try:
            found = _bath(work.connection, bath)
        except _not_a_code():
            found = baths.in_tray(work.connection, "toner", bath)
        said = _record(desk, work, "tone", items, found, duration, temperature, 0)
    desk.say(said)


@command("dry", ITEMS, help="Lay items to dry.")
@event_options
def dry_command(desk: Desk, items: str) -> None:
    with desk.writing() as work:
        said = _record(desk, work, "dry", items, None, None, None, 0)
    desk.say(said)


@command("wash", ITEMS, SHEETS, DURATION, help="Wash: in now (later: tirage out), or with a length after the fact.")
@click.option("--washer", metavar="NAME", help="In which washer (default: the only one, or the last used).")
@click.option("--changes", type=click.IntRange(1, 1_000), help="Changes of water.")
@event_options
def wash_command(
    desk: Desk, items: str, extra: str | None, duration: str | None, washer: str | None, changes: int | None
) -> None:
    from catalog.records import items as things
    from catalog.records import washers, washes

    detail = {"changes": changes} if changes else None
    with desk.writing() as work:
        vessel = washers.by_name(work.connection, washer) if washer else washers.usual(work.connection)
        if duration:
            said = _record(desk, work, "wash", items, None, duration, None, _count(extra), detail, vessel.name)
        else:
            found = things.find(work.connection, items, *STEP_OF)
            step = washes.join(work.connection, work.event, vessel, found, sheets=_count(extra), detail=detail)
            work.touch([*found, Coded(step.id, step.code, "step")])
            said = f"{things.shorten(found)}: in the washer “{vessel.name}” ({step.code}). Later: tirage out {items}"
    desk.say(said)


@command("out", ITEMS, help="Take items out of the washer.")
@event_options
def out_command(desk: Desk, items: str) -> None:
    from catalog.cli.process_words import left_text
    from catalog.records import items as things
    from catalog.records import washes

    with desk.writing() as work:
        found = things.find(work.connection, items, *STEP_OF)
        left = washes.leave(work.connection, work.event, found)
        work.touch(found)
    for line in left_text(left):
        desk.say(line)


@command(
    "add",
    Operand("kind", "--kind", "KIND", "the step, such as rinse or “wash aid”"),
    ITEMS,
    SHEETS,
    DURATION,
    help="Record any step.",
)
@step_options
@click.option("--washer", metavar="NAME", help="The washer, for a wash or a rinse.")
@click.option("--sheets", type=click.IntRange(0, 10_000), default=0, help="Sheets without a code that went along.")
@click.option("--detail", metavar="KEY=VALUE", multiple=True, help="What only this step has; may be repeated.")
@event_options
def add_step(
    desk: Desk,
    kind: str,
    items: str,
    extra: str | None,
    duration: str | None,
    bath: str | None,
    temperature: str | None,
    washer: str | None,
    sheets: int,
    detail: Sequence[str],
) -> None:
    from catalog.records import step_order

    with desk.writing() as work:
        step_order.check_kind(kind)
        found = _bath(work.connection, bath) or _usual_bath(work.connection, kind)
        said = _record(
            desk,
            work,
            kind,
            items,
            found,
            duration,
            temperature,
            sheets + _count(extra),
            dict(_detail(pair) for pair in detail),
            washer,
        )
    desk.say(said)


@command("show", Operand("step", "--step", "STEP", "a step, such as s1"), help="Show a step and what went through it.")
@output_options
def show_step(desk: Desk, step: str) -> None:
    from catalog.cli.tables import facts
    from catalog.records import items as things
    from catalog.records import steps

    with desk.reading() as connection:
        thing = things.find_one(connection, step, "step")
        row = step_row(steps.read(connection, thing))
        row["items"] = things.shorten(steps.items_of(connection, thing))
    if desk.output:
        desk.show([row])
    else:
        desk.say(facts(list(row.items())))


@command(
    "list",
    Operand("item", "--item", "CODE", "a print, plate or control strip", required=False),
    help="List the steps of one item, or all.",
)
@output_options
def list_steps(desk: Desk, item: str | None) -> None:
    from catalog.records import items as things
    from catalog.records import steps

    with desk.reading() as connection:
        found: Sequence[Step] = (
            steps.history(connection, things.find_one(connection, item, *STEP_OF)) if item else steps.steps(connection)
        )
        desk.show([step_row(step) for step in found], "No step yet.")


def step_row(step: Step) -> dict[str, object]:
    """A step as it is listed."""
    from catalog.quantities import format_duration, format_temperature

    return {
        "code": step.code,
        "date": step.happened,
        "time": step.clock[:5],
        "step": step.kind,
        "in": step.bath_text or step.washer,
        "bath": step.bath_code,
        "length": format_duration(step.seconds) if step.seconds is not None else "",
        "temperature": format_temperature(step.celsius) if step.celsius is not None else "",
        "sheets": step.sheets or "",
        "detail": "" if step.detail == "{}" else step.detail,
        "note": step.note,
        "by": step.by,
    }


def _record(
    desk: Desk,
    work: Work,
    kind: str,
    items: str,
    bath: Bath | None,
    duration: str | None,
    temperature: str | None,
    sheets: int,
    detail: Mapping[str, object] | None = None,
    washer: str | None = None,
) -> str:
    from catalog.quantities import format_duration, parse_duration, parse_temperature
    from catalog.records import items as things
    from catalog.records import steps, washers
    from catalog.rules.cautions import caution

    found = things.find(work.connection, items, *STEP_OF)
    vessel = washers.by_name(work.connection, washer) if washer else None
    seconds = parse_duration(duration) if duration else None
    step = steps.record(
        work.connection,
        work.event,
        kind,
        found,
        bath=bath,
        washer=vessel,
        seconds=seconds,
        celsius=parse_temperature(temperature) if temperature else None,
        sheets=sheets,
        detail=detail,
    )
    work.touch([*found, Coded(step.id, step.code, "step")])
    warning = caution(kind, bath.text() if bath else "")
    if warning:
        desk.warn(warning)
    where = f" in {bath.text()} ({bath.code})" if bath else (f" in “{vessel.name}”" if vessel else "")
    length = f", {format_duration(seconds)}" if seconds else ""
    more = f" and {sheets} without a code" if sheets else ""
    return f"{things.shorten(found)}{more}: {kind}{where}{length} ({step.code})."


def _bath(connection: sqlite3.Connection, text: str | None) -> Bath | None:
    from catalog.records import baths, items

    return baths.read(connection, items.find_one(connection, text, "bath")) if text else None


def _usual_bath(connection: sqlite3.Connection, kind: str) -> Bath | None:
    from catalog.records import baths
    from catalog.vocabulary import BATH_OF_STEP

    if kind not in BATH_OF_STEP:
        return None
    try:
        return baths.in_tray(connection, BATH_OF_STEP[kind])
    except baths.NoBathInTrayError:
        if kind in ("fix", "tone"):
            raise
        return None  # a wash aid or a developer that nobody recorded


def _not_a_code() -> type[Exception]:
    from catalog.records.items import UnknownCodeError

    return UnknownCodeError


def _count(extra: str | None) -> int:
    from catalog.errors import NotUnderstood

    if not extra:
        return 0
    count = whole_number(extra.lstrip("+"))
    if count is None or count > 10_000:
        raise NotUnderstood("a number of sheets without a code", extra, "+1 to +10000")
    return count


def _detail(pair: str) -> tuple[str, object]:
    from catalog.errors import NotUnderstood

    key, sign, value = pair.partition("=")
    if not sign or not key.strip() or not value.strip() or key.strip() == "restarts":
        raise NotUnderstood("a detail", pair, "KEY=VALUE, such as agitation=constant")
    number = whole_number(value)
    return key.strip(), value.strip() if number is None else number


for verb in (add_step, show_step, list_steps):
    step_command.add_command(verb)
