"""Counts as typed: the ten digits and nothing that only looks like one."""

import pytest

from catalog.marks import parse_mark
from catalog.whole_numbers import whole_number

TYPED = {
    "25": 25, " 7 ": 7, "007": 7, "0": 0,
    "²": None, "1²": None, "٣": None, "３": None, "Ⅳ": None, "+5": None, "-5": None,
    "1e3": None, "1.0": None, "1_000": None, "": None, "9" * 15: 10**15 - 1, "9" * 5000: None,
}  # fmt: skip


@pytest.mark.parametrize("text", TYPED)
def test_a_whole_number(text: str) -> None:
    assert whole_number(text) == TYPED[text]


@pytest.mark.parametrize("text", ["²", "AP²", "AP ²/³", "٣/25"])
def test_no_mark_is_read_from_what_only_looks_like_a_digit(text: str) -> None:
    assert parse_mark(text) is None
