"""What waits, as a calendar file (iCalendar, RFC 5545): the studio's own, to be imported into any calendar.

It holds names of parties as the studio keeps them, and no price; it is not for publishing.
"""

import uuid
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from catalog.dates import parse_date
from catalog.documents import filing
from catalog.errors import TirageError
from catalog.plain_text import shown
from catalog.rules.waiting import Due

if TYPE_CHECKING:
    from icalendar import Event as Entry

PRODUCER = "-//tirage//what is due//EN"
NAME = "due.ics"


class CalendarNameError(TirageError):
    """A file that no calendar would be looked for in."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"“{name}” is no name of a calendar file; expected one that ends in .ics. A word for some of what waits "
            f"comes first: tirage due plates --calendar."
        )


def calendar(waiting: Sequence[Due], now: datetime, catalog: str) -> bytes:
    """One entry for each thing that falls due; what has no end is left out.

    An entry keeps its UID (RFC 5545, 3.8.4.7) from day to day, so that importing again replaces it; `catalog` tells
    the entries of two catalogs apart. An instant is written in UTC, a day as a whole day (3.3.4, 3.3.5); times do not
    block the day (3.8.2.7). Lines end and fold as 3.1 asks.
    """
    from icalendar import Calendar

    made = Calendar()
    made.add("version", "2.0")
    made.add("prodid", PRODUCER)
    made.add("calscale", "GREGORIAN")
    seen: set[str] = set()
    for one in waiting:
        if one.falls is None or one.identity in seen:
            continue
        seen.add(one.identity)
        made.add_component(_entry(one, now, catalog))
    return bytes(made.to_ical())


def keep(path: Path, content: bytes) -> None:
    """Write a calendar, whole or not at all, over an earlier one of ours only.

    Raises CalendarNameError, OtherDocumentError, NotWrittenError.
    """
    if path.suffix.casefold() != ".ics":
        raise CalendarNameError(path.name)
    filing.put(path, content, ours=lambda kept: PRODUCER.encode() in kept.read_bytes()[:200])


def _entry(one: Due, now: datetime, catalog: str) -> "Entry":
    from icalendar import Event as Entry

    falls = one.falls
    entry = Entry()
    entry.add("uid", str(uuid.uuid5(uuid.NAMESPACE_URL, f"tirage:{catalog}:{one.identity}")))
    entry.add("dtstamp", now.astimezone(UTC).replace(microsecond=0))
    entry.add("dtstart", falls.astimezone(UTC) if isinstance(falls, datetime) else falls)
    entry.add("summary", shown(one.brief or one.sentence))
    entry.add("description", "\n".join(filter(None, (_since(one), shown(one.command)))))
    entry.add("transp", "TRANSPARENT")
    return entry


def _since(one: Due) -> str:
    """Since when it waits; what is told as seen from now (“tomorrow”) would not stay true in a calendar."""
    if not one.since:
        return ""
    instant = len(one.since) > 10 and one.since[10] == "T"
    return f"Since {parse_date(one.since[:10] if instant else one.since).text()}."
