"""Replacements: the one way a number passes to another print, and when it does not."""

import sqlite3

from catalog.dates import Moment, later_than, parse_date
from catalog.errors import TirageError
from catalog.records import editions, prints

DESTROYED = """SELECT happened, earliest, latest, clock FROM transfer WHERE item = ? AND kind = 'destruction'
    ORDER BY rank DESC LIMIT 1"""

REPLACEMENT = (
    """SELECT c.code, p.signed FROM print p JOIN code c ON c.id = p.id WHERE p.replaces = ? AND p.signed <> ''"""
)


class ReplacementError(TirageError):
    """A print that cannot take another's number."""

    def __init__(self, old: str, new: str, reason: str) -> None:
        super().__init__(f"{new} cannot replace {old}: {reason}")


def refuse_replacement(connection: sqlite3.Connection, first: prints.Print, second: prints.Print, day: Moment) -> None:
    """Raise ReplacementError where a print does not take another's number on a day."""
    reason = (
        _not_replaced(connection, first)
        or _no_replacement(connection, first, second)
        or _before_destruction(connection, first, day)
    )
    if reason:
        raise ReplacementError(first.code, second.code, reason)


def _not_replaced(connection: sqlite3.Connection, first: prints.Print) -> str:
    """Why nothing takes a print's number, "" where something can."""
    if first.state != "destroyed":
        return (
            f"{first.code} is {first.state}; first it is surrendered and recorded as destroyed: "
            f"tirage destroy {first.code} --why REASON. A lost print is never replaced."
        )
    successor = prints.replaced_by(connection, first.id)
    if successor is not None:
        named = prints.read(connection, successor).code
        return f"{named} bears its number now. Replace {named} instead."
    return "" if first.number is not None else f"{first.code} never had a number."


def _before_destruction(connection: sqlite3.Connection, first: prints.Print, day: Moment) -> str:
    """Why a number does not pass on a day: the print that bore it was still there. "" where it was not."""
    row = connection.execute(DESTROYED, (first.id,)).fetchone()
    gone = Moment(*row) if row else None
    if gone is None or not later_than(gone, day):
        return ""
    return (
        f"{first.code} was destroyed {gone.text()}, after {day.text()}, and its number passes from that day on. Give "
        f"the day it was replaced with --on DATE."
    )


def replaced_before(connection: sqlite3.Connection, destroyed: int, gone: Moment) -> tuple[str, str] | None:
    """The print that took a destroyed one's number before the day it was destroyed, and when, in words."""
    for code, signed in connection.execute(REPLACEMENT, (destroyed,)):
        date = parse_date(signed)
        if later_than(gone, Moment(date.edtf, date.earliest, date.latest, "")):
            return code, date.text()
    return None


def _no_replacement(connection: sqlite3.Connection, first: prints.Print, second: prints.Print) -> str:
    """Why a print cannot take another's number, "" where it can."""
    declared = editions.read(connection, first.edition) if first.edition else None
    other = second.edition is not None and second.edition != first.edition
    if other or (declared and not prints.fits(connection, second, declared)):
        return f"{second.code} is of another edition or another size."
    called = second.kind is not None and not second.is_trial
    if second.state != "living" or called or second.negative != first.negative:
        return (
            f"{second.code} is {second.called} and {second.state}; expected a living print of the same negative "
            f"without a designation."
        )
    return ""
