"""One date out of tokens, whole or with a part left out that stands beside it: “9” and “11 June 1953”."""

import re
from collections.abc import Callable
from typing import NamedTuple

from catalog.date_grammar import MONTH_NAMES
from catalog.exchange.free_text import date_lexicon as is_
from catalog.exchange.free_text.centuries import century, part_of_century
from catalog.exchange.free_text.date_tokens import NotReadError, Token, shape


class Piece(NamedTuple):
    """One date, parts "" where not written: year ("1890", "189X"), month (or season 21 to 24), day.

    `number` is a bare number whose meaning another piece decides; `hundred` an ordinal without its word “century”;
    `ends` a first and a last date where one word says a span (“first half of the 19th century”). `either` is the
    second reading of a day in digits. `mark` is "", "~", "?" or "%"; `doubts` are sentences.
    """

    year: str = ""
    month: str = ""
    day: str = ""
    number: str = ""
    hundred: str = ""
    ends: tuple[str, str] | None = None
    either: str = ""
    mark: str = ""
    doubts: tuple[str, ...] = ()

    @property
    def edtf(self) -> str:
        """The date with its mark; only for a piece that has its year."""
        return "-".join(part for part in (self.year, self.month, self.day) if part) + self.mark

    @property
    def first(self) -> str:
        return self.ends[0] + self.mark if self.ends else self.edtf

    @property
    def last(self) -> str:
        return self.ends[1] + self.mark if self.ends else self.edtf

    @property
    def is_whole(self) -> bool:
        return bool(self.ends) or bool(self.year and not self.number and (self.month or not self.day))

    @property
    def is_year(self) -> bool:
        return self.year.isdigit() and not (self.month or self.day or self.ends)


def piece(found: list[Token], day_first: bool | None) -> Piece | None:
    """The one date that all the tokens say, or None. Raises `NotReadError` where only one thing is missing."""
    found = [token for token in found if token.kind not in (is_.COMMA, is_.COMMON_ERA)]
    letters = shape(found)
    # What casts doubt stands before the date or after it, never within (“May 3?, 1843” is left to a person).
    core = re.fullmatch(r"[QU]*((?:[^QU].*)?[^QU])[QU]*", letters)
    if not core or set("QU") & set(core[1]):
        return None
    mark = {(True, True): "%", (True, False): "~", (False, True): "?", (False, False): ""}[
        "Q" in letters, "U" in letters
    ]
    inside = found[core.start(1) : core.end(1)]
    for pattern, build in _SHAPES:
        if re.fullmatch(pattern, core[1]):
            if mark in ("~", "%") and core[1] == is_.YEAR_AND_TWO:
                return _years_and_two(inside[0])._replace(mark=mark)
            built = build(inside, day_first)
            return built._replace(mark=mark) if built else None
    return None


def _value(found: list[Token], kinds: str) -> str:
    return next((token.value for token in found if token.kind in kinds), "")


def _plain(found: list[Token], day_first: bool | None) -> Piece:
    """Year, month or season and day in any order, as their letters say."""
    year, month = _value(found, "Y"), _value(found, "MRS")
    day = _value(found, "NKO")
    if _value(found, "R") and not day and len(_roman(found)) == 1:
        raise NotReadError(f"“{_roman(found)}” may be a month in Roman numerals or a letter; write the month out.")
    part = _part(found)
    kept = Piece(year=year, month=month, day=f"{int(day):02d}" if day else "")
    return _with_part(kept, part)


def _roman(found: list[Token]) -> str:
    return next(token.written for token in found if token.kind == "R")


def _part(found: list[Token]) -> str:
    """“late”, “mid to late”, "" where none stands."""
    return " to ".join(token.written for token in found if token.kind == "P")


def _with_part(kept: Piece, part: str) -> Piece:
    if not part:
        return kept
    what = ("season" if kept.month > "12" else "month") if kept.month else "year"
    what = "decade" if kept.year.endswith("X") else what
    return kept._replace(doubts=(f"“{part}” is not kept: the whole {what} was read.",))


def _number(found: list[Token], day_first: bool | None) -> Piece:
    return Piece(number=found[0].value)


def _decade(found: list[Token], day_first: bool | None) -> Piece:
    digits, part = _value(found, "D"), _part(found)
    if not digits.endswith("0"):
        return _with_part(Piece(year=f"{digits}X"), part)
    hundred = Piece(year=f"{digits[:2]}XX", doubts=(f"“{digits}0s” was read as the hundred years, not as ten.",))
    return hundred._replace(doubts=(*hundred.doubts, f"“{part}” is not kept.")) if part else hundred


def _short_decade(found: list[Token], day_first: bool | None) -> Piece:
    return Piece(number=f"{found[0].value}X")


def _hundred(found: list[Token], day_first: bool | None) -> Piece:
    part = _part(found)
    return Piece(
        hundred=_value(found, "NKO"), doubts=(f"“{part}” is not kept: the whole century was read.",) * bool(part)
    )


def _century(found: list[Token], day_first: bool | None) -> Piece:
    part, ordinals = _part(found), [token.value for token in found if token.kind in "NKO"]
    whole = century(int(ordinals[-1]))
    return Piece(year=whole, doubts=(f"“{part}” is not kept: the whole century was read.",) * bool(part))


def _fraction(found: list[Token], day_first: bool | None) -> Piece:
    parts, ordinals = int(_value(found, "F")), [token.value for token in found if token.kind in "NKO"]
    which = parts if "l" in shape(found) else int(ordinals[0])
    return Piece(ends=part_of_century(which, parts, int(ordinals[-1])))


