"""Dealings as a person types them: terms, moves on, losses, later owners, what is due and owed."""

import json
import re
import shlex

import pytest

from tests.cli.conftest import Tirage
from tests.cli.conftest import studio as studio
from tests.cli.conftest import tirage as tirage


@pytest.fixture
def signed(studio: Tirage) -> Tirage:
    """Six signed prints, two galleries and a buyer."""
    assert studio("sign 1-6 --on 2026-03-09").status == 0
    for name, kind, place in (
        ("Gallery One", "gallery", "Paris"), ("Gallery Two", "gallery", "Lyon"), ("Ada", "collector", "Lyon"),
    ):  # fmt: skip
        assert studio("party", "add", name, "--kind", kind, "--place", place).status == 0
    return studio


def done(tirage: Tirage, *words: str) -> str:
    answer = tirage(*(shlex.split(words[0]) if len(words) == 1 else words))
    assert answer.status == 0, answer.err
    return answer.out


def test_a_consignment_from_delivery_to_payment(signed: Tirage) -> None:
    done(
        signed,
        'consign 1-3 "Gallery One" --commission 40 --price 1000EUR --insured 800EUR --condition fine '
        "--until 2026-04 --their-number G-17 --on 2026-03-10",
    )
    done(signed, 'consign 2 "Gallery Two" --from "Gallery One" --on 2026-03-11')
    done(signed, 'consign 3 Bea --from "Gallery One" --approval --until 2026-03-20 --on 2026-03-12')
    due = done(signed, "due")
    assert "The consignment of P-000001 to P-000003 to Gallery One ended April 2026." in due
    assert 'on approval with Bea ended 20 March 2026.\n    tirage return 3 "Gallery One"' in due
    shown = done(signed, "party", "show", "Gallery One")
    assert (
        "P-000002 consigned with Gallery Two, until April 2026, 40% commission, retail EUR 1,000.00, insured" in shown
    )
    assert "back with Gallery One" in done(signed, "return", "3", "Gallery One", "--on", "2026-03-21")
    sold = done(signed, "sell", "3", "Ada", "--on", "2026-03-22")
    assert "EUR 1,000.00 (the retail price of its consignment); title passes when it is paid" in sold
    assert json.loads(done(signed, "owed", "--json")) == [
        {"by": "Gallery One", "code": "P-000003", "sold to": "Ada", "since": "2026-03-22", "price": "EUR 1,000.00",
         "commission": "40%", "owed": "EUR 600.00"},
    ]  # fmt: skip
    assert "In all: EUR 600.00." in done(signed, "owed", "Gallery One")
    assert "is not paid; it stays yours until then. Owed: EUR 600.00 by Gallery One" in done(signed, "due")
    assert "title has passed" in done(signed, "paid 3 --on 2026-03-23")
    assert done(signed, "owed") == "Nothing is owed.\n"


# what was typed -> how the print stands, in `where` and in `print show`
STANDING = (
    ("move 1 studio", "studio since", "at studio"),
    ('consign 1 "Gallery One"', "with Gallery One (consigned)", "consigned"),
    ('consign 1 Bea --from "Gallery One" --approval', "with Bea (on approval)", "on approval"),
    ("sell 1 Ada", "with Ada (sold, not paid yet)", "sold, not paid yet"),
    ("paid 1", "with Ada (sold and paid)", "sold and paid"),
    ("give 1 Cleo --from Ada", "with Cleo (sold and paid)", "sold and paid"),
)


def test_how_a_print_stands_is_shown(signed: Tirage) -> None:
    done(signed, "place add studio")
    for line, where, standing in STANDING:
        done(signed, line)
        assert where in done(signed, "where 1"), line
        assert re.search(f"  standing +{standing}\n", done(signed, "print show 1")), line
    assert json.loads(done(signed, "where 1 --json"))[0]["standing"] == "paid out"
    done(signed, "give 2 Ada")
    assert "with Ada (gift)" in done(signed, "where 2") and "no longer the studio's" in done(signed, "print show 2")


def test_a_certificate_is_not_issued_to_whom_a_sale_came_to_nothing(signed: Tirage) -> None:
    done(signed, 'consign 1 "Gallery One"')
    done(signed, "sell 1 Ada")
    done(signed, "return 1")
    refused = signed("certificate issue 1 --with-buyer")
    assert refused.status == 1 and "no buyer on record, so there is no name to print" in refused.err
    done(signed, "certificate issue 1")
    help_of_revoke = done(signed, "certificate revoke --help")
    assert "no public page tells it" in help_of_revoke and "anybody" not in help_of_revoke


