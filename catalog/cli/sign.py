"""Signing, replacing and destroying on the command line."""

import sqlite3

import click

from catalog.cli.dealings import papers_too_late
from catalog.cli.desk import Desk, Work
from catalog.cli.options import PRINTS, Operand, command, event_options
from catalog.errors import NotUnderstood, TirageError
from catalog.records import certificates, designations, items, negatives, prints, transfers
from catalog.records.free_numbers import refuse_too_many

ANYWAY = click.option(
    "--anyway", metavar="REASON", default="", help="Sign in spite of a failed test or a missing wash."
)


class StoppedError(TirageError):
    """A print that should not be signed or leave as it is."""

    def __init__(self, code: str, reasons: tuple[str, ...]) -> None:
        super().__init__(f"{code} was stopped: {' '.join(reasons)} Mend that first, or go on with --anyway REASON.")


def stop_at_doubt(connection: sqlite3.Connection, things: list[items.Coded], anyway: str) -> list[items.Coded]:
    """The prints of which no fixing or no wash is recorded, to be told and not refused.

    Raises StoppedError at the first print that failed, is unwashed or awaits a retest, unless told otherwise.
    """
    from catalog.rules.evidence import evidence_many

    found = evidence_many(connection, [thing.id for thing in things])
    for thing in things:
        if found[thing.id].stops and not anyway:
            raise StoppedError(thing.code, found[thing.id].stops)
    return [thing for thing in things if found[thing.id].grade == "unrecorded"]


def tell_unrecorded(desk: Desk, bare: list[items.Coded]) -> None:
    """Say of which prints no fixing or no wash is recorded."""
    if bare:
        desk.warn(f"Mind: no fixing or no wash is recorded of {items.shorten(bare)}.")


def stop_at_unsigned(connection: sqlite3.Connection, things: list[items.Coded], anyway: str) -> None:
    """Raise StoppedError at the first print that leaves the studio unsigned, unless told otherwise."""
    for thing in things:
        if not anyway and not prints.read(connection, thing.id).signed:
            raise StoppedError(thing.code, ("It is not signed.",))


def note_anyway(work: Work, anyway: str) -> None:
    """Keep the reason why something was done in spite of a doubt."""
    if anyway and f"anyway: {anyway}" not in work.event.note:
        work.event = work.event.noted(work.event.note, f"anyway: {anyway}")


@command("sign", PRINTS)
@click.option("--edition", metavar="CODE", default="", help="For work prints that join an edition.")
@click.option("--as", "designation", metavar="WHAT", default="", help="A number (4) or a proof (AP, AP2, BAT).")
@click.option("--text", metavar="TEXT", default="", help="The inscription, if other than signature and number.")
@click.option("--position", default="verso", show_default=True, metavar="WHERE", help="Where it stands.")
@click.option("--medium", default="pencil", show_default=True, metavar="WITH", help="Written with what.")
@ANYWAY
@event_options
def sign_command(
    desk: Desk, edition: str, designation: str, text: str, position: str, medium: str, anyway: str, **operands: str
) -> None:
    """Sign prints; each gets the next free number of its edition.

    \b
    tirage sign 1-6
    tirage sign 7 --as AP
    tirage sign 12 --edition e1    a matching work print joins the edition
    """
    kind, number = designations.parse_designation(designation) if designation else ("numbered", None)
    with desk.writing() as work:
        things = items.find(work.connection, operands["prints"], "print")
        if number is not None and len(things) > 1:
            raise NotUnderstood(
                "one print", operands["prints"], "one print for one number; leave the number out for several"
            )
        into = items.find_one(work.connection, edition, "edition") if edition else None
        refuse_too_many(work.connection, things, into, kind)
        bare = stop_at_doubt(work.connection, things, anyway)
        note_anyway(work, anyway)
        signed = [
            designations.sign(
                work.connection,
                work.event,
                thing,
                edition=into,
                kind=kind,
                number=number,
                text=text,
                position=position,
                medium=medium,
            )
            for thing in things
        ]
        work.touch(things)
    for one in signed:
        desk.say(f"{one.code}: {one.designation}, signed {position} in {medium}.")
    tell_unrecorded(desk, bare)


@command(
    "replace",
    Operand("old", "--old", "CODE", "the destroyed print"),
    Operand("new", "--new", "CODE", "the print that takes its number"),
)
@ANYWAY
@event_options
def replace_command(desk: Desk, old: str, new: str, anyway: str) -> None:
    """Replace a surrendered, destroyed print: the new one bears the same number and names the old."""
    with desk.writing() as work:
        first = items.find_one(work.connection, old, "print")
        second = items.find_one(work.connection, new, "print")
        bare = stop_at_doubt(work.connection, [second], anyway)
        note_anyway(work, anyway)
        done = designations.replace(work.connection, work.event, first, second)
        work.touch([second, first])
    desk.say(
        f"{done.code} is {done.designation}, signed verso in pencil, and replaces {first.code}, which was destroyed."
    )
    tell_unrecorded(desk, bare)


@command("destroy", Operand("codes", "--items", "CODES", "prints or negatives"))
@click.option("--why", metavar="REASON", required=True, help="What happened.")
@event_options
def destroy_command(desk: Desk, codes: str, why: str) -> None:
    """Record that prints or plates were destroyed. Their numbers are never given again."""
    if not why.strip():
        raise NotUnderstood("a reason", why, "what happened, in a few words")
    with desk.writing() as work:
        work.event = work.event.noted(why, work.event.note)
        things = items.find(work.connection, codes, "print", "negative")
        for thing in things:
            if thing.kind == "negative":
                negatives.enter_state(work.connection, work.event, thing, "destroyed")
            else:
                transfers.destroy(work.connection, work.event, thing)
        papers = [
            paper
            for thing in things
            if thing.kind == "print"
            for paper in certificates.of_print(work.connection, thing.id)
            if paper.standing == "valid"
        ]
        work.touch(things)
        late = [line for thing in things for line in papers_too_late(work.connection, thing)]
    desk.say(f"{items.shorten(things)} destroyed: {why}.")
    for line in late:
        desk.warn(line)
    for paper in papers:
        desk.warn(
            f"Mind: {paper.code} of {paper.print_code} stands as it was issued. Where it must not be shown any more: "
            f"tirage certificate revoke {paper.code} --why REASON."
        )
