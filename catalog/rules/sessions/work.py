"""The entering of one day sheet: the open transaction it works in, its day, and what became of it."""

import re
import sqlite3
from dataclasses import dataclass, field
from datetime import datetime

from catalog.dates import Moment, moment
from catalog.events import Event, check_past
from catalog.records.items import Coded

WITH_A_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})[ T](.+)")


@dataclass
class Entered:
    """What became of a day sheet: sentences in its order, what it was about, what to look at, what may hurt."""

    said: list[str] = field(default_factory=list)
    touched: list[Coded] = field(default_factory=list)
    minds: list[str] = field(default_factory=list)  # what to look at: a bath past its limits, two that never meet
    cautions: list[str] = field(default_factory=list)
    kept: list[Coded] = field(default_factory=list)
    strips: list[Coded] = field(default_factory=list)
    inside: dict[int, str] = field(default_factory=dict)  # item -> the line of the sheet by which it is in a washer


def day_and_clock(text: str) -> tuple[str, str]:
    """A time as it is written: “15:40” is of the day of the sheet, “2026-03-15 00:30” of another."""
    found = WITH_A_DAY.fullmatch(text)
    return (found[1], found[2]) if found else ("", text)


@dataclass(frozen=True)
class Entering:
    """One day sheet on its way into the catalog."""

    connection: sqlite3.Connection
    by: str
    day: str  # the day it is about, as EDTF
    now: datetime
    entered: Entered = field(default_factory=Entered)

    def moment_of(self, text: str) -> Moment:
        """A clock time of the day (“15:40”), or of another (“2026-03-15 00:30”). Raises NotYetError."""
        date, clock = day_and_clock(text)
        return check_past(moment(date or self.day, clock or None, self.now), self.now)

    def event(self, at: Moment, *notes: str) -> Event:
        """An event of the sheet at a moment."""
        return Event(at, self.by).noted(*notes)
