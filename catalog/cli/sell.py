"""Promising, consigning, lending, selling and giving on the command line."""

import click

from catalog import codes as typed
from catalog.cli.desk import Desk
from catalog.cli.options import ITEMS, PRINTS, Operand, command, event_options
from catalog.cli.sign import note_anyway, stop_at_doubt, stop_at_unsigned, tell_unrecorded
from catalog.dates import Date, parse_date
from catalog.errors import NotUnderstood
from catalog.money import Money, parse_money
from catalog.records import editions, items, parties, transfers

TO = Operand("to", "--to", "NAME", "the other side, in quotes")
ANYWAY = click.option("--anyway", metavar="REASON", default="", help="In spite of a failed test or a missing wash.")
THEIRS = click.option("--their-number", metavar="TEXT", default="", help="The other side's own number.")


@command(
    "promise",
    Operand("number", "--number", "E1:4", "a number of an edition, such as e1:4 or e1:ap1"),
    Operand("to", "--to", "NAME", "who it is held for", required=False),
)
@click.option("--until", "--by-date", metavar="DATE", default="", help="Until when.")
@click.option("--withdraw", is_flag=True, help="Give the number free again.")
@event_options
def promise_command(desk: Desk, number: str, to: str | None, until: str, withdraw: bool) -> None:
    """Hold a number for someone, before or after it is printed; it is skipped when numbers are handed out."""
    wanted = typed.holder(number)
    if wanted is None or (not withdraw and not to):
        raise NotUnderstood("a promise", number, "e1:4 --to NAME, or e1:4 --withdraw")
    with desk.writing() as work:
        thing = items.find_one(work.connection, wanted.edition, "edition")
        edition = editions.read(work.connection, thing.id)
        if withdraw:
            editions.withdraw(work.connection, edition, wanted.kind, wanted.number)
        else:
            assert to is not None
            if until and parse_date(until).latest < work.event.moment.earliest:
                raise NotUnderstood("until when", until, "a date that is still to come")
            party, _ = parties.named_or_added(work.connection, to, "collector")
            editions.reserve(
                work.connection,
                work.event,
                edition,
                wanted.kind,
                wanted.number,
                party.id,
                _date(until) if until else ("", ""),
            )
        work.touch(thing)
    desk.say(
        f"{number} is free again."
        if withdraw
        else f"{number} is held for {party.name}" + (f" until {parse_date(until).text()}." if until else ".")
    )


@command("consign", PRINTS, TO)
@click.option("--until", metavar="DATE", default="", help="When it ends.")
@click.option("--commission", metavar="PERCENT", default="", help="Such as 40 or 40%.")
@click.option("--price", metavar="PRICE", default="", help="Retail price of each, such as 900EUR.")
@THEIRS
@ANYWAY
@event_options
def consign_command(
    desk: Desk, to: str, until: str, commission: str, price: str, their_number: str, anyway: str, **operands: str
) -> None:
    """Hand prints to a gallery to sell. Title stays with the artist until they are sold and paid.

    \b
    tirage consign 4-6 "Gallery Example" --until 2027-03 --commission 40
    """
    share = _commission(commission) if commission else None
    _hand_out(
        desk,
        "consignment",
        operands["prints"],
        to,
        "gallery",
        until,
        share,
        parse_money(price) if price else None,
        their_number,
        anyway,
    )


@command("lend", ITEMS, TO)
@click.option("--until", metavar="DATE", default="", help="When it ends.")
@THEIRS
@event_options
def lend_command(desk: Desk, to: str, until: str, their_number: str, **operands: str) -> None:
    """Lend prints or plates."""
    _hand_out(desk, "loan", operands["items"], to, "institution", until, None, None, their_number, "told")


@command("return", ITEMS)
@event_options
def return_command(desk: Desk, **operands: str) -> None:
    """Record what came back to the studio; it is then not yet placed."""
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", "negative")
        for thing in things:
            transfers.give_back(work.connection, work.event, thing)
        work.touch(things)
    desk.say(f"{items.shorten(things)} back in the studio, not yet placed. Next: tirage move last PLACE")


