"""What whole columns leave open and one line of the mapping file answers, and what became of such an answer.

Whether the day or the month is first, the hundred of years of two digits, the unit of bare numbers.
"""

import re
from collections.abc import Iterator, Sequence
from typing import Any

from catalog.dates import Date
from catalog.exchange.free_text.date_ranges import LAST_DAY, MONTHS
from catalog.exchange.free_text.dates import SHORT_YEAR
from catalog.exchange.importing.cells import completed_in
from catalog.exchange.importing.frame import Importer, Row
from catalog.exchange.importing.sides import SIDES

EITHER = "whether the day or the month is first"  # as a doubt of a date says it
UNIT = "expected a unit"
NUMBERS = re.compile(
    r"(?<![0-9])(?<![0-9][./-])([0-9]{1,2})([./-]) ?([0-9]{1,2})\2 ?([0-9]{4}|[0-9]{2})(?![0-9]|[./-][0-9])"
)
DAY_FIRST, MONTH_FIRST = "day first", "month first"
Found = dict[str, list[tuple[Row, str]]]  # order -> rows that show it, each with what it shows it by


def said(importer: Importer[Any], rows: Sequence[Row]) -> list[str]:
    """A sentence for each thing that columns can be read in several ways for, or not without a word from a person.

    And one for each column that does not agree with what a person said of it, or was read by it.
    """
    if not rows:
        return []
    told = [one for row in rows for one in row.told]
    either = {one.heading for one in told if EITHER in one.reason}
    short = {one.heading for one in told if SHORT_YEAR in one.reason}
    bare = {one.heading for one in told if UNIT in one.reason}
    headings = {field: rows[0].layout.heading(field) for field in (*importer.dates, *SIDES)}
    dates = [field for field in importer.dates if headings[field]]
    found: list[str] = []
    for field in dates:
        found += _order(importer, headings[field], field, rows, asked=headings[field] in either)
    found += [
        f"Under “{headings[field]}” years have two digits, and are kept as notes. Say of which hundred they are in the "
        f"mapping file, with short_years."
        for field in dates
        if headings[field] in short
    ]
    for field in dates:
        found += _completed(importer, headings[field], field, rows)
    if sides := [f"“{headings[field]}”" for field in SIDES if headings[field] in bare]:
        beside = " and no size beside them" if rows[0].layout.heading("size") else ""
        found.append(
            f"Under {' and '.join(sides)} numbers have no unit{beside}, and are kept as notes. Say which in the "
            f"mapping file, with unit."
        )
    return found


def _order(importer: Importer[Any], heading: str, field: str, rows: Sequence[Row], *, asked: bool) -> Iterator[str]:
    """What is open of the order of day and month, or that the column has another order than was said."""
    day_first = importer.work.options.day_first
    if day_first is None and not asked:
        return
    orders = _orders(field, rows)
    if day_first is None:
        shown = [f"{_evidence(found)} the {order}" for order, found in orders.items()]
        begun = f"Under “{heading}” the day or the month may be first. Say which in the mapping file, with date_order"
        both = "; the column has both" if len(shown) > 1 else ""
        yield f"{begun}{': ' if shown else ''}{', '.join(shown)}{both}."
        return
    order, other = (DAY_FIRST, MONTH_FIRST) if day_first else (MONTH_FIRST, DAY_FIRST)
    if against := orders.get(other):
        more = f", and {len(against) - 1:,} more alike" if len(against) > 1 else ""
        yield (
            f"Mind: under “{heading}” {_evidence(against)} the {other}{more}; but date_order in the mapping file says "
            f"{order}, and every day that may be either was read so. If it is the other way round, say so there."
        )


def _orders(field: str, rows: Sequence[Row]) -> Found:
    """The orders that days in digits show, where one number can be no month; a year stands last in them."""
    shown: list[tuple[Row, str, str, bool]] = []  # row, order, sign between, whether the first may be the year instead
    year_first: set[str] = set()
    for row in rows:
        for number, sign, next_number, year in NUMBERS.findall(row.get(field)):
            first, second = int(number), int(next_number)
            if first > LAST_DAY:
                year_first.add(sign)  # “53-05-12”: then “30-05-12” beside it begins with its year too
            elif second <= LAST_DAY and (first > MONTHS) != (second > MONTHS):
                order = DAY_FIRST if first > MONTHS else MONTH_FIRST
                shown.append((row, order, sign, len(year) == 2 and int(year) <= LAST_DAY))
    orders: Found = {}
    for row, order, sign, either in shown:
        if not (either and sign in year_first):
            orders.setdefault(order, []).append((row, row.get(field)))
    return dict(sorted(orders.items()))


def _evidence(found: list[tuple[Row, str]]) -> str:
    row, text = found[0]
    return f"“{text}” in row {row.line} has"


def _completed(importer: Importer[Any], heading: str, field: str, rows: Sequence[Row]) -> Iterator[str]:
    """How many years got their hundred from the mapping file, the earliest and the latest for a person to look at."""
    options = importer.work.options
    if not options.hundred:
        return
    dates = ((completed_in(row, field, options), row.get(field)) for row in rows)
    years = sorted((_year(date), text) for date, text in dates if date is not None)
    if not years:
        return
    (first, first_text), (last, last_text) = years[0], years[-1]
    span = f"{first} ({first_text})" if len(years) == 1 else f"from {first} ({first_text}) to {last} ({last_text})"
    cells = "the year of one cell" if len(years) == 1 else f"years of {len(years):,} cells"
    yield f"short_years made {cells} under “{heading}”, {span}."


def _year(date: Date) -> str:
    return (date.earliest or date.latest)[:4]
