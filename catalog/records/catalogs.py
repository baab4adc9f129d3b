"""The catalog itself: whose work it holds."""

import sqlite3
from typing import NamedTuple

from catalog.errors import TirageError
from catalog.events import Event
from catalog.store.rows import fetch_one

READ = """SELECT party.id, party.name, party.born, party.died, party.died_latest, party.place, catalog.begun
    FROM catalog JOIN party ON party.id = catalog.artist"""


RECORD_DEATH = "UPDATE party SET died = ?, died_latest = ? WHERE id = ?"


class DeathRecordedError(TirageError):
    """A second date of the artist's death."""

    def __init__(self, name: str, died: str) -> None:
        super().__init__(
            f"The death of {name} is recorded already ({died}), and one date of it stays. Leave --died out."
        )


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
        """Years of life as printed in a provenance: “[1971–]”, "" when neither is known."""
        if not (self.born or self.died):
            return ""
        return f"[{self.born[:4]}–{self.died[:4]}]"


def artist(connection: sqlite3.Connection) -> Artist:
    """The artist whose catalog this is."""
    found = fetch_one(connection, Artist, READ)
    assert found is not None
    return found


def record_death(connection: sqlite3.Connection, event: Event) -> Artist:
    """Record that the artist died at an event: from then on everything is the estate's. Raises DeathRecordedError."""
    found = artist(connection)
    if found.died:
        raise DeathRecordedError(found.name, found.died)
    connection.execute(RECORD_DEATH, (event.moment.date, event.moment.latest, found.id))
    return artist(connection)


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
