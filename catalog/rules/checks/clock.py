"""Whether the clock stood right: commands are in the order they were entered, and so should be their times."""

from collections.abc import Iterator
from datetime import datetime

from catalog.rules.checks.findings import Finding, Subject, day

MOST = 5  # told one by one
# An hour: two machines, or a clock that was put right, differ by less. julianday() minds the offset from UTC.
SET_BACK = """SELECT s.command, s.sealed, n.command, n.sealed FROM journal_seal s JOIN journal_seal n ON n.id = s.id + 1
    WHERE julianday(n.sealed) < julianday(s.sealed) - 1.0 / 24 ORDER BY s.id"""


def clock_in_order(subject: Subject) -> Iterator[Finding]:
    """Whether a command was recorded at an earlier time than the one before it."""
    found = subject.connection.execute(SET_BACK).fetchall()
    for command, sealed, after, told in found[:MOST]:
        yield Finding(
            "note",
            "",
            f"“{after}” was recorded {_when(told)}, and “{command}” before it {_when(sealed)}: a clock was wrong for "
            f"one of them. The order of entry stands; a day from the wrong clock can be set right: tirage correct.",
        )
    if len(found) > MOST:
        yield Finding("note", "", f"The clock was set back {len(found) - MOST} more times.")


def _when(sealed: str) -> str:
    try:
        datetime.fromisoformat(sealed)
    except ValueError:
        return sealed
    return f"{day(sealed[:10])}, {sealed[11:16]}"
