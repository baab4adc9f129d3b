"""Whether a column of dates itself says what comes first, the day or the month."""

import re
from collections.abc import Sequence
from typing import Any

from catalog.exchange.importing.frame import Importer, Row

EITHER = "whether the day or the month is first"  # as a doubt of a date says it
NUMBERS = re.compile(r"(?<![0-9])([0-9]{1,2})[./-] ?([0-9]{1,2})[./-] ?(?:[0-9]{4}|[0-9]{2})(?![0-9])")


def said(importer: Importer[Any], rows: Sequence[Row]) -> list[str]:
    """A sentence for each column in which a date can be read in both ways."""
    found = []
    headings = {one.heading for row in rows for one in row.told if EITHER in one.reason}
    for field in importer.dates:
        heading = rows[0].layout.heading(field) if rows else ""
        if heading not in headings:
            continue
        orders: dict[str, Row] = {}
        for row in rows:
            for first, second in NUMBERS.findall(row.get(field)):
                if (int(first) > 12) != (int(second) > 12):
                    orders.setdefault("day first" if int(first) > 12 else "month first", row)
        said = f"Under “{heading}” the day or the month may be first. Say which in the mapping file, with date_order"
        if len(orders) == 1:
            order, row = next(iter(orders.items()))
            said += f": “{row.get(field)}” in row {row.line} has the {order}"
        found.append(f"{said}.")
    return found
