"""Sessions whose day is past, and whose sheets nobody entered."""

import sqlite3
from collections.abc import Iterator
from datetime import datetime

from catalog.dates import parse_date
from catalog.rules.waiting import Due

OPEN = """SELECT s.id, s.planned, (SELECT count(*) FROM session_sheet WHERE session = s.id), c.code FROM session s
    JOIN code c ON c.id = coalesce(s.edition, s.negative) WHERE s.entered = '' ORDER BY s.id"""


def open_sessions(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Sessions of today or before that are not entered: their codes are no prints yet."""
    for number, planned, count, of in connection.execute(OPEN).fetchall():
        day = parse_date(planned)
        if day.earliest and day.earliest > now.date().isoformat():
            continue
        yield Due(
            "session",
            of,
            planned,
            "",
            f"Session {number} of {of}, {day.text()}, is not entered: {count} code{'' if count == 1 else 's'} given "
            f"beforehand.",
            f"tirage session enter {number}",
        )
