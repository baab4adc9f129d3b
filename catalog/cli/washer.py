"""Washers at the command line: add, show with what is in it and the bounds of its water, list."""

from typing import TYPE_CHECKING, NamedTuple

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.records.washers import Washer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.records.washes import Inside

NAME = Operand("name", "--name", "NAME", "the name of the washer, such as slots1")


class Asked(NamedTuple):
    """What the bounds of a washer's water are asked for."""

    minutes: int | None
    changes: int | None
    sheets: int
    celsius: int | None


washer_command = group("washer", "Vessels that wash: add, show, list.")


@command("add", NAME, help="Record a vessel that washes.")
@click.option("--kind", metavar="tray|siphon|slots", required=True, help="What it is.")
@click.option("--volume", metavar="10l", help="Water it holds.")
@click.option("--flow", metavar="2l/min", help="Its usual flow.")
@event_options
def add_washer(desk: Desk, name: str, kind: str, volume: str | None, flow: str | None) -> None:
    from catalog.quantities import parse_flow, parse_volume
    from catalog.records import washers

    with desk.writing() as work:
        washer = washers.add(
            work.connection,
            name,
            kind,
            volume=parse_volume(volume) if volume else None,
            flow=parse_flow(flow) if flow else None,
            note=work.event.note,
        )
    desk.say(f"Washer “{washer.name}” is recorded.")


@command("show", NAME, help="Show a washer, what is in it, and how far its water could dilute at the very best.")
@click.option("--minutes", type=click.IntRange(1, 10_000), help="Running water for so long.")
@click.option("--changes", type=click.IntRange(1, 1_000), help="So many changes of water.")
@click.option("--sheets", type=click.IntRange(1, 1_000), default=1, show_default=True, help="Sheets in it.")
@click.option("--temperature", metavar="10C", help="How much longer a wash takes in cold water.")
@output_options
def show_washer(
    desk: Desk, name: str, minutes: int | None, changes: int | None, sheets: int, temperature: str | None
) -> None:
    from catalog.cli.tables import facts
    from catalog.quantities import parse_temperature
    from catalog.records import settings, washers, washes
    from catalog.rules import wash_bound

    with desk.reading() as connection:
        washer = washers.by_name(connection, name)
        carried = settings.value(connection, wash_bound.CARRIED)
        inside = washes.inside(connection, washer)
    celsius = parse_temperature(temperature) if temperature else None
    washers.check_known(washer, volume=bool(changes or minutes), flow=bool(minutes))
    asked = Asked(minutes, changes, sheets, celsius)
    if desk.output:
        told = {"inside": ",".join(one.item.code for one in inside)}
        desk.show([washer_row(washer) | told | _bounds(washer, asked, carried)])
        return
    desk.say(facts(list(washer_row(washer).items())))
    for line in _inside_lines(inside, desk):
        desk.say(line)
    if lines := _bound_lines(washer, asked, carried):
        desk.say("\n" + "\n".join(lines))
    if not (changes or minutes or temperature or inside):
        from catalog.formulas.washing import PUBLISHED

        desk.say("\nPublished washes, at about 20 °C:")
        desk.show([one._asdict() for one in PUBLISHED])


def _inside_lines(inside: "Sequence[Inside]", desk: Desk) -> list[str]:
    """What is in a washer, one line for all that washed alike so far."""
    from catalog.quantities import format_duration
    from catalog.records.items import shorten

    alike: dict[tuple[str, bool], list[Inside]] = {}
    for one in inside:
        alike.setdefault((one.since, one.since != one.joined), []).append(one)
    return [
        f"In it: {shorten([one.item for one in group])}, washed {format_duration(group[0].seconds(desk.now))} so far"
        + (f", counted from {since[11:16]}, when an unwashed item joined." if again else f", in at {since[11:16]}.")
        for (since, again), group in alike.items()
    ]


def _bounds(washer: Washer, asked: Asked, carried: str) -> dict[str, object]:
    """The bounds as numbers, for another program."""
    from catalog.formulas.washing import dilution_bound, flow_bound
    from catalog.quantities import parse_volume
    from catalog.rules import wash_bound

    row: dict[str, object] = {}
    entered = parse_volume(carried) * asked.sheets
    if asked.changes and washer.volume:
        row["bound_changes"] = dilution_bound(entered, washer.volume, asked.changes)
    if asked.minutes and washer.volume and washer.flow:
        first = dilution_bound(entered, washer.volume, 1)
        row["bound_flow"] = first * flow_bound(washer.flow, washer.volume, asked.minutes)
    if row:
        row |= {"carried_over": f"{carried} a sheet", "bound_note": wash_bound.WHY}
    if asked.celsius is not None:
        row |= wash_bound.time_row(asked.celsius)
    return row


def _bound_lines(washer: Washer, asked: Asked, carried: str) -> list[str]:
    """The bounds in sentences."""
    from catalog.quantities import format_duration
    from catalog.rules import wash_bound

    lines = []
    if washer.volume and washer.flow and not (asked.changes or asked.minutes):
        turnover = format_duration(max(1, round(washer.volume * 60 / washer.flow)))
        lines.append(f"Its usual flow fills it once in {turnover}.")
    if washer.volume:
        if asked.changes:
            lines.append(wash_bound.of_changes(washer, asked.sheets, asked.changes, carried))
        if asked.minutes and washer.flow:
            lines.append(wash_bound.of_flow(washer, asked.sheets, asked.minutes * 60, carried))
        lines += [wash_bound.fewest_changes(washer, asked.sheets, carried), wash_bound.WHY]
    if asked.celsius is not None:
        lines.append(wash_bound.colder(asked.celsius, always=True))
    return lines


@command("list", help="List every washer.")
@output_options
def list_washers(desk: Desk) -> None:
    from catalog.records import washers

    with desk.reading() as connection:
        desk.show(
            [washer_row(washer) for washer in washers.washers(connection)],
            "No washer yet. Add one: tirage washer add NAME --kind tray",
        )


def washer_row(washer: Washer) -> dict[str, object]:
    """A washer as it is listed."""
    from catalog.quantities import format_flow, format_volume

    return {
        "name": washer.name,
        "kind": washer.kind,
        "volume": format_volume(washer.volume) if washer.volume else "",
        "flow": format_flow(washer.flow) if washer.flow else "",
        "note": washer.note,
    }


for verb in (add_washer, show_washer, list_washers):
    washer_command.add_command(verb)
