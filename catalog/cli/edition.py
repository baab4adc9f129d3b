"""Editions on the command line."""

import sqlite3
from itertools import groupby

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.measures import format_size, parse_size
from catalog.money import parse_money
from catalog.records import editions, items, negatives, papers, prints
from catalog.rules.edition_map import Cell, edition_map
from catalog.vocabulary import PROOF_KINDS

edition_command = group("edition", "Editions: declare, price, show, list, close.")
CODE = Operand("code", "--edition", "CODE", "an edition, such as e1")
DEFAULT_PROCESS = "gelatin silver contact print"


@command(
    "declare",
    Operand("negative", "--negative", "CODE", "the negative, such as n1"),
    Operand("size", "--size", "NUMBER", "how many numbered prints, or “open”"),
)
@click.option("--code", metavar="CODE", help="A code of your own instead of the next E-number.")
@click.option("--title", metavar="TITLE", default="", help="If other than the negative's.")
@click.option("--ap", type=click.IntRange(1), metavar="N", help="Artist's proofs.")
@click.option("--pp", type=click.IntRange(1), metavar="N", help="Printer's proofs.")
@click.option("--hc", type=click.IntRange(1), metavar="N", help="Hors-commerce proofs.")
@click.option("--bat", type=click.IntRange(1), metavar="N", help="Bon à tirer, usually 1.")
@click.option("--ec", type=click.IntRange(1), metavar="N", help="Exhibition copies.")
@click.option("--cp", type=click.IntRange(1), metavar="N", help="Cancellation proofs.")
@click.option("--image", metavar="SIZE", default="", help="Height x width of the image (default: the negative's).")
@click.option("--sheet", metavar="SIZE", default="", help="Height x width of the sheet.")
@click.option("--process", metavar="TEXT", default=DEFAULT_PROCESS, show_default=True, help="Of the prints.")
@click.option("--paper", metavar="NAME", default="", help="Intended paper: a paper's name, or words.")
@click.option("--toning", metavar="TEXT", default="", help="Intended toning.")
@click.option("--like", metavar="PRINT", default="", help="Take size, paper and toning from the chosen work print.")
@click.option("--price", metavar="PRICE", default="", help="Such as 900EUR.")
@click.option("--estate", is_flag=True, help="Printed and authorised by the estate.")
@event_options
def declare_command(
    desk: Desk,
    negative: str,
    size: str,
    code: str | None,
    title: str,
    image: str,
    sheet: str,
    process: str,
    paper: str,
    toning: str,
    like: str,
    price: str,
    estate: bool,
    **counts: int | None,
) -> None:
    """Declare an edition of a negative.

    \b
    tirage edition declare n1 25 --ap 3 --pp 1 --sheet 24x30cm --paper warm12 --price 900EUR
    tirage edition declare n2 open --like 14
    """
    if size.lower() != "open" and not size.isdigit():
        raise NotUnderstood("the size of an edition", size, "a whole number such as 25, or “open”")
    with desk.writing() as work:
        of = items.find_one(work.connection, negative, "negative")
        plate = negatives.read(work.connection, of.id)
        sizes = (parse_size(image) if image else None, parse_size(sheet) if sheet else None)
        words = _paper_words(work.connection, paper) if paper else ""
        if like:
            chosen = prints.read(work.connection, items.find_one(work.connection, like, "print").id)
            sizes = (
                sizes[0] or prints.image_size(work.connection, chosen),
                sizes[1] or prints.sheet_size(work.connection, chosen),
            )
            words = words or (papers.read(work.connection, chosen.paper).description if chosen.paper else "")
            toning = toning or _toning(work.connection, chosen.id)
        contact = (plate.height, plate.width) if plate.height and plate.width else None
        thing = editions.declare(
            work.connection,
            work.event,
            of.id,
            title or plate.title,
            None if size.lower() == "open" else int(size),
            {kind: count for kind in PROOF_KINDS if (count := counts[kind.lower()])},
            own_code=code,
            image=sizes[0] or contact,
            sheet=sizes[1],
            process=process,
            paper=words,
            toning=toning,
            estate=estate,
        )
        if price:
            editions.set_price(work.connection, work.event, thing.id, parse_money(price))
        work.touch(thing)
        others = [e.code for e in editions.listed(work.connection, of.id) if e.id != thing.id]
        statement = editions.statement(work.connection, editions.read(work.connection, thing.id))
    desk.say(f"{thing.code} “{title or plate.title}” of {of.code}: {statement}.")
    if others:
        desk.warn(
            f"Mind: {of.code} has other editions: {', '.join(others)}. Every paper of either must say so; "
            f"certificates issued before do not."
        )


