"""Columns of telephones, mails and addresses that no field takes stay nowhere, for a note cannot be forgotten."""

import sqlite3
from pathlib import Path

import pytest

from catalog.exchange.importing.headings import reaches
from tests.cli.conftest import Tirage

LISTS = {
    "parties": "Name,Phone,Phone 2,E-Mail privat,Club\nAda Secret,ZQ 555 1,ZQ 555 2,secret@example.org,Rowing\n",
    "negatives": "Title,Owner Email,Wohnadresse,Club\nPier,secret@example.org,ZQ 555 2,Rowing\n",
    "places": "Name,Téléphone,Courriel,Club\nAttic,ZQ 555 2,secret@example.org,Rowing\n",
}


@pytest.fixture
def begun(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    """A new catalog, in which one stands."""
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    return tirage


def everything() -> str:
    connection = sqlite3.connect("catalog.db")
    found = "\n".join(connection.iterdump())
    connection.close()
    return found


@pytest.mark.parametrize(
    "heading",
    [
        "Phone 2", "Cell phone", "Mobile", "E-Mail privat", "Owner Address", "Street", "Zip code", "Fax",
        "Contact person", "Tél.", "Téléphone portable", "Courriel", "Adresse 2", "Rue", "Code postal", "Coordonnées",
        "Telefon privat", "Handynummer", "Anschrift des Käufers", "Straße", "PLZ", "Kontaktdaten", "Wohnadresse",
        "Ansprechpartner",
    ],
)  # fmt: skip
def test_headings_of_ways_to_reach(heading: str) -> None:
    assert reaches(heading)


@pytest.mark.parametrize(
    "heading",
    ["Contact print", "First contact", "Contact sheets", "Planche contact", "Kontaktabzug", "Cell", "Lent to",
     "Remarks", "Vorname", "Automobile", "Émulsion", "Telling", "Title"],
)  # fmt: skip
def test_other_headings(heading: str) -> None:
    assert not reaches(heading)


@pytest.mark.parametrize("noun", LISTS)
def test_they_are_told_and_kept_nowhere(begun: Tirage, noun: str) -> None:
    Path("list.csv").write_text(LISTS[noun])
    tried = begun(f"import {noun} list.csv").out
    assert "left out" in tried
    assert "a note cannot be forgotten" in tried
    assert "kept as notes" in tried  # the club
    done = begun(f"import {noun} list.csv --apply")
    assert done.status == 0
    assert "Left out" in done.out
    if noun == "parties":
        assert begun("party", "forget", "Ada Secret").status == 0
    kept = everything()
    assert "secret@example.org" not in kept
    assert "ZQ 555" not in kept
    assert "Rowing" in kept


def test_a_mapping_that_names_a_field_is_followed_and_one_that_names_none_keeps_nothing(begun: Tirage) -> None:
    Path("list.csv").write_text("Title,Address,Phone\nPier,12 Quay,ZQ 555\n")
    Path("list.csv.mapping.toml").write_text('[columns]\n"Title" = "title"\n"Address" = "note"\n"Phone" = ""\n')
    assert begun("import negatives list.csv --apply").status == 0
    assert "12 Quay" in everything()
    assert "ZQ 555" not in everything()
