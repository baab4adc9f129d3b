"""Alike: items that went through the very same steps, from and to the very same instants."""

import json
import sqlite3
from collections.abc import Iterable

from catalog.records.loads import Timelines, timelines

HISTORIES = """SELECT item,
    group_concat(CASE joined WHEN '' THEN step ELSE step || ' ' || joined || ' ' || left_at END)
    FROM step_item WHERE item IN (SELECT value FROM json_each(?)) GROUP BY item"""


def alike(connection: sqlite3.Connection, items: Iterable[int]) -> dict[int, int]:
    """Item -> the first of those whose history it shares, which may be itself.

    What follows from steps alone is the same for all of them, so it is worked out once.
    """
    wanted = list(items)
    if len(wanted) < 2:
        return {item: item for item in wanted}
    histories = dict(connection.execute(HISTORIES, (json.dumps(wanted),)))
    first: dict[str, int] = {}
    return {item: first.setdefault(histories.get(item, ""), item) for item in wanted}


def timelines_alike(connection: sqlite3.Connection, first: dict[int, int]) -> Timelines:
    """The wet steps of items, read once for each history; `first` is what `alike` says of them."""
    lines = Timelines()
    add_timelines(connection, lines, first, set())
    return lines


def add_timelines(connection: sqlite3.Connection, lines: Timelines, first: dict[int, int], known: set[int]) -> None:
    """Add the wet steps of items, likewise; those of `known` are there already."""
    wanted = set(first.values()) - known
    read = timelines(connection, wanted).of  # it holds who shared a wash with them too, their washing not counted
    lines.of |= {item: read[item] for item in wanted if item in read}
    lines.of |= {item: lines.of[one] for item, one in first.items() if one in lines.of}
