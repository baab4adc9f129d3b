"""Years of two digits: never guessed, and read where a person said the hundred."""

import pytest

from catalog.exchange.free_text.dates import SHORT_YEAR, read_date

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
    "Oct-Nov-53": "1953-10/1953-11", "May 53 - June 54": "1953-05/1954-06",
}  # fmt: skip
NOT_COMPLETED = ["May 12", "10-May", "52-53", "5/53", "18-53", "3-4-5"]
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


def test_the_order_of_day_and_month_is_still_asked() -> None:
    assert "day or the month" in read_date("5/1/53", hundred="19").doubts[0]
    made = read_date("5/1/53", hundred="19", day_first=False).made
    assert made and made.edtf == "1953-05-01"
