"""What was read on a thing and how it is printed, told for its history."""

import sqlite3
from collections.abc import Iterator
from itertools import groupby

from catalog.dates import Moment
from catalog.records import densities
from catalog.records.items import code_of
from catalog.stops import format_density

RECIPES = """SELECT happened, earliest, latest, clock, by, print, note FROM recipe
    WHERE print = ?1 OR edition = ?1 OR negative = ?1 ORDER BY +id"""  # +: by the indexes of all three


def printing(connection: sqlite3.Connection, identity: int) -> Iterator[tuple[Moment, str, str]]:
    """Densities read together as one entry, and recipes of a print, an edition or a negative."""
    read = densities.of_item(connection, identity)
    for key, group in groupby(read, lambda one: (*one[5:9], one.by, one.stage, one.note)):
        *moment, who, stage, note = key
        told = ", ".join(f"{one.patch} {format_density(one.value)}" for one in group)
        yield Moment(*moment), who, f"density{f' {stage}' if stage else ''}: {told}" + (f" ({note})" if note else "")
    for *moment, who, approved, note in connection.execute(RECIPES, (identity,)):
        what = (
            "its recipe was recorded"
            if approved in (identity, None)
            else f"to be printed like {code_of(connection, approved)}"
        )
        yield Moment(*moment), who, f"{what}: {note}" if note else what
