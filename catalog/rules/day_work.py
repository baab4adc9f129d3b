"""The entering of one day sheet: the open transaction it works in, its day, and what became of it."""

import re
import sqlite3
from dataclasses import dataclass, field
from datetime import datetime

from catalog.dates import Moment, moment
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records.items import Coded

WITH_A_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})[ T](.+)")


class NotYetError(TirageError):
    """A time that has not come yet."""

    def __init__(self, told: Moment) -> None:
        super().__init__(f"{told.text()} has not come yet; what is entered has happened. Give the day and time it did.")


@dataclass
class Entered:
    """What became of a day sheet: sentences in its order, what it was about, steps and baths that may hurt."""

    said: list[str] = field(default_factory=list)
    touched: list[Coded] = field(default_factory=list)
    minds: list[str] = field(default_factory=list)  # what to look at: a bath past its limits, two that never meet
    dangers: list[tuple[str, str]] = field(default_factory=list)
    kept: list[Coded] = field(default_factory=list)
    strips: list[Coded] = field(default_factory=list)
    inside: dict[int, tuple[str, str]] = field(
        default_factory=dict
    )  # item -> the washer it is in by now, and since when


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
        found = moment(date or self.day, clock or None, self.now)
        if found.earliest > self.now.date().isoformat() or (found.instant and found.instant > self.now):
            raise NotYetError(found)
        return found

    def event(self, at: Moment, *notes: str) -> Event:
        """An event of the sheet at a moment."""
        return Event(at, self.by).noted(*notes)
