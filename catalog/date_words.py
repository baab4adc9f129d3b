"""The words of dates: plain English into EDTF, and EDTF into plain English."""

import datetime
import re
from functools import lru_cache

from catalog.date_grammar import ACCEPTED, MONTH_NAMES, OPEN, SEASON_NAMES, UNKNOWN, Single, refusal, structure

_MONTHS = {name.lower(): f"{place:02d}" for place, name in enumerate(MONTH_NAMES, 1)}
_MONTHS |= {name[:3].lower(): f"{place:02d}" for place, name in enumerate(MONTH_NAMES, 1)} | {"sept": "09"}
_SEASONS = {name: code for code, name in SEASON_NAMES.items()} | {"fall": "23"}

_ABOUT = r"(?i)(?:circa|about|around|approximately|approx\.?|ca\.?|c\.?)\s*(.+)"
_DAY_FIRST = r"(?i)(\d{1,2})(?:st|nd|rd|th)?\s+([a-z]+)\.?,?\s+(\d{4})"
_MONTH_FIRST = r"(?i)([a-z]+)\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})"
_MONTH_OR_SEASON = r"(?i)(?:the )?([a-z]+)\.?,?\s+(?:of )?(\d{4})"
_DECADE = r"(?i)(?:the )?(\d{3})0['’]?s"
_CENTURY = r"(?i)(?:the )?(\d{1,2})(st|nd|rd|th) century"
_RELATIONS = (
    (r"before (.+)", "/{0}"),
    (r"after (.+)", "{0}/"),
    (r"until (.+)", "../{0}"),
    (r"from (.+) on(?:wards?)?", "{0}/.."),
    (r"by (.+)", "[..{0}]"),
    (r"(.+) or earlier", "[..{0}]"),
    (r"(.+) or later", "[{0}..]"),
    (r"between (.+) and (.+)", "{0}/{1}"),
    (r"from (.+) to (.+)", "{0}/{1}"),
    (r"(.+) to (.+)", "{0}/{1}"),
)

_NUMERIC_DAY = r"(\d{1,2})[/.-](\d{1,2})[/.-](\d{2,4})"
_LOOSE_DAY = r"(\d{4})[/.-](\d{1,2})[/.-](\d{1,2})"
_YEAR_DASH_YEAR = r"(\d{4})\s*-\s*(\d{4})"
_EITHER_YEAR = r"(?i)(\d{4}) or (\d{4})"
_OLD_UNKNOWN_DIGIT = r"(?i)(?=.*u)[\du]{4}(?:-[\du]{2}){0,2}"
_YEAR = r"(?<!\d)\d{4}(?!\d)"


def edtf_from_words(text: str, today: datetime.date | None) -> str:
    """Turn a plain English date into EDTF text ("c. 1860" to "1860~"); "today" and "yesterday" need `today`.

    Raises `NotUnderstood` when the words are ambiguous or say more than one date can hold.
    """
    lowered = text.lower()
    if lowered in ("today", "yesterday"):
        if today is None:
            raise refusal(text, "a date written out, such as 2026-05-03: today is not known here")
        return (today if lowered == "today" else today - datetime.timedelta(days=1)).isoformat()
    _refuse_known_traps(text)
    for pattern, form in _RELATIONS:
        if found := re.fullmatch(pattern, text, re.I):
            return form.format(*(_one(part, text) for part in found.groups()))
    for opening, brackets in (("one of ", "[]"), ("all of ", "{}")):
        if lowered.startswith(opening):
            return brackets[0] + ",".join(_one(part, text) for part in text[len(opening) :].split(",")) + brackets[1]
    return _one(text, text)


def _one(part: str, whole: str) -> str:
    """One date in words or EDTF, with "c." before and "?" after where in doubt, as EDTF."""
    part = part.strip()
    about = re.fullmatch(_ABOUT, part)
    inner = about.group(1).strip() if about else part
    if about and inner[-1:] in "?%":
        return _plain(inner[:-1].strip(), whole) + "%"
    if about:
        return _plain(inner.removesuffix("~"), whole) + "~"
    if inner.endswith("?"):
        return _plain(inner[:-1].strip(), whole) + "?"
    return _plain(inner, whole)


def _plain(part: str, whole: str) -> str:
    if found := re.fullmatch(_DAY_FIRST, part):
        day, month, year = found.groups()
        return f"{year}-{_month(month, whole)}-{int(day):02d}"
    if found := re.fullmatch(_MONTH_FIRST, part):
        month, day, year = found.groups()
        return f"{year}-{_month(month, whole)}-{int(day):02d}"
    if found := re.fullmatch(_MONTH_OR_SEASON, part):
        word, year = found.groups()
        return f"{year}-{_SEASONS.get(word.lower()) or _month(word, whole)}"
    if found := re.fullmatch(_DECADE, part):
        # "1800s" may mean ten years or a hundred; the hundred holds the ten, so nothing is lost.
        return f"{found[1][:2]}XX" if found[1].endswith("0") else f"{found[1]}X"
    if (found := re.fullmatch(_CENTURY, part)) and int(found[1]) > 0:
        return f"{int(found[1]) - 1:02d}XX"
    if re.fullmatch(r"[0-9X?~%-]+", part):
        return part
    years = re.findall(_YEAR, whole)
    if len(years) > 1 and re.search("[a-z]", whole, re.I):
        raise refusal(whole, "one date only: two dates (made, printed) go into two fields, a range is 1863/1870")
    if len(years) > 1:
        raise refusal(whole, f"brackets around alternatives: [{','.join(years)}]")
    raise refusal(whole, ACCEPTED)


