"""Dates as people and museums wrote them: what is read, what is doubtful, what is left to a person."""

import csv
import datetime
import re
import time
from pathlib import Path
from typing import NamedTuple

import edtf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.exchange.free_text.dates import DateReading, read_date
from tests.exchange.free_text.written_dates import NOT_READ, TOLD, WRITTEN
from tests.test_dates import EDTF_TEXTS, WORDS

TABLE = Path(__file__).with_name("museum_dates.tsv")
READ_AT_LEAST = 99  # of a hundred, as the import of old lists promises


class Row(NamedTuple):
    """One date of a museum's open data, what it says, and the first and last year the museum itself gives it."""

    text: str
    made: str
    printed: str
    doubtful: bool
    begin: str
    end: str
    source: str
    rule: str


def museum_rows() -> list[Row]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        lines = csv.reader(file, delimiter="\t", quoting=csv.QUOTE_NONE)
        next(lines)
        return [Row._make([*line[:3], line[3] == "yes", *line[4:]]) for line in lines]


ROWS = museum_rows()
# Real dates in the table that are left to a person, each with the reason; everything else must be read.
LEFT_BY_RULE = {
    "500-400 BC": "before the year 1", "published 1881": "published", "published 1843": "published",
    "13/4/26": "two digits",
}  # fmt: skip
NO_DATE_TOLD = {"no date", "not dated", "Unknown", "No Date"}


def edtf_of(reading: DateReading) -> tuple[str, str]:
    return (reading.made.edtf if reading.made else ""), (reading.printed.edtf if reading.printed else "")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.text)
def test_a_museum_date_is_read_right_or_not_at_all(row: Row) -> None:
    reading = read_date(row.text)
    assert edtf_of(reading) in ((row.made, row.printed), ("", ""))
    assert bool(reading.doubts) == row.doubtful
    assert bool(reading.why_not) == (edtf_of(reading) == ("", ""))


def test_of_a_hundred_museum_dates_at_least_99_are_read() -> None:
    dated = [row for row in ROWS if row.text not in NO_DATE_TOLD | set(LEFT_BY_RULE)]
    unread = {row.text: read_date(row.text).why_not for row in dated if read_date(row.text).why_not}
    assert 100 * (len(dated) - len(unread)) >= READ_AT_LEAST * len(dated), unread
    assert len(dated) > 300 and set(unread) == {row.text for row in dated if not row.made and not row.printed}


@pytest.mark.parametrize(("text", "reason"), LEFT_BY_RULE.items())
def test_a_museum_date_left_to_a_person_says_why(text: str, reason: str) -> None:
    assert reason in read_date(text).why_not


@pytest.mark.parametrize("row", [row for row in ROWS if row.begin and row.made], ids=lambda row: row.text)
def test_a_museum_date_holds_the_museums_own_years(row: Row) -> None:
    """Our first and last day hold the years the museum gives, or differ for the reason SOURCES.md names."""
    made = read_date(row.text).made
    assert made
    first, last = int(made.earliest[:4] or 0), int(made.latest[:4] or 9999)
    begin, end = int(row.begin), int(row.end or row.begin)
    if row.rule == "":
        assert first <= begin and end <= last
    elif row.rule == "about":
        assert "~" in made.edtf or "%" in made.edtf
        assert first - 25 <= begin <= last and first <= end <= last + 25
    elif row.rule == "decade":
        assert begin <= first and last <= end and end - begin == 9
    elif row.rule == "century":
        assert first <= begin and end == last + 1
    else:
        assert row.rule == "wider" and begin <= first and last <= end


@pytest.mark.parametrize(("text", "made", "printed", "doubtful"), WRITTEN)
def test_written_dates(text: str, made: str, printed: str, doubtful: bool) -> None:
    reading = read_date(text)
    assert (*edtf_of(reading), reading.why_not) == (made, printed, "")
    assert bool(reading.doubts) is doubtful


@pytest.mark.parametrize(("text", "reason"), NOT_READ)
def test_what_is_not_understood_gives_no_date_and_says_why(text: str, reason: str) -> None:
    reading = read_date(text)
    assert (reading.made, reading.printed, reading.doubts) == (None, None, ())
    assert reason in reading.why_not


@pytest.mark.parametrize(("text", "day_first", "expected"), TOLD)
def test_the_order_of_day_and_month_as_told(text: str, day_first: bool, expected: str) -> None:
    reading = read_date(text, day_first=day_first)
    assert (edtf_of(reading)[0], reading.doubts) == (expected, ())


def test_a_choice_between_readings_says_what_was_read() -> None:
    assert "December 1910" in read_date("1910-12").doubts[0] and "1910 to 1912" in read_date("1910-12").doubts[0]
    assert "1952-04-03 or 1952-03-04" in read_date("3/4/1952").doubts[0]
    assert "printed after 1933" in read_date("1933/printed later").doubts[0]


