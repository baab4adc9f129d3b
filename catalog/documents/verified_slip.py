"""What a slip vouches for, told in lines that a person compares with the paper and the print in hand."""

from catalog import signing
from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records.slips import Slip

COMPARE = "Compare it with the paper and with the print in hand; a square can be copied onto another paper."


def told(lines: tuple[str, ...], slip: Slip, valid: bool) -> tuple[str, ...]:
    """The lines of a verdict about a slip, with what it vouches for between the first and the last."""
    if not valid:
        return (*lines, *vouched(slip))
    return (lines[0], *vouched(slip), *lines[1:], COMPARE)


def vouched(slip: Slip) -> tuple[str, ...]:
    """What a slip vouches for."""
    dates = [
        f"negative made {_date(slip.negative)}" if slip.negative else "negative not dated",
        f"printed {_date(slip.printed)}" if slip.printed else "printing not dated",
    ]
    return (
        f"  {slip.certificate}, issued {_date(slip.issued)}",
        f"  {slip.artist}: “{slip.title}”",
        f"  {slip.print}" + (f", {slip.designation}" if slip.designation else ""),
        f"  {'; '.join(dates)}",
        f"  fingerprint of all facts: {signing.grouped(signing.decode(slip.facts).hex())}",
    )


def _date(edtf: str) -> str:
    try:
        return parse_date(edtf).text()
    except TirageError:
        return edtf