def test_the_price_of_the_edition_is_taken_and_told(signed: Tirage) -> None:
    assert "for EUR 900.00 (the price of E-0001 now)" in done(signed, "sell 4 Ada")
    assert "for EUR 950.00," in done(signed, "sell 5 Ada 950EUR")


def test_later_owners_and_gaps(signed: Tirage) -> None:
    done(signed, "sell 1 Ada 900EUR --on 2026-03-10 --paid")
    assert "sold by Ada to Bea" in done(signed, "sell 1 Bea --from Ada --on 2026-03-12")
    assert "a gap, printed as one" in done(signed, "sell 1 Cy? --from unknown --on 2026-03-14 --possibly")
    assert "a gap, printed as one" in done(signed, "give 1 Museum --from Dora --bequest --on 2026-03-16")
    found = json.loads(done(signed, "provenance 1 --json --private"))[0]
    assert found["text"].endswith(
        "; purchased by Bea, 12 March 2026. Possibly purchased by Cy?, 14 March 2026. Dora, by 16 March 2026; "
        "bequest, to Museum, 16 March 2026."
    )
    assert "Bea" not in done(signed, "provenance 1 --json")
    assert "code,method" in done(signed, "provenance 1 --csv").splitlines()[0]
    assert signed("check").status == 0


def test_plates_change_hands_too(signed: Tirage) -> None:
    done(signed, "lend", "n1", "Museum", "--exhibition", "Tide Lines", "--in", "Port Example", "--on", "2026-03-10")
    done(signed, "party", "correct", "Museum", "public=yes", "--why", "a museum")
    done(signed, "return n1 --on 2026-04-10")
    assert "stolen" in done(signed, "lost n1 --stolen --on 2026-04-11")
    assert "lost" in done(signed, "negative show n1")
    assert "in the studio" in done(signed, "found n1 --on 2026-04-12")
    assert "not yet placed" in done(signed, "where n1")
    assert "in process" in done(signed, "negative show n1")
    assert "lent to Museum, for the exhibition “Tide Lines”, in Port Example" in done(signed, "provenance n1")
    done(signed, "sell n1 Ada 500EUR --on 2026-04-13")
    assert "Ada" in done(signed, "history n1")


def test_out_and_back_in_one_and_told_later(signed: Tirage) -> None:
    done(signed, "sell 1 Ada 900EUR --on 2026-05-01")
    told = done(signed, "lend 1 Museum --on 2026-04-01 --returned 2026-04-20")
    assert "back 20 April 2026" in told and "put in its place" in told
    lines = done(signed, "history 1").splitlines()
    assert [("lent" in line, "came back" in line, "sold" in line) for line in lines[-3:]] == [
        (True, False, False), (False, True, False), (False, False, True),
    ]  # fmt: skip
    assert "owner        Ada" in done(signed, "print show 1")


