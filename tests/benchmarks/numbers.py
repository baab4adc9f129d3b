"""Handing out numbers, a sealed transaction each, and what a plain insert of the same durability costs."""

import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from catalog.dates import moment
from catalog.events import Event
from catalog.records import designations, editions, items, negatives, prints
from catalog.store import connection as store
from catalog.store import journal

AT_ONCE = 1_000  # prints that are made in one line


def signing(folder: Path, count: int) -> Callable[[], object]:
    """Sign one print at each call, in an open catalog; so many prints of an edition of their own are made before."""
    opened = store.open_catalog(folder, writing=True)
    now = datetime.now().astimezone()
    event = Event(moment(None, None, now), "bench")
    opened.execute("BEGIN IMMEDIATE")
    plate = negatives.add(opened, event, "High tide")
    edition = editions.declare(opened, event, plate.id, "High tide", 99_999, {})
    made = [
        one
        for start in range(0, count, AT_ONCE)
        for one in prints.make(opened, event, edition, min(AT_ONCE, count - start))
    ]
    journal.seal(opened, sealed=now.isoformat(), by="bench", command="print make")
    opened.execute("COMMIT")
    upcoming = iter(made)

    def sign() -> object:
        opened.execute("BEGIN IMMEDIATE")
        thing = items.find_one(opened, next(upcoming).code, "print")
        designations.sign(opened, event, thing)
        journal.seal(opened, sealed=now.isoformat(), by="bench", command="sign", touched=[thing.id])
        return opened.execute("COMMIT")

    return sign


def bare_insert(folder: Path) -> Callable[[], object]:
    """Insert one row, a transaction each, with the same durability and on the same disk."""
    opened = sqlite3.connect(folder / "bare.db", isolation_level=None)
    opened.execute("CREATE TABLE number (id INTEGER PRIMARY KEY, edition INTEGER, number INTEGER, signed TEXT)")
    opened.execute("PRAGMA synchronous = EXTRA")

    def insert() -> object:
        opened.execute("BEGIN IMMEDIATE")
        opened.execute("INSERT INTO number (edition, number, signed) VALUES (1, 1, '2026-03-02')")
        return opened.execute("COMMIT")

    return insert
