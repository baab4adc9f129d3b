"""Years of two digits, given the hundred that a person said for a whole list: “May-53”, “5/1/53”, “c. '48”.

Only where nothing else is meant. A number is a year when it stands alone; behind a day and its month; behind a month
when it is no day of one (over 31), or when the whole text is a month and it (“May-53”, as spreadsheets show a month);
and among nothing but numbers when all are over 31. Where one number stays open that another reading would need, none
is completed.
"""

import re
from typing import NamedTuple

from catalog.exchange.free_text import date_lexicon as is_
from catalog.exchange.free_text.date_ranges import LAST_DAY
from catalog.exchange.free_text.date_tokens import Token, shape

_WHOLE = {is_.YEAR, is_.DECADE, is_.YEAR_AND_TWO, is_.DAY, is_.MONTH_AND_YEAR, is_.THREE_DIGITS, is_.CENTURY}
_ROUND = f"[{is_.ABOUT}{is_.UNCERTAIN}{is_.BEFORE}{is_.AFTER}{is_.NOT_AFTER}{is_.NOT_BEFORE}{is_.SINCE}{is_.PART}]*"
_ALONE = re.compile(f"{_ROUND}N{_ROUND}")
_SHOWN_MONTH = re.compile(f"{_ROUND}MTN{_ROUND}")
_NUMBERS = re.compile(f"{_ROUND}N(?:[T&|,]N)+{_ROUND}")
# What stands between “to”, “and”, “or”, and ends in a number.
_DAY_FIRST = re.compile(f"{_ROUND}(?:[NKO][MR]|KK)N")
_DAY_SECOND = re.compile(f"{_ROUND}M[NKO],?N|[NKO],N")  # “May 3, 53”; “11, 53” of “June 9-11, 53”
_MONTH = re.compile(f"{_ROUND}[MR],?N")
_SEASON = re.compile(f"{_ROUND}SN")


class Found(NamedTuple):
    """Where years of two digits stand, and what is in doubt of them."""

    places: frozenset[int] = frozenset()
    doubts: tuple[str, ...] = ()


def completed(found: list[Token], hundred: str) -> tuple[list[Token], tuple[str, ...]]:
    """A date's tokens with `hundred` ("19") before each year of two digits, and what is in doubt of them.

    As they are where a year has four digits (“1948-53” says itself what it means), and where a number may be no year.
    """
    letters = shape(found)
    if _WHOLE & set(letters):
        return found, ()
    years = _found(found, letters, hundred)
    done = [_completed(token, hundred, place in years.places) for place, token in enumerate(found)]
    if _SHOWN_MONTH.fullmatch(letters):
        done.pop(letters.index(is_.TO))
    return done, years.doubts


def _completed(token: Token, hundred: str, is_year: bool) -> Token:
    if is_year:
        return Token(is_.YEAR, f"{hundred}{token.value}", token.written)
    if token.kind == is_.SHORT_DECADE:
        return Token(is_.DECADE, f"{hundred}{token.value}", token.written)
    if token.kind == is_.SHORT_DAY:
        first, sign, rest = re.fullmatch(r"(\d+)(\D)(.+)", token.value).groups()  # type: ignore[union-attr]
        if int(first) > LAST_DAY:  # “48-12-24”
            return Token(is_.DAY, f"{hundred}{token.value}", token.written)
        if sign != "-" or int(rest[-2:]) > LAST_DAY:  # “30-12-05” may begin with its year
            return Token(is_.DAY, f"{first}{sign}{rest[:-2]}{hundred}{rest[-2:]}", token.written)
    return token


def _found(found: list[Token], letters: str, hundred: str) -> Found:
    numbers = [place for place, token in enumerate(found) if token.kind == is_.NUMBER and len(token.value) == 2]
    if _ALONE.fullmatch(letters) or (_NUMBERS.fullmatch(letters) and all(_is_over(found[place]) for place in numbers)):
        return Found(frozenset(numbers) if len(numbers) == letters.count(is_.NUMBER) else frozenset())
    if _SHOWN_MONTH.fullmatch(letters):
        month, year = found[letters.index(is_.MONTH)], found[letters.index(is_.NUMBER)]
        return _one(
            letters.index(is_.NUMBER), year, f"{month.written}-{year.written}", f"a month of {hundred}{year.value}"
        )
    return _in_parts(found, letters, hundred, numbers)


def _one(place: int, year: Token, written: str, read: str) -> Found:
    if len(year.value) != 2:
        return Found()
    doubt = () if _is_over(year) else (f"“{written}” was read as {read}, not as a day.",)
    return Found(frozenset({place}), doubt)


def _in_parts(found: list[Token], letters: str, hundred: str, numbers: list[int]) -> Found:
    """Years at the end of each part between “to”, “and”, “or”; none where one of them may be a day after all."""
    years, has_day, start = set[int](), False, 0
    ends = [place for place, letter in enumerate(letters) if letter in "T&|"]
    open_end = False  # “May 3” of “May 3 - June 5, 53”: a day, if what follows has a day too
    for end in (*ends, len(letters)):
        part = letters[start:end].rstrip(is_.UNCERTAIN)
        last, start = start + len(part) - 1, end + 1
        if not part.endswith(is_.NUMBER):
            continue
        over, day_second = _is_over(found[last]), _DAY_SECOND.fullmatch(part) is not None
        if day_second and not over and not ends:
            return _one(last, found[last], found[last].written, f"the year {hundred}{found[last].value}")
        if _DAY_FIRST.fullmatch(part) or (day_second and over):
            has_day = True
        elif not (_SEASON.fullmatch(part) or (over and _MONTH.fullmatch(part))):
            open_end, has_day = True, False
            continue
        years.add(last)
    if not years <= set(numbers) or (open_end and not has_day):
        return Found()
    return Found(frozenset(years))


def _is_over(token: Token) -> bool:
    return int(token.value) > LAST_DAY
