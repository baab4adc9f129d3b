"""The numbers of a person's own lists: no codes here, and still what later lists of theirs find things by."""

import json

import pytest

from catalog import codes
from catalog.exchange.importing.own_codes import _number, why_none
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


NONE = (
    ("K-1", "K and C with a number are codes"), ("b3", "K and C with a number are codes"), ("1", "digits alone"),
    ("Ä-1", "only the letters a to z"), ("12/98", "only the letters a to z"), ("4-9", "a range"),
    ("A" * 25, "more than 24"), ("last", "the last command"),
)  # fmt: skip


@pytest.mark.parametrize(("text", "why"), NONE)
def test_why_a_number_is_no_code(text: str, why: str) -> None:
    assert why in why_none(text)
    with pytest.raises(codes.OwnCodeError):
        codes.own(text)


OLD = ("K-4", "B-3", "1", "Ä-1", "12/98")


def test_old_numbers_that_are_no_codes_are_found(old_studio: Tirage, listed: Listed) -> None:
    rows = (*(f"{number}|Plate {place}" for place, number in enumerate(OLD)), "1999.3|Quay")
    brought(old_studio, "negatives", listed("No|Title", *rows, name="plates.csv"))
    assert old_studio("strip").status == 0, "K-0001, of a kind that `negative show` does not show"
    for place, number in enumerate(OLD):
        answer = old_studio("negative", "show", number)
        assert answer.status == 0, answer.err
        code = f"N-{place + 5:04d}"
        assert (
            f"“{number}” is the number that its list gave to {code}." in answer.out and f"Plate {place}" in answer.out
        )
        assert json.loads(old_studio("negative", "show", number, "--json").out)[0]["code"] == code
        found = json.loads(old_studio("negative", "list", "--text", number, "--json").out)
        assert code in [one["code"] for one in found]
    assert [one["title"] for one in json.loads(old_studio("negative list --text k-4 --json").out)] == ["Plate 0"]
    assert [one["code"] for one in json.loads(old_studio("negative list --text 1999.3 --json").out)] == ["1999.3"]
    assert old_studio("negative show K-9").status == 1
    assert "Nothing here has the code “K-9”" in old_studio("negative show K-9").err


def test_a_number_of_two_lists_is_shown_as_both(old_studio: Tirage, listed: Listed) -> None:
    brought(old_studio, "negatives", listed("No|Title|Made", "K-4|Pier|1990", name="one.csv"))
    brought(old_studio, "negatives", listed("No|Title|Made", "K-4|Quay|1991", name="two.csv"))
    answer = old_studio("negative show K-4")
    assert answer.status == 1 and "is the number of 2 negatives" in answer.err and "N-0005, N-0006" in answer.err


def test_editions_and_prints_are_found_by_their_numbers_too(old_studio: Tirage, listed: Listed) -> None:
    brought(old_studio, "editions", listed("No|Neg|Edition|Declared", "B-1|N-0001|10|1999"))
    brought(old_studio, "prints", listed("Inv|Edition|No|Signed", "B-7|E-0001|2/10|1999", name="prints.csv"))
    assert "to E-0001" in old_studio("edition show B-1").out and "to P-000001" in old_studio("print show B-7").out


def test_a_code_here_that_another_list_gave_to_something_else_is_not_guessed(
    old_studio: Tirage, listed: Listed
) -> None:
    """As in a list that came out of another catalog: its N-0001 is N-0005 here."""
    brought(old_studio, "negatives", listed("Code|Title|Made", "N-0001|Pier|1990"))
    wanted = listed("Neg|Edition|Declared", "N-0001|10|1995", "Pier|5|1995", name="wanted.csv")
    answer = old_studio("import", "editions", wanted)
    assert answer.status == 1 and "gives that number to another thing, N-0005: either may be meant" in answer.out
    assert "1 to be added" in answer.out


def test_an_old_number_that_is_typed_like_a_code_is_told(old_studio: Tirage, listed: Listed) -> None:
    out = brought(old_studio, "negatives", listed("No|Title", "K-4|One", "N-6|Two", "N-5|Three", name="old.csv"))
    assert "“N-6” is how N-0006 can be typed" in out
    assert "so does: tirage negative show NUMBER" in out  # of K-4, which is no code of a negative
    other = old_studio("negative show N-5")
    assert "N-0005" in other.out and "it is also the number that a list gave to N-0007" in other.err
    for typed in ("n5", "N-0005", "N-6"):
        assert old_studio(f"negative show {typed}").err == ""
