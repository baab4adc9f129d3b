"""Prints on the command line."""

import click

from catalog.cli.desk import Desk
from catalog.cli.list_numbers import find_listed
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.errors import NotUnderstood
from catalog.measures import parse_size
from catalog.records import designations, editions, items, negatives, papers, prints
from catalog.records.free_numbers import refuse_too_many
from catalog.rules.plate_at_hand import held_elsewhere
from catalog.whole_numbers import whole_number

print_command = group("print", "Prints: make, show, list, designate, inscribe.")
PRINT = Operand("code", "--print", "CODE", "a print, such as 3")


@command(
    "make",
    Operand("of", "--of", "CODE", "an edition (e1), or a negative (n1) for work prints"),
    Operand("count", "--count", "N", "how many", required=False),
)
@click.option("--code", metavar="CODE", help="A code of your own, for one print.")
@click.option("--paper", metavar="NAME", default="", help="The paper (default: the last one used of this negative).")
@click.option("--printed-by", metavar="NAME", default="", help="If not by the artist.")
@click.option("--supervised-by", metavar="NAME", default="", help="Who watched over it.")
@click.option("--image", metavar="SIZE", default="", help="As measured, if not the edition's or the negative's.")
@click.option("--sheet", metavar="SIZE", default="", help="As measured, if not the edition's.")
@click.option("--cancellation", is_flag=True, help="A cancellation proof, from the defaced plate.")
@event_options
def make_command(
    desk: Desk,
    of: str,
    count: str | None,
    code: str | None,
    paper: str,
    printed_by: str,
    supervised_by: str,
    image: str,
    sheet: str,
    cancellation: bool,
) -> None:
    """Record impressions that were kept.

    \b
    tirage print make e1 6        six prints of edition 1
    tirage print make n1 4        four work prints of negative 1
    """
    many = 1 if count is None else whole_number(count)
    if many is None:
        raise NotUnderstood("a number of prints", str(count), "a whole number such as 6")
    with desk.writing() as work:
        source = items.find_one(work.connection, of, "edition", "negative")
        stock = papers.named(work.connection, paper).id if paper else papers.last_used(work.connection, source)
        made = prints.make(
            work.connection,
            work.event,
            source,
            many,
            paper=stock,
            own_code=code,
            printed_by=printed_by,
            supervised_by=supervised_by,
            cancellation=cancellation,
            image=parse_size(image) if image else None,
            sheet=parse_size(sheet) if sheet else None,
        )
        work.touch(made)
        plate = editions.read(work.connection, source.id).negative if source.kind == "edition" else source.id
        elsewhere = held_elsewhere(work.connection, plate, work.event.moment)
        lent = items.code_of(work.connection, plate)
        state = negatives.read(work.connection, plate).state
        closed = (
            source.kind == "edition"
            and not cancellation
            and editions.read(work.connection, source.id).state != "declared"
        )
    if closed:
        desk.warn(f"Mind: {source.code} is closed; a number is left for these only where one was not given.")
    if elsewhere:
        desk.warn(
            f"Mind: {lent} was with {elsewhere} that day; where it had come back, record it: tirage return {lent}."
        )
    if state in ("retired", "lost", "deposited"):
        desk.warn(f"Mind: {lent} is {state}.")
    kind = "cancellation proof" if cancellation else ("print" if source.kind == "edition" else "work print")
    desk.say(f"{items.shorten(made)}: {len(made)} {kind}{'s' if len(made) > 1 else ''} of {source.code}.")


@command(
    "designate",
    Operand("codes", "--prints", "CODES", "prints, such as 3 or 1-6"),
    Operand("designation", "--as", "WHAT", "a number (4), AP1, BAT, reference, unique"),
)
@click.option("--edition", metavar="CODE", default="", help="For a work print that joins an edition.")
@event_options
def designate_command(desk: Desk, codes: str, designation: str, edition: str) -> None:
    """Say what prints are without signing them: reference, unique, or a number of the edition."""
    kind, number = designations.parse_designation(designation)
    with desk.writing() as work:
        things = items.find(work.connection, codes, "print")
        into = items.find_one(work.connection, edition, "edition") if edition else None
        refuse_too_many(work.connection, things, into, kind)
        done = [
            designations.designate(work.connection, work.event, thing, edition=into, kind=kind, number=number)
            for thing in things
        ]
        work.touch(things)
    for one in done:
        desk.say(f"{one.code} is {one.called}.")


@command("inscribe", PRINT, Operand("text", "--text", "TEXT", "the words as they stand, “/” at line breaks"))
@click.option("--position", default="verso", show_default=True, metavar="WHERE", help="recto, verso, margin, mount.")
@click.option("--medium", default="pencil", show_default=True, metavar="WITH", help="pencil, ink, stamp, blind stamp.")
@event_options
def inscribe_command(desk: Desk, code: str, text: str, position: str, medium: str) -> None:
    """Record what stands on a print."""
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "print")
        prints.inscribe(work.connection, work.event, thing, text, position, medium)
        work.touch(thing)
    desk.say(f"{thing.code}: “{text}”, {position}, {medium}.")


@command("show", PRINT)
@output_options
def show_command(desk: Desk, code: str) -> None:
    """Show the whole chain of a print: plate, edition, processing, tests, place, owner."""
    from catalog.cli.print_chain import chain

    with desk.reading() as connection:
        thing = find_listed(desk, connection, code, "print")
        pairs, text = chain(connection, thing.id)
        if desk.output:
            desk.show([dict(pairs)])
        else:
            desk.say(text)


@command("list", Operand("of", "--of", "CODE", "of a negative or an edition", required=False))
@click.option("--kind", default="", metavar="KIND", help="numbered, AP, work, reference, undesignated ...")
@click.option("--state", default="", metavar="STATE", help="living, destroyed, lost.")
@output_options
def list_command(desk: Desk, of: str | None, kind: str, state: str) -> None:
    """List prints."""
    with desk.reading() as connection:
        source = items.find_one(connection, of, "edition", "negative") if of else None
        found = prints.listed(
            connection,
            kind=kind,
            state=state,
            edition=source.id if source and source.kind == "edition" else None,
            negative=source.id if source and source.kind == "negative" else None,
        )
        desk.show(
            [
                {
                    "code": p.code,
                    "negative": items.code_of(connection, p.negative),
                    "edition": items.code_of(connection, p.edition) if p.edition else "",
                    "designation": p.designation,
                    "made": desk.date(p.made),
                    "signed": desk.date(p.signed),
                    "state": p.state,
                }
                for p in found
            ],
            "No print yet, or none that fits.",
        )


for _command in (make_command, designate_command, inscribe_command, show_command, list_command):
    print_command.add_command(_command)
