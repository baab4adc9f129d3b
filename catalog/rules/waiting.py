"""One thing that waits, and what to type next."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from catalog import codes

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
