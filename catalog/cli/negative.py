"""Plates and films on the command line."""

import sqlite3
from collections.abc import Iterator
from dataclasses import replace

import click

from catalog.cli.desk import EVENT, Desk, happened
from catalog.cli.list_numbers import find_listed
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.measures import format_length, format_size, parse_length, parse_size
from catalog.quantities import format_weight, parse_weight
from catalog.records import editions, imports, items, negatives, places, prints, transfers
from catalog.records.items import Coded
from catalog.rules.edition_counts import image_count
from catalog.rules.edition_words import state_word
from catalog.vocabulary import NEGATIVE_STATES

negative_command = group("negative", "Plates and films: add, show, list, state.")
CODE = Operand("code", "--negative", "CODE", "a negative, such as n1")


@command("add", Operand("title", "--title", "TITLE", "the title, in quotes"))
@click.option("--code", metavar="CODE", help="A code of your own instead of the next N-number.")
@click.option("--series", metavar="TITLE", default="", help="The body of work it belongs to.")
@click.option("--made", metavar="DATE", default="", help='When: 2026-03-02, 1998, "c. 1998", "spring 1998".')
@click.option("--where", metavar="PLACE", default="", help="Where it was made.")
@click.option("--process", metavar="TEXT", default="wet-collodion negative", show_default=True, help="How.")
@click.option("--support", metavar="TEXT", default="glass", show_default=True, help="On what.")
@click.option("--size", metavar="SIZE", default="", help='Height x width: 8x10in, 20x25cm, "whole plate".')
@click.option("--thickness", metavar="LENGTH", default="", help="Of the glass: 2mm.")
@click.option("--weight", metavar="WEIGHT", default="", help="If weighed: 178g.")
@click.option("--mark", metavar="TEXT", default="", help="What is scratched or written on the plate.")
@click.option("--description", metavar="TEXT", default="", help="Words that may be published.")
@click.option("--state", type=click.Choice(NEGATIVE_STATES), default="in process", show_default=True, help="Now.")
@event_options
def add_command(
    desk: Desk,
    title: str,
    code: str | None,
    series: str,
    made: str,
    where: str,
    process: str,
    support: str,
    size: str,
    thickness: str,
    weight: str,
    mark: str,
    description: str,
    state: str,
) -> None:
    """Add a negative.

    \b
    tirage negative add "Low water" --made 2026-03-02 --size "whole plate" --thickness 2mm
    """
    with desk.writing() as work:
        event = work.event
        if made and "on" not in click.get_current_context().meta.get(EVENT, {}):
            # Its first state is as old as the plate, unless another day is named.
            event = replace(event, moment=happened(made, None, work.now))
        thing = negatives.add(
            work.connection,
            event,
            title,
            own_code=code,
            series=series,
            made=parse_date(made, work.now.date()) if made else None,
            made_where=where,
            process=process,
            support=support,
            size=parse_size(size) if size else None,
            thickness=parse_length(thickness) if thickness else None,
            weight=parse_weight(weight) if weight else None,
            mark=mark,
            description=description,
            state=state,
        )
        work.touch(thing)
    desk.say(f"{thing.code} “{title}” is {state}.")


@command(
    "state",
    Operand("codes", "--negatives", "CODES", "negatives, such as n1 or n1-3"),
    Operand("state", "--state", "STATE", "one of " + ", ".join(NEGATIVE_STATES)),
)
@event_options
def state_command(desk: Desk, codes: str, state: str) -> None:
    """Say what state negatives came to: ready, retired, cancelled, broken ...

    Drying, varnished and curing follow from the steps: tirage dry n1, tirage step add varnish n1.
    """
    from catalog.rules.making_told import minds

    with desk.writing() as work:
        things = items.find(work.connection, codes, "negative")
        told = minds(work.connection, work.event.moment, things, state)
        for thing in things:
            negatives.enter_state(work.connection, work.event, thing, state)
        work.touch(things)
    desk.mind(told)
    desk.say(f"{items.shorten(things)}: {state} since {work.event.moment.text()}.")


