"""Dates that may be partial or uncertain, and moments: a date with a clock time where it is known."""

import datetime
import re
from dataclasses import dataclass

from catalog.date_grammar import bounds, refusal
from catalog.date_words import edtf_from_words, words
from catalog.errors import NotUnderstood

_EDTF_LETTERS = r"[0-9X?~%/.,\[\]{}-]+"
_CLOCK = r"(\d{1,2}):(\d{2})(?::(\d{2}))?\s*(Z|[+-]\d{2}:\d{2})?|(\d{2})(\d{2})"
_LONGEST = 200


@dataclass(frozen=True)
class Date:
    """A date as EDTF (ISO 8601-2:2019) with the first and last day it allows.

    `earliest` and `latest` are YYYY-MM-DD, or "" where the date is open or not known on that side.
    """

    edtf: str
    earliest: str
    latest: str

    @property
    def year(self) -> int | None:
        """The one year the date lies in, or None when it may lie in several."""
        return int(self.earliest[:4]) if self.earliest and self.earliest[:4] == self.latest[:4] else None

    @property
    def is_exact_day(self) -> bool:
        """Whether this is one calendar day, without doubt."""
        return self.edtf == self.earliest == self.latest

    def text(self) -> str:
        """The date in English: "3 May 2026", "c. 1860", "1860s", "between 1863 and 1870"."""
        return words(self.edtf)


def parse_date(text: str, today: datetime.date | None = None) -> Date:
    """Read a date typed by a person: EDTF, or plain English such as "c. 1860", "3 May 2026", "before 1928".

    `today` is what "today" and "yesterday" count from. Raises `NotUnderstood` for what is no date, is
    ambiguous (10/7/2008), or would lose something that was typed ("1863, printed 1870").
    """
    # Plain days are nearly all dates ever typed or imported, and are read without the grammar.
    if len(text) == 10 and text[4] == text[7] == "-" and text.isascii() and text[:4].isdigit() and text[5:7].isdigit():
        try:
            datetime.date.fromisoformat(text)
        except ValueError:
            pass  # the grammar tells what is wrong, and knows year 0000 and unknown digits
        else:
            return Date(text, text, text)
    typed = " ".join(text.replace("–", "-").replace("—", "-").replace("−", "-").split())
    if not typed or len(typed) > _LONGEST:
        raise refusal(typed[:60], "a date such as 2026-05-03, 1863 or c. 1860")
    return _from_grammar(typed, today)


def _from_grammar(typed: str, today: datetime.date | None) -> Date:
    compact = typed.replace(", ", ",").replace(" / ", "/")
    if compact[0] in "[{" or ("/" in compact and re.fullmatch(_EDTF_LETTERS, compact) and compact.count("/") == 1):
        edtf = compact
    else:
        edtf = edtf_from_words(typed, today)
    try:
        earliest, latest = bounds(edtf)
    except NotUnderstood as problem:
        # The sentence names what the person typed, not what it was turned into.
        raise refusal(typed, problem.expected) from None
    return Date(edtf, earliest, latest)


@dataclass(frozen=True)
class Moment:
    """When something happened: a date as EDTF with its bounds, and a clock time with its UTC offset.

    `clock` is "HH:MM+02:00" or "HH:MM:SS+02:00", and "" when the time of day is not known.
    """

    date: str
    earliest: str
    latest: str
    clock: str

    @property
    def instant(self) -> datetime.datetime | None:
        """The timezone-aware start of the moment, or None unless both the day and the clock are known."""
        if not self.clock or not self.date == self.earliest == self.latest:
            return None
        return datetime.datetime.fromisoformat(f"{self.date}T{self.clock}")

    @property
    def sort_key(self) -> tuple[str, str, float]:
        """A key for sorting by local day, then within a day by instant; an unknown clock comes first."""
        start = self.instant
        if start is None:
            clock = float("-inf")
        else:
            # Counted from the day's midnight in UTC, so two offsets on one day still sort by what came first.
            naive = start.replace(tzinfo=None)
            midnight = naive.replace(hour=0, minute=0, second=0)
            clock = (naive - midnight - (start.utcoffset() or datetime.timedelta())).total_seconds()
        return (self.earliest or self.latest, self.latest or self.earliest, clock)

    def text(self) -> str:
        """The moment in English: "3 May 2026, 15:40"; the date alone when the clock is not known."""
        return f"{words(self.date)}, {self.clock[:5]}" if self.clock else words(self.date)


def moment(on: str | None, at: str | None, now: datetime.datetime) -> Moment:
    """The moment meant by a date and a clock time typed by a person, either of which may be left out.

    Neither: `now`, to the second. A date alone: that date, clock not known. A clock alone: today. The clock
    takes the offset that the zone of `now` has on that day, unless one is typed ("15:40+02:00"). `now` must
    know its zone (`ValueError`). Raises `NotUnderstood`, also for a clock on a date that is not one exact day.
    """
    if now.utcoffset() is None:
        raise ValueError("now must know its time zone")
    today = now.date()
    if on is None and at is None:
        day = today.isoformat()
        return Moment(day, day, day, now.strftime("%H:%M:%S") + _offset(now))
    date = parse_date(on, today) if on is not None else parse_date(today.isoformat())
    if at is None:
        return Moment(date.edtf, date.earliest, date.latest, "")
    if not date.is_exact_day or date.edtf.startswith("0000"):
        raise NotUnderstood("a date that can have a time of day", on or date.edtf, "one exact day, such as 2026-05-03")
    return Moment(date.edtf, date.earliest, date.latest, _clock(at, date.edtf, now.tzinfo))


def later_than(a: Moment, b: Moment) -> bool:
    """Whether `a` is certainly after `b`; False whenever dates overlap, are open, or a needed clock is missing."""
    start, other = a.instant, b.instant
    if start is not None and other is not None:
        # A clock without seconds stands for its whole minute.
        whole = 0 if b.clock[5:6] == ":" else 59
        return start > other + datetime.timedelta(seconds=whole)
    return bool(a.earliest and b.latest and a.earliest > b.latest)


def _clock(at: str, day: str, zone: datetime.tzinfo | None) -> str:
    typed = at.strip()
    found = re.fullmatch(_CLOCK, typed)
    expected = "a time of day from 00:00 to 23:59, such as 15:40, 1540 or 15:40:30"
    if not found or not typed.isascii():
        raise NotUnderstood("a time of day", at, expected)
    hour, minute, second, offset = found[1] or found[5], found[2] or found[6], found[3], found[4]
    text = f"{int(hour):02d}:{minute}" + (f":{second}" if second else "")
    try:
        local = datetime.datetime.fromisoformat(f"{day}T{text}{offset or ''}")
    except ValueError:
        raise NotUnderstood("a time of day", at, expected) from None
    return text + _offset(local if offset else local.replace(tzinfo=zone))


def _offset(local: datetime.datetime) -> str:
    # Zones before standard time had odd seconds; a clock is kept to the minute of offset, as ISO 8601 writes it.
    minutes = round((local.utcoffset() or datetime.timedelta()).total_seconds() / 60)
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"