# commands before, the line, words of its sentence
REFUSED = {
    "consigned twice": (("consign 1 Quay",), "consign 1 Museum", "Quay has it"),
    "later terms of a first consignment": (
        ("consign 1 Quay",),
        "consign 1 Two --from Quay --commission 9",
        "terms stay",
    ),
    "before what is recorded": (
        ("consign 1 Quay --on 2026-04-01", "return 1 --on 2026-05-01"),
        "lend 1 Museum --on 2026-04-10",
        "the consignment of 1 April 2026",
    ),
    "a later sale of what never left": ((), "sell 1 Bea --from Ada", "left the studio"),
    "by somebody unknown out of the studio": ((), "give 1 Bea --from unknown", "belongs to the artist"),
    "a later sale is not ours to be paid": (("sell 1 Ada 9EUR",), "sell 1 Bea --from Ada --paid", "studio only"),
    "lost things are not sold": (("lost 1",), "sell 1 Ada", "lost"),
    "more than all of it": ((), "consign 1 Quay --commission 100.5", "0 to 100"),
    "a value without its currency": ((), "consign 1 Quay --insured 900", "900"),
    "both a bequest and an exchange": ((), "give 1 Ada --bequest --exchange x", "one of the two"),
    "kept by somebody else": ((), "keep 1 Ada", "belongs to"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_a_reason(signed: Tirage, name: str) -> None:
    lines, line, words = REFUSED[name]
    for earlier in lines:
        done(signed, earlier)
    before = done(signed, "history 1")
    answer = signed(line)
    assert answer.status == 1 and words in answer.err, answer.err
    assert done(signed, "history 1") == before


def test_taken_back(signed: Tirage) -> None:
    done(signed, "sell 1 Ada 900EUR --on 2026-05-01")
    provenance, where = done(signed, "provenance 1 --json --private"), done(signed, "where 1")
    for line in ("lend 1 Museum --on 2026-04-01 --returned 2026-04-20", "lost 1", "sell 1 Bea --from Cy --on 2026-06"):
        done(signed, line)
        assert done(signed, "provenance 1 --json --private") != provenance
        done(signed, "undo")
        assert (done(signed, "provenance 1 --json --private"), done(signed, "where 1")) == (provenance, where)
    assert signed("check").status == 0


def test_who_is_added_by_the_way_is_private_and_told(signed: Tirage) -> None:
    told = done(signed, "lend", "n1", "A. Scholar")
    assert "A. Scholar was added: an institution, private. To change that: tirage party correct 'A. Scholar'" in told
    done(signed, "party", "correct", "A. Scholar", "kind=collector", "place=Lyon", "--why", "a person")
    shown = done(signed, "party", "show", "A. Scholar")
    assert "private" in shown and "kind from “institution” to “collector” (a person)" in shown
    answer = signed("sell", "1", "Bda", "900EUR", "--agent", "Max")
    assert answer.status == 0 and "Max was added, private" in answer.out and "there is also “Ada”" not in answer.out
    stopped = signed("sell", "2", "Galery One", "900EUR")
    assert stopped.status == 1 and "Did you mean Gallery One?" in stopped.err
    near = signed("sell", "2", "Galerie One", "--from", "unknown")
    assert near.status == 1
    done(signed, "party", "add", "E. Buyer")
    other = signed("sell", "3", "F. Buyer", "900EUR")
    assert other.status == 0 and "Mind: there is also “E. Buyer”." in other.err


def test_a_sale_set_right_and_one_that_fell_through(signed: Tirage) -> None:
    done(signed, "sell 1 Ada 900EUR --certificate --on 2026-03-10")
    assert "price of the sale was “EUR 900.00”, is now “EUR 450.00”" in done(signed, "correct 1 price=450EUR --why x")
    assert "corrected to “EUR 450.00” since" in signed("check").out
    assert json.loads(done(signed, "owed", "--json"))[0]["owed"] == "EUR 450.00"
    done(signed, "undo")
    assert json.loads(done(signed, "owed", "--json"))[0]["owed"] == "EUR 900.00"
    assert "The sale of P-000001 to Ada was not completed" in done(signed, "return 1 --on 2026-03-12")
    assert done(signed, "owed") == "Nothing is owed.\n"
    assert re.search(r"1/25 +signed +P-000001", done(signed, "edition show e1"))
    assert "Now EUR 900.00, 0 sold" in done(signed, "price e1")
    done(signed, "sell 1 Ada 900EUR --paid --on 2026-03-13")
    done(signed, "sell", "1", "Žofie Đurđević", "800EUR", "--from", "Ada", "--on", "2026-03-14")
    assert re.search(r"1/25 +signed +P-000001", done(signed, "edition show e1"))
    assert "purchased by the artist, 14 March 2026" in done(signed, "provenance 1 --json")
    done(signed, "give", "2", "Ada", "--exchange", "a lens")
    assert re.search(r"2/25 +exchanged +P-000002", done(signed, "edition show e1"))
    assert "Now EUR 900.00, 1 sold" in done(signed, "price e1")


def test_the_first_terms_hold_for_what_moved_on(signed: Tirage) -> None:
    done(signed, "consign", "1", "Gallery One", "--until", "2099", "--price", "1000EUR")
    done(signed, "consign", "1", "Gallery Two", "--from", "Gallery One")
    one = next(row for row in json.loads(done(signed, "unsold e1 --json")) if row["print"] == "P-000001")
    assert (one["where"], one["until"], one["price"]) == ("Gallery Two", "2099", "EUR 1,000.00")


def test_history_names_who_printed_and_signed(signed: Tirage) -> None:
    for code, words in (("e1", "signed as"), ("n1", "printed from it"), ("1", "printed from"), ("e1", "declared")):
        lines = json.loads(done(signed, "history", code, "--json"))
        who = {line["who"] for line in lines if words in line["what"]}
        assert who == {"tester"}, (code, words)
    done(signed, "promise", "e1:1", "Ada", "--by", "2099")
    done(signed, "sell 1 Ada 900EUR")
    assert "1 promised to Ada until 2099, kept" in done(signed, "history e1")


def test_what_was_sold_on_since_does_not_come_back_by_a_return(signed: Tirage) -> None:
    done(signed, "sell 1 Bela --on 2026-08")
    done(signed, "sell 1 Bela --from unknown --on 2026-09")
    assert signed("return 1 --on 2026-11").status == 1
