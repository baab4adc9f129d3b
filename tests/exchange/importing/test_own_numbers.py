"""The numbers of a person's own lists: no codes here, and still what later lists of theirs find things by."""

import json

import pytest

from catalog.exchange.importing.own_codes import _number
from tests.cli.conftest import Tirage
from tests.exchange.importing.conftest import Listed

NUMBERS = (
    ("13", "13"), ("Neg 13", "13"), ("Neg. 13", "13"), ("Negativ Nr. 13", "13"), ("Plate no. 7a", "7a"),
    ("Nr 13", "13"), ("P4", "p4"), ("#5", "5"), ("Neg A", "neg a"), ("Notch 3", "notch 3"), ("Nord 2", "nord 2"),
)  # fmt: skip
PLATES = ("2|Pier|1990", "1|Pier|1991", "13|Pier|1993")


@pytest.mark.parametrize(("text", "number"), NUMBERS)
def test_words_before_a_number_do_not_count(text: str, number: str) -> None:
    assert _number(text) == number


def brought(tirage: Tirage, noun: str, name: str) -> str:
    answer = tirage("import", noun, name, "--apply")
    assert answer.status == 0, answer.out + answer.err
    return answer.out


def test_a_whole_chain_of_lists_by_their_own_numbers(old_studio: Tirage, listed: Listed) -> None:
    """Four plates are there already, and so no number of the list is that of a code."""
    told = brought(old_studio, "negatives", listed("Nr.|Titel|Jahr", *PLATES, name="plates.csv"))
    assert "lists that name this number find it by that" in told
    told = brought(old_studio, "editions", listed("Nr|Neg|Edition|Declared", "E2|Neg 13|10|1995", "E1|1|5|1995"))
    assert "“Neg 13” is N-0007, “1” is N-0006" in told
    rows = ("P3|Neg 13|1/10|1996", "P2|Neg. 1|work|1996", "P1|2|work|1996")
    told = brought(old_studio, "prints", listed("Inv|Negativ|No|Printed", *rows, name="prints.csv"))
    assert "“2” is N-0005" in told
    # P2 of the list is not the second print here; where the two differ the list's own number is meant, and told.
    told = brought(old_studio, "tests", listed("Print|Date|Hypo", "P1|1997|keine", name="tests.csv"))
    assert "“P1” is P-000003" in told
    assert "hypo" in old_studio("test P-000003 --json").out
    editions = json.loads(old_studio("edition list --json").out)
    assert [(one["code"], one["negative"]) for one in editions] == [("E-0001", "N-0007"), ("E-0002", "N-0006")]
    assert "Nr.: 13" in old_studio("negative show n7").out
    # An edition by the number of its list, and a size where the same number is one.
    rows = ("E1||3|1999", "10|Neg 13|4|1999")
    told = brought(old_studio, "prints", listed("Edition|Neg|No|Signed", *rows, name="more.csv"))
    assert "“E1” is E-0002" in told


def test_a_number_of_two_lists_is_refused_and_what_was_taken_back_is_forgotten(
    old_studio: Tirage, listed: Listed
) -> None:
    brought(old_studio, "negatives", listed("Nr.|Titel|Jahr", *PLATES, name="one.csv"))
    brought(old_studio, "negatives", listed("No|Titel|Jahr", "13|Quay|1994", name="two.csv"))
    wanted = listed("Neg|Edition|Declared", "13|10|1995", name="wanted.csv")
    answer = old_studio("import", "editions", wanted, "--apply")
    assert answer.status == 1 and "“13” is 2 negatives: N-0007" in answer.out
    assert old_studio("undo").status == 0
    assert "“13” is N-0007" in brought(old_studio, "editions", wanted)
