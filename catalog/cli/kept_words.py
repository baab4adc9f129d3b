"""Words for what a backup holds: bytes, commands, moments."""

from catalog.dates import parse_date
from catalog.errors import TirageError


def size(count: int) -> str:
    """So many bytes for a person: “12.3 MB”."""
    for unit, step in (("GB", 10**9), ("MB", 10**6), ("kB", 10**3)):
        if count >= step:
            return f"{count / step:.1f} {unit}"
    return f"{count} bytes"


def counted(commands: int) -> str:
    """So many commands: “1 command”."""
    return f"{commands:,} command{'' if commands == 1 else 's'}"


def when(sealed: str) -> str:
    """The moment of a seal for a person; what is no date stands as it is."""
    try:
        return f"{parse_date(sealed[:10]).text()}, {sealed[11:16]}"
    except TirageError:
        return sealed
