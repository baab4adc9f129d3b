"""Baths and washers at the command line."""

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options

BATH = Operand("bath", "--bath", "BATH", "a bath, such as b1")
NAME = Operand("name", "--name", "NAME", "what it is called, such as “alkaline rapid fixer”")
CARRIED = "carried-over"

bath_command = group("bath", "Chemistry: mix, use, discard, show, list.")
washer_command = group("washer", "Vessels that wash: add, show, list.")


@command(
    "mix",
    Operand("kind", "--kind", "KIND", "collodion, fixer, toner ..."),
    NAME,
    help="A new bath goes into the tray; the one of its kind leaves it.",
)
@click.option("--dilution", metavar="1+4", default="", help="As mixed for use.")
@click.option("--volume", metavar="2l", help="How much of it.")
@event_options
def mix(desk: Desk, kind: str, name: str, dilution: str, volume: str | None) -> None:
    from catalog.quantities import parse_volume
    from catalog.records import baths
    from catalog.records.items import Coded

    with desk.writing() as work:
        bath = baths.mix(
            work.connection, work.event, kind, name, dilution=dilution, volume=parse_volume(volume) if volume else None
        )
        work.touch(Coded(bath.id, bath.code, "bath"))
    desk.say(f"{bath.code}: {bath.text()}, in the tray as {kind}.")


@command("use", BATH, help="Put a bath back in the tray.")
@event_options
def use(desk: Desk, bath: str) -> None:
    from catalog.records import baths, items

    with desk.writing() as work:
        thing = items.find_one(work.connection, bath, "bath")
        found = baths.use(work.connection, work.event, thing)
        work.touch(thing)
    desk.say(f"{found.code}: {found.text()} is in the tray again.")


@command("discard", BATH, help="Record that a bath was poured away.")
@event_options
def discard(desk: Desk, bath: str) -> None:
    from catalog.records import baths, items

    with desk.writing() as work:
        thing = items.find_one(work.connection, bath, "bath")
        found = baths.discard(work.connection, work.event, thing)
        work.touch(thing)
    desk.say(f"{found.code}: {found.text()} is discarded.")


@command("show", BATH, help="Show a bath and what went through it.")
@output_options
def show_bath(desk: Desk, bath: str) -> None:
    from catalog.cli.tables import facts
    from catalog.records import baths, items

    with desk.reading() as connection:
        thing = items.find_one(connection, bath, "bath")
        row = bath_row(baths.read(connection, thing))
        row["steps"], row["sheets"] = baths.use_so_far(connection, thing)
    if desk.output:
        desk.show([row])
    else:
        desk.say(facts(list(row.items())))


@command("list", help="List every bath.")
@output_options
def list_baths(desk: Desk) -> None:
    from catalog.records import baths

    with desk.reading() as connection:
        desk.show(
            [bath_row(bath) for bath in baths.baths(connection)], "No bath yet. Mix one: tirage bath mix fixer NAME"
        )


def bath_row(bath: object) -> dict[str, object]:
    """A bath as it is listed."""
    from catalog.quantities import format_volume
    from catalog.records.baths import Bath

    assert isinstance(bath, Bath)
    standing = f"discarded {bath.discarded}" if bath.discarded else ("in the tray" if bath.in_tray else "kept")
    return {
        "code": bath.code,
        "kind": bath.kind,
        "name": bath.name,
        "dilution": bath.dilution,
        "volume": format_volume(bath.volume) if bath.volume else "",
        "mixed": bath.mixed,
        "standing": standing,
        "note": bath.note,
    }


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


@command("show", NAME, help="Show a washer, and the most its water could dilute.")
@click.option("--changes", type=click.IntRange(0, 1_000), help="Changes of water.")
@click.option("--prints", type=click.IntRange(1, 1_000), default=1, show_default=True, help="Prints in it.")
@output_options
@click.option("--for", "duration", metavar="DURATION", default="", help="Running water for so long.")
def show_washer(desk: Desk, name: str, changes: int | None, prints: int, duration: str) -> None:
    from catalog.cli.tables import facts
    from catalog.records import settings, washers

    with desk.reading() as connection:
        washer = washers.by_name(connection, name)
        carried = settings.value(connection, CARRIED)
    row = washer_row(washer)
    if changes is not None:
        row["bound"] = _bound(washer.volume, carried, changes, prints)
    if duration:
        row["running"] = _running(washer.volume, washer.flow, duration)
    if desk.output:
        desk.show([row])
    else:
        desk.say(facts(list(row.items())))


def _running(volume: int | None, flow: int | None, duration: str) -> str:
    from catalog.errors import TirageError
    from catalog.formulas.washing import flow_bound
    from catalog.quantities import format_duration, format_flow, parse_duration

    seconds = parse_duration(duration)
    if volume is None or flow is None:
        raise TirageError(
            "The volume and the flow of this washer are needed for that; add a washer with --volume 10l --flow 2l/min."
        )
    bound = flow_bound(flow, volume, seconds / 60)
    return (
        f"at best {bound:.3g} of the first concentration is left after {format_duration(seconds)} at "
        f"{format_flow(flow)}: a bound for perfect mixing, and too optimistic for paper; never evidence that a "
        f"print is clean"
    )


def _bound(volume: int | None, carried: str, changes: int, prints: int) -> str:
    from catalog.errors import TirageError
    from catalog.formulas.washing import dilution_bound
    from catalog.quantities import format_volume, parse_volume

    if volume is None:
        raise TirageError(
            "The volume of this washer is not recorded; a bound on dilution needs it. Add a washer with --volume 10l."
        )
    bound = dilution_bound(parse_volume(carried) * prints, volume, changes)
    times = "change" if changes == 1 else "changes"
    return (
        f"at best {bound:.3g} of the first concentration is left after {changes} {times} of "
        f"{format_volume(volume)}, {prints} × {carried} carried over: a bound for perfect mixing, and too "
        f"optimistic for paper, whose fibres and baryta hold hypo back; never evidence that a print is clean"
    )


@command("list", help="List every washer.")
@output_options
def list_washers(desk: Desk) -> None:
    from catalog.records import washers

    with desk.reading() as connection:
        desk.show(
            [washer_row(washer) for washer in washers.washers(connection)],
            "No washer yet. Add one: tirage washer add NAME --kind tray",
        )


def washer_row(washer: object) -> dict[str, object]:
    """A washer as it is listed."""
    from catalog.quantities import format_flow, format_volume
    from catalog.records.washers import Washer

    assert isinstance(washer, Washer)
    return {
        "name": washer.name,
        "kind": washer.kind,
        "volume": format_volume(washer.volume) if washer.volume else "",
        "flow": format_flow(washer.flow) if washer.flow else "",
        "note": washer.note,
    }


for verb in (mix, use, discard, show_bath, list_baths):
    bath_command.add_command(verb)
for verb in (add_washer, show_washer, list_washers):
    washer_command.add_command(verb)
