"""The grammar of partial and uncertain dates: what an EDTF text says, and the days it allows."""

import itertools
import re
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from catalog.errors import NotUnderstood

ACCEPTED = "a date such as 2026-05-03, 2026-05, 1863, 1860~, 186X, 1863/1870 or c. 1860"
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
# ISO 8601-2:2019 4.8: 21 to 24 are seasons "independent of location".
SEASON_NAMES = {"21": "spring", "22": "summer", "23": "autumn", "24": "winter"}
OPEN, UNKNOWN = "..", ""

# Patterns are compiled where they are first used, so that a command that reads no date pays nothing for them.
_SINGLE = (
    r"([?~%]?)([0-9X]{4})([?~%]?)"
    r"(?:-([?~%]?)([0-9X]{2})([?~%]?)"
    r"(?:-([?~%]?)([0-9X]{2})([?~%]?))?)?"
)
_LONG_MONTHS = (1, 3, 5, 7, 8, 10, 12)


class Single(NamedTuple):
    """One date of the grammar: each part as typed ("" when absent, X for an unknown digit) with its doubt.

    `doubts` stands for year, month and day: "" certain, "?" uncertain, "~" approximate, "%" both.
    """

    year: str
    month: str
    day: str
    doubts: tuple[str, str, str]

    @property
    def is_season(self) -> bool:
        return self.month in SEASON_NAMES


class Structure(NamedTuple):
    """A whole text: `kind` is "single", "interval", "one of" or "all of"; each item is a start and an end.

    A start or end is a `Single`, OPEN ("..", no limit) or UNKNOWN ("", not known). A lone date is its own end.
    """

    kind: str
    items: tuple[tuple[Single | str, Single | str], ...]


def refusal(given: str, expected: str) -> NotUnderstood:
    return NotUnderstood("a date", given, expected)


@lru_cache(maxsize=4096)
def structure(text: str) -> Structure:
    """Read an EDTF text (ISO 8601-2:2019 levels 0 and 1; of level 2 sets, X in any place, qualifiers in any place).

    Years are 0000 to 9999. Raises `NotUnderstood` for anything else.
    """
    if text[:1] in ("[", "{"):
        return _set_structure(text)
    if "/" in text:
        ends = text.split("/")
        if len(ends) != 2:
            raise refusal(text, "dashes inside a date (2026-05-03) and one slash between two dates (1863/1870)")
        if all(end in (OPEN, UNKNOWN) for end in ends):
            raise refusal(text, "at least one end of the interval, such as 1863/.. or ../1928")
        start, end = (_end(part, text) for part in ends)
        _refuse_reversed(start, end, text)
        return Structure("interval", ((start, end),))
    single = _single(text, text)
    return Structure("single", ((single, single),))


@lru_cache(maxsize=4096)
def bounds(text: str) -> tuple[str, str]:
    """The first and last day an EDTF text allows, YYYY-MM-DD each, or "" where it is open or unknown.

    Doubt marks do not widen the bounds: the standard gives them no number of years. Seasons 21 to 24 are
    bound to no place and so to no months (spring is March in one half of the world, September in the other):
    their bounds are those of the year, because a bound must never shut out a day that may be meant.
    """
    items = structure(text).items
    firsts = [first_day(start) if isinstance(start, Single) else "" for start, _ in items]
    lasts = [last_day(end) if isinstance(end, Single) else "" for _, end in items]
    return ("" if "" in firsts else min(firsts)), ("" if "" in lasts else max(lasts))


def first_day(single: Single) -> str:
    """The first day a single date allows, YYYY-MM-DD; "" when no calendar day fits it."""
    return next(_days(single, ascending=True), "")


def last_day(single: Single) -> str:
    """The last day a single date allows, YYYY-MM-DD; "" when no calendar day fits it."""
    return next(_days(single, ascending=False), "")


def days_in_month(year: int, month: int) -> int:
    """Days of a month in the proleptic Gregorian calendar, year 0 included (ISO 8601-1:2019 4.2.1)."""
    if month == 2:
        return 29 if year % 4 == 0 and (year % 100 != 0 or year % 400 == 0) else 28
    return 31 if month in _LONG_MONTHS else 30


