"""Prices, what is unsold, and credit lines on the command line."""

import click

from catalog.cli.desk import Desk
from catalog.cli.options import EDITION, PRINTS, Operand, command, event_options, output_options
from catalog.dates import parse_date
from catalog.money import parse_money
from catalog.records import catalogs, edition_prices, editions, items
from catalog.rules import offers


@command("price", EDITION, Operand("price", "--price", "PRICE", "such as 900EUR", required=False))
@click.option("--from-sale", type=click.IntRange(1), metavar="N", help="From this sale of the edition on.")
@event_options
@output_options
def price_command(desk: Desk, code: str, price: str | None, from_sale: int | None) -> None:
    """Set an edition's price, or show all it ever had.

    Of the steps of a ladder the highest that a sale has reached is asked. A price without --from-sale is that of now;
    one with an earlier date is told late, and changes nothing that was set after it.

    \b
    tirage price e1 900EUR
    tirage price e1 1200EUR --from-sale 11    ten sold, and it rises
    tirage price e1
    """
    if price is None:
        if from_sale is not None:
            raise click.UsageError("Missing PRICE (or --price): such as 1200EUR, to go with --from-sale.")
        _show_prices(desk, code)
        return
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "edition")
        money = parse_money(price)
        step = from_sale or offers.rung_told(work.connection, thing.id, work.event.moment.earliest)
        edition_prices.set_price(work.connection, work.event, thing.id, money, step)
        now = offers.price_now(work.connection, thing.id)
        count = offers.sold(work.connection, thing.id)
        work.touch(thing)
    start = f" from sale {step} on" if step > 1 else ""
    asked = f"; now {now.text()}" if now and now != money else ""
    desk.say(f"{thing.code}: {money.text()}{start}{asked} ({count} sold).")


def _show_prices(desk: Desk, code: str) -> None:
    with desk.reading() as connection:
        thing = items.find_one(connection, code, "edition")
        found = edition_prices.prices(connection, thing.id)
        desk.show(
            [
                {"since": desk.date(one.since), "from sale": one.from_sale, "price": one.money.text(), "by": one.by}
                for one in found
            ],
            f"{thing.code} has no price yet. Set one: tirage price {thing.code} 900EUR",
        )
        now, coming = offers.price_now(connection, thing.id), offers.price_next(connection, thing.id)
        if now is not None and not desk.output:
            after = f"; {coming[1].text()} from sale {coming[0]}" if coming else ""
            desk.say(f"Now {now.text()}, {offers.sold(connection, thing.id)} sold{after}.")


@command("unsold", Operand("code", "--edition", "CODE", "of one edition, such as e1", required=False))
@output_options
def unsold_command(desk: Desk, code: str | None) -> None:
    """Show what can still be had: numbers, proofs and unique prints, where each is, until when, at what price.

    What is kept is not among it; nor are numbers of a lifetime edition that nobody gives after the artist's death.
    """
    with desk.reading() as connection:
        one = items.find_one(connection, code, "edition").id if code else None
        chosen = [editions.read(connection, one)] if one else editions.listed(connection)
        found = [line for edition in chosen for line in offers.unsold(connection, edition)]
        found += [] if one else offers.unsold_outside(connection)
        left = [(edition.code, offers.never_given(connection, edition)) for edition in chosen]
        artist = catalogs.artist(connection)
    whole = bool(desk.output)
    desk.show(
        [
            {
                "edition": lines[0].edition,
                "number": lines[0].number if len(lines) == 1 else f"{lines[0].number} to {lines[-1].number}",
                "print": lines[0].code,
                "standing": lines[0].standing,
                "where": lines[0].where,
                "until": desk.date(lines[0].until),
                "price": lines[0].price.text() if lines[0].price else "",
            }
            for lines in _runs(found, whole)
        ],
        "Nothing is unsold.",
    )
    for name, count in left:
        if count:
            numbers = "1 number was" if count == 1 else f"{count} numbers were"
            desk.warn(
                f"{name}: {numbers} never given, and {'is' if count == 1 else 'are'} given to nobody any more: "
                f"{artist.name} died {parse_date(artist.died).text()}."
            )


def _runs(found: list[offers.Unsold], whole: bool) -> list[list[offers.Unsold]]:
    """For a person, numbers beside each other that nothing holds share a line."""
    if whole:
        return [[one] for one in found]
    runs: list[list[offers.Unsold]] = []
    for one in found:
        before = runs[-1][-1] if runs else None
        if before is not None and _follows(before, one):
            runs[-1].append(one)
        else:
            runs.append([one])
    return runs


def _follows(before: offers.Unsold, one: offers.Unsold) -> bool:
    """Whether both are numbers of one edition that nobody was given, the second right after the first."""
    return (
        before.standing == one.standing == offers.NOT_GIVEN
        and before.edition == one.edition
        and _number(before) + 1 == _number(one)
    )


def _number(one: offers.Unsold) -> int:
    return int(one.number.partition("/")[0])


@command("caption", PRINTS)
@output_options
def caption_command(desk: Desk, **operands: str) -> None:
    """Give a ready credit line of prints, for a wall, a catalogue or a page. It asserts no right in the image."""
    from catalog.documents.caption import caption
    from catalog.documents.settings_file import units

    told_in = units(desk.folder)
    with desk.reading() as connection:
        found = [
            caption(connection, thing.id, told_in) for thing in items.find(connection, operands["prints"], "print")
        ]
    if desk.output:
        desk.show([{**vars(one), "caption": one.text()} for one in found])
        return
    for one in found:
        desk.say(one.text())
