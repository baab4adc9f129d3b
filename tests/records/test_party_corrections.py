"""Corrections of a party, through the real operations."""

from pathlib import Path

import pytest

from catalog.errors import TirageError
from catalog.records import parties, party_corrections
from tests.dealings_sample import Dealings, Party


@pytest.fixture
def dealings(tmp_path: Path) -> Dealings:
    return Dealings(tmp_path / "catalog", made="2018")


# what is typed -> what it was and is now, in words
FIELDS = {
    ("name", "Ada Byron"): ("Ada", "Ada Byron"),
    ("kind", "institution"): ("collector", "institution"),
    ("place", "Lyon, France"): ("", "Lyon, France"),
    ("born", "c. 1815"): ("", "c. 1815"),
    ("public", "no"): ("yes", "no"),
    ("note", "of the old list"): ("", "of the old list"),
}


@pytest.mark.parametrize(("field", "text"), FIELDS)
def test_a_field_is_set_right(dealings: Dealings, field: str, text: str) -> None:
    ada = parties.read(dealings.connection, dealings.party("Ada"))
    now, done = party_corrections.correct(dealings.connection, ada, field, text, "slip")
    assert (done.before, done.after) == FIELDS[field, text]
    assert parties.read(dealings.connection, ada.id) == now != ada
    with pytest.raises(TirageError, match="already"):
        party_corrections.correct(dealings.connection, now, field, text, "slip")


# whose, what is typed, why -> words of the refusal
REFUSED = {
    ("Ada", "name", "bea", "slip"): "There is a party",
    ("Ada", "name", "", "slip"): "1 to 200 characters",
    ("Ada", "name", "Unknown party", "slip"): "There is a party",
    ("Ada", "kind", "dealer", "slip"): "collector, gallery",
    ("Ada", "public", "maybe", "slip"): "yes or no",
    ("Ada", "died", "1900", "slip"): "party died",
    ("Ada", "shoe", "7", "slip"): "expected one of name, kind, place, born, public, note",
    ("Ada", "place", "Lyon", " "): "Add --why REASON",
    ("Cleo", "born", "1990", "slip"): "they died 1950, before 1990",
    ("A. Example", "kind", "gallery", "slip"): "A. Example was not corrected: they are the artist of this",
    ("A. Example", "public", "no", "slip"): "they are the artist, whom every page and paper names",
    ("Unknown party", "place", "Lyon", "slip"): "is nobody",
}


@pytest.mark.parametrize(("whose", "field", "text", "why"), REFUSED)
def test_refused_with_a_reason(dealings: Dealings, whose: str, field: str, text: str, why: str) -> None:
    for one in (Party("Ada"), Party("Bea"), Party("Cleo", died="1950")):
        dealings.party(one)
    parties.unknown(dealings.connection)
    party = parties.named(dealings.connection, whose)
    with pytest.raises(TirageError, match=REFUSED[whose, field, text, why]):
        party_corrections.correct(dealings.connection, party, field, text, why)
    assert parties.read(dealings.connection, party.id) == party


def test_a_party_added_by_the_way_is_private_whatever_it_is(dealings: Dealings) -> None:
    party, added = parties.named_or_added(dealings.connection, "A. Scholar", "institution")
    assert (party.kind, party.nameable, added) == ("institution", 0, True)
    assert parties.add(dealings.connection, "Gallery One", "gallery").nameable == 1