@command("show", CODE)
@output_options
def show_command(desk: Desk, code: str) -> None:
    """Show an edition with the map of its numbers."""
    with desk.reading() as connection:
        thing = items.find_one(connection, code, "edition")
        one = editions.read(connection, thing.id)
        cells = edition_map(connection, one)
        if desk.output:
            desk.show([{"number": c.label, "standing": c.standing, "print": c.code} for c in cells])
            return
        waiting = [p.code for p in prints.listed(connection, edition=one.id, kind="undesignated", state="living")]
        desk.say(
            facts(
                [
                    ("code", one.code),
                    ("title", one.title),
                    ("negative", items.code_of(connection, one.negative)),
                    ("edition", editions.statement(connection, one)),
                    ("state", one.state),
                    ("declared", parse_date(one.declared).text()),
                    (
                        "image",
                        format_size(one.image_height, one.image_width) if one.image_height and one.image_width else "",
                    ),
                    (
                        "sheet",
                        format_size(one.sheet_height, one.sheet_width) if one.sheet_height and one.sheet_width else "",
                    ),
                    ("process", one.process),
                    ("paper", one.paper),
                    ("toning", one.toning),
                    ("price", "; ".join(price.text() for price in editions.prices(connection, one.id)[-3:])),
                    ("to be signed", items.shorten(waiting)),
                    ("note", one.note),
                    ("public", "shown" if one.shown else "not shown"),
                ]
            )
        )
        if cells:
            desk.say("Map")
        for line in _map_lines(cells):
            desk.say(line)
        free = sum(cell.standing == "free" for cell in cells if cell.kind == "numbered")
        if one.size:
            desk.say(f"  {free} of {one.closed_at or one.size} numbers free")


@command("list", Operand("negative", "--negative", "CODE", "of one negative", required=False))
@output_options
def list_command(desk: Desk, negative: str | None) -> None:
    """List editions."""
    with desk.reading() as connection:
        of = items.find_one(connection, negative, "negative").id if negative else None
        desk.show(
            [
                {
                    "code": e.code,
                    "negative": items.code_of(connection, e.negative),
                    "title": e.title,
                    "edition": editions.statement(connection, e),
                    "state": e.state,
                }
                for e in editions.listed(connection, of)
            ],
            "No edition yet.",
        )


@command("close", CODE)
@click.option("--at-number", type=click.IntRange(1), metavar="N", help="Highest number (default: the highest given).")
@event_options
def close_command(desk: Desk, code: str, at_number: int | None) -> None:
    """Close an edition: complete when its numbers are given, else early. It never opens again."""
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "edition")
        one = editions.read(work.connection, thing.id)
        at = editions.close(work.connection, one, at_number)
        work.touch(thing)
    desk.say(f"{one.code} is closed" + (f" at number {at} of {one.size} declared." if at else "."))


@command("price", CODE, Operand("price", "--price", "PRICE", "such as 900EUR"))
@click.option("--from-sale", type=click.IntRange(1), default=1, metavar="N", help="From this sale of the edition on.")
@event_options
def price_command(desk: Desk, code: str, price: str, from_sale: int) -> None:
    """Set an edition's price; earlier prices stay readable."""
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "edition")
        money = parse_money(price)
        editions.set_price(work.connection, work.event, thing.id, money, from_sale)
        work.touch(thing)
    desk.say(f"{thing.code}: {money.text()}" + (f" from sale {from_sale} on." if from_sale > 1 else "."))


def _map_lines(cells: list[Cell]) -> list[str]:
    """A line a number; neighbours that nothing holds share one."""
    lines = []
    for (_, standing, code), run in groupby(cells, key=lambda cell: (cell.kind, cell.standing, cell.code)):
        labels = [cell.label for cell in run]
        label = labels[0] if len(labels) == 1 else f"{labels[0]} to {labels[-1]}"
        lines.append(f"  {label:<16} {standing:<10} {code}".rstrip())
    return lines


def _paper_words(connection: sqlite3.Connection, name: str) -> str:
    try:
        return papers.named(connection, name).description
    except papers.UnknownPaperError:
        if " " in name:
            return name  # described in words
        raise


def _toning(connection: sqlite3.Connection, identity: int) -> str:
    from catalog.rules.toning import toning

    return toning(connection, identity)


for _command in (declare_command, show_command, list_command, close_command):
    edition_command.add_command(_command)
edition_command.add_command(price_command)
