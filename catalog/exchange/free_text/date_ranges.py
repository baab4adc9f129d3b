"""Two dates joined to a range, each end with what it left out: “June 9-11, 1953”, “Dec 1944-Jan 45”."""

from typing import NamedTuple

from catalog.exchange.free_text import date_lexicon as is_
from catalog.exchange.free_text.centuries import century
from catalog.exchange.free_text.date_pieces import Piece, piece
from catalog.exchange.free_text.date_tokens import NotReadError, Token

# An interval of two bare years this far apart may as well be the year of a negative and that of its print.
MADE_AND_PRINTED_APART = 10
MONTHS, LAST_DAY = 12, 31


class Span(NamedTuple):
    """What a text says, as EDTF, with sentences of doubt; `ends` are its first and last, None for a set or limit."""

    edtf: str
    doubts: tuple[str, ...] = ()
    ends: tuple[str, str] | None = None


def joined(left: list[Token], right: list[Token], day_first: bool | None, how: str) -> Span | None:
    """The range from the date on the left to that on the right; `how` is "dash", "slash", "word" or "between"."""
    start, end = piece(left, day_first), piece(right, day_first)
    if not start or not end or start.either or end.either:
        return None
    winter = _winter(start, end)
    if winter:
        return winter
    completed = completed_pair(start, end)
    if completed is None:
        return None
    doubts = [*completed[0].doubts, *completed[1].doubts]
    if how == "slash" and start.is_year and end.number.isdigit() and int(end.number) <= MONTHS and not start.mark:
        doubts.append(f"“{start.year}/{end.number}” was read as years; it may also be a year and its month.")
    start, end = completed
    start, end, said = _shared_marks(start, end, left, right, how)
    if how == "slash" and start.is_year and end.is_year and int(end.year) - int(start.year) > MADE_AND_PRINTED_APART:
        told = f"“{start.year}/{end.year}” was read as the years between; a negative and its print are written"
        said = (*said, f"{told} “{start.year}, printed {end.year}”.")
    return Span(f"{start.first}/{end.last}", tuple(dict.fromkeys((*doubts, *said))), (start.first, end.last))


def _shared_marks(
    start: Piece, end: Piece, left: list[Token], right: list[Token], how: str
) -> tuple[Piece, Piece, tuple[str, ...]]:
    """“c. 1950-1970” is about both ends; between words (“c. 1950 to 1970”) each end keeps its own mark."""
    said: tuple[str, ...] = ()
    leads = left[0].kind in (is_.ABOUT, is_.UNCERTAIN)
    trails = right[-1].kind in (is_.ABOUT, is_.UNCERTAIN)
    about_all = start.mark == "~" and leads and how in ("dash", "slash")
    if about_all and end.mark == "?" and right[0].kind not in (is_.ABOUT, is_.UNCERTAIN):
        # “um 1953/1960?”: what stands before both is of both
        return start, end._replace(mark="%"), (f"The “?” was read for {end.year or end.last} only.",)
    if start.mark and end.mark or not (start.mark or end.mark):
        return start, end, said
    if how in ("word", "between"):
        if start.mark and leads and how == "word":
            said = (f"The doubt was read for {start.first.rstrip('~?%')} only.",)
        return start, end, said
    if start.mark and leads:
        return start, end._replace(mark=start.mark), said
    if end.mark and trails and not start.mark:
        # “1771–76 (?)” stands apart and is about both; “1830-1840?” may be about the last alone.
        said = (f"The doubt after {end.year or end.last} was read for both ends.",)
        return start._replace(mark=end.mark), end, said
    return start, end, said


def _winter(start: Piece, end: Piece) -> Span | None:
    """“winter 1911-12” names two years, so it is that of the northern half: December to March."""
    if start.month not in ("21", "22", "23", "24") or not start.year.isdigit():
        return None
    year = following(start.year, end.number)
    if start.month == "24" and end.is_year and int(end.year) == int(start.year) + 1:
        year = end.year
    elif not end.number:
        return None
    if start.month != "24" or year is None or int(year) != int(start.year) + 1:
        raise NotReadError("Of the seasons only a winter lies in two years.")
    edtf = f"{start.year}-12{start.mark}/{year}-03{start.mark}"
    return Span(edtf, (f"The winter was read as December {start.year} to March {year}.",))


def following(year: str, tail: str) -> str | None:
    """The later year that a tail of one or two digits means: ("1890", "91") is "1891", ("1826", "7") is "1827"."""
    if not year.isdigit() or not tail.isdigit():
        return None
    whole = year[: 4 - len(tail)] + tail
    if int(whole) > int(year):
        return whole
    return f"{int(year[:2]) + 1:02d}00" if tail == "00" else None


def completed_pair(start: Piece, end: Piece) -> tuple[Piece, Piece] | None:
    """Both ends with what each left out taken from the other; None where they do not fit together."""
    if end.number:
        end = _tail(start, end) or end
    elif start.year and start.month and not start.day and end.month and end.day and not end.year:
        end = _year_or_day(start, end)
    elif end.day and end.year and (day := start.number or ("" if start.doubts else start.hundred)):
        if not day.isdigit():  # “1950s, 12 May 1948”
            return None
        start = end._replace(day=f"{int(day):02d}", mark=start.mark, doubts=start.doubts)
    hundred = start.hundred or start.number
    if hundred.isdigit() and end.year.endswith("XX") and not end.month:  # “19th-20th century”, “15./16. Jahrhundert”
        start = start._replace(year=century(int(hundred)), hundred="", number="")
    if start.number or end.number or start.hundred or end.hundred:
        return None
    if _lacks_year(start, end) or _lacks_year(end, start):  # “June - 1912” is one date or two, but no range
        return None
    if start.day and not start.month:
        start = start._replace(month=end.month)
    if end.day and not end.month:
        end = end._replace(month=start.month)
    if not start.year and not start.ends:
        start = start._replace(year=end.year)
    if not end.year and not end.ends:
        end = end._replace(year=start.year)
    return (start, end) if start.is_whole and end.is_whole else None


def _year_or_day(start: Piece, end: Piece) -> Piece:
    """“Dec 1944-Jan 45” ends in a year, “April 1912-May 3” more likely in a day."""
    year = following(start.year, end.day)
    if year and (int(end.day) > LAST_DAY or end.month < start.month):
        return end._replace(year=year, day="")
    if year:
        return end._replace(doubts=(*end.doubts, f"“{int(end.day)}” was read as a day; it may be the year {year}."))
    return end


def _lacks_year(one: Piece, other: Piece) -> bool:
    return not one.year and not one.ends and (bool(other.ends) or not (other.month or other.day))


def _tail(start: Piece, end: Piece) -> Piece | None:
    if end.number.endswith("X"):  # “1860s–70s”
        return Piece(year=start.year[:2] + end.number, mark=end.mark) if start.year[:3].isdigit() else None
    if start.day and start.month:
        return start._replace(day=f"{int(end.number):02d}", mark=end.mark, doubts=end.doubts)
    if start.is_year and (year := following(start.year, end.number)):
        said = (f"“{start.year}-{end.number}” was read as {start.year} to {year}.",) if end.number == "00" else ()
        return Piece(year=year, mark=end.mark, doubts=(*end.doubts, *said))
    return None
