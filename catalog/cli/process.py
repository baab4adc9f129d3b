"""Steps at the sink: fix, wash, out, tone, dry."""

import sqlite3

import click

from catalog.cli.desk import Desk
from catalog.cli.options import ITEMS, Operand, command, event_options
from catalog.cli.stages import (
    DURATION,
    SHEETS,
    bath_named,
    count_of,
    recorded,
    stage_of,
    step_options,
    tell,
    temperature_option,
)
from catalog.errors import TirageError
from catalog.quantities import looks_like_duration
from catalog.records.baths import Bath
from catalog.records.items import Coded

SECOND = Operand(
    "second", "--second", "DURATION", "how long in the second fixer", required=False, accepts=looks_like_duration
)
TONER = Operand(
    "bath",
    "--bath",
    "BATH",
    "a bath (b7), or a word of the toner in the tray (selenium); left out where one toner alone is in a tray",
    required=False,
    accepts=lambda word: not looks_like_duration(word),
)


class SecondIsFirstError(TirageError):
    """Fixing twice in one bath."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{code} is the second fixer, and fixing twice begins in the first; expected another bath. Leave out "
            f"--bath for the first one in its tray, or give one duration for {code} alone."
        )


@command(
    "fix",
    ITEMS,
    SHEETS,
    DURATION,
    SECOND,
    help="Fix prints or plates, in the fixer in the tray; with two durations in the first and the second.",
)
@step_options
@event_options
def fix_command(
    desk: Desk,
    items: str,
    extra: str | None,
    duration: str | None,
    second: str | None,
    bath: str | None,
    temperature: str | None,
) -> None:
    from catalog.records import baths
    from catalog.rules.fixing_time import fixing_time
    from catalog.rules.stage import usual_bath

    with desk.writing() as work:
        found = bath_named(work.connection, bath) or usual_bath(work.connection, "fix")
        first = stage_of(
            work.connection,
            "fix",
            items,
            found,
            duration=duration,
            temperature=temperature,
            sheets=count_of(extra),
        )
        stages = [first]
        if second:
            then = baths.second_fixer(work.connection)
            if found and then.id == found.id:
                raise SecondIsFirstError(then.code)
            stages.append(
                stage_of(
                    work.connection, "fix", items, then, duration=second, temperature=temperature, sheets=first.sheets
                )
            )
        done = [recorded(work, stage) for stage in stages]
    tell(desk, *done)
    for line in fixing_time(first.celsius) if first.celsius is not None else ():
        desk.say(line)


@command("tone", ITEMS, TONER, DURATION, help="Tone prints; with --ask only the advice of what to mind before.")
@click.option("--ask", is_flag=True, help="May I tone now: tells what to mind, and records nothing.")
@temperature_option
@event_options
def tone_command(
    desk: Desk, items: str, bath: str | None, duration: str | None, ask: bool, temperature: str | None
) -> None:
    if ask:
        _tell_advice(desk, items, bath)
        return
    with desk.writing() as work:
        found = _toner(work.connection, bath)
        done = recorded(
            work, stage_of(work.connection, "tone", items, found, duration=duration, temperature=temperature)
        )
    tell(desk, done)


@command("dry", ITEMS, help="Lay items to dry.")
@event_options
def dry_command(desk: Desk, items: str) -> None:
    with desk.writing() as work:
        done = recorded(work, stage_of(work.connection, "dry", items))
    tell(desk, done)


@command("wash", ITEMS, SHEETS, DURATION, help="Wash: in now (later: tirage out), or with a length after the fact.")
@click.option("--washer", metavar="NAME", help="In which washer (default: the only one, or the last used).")
@click.option("--changes", type=click.IntRange(1, 1_000), help="Changes of water.")
@temperature_option
@event_options
def wash_command(
    desk: Desk,
    items: str,
    extra: str | None,
    duration: str | None,
    washer: str | None,
    changes: int | None,
    temperature: str | None,
) -> None:
    from catalog.records import washers
    from catalog.rules.stage import join
    from catalog.rules.wash_bound import colder

    with desk.writing() as work:
        vessel = washers.by_name(work.connection, washer) if washer else washers.usual(work.connection)
        stage = stage_of(
            work.connection,
            "wash",
            items,
            duration=duration,
            temperature=temperature,
            sheets=count_of(extra),
            detail={"changes": changes} if changes else None,
            washer=vessel.name,
        )
        if duration:
            done = recorded(work, stage)
        else:
            done = join(work.connection, work.event, vessel, stage)
            work.touch([*stage.items, Coded(done.step.id, done.step.code, "step")])
    tell(desk, done)
    if not duration:
        desk.say(f"Later: tirage out {items}")
    if stage.celsius is not None and (cold := colder(stage.celsius)):
        desk.say(cold)


@command("out", ITEMS, help="Take items out of the washer.")
@event_options
def out_command(desk: Desk, items: str) -> None:
    from catalog.records.items import find
    from catalog.rules.stage import STEP_OF, leave

    with desk.writing() as work:
        found = find(work.connection, items, *STEP_OF)
        said = leave(work.connection, work.event, found)
        work.touch(found)
    for line in said:
        desk.say(line)


def _tell_advice(desk: Desk, items: str, bath: str | None) -> None:
    """What to mind before things go into a toner, as it stands now."""
    from catalog.records.items import shorten
    from catalog.rules.stage import tone_advice

    with desk.reading() as connection:
        stage = stage_of(connection, "tone", items, _toner(connection, bath))
        told = tone_advice(connection, stage, desk.event.moment)
    desk.mind(told)
    assert stage.bath is not None
    if not told:
        desk.say(f"{shorten(stage.items)}: nothing speaks against {stage.bath.text()} ({stage.bath.code}).")
    desk.say("Asked only; nothing was recorded.")


def _toner(connection: sqlite3.Connection, text: str | None) -> Bath:
    """A bath by its code, else the toner in a tray with that word in its name; the only toner where nothing is told."""
    from catalog.records import baths
    from catalog.records.items import UnknownCodeError

    try:
        return bath_named(connection, text) or baths.in_tray(connection, "toner")
    except UnknownCodeError:
        return baths.in_tray(connection, "toner", text or "")
