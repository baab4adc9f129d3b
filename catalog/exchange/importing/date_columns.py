"""What a whole column of dates leaves open: whether the day or the month is first, and the hundred of short years."""

import re
from collections.abc import Sequence
from typing import Any

from catalog.exchange.free_text.dates import SHORT_YEAR
from catalog.exchange.importing.frame import Importer, Row

EITHER = "whether the day or the month is first"  # as a doubt of a date says it
NUMBERS = re.compile(r"(?<![0-9])([0-9]{1,2})[./-] ?([0-9]{1,2})[./-] ?(?:[0-9]{4}|[0-9]{2})(?![0-9])")


def said(importer: Importer[Any], rows: Sequence[Row]) -> list[str]:
    """A sentence for each column in which dates can be read in several ways, or not without a word from a person."""
    found = []
    told = [one for row in rows for one in row.told]
    either = {one.heading for one in told if EITHER in one.reason}
    short = {one.heading for one in told if SHORT_YEAR in one.reason}
    for field in importer.dates:
        heading = rows[0].layout.heading(field) if rows else ""
        if heading in either:
            found.append(_order(heading, field, rows))
        if heading in short:
            found.append(
                f"Under “{heading}” years have two digits, and are kept as notes. Say of which hundred they are in the "
                f"mapping file, with short_years."
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
