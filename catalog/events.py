"""An event: when it happened, which is not later than now, who did it, and a note."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from catalog.dates import Moment
from catalog.errors import TirageError

GRACE = timedelta(minutes=1)  # between two clocks in one room


class NotYetError(TirageError):
    """A time that has not come yet."""

    def __init__(self, told: Moment) -> None:
        super().__init__(
            f"{told.text()} has not come yet; what is recorded has happened. Give the day and time it did, with --on "
            f"and --at."
        )


def check_past(moment: Moment, now: datetime) -> Moment:
    """A moment that has come: by its day, and by its clock where it has one. Raises NotYetError."""
    instant = moment.instant
    if moment.earliest > now.date().isoformat() or (instant is not None and instant > now + GRACE):
        raise NotYetError(moment)
    return moment


@dataclass(frozen=True)
class Event:
    """What every recorded happening carries. Time is passed in, never read from a clock below the command line."""

    moment: Moment
    by: str
    note: str = ""

    @property
    def columns(self) -> tuple[str, str, str, str]:
        """happened (EDTF), earliest, latest, clock: the four columns of a moment."""
        return (self.moment.date, self.moment.earliest, self.moment.latest, self.moment.clock)

    def noted(self, *notes: str) -> "Event":
        """The same happening with these notes instead of its own, one after the other, empty ones left out."""
        return replace(self, note="; ".join(filter(None, notes)))
