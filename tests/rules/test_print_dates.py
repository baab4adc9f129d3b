"""Vintage, later, posthumous: words from dates, and never a word where the dates do not decide."""

import pytest

from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.rules.print_dates import both_years, word

# negative, print, artist's death, estate -> word. Rule: print year - negative year <= k is vintage, else later; after
# the death posthumous, and an estate print where the estate authorised it. k = 5 is from memory; no standard fixes it.
WORDS = {
    "the same year": ("1998", "1998", "", False, "vintage print"),
    "five years": ("1998", "2003", "", False, "vintage print"),
    "six years": ("1998", "2004", "", False, "later print"),
    "the published example: 1939 negative, 1998 print": ("1939", "1998", "", False, "later print"),
    "days": ("2026-03-02", "2026-03-06", "", False, "vintage print"),
    "1863, printed 1870": ("1863", "1870", "", False, "later print"),
    "printed between, all within": ("1998", "1999/2003", "", False, "vintage print"),
    "printed between, some beyond": ("1998", "2001/2006", "", False, ""),
    "printed between, all beyond": ("1998", "2010/2020", "", False, "later print"),
    "a decade": ("199X", "2004", "", False, ""),
    "a decade long gone": ("199X", "2026", "", False, "later print"),
    "negative not dated": ("", "2026", "", False, ""),
    "print not dated": ("1998", "", "", False, ""),
    "no earliest day": ("/1928", "1930", "", False, ""),
    "no latest day": ("1998", "2010/..", "", False, "later print"),
    "approximate, near the edge": ("1998~", "2001", "", False, ""),
    "approximate, the same year": ("1998~", "1998", "", False, "vintage print"),
    "approximate, far": ("1900~", "1998", "", False, "later print"),
    "uncertain, near the edge": ("1998", "2004?", "", False, ""),
    "in life": ("1998", "2000", "2010-05-01", False, "vintage print"),
    "after death overrides vintage": ("1998", "2000", "1999", False, "posthumous print"),
    "after death overrides later": ("1998", "2020", "2010-05-01", False, "posthumous print"),
    "in the year of death": ("1998", "2010", "2010-05-01", False, ""),
    "the day after": ("1998", "2010-05-02", "2010-05-01", False, "posthumous print"),
    "authorised by the estate": ("1998", "2020", "2010-05-01", True, "estate print"),
    "estate, death not recorded": ("1998", "2020", "", True, ""),
    "estate, printed in life": ("1998", "2000", "2010-05-01", True, "vintage print"),
    "death uncertain": ("1998", "2011", "2010?", False, ""),
}
YEARS = (
    ("1998", "2026", "negative 1998, printed 2026"),
    ("2026-03-02", "2026-03-06", "negative 2026, printed 2026"),
    ("1863", "1870", "negative 1863, printed 1870"),
    ("1998~", "2003", "negative c. 1998, printed 2003"),
    ("1998", "2001/2006", "negative 1998, printed between 2001 and 2006"),
    ("", "2026", "printed 2026"),
    ("1998", "", "negative 1998"),
    ("", "", ""),
)


@pytest.mark.parametrize("name", WORDS)
def test_the_word(name: str) -> None:
    negative, made, died, estate, expected = WORDS[name]
    assert word(negative, made, died, estate, 5) == expected


def test_the_setting_decides_how_long_vintage_is() -> None:
    assert word("1998", "2004", "", False, 6) == "vintage print"
    assert word("1998", "1999", "", False, 0) == "later print"


@pytest.mark.parametrize(("negative", "made", "expected"), YEARS)
def test_both_years_are_always_two(negative: str, made: str, expected: str) -> None:
    assert both_years(negative, made) == expected


def test_two_dates_are_never_read_as_one() -> None:
    with pytest.raises(NotUnderstood, match="two dates"):
        parse_date("1863, printed 1870")
