"""One thing that waits, and what to type next."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from catalog import codes
from catalog.dates import parse_date

SOON_DAYS = 14


@dataclass(frozen=True)
class Due:
    """One thing that waits, and what to type next."""

    what: str
    code: str
    since: str
    until: str
    sentence: str
    command: str
    brief: str = ""  # what falls due in a few words, for a calendar
    key: str = ""  # what makes it the same thing tomorrow, where that is not its code

    @property
    def falls(self) -> date | datetime | None:
        """When it falls due: an instant with its offset, or the last day of a date; None without an end."""
        if len(self.until) > 10 and self.until[10] == "T":
            return datetime.fromisoformat(self.until)
        latest = parse_date(self.until).latest if self.until else ""
        return date.fromisoformat(latest) if latest else None

    def comes(self, now: datetime) -> bool:
        """Whether it falls due later than now; what has no end can be done now."""
        falls = self.falls
        if isinstance(falls, datetime):
            return falls > now
        return falls is not None and falls > now.date()

    @property
    def identity(self) -> str:
        """What it is about, the same on every day that it waits."""
        return f"{self.what} {self.key or self.code or self.command}"


def soon(now: datetime) -> str:
    """The day up to which something ends soon."""
    return (now.date() + timedelta(days=SOON_DAYS)).isoformat()


def typed(names: Sequence[str]) -> str:
    """Codes as a person types them: “1-6,9”, “n1-3”."""
    runs: list[tuple[str, int, int]] = []
    parts: list[str] = []

    def close() -> None:
        for letter, first, last in runs:
            short = "" if letter == "P" else letter.lower()
            parts.append(f"{short}{first}" if first == last else f"{short}{first}-{last}")
        runs.clear()

    for name in names:
        ours = codes.AUTOMATIC.fullmatch(name)
        if ours is None:
            close()
            parts.append(name)
            continue
        letter, serial = ours[1].upper(), int(ours[2])
        if runs and runs[-1][0] == letter and runs[-1][2] == serial - 1:
            runs[-1] = (letter, runs[-1][1], serial)
        else:
            runs.append((letter, serial, serial))
    close()
    return ",".join(parts)
