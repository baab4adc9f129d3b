"""Dates of one museum's negatives, held against the first and last day that the museum itself gives each of them.

SOURCES.md says where the rows are from. Where a spreadsheet saved the list, its years have two digits.
"""

import csv
from pathlib import Path
from typing import NamedTuple

import pytest

from catalog.dates import Date
from catalog.exchange.free_text.dates import read_date

# The museum's own days are wider than its words: a week, or the month.
WIDER = {"March 5, 1972", "October 9, 1956", "24-Oct-59"}


class Row(NamedTuple):
    """A date text, the museum's first and last day of it, and whether a spreadsheet wrote them."""

    text: str
    earliest: str
    latest: str
    saved_by: str

    def read(self, text: str) -> Date:
        """A text of this row, which is never left unread."""
        made, printed, _, why_not = read_date(text, day_first=False, hundred="19" if self.saved_by else "")
        assert made and not printed and not why_not, (text, why_not)
        return made


def rows() -> list[Row]:
    with Path(__file__).with_name("museum_negatives.tsv").open(encoding="utf-8", newline="") as file:
        lines = csv.reader(file, delimiter="\t", quoting=csv.QUOTE_NONE)
        next(lines)
        return [Row._make(line) for line in lines]


ROWS = rows()


def test_there_are_enough() -> None:
    assert len({row.text for row in ROWS}) > 340 and sum(bool(row.saved_by) for row in ROWS) > 100


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.text} {row.latest}")
def test_the_museums_days_lie_within_what_was_read(row: Row) -> None:
    assert read_date(row.text, hundred="19").doubts == ()
    made, first, last = row.read(row.text), row.read(row.earliest), row.read(row.latest)
    if row.text in WIDER:
        assert first.earliest <= made.earliest <= made.latest <= last.latest
    elif row.text.startswith("c."):  # to “about” the museum adds years of its own choice
        assert "~" in made.edtf
        assert first.earliest <= made.latest and made.earliest <= last.latest
        assert all(year in made.edtf for year in row.text.removeprefix("c. ").split("-"))
    else:
        assert "~" not in made.edtf and "?" not in made.edtf
        assert made.earliest <= first.earliest <= last.latest <= made.latest
