"""Editions on the command line."""

import sqlite3
from typing import Any

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.edition_endings import cancel_command, close_command, erratum_command
from catalog.cli.list_numbers import find_listed
from catalog.cli.offers import price_command
from catalog.cli.options import EDITION, Operand, command, event_options, group, output_options
from catalog.errors import NotUnderstood
from catalog.measures import parse_size
from catalog.money import parse_money
from catalog.records import edition_prices, editions, items, negatives, papers, prints
from catalog.records.second_editions import SAME_SIZE
from catalog.rules.edition_map import edition_map
from catalog.rules.edition_words import state_word
from catalog.rules.proof_counts import advice
from catalog.vocabulary import NUMERALS, PROOF_KINDS
from catalog.whole_numbers import whole_number

edition_command = group("edition", "Editions: declare, price, show, list, erratum, close, cancel.")
LEVELS = {"note": "Note", "warning": "Mind", "strong warning": "Mind well"}
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
@click.option(
    "--numerals",
    type=click.Choice(NUMERALS),
    default="arabic",
    show_default=True,
    help="Of proofs: AP 2/5 or AP II/V.",
)
@click.option(
    "--disclose",
    metavar="SENTENCE",
    default="",
    help="For a second edition of one size and process: printed with both.",
)
@click.option("--estate", is_flag=True, help="Of the estate, after the death.")
@event_options
def declare_command(desk: Desk, negative: str, size: str, **asked: Any) -> None:
    """Declare an edition of a negative.

    \b
    tirage edition declare n1 25 --ap 3 --pp 1 --sheet 24x30cm --paper warm12 --price 900EUR
    tirage edition declare n2 open --like 14
    tirage edition declare n1 10 --ap 5 --numerals roman --image 30x40cm --process "albumen print"
    """
    number = _number(size)
    with desk.writing() as work:
        of = items.find_one(work.connection, negative, "negative")
        thing = _declare(work, of, number, asked)
        if asked["price"]:
            edition_prices.set_price(work.connection, work.event, thing.id, parse_money(asked["price"]))
        work.touch(thing)
        others = [e.code for e in editions.listed(work.connection, of.id) if e.id != thing.id]
        made, plate = editions.read(work.connection, thing.id), negatives.read(work.connection, of.id)
        statement = editions.statement(work.connection, made)
        many = advice(number, editions.proofs(work.connection, thing.id))
    desk.say(f"{thing.code} “{made.title}” of {of.code}: {statement}; {made.process}.")
    if others:
        desk.warn(
            f"Mind: {of.code} has other editions: {', '.join(others)}. Every paper of either must say so; "
            f"certificates issued before do not."
        )
    if _is_larger(made, plate) and "contact" in made.process.casefold():
        desk.warn(
            f"Mind: {of.code} is smaller than that image, and a contact print is as large as its plate. Where it is "
            f"enlarged, say so: tirage correct {thing.code} process='gelatin silver enlargement' --why REASON."
        )
    if many:
        desk.warn(f"{LEVELS[many.level]}: {many.sentence}")


def _is_larger(made: editions.Edition, plate: negatives.Negative) -> bool:
    """Whether an image is larger than its plate on either side, beyond what is measured roughly."""
    sides = ((made.image_height, plate.height), (made.image_width, plate.width))
    return any(image and glass and image > glass + SAME_SIZE for image, glass in sides)


def _number(size: str) -> int | None:
    """The declared size, None for an open edition."""
    number = whole_number(size)
    if number is None and size.lower() != "open":
        raise NotUnderstood("the size of an edition", size, "a whole number such as 25, or “open”")
    return number


def _declare(work: Work, of: items.Coded, size: int | None, asked: dict[str, Any]) -> items.Coded:
    """Declare what was typed; what was not comes from the chosen work print, else from the negative."""
    plate = negatives.read(work.connection, of.id)
    image = parse_size(asked["image"]) if asked["image"] else None
    sheet = parse_size(asked["sheet"]) if asked["sheet"] else None
    words = _paper_words(work.connection, asked["paper"]) if asked["paper"] else ""
    toned = asked["toning"]
    if asked["like"]:
        chosen = prints.read(work.connection, items.find_one(work.connection, asked["like"], "print").id)
        image = image or prints.image_size(work.connection, chosen)
        sheet = sheet or prints.sheet_size(work.connection, chosen)
        words = words or (papers.read(work.connection, chosen.paper).description if chosen.paper else "")
        toned = toned or _toning(work.connection, chosen.id)
    enlarged = "enlarge" in asked["process"].casefold()  # else as large as its plate, where nothing else is told
    contact = (plate.height, plate.width) if plate.height and plate.width and not enlarged else None
    return editions.declare(
        work.connection,
        work.event,
        of.id,
        asked["title"] or plate.title,
        size,
        {kind: count for kind in PROOF_KINDS if (count := asked[kind.lower()])},
        own_code=asked["code"],
        image=image or contact,
        sheet=sheet,
        process=asked["process"],
        paper=words,
        toning=toned,
        estate=asked["estate"],
        numerals=asked["numerals"],
        disclosure=asked["disclose"],
    )


@command("show", EDITION)
@output_options
def show_command(desk: Desk, code: str) -> None:
    """Show an edition with the map of its numbers, what was given out, its price, and what is printed with it."""
    from catalog.cli import edition_show

    with desk.reading() as connection:
        one = editions.read(connection, find_listed(desk, connection, code, "edition").id)
        if desk.output == "json":
            desk.show([edition_show.record(connection, one)])
        elif desk.output == "csv":
            desk.show(edition_show.rows(edition_map(connection, one)))
        else:
            desk.say(edition_show.text(connection, one))


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
                    "state": e.state if desk.output else state_word(e.state),
                    "estate": "yes" if e.estate else "",
                }
                for e in editions.listed(connection, of)
            ],
            "No edition yet.",
        )


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


for _command in (
    declare_command,
    show_command,
    list_command,
    price_command,
    erratum_command,
    close_command,
    cancel_command,
):
    edition_command.add_command(_command)