@command("sell", PRINTS, TO, Operand("price", "--price", "PRICE", "of each, such as 900EUR", required=False))
@click.option("--paid", is_flag=True, help="Paid at once.")
@click.option("--certificate", is_flag=True, help="Issue the certificate too.")
@THEIRS
@ANYWAY
@event_options
def sell_command(
    desk: Desk,
    to: str,
    price: str | None,
    paid: bool,
    certificate: bool,
    their_number: str,
    anyway: str,
    **operands: str,
) -> None:
    """Sell prints. Of a consigned print the title passes when it is paid.

    \b
    tirage sell 3 "A. Collector" 900EUR --certificate
    """
    if price is None:
        desk.warn("No price was given; it can be told with --price 900EUR.")
    money = parse_money(price) if price else None
    if certificate:
        from catalog.cli import certificate as papers
    with desk.writing() as work:
        things = items.find(work.connection, operands["prints"], "print")
        bare = stop_at_doubt(work.connection, things, anyway)
        stop_at_unsigned(work.connection, things, anyway)
        note_anyway(work, anyway)
        party, added = parties.named_or_added(work.connection, to, "collector")
        said = []
        for thing in things:
            sale = transfers.sell(work.connection, work.event, thing, party.id, money, their_number)
            if paid:
                transfers.pay(work.connection, work.event, thing)
            unpaid = "" if paid else (", not paid yet" if sale.title else "; title passes when it is paid")
            said.append(f"{thing.code} sold to {party.name}" + (f" for {money.text()}" if money else "") + unpaid + ".")
        issued = papers.issue(desk, work, things, anyway) if certificate else []
        work.touch(things)
    for line in said:
        desk.say(line)
    tell_unrecorded(desk, bare)
    if added:
        desk.say(f"{party.name} was added, private. More: tirage party show “{party.name}”")
    if issued and not desk.quiet:
        for one, path in zip(issued, papers.draw(desk, [one.id for one in issued]), strict=True):
            desk.say(
                f"{one.code} issued for {one.print_code}: {path.relative_to(desk.folder).as_posix()}. "
                f"Print it and sign it in ink."
            )


@command("paid", PRINTS)
@event_options
def paid_command(desk: Desk, **operands: str) -> None:
    """Record that sold prints were paid."""
    with desk.writing() as work:
        things = items.find(work.connection, operands["prints"], "print")
        done = [transfers.pay(work.connection, work.event, thing) for thing in things]
        work.touch(things)
    for thing, payment in zip(things, done, strict=True):
        desk.say(f"{thing.code} is paid" + ("; title has passed." if payment.title else "."))


@command("give", ITEMS, TO)
@event_options
def give_command(desk: Desk, to: str, **operands: str) -> None:
    """Give prints or plates away; title and custody pass."""
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", "negative")
        party, _ = parties.named_or_added(work.connection, to, "collector")
        for thing in things:
            transfers.give(work.connection, work.event, thing, party.id)
        work.touch(things)
    desk.say(f"{items.shorten(things)} given to {party.name}.")


def _hand_out(
    desk: Desk,
    kind: str,
    codes: str,
    to: str,
    party_kind: str,
    until: str,
    commission: int | None,
    price: Money | None,
    their_number: str,
    anyway: str,
) -> None:
    with desk.writing() as work:
        things = items.find(work.connection, codes, "print", *(["negative"] if kind == "loan" else []))
        if kind == "consignment":
            stop_at_doubt(work.connection, things, anyway)
            stop_at_unsigned(work.connection, things, anyway)
            note_anyway(work, anyway)
        party, _ = parties.named_or_added(work.connection, to, party_kind)
        for thing in things:
            transfers.hand_out(
                work.connection,
                work.event,
                thing,
                kind,
                party.id,
                until=parse_date(until) if until else None,
                commission=commission,
                value=price,
                their_number=their_number,
            )
        work.touch(things)
    word = "consigned" if kind == "consignment" else "lent"
    desk.say(
        f"{items.shorten(things)} {word} to {party.name}" + (f" until {parse_date(until).text()}." if until else ".")
    )


def _commission(text: str) -> int:
    number = text.strip().removesuffix("%").strip()
    whole, _, part = number.partition(".")
    if not whole.isdigit() or (part and not part.isdigit()) or len(part) > 2 or int(whole) > 100:
        raise NotUnderstood("a commission", text, "per cent from 0 to 100, such as 40 or 33.5")
    return int(whole) * 100 + int((part + "00")[:2])


def _date(text: str) -> tuple[str, str]:
    date: Date = parse_date(text)
    return date.edtf, date.latest