def _month(word: str, whole: str) -> str:
    number = _MONTHS.get(word.lower())
    if number is None:
        raise refusal(whole, f"an English month or season name where “{word}” stands, or digits such as 2026-05-03")
    return number


def _refuse_known_traps(text: str) -> None:
    if found := re.fullmatch(_NUMERIC_DAY, text):
        year = found[3] if len(found[3]) == 4 else "2008"
        readings = f"{year}-{int(found[1]):02d}-{int(found[2]):02d} or {year}-{int(found[2]):02d}-{int(found[1]):02d}"
        raise refusal(text, f"the year, then the month, then the day: {readings}")
    if (found := re.fullmatch(_LOOSE_DAY, text)) and not re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        raise refusal(text, f"two digits each for month and day: {found[1]}-{int(found[2]):02d}-{int(found[3]):02d}")
    if found := re.fullmatch(_YEAR_DASH_YEAR, text):
        raise refusal(text, f"a slash between two years: {found[1]}/{found[2]}")
    if found := re.fullmatch(_EITHER_YEAR, text):
        raise refusal(text, f"[{found[1]},{found[2]}] for one of two years")
    if re.fullmatch(_OLD_UNKNOWN_DIGIT, text):
        raise refusal(text, f"X for each unknown digit: {text.replace('u', 'X').replace('U', 'X')}")
    if "(" in text or ")" in text:
        raise refusal(text, "one date without brackets; doubt about a part is typed beside it (2004-06-~11), "
                            "and anything more belongs in a note")  # fmt: skip
    if re.fullmatch(r"\d{8}", text):
        raise refusal(text, f"dashes between year, month and day: {text[:4]}-{text[4:6]}-{text[6:]}")
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}[T ]\d.*", text):
        raise refusal(text, f"the date alone, {text[:10]}, with the time of day given apart")


@lru_cache(maxsize=4096)
def words(edtf: str) -> str:
    """An EDTF text in English: "3 May 2026", "c. 1860", "1860s", "between 1863 and 1870", "one of 1863, 1870"."""
    whole = structure(edtf)
    start, end = whole.items[0]
    if whole.kind == "single" and isinstance(start, Single):
        return _single_words(start)
    if whole.kind == "interval":
        return _interval_words(start, end)
    if len(whole.items) == 1 and OPEN in (start, end) and whole.kind == "one of":
        return f"{_end_words(end)} or earlier" if start == OPEN else f"{_end_words(start)} or later"
    return f"{whole.kind} {', '.join(_member_words(*item) for item in whole.items)}"


def _interval_words(start: Single | str, end: Single | str) -> str:
    if start == UNKNOWN:
        return f"before {_end_words(end)}"
    if end == UNKNOWN:
        return f"after {_end_words(start)}"
    if start == OPEN:
        return f"until {_end_words(end)}"
    if end == OPEN:
        return f"from {_end_words(start)} on"
    return f"between {_end_words(start)} and {_end_words(end)}"


def _member_words(start: Single | str, end: Single | str) -> str:
    if start == end:
        return _end_words(start)
    if start == OPEN:
        return f"anything to {_end_words(end)}"
    if end == OPEN:
        return f"anything from {_end_words(start)}"
    return f"{_end_words(start)} to {_end_words(end)}"


def _end_words(end: Single | str) -> str:
    return _single_words(end) if isinstance(end, Single) else end


def _single_words(single: Single) -> str:
    named = [mark for mark, part in zip(single.doubts, (single.year, single.month, single.day), strict=True) if part]
    text = _undoubted_words(single)
    if len(set(named)) == 1:
        mark = named[0]
        return f"{'c. ' if mark in ('~', '%') else ''}{text}{'?' if mark in ('?', '%') else ''}"
    meanings = {"?": "uncertain", "~": "approximate", "%": "uncertain and approximate"}
    part_names = ("year", "season" if single.is_season else "month", "day")
    remarks = [f"{name} {meanings[mark]}" for name, mark in zip(part_names, single.doubts, strict=True) if mark]
    return f"{text} ({', '.join(remarks)})"


def _undoubted_words(single: Single) -> str:
    year, month, day = single.year, single.month, single.day
    year_words = _year_words(year)
    if not year_words or "X" in month.replace("XX", "") or "X" in day.replace("XX", ""):
        digits = "-".join(part for part in (year, month, day) if part)
        return f"{digits} (X: digit not known)"
    if not month:
        return year_words
    joined = f"in the {year_words}" if year_words.endswith("s") else year_words
    if month == "XX":
        if day not in ("", "XX"):
            return f"day {int(day)} of a month not known, {joined}"
        return f"{year_words}, month{' and day' if day else ''} not known"
    name = SEASON_NAMES.get(month) or MONTH_NAMES[int(month) - 1]
    if day == "XX":
        return f"{name} {joined}, day not known"
    return f"{int(day)} {name} {joined}" if day else f"{name} {joined}"


def _year_words(year: str) -> str:
    """A year, decade or hundred in words; "" for a pattern that no short word names exactly."""
    if year.isdigit():
        return year
    if re.fullmatch(r"\d\d[1-9]X", year):
        return f"{year[:3]}0s"
    if re.fullmatch(r"\d\d0X", year):
        return f"{year[:3]}0–{year[:3]}9"  # "1800s" would be read as the hundred years by some
    return f"{year[:2]}00–{year[:2]}99" if re.fullmatch(r"\d\dXX", year) else ""  # and as ten by others
