"""What whole columns leave open and one line of the mapping file answers.

Whether the day or the month is first, the hundred of years of two digits, the unit of bare numbers.
"""

import re
from collections.abc import Sequence
from typing import Any

from catalog.exchange.free_text.dates import SHORT_YEAR
from catalog.exchange.importing.frame import Importer, Row

EITHER = "whether the day or the month is first"  # as a doubt of a date says it
SIDES = ("height", "width")
UNIT = "expected a unit"
NUMBERS = re.compile(r"(?<![0-9])([0-9]{1,2})[./-] ?([0-9]{1,2})[./-] ?(?:[0-9]{4}|[0-9]{2})(?![0-9])")


def said(importer: Importer[Any], rows: Sequence[Row]) -> list[str]:
    """A sentence for each thing that columns can be read in several ways for, or not without a word from a person."""
    if not rows:
        return []
    told = [one for row in rows for one in row.told]
    either = {one.heading for one in told if EITHER in one.reason}
    short = {one.heading for one in told if SHORT_YEAR in one.reason}
    bare = {one.heading for one in told if UNIT in one.reason}
    headings = {field: rows[0].layout.heading(field) for field in (*importer.dates, *SIDES)}
    found = [_order(headings[field], field, rows) for field in importer.dates if headings[field] in either]
    found += [
        f"Under “{headings[field]}” years have two digits, and are kept as notes. Say of which hundred they are in the "
        f"mapping file, with short_years."
        for field in importer.dates
        if headings[field] in short
    ]
    if sides := [f"“{headings[field]}”" for field in SIDES if headings[field] in bare]:
        found.append(
            f"Under {' and '.join(sides)} numbers have no unit, and are kept as notes. Say which in the mapping file, "
            f"with unit."
        )
    return found


def _order(heading: str, field: str, rows: Sequence[Row]) -> str:
    orders: dict[str, Row] = {}
    for row in rows:
        for first, second in NUMBERS.findall(row.get(field)):
            if (int(first) > 12) != (int(second) > 12):
                orders.setdefault("day first" if int(first) > 12 else "month first", row)
    said = f"Under “{heading}” the day or the month may be first. Say which in the mapping file, with date_order"
    if len(orders) == 1:
        order, row = next(iter(orders.items()))
        said += f": “{row.get(field)}” in row {row.line} has the {order}"
    return f"{said}."
