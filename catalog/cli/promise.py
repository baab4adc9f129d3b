"""Promising numbers on the command line, and what a promise says where its print would go to somebody else."""

import sqlite3
from collections.abc import Sequence

import click

from catalog import codes as typed
from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options_with_who
from catalog.dates import Date, parse_date
from catalog.errors import NotUnderstood
from catalog.records import editions, items, parties, promises
from catalog.records.items import Coded

PROMISED_TO = Operand("to", "--to", "NAME", "who it is held for", required=False)


@command(
    "promise",
    Operand("number", "--number", "E1:4", "a number of an edition, such as e1:4 or e1:ap1"),
    PROMISED_TO,
)
@click.option("--until", "--by", "--by-date", metavar="DATE", default="", help="Until when.")
@click.option("--withdraw", is_flag=True, help="Give the number free again.")
@event_options_with_who
def promise_command(desk: Desk, number: str, to: str | None, until: str, withdraw: bool) -> None:
    """Hold a number for someone, before or after it is printed, until they have its print.

    \b
    tirage promise e1:4 "B. Waiting" --by 2027-05
    tirage promise e1:4 --withdraw

    It is skipped when numbers are handed out, and its print is sold or given to nobody else without --anyway.
    """
    wanted = typed.holder(number)
    if wanted is None or (not withdraw and not to):
        raise NotUnderstood("a promise", number, "e1:4 --to NAME, or e1:4 --withdraw")
    day = _until(until) if until else None
    with desk.writing() as work:
        thing = items.find_one(work.connection, wanted.edition, "edition")
        edition = editions.read(work.connection, thing.id)
        if withdraw:
            theirs = parties.named(work.connection, to).id if to else None
            promises.withdraw(work.connection, edition, wanted.kind, wanted.number, theirs)
        else:
            assert to is not None
            if day and day.latest and day.latest < work.event.moment.earliest:
                raise NotUnderstood("until when", until, "a date that is still to come")
            party, _ = parties.named_or_added(work.connection, to, "collector")
            end = (day.edtf, day.latest) if day else ("", "")
            promises.reserve(work.connection, work.event, edition, wanted.kind, wanted.number, party.id, end)
        work.touch(thing)
    if withdraw:
        desk.say(f"{number} is promised to nobody any more.")
    else:
        desk.say(f"{number} is held for {party.name}" + (f" until {day.text()}." if day else "."))


def stop_at_promise(connection: sqlite3.Connection, things: Sequence[Coded], party: int, anyway: str) -> None:
    """Stop at the first print that is promised to somebody else, unless told otherwise. Raises PromisedError."""
    for thing in things if not anyway else ():
        promises.stop_other(connection, thing, party)


def settle_promises(connection: sqlite3.Connection, things: Sequence[Coded], party: int) -> list[str]:
    """End the promises of prints that went to a party; what is to be told of those that were not kept."""
    ended = [(thing, promises.settle(connection, thing, party)) for thing in things]
    return [
        f"Mind: {one.label} of {one.edition} ({thing.code}) was promised to {one.name}; that promise is withdrawn."
        for thing, one in ended
        if one and one.party != party
    ]


def promise_again(connection: sqlite3.Connection, sale: int) -> str:
    """What is to be told where a sale that was not completed had ended a promise, "" where it had not."""
    one = promises.ended_by(connection, sale)
    if one is None:
        return ""
    number = f"{one.edition}:{one.label.replace(' ', '')}"
    return (
        f"Mind: {one.label} of {one.edition} was promised to {one.name} until this sale, and is to nobody now; where "
        f'that still holds, promise it again: tirage promise {number} "{one.name}".'
    )


def _until(text: str) -> Date:
    try:
        return parse_date(text)
    except NotUnderstood as problem:
        raise NotUnderstood("until when", text, f"{problem.expected}; who did it is --who NAME") from None
