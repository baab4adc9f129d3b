"""Steps at the sink: fix, wash, out, tone, dry."""

from collections.abc import Sequence

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import ITEMS, Operand, command, event_options
from catalog.cli.stages import (
    DURATION,
    SHEETS,
    STEP_OF,
    Stage,
    bath_named,
    count_of,
    record,
    step_options,
    temperature_option,
)
from catalog.errors import TirageError
from catalog.quantities import looks_like_duration
from catalog.records.baths import Bath
from catalog.records.items import Coded

SECOND = Operand(
    "second", "--second", "DURATION", "how long in the second fixer", required=False, accepts=looks_like_duration
)
BATH_WORD = Operand("bath", "--bath", "BATH", "a bath (b7), or a word of the toner in the tray (selenium)")


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
    from catalog.formulas.fixing import fixing_factor
    from catalog.quantities import format_temperature, parse_temperature
    from catalog.records import baths

    with desk.writing() as work:
        found = bath_named(work.connection, bath) or baths.in_tray(work.connection, "fixer")
        stages = [Stage("fix", items, found, duration, temperature, count_of(extra))]
        if second:
            then = baths.second_fixer(work.connection)
            if then.id == found.id:
                raise SecondIsFirstError(then.code)
            stages.append(stages[0]._replace(bath=then, duration=second))
        said = [record(desk, work, stage) for stage in stages]
    if temperature and (factor := fixing_factor(parse_temperature(temperature) / 1_000)) > 1:
        said.append(
            f"At {format_temperature(parse_temperature(temperature))} fixing takes {factor:.1f} times as long as at "
            f"20 °C (US Army TM 11-2323)."
        )
    desk.say("\n".join(said))


@command("tone", ITEMS, BATH_WORD, DURATION, help="Tone prints.")
@temperature_option
@event_options
def tone_command(desk: Desk, items: str, bath: str, duration: str | None, temperature: str | None) -> None:
    from catalog.records import items as things
    from catalog.rules import toning

    with desk.writing() as work:
        found = _toner(work, bath)
        going = things.find(work.connection, items, *STEP_OF)
        advice = toning.advice(work.connection, going, found, work.event.moment)
        said = record(desk, work, Stage("tone", items, found, duration, temperature))
        for line in advice:
            desk.warn(line)
    desk.say(said)


@command("dry", ITEMS, help="Lay items to dry.")
@event_options
def dry_command(desk: Desk, items: str) -> None:
    with desk.writing() as work:
        said = record(desk, work, Stage("dry", items))
    desk.say(said)


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
    from catalog.quantities import parse_temperature
    from catalog.records import washers
    from catalog.rules.wash_bound import colder

    detail = {"changes": changes} if changes else None
    with desk.writing() as work:
        vessel = washers.by_name(work.connection, washer) if washer else washers.usual(work.connection)
        stage = Stage("wash", items, None, duration, temperature, count_of(extra), detail, vessel.name)
        said = record(desk, work, stage) if duration else _join(work, stage)
    desk.say(said)
    if temperature and (cold := colder(parse_temperature(temperature))):
        desk.say(cold)


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


def _join(work: Work, stage: Stage) -> str:
    """Put items in a washer now."""
    from catalog.quantities import parse_temperature
    from catalog.records import items as things
    from catalog.records import washers, washes

    found: Sequence[Coded] = things.find(work.connection, stage.items, *STEP_OF)
    step = washes.join(
        work.connection,
        work.event,
        washers.by_name(work.connection, stage.washer or ""),
        found,
        sheets=stage.sheets,
        celsius=parse_temperature(stage.temperature) if stage.temperature else None,
        detail=stage.detail,
    )
    work.touch([*found, Coded(step.id, step.code, "step")])
    return f"{things.shorten(found)}: in the washer “{stage.washer}” ({step.code}). Later: tirage out {stage.items}"


def _toner(work: Work, text: str) -> Bath:
    """A bath by its code, else the toner in a tray with that word in its name."""
    from catalog.records import baths
    from catalog.records.items import UnknownCodeError

    try:
        found = bath_named(work.connection, text)
        assert found is not None
    except UnknownCodeError:
        return baths.in_tray(work.connection, "toner", text)
    return found
