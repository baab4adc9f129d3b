"""People and bodies on the command line."""

import sqlite3
from collections.abc import Callable
from itertools import islice

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.records import holdings, imports, parties
from catalog.records.correction_words import quoted
from catalog.vocabulary import CONTACT_KINDS, PARTY_KINDS

party_command = group("party", "People and bodies: add, show, list, correct, died, reach, forget.")
NAME = Operand("name", "--name", "NAME", "the party's name, in quotes")


def reach_options(function: Callable[..., None]) -> Callable[..., None]:
    """How somebody is reached; None where a way is not told."""
    for kind in reversed(CONTACT_KINDS):
        function = click.option(f"--{kind}", metavar="TEXT", help="Kept apart, never journalled, forgettable.")(
            function
        )
    return function


@command("add", NAME)
@click.option("--kind", type=click.Choice(PARTY_KINDS), default="collector", show_default=True, help="What they are.")
@click.option("--place", default="", metavar="TOWN", help="Town and country, as printed in a provenance.")
@click.option("--born", default="", metavar="DATE", help="Year or date of birth.")
@click.option("--died", default="", metavar="DATE", help="Year or date of death.")
@click.option(
    "--nameable/--private", default=None, help="May be named in public (galleries yes, persons no, unless told)."
)
@reach_options
@event_options
def add_command(
    desk: Desk,
    name: str,
    kind: str,
    place: str,
    born: str,
    died: str,
    nameable: bool | None,
    **reach: str | None,
) -> None:
    """Add a collector, gallery, institution or printer."""
    with desk.writing() as work:
        party = parties.add(
            work.connection,
            name,
            kind,
            place=place,
            born=parse_date(born).edtf if born else "",
            died=parse_date(died) if died else None,
            nameable=nameable,
            note=work.event.note,
            contacts={kind: text for kind, text in reach.items() if text},
        )
    desk.say(f"{party.name}, {party.kind}; {'may' if party.nameable else 'will not'} be named in public.")


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List the parties."""
    with desk.reading() as connection:
        desk.show(
            [
                {"name": p.name, "kind": p.kind, "place": p.place, "in public": "named" if p.nameable else "private"}
                for p in parties.listed(connection)
            ]
        )


@command("show", NAME)
@output_options
def show_command(desk: Desk, name: str) -> None:
    """Show a party, how to reach it, what it has, what it owns, on what terms, and what it owes."""
    from catalog.rules.consignments import owed, totals

    with desk.reading() as connection:
        p = parties.named(connection, name)
        pairs: list[tuple[str, object]] = [
            ("name", p.name),
            ("kind", p.kind),
            ("place", p.place),
            ("born", p.born),
            ("died", p.died),
            *parties.contacts(connection, p.id).items(),
            ("in public", "named" if p.nameable else "private"),
            ("has", ", ".join(holdings.held_by(connection, p.id))),
            ("owns", ", ".join(holdings.owned_by(connection, p.id))),
            ("out", "; ".join(_out(connection, p.id))),
            ("owes", " and ".join(total.text() for total in totals(list(owed(connection, p.id))))),
            ("note", p.note),
            ("added", _added(connection, p.id)),
            ("from its list", imports.told(connection, "parties", p.id)),
            ("corrected", "; ".join(_corrected(connection, p.id))),
        ]
        if desk.output:
            desk.show([dict(pairs)])
        else:
            desk.say(facts(pairs))


def _added(connection: sqlite3.Connection, party: int) -> str:
    """When it came into the catalog, by whom, and the rows of lists that are its own."""
    from catalog.records.party_corrections import added

    found = added(connection, party)
    when = [f"{parse_date(found[0][:10]).text()}, by {found[1]}"] if found else []
    rows = imports.rows_of(connection, "parties", party)
    listed = [f"{row.file}, row {row.line}" for row in rows[: holdings.MOST]]
    return "; ".join([*when, *listed])


def _corrected(connection: sqlite3.Connection, party: int) -> list[str]:
    """What was set right on a party: when, what, by whom, why."""
    from catalog.records.party_corrections import changes

    found = []
    for one in changes(connection, party):
        told = ", ".join(f"{field} from {quoted(before)} to {quoted(after)}" for field, before, after in one.fields)
        found.append(f"{parse_date(one.sealed[:10]).text()}, {one.by}: {told}" + (f" ({one.why})" if one.why else ""))
    return found


def _out(connection: sqlite3.Connection, party: int) -> list[str]:
    """What is out with a party, each with its state and terms, the first of them."""
    from catalog.records.transfers.commission import per_cent
    from catalog.rules.consignments import out

    found = []
    for one in islice(out(connection, party), holdings.MOST):
        terms = [
            one.state + (f" with {one.holder}" if one.party == party and one.holder != one.name else ""),
            f"until {parse_date(one.until).text()}" if one.until else "",
            f"{per_cent(one.commission)} commission" if one.commission is not None else "",
            f"retail {one.retail.text()}" if one.retail else "",
            f"insured {one.insured.text()}" if one.insured else "",
            f"condition: {one.condition}" if one.condition else "",
        ]
        found.append(f"{one.code} {', '.join(term for term in terms if term)}")
    return found


@command("died", NAME, Operand("date", "--date", "DATE", "when they died, such as 2026-11-02, 2026 or “c. 1920”"))
@click.option("--why", metavar="REASON", default="", help="Why a date that was recorded is corrected.")
@event_options
def died_command(desk: Desk, name: str, date: str, why: str) -> None:
    """Record when somebody died. After the artist's death only the estate signs; undo takes a slip back.

    \b
    tirage party died "A. Example" 2026-11-02
    tirage party died "A. Example" 2026-11-01 --why "as the register has it"
    """
    from catalog.records import catalogs, deaths

    died = parse_date(date)
    with desk.writing() as work:
        party = parties.named(work.connection, name)
        if why:
            work.event = work.event.noted(why, work.event.note)
        deaths.record(work.connection, work.event, party, died, why)
        artist = party.id == catalogs.artist(work.connection).id
    before = f", not {parse_date(party.died).text()}" if party.died else ""
    desk.say(f"{party.name} died {died.text()}{before}.")
    if artist:
        desk.say(
            "From then on nothing is signed by the artist: the estate has editions of its own (tirage edition declare "
            "--estate) and a key of its own (tirage key renew --estate)."
        )


@command(
    "correct",
    NAME,
    Operand("values", "--set", "FIELD=VALUE", "name, kind, place, born, public (yes or no) or note", many=True),
)
@click.option("--why", metavar="REASON", default="", help="Why, which the record keeps (needed).")
@event_options
def correct_command(desk: Desk, name: str, values: tuple[str, ...], why: str) -> None:
    """Correct what is known of somebody; what stood there before stays readable in `party show`.

    \b
    tirage party correct "Ada" name="Ada Byron" born=1815 --why "her full name"
    tirage party correct "Harbour Museum" kind=institution public=yes --why "a museum"
    """
    from catalog.cli.look_after import AssignmentError
    from catalog.records import party_corrections

    told = []
    with desk.writing() as work:
        party = parties.named(work.connection, name)
        work.event = work.event.noted(why, work.event.note)
        for value in values:
            field, equals, text = value.partition("=")
            if not equals or not field.strip():
                raise AssignmentError(value)
            was = party.name
            party, done = party_corrections.correct(work.connection, party, field, text, why)
            told.append((was, done))
    for was, done in told:
        desk.say(f"{was}: {done.field} was {quoted(done.before)}, is now {quoted(done.after)}.")
        if done.bearing:
            desk.warn(f"Mind: {', '.join(done.bearing)} bears the old name, and stays as issued.")


@command("reach", NAME)
@reach_options
@event_options
def reach_command(desk: Desk, name: str, **told: str | None) -> None:
    """Change how somebody is reached; "" takes a way away. What stood there before is gone for good.

    \b
    tirage party reach "Harbour Gallery" --mail desk@example.org
    """
    ways = {kind: text.strip() for kind, text in told.items() if text is not None}
    if not ways:
        raise click.UsageError("Missing a way to reach them: --address, --mail or --telephone, each with its text.")
    with desk.writing() as work:
        party = parties.named(work.connection, name)
        changed = parties.reach(work.connection, party.id, ways)
        known = parties.contacts(work.connection, party.id)
    now = ", ".join(f"{kind} {text}" for kind, text in known.items()) or "no way to reach them"
    desk.say(f"{party.name}: {now}{'' if changed else ', as before; nothing was changed'}.")


@command("forget", NAME)
@event_options
def forget_command(desk: Desk, name: str) -> None:
    """Empty a party's address, mail and telephone for good. The name stays: title needs it.

    No list brings them back afterwards, under any of its names; tirage party reach does.
    """
    with desk.writing() as work:
        party = parties.named(work.connection, name)
        count = parties.forget(work.connection, party.id)
    if not count:
        desk.say(f"Nothing was kept of how to reach {party.name}; nothing was changed.")
        return
    desk.say(f"{count} way{'' if count == 1 else 's'} to reach {party.name} {'is' if count == 1 else 'are'} forgotten.")


for _command in (
    add_command,
    list_command,
    show_command,
    correct_command,
    died_command,
    reach_command,
    forget_command,
):
    party_command.add_command(_command)
