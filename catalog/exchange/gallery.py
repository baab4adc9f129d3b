"""A gallery's list: the works that can be had, one a row, with nothing in it but what may leave the studio."""

import sqlite3
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.exchange import cells
from catalog.exchange.own_lists import GALLERY
from catalog.measures import format_size
from catalog.money import Money, decimals_of
from catalog.records import catalogs, editions, items, negatives, papers, pictures, prints
from catalog.records.steps import history
from catalog.rules import offers
from catalog.rules.evidence import evidence_many
from catalog.rules.print_dates import print_dates
from catalog.rules.toning import toned_of

# Spreadsheets take a CSV file without it for one in an old encoding of the machine, and spoil every accent.
BYTE_ORDER_MARK = "\ufeff"
MICROMETRES = 25_400  # in an inch
IN_STUDIO, ELSEWHERE, TO_PRINT = "in the studio", "at present elsewhere", "to be printed"
OUT_OF_HOUSE = ("consigned", "lent", "elsewhere")
NOT_FOR_TRADE = ("PP", "HC", "BAT", "EC", "CP")  # common practice, no source: of proofs, artist's proofs are offered
Row = tuple[object, ...]


class GalleryList(NamedTuple):
    """The list as CSV text with its byte order mark, how many rows it has, and the prints that were left out."""

    text: str
    rows: int
    left_out: list[str]


def gallery_list(connection: sqlite3.Connection, chosen: Sequence[editions.Edition], *, unique: bool) -> GalleryList:
    """The works that can be had of these editions, and with `unique` of the prints outside every edition.

    What is promised to somebody is not among it, nor proofs that are not for trade, nor what would be stopped at a sale
    (a failed test, no wash). Where a thing is, and what another gallery asks for it, is not told: a price is the
    edition's own, as it is asked now.
    """
    free = {edition: list(_free(connection, edition)) for edition in chosen}
    alone = offers.unsold_outside(connection) if unique else []
    printed = [one.code for lines in (*free.values(), alone) for one in lines if one.code]
    identities = {code: items.find_one(connection, code, "print").id for code in printed}
    found = evidence_many(connection, identities.values())
    stopped = {code for code, identity in identities.items() if found[identity].stops}
    rows = [row for edition, lines in free.items() for row in _rows(connection, edition, lines, stopped)]
    rows += [_printed(connection, None, one, None) for one in alone if one.code not in stopped]
    return GalleryList(BYTE_ORDER_MARK + cells.table_text(GALLERY, rows), len(rows), sorted(stopped))


def _free(connection: sqlite3.Connection, edition: editions.Edition) -> Iterator[offers.Unsold]:
    for one in offers.unsold(connection, edition):
        if "promised to" not in one.standing and not one.number.startswith(NOT_FOR_TRADE):
            yield one


def _rows(
    connection: sqlite3.Connection, edition: editions.Edition, lines: list[offers.Unsold], stopped: set[str]
) -> Iterator[Row]:
    price = offers.price_now(connection, edition.id)
    for _, run in groupby(enumerate(lines), key=lambda placed: _run(*placed)):
        found = [one for _, one in run]
        if found[0].code:
            yield from (_printed(connection, edition, one, price) for one in found if one.code not in stopped)
        else:
            yield _to_print(connection, edition, found, price)


def _run(place: int, one: offers.Unsold) -> int | None:
    """What numbers still to be printed have in common where they follow on one another; None for a print."""
    return None if one.code else int(one.number.partition("/")[0]) - place


def _printed(
    connection: sqlite3.Connection, edition: editions.Edition | None, one: offers.Unsold, price: Money | None
) -> Row:
    thing = items.find_one(connection, one.code, "print")
    made = prints.read(connection, thing.id)
    title = edition.title if edition else negatives.read(connection, made.negative).title
    asked = price if made.kind in ("numbered", "open") else None
    return (
        catalogs.artist(connection).name,
        title,
        print_dates(connection, made).text(),
        edition.process if edition else "",
        toned_of(history(connection, made.id)),
        papers.read(connection, made.paper).description if made.paper else "",
        editions.statement(connection, edition) if edition else "",
        _number(made.designation),
        made.code,
        *_sizes(prints.image_size(connection, made)),
        *_sizes(prints.sheet_size(connection, made)),
        *_price(asked),
        ELSEWHERE if one.standing.startswith(OUT_OF_HOUSE) else IN_STUDIO,
        _picture(connection, made.negative),
    )


def _to_print(
    connection: sqlite3.Connection, edition: editions.Edition, lines: list[offers.Unsold], price: Money | None
) -> Row:
    """Numbers that are still to be printed, as one row: “4/25 to 25/25”."""
    first, last = lines[0].number, lines[-1].number
    return (
        catalogs.artist(connection).name,
        edition.title,
        _negative_date(connection, edition.negative),
        edition.process,
        edition.toning,
        edition.paper,
        editions.statement(connection, edition),
        _number(first) if len(lines) == 1 else f"{_number(first)} to {last}",
        "",
        *_sizes(_pair(edition.image_height, edition.image_width)),
        *_sizes(_pair(edition.sheet_height, edition.sheet_width)),
        *_price(price),
        TO_PRINT,
        _picture(connection, edition.negative),
    )


def _negative_date(connection: sqlite3.Connection, negative: int) -> str:
    made = negatives.read(connection, negative).made
    return f"negative {parse_date(made).text()}" if made else ""


def _pair(height: int | None, width: int | None) -> tuple[int, int] | None:
    return (height, width) if height and width else None


def _sizes(sides: tuple[int, int] | None) -> tuple[str, str]:
    """Height by width in centimetres and in inches, without the units: the headings have them."""
    if sides is None:
        return "", ""
    metric, imperial = (format_size(*sides, units).rpartition(" ")[0] for units in ("metric", "imperial"))
    if imperial.count(".") == 1:  # where one side is no whole sixteenths, both stand in decimals
        imperial = " × ".join(f"{side / MICROMETRES:.2f}" for side in sides)
    return metric, imperial


def _price(money: Money | None) -> tuple[str, str]:
    """The amount as a spreadsheet takes it for a number, “900.00”, and the currency."""
    if money is None:
        return "", ""
    places = decimals_of(money.currency)
    whole, part = divmod(money.minor, 10**places)
    return f"{whole}.{part:0{places}d}" if places else str(whole), money.currency


def _number(designation: str) -> str:
    """“no. 3/25”: a bare 3/25 becomes the 25th of March in a spreadsheet."""
    return f"no. {designation}" if designation[:1].isdigit() else designation


def _picture(connection: sqlite3.Connection, negative: int) -> str:
    found = pictures.of_item(connection, negative)
    return found[0].path if found else ""
