"""The artist's life, and what ends with it: of a lifetime edition nothing is given out any more, an estate's begins."""

import sqlite3
from shlex import quote

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records import catalogs


class LifetimeError(TirageError):
    """An edition of the artist's lifetime or of the estate, declared on the wrong side of the death."""

    def __init__(self, name: str, died: str, estate: bool) -> None:
        if not estate:
            sentence = (
                f"{name} died {died}, and no edition of a lifetime is declared after that. Declare one of the estate "
                f"with --estate; one declared in life and told late has its own day: --on DATE."
            )
        elif died:
            sentence = (
                f"{name} died {died}, and an estate edition is declared after that. Give the day with --on DATE, or "
                f"leave --estate out."
            )
        else:
            sentence = (
                f"An estate edition is one printed after the artist's death, and no death of {name} is recorded. "
                f"Record it first: tirage party died {quote(name)} DATE; or leave --estate out."
            )
        super().__init__(sentence)


def dead_at(connection: sqlite3.Connection, event: Event) -> catalogs.Artist | None:
    """The artist, where an event is certainly after the artist's death; else None."""
    artist = catalogs.artist(connection)
    return artist if artist.died_latest and event.moment.earliest > artist.died_latest else None


def refuse_edition(connection: sqlite3.Connection, event: Event, estate: bool) -> None:
    """Raise LifetimeError for a lifetime edition declared after the death, or an estate edition before it."""
    artist = catalogs.artist(connection)
    died = parse_date(artist.died).text() if artist.died else ""
    if estate and (not artist.died or event.moment.latest < parse_date(artist.died).earliest):
        raise LifetimeError(artist.name, died, True)
    if not estate and dead_at(connection, event):
        raise LifetimeError(artist.name, died, False)
