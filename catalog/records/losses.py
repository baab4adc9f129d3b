"""Losses: prints and plates that were lost or stolen, and found; a plate's state follows."""

import sqlite3

from catalog.dates import Moment
from catalog.events import Event
from catalog.records import catalogs, negatives, transfers
from catalog.records.items import Coded
from catalog.records.transfers import NONE_SAID, Said, Transfer

LOST = "lost"


def lose(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    *,
    stolen: bool = False,
    said: Said = NONE_SAID,
    found: Event | None = None,
) -> Transfer:
    """Record a loss or a theft; title stays. With `found` also that it was found again then."""
    now = negatives.read(connection, thing.id).state if thing.kind == "negative" else ""
    done = transfers.lose(connection, event, thing, stolen=stolen, said=said, found=found)
    if now and now != LOST:
        negatives.enter_state(connection, event, thing, LOST)
        if found is not None:
            negatives.enter_state(connection, found, thing, now)
    return done


def find_again(
    connection: sqlite3.Connection, event: Event, thing: Coded, to: int | None = None, said: Said = NONE_SAID
) -> Transfer:
    """Record that a thing was found; a plate comes back to the state it had before it was lost."""
    plate = negatives.read(connection, thing.id) if thing.kind == "negative" else None
    if plate and plate.state == LOST and not _lost(connection, thing):
        # Its state was entered without a change of hands: the loss is told now, so that it can be found.
        last = [one for one in negatives.events(connection, thing.id) if one.state == LOST][-1]
        transfers.lose(connection, _of(event, last), thing)
    done = transfers.find_again(connection, event, thing, to, said)
    if plate and plate.state == LOST:
        before = [one.state for one in negatives.events(connection, thing.id) if one.state != LOST]
        negatives.enter_state(connection, event, thing, before[-1] if before else "ready")
    return done


def _lost(connection: sqlite3.Connection, thing: Coded) -> bool:
    chain = transfers.of_item(connection, thing.id)
    return transfers.state_after(chain, catalogs.artist(connection).id).gone == LOST


def _of(event: Event, happening: negatives.NegativeEvent) -> Event:
    return Event(
        Moment(happening.happened, happening.earliest, happening.latest, happening.clock), happening.by, event.note
    )
