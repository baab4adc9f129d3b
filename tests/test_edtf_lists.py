"""The grammar of dates against the valid and invalid texts by which a reference library tests itself.

Both lists are those of edtf/parser/tests.py of python-edtf (MIT), which follow the examples of ISO 8601-2:2019 and of
the Library of Congress. Our first and last day are compared with what the installed library makes of the same text.
"""

import edtf
import pytest

from catalog.date_grammar import bounds
from catalog.dates import parse_date
from catalog.errors import NotUnderstood

VALID = [
    "2001-02-03", "2008-12", "2008", "0000", "1964/2008", "2004-06/2006-08", "2004-02-01/2005-02-08",
    "2004-02-01/2005-02", "2004-02-01/2005", "2005/2006-02", "1984?", "2004-06-11?", "2004-06?", "1984~", "1984%",
    "199X",
    "19XX", "1999-XX", "1999-01-XX", "1999-XX-XX", "0000~", "../2006", "2004-01-01/..", "1984~/2004-06",
    "1984/2004-06~",
    "1984?/2004%", "1984~/2004~", "1984-06?/2004-08?", "1984-06-02?/2004-08-08~", "2004-06-11%", "2004?-06-11",
    "2004-06~-11", "2004-06-~11", "2004-%06", "2004-?06-?11", "2004?-06-~11", "?2004-%06", "2004?-%06", "2004?-~06-~04",
    "2011-~06-~04", "156X-12-25", "15XX-12-25", "1560-XX-25", "15XX-12-XX", "XXXX-XX-23", "[1667, 1668, 1670..1672]",
    "[..1760-12-03]", "[1760-12..]", "[1760-01, 1760-02, 1760-12..]", "[1667, 1760-12]", "{1667,1668, 1670..1672}",
    "{1960, 1961-12}", "196X", "2004-06-~01/2004-06-~20", "2004-06-XX/2004-07-03",
]  # fmt: skip
# An end not known stays open here; the library allows it ten years. A season has the whole year: see bounds().
WIDER_HERE = ["/2006", "2004-06-01/", "1984-06-02?/", "2001-21", "2003-22", "2000-23", "2010-24"]
# Valid, and outside what a catalog of photographs holds: years before 0000 or after 9999, times of day, seasons bound
# to a half of the world, quarters of a year.
NOT_HELD = [
    "-0999", "-2005/-1999-02", "-0275~", "-0001~", "2001-02-03T09:30:01", "2004-01-01T10:10:10Z",
    "2004-01-01T10:10:10+05:00", "1985-04-12T23:20:30", "Y170000002", "Y-170000002", "Y17E7", "Y-17E7", "2001-29",
    "2001-34",
]  # fmt: skip
INVALID = [
    "", "not a edtf string", "Y17E7-12-26", "2016-13-08", "2016-02-39", "-0000-01-01", "2004-(06)?-11", "2004-06-(11)~",
    "2004-(06)%", "2004-(06-11)?", "2004?-06-(11)~", "(2004-(06)~)?", "(2004)?-06-04~", "(2011)-06-04~",
    "2011-(06-04)~",
    "2004-06-(01)~/2004-06-(20)~",
]  # fmt: skip


def day(value: object) -> str:
    return "" if isinstance(value, float) else "{:04d}-{:02d}-{:02d}".format(*value[:3])  # type: ignore[index]


@pytest.mark.parametrize("text", VALID)
def test_a_valid_text_has_the_days_of_the_reference_library(text: str) -> None:
    reference, date = edtf.parse_edtf(text), parse_date(text)
    assert (date.earliest, date.latest) == (day(reference.lower_strict()), day(reference.upper_strict()))


@pytest.mark.parametrize("text", WIDER_HERE)
def test_a_valid_text_is_never_narrower_than_in_the_reference_library(text: str) -> None:
    reference, date = edtf.parse_edtf(text), parse_date(text)
    assert date.earliest <= day(reference.lower_strict())
    assert not date.latest or date.latest >= day(reference.upper_strict())


@pytest.mark.parametrize("text", [*NOT_HELD, *INVALID])
def test_what_is_invalid_or_not_held_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        bounds(text)
    with pytest.raises(NotUnderstood):
        parse_date(text)
