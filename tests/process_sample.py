"""A catalog with three prints, a strip and their chemistry, and short words for what happens to them."""

import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path

from catalog.dates import moment
from catalog.events import Event
from catalog.quantities import parse_duration, parse_residue
from catalog.records import baths, items, residuals, settings, steps, washers, washes
from catalog.records.items import Coded
from catalog.store import connection as store

NOON = datetime(2026, 3, 4, 12, 0, tzinfo=UTC)


def event(minutes: int | None = 0, on: str | None = None) -> Event:
    """So many minutes after noon of 4 March 2026, or a day without a time."""
    if on is not None:
        return Event(moment(on, None, NOON), "Ada Renn")
    return Event(moment(None, None, NOON + timedelta(minutes=minutes or 0)), "Ada Renn")


def begun(folder: Path) -> sqlite3.Connection:
    """A new catalog of one artist, with its settings."""
    connection = store.create(folder)
    connection.execute("INSERT INTO party (id, name, kind) VALUES (1, 'Ada Renn', 'artist')")
    connection.execute("INSERT INTO catalog (id, artist, begun) VALUES (1, 1, '2026-03-01')")
    settings.begin(connection, "2026-03-01")
    return connection


class Studio:
    """Prints p1 to p3 (undesignated), w (a work print), e (numbered), strip k, plate n, fixer, toners, a siphon."""

    def __init__(self, folder: Path) -> None:
        self.connection = begun(folder)
        add = self.connection.execute
        self.n = items.give_items(self.connection, "negative")[0]
        add("INSERT INTO negative (id, title) VALUES (?, 'Weir')", (self.n.id,))
        edition = items.give_codes(self.connection, "edition")[0]
        add(
            "INSERT INTO edition (id, negative, title, size, declared, earliest, latest) "
            "VALUES (?, ?, 'Weir', 25, '2026-03-01', '2026-03-01', '2026-03-01')",
            (edition.id, self.n.id),
        )
        self.p1, self.p2, self.p3, self.w, self.e = items.give_items(self.connection, "print", 5)
        for thing, kind, number in (
            (self.p1, None, None),
            (self.p2, None, None),
            (self.p3, None, None),
            (self.w, "work", None),
            (self.e, "numbered", 1),
        ):
            add(
                "INSERT INTO print (id, negative, edition, made, earliest, latest, kind, number) "
                "VALUES (?, ?, ?, '2026-03-04', '2026-03-04', '2026-03-04', ?, ?)",
                (thing.id, self.n.id, edition.id if thing is not self.w else None, kind, number),
            )
        self.k = residuals.make_strips(self.connection, event(0), 1, None)[0]
        self.fixer = baths.mix(self.connection, event(0), "fixer", "alkaline rapid fixer", dilution="1+4", volume=2000)
        self.selenium = baths.mix(self.connection, event(0), "toner", "selenium toner", dilution="1+20")
        self.siphon = washers.add(self.connection, "siphon", "siphon", volume=10_000)

    def pick(self, names: str) -> list[Coded]:
        """Items by the short names of this sample."""
        return [getattr(self, name) for name in names.split(",")]

    def play(self, line: str) -> None:
        """One happening: “10 fix p1,k 1m”, “20 join p1”, “80 out p1”, “90 test k hypo none”, “2026-03-05 dry p1”."""
        when, verb, names, *rest = line.split()
        happened = event(int(when)) if when.isdigit() else event(on=when)
        things = self.pick(names)
        if verb == "join":
            washes.join(self.connection, happened, self.siphon, things)
        elif verb == "out":
            washes.leave(self.connection, happened, things)
        elif verb == "test":
            question, result = rest[0], " ".join(rest[1:])
            drop = not result[0].isdigit()
            value = None if drop else parse_residue(result)
            residuals.record_test(
                self.connection,
                happened,
                things[0],
                question,
                reading=result if drop else None,
                method="" if drop else ("methylene blue" if question == "hypo" else "laboratory"),
                value=value,
            )
        else:
            bath = {"fix": self.fixer, "tone": self.selenium}.get(verb)
            steps.record(
                self.connection,
                happened,
                verb.replace("_", " "),
                things,
                bath=bath,
                seconds=parse_duration(rest[0]) if rest else None,
            )
