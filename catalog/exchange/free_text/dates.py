"""Dates as people and museums wrote them, read into EDTF: nothing lost, and nothing read that is not understood."""

import re
from functools import lru_cache
from typing import NamedTuple

from catalog.date_grammar import bounds
from catalog.dates import Date, parse_date
from catalog.errors import NotUnderstood
from catalog.exchange.free_text.date_lexicon import UNDATED
from catalog.exchange.free_text.date_spans import Span
from catalog.exchange.free_text.date_tokens import NotReadError, Token, tokens
from catalog.exchange.free_text.made_and_printed import two_dates
from catalog.exchange.free_text.short_years import completed

LONGEST = 200
_STAND_INS = ("0000", "9999")  # years that lists put where none is known
_LIKELY = ("1000", "2100")
_EDTF = re.compile(r"[0-9X?~%/.,\[\]{} -]+")
# What the strict reading takes for EDTF although a person rarely means it so; the wider reading tells.
_YEAR_AND_TWO = re.compile(r"\d{4}-\d\d\??")
_PLAIN_INTERVAL = re.compile(r"\d{4} ?/ ?\d{4}")
_MIDNIGHT = re.compile(r"(?<=\d)[T ](\d\d?:\d\d(?::\d\d)?(?:\.\d+)?)\s?(?:Z|[+-]\d\d:\d\d)?$")
_THAT_IS = re.compile(r"[\[(]\s*\.?\s?i\.?\s?e\.?,?\s*(.+?)\s*[\])]")
_ALIKE = str.maketrans({"—": "–", "−": "-", "‐": "-", "‑": "-", "`": "’", "´": "’"})
_TRAILING_ZERO = re.compile(r"(\d{4})[.,]0")
# “n.d. [c. 1933]”: the thing bears no date, and a cataloguer gives one.
_BEARS_NONE = re.compile(
    r"(?i)(n\.? ?d\.?|s\.? ?d\.?|o\.? ?[dj]\.?|(?:un|not )dated|no date|undatiert|ohne (?:datum|jahr)|sans date"
    r"|non datée?)"
    r"(?:\s*[,;]\s*|\s*(?=[\[(]))(.*\d.*)"
)
# The first days that spreadsheets and computers count from, which stand where no day was known.
_FIRST_DAYS = ("1899-12-30", "1899-12-31", "1900-01-00", "1900-01-01", "1904-01-01", "1970-01-01")


SHORT_YEAR = "has a year of two digits; the hundred is not guessed"


class DateReading(NamedTuple):
    """What a text says of when a thing was made and, apart from it, when it was printed.

    `doubts` are sentences: each says what the text was read as where another reading is possible. `why_not` is the
    sentence that says why nothing was read, and "" where something was; then `made` or `printed` is a date.
    """

    made: Date | None
    printed: Date | None
    doubts: tuple[str, ...]
    why_not: str


@lru_cache(maxsize=65_536)
def read_date(text: str, *, day_first: bool | None = None, hundred: str = "") -> DateReading:
    """Read a date written by a person, in English, French or German words, in digits, or as EDTF.

    `day_first` says how “3/4/1952” is meant: True for 3 April, False for March 4, None when nobody said. `hundred` is
    what stands before a year of two digits, "19" for “May-53” of 1953, "" when nobody said: then it is not read.
    Never raises. "undated" and its like read as nothing, with a sentence that says so.
    """
    typed = " ".join(text.split())
    if len(typed) == 4 and typed.isascii() and typed.isdigit() and _LIKELY[0] <= typed < _LIKELY[1]:
        return DateReading(Date(typed, f"{typed}-01-01", f"{typed}-12-31"), None, (), "")
    if len(typed) > LONGEST:
        return _nothing(f"“{typed[:40]}…” is longer than {LONGEST} signs; a date is shorter.")
    try:
        return _checked(_strict(typed) or _wide(typed, day_first, hundred))
    except NotReadError as problem:
        return _nothing(problem.sentence)
    except NotUnderstood as problem:
        return _nothing(f"“{typed}” is no date that exists: expected {problem.expected}.")