def _days(single: Single, ascending: bool) -> Iterator[str]:
    month_mask = "XX" if single.is_season or not single.month else single.month
    day_mask = single.day or "XX"
    for year in _matching(single.year, ascending):
        for month in _matching(month_mask, ascending):
            if not 1 <= int(month) <= 12:
                continue
            last = days_in_month(int(year), int(month))
            for day in _matching(day_mask, ascending):
                if 1 <= int(day) <= last:
                    yield f"{year}-{month}-{day}"


def _matching(mask: str, ascending: bool) -> Iterator[str]:
    digits = "0123456789" if ascending else "9876543210"
    return map("".join, itertools.product(*(digits if place == "X" else place for place in mask)))


def _set_structure(text: str) -> Structure:
    opening, closing = text[0], text[-1]
    if opening + closing not in ("[]", "{}") or len(text) < 3:
        raise refusal(text, "a set closed by its own bracket: [1863,1870] for one of them, {1863,1964} for all of them")
    members = text[1:-1].split(",")
    items: list[tuple[Single | str, Single | str]] = []
    for place, member in enumerate(members):
        start, dots, end = member.partition("..")
        if not dots:
            single = _single(member, text)
            items.append((single, single))
            continue
        if not start and (place != 0 or not end) or not end and place != len(members) - 1:
            raise refusal(text, "“..” between two dates, before the first date or after the last date of a set")
        low, high = (_single(part, text) if part else OPEN for part in (start, end))
        _refuse_reversed(low, high, text)
        items.append((low, high))
    return Structure("one of" if opening == "[" else "all of", tuple(items))


def _end(part: str, whole: str) -> Single | str:
    if part not in (OPEN, UNKNOWN) and not re.fullmatch(_SINGLE, part):
        raise refusal(whole, "a date with its four-digit year at each side of the slash, such as 1863/1870")
    return part if part in (OPEN, UNKNOWN) else _single(part, whole)


def _refuse_reversed(start: Single | str, end: Single | str, whole: str) -> None:
    # Overlapping ends are allowed (2004-06-11/2004-06); only an end wholly before the start is impossible.
    if isinstance(start, Single) and isinstance(end, Single) and last_day(end) < first_day(start):
        raise refusal(whole, "the earlier date first, then the later")


def _single(part: str, whole: str) -> Single:
    found = re.fullmatch(_SINGLE, part)
    if not found:
        raise refusal(whole, ACCEPTED)
    groups = [group or "" for group in found.groups()]
    befores, (year, month, day), afters = groups[0::3], groups[1::3], groups[2::3]
    if any(before and after for before, after in zip(befores, afters, strict=True)):
        raise refusal(whole, "one doubt mark (? ~ or %) at each part of the date, % standing for both ? and ~")
    _refuse_impossible(year, month, day, whole)
    single = Single(year, month, day, _doubts(befores, afters))
    if not first_day(single):
        raise refusal(whole, _day_that_exists(year, month))
    return single


def _refuse_impossible(year: str, month: str, day: str, whole: str) -> None:
    if month in SEASON_NAMES:
        if day:
            raise refusal(whole, f"no day after a season, such as {year}-{month}")
        return
    if not month or any(1 <= int(candidate) <= 12 for candidate in _matching(month, True)):
        return
    expected = "a month from 01 to 12 or a season from 21 to 24"
    if month.isdigit() and year.isdigit() and not day and int(month) > int(year[2:]):
        expected += f"; for a range of years type {year}/{year[:2]}{month}"
    raise refusal(whole, expected)


def _day_that_exists(year: str, month: str) -> str:
    if year.isdigit() and month.isdigit():
        last = days_in_month(int(year), int(month))
        return f"a day that exists: {MONTH_NAMES[int(month) - 1]} {year} has {last} days"
    return "a day that exists in the calendar"


def _doubts(befores: list[str], afters: list[str]) -> tuple[str, str, str]:
    # ISO 8601-2:2019 8.4: a mark before a part is for that part alone, one after it for the part and all to its left.
    marks = []
    for place in range(3):
        found = set(befores[place] + "".join(afters[place:]))
        marks.append("%" if "%" in found or {"?", "~"} <= found else "".join(found))
    return marks[0], marks[1], marks[2]
