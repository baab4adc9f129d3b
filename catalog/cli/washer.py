"""Washers at the command line: add, show with the bounds of its water, list."""

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.records.washers import Washer

NAME = Operand("name", "--name", "NAME", "the name of the washer, such as slots1")

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


@command("show", NAME, help="Show a washer, and how far its water could dilute at the very best.")
@click.option("--minutes", type=click.IntRange(1, 10_000), help="Running water for so long.")
@click.option("--changes", type=click.IntRange(1, 1_000), help="So many changes of water.")
@click.option("--sheets", type=click.IntRange(1, 1_000), default=1, show_default=True, help="Sheets in it.")
@click.option("--temperature", metavar="10C", help="How much longer a wash takes in cold water.")
@output_options
def show_washer(
    desk: Desk, name: str, minutes: int | None, changes: int | None, sheets: int, temperature: str | None
) -> None:
    from catalog.cli.tables import facts
    from catalog.formulas.washing import PUBLISHED, dilution_bound, flow_bound
    from catalog.quantities import parse_temperature, parse_volume
    from catalog.records import settings, washers
    from catalog.rules import wash_bound

    with desk.reading() as connection:
        washer = washers.by_name(connection, name)
        carried = settings.value(connection, wash_bound.CARRIED)
    celsius = parse_temperature(temperature) if temperature else None
    washers.check_known(washer, volume=bool(changes or minutes), flow=bool(minutes))
    if desk.output:
        row = washer_row(washer)
        entered = parse_volume(carried) * sheets
        if changes and washer.volume:
            row["bound_changes"] = dilution_bound(entered, washer.volume, changes)
        if minutes and washer.volume and washer.flow:
            first = dilution_bound(entered, washer.volume, 1)
            row["bound_flow"] = first * flow_bound(washer.flow, washer.volume, minutes)
        if celsius is not None:
            row["time_factor"] = wash_bound.time_factor(celsius)
        desk.show([row])
        return
    desk.say(facts(list(washer_row(washer).items())))
    lines = []
    if washer.volume and washer.flow and not (changes or minutes):
        from catalog.quantities import format_duration

        turnover = format_duration(max(1, round(washer.volume * 60 / washer.flow)))
        lines.append(f"Its usual flow fills it once in {turnover}.")
    if washer.volume:
        if changes:
            lines.append(wash_bound.of_changes(washer, sheets, changes, carried))
        if minutes and washer.flow:
            lines.append(wash_bound.of_flow(washer, sheets, minutes * 60, carried))
        lines += [wash_bound.fewest_changes(washer, sheets, carried), wash_bound.WHY]
    if celsius is not None:
        lines.append(wash_bound.colder(celsius, always=True))
    if lines:
        desk.say("\n" + "\n".join(lines))
    if not (changes or minutes or temperature):
        desk.say("\nPublished washes, at about 20 °C:")
        desk.show([one._asdict() for one in PUBLISHED])


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
