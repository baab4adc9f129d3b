"""Years of life: no date is cut, none is told more exactly than it is known."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.dates import parse_date
from catalog.years import life, to_the_year, year_words

# typed, EDTF to the year, in words; derived here from ISO 8601-2:2019, 4 (level 1 and sets of level 2)
TABLE = (
    ("1971", "1971", "1971"),
    ("3 May 1971", "1971", "1971"),
    ("before 1932", "/1932", "before 1932"),
    ("before 1932-05", "[..1932]", "1932 or earlier"),
    ("after 1932-05", "[1932..]", "1932 or later"),
    ("c. 1950", "1950~", "c. 1950"),
    ("1950?", "1950?", "1950?"),
    ("1950-05~", "1950~", "c. 1950"),
    ("1950-~05", "1950", "1950"),
    ("1898/1900", "1898/1900", "between 1898 and 1900"),
    ("1931-05/1931-07", "1931", "1931"),
    ("1890s", "189X", "1890s"),
    ("[1863-02,1864]", "[1863,1864]", "one of 1863, 1864"),
    ("[1863-02,1863-05]", "1863", "1863"),
    ("by 1932-05", "[..1932]", "1932 or earlier"),
    ("../1932-05-01", "../1932", "until 1932"),
)


@pytest.mark.parametrize(("typed", "edtf", "told"), TABLE)
def test_to_the_year(typed: str, edtf: str, told: str) -> None:
    date = parse_date(typed).edtf
    assert (to_the_year(date), year_words(date)) == (edtf, told)


def test_life() -> None:
    assert life("", "") == ""
    assert life("1971-04-05", "") == "1971–"
    assert life("/1932", "1999~") == "before 1932–c. 1999"


@given(
    st.integers(1000, 2999), st.integers(0, 60), st.sampled_from(("", "-05", "-21", "-11-03")),
    st.sampled_from(("", "?", "~", "%")), st.sampled_from(("{0}", "{0}/{1}", "/{0}", "{0}/", "../{0}", "[{0},{1}]")),
)  # fmt: skip
def test_no_day_that_may_be_meant_is_shut_out(year: int, more: int, rest: str, doubt: str, form: str) -> None:
    date = parse_date(form.format(f"{year}{rest}{doubt}", f"{year + more}{rest}{doubt}"))
    wide = parse_date(to_the_year(date.edtf))
    assert (wide.earliest or "0") <= (date.earliest or "0") and (date.latest or "9") <= (wide.latest or "9")
    assert to_the_year(wide.edtf) == wide.edtf
