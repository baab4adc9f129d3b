"""Marks of prints: Roman numerals, and every customary way to write a kind of proof."""

import pytest

from catalog import codes
from catalog.errors import NotUnderstood
from catalog.marks import PROOF_MARKS, from_roman, parse_mark, roman
from catalog.records.designations import parse_designation
from catalog.vocabulary import PROOF_KINDS, designation

# Subtractive notation as in every primer; the marks: Wellcome Collection, State element; IPCNY glossary.
ROMAN = ((1, "I"), (2, "II"), (4, "IV"), (5, "V"), (9, "IX"), (14, "XIV"), (40, "XL"), (90, "XC"), (1998, "MCMXCVIII"))
MARKS = (
    ("3", ("numbered", 3)),
    ("3/25", ("numbered", 3)),
    ("AP II/V", ("AP", 2)),
    ("ap ii", ("AP", 2)),
    ("apII", ("AP", 2)),
    ("ap2", ("AP", 2)),
    ("AP 2/12", ("AP", 2)),
    ("A/P 2", ("AP", 2)),
    ("E.A. IV/V", ("AP", 4)),
    ("H/C", ("HC", None)),
    ("hci", ("HC", 1)),
    ("BAT", ("BAT", None)),
)
NO_MARKS = ("", "II", "II/V", "AP IIII", "AP VX", "XX1", "AP two", "3 of 25", "AP-", "APP 1")


@pytest.mark.parametrize(("number", "text"), ROMAN)
def test_roman(number: int, text: str) -> None:
    assert roman(number) == text
    assert from_roman(text.lower()) == number


def test_every_roman_number_reads_back() -> None:
    assert [from_roman(roman(number)) for number in range(1, 4000)] == list(range(1, 4000))
    for beyond in (0, 4000):
        with pytest.raises(ValueError):
            roman(beyond)


@pytest.mark.parametrize(("text", "mark"), MARKS)
def test_marks_as_people_write_them(text: str, mark: tuple[str, int | None]) -> None:
    assert parse_mark(text) == mark
    assert parse_designation(text) == mark
    assert codes.holder(f"e1:{text}") == codes.Holder("e1", mark[0], 1 if mark[1] is None else mark[1])


@pytest.mark.parametrize("text", NO_MARKS)
def test_what_is_no_mark(text: str) -> None:
    assert parse_mark(text) is None
    assert codes.holder(f"e1:{text}") is None
    with pytest.raises(NotUnderstood):
        parse_designation(text)


def test_marks_are_the_kinds_of_proof() -> None:
    assert tuple(PROOF_KINDS) == PROOF_MARKS


def test_the_numbered_run_is_arabic_and_proofs_are_as_declared() -> None:
    assert designation("numbered", 3, 25, None, "roman") == "3/25"
    assert designation("AP", 2, 25, 5, "roman") == "AP II/V"
    assert designation("AP", 2, 25, 5) == "AP 2/5"
    assert designation("BAT", 1, 25, 1, "roman") == "BAT"
