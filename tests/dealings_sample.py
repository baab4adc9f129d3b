"""A small catalog whose prints and plates change hands, through the real operations."""

from dataclasses import dataclass
from pathlib import Path

from catalog.dates import Moment, parse_date
from catalog.events import Event
from catalog.money import Money
from catalog.records import catalogs, editions, items, negatives, parties, prints, settings
from catalog.store import connection as store


def on(date: str, note: str = "") -> Event:
    """Something of that date."""
    found = parse_date(date)
    return Event(Moment(found.edtf, found.earliest, found.latest, ""), "tester", note)


@dataclass
class Party:
    """A party to be made: name, kind, place, years, and whether it may be named."""

    name: str
    kind: str = "collector"
    place: str = ""
    born: str = ""
    died: str = ""
    nameable: bool = True


class Dealings:
    """One plate of an artist, prints of it (1, 2 ...), and who deals with them."""

    def __init__(
        self, folder: Path, artist: str = "A. Example", born: str = "1960", place: str = "", made: str = "2026",
        died: str = "", count: int = 3,
    ) -> None:  # fmt: skip
        self.connection = store.create(folder)
        death = parse_date(died) if died else None
        catalogs.begin(
            self.connection, artist, born, death.edtf if death else "", death.latest if death else "", place, "2026"
        )
        settings.begin(self.connection, "2026-01-01")
        self.artist = catalogs.artist(self.connection).id
        self.plate = negatives.add(self.connection, on(made), "Low water")
        edition = editions.declare(self.connection, on(made), self.plate.id, "Low water", 25, {})
        prints.make(self.connection, on(made), edition, count)

    def thing(self, number: int = 1) -> items.Coded:
        """A print by its number."""
        return items.find_one(self.connection, str(number), "print")

    def party(self, who: Party | str) -> int:
        """The identity of a party, made when it is new."""
        one = who if isinstance(who, Party) else Party(who)
        row = self.connection.execute("SELECT id FROM party WHERE name = ?", (one.name,)).fetchone()
        if row:
            return int(row[0])
        died = parse_date(one.died) if one.died else None
        added = parties.add(
            self.connection, one.name, one.kind, place=one.place, born=one.born, died=died, nameable=one.nameable
        )
        return added.id


def euro(amount: int) -> Money:
    """Whole euros."""
    return Money(amount * 100, "EUR")
