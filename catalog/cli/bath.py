"""Baths at the command line: mix, use, care, promote, discard, show, list."""

import sqlite3
from shlex import quote

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.records.baths import Bath

BATH = Operand("bath", "--bath", "BATH", "a bath, such as b1")
BATH_OR_WORD = Operand("bath", "--bath", "BATH", "a bath (b1), or a word of the one in the tray (fixer)")
NAME = Operand("name", "--name", "NAME", "what it is called, such as “alkaline rapid fixer”")
ADVISED_TURNS = 3

bath_command = group("bath", "Chemistry: mix, use, care, promote, discard, show, list.")


@command(
    "mix",
    Operand("kind", "--kind", "KIND", "collodion, fixer, toner ..."),
    NAME,
    help="A new bath goes into the tray; the one of its kind leaves it.",
)
@click.option("--dilution", metavar="1+4", default="", help="As mixed for use, or its strength, such as 9%.")
@click.option("--volume", metavar="2l", help="How much of it.")
@click.option("--second", is_flag=True, help="A second fixer, in a tray of its own beside the first.")
@click.option("--capacity", metavar="AREA", help="What it may take: 2.5m2, “40 8x10in”; with /l a litre of it.")
@click.option("--silver-limit", metavar="0.5g/l", help="Silver it may hold, for the estimate (a fixer).")
@click.option("--life", metavar="7d", help="How long it lasts from now.")
@click.option("--gold", metavar="100mg", help="Gold chloride in it (a toner).")
@click.option("--basis", metavar="TEXT", default="", help="Whose figures these are, such as a data sheet.")
@event_options
def mix(
    desk: Desk,
    kind: str,
    name: str,
    dilution: str,
    volume: str | None,
    second: bool,
    capacity: str | None,
    silver_limit: str | None,
    life: str | None,
    gold: str | None,
    basis: str,
) -> None:
    from catalog.capacities import parse_capacity, parse_life, parse_silver_strength
    from catalog.old_units import in_old_units, parse_strength
    from catalog.quantities import parse_volume, parse_weight
    from catalog.records import baths
    from catalog.records.items import Coded

    strength = parse_strength(dilution) if in_old_units(dilution) else None
    with desk.writing() as work:
        left = baths.leaving(work.connection, kind, name, second=second)
        bath = baths.mix(
            work.connection,
            work.event,
            kind,
            name,
            dilution=dilution,
            volume=parse_volume(volume) if volume else None,
            second=second,
            capacity=parse_capacity(capacity) if capacity else None,
            silver_limit=parse_silver_strength(silver_limit) if silver_limit else None,
            life=parse_life(life) if life else None,
            metal=parse_weight(gold) if gold else None,
            basis=basis,
        )
        work.touch(Coded(bath.id, bath.code, "bath"))
    desk.say(f"{bath.code}: {bath.text()}, in the tray as {'second ' if second else ''}{kind}.")
    _say_left(desk, left)
    if strength:
        desk.say(f"{strength.typed} = {strength.text()}")


@command("use", BATH, help="Put a bath back in the tray.")
@event_options
def use(desk: Desk, bath: str) -> None:
    from catalog.records import baths, items

    with desk.writing() as work:
        thing = items.find_one(work.connection, bath, "bath")
        one = baths.read(work.connection, thing)
        left = baths.leaving(work.connection, one.kind, one.name, second=one.position == "second", but=one.id)
        found = baths.use(work.connection, work.event, thing)
        work.touch(thing)
    desk.say(f"{found.code}: {found.text()} is in the tray again.")
    _say_left(desk, left)


@command("discard", BATH, help="Record that a bath was poured away.")
@event_options
def discard(desk: Desk, bath: str) -> None:
    from catalog.records import baths, items
    from catalog.rules.cautions import disposal

    with desk.writing() as work:
        thing = items.find_one(work.connection, bath, "bath")
        found = baths.discard(work.connection, work.event, thing)
        work.touch(thing)
    desk.say(f"{found.code}: {found.text()} is discarded.")
    if waste := disposal(found.kind, found.name):
        desk.warn(waste)


@command(
    "promote",
    Operand("bath", "--bath", "BATH", "the second fixer (default: the one in its tray)", required=False),
    help="The second fixer becomes the first; the old first is discarded.",
)
@event_options
def promote(desk: Desk, bath: str | None) -> None:
    from catalog.records import bath_events, baths, items
    from catalog.records.items import Coded
    from catalog.rules.bath_standing import ROTATIONS
    from catalog.rules.cautions import disposal

    with desk.writing() as work:
        if bath:
            thing = items.find_one(work.connection, bath, "bath")
        else:
            standing = baths.second_fixer(work.connection)
            thing = Coded(standing.id, standing.code, "bath")
        found, gone = bath_events.promote(work.connection, work.event, thing)
        turns = bath_events.promotions(work.connection, found)
        work.touch([thing, Coded(gone.id, gone.code, "bath")] if gone else thing)
    old = f"; {gone.code} is discarded" if gone else ""
    desk.say(
        f"{found.code}: {found.text()} is the first fixer now{old}. Mix a fresh second one: tirage bath mix fixer "
        f"{quote(found.name)} --second"
    )
    if gone and (waste := disposal(gone.kind, gone.name)):
        desk.warn(waste)
    if turns >= ADVISED_TURNS:
        desk.warn(f"That is turn {turns} in a row. {ROTATIONS}")


