"""Where a plate was on a day: whether the studio had it, or somebody else."""

import sqlite3

from catalog.dates import Moment
from catalog.records import catalogs, transfers
from catalog.records.transfers.record import name_of


def held_elsewhere(connection: sqlite3.Connection, item: int, day: Moment) -> str:
    """Who had a thing on a day, where that was certainly not the studio; "" where it was at hand or nobody knows."""
    holder = artist = catalogs.artist(connection).id
    since = ""
    for one in transfers.of_item(connection, item):
        if not one.custody or one.to_party is None:
            continue
        if one.earliest and day.latest and one.earliest > day.latest:
            break
        holder, since = one.to_party, one.latest
    certain = bool(since and day.earliest) and since <= day.earliest
    return name_of(connection, holder) if holder != artist and certain else ""