def _century_first(found: list[Token], day_first: bool | None) -> Piece | None:
    """“19. Jh., 2. Hälfte”, “XIXe siècle (fin)”."""
    build = _fraction if is_.FRACTION in shape(found) else _century
    return build([*found[2:], *found[:2]], day_first)


def _half(found: list[Token], day_first: bool | None) -> Piece | None:
    """“first half of the 1930s”, “2. Hälfte 1933”. Where halves of a decade meet, the year they dispute is in both."""
    which = 2 if "l" in shape(found) else int(_value(found, "KNO"))
    if _value(found, "F") != "2" or which not in (1, 2):
        return None
    if year := _value(found, "Y"):
        return Piece(ends=(f"{year}-01", f"{year}-06") if which == 1 else (f"{year}-07", f"{year}-12"))
    decade = _value(found, "D")
    return Piece(ends=(f"{decade}0", f"{decade}5") if which == 1 else (f"{decade}5", f"{decade}9"))


def _year_and_two(found: list[Token], day_first: bool | None) -> Piece:
    """“1912-06”, “1910-12”, “1910-20”: a month where it can be no range of years, a range where it is no month."""
    year, two = found[0].value[:4], found[0].value[5:]
    is_month, is_range = "01" <= two <= "12", two > year[2:]
    if found[0].value[4] == "." or (is_month and not is_range):
        return Piece(year=year, month=two)
    if is_month:
        name = MONTH_NAMES[int(two) - 1]
        said = f"“{found[0].written}” was read as {name} {year}; it may also be the years {year} to {year[:2]}{two}."
        return Piece(year=year, month=two, doubts=(said,))
    if two == "00":
        later = f"{int(year[:2]) + 1}00"
        return Piece(ends=(year, later), doubts=(f"“{found[0].written}” was read as the years {year} to {later}.",))
    if not is_range:
        raise NotReadError(f"“{found[0].written}” is no month of {year}, and no later year of the same hundred.")
    doubts = (f"“{found[0].written}” was read as the years {year} to {year[:2]}{two}.",) if "21" <= two <= "24" else ()
    return Piece(ends=(year, year[:2] + two), doubts=doubts)


def _years_and_two(token: Token) -> Piece:
    """“c. 1910-12” is hardly December: nobody doubts a month in digits. The years hold the month too."""
    one = _year_and_two([token], None)
    if not one.doubts or one.ends:
        return one
    last = f"{one.year[:2]}{one.month}"
    return Piece(ends=(one.year, last), doubts=(f"“{token.written}” was read as the years {one.year} to {last}.",))


def _three_digits(found: list[Token], day_first: bool | None) -> Piece:
    year = f"0{found[0].value}"
    return Piece(year=year, doubts=(f"“{found[0].written}” was read as the year {year}.",))


def _day(found: list[Token], day_first: bool | None) -> Piece:
    written = found[0].value
    first, second, third = (int(part) for part in re.split("[./-]", written))
    if re.match(r"\d{4}", written):
        if not third:
            kept = Piece(year=written[:4], month=f"{second:02d}" if second else "")
            return kept._replace(doubts=(f"“00” in “{written}” was read as not known.",))
        return Piece(year=written[:4], month=f"{second:02d}", day=f"{third:02d}")
    return _day_of(written, first, second, f"{third:04d}", day_first)


def _month_and_year(found: list[Token], day_first: bool | None) -> Piece:
    month, year = re.split("[./-]", found[0].value)
    return Piece(year=year, month=f"{int(month):02d}")


def _day_in_numbers(found: list[Token], day_first: bool | None) -> Piece:
    """“2. 4. 1861”: numbers with dots, apart."""
    written = " ".join(token.written for token in found)
    return _day_of(written, int(found[0].value), int(found[1].value), found[2].value, day_first)


def _day_of(written: str, first: int, second: int, year: str, day_first: bool | None) -> Piece:
    day_month = Piece(year=year, month=f"{second:02d}", day=f"{first:02d}")
    month_day = Piece(year=year, month=f"{first:02d}", day=f"{second:02d}")
    if first == second or second <= 12 < first:
        return day_month
    if first <= 12 < second:
        return month_day
    if day_first is not None:
        return day_month if day_first else month_day
    said = f"“{written}” may be {day_month.edtf} or {month_day.edtf}; say whether the day or the month is first."
    return day_month._replace(either=month_day.edtf, doubts=(said,))


_LED = "P(?:TP)?"  # “early”, “mid to late”
_PART = f"(?:{_LED})?"
_SHAPES: tuple[tuple[str, Callable[[list[Token], bool | None], Piece | None]], ...] = (
    (f"{_PART}Y|{_PART}(?:MY|YM|RY|SY|YS)", _plain),
    ("[NKO][MR]Y|MNY|M[NKO]Y|Y[MR][NKO]|Y[NKO]M", _plain),
    (f"{_PART}M|S|[NKO][MR]|M[NKO]|[NKO]Y|Y[NKO]", _plain),
    ("[NK]", _number),
    (f"{_PART}D", _decade),
    ("E", _short_decade),
    (f"{_PART}[KNO]C", _century),
    (f"{_PART}O|{_LED}K", _hundred),
    ("(?:[KNO]|l)F[KNO]C", _fraction),
    ("[KNO]C(?:[KNOl]F|P)", _century_first),
    ("(?:[KNO]|l)F[YD]", _half),
    ("I", _year_and_two),
    ("3", _three_digits),
    ("J", _day),
    ("i", _month_and_year),
    ("KKY|KNY", _day_in_numbers),
)