def assert_valid(text: str) -> None:
    """The reference library takes it, but for two forms of the house: unknown digits beside an open end, and a doubt on
    the one end of “or later”; of those, what the library can take."""
    if text.startswith(("[..", "{..")) or text.endswith(("..]", "..}")):
        text = re.sub("[~?%]", "", text)
    for end in text.split("/") if {"", ".."} & set(text.split("/")) else [text]:
        if end not in ("..", ""):
            edtf.parse_edtf(end)


ALL_TEXTS = [row.text for row in ROWS] + [line[0] for line in WRITTEN]


def test_every_date_read_is_valid_for_the_reference_library() -> None:
    found = {date.edtf for text in ALL_TEXTS for date in read_date(text)[:2] if date}
    for text in found:
        assert_valid(text)


# Where both readings differ on purpose: a dash of print or a doubt before a year and two digits, or two digits that
# only EDTF takes for a season, mean a range of years; 0000 and 9999 stand for no date; brackets round one date are a
# cataloguer's.
OTHERWISE = re.compile(r".*\d{4}–\d\d|c.*\d{4}-\d\d|\d{4}-2[1-4].*|0000.*|9999|\[[^,]*[^,.]\]")


@pytest.mark.parametrize("text", sorted({*ALL_TEXTS, *(line[0] for line in EDTF_TEXTS), *(line[0] for line in WORDS)}))
def test_what_the_strict_reading_takes_is_read_alike(text: str) -> None:
    try:
        strict = parse_date(text)
    except NotUnderstood:
        return
    if OTHERWISE.fullmatch(text):
        return
    wide = read_date(text)
    assert wide.made == strict, wide


years = st.integers(1000, 2099).map(str)
singles = st.one_of(
    years,
    st.integers(101, 209).filter(lambda decade: decade % 10 != 0).map("{}X".format),
    st.tuples(years, st.integers(1, 12)).map(lambda parts: f"{parts[0]}-{parts[1]:02d}"),
    st.tuples(years, st.integers(21, 24)).map(lambda parts: f"{parts[0]}-{parts[1]}"),
    st.dates(min_value=datetime.date(1000, 1, 1), max_value=datetime.date(2099, 1, 1)).map(str),
)
doubted = st.tuples(singles, st.sampled_from(["", "~", "?", "%"])).map("".join)
forms = st.sampled_from(["{}", "/{}", "{}/", "../{}", "{}/..", "[..{}]", "[{}..]"])


@given(forms, doubted)
def test_what_the_catalog_writes_is_read_again(form: str, single: str) -> None:
    date = parse_date(form.format(single))
    assert read_date(date.text()).made == date


@given(st.lists(doubted, min_size=2, max_size=4), st.sampled_from(["[]", "{}"]))
def test_the_sets_the_catalog_writes_are_read_again(members: list[str], brackets: str) -> None:
    date = parse_date(brackets[0] + ",".join(members) + brackets[1])
    assert read_date(date.text()).made == date


@pytest.mark.parametrize("text", ALL_TEXTS)
def test_the_words_of_what_was_read_are_read_alike(text: str) -> None:
    for date in read_date(text)[:2]:
        if date and not re.search(
            r"[~?%]-|-[~?%]|X-|-X", date.edtf
        ):  # parts in doubt, or not known, have no plain words
            again = read_date(date.text()).made
            assert again and (again.earliest, again.latest) == (date.earliest, date.latest), date.text()


@given(st.text(max_size=60))
@settings(max_examples=200, deadline=None)
def test_any_text_is_read_or_left(text: str) -> None:
    reading = read_date(text)
    assert bool(reading.why_not) == (edtf_of(reading) == ("", ""))
    for date in reading[:2]:
        if date:
            assert_valid(date.edtf)


WORD_HEAP = (
    "c. ca. um vers before after 1912 1890 1890s 12 3 May juin 19th 20. century Jh. - – / , ? ( ) [ ] or und "
    "early late printed negative later first "
    "half quarter winter 30er 60s Jahre années vintage probably between to and 1910-12 3/4/1952 1912-05-03 i.e. XIXe IX"
)
pieces = st.sampled_from(WORD_HEAP.split())


@given(st.lists(pieces, max_size=8))
@settings(max_examples=200, deadline=None)
def test_any_heap_of_date_words_is_read_or_left(words: list[str]) -> None:
    reading = read_date(" ".join(words))
    assert bool(reading.why_not) == (edtf_of(reading) == ("", ""))
    for date in reading[:2]:
        if date:
            assert_valid(date.edtf)


@pytest.mark.parametrize(
    "sign", ["1", "a", " ", "-", "?", "(", "c. ", "1912-", "1912 - ", "i.e. ", "\u0660", "½", "[", "1/"]
)
def test_ten_thousand_signs_take_no_more_than_a_moment(sign: str) -> None:
    started = time.perf_counter()
    read_date(sign * 10_000)
    read_date((sign * 200)[:200])
    assert time.perf_counter() - started < 1
