"""Years of two digits: never guessed, and read where a person said the hundred."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.exchange.free_text.date_lexicon import WORDS
from catalog.exchange.free_text.dates import SHORT_YEAR, read_date

SIGNS = [
    "12",
    "48",
    "3",
    "05",
    "'53",
    "1953",
    "5/1/53",
    "-",
    "–",
    ",",
    ".",
    "?",
    "/",
    "c.",
    "50s",
    "(",
    "]",
    "XII",
    "24.",
]

# Months as a spreadsheet showed the dates of one museum's list of negatives, beside the museum's own words for them:
# Carnegie Museum of Art, Teenie Harris archive, creation date in its collection data and in a list that it worked on
# in a spreadsheet and published (both CC0, read in November 2026).
SAVED_BY_A_SPREADSHEET = {
    "May-53": "May 1953", "Jun-62": "June 1962", "Jun-46": "June 1946", "Aug-62": "August 1962",
    "Feb-50": "February 1950", "Apr-63": "April 1963", "Jul-61": "July 1961",
}  # fmt: skip
# Ordinary usage: text -> EDTF with "19" said.
COMPLETED = {
    "12/25/48": "1948-12-25", "c. '48": "1948~", "48": "1948", "52?": "1952?", "before 52": "/1952", "c. 50s": "195X~",
    "3 May 53": "1953-05-03", "3-May-53": "1953-05-03", "May 3, 53": "1953-05-03", "Sept. '52": "1952-09",
    "24. 12. 53": "1953-12-24", "Mai 53": "1953-05", "May-53?": "1953-05?", "summer 52": "1952-22",
    "May 53 - June 54": "1953-05/1954-06", "3 May - 5 June 53": "1953-05-03/1953-06-05",
    "June 9-11, 53": "1953-06-09/1953-06-11", "May 3 - June 5, 53": "1953-05-03/1953-06-05", "48-50": "1948/1950",
    "années 40": "194X", "les années 50": "195X", "um 45": "1945~", "Sommer 12": "1912-22", "48-12-24": "1948-12-24",
    "10. Mai 11": "1911-05-10",
}  # fmt: skip
# What may be a day, a month or a number of something else, alone or beside what is a year.
NOT_COMPLETED = [
    "May 12", "10-May", "10-11", "5/53", "18-53", "3-4-5", "30-12-05", "-12", "bis 12", "à 48", "?-12", "12-?", "/48",
    "May 10, 11 and 12", "May 10, 11-12", "May 10, 11 or 12", "Oct 45 - Nov 12", "Oct 12 - Nov 45",
    "May 45 and Jun 10", "40-50er", "20s-30", "print 12", "neg. 53, printed 78", "10 May 11 12", "No. 12", "45 x 60",
    "années 50, 12 janvier 1948", "'50s, 12 May 1948",
]  # fmt: skip
WHOLE = ["1952/53", "12 May 1948", "c. 1890s", "1946-12-31", "19th century"]


@pytest.mark.parametrize(("text", "words"), SAVED_BY_A_SPREADSHEET.items())
def test_months_of_a_spreadsheet_are_the_museums_own(text: str, words: str) -> None:
    assert SHORT_YEAR in read_date(text).why_not
    reading = read_date(text, hundred="19")
    assert (reading.made, reading.doubts) == (read_date(words).made, ())


@pytest.mark.parametrize(("text", "edtf"), COMPLETED.items())
def test_a_short_year_is_read_where_its_hundred_is_said(text: str, edtf: str) -> None:
    assert read_date(text).made is None and SHORT_YEAR in read_date(text).why_not
    made = read_date(text, hundred="19").made
    assert made and made.edtf == edtf
    later = read_date(text, hundred="20").made
    assert later and later.edtf == edtf.replace("19", "20")


@pytest.mark.parametrize("text", NOT_COMPLETED)
def test_what_may_be_no_year_stays_unread(text: str) -> None:
    assert read_date(text, hundred="19").made is None


@pytest.mark.parametrize("text", WHOLE)
def test_a_year_of_four_digits_is_read_as_before(text: str) -> None:
    assert read_date(text, hundred="18") == read_date(text)


def test_a_month_that_may_be_a_day_is_told() -> None:
    reading = read_date("May-10", hundred="19")
    assert reading.made and reading.made.edtf == "1910-05"
    assert reading.doubts == ("“May-10” was read as a month of 1910, not as a day.",)


def test_a_day_before_a_comma_that_may_be_two_days_is_told() -> None:
    reading = read_date("May 10, 11", hundred="19")
    assert reading.made and reading.made.edtf == "1911-05-10" and "not as a day" in reading.doubts[0]


@settings(max_examples=1_000)
@given(
    words=st.lists(st.sampled_from(sorted(WORDS)) | st.sampled_from(SIGNS), min_size=1, max_size=7), gap=st.booleans()
)
def test_nothing_raises_and_what_is_promised_is_kept(words: list[str], gap: bool) -> None:
    text = (" " if gap else "").join(words)
    plain, said = read_date(text), read_date(text, hundred="19")
    if SHORT_YEAR in plain.why_not:  # the report says that the mapping file helps: it must
        assert said.made or said.printed, text
    if plain.made:
        assert said == plain, text


def test_the_order_of_day_and_month_is_still_asked() -> None:
    assert "day or the month" in read_date("5/1/53", hundred="19").doubts[0]
    made = read_date("5/1/53", hundred="19", day_first=False).made
    assert made and made.edtf == "1953-05-01"
