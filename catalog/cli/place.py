"""Places, moving, and finding on the command line."""

import sqlite3
from contextlib import suppress
from shlex import quote

import click

from catalog.cli.desk import Desk
from catalog.cli.options import ITEMS, Operand, command, event_options, group, output_options
from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.records import catalogs, imports, places, transfers
from catalog.records.items import Coded, UnknownCodeError, find, shorten
from catalog.records.places import UnknownPlaceError

place_command = group("place", "Places: add, show, list.")
PATH = Operand("path", "--place", "PLACE", "a place by its path, such as “studio/rack 2/shelf 1”")


class ByNameError(TirageError):
    """A name where codes are expected."""

    def __init__(self, kind: str, name: str) -> None:
        super().__init__(f"{name} is a {kind} and has no code. What is there: tirage {kind} show {quote(name)}")


@command("add", PATH)
@click.option("--kind", default="", metavar="KIND", help="building, room, rack, cabinet, shelf, drawer, box, slot.")
@event_options
def add_command(desk: Desk, path: str, kind: str) -> None:
    """Add a place, with whatever is missing above it."""
    with desk.writing() as work:
        place, new = places.add(work.connection, path, kind, work.event.note)
        full = places.path_of(work.connection, place.id)
    desk.say(f"Added {full}." if new else f"{full} is there already.")


@command("show", PATH)
@output_options
def show_command(desk: Desk, path: str) -> None:
    """Show what is in a place and below it."""
    with desk.reading() as connection:
        place = places.at(connection, path)
        found = places.within(connection, place.id)
        paths = {where: places.path_of(connection, where) for _, where in found}
        desk.show(
            [{"code": thing.code, "kind": thing.kind, "place": paths[where]} for thing, where in found],
            f"Nothing is in {places.path_of(connection, place.id)}.",
        )
        kept = imports.told(connection, "places", place.id)
        if kept and not desk.output:
            desk.say(f"From its list: {kept}")


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List all places with how many items are in and below each."""
    with desk.reading() as connection:
        rows: list[dict[str, object]] = [
            {
                "place": places.path_of(connection, place.id),
                "kind": place.kind,
                "items": len(places.within(connection, place.id)),
            }
            for place in places.listed(connection)
        ]
        desk.show(sorted(rows, key=lambda row: str(row["place"])), "No place yet. Add one: tirage place add PLACE")


@command("move", ITEMS, Operand("to", "--to", "PLACE", "where to, by its path"))
@event_options
def move_command(desk: Desk, items: str, to: str) -> None:
    """Put items in a place.

    \b
    tirage move n1-3 "studio/rack 2/shelf 1"
    """
    with desk.writing() as work:
        things = find(work.connection, items, "negative", "print", "control strip")
        place = places.at(work.connection, to)
        places.move(work.connection, work.event, things, place)
        work.touch(things)
        full = places.path_of(work.connection, place.id)
    desk.say(f"{shorten(things)} in {full}.")


@command("where", Operand("codes", "--items", "CODES", "what to find"))
@output_options
def where_command(desk: Desk, codes: str) -> None:
    """Say where things are, how they stand, since when and who put them there, one line each."""
    with desk.reading() as connection:
        try:
            found = find(connection, codes, "negative", "print", "control strip")
        except UnknownCodeError:
            _refuse_name(connection, codes)
            raise
        lines = [_where(connection, thing) for thing in found]
    if desk.output:
        desk.show([dict(line) for line in lines])
    for line in lines if not desk.output else ():
        since = f" since {parse_date(line['since']).text()}, by {line['by']}" if line["since"] else ""
        desk.say(f"{line['code']}: {line['where']}{since}")


def _refuse_name(connection: sqlite3.Connection, text: str) -> None:
    """Raise ByNameError where a text is no code but the name of a party or a place."""
    from catalog.records import parties

    names = {party.name.casefold(): party.name for party in parties.listed(connection)}
    name = names.get(" ".join(text.split()).casefold())
    if name is not None:
        raise ByNameError("party", name)
    with suppress(NotUnderstood, UnknownPlaceError):
        raise ByNameError("place", places.path_of(connection, places.at(connection, text).id))


def _where(connection: sqlite3.Connection, thing: Coded) -> dict[str, str]:
    """Where one thing is, how it stands, since when and by whom."""
    from catalog.rules.consignments import WORDS, standing_now

    now, standing = transfers.standing(connection, thing.id), standing_now(connection, thing.id)
    if now.place is not None:
        move = places.movements(connection, thing.id)[-1]
        where, since, by = places.path_of(connection, now.place), move.happened, move.by
    else:
        hand = next((t for t in transfers.of_item(connection, thing.id) if t.id == now.custody_transfer), None)
        since, by = (hand.happened, hand.by) if hand else ("", "")
        kind = hand.kind if hand else ""
        if now.custodian is None:
            where = f"gone ({kind})" if kind else "gone"
        elif now.custodian == catalogs.artist(connection).id:
            where = "in the studio, not yet placed"
        else:
            where = f"with {now.custodian_name} ({kind if standing in ('gone', '') else WORDS.get(standing, standing)})"
    return {"code": thing.code, "where": where, "standing": standing, "since": since, "by": by}


for _command in (add_command, show_command, list_command):
    place_command.add_command(_command)
