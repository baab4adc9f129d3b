"""Prints from before the catalog: what of them is not known is bounded by what is, and never made up."""

import pytest

from catalog.dates import Date, Moment, parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records.given_before import NotTakenError, some_day_by

TODAY = Event(Moment("2026-06-01", "2026-06-01", "2026-06-01", ""), "tester")
# The days by which something had happened -> the day that is kept for it. Derived here.
BOUNDS = (
    ((), "[..2026-06-01]"),
    (("2012",), "[..2012]"),
    (("2012", "2010-03"), "[..2010-03]"),
    (("2012", "c. 2010"), "[..2010-12-31]"),  # no “about” of another thing's date is handed on
    (("2004/2006",), "[..2006-12-31]"),
    (("after 1999", None), "[..2026-06-01]"),  # without a last day it bounds nothing
    (("2090",), "[..2026-06-01]"),
)


@pytest.mark.parametrize(("known", "kept"), BOUNDS)
def test_a_day_that_nobody_knows_is_kept_by_its_last_possible_one(known: tuple[str | None, ...], kept: str) -> None:
    dates: list[Date | None] = [parse_date(text) if text else None for text in known]
    assert some_day_by(TODAY, dates).edtf == kept


def test_a_refusal_names_no_code_that_was_never_given() -> None:
    refusal = TirageError(
        "P-000001 was not signed: its size differs from that of E-0001. If it was mistyped: tirage correct P-000001 "
        "image=SIZE --why REASON."
    )
    assert NotTakenError(refusal, "P-000001").sentence == (
        "This print was not signed: its size differs from that of E-0001."
    )


PLAIN = (
    ("N-0001 was made 2009. Give the day with --on DATE, or correct it.", "N-0001 was made 2009. Mend the row."),
    ("E-0001 is closed; name another: --edition E. Or none.", "E-0001 is closed. Or none. Mend the row."),
    ("E-0001 is closed. See: tirage edition show E-0001.", "E-0001 is closed. See: tirage edition show E-0001."),
)


def test_a_list_has_no_options() -> None:
    for typed, told in PLAIN:
        assert NotTakenError(TirageError(typed)).sentence == told
