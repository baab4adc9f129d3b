"""Promising, selling, giving and being paid on the command line."""

import sqlite3

import click

from catalog import codes as typed
from catalog.cli.dealings import (
    ANYWAY,
    FROM,
    THINGS,
    TO,
    Told,
    gap_words,
    giver_of,
    other_side,
    tell_place,
    told_options,
)
from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, output_options
from catalog.cli.sign import note_anyway, stop_at_doubt, stop_at_unsigned, tell_unrecorded
from catalog.dates import Date, parse_date
from catalog.errors import NotUnderstood
from catalog.money import Money, parse_money
from catalog.records import editions, items, parties, prints, promises, transfers
from catalog.records.items import Coded
from catalog.records.transfers.record import name_of

PROMISED_TO = Operand("to", "--to", "NAME", "who it is held for", required=False)


@command(
    "promise",
    Operand("number", "--number", "E1:4", "a number of an edition, such as e1:4 or e1:ap1"),
    PROMISED_TO,
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
            promises.withdraw(work.connection, edition, wanted.kind, wanted.number)
        else:
            assert to is not None
            if until and parse_date(until).latest < work.event.moment.earliest:
                raise NotUnderstood("until when", until, "a date that is still to come")
            party, _ = parties.named_or_added(work.connection, to, "collector")
            promises.reserve(
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


@command("sell", THINGS, TO, Operand("price", "--price", "PRICE", "of each, such as 900EUR", required=False))
@click.option("--paid", is_flag=True, help="Paid at once.")
@click.option("--certificate", is_flag=True, help="Issue the certificate too.")
@FROM
@told_options
@ANYWAY
@event_options
def sell_command(
    desk: Desk,
    to: str,
    price: str | None,
    paid: bool,
    certificate: bool,
    giver: str,
    anyway: str,
    told: Told,
    **operands: str,
) -> None:
    """Sell prints or plates. Of what is consigned the title passes when it is paid.

    \b
    tirage sell 3 "A. Collector" 900EUR --certificate
    tirage sell 3 "A. Collector"                       at the price of its edition now
    tirage sell 3 "C. Later" --from "A. Collector" --on 2031    a later sale
    """
    asked = parse_money(price) if price else None
    if giver and (paid or certificate):
        raise NotUnderstood("a later sale", "--paid or --certificate", "those with sales by the studio only")
    if certificate:
        from catalog.cli import certificate as papers

        keys = papers.unlocked(desk, operands["items"])
    bare: list[Coded] = []
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", *([] if certificate else ["negative"]))
        if not giver:
            sheets = [thing for thing in things if thing.kind == "print"]
            bare = stop_at_doubt(work.connection, sheets, anyway)
            stop_at_unsigned(work.connection, sheets, anyway)
            note_anyway(work, anyway)
        side = other_side(work.connection, to, "collector")
        known = not giver and side.party.name != parties.UNKNOWN
        said, done = [], []
        for thing in things:
            money, basis = _price_of(work.connection, thing) if known and not asked else (asked, "")
            sale = transfers.sell(
                work.connection,
                work.event,
                thing,
                side.party.id,
                money,
                giver=giver_of(work.connection, giver),
                said=told.said(work.connection, side),
            )
            if paid:
                transfers.pay(work.connection, work.event, thing)
            done.append(sale)
            said.append(_sold(work.connection, thing, sale, money, basis, bool(giver), paid))
        issued = papers.issue(desk, work, things, anyway, keys=keys) if certificate else []
        work.touch(things)
    for line in said:
        desk.say(line)
    if known and any(sale.price is None for sale in done):
        desk.warn("No price was given, and none is set; it can be told with --price 900EUR.")
    tell_unrecorded(desk, bare)
    tell_place(desk, done)
    side.tell(desk)
    if issued and not desk.quiet:
        for one, path in zip(issued, papers.draw(desk, [one.id for one in issued], keys=keys), strict=True):
            desk.say(
                f"{one.code} issued for {one.print_code}: {path.relative_to(desk.folder).as_posix()}. "
                f"Print it and sign it in ink."
            )


@command("paid", THINGS)
@event_options
def paid_command(desk: Desk, **operands: str) -> None:
    """Record that what was sold was paid."""
    with desk.writing() as work:
        things = items.find(work.connection, operands["items"], "print", "negative")
        done = [transfers.pay(work.connection, work.event, thing) for thing in things]
        work.touch(things)
    for thing, payment in zip(things, done, strict=True):
        desk.say(f"{thing.code} is paid" + ("; title has passed." if payment.title else "."))
    tell_place(desk, done)


@command("give", THINGS, TO)
@click.option("--bequest", is_flag=True, help="Left by will.")
@click.option("--exchange", metavar="FOR WHAT", default="", help="Given in exchange for something (private).")
@FROM
@told_options
@event_options
def give_command(desk: Desk, to: str, bequest: bool, exchange: str, giver: str, told: Told, **operands: str) -> None:
    """Give prints or plates away, leave them by will or exchange them; title and custody pass.

    \b
    tirage give 3 "Museum Example" --bequest
    tirage give 4 "B. Friend" --exchange "a salt print of hers"
    """
    if bequest and exchange:
        raise NotUnderstood("one change of hands", "--bequest --exchange", "one of the two")
    kind = "bequest" if bequest else "exchange" if exchange else "gift"
    with desk.writing() as work:
        if exchange:
            from dataclasses import replace

            note = "; ".join(part for part in (f"in exchange for {exchange}", work.event.note) if part)
            work.event = replace(work.event, note=note)
        things = items.find(work.connection, operands["items"], "print", "negative")
        side = other_side(work.connection, to, "collector")
        done = [
            transfers.give(
                work.connection,
                work.event,
                thing,
                side.party.id,
                kind,
                giver=giver_of(work.connection, giver),
                said=told.said(work.connection, side),
            )
            for thing in things
        ]
        work.touch(things)
        by = f" by {name_of(work.connection, done[0].from_party)}" if giver else ""
        gap = gap_words(work.connection, things[0], done[0]) if giver else ""
    word = {"gift": "given to", "bequest": "left to", "exchange": "exchanged with"}[kind]
    desk.say(f"{items.shorten(things)} {word} {side.party.name}{by}.{gap}")
    side.tell(desk)
    tell_place(desk, done)


@command("owed", Operand("party", "--party", "NAME", "by whom, else by all", required=False))
@output_options
def owed_command(desk: Desk, party: str | None) -> None:
    """What is owed for what was sold: the price less the commission, by whom, since when."""
    from catalog.rules.consignments import owed, per_cent, totals

    with desk.reading() as connection:
        found = list(owed(connection, parties.named(connection, party).id if party else None))
    desk.show(
        [
            {
                "by": one.name,
                "code": one.code,
                "sold to": one.buyer,
                "since": one.since if desk.output else parse_date(one.since).text(),
                "price": one.price.text() if one.price else "",
                "commission": per_cent(one.commission),
                "owed": one.amount.text() if one.amount else "price not recorded",
            }
            for one in sorted(found, key=lambda one: (one.name, one.item))
        ],
        empty="Nothing is owed.",
    )
    if found and not desk.output:
        desk.say(f"In all: {' and '.join(total.text() for total in totals(found)) or 'not known'}.")


def _price_of(connection: sqlite3.Connection, thing: Coded) -> tuple[Money | None, str]:
    """The price of a thing where none was typed: of its consignment, else of its edition now; and whose it is."""
    from catalog.rules.consignments import retail_price
    from catalog.rules.offers import price_now

    retail = retail_price(connection, thing.id)
    if retail:
        return retail, " (the retail price of its consignment)"
    one = prints.read(connection, thing.id) if thing.kind == "print" else None
    if one is None or one.edition is None or one.kind not in ("numbered", "open"):
        return None, ""
    edition = editions.read(connection, one.edition)
    now = price_now(connection, edition.id)
    return now, f" (the price of {edition.code} now)" if now else ""


def _sold(
    connection: sqlite3.Connection,
    thing: Coded,
    sale: transfers.Transfer,
    money: Money | None,
    basis: str,
    later: bool,
    paid: bool,
) -> str:
    by = f" by {name_of(connection, sale.from_party)}" if later else ""
    price = f" for {money.text()}{basis}" if money else ""
    waits = "" if paid or later else (", not paid yet" if sale.title else "; title passes when it is paid")
    return f"{thing.code} sold{by} to {name_of(connection, sale.to_party)}{price}{waits}." + (
        gap_words(connection, thing, sale) if later else ""
    )


def _date(text: str) -> tuple[str, str]:
    date: Date = parse_date(text)
    return date.edtf, date.latest
