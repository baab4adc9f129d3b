"""Vintage, later, posthumous: the word for a print worked out from its dates, with both years always beside it.

No standard fixes how many years “vintage” spans; that is a setting. What is published says: printed within a few years
of the negative (photography-auction.com, glossary; Alinder & Alinder), later: some time after (The Photographers'
Gallery, glossary), posthumous: after the photographer's death, estate print: posthumous and authorised by the estate
(fairappraisers.com). Where the dates do not decide, there is no word.
"""

import sqlite3
from typing import NamedTuple

from catalog.dates import Date, parse_date
from catalog.records import catalogs, editions, negatives, prints, settings

VINTAGE, LATER, POSTHUMOUS, ESTATE = "vintage print", "later print", "posthumous print", "estate print"
SETTING = "vintage-years"
DOUBT = "?~%"


class PrintDates(NamedTuple):
    """The word for a print, "" where its dates do not decide, and the two dates as EDTF."""

    word: str
    negative: str
    made: str

    def text(self) -> str:
        """“negative 1998, printed 2026 (later print)”; the word never stands without both years."""
        years = both_years(self.negative, self.made)
        return f"{years} ({self.word})" if self.word else years


def print_dates(connection: sqlite3.Connection, one: prints.Print) -> PrintDates:
    """What a print is called by its dates, and both of these."""
    negative, artist = negatives.read(connection, one.negative), catalogs.artist(connection)
    estate = one.edition is not None and bool(editions.read(connection, one.edition).estate)
    span = int(settings.value(connection, SETTING))
    return PrintDates(word(negative.made, one.made, artist.died, estate, span), negative.made, one.made)


def word(negative: str, made: str, died: str, estate: bool, years: int) -> str:
    """The word for a print, from EDTF dates ("" where not known) and how many years “vintage” spans.

    An uncertain or approximate date is taken to be wrong by up to that many years (common practice, no source).
    """
    if not negative or not made:
        return ""
    start, printed = _bounds(negative, years), _bounds(made, years)
    if estate and not died:
        return ""  # posthumous, and no death is recorded: one of the two is wrong
    if died:
        gone = _bounds(died, years)
        if _after(printed[0], gone[1]):
            return ESTATE if estate else POSTHUMOUS
        if not _after(gone[0], printed[1]):
            return ""  # it may have been printed before that day or after it
    if start[0] and printed[1] and _year(printed[1]) - _year(start[0]) <= years:
        return VINTAGE
    if start[1] and printed[0] and _year(printed[0]) - _year(start[1]) > years:
        return LATER
    return ""


def both_years(negative: str, made: str) -> str:
    """“negative 1998, printed 2026”, also when both are of one year: two dates, and never one."""
    return ", ".join(f"{name} {year(edtf)}" for name, edtf in (("negative", negative), ("printed", made)) if edtf)


def year(edtf: str) -> str:
    """The year of a date where it certainly lies in one, else the date in English; "" where there is none."""
    if not edtf:
        return ""
    found = parse_date(edtf)
    return str(found.year) if found.year is not None and not _doubtful(found) else found.text()


def _bounds(edtf: str, years: int) -> tuple[str, str]:
    """The earliest and the latest day a date may mean; "" where there is no limit."""
    found = parse_date(edtf)
    if not _doubtful(found):
        return found.earliest, found.latest
    return _moved(found.earliest, -years), _moved(found.latest, years)


def _doubtful(date: Date) -> bool:
    return any(sign in date.edtf for sign in DOUBT)


def _moved(day: str, years: int) -> str:
    return f"{min(9999, max(0, _year(day) + years)):04d}{day[4:]}" if day else ""


def _year(day: str) -> int:
    return int(day[:4])


def _after(day: str, other: str) -> bool:
    return bool(day and other and day > other)
