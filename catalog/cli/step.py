"""Any step by its name, and what was recorded: step add, show, list."""

from collections.abc import Sequence

import click

from catalog.cli.desk import Desk
from catalog.cli.options import ITEMS, Operand, command, event_options, group, output_options
from catalog.cli.stages import DURATION, SHEETS, bath_named, count_of, recorded, stage_of, step_options, tell
from catalog.records.steps import Step
from catalog.whole_numbers import whole_number

step_command = group("step", "One stage for one or many items: add, show, list.")


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
    from catalog.records.step_order import check_kind
    from catalog.rules.stage import usual_bath

    with desk.writing() as work:
        check_kind(kind)
        stage = stage_of(
            work.connection,
            kind,
            items,
            bath_named(work.connection, bath) or usual_bath(work.connection, kind),
            duration=duration,
            temperature=temperature,
            sheets=sheets + count_of(extra),
            detail=dict(map(_detail, detail)),
            washer=washer,
        )
        done = recorded(work, stage)
    tell(desk, done)


@command("show", Operand("step", "--step", "STEP", "a step, such as s1"), help="Show a step and what went through it.")
@output_options
def show_step(desk: Desk, step: str) -> None:
    from catalog.cli.tables import facts
    from catalog.records import items as things
    from catalog.records import steps
    from catalog.rules import wash_bound

    with desk.reading() as connection:
        thing = things.find_one(connection, step, "step")
        row = step_row(steps.read(connection, thing))
        row["items"] = things.shorten(steps.items_of(connection, thing))
        bound = wash_bound.of_step(connection, steps.read(connection, thing))
    if desk.output:
        desk.show([row])
        return
    desk.say(facts(list(row.items())))
    if bound:
        desk.say("\n" + "\n".join(bound))


@command(
    "list",
    Operand("item", "--item", "CODE", "a print, plate or control strip", required=False),
    help="List the steps of one item, or all.",
)
@output_options
def list_steps(desk: Desk, item: str | None) -> None:
    from catalog.records import items as things
    from catalog.records import steps
    from catalog.rules.stage import STEP_OF

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


def _detail(pair: str) -> tuple[str, object]:
    from catalog.errors import NotUnderstood

    key, sign, value = pair.partition("=")
    if not sign or not key.strip() or not value.strip() or key.strip() == "restarts":
        raise NotUnderstood("a detail", pair, "KEY=VALUE, such as agitation=constant")
    number = whole_number(value)
    return key.strip(), value.strip() if number is None else number


for verb in (add_step, show_step, list_steps):
    step_command.add_command(verb)
