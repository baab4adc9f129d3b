"""The phrases of the four-date model.

Source: Carnegie Museum of Art, Digital Provenance Standard, version 0.2 (14 October 2016, CC0), page on dates, all
twelve patterns; the last case from the test data of its parser library (MIT). Days are written in our own order.
"""

import pytest

from catalog.rules.ownership_dates import Ownership, Span, phrase, span

# begin and end of the beginning, begin and end of the end -> the phrase
PATTERNS = {
    ("1995", "1995", "", ""): "1995",
    ("1995", "1996", "", ""): "sometime between 1995 and 1996",
    ("1995", "", "", ""): "after 1995",
    ("", "1995", "", ""): "by 1995",
    ("", "", "1996", ""): "until at least 1996",
    ("", "", "", "1996"): "until sometime before 1996",
    ("", "", "1996", "1996"): "until 1996",
    ("", "1995", "1995", ""): "in 1995",
    ("1995", "1995", "1996", "1996"): "1995 until 1996",
    ("1995", "1995", "1996", ""): "1995 until at least 1996",
    ("", "1995", "1996", "1997"): "by 1995 until sometime between 1996 and 1997",
    ("1995", "1996", "1997", "1998"): "sometime between 1995 and 1996 until sometime between 1997 and 1998",
    ("1982-01-05", "1982-02", "1999?", "20XX"): "sometime between 5 January 1982 and February 1982 until sometime "
    "between 1999? and 2000–2099",
    # common practice, no source
    ("", "2031-05-03", "2031-05-03", ""): "on 3 May 2031",
    ("", "", "", ""): "",
}
# EDTF (ISO 8601-2:2019) -> what it leaves open
SPANS = {
    "1995": ("1995", "1995"), "1995?": ("1995?", "1995?"), "1995/1996": ("1995", "1996"), "../1995": ("", "1995"),
    "/1995": ("", "1995"), "1995/": ("1995", ""), "1995/..": ("1995", ""), "[1995,1996]": ("1995", "1996"),
    "[..1995]": ("", "1995"), "[1995..]": ("1995", ""), "[1995..1996]": ("1995", "1996"), "XXXX": ("", ""),
    "": ("", ""),
}  # fmt: skip


@pytest.mark.parametrize("dates", PATTERNS)
def test_every_pattern_has_its_phrase(dates: tuple[str, str, str, str]) -> None:
    when = Ownership(Span(*dates[:2]), Span(*dates[2:]))
    assert phrase(when) == PATTERNS[dates]
    assert tuple(when.as_record().values()) == dates


@pytest.mark.parametrize("edtf", SPANS)
def test_what_a_date_leaves_open(edtf: str) -> None:
    assert span(edtf) == Span(*SPANS[edtf])
