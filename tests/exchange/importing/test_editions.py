"""Editions brought in from an old list: declared on their own days, under the rules of the command."""

import pytest

from catalog.exchange.importing.words import proof_kind, read_edition_size, read_proofs
from tests.cli.conftest import Tirage
from tests.exchange.importing.conftest import Listed


def test_a_list_is_declared_as_it_stands(with_editions: Tirage) -> None:
    assert "25 numbered, 3 artist's proofs, 1 printer's proof" in with_editions("edition show e1").out
    shown = with_editions("edition show e1").out
    for words in (
        "c. 1998",
        "18.0 × 24.0 cm",
        "24.0 × 30.0 cm",
        "gelatin silver print",
        "EUR 900.00",
        "warm-tone fibre",
    ):
        assert words in shown, words
    assert "10 numbered, 2 artist's proofs" in with_editions("edition show e2").out
    assert "open edition" in with_editions("edition show e3").out
    assert "not shown" in with_editions("edition show e3").out  # nothing is public until it is marked
    assert with_editions("check").status == 0


# What the row says, and what stands in the answer: a refusal, or what it became.
HEADINGS = "Negative|Title|Edition|Proofs|AP|Image size|Process|Declared|Numerals|Disclosure|Price (EUR)|Code|Estate"
CASES = (
    ("N-0001||25|||||1998|||||", 0, "E-0001"),
    ("n1||ed. of 25|2 AP + 1 PP||||before 2010|||||", 0, "25 + 2 AP, 1 PP"),
    ("Low water|Ebbe|25||5|18x24cm||1998|roman||||", 0, "25 + 5 AP"),
    ("||25|||||1998|||||", 1, "an edition is one of a negative"),
    ("Nowhere||25|||||1998|||||", 1, "There is no negative “Nowhere”"),
    ("n1||twenty|||||1998|||||", 1, "“twenty” is no size of an edition"),
    ("n1|||||||1998|||||", 1, "how many prints it has is not said"),
    ("n1||25|some AP||||1998|||||", 1, "“some AP” is no count of proofs"),
    ("n1||25 + 2 AP||3|||1998|||||", 1, "3 AP here and 2 in another column"),
    ("n1||25||||||||||", 1, "an edition is declared on a day"),
    ("n1||25|||||long ago|||||", 1, "an edition is declared on a day"),
    ("n1||25|||||2090|||||", 1, "has not come yet"),
    ("n1||0|||||1998|||||", 1, "a whole number from 1 to 99999"),
    ("n1||25|||||1998||||LW|", 0, "LW"),
    ("n1||25|||||1998||||E-0007|", 0, "The next automatic code is given instead"),
    ("n1||25|||||1998|||900||", 0, "EUR 900.00"),
    ("n1||25|||||1998||||| yes", 1, "no death of A. Example is recorded"),
)


@pytest.mark.parametrize(("row", "status", "words"), CASES)
def test_rows_are_taken_or_refused(old_studio: Tirage, listed: Listed, row: str, status: int, words: str) -> None:
    answer = old_studio("import", "editions", listed(HEADINGS, row))
    assert answer.status == status and words in answer.out, answer.out + answer.err


def test_one_title_of_two_plates_is_refused_with_both(old_studio: Tirage, listed: Listed) -> None:
    old_studio("negative", "add", "Low water", "--made", "2001", "--on", "2026-01-05")
    answer = old_studio("import", "editions", listed("Title|Edition|Declared", "Low water|25|1998"))
    assert answer.status == 1 and "“Low water” is 2 negatives: N-0001 (1998), N-0005 (2001)" in answer.out


def test_a_second_edition_of_one_size_needs_its_sentence(old_studio: Tirage, listed: Listed) -> None:
    head = "Title|Edition|Image|Process|Paper|Declared|Disclosure"
    first = "Low water|25|18x24cm|gelatin silver print|matt paper|1998|"
    second = "Low water|10|18x24cm|gelatin silver print|{}|2005|{}"
    same = old_studio("import", "editions", listed(head, first, second.format("matt paper", "")))
    assert same.status == 1 and "a second one would sell the same prints twice" in same.out
    silent = old_studio("import", "editions", listed(head, first, second.format("glossy paper", "")))
    assert silent.status == 1 and "differs only in its intended paper" in silent.out
    for answer in (same, silent):  # a list has no options: what is told names a column
        assert "--" not in answer.out.partition("Refused:")[2].partition("To be added")[0]
        assert "in a column “disclosure”" in answer.out
    told = second.format("glossy paper", "Printed again on glossy paper.")
    said = old_studio("import", "editions", listed(head, first, told), "--apply")
    assert said.status == 0, said.out + said.err
    assert "Printed again on glossy paper." in old_studio("edition show e2").out


def test_after_the_death_only_what_was_declared_before_or_is_of_the_estate(old_studio: Tirage, listed: Listed) -> None:
    old_studio("party", "died", "A. Example", "2012-03-04")
    head = "Title|Edition|Declared|Estate|Process"
    late = old_studio("import", "editions", listed(head, "Low water|25|2013||silver print"))
    assert late.status == 1 and "no edition of a lifetime is declared after that" in late.out
    rows = ("Low water|25|2011||gelatin silver print", "Ropewalk|10|2014|yes|salt print")
    assert old_studio("import", "editions", listed(head, *rows), "--apply").status == 0


# How sizes and proofs stand in lists. Terms: common practice, no source.
SIZES = {
    "25": (25, {}),
    "ed. of 25": (25, {}),
    "Edition of 25": (25, {}),
    "limited to 25 prints": (25, {}),
    "Auflage: 25": (25, {}),
    "éd. de 25 ex.": (25, {}),
    "25 + 3 AP": (25, {"AP": 3}),
    "25, 2 AP, 1 PP": (25, {"AP": 2, "PP": 1}),
    "ed. of 25 plus 5 artist's proofs": (25, {"AP": 5}),
    "10 + 2 EA + 1 BAT": (10, {"AP": 2, "BAT": 1}),
    "open": (None, {}),
    "Offene Auflage": (None, {}),
    "édition ouverte": (None, {}),
    "about 25": None,
    "25/5": None,
    "25 + some": None,
}


@pytest.mark.parametrize(("text", "found"), SIZES.items())
def test_sizes_of_editions_as_people_wrote_them(text: str, found: tuple[int | None, dict[str, int]] | None) -> None:
    assert read_edition_size(text) == found


def test_proofs_as_people_wrote_them() -> None:
    assert read_proofs("") == {} == read_proofs("none")
    assert read_proofs("AP: 5; H.C. 2") == {"AP": 5, "HC": 2}
    assert read_proofs("3 APs and 1 bon à tirer") == {"AP": 3, "BAT": 1}
    assert read_proofs("2 AP, 3 AP") is None  # which of the two nobody knows
    assert proof_kind("épreuves d'artiste") == "AP" and proof_kind("Künstlerexemplare") == "AP"
    assert proof_kind("paper") == ""


def test_a_code_that_is_there_is_told_as_such(old_studio: Tirage, listed: Listed) -> None:
    head = "Title|Edition|Declared|Code|Price (EUR)"
    assert old_studio("import", "editions", listed(head, "Low water|25|1998|LW-25|900"), "--apply").status == 0
    answer = old_studio("import", "editions", listed(head, "Ropewalk|7|2010|LW-25|", name="more.csv"))
    assert answer.status == 1 and "there is an edition LW-25 already (“Low water”, 25)" in answer.out
