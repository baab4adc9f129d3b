"""Densities on the command line."""

import sqlite3

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, output_options
from catalog.errors import TirageError
from catalog.records.items import Coded

VERBS = ("show", "record")  # as other commands have them, and as they are typed from habit
KINDS = ("print", "negative", "control strip")


class TwoStagesError(TirageError):
    """Two stages for one set of readings."""

    def __init__(self, stages: list[str]) -> None:
        super().__init__(
            f"A reading is {' or '.join(stages)}, not both; expected one of them. Type each set by itself."
        )


@command(
    "density",
    Operand("code", "--item", "CODE", "a print (3), a plate (n1) or a control strip (k1)"),
    Operand("readings", "--reading", "PATCH DENSITY", "highlight 0.12 shadow 2.05 ...", required=False, many=True),
)
@click.option("--wet", is_flag=True, help="Read on the wet print.")
@click.option("--dry", is_flag=True, help="Read on the dry print (a print, unless you say otherwise).")
@click.option("--before", is_flag=True, help="Read on the plate before it was redeveloped.")
@click.option("--after", is_flag=True, help="Read on it afterwards (a plate with that step, unless you say otherwise).")
@event_options
@output_options
def density_command(
    desk: Desk, code: str, readings: tuple[str, ...], wet: bool, dry: bool, before: bool, after: bool
) -> None:
    """Record densities of a print or plate, or show all it has.

    On a plate, “thin” and “dense” give its range. A reflectance may be typed as R0.18, a transmittance as T0.01.

    \b
    tirage density 3 highlight 0.12 mid 0.75 shadow 2.05
    tirage density n1 thin 0.20 dense 1.95
    tirage density 3                             what was read so far
    """
    from catalog.records import densities, items

    given = {"wet": wet, "dry": dry, densities.BEFORE: before, densities.AFTER: after}
    stages = [name for name, asked in given.items() if asked]
    if len(stages) > 1:
        raise TwoStagesError(stages)
    if code.casefold() in VERBS and readings:
        code, readings = readings[0], readings[1:]
    if readings:
        # By the long option a patch and its density stand in one text.
        found = densities.parse_readings(tuple(word for text in readings for word in _split(text, readings)))
        with desk.writing() as work:
            thing = items.find_one(work.connection, code, *KINDS)
            stage = densities.record(work.connection, work.event, thing, found, stages[0] if stages else "")
            work.touch(thing)
        if not desk.output:
            told = ", ".join(f"{patch} {_density(value)}" for patch, value in found.items())
            desk.say(f"{thing.code}{f', {stage}' if stage else ''}: {told}.")
    with desk.reading() as connection:
        _show(desk, connection, items.find_one(connection, code, *KINDS), bool(readings))


def _split(text: str, readings: tuple[str, ...]) -> list[str]:
    return text.rsplit(" ", 1) if len(readings) == 1 or all(" " in one for one in readings) else [text]


def _density(value: int) -> str:
    from catalog.stops import format_density

    return format_density(value)


def _show(desk: Desk, connection: sqlite3.Connection, thing: Coded, recorded: bool) -> None:
    """The readings of a thing, and what they say of it."""
    from catalog.records import densities
    from catalog.rules.density_words import range_words
    from catalog.rules.recipes import dry_downs

    found = densities.of_item(connection, thing.id)
    if not recorded or desk.output:
        rows: list[dict[str, object]] = [
            {
                "code": thing.code,
                "date": desk.date(one.happened),
                "stage": one.stage,
                "patch": one.patch,
                "density": _density(one.value),
                "by": one.by,
                "note": one.note,
            }
            for one in found
        ]
        desk.show(rows, f"No density of {thing.code} yet. Record some: tirage density {thing.code} highlight 0.12")
    if desk.output:
        return
    if thing.kind == "negative":
        for line in range_words(connection, thing.id, found):
            desk.say(line)
    for patch, value in dry_downs(found).items():
        desk.say(f"Dry-down of the {patch}: {_density(value)}.")
