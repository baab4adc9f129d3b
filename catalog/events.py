"""An event: when it happened, who did it, and a note."""

from dataclasses import dataclass, replace

from catalog.dates import Moment


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