@command("show", CODE)
@output_options
def show_command(desk: Desk, code: str) -> None:
    """Show a negative: what it is, its making and what comes next, its editions, where it is.

    A number that its list gave it, and that is no code, will do too: tirage negative show K-4
    """
    from catalog.rules.making_told import coming, coming_text

    with desk.reading() as connection:
        thing = find_listed(desk, connection, code, "negative")
        following = coming_text(coming(connection, thing.id))
        pairs = _facts(connection, thing)
        if desk.output:
            desk.show([dict([*pairs, ("next", following)])])
            return
        desk.say(facts(pairs))
        for line in _history_lines(desk, connection, thing):
            desk.say(line)
        if following:
            desk.say(f"Next: {following}")


def _facts(connection: sqlite3.Connection, thing: Coded) -> list[tuple[str, object]]:
    one = negatives.read(connection, thing.id)
    now = transfers.standing(connection, thing.id)
    return [
        ("code", one.code),
        ("title", one.title),
        ("series", one.series),
        ("made", parse_date(one.made).text() if one.made else ""),
        ("where", one.made_where),
        ("process", one.process),
        ("support", one.support),
        ("size", format_size(one.height, one.width) if one.height and one.width else ""),
        ("thickness", format_length(one.thickness) if one.thickness else ""),
        ("weight", _weight(one)),
        ("mark", one.mark),
        ("state", one.state),
        ("place", places.path_of(connection, now.place) if now.place else ""),
        ("with", now.custodian_name),
        ("owner", now.owner_name),
        ("description", one.description),
        ("prints", image_count(connection, thing.id).text()),
        ("note", one.note),
        ("from its list", imports.told(connection, "negatives", one.id)),
        ("public", "shown" if one.shown else "not shown"),
    ]


def _history_lines(desk: Desk, connection: sqlite3.Connection, thing: Coded) -> Iterator[str]:
    """Its states, its making, its densities, its editions and work prints."""
    from catalog.records.densities import of_item
    from catalog.rules.density_words import range_words
    from catalog.rules.making_told import making

    states = dict.fromkeys(
        f"{desk.date(event.happened)}  {event.state}" + (f" ({event.note})" if event.note else "")
        for event in negatives.events(connection, thing.id)
    )
    for heading, lines in (
        ("States", list(states)),
        ("Making", making(connection, thing.id)),
        ("Densities", range_words(connection, thing.id, of_item(connection, thing.id))),
    ):
        if lines:
            yield "\n".join([heading, *(f"  {line}" for line in lines)])
    for edition in editions.listed(connection, thing.id):
        estate = ", of the estate" if edition.estate else ""
        said = editions.statement(connection, edition)
        yield f"{edition.code}  {edition.title}: {said} ({state_word(edition.state)}{estate})"
    if trials := prints.listed(connection, negative=thing.id, kind="work"):
        yield "Work prints: " + ", ".join(one.code for one in trials)


@command("list")
@click.option("--series", metavar="TITLE", default="", help="Of this series.")
@click.option("--state", type=click.Choice(NEGATIVE_STATES), help="In this state.")
@click.option("--process", metavar="TEXT", default="", help="Of a process with these words.")
@click.option("--text", metavar="WORDS", default="", help="With words in title, mark, place, notes or old number.")
@output_options
def list_command(desk: Desk, series: str, state: str | None, process: str, text: str) -> None:
    """List negatives."""
    with desk.reading() as connection:
        desk.show(
            [
                {
                    "code": one.code,
                    "title": one.title,
                    "series": one.series,
                    "made": desk.date(one.made),
                    "size": format_size(one.height, one.width) if one.height and one.width else "",
                    "state": one.state,
                }
                for one in negatives.listed(connection, series=series, state=state or "", text=text, process=process)
            ],
            "No negative yet, or none that fits.",
        )


def _weight(one: negatives.Negative) -> str:
    if one.weight:
        return f"{format_weight(one.weight)} (weighed)"
    if one.height and one.width and one.thickness and "glass" in one.support:
        from catalog.formulas.glass import plate_weight_mg

        return f"{format_weight(plate_weight_mg(one.height, one.width, one.thickness))} (worked out from its size)"
    return ""


for _command in (add_command, state_command, show_command, list_command):
    negative_command.add_command(_command)