def _nothing(why: str) -> DateReading:
    return DateReading(None, None, (), why)


def _strict(typed: str) -> DateReading | None:
    """What the typed reading of dates takes without doubt; forms that people mean otherwise are left to the wider."""
    if "–" in typed or "—" in typed or not typed or _YEAR_AND_TWO.fullmatch(typed) or _PLAIN_INTERVAL.fullmatch(typed):
        return None
    # Brackets round one date are a cataloguer's who supplied it; round several they are a set of EDTF.
    if not _EDTF.fullmatch(typed) or (typed[0] == "[" and "," not in typed and ".." not in typed):
        return None
    try:
        return DateReading(parse_date(typed), None, (), "")
    except NotUnderstood:
        return None


def _wide(typed: str, day_first: bool | None, hundred: str) -> DateReading:
    bare = "".join(sign for sign in typed.lower() if sign.isalpha())
    if not typed:
        raise NotReadError("Nothing is written here.")
    if (bare in UNDATED and not re.search(r"\d", typed)) or not typed.strip(" .-–?/[]()"):
        raise NotReadError(f"“{typed}” says that no date is known.")
    meant, said = _meant(typed)
    cut = tokens(meant)
    cut, of_years = completed(cut, hundred) if hundred else (cut, ())
    read = two_dates(cut, day_first) if cut else None
    if read is None:
        raise NotReadError(_why(typed, cut, day_first))
    made, printed = _date(read.made), _date(read.printed)
    doubts = [doubt for one in (read.made, read.printed) if one for doubt in one.doubts]
    if not (made and made.is_exact_day and said.startswith("Only")):  # a day leaves nothing of the text unread
        doubts += [said] * bool(said)
    return DateReading(made, printed, tuple(dict.fromkeys((*of_years, *doubts, *read.doubts))), "")


def _meant(typed: str) -> tuple[str, str]:
    """The part of a text that tells the date, and the sentence on what is left out (“” where nothing is)."""
    said = ""
    meant = _TRAILING_ZERO.sub(r"\1", typed) if _TRAILING_ZERO.fullmatch(typed) else typed
    if found := _MIDNIGHT.search(meant):
        said = "" if set(found[1]) <= set("0:.") else f"The time of day, {found[1]}, is not kept."
        meant = meant[: found.start()]
    if found := _BEARS_NONE.fullmatch(meant):
        meant, said = found[2], f"“{found[1]}” is not kept."
    if found := _THAT_IS.search(meant):
        meant = found[1]
        said = f"Only “{meant}” was read, which a cataloguer says is meant."
    return meant.translate(_ALIKE), said


def _date(one: Span | None) -> Date | None:
    return Date(one.edtf, *bounds(one.edtf)) if one else None


def _why(typed: str, cut: list[Token], day_first: bool | None) -> str:
    whole, _ = completed(cut, "19")
    try:
        read = two_dates(whole, day_first) if whole != cut else None
        short = read is not None and bool(_date(read.made) or _date(read.printed))
    except (NotReadError, NotUnderstood):
        short = False
    return f"“{typed}” {SHORT_YEAR}. Write the year with four." if short else f"“{typed}” is not understood as a date."


def _checked(reading: DateReading) -> DateReading:
    """A reading whose years are likely, with a doubt where one is not; years that stand for “not known” are refused."""
    doubts: tuple[str, ...] = ()
    for date in (reading.made, reading.printed):
        if date is None:
            continue
        if date.edtf[:4] in _STAND_INS:
            raise NotReadError(f"“{date.edtf}” has a year that often stands for “not known”; nothing was read.")
        if date.edtf in _FIRST_DAYS:
            doubts = (f"{date.edtf} is a day that computers write where none is known.",)
        if (date.latest and date.latest < _LIKELY[0]) or (date.earliest and date.earliest >= _LIKELY[1]):
            doubts = (f"{date.edtf} is no likely year.",)
    if reading.made and reading.printed and reading.printed.latest and reading.made.earliest > reading.printed.latest:
        doubts = (*doubts, "The print would be older than its negative.")
    return reading._replace(doubts=(*reading.doubts, *doubts)) if doubts else reading
