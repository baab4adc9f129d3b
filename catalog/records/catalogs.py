"""The catalog itself: whose work it holds."""

import sqlite3
from functools import lru_cache
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.store.rows import fetch_one
from catalog.years import life

READ = """SELECT party.id, party.name, party.born, party.died, party.died_latest, party.place, catalog.begun
    FROM catalog JOIN party ON party.id = catalog.artist"""


class Artist(NamedTuple):
    """The artist of this catalog."""

    id: int
    name: str
    born: str
    died: str
    died_latest: str
    place: str
    begun: str

    @property
    def life(self) -> str:
        """Years of life as printed in a provenance: “[1971–]”, “[c. 1950–]”, "" when neither is known."""
        told = life(self.born, self.died)
        return f"[{told}]" if told else ""

    def dead_on(self, day: str) -> bool:
        """Whether the artist was dead on a day, or may have been: the artist's key signs on no such day."""
        return bool(self.died) and day >= parse_date(self.died).earliest

    def beyond(self, earliest: str, latest: str) -> str:
        """What of the artist's life a date between two days is certainly outside of; "" where it may be within.

        “after A. Example died (1955)”, “before A. Example was born (1908)”.
        """
        if self.died_latest and earliest > self.died_latest:
            return f"after {self.name} died ({_date(self.died).text()})"
        if self.born and latest and latest < _date(self.born).earliest:
            return f"before {self.name} was born ({_date(self.born).text()})"
        return ""


_date = lru_cache(maxsize=64)(parse_date)  # asked for every row of a list


def artist(connection: sqlite3.Connection) -> Artist:
    """The artist whose catalog this is."""
    found = fetch_one(connection, Artist, READ)
    assert found is not None
    return found


def begin(
    connection: sqlite3.Connection, name: str, born: str, died: str, died_latest: str, place: str, day: str
) -> Artist:
    """Write the first rows of a new catalog."""
    cursor = connection.execute(
        "INSERT INTO party (name, kind, place, born, died, died_latest, nameable) VALUES (?, 'artist', ?, ?, ?, ?, 1)",
        (name, place, born, died, died_latest),
    )
    connection.execute("INSERT INTO catalog (id, artist, begun) VALUES (1, ?, ?)", (cursor.lastrowid, day))
    return artist(connection)