@command(
    "care",
    BATH_OR_WORD,
    Operand("text", "--text", "TEXT", "what was done, such as “sunned and filtered”"),
    help="Record what was done to a bath: cared for, or replenished.",
)
@click.option("--strength", metavar="9%", default="", help="As measured now, such as “9 %” or “40 gr/fl oz us”.")
@click.option("--capacity", metavar="+AREA", help="What it may take more, such as +1m2 or “+10 8x10in”.")
@click.option("--gold", metavar="10mg", help="Gold chloride added.")
@event_options
def care(desk: Desk, bath: str, text: str, strength: str, capacity: str | None, gold: str | None) -> None:
    from catalog.capacities import parse_capacity
    from catalog.old_units import parse_strength
    from catalog.quantities import parse_weight
    from catalog.records import bath_events, baths
    from catalog.records.items import Coded

    with desk.writing() as work:
        found = baths.named(work.connection, bath)
        measured = parse_strength(strength) if strength else None
        bath_events.care(
            work.connection,
            work.event,
            found,
            text,
            strength=measured.typed if measured else "",
            capacity=parse_capacity(capacity.lstrip("+")).of(found.volume) if capacity else None,
            metal=parse_weight(gold) if gold else None,
        )
        work.touch(Coded(found.id, found.code, "bath"))
    desk.say(f"{found.code}: {text}{f', measured {measured.typed}: {measured.text()}' if measured else ''}.")


@command("show", BATH_OR_WORD, help="Show a bath, what went through it and what is left of it.")
@output_options
def show_bath(desk: Desk, bath: str) -> None:
    from catalog.cli.tables import facts
    from catalog.records import baths, settings
    from catalog.rules import bath_standing

    with desk.reading() as connection:
        one = baths.named(connection, bath)
        today = desk.now.date().isoformat()
        found = bath_standing.standing(connection, one, today)
        sentences = bath_standing.said(found, settings.value(connection, "usual-sheet"), today)
    if desk.output:
        room = bath_standing.room(found)
        desk.show(
            [
                {
                    **bath_row(one, bath_standing.left_words(found.left)),
                    "steps": found.used.steps + found.second.steps,
                    "sheets": found.used.sheets + found.second.sheets,
                    "area_cm2": found.counted.area,
                    "sheets_without_size": found.used.guessed + found.second.guessed,
                    "capacity_cm2": found.capacity,
                    "left_cm2": found.left.area,
                    "left_sheets": room[0][0] if room else None,
                    "sheet_um": f"{room[0][1]}x{room[0][2]}" if room else "",
                    "silver_mg_l_estimate": None if found.left.silver is None else round(found.left.silver * 1_000),
                    "silver_limit_mg_l": one.silver_limit,
                    "life_ends": found.left.ends,
                    "past": ", ".join(found.left.past),
                    "gold_chloride_mg": found.gold,
                    "gold_chloride_mg_m2": found.gold_per_area,
                    "strength": next((done.strength for done in reversed(found.events) if done.strength), ""),
                    "promotions": found.turns,
                    "basis": one.basis,
                }
            ]
        )
        return
    desk.say(facts(list(bath_row(one, "").items())))
    desk.say("\n" + "\n".join(sentences))


@command("list", help="List every bath.")
@output_options
def list_baths(desk: Desk) -> None:
    from catalog.records import baths

    with desk.reading() as connection:
        today = desk.now.date().isoformat()
        desk.show(
            [bath_row(bath, _left(connection, bath, today)) for bath in baths.baths(connection)],
            "No bath yet. Mix one: tirage bath mix fixer NAME",
        )


def _say_left(desk: Desk, left: list[Bath]) -> None:
    """The baths that left their trays, each with the line that puts it back."""
    from catalog.rules.waiting import typed

    for old in left:
        desk.say(f"{old.code}: {old.text()} left its tray. To put it back: tirage bath use {typed([old.code])}")


def _left(connection: sqlite3.Connection, bath: Bath, today: str) -> str:
    """What is left of a bath in use that has figures set; nothing is worked out for the others."""
    if bath.discarded or not (bath.capacity or bath.silver_limit or bath.life):
        return ""
    from catalog.rules import bath_standing

    return bath_standing.left_words(bath_standing.standing(connection, bath, today).left)


def bath_row(bath: Bath, left: str) -> dict[str, object]:
    """A bath as it is listed."""
    from catalog.quantities import format_volume

    standing = f"discarded {bath.discarded}" if bath.discarded else ("in the tray" if bath.in_tray else "kept")
    return {
        "code": bath.code,
        "kind": bath.kind,
        "position": bath.position,
        "name": bath.name,
        "dilution": bath.dilution,
        "volume": format_volume(bath.volume) if bath.volume else "",
        "mixed": bath.mixed,
        "standing": standing,
        "left": left,
        "note": bath.note,
    }


for verb in (mix, use, care, promote, discard, show_bath, list_baths):
    bath_command.add_command(verb)
