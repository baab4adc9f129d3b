"""Selling, giving and being paid on the command line."""

import sqlite3
from types import ModuleType
from typing import NamedTuple

import click

from catalog.cli.dealings import ANYWAY, FROM, THINGS, TO, Told, gap_words, tell_place, told_options
from catalog.cli.desk import Desk, Work
from catalog.cli.hands import Hands, Typed, hands
from catalog.cli.options import Operand, command, event_options, output_options
from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.money import Money, parse_money
from catalog.records import editions, items, parties, prints, transfers
from catalog.records.items import Coded
from catalog.records.transfers import Transfer


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
    typed = Typed(operands["items"], to, giver, told, anyway)
    if typed.later and (paid or certificate):
        raise NotUnderstood("a later sale", "--paid or --certificate", "those with sales by the studio only")
    keys = _papers().unlocked(desk, typed.items) if certificate else None
    with desk.writing() as work:
        sold = hands(work, typed, "collector", ("print",) if certificate else ("print", "negative"), sound=True)
        sales = [_sell(work, sold, thing, asked, paid) for thing in sold.things]
        sold.settle(work)
        issued = _papers().issue(desk, work, sold.things, anyway, keys=keys) if certificate else []
    for sale in sales:
        desk.say(sale.sentence)
    if any(sale.unpriced for sale in sales):
        desk.warn("No price was given, and none is set; it can be told with --price 900EUR.")
    sold.tell(desk, [sale.transfer for sale in sales])
    if issued and not desk.quiet:
        for one, path in zip(issued, _papers().draw(desk, [one.id for one in issued], keys=keys), strict=True):
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
@ANYWAY
@event_options
def give_command(
    desk: Desk, to: str, bequest: bool, exchange: str, giver: str, anyway: str, told: Told, **operands: str
) -> None:
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
            work.event = work.event.noted(f"in exchange for {exchange}", work.event.note)
        given = hands(work, Typed(operands["items"], to, giver, told, anyway), "collector")
        done = [
            transfers.give(
                work.connection, work.event, thing, given.side.party.id, kind, giver=given.giver, said=given.said
            )
            for thing in given.things
        ]
        given.settle(work)
        by = given.by(work, done)
        living = _living(work.connection, done[0]) if bequest else ""
        gap = gap_words(work.connection, given.things[0], done[0]) if giver else ""
    word = {"gift": "given to", "bequest": "left to", "exchange": "exchanged with"}[kind]
    desk.say(f"{items.shorten(given.things)} {word} {given.side.party.name}{by}.{gap}")
    if living:
        desk.warn(living)
    given.tell(desk, done)


@command("owed", Operand("party", "--party", "NAME", "by whom, else by all", required=False))
@output_options
def owed_command(desk: Desk, party: str | None) -> None:
    """What is owed for what was sold: the price less the commission, by whom, since when."""
    from catalog.records.transfers.commission import per_cent
    from catalog.rules.consignments import owed, totals

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


class Sale(NamedTuple):
    """One sale as it was entered, what is told of it, and whether it has no price though it should have one."""

    transfer: Transfer
    sentence: str
    unpriced: bool


def _papers() -> ModuleType:
    """The commands of certificates, which load what signs."""
    from catalog.cli import certificate

    return certificate


def _living(connection: sqlite3.Connection, left: Transfer) -> str:
    """A sentence where nothing records that who left a thing by will had died by then."""
    reason = transfers.living_then(connection, left.from_party, left.moment) if left.from_party is not None else ""
    return f"Mind: a bequest, while {reason}. A death is recorded with: tirage party died NAME DATE" if reason else ""


def _sell(work: Work, sold: Hands, thing: Coded, asked: Money | None, paid: bool) -> Sale:
    """Sell one thing at the price asked, or where none was at its price now, and take the payment if it was paid."""
    known = not sold.typed.later and sold.side.party.name != parties.UNKNOWN
    money, basis = _price_of(work, thing) if known and not asked else (asked, "")
    sale = transfers.sell(
        work.connection, work.event, thing, sold.side.party.id, money, giver=sold.giver, said=sold.said
    )
    if paid:
        transfers.pay(work.connection, work.event, thing)
    price = f" for {money.text()}{basis}" if money else ""
    if sold.typed.later:
        end = f"{price}.{gap_words(work.connection, thing, sale)}"
    elif paid:
        end = f"{price}."
    else:
        end = f"{price}{', not paid yet' if sale.title else '; title passes when it is paid'}."
    said = f"{thing.code} sold{sold.by(work, [sale])} to {sold.side.party.name}{end}"
    return Sale(sale, said, known and sale.price is None)


def _price_of(work: Work, thing: Coded) -> tuple[Money | None, str]:
    """The price of a thing where none was typed: of its consignment, else of its edition that day; and whose it is."""
    from catalog.rules.consignments import retail_price
    from catalog.rules.offers import price_now

    connection, day = work.connection, work.event.moment
    retail = retail_price(connection, thing.id)
    if retail:
        return retail, " (the retail price of its consignment)"
    one = prints.read(connection, thing.id) if thing.kind == "print" else None
    if one is None or one.edition is None or one.kind not in ("numbered", "open"):
        return None, ""
    edition = editions.read(connection, one.edition)
    past = bool(day.latest) and day.latest < work.now.date().isoformat()
    price = price_now(connection, edition.id, day.latest if past else "")
    return price, f" (the price of {edition.code} {f'as of {day.text()}' if past else 'now'})" if price else ""
