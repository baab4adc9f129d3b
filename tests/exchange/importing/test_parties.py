"""Parties and places out of lists: spellings told, contacts kept apart, everything undone."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from catalog.records.party_names import Near, plain_words
from tests.cli.conftest import Tirage

LIST = "studio_parties.txt"  # UTF-16 with tabs, as a spreadsheet writes “Unicode text”


@pytest.fixture
def begun(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    shutil.copy(Path(__file__).parent / LIST, tmp_path / "studio")
    monkeypatch.chdir(tmp_path / "studio")
    return tirage


def query(sql: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect("catalog.db")) as connection:
        return connection.execute(sql).fetchall()


# known name, another -> whether it is likely the same
SPELLINGS = {
    ("Gallery Meridian", "Gallery Meridan"): True,
    ("Gallery Meridian", "GALLERY MÉRIDIAN"): True,
    ("Gallery Meridian", "Galerie Meridian GmbH"): True,
    ("Meridian Gallery", "Gallery Meridian"): True,
    ("Meridian Sarl", "Meridian S.A.R.L."): True,
    ("B. Collector", "B. Colector"): True,
    ("O'Reach", "O’Reach"): True,
    ("Müller & Sohn", "Muller and Sohn"): True,
    ("Galerie Nordlicht", "Gal. Nordlicht"): True,
    ("Galerie Nordlicht", "Galerie Nord-Licht"): True,
    ("Galerie Nordlicht", "Nordlicht"): True,
    ("Galerie Nordlicht", "Galerie Nordlicht, Port Example"): True,
    ("Galerie Nordlicht, Port Example", "Nordlicht"): True,
    ("Anna Example", "Example, Anna"): True,
    ("Galerie Nord, Lower Town", "Galerie Nord, Upper Town"): False,
    ("Galerie Nord (Lyon)", "Galerie Nord"): False,
    ("Example, Anna", "Example, Berta"): False,
    ("Anna Example", "Anne Example"): False,
    ("B. Collector", "C. Collector"): False,
    ("North Gallery", "South Gallery"): False,
}


@pytest.mark.parametrize("known, other", SPELLINGS)
def test_spellings(known: str, other: str) -> None:
    assert bool(Near([known]).find(other)) is SPELLINGS[known, other]


def test_legal_forms_alone_are_still_a_name() -> None:
    assert plain_words("Co. Ltd") == ["co", "ltd"]


def test_near_spellings_are_told_and_offered(begun: Tirage) -> None:
    answer = begun(f"import parties {LIST}")
    assert answer.status == 0
    assert "spelled much like “Gallery Meridian” (row 2)" in answer.out
    assert "spelled much like “B. Collector” (row 5)" in answer.out
    assert "Anna Example” (row" not in answer.out
    mapping = Path(f"{LIST}.mapping.toml").read_text(encoding="utf-8")
    assert '# "Gallery Meridan" = "Gallery Meridian"    # one and the same?' in mapping


def test_one_mail_or_telephone_is_likely_one_party(begun: Tirage) -> None:
    begun("party", "add", "A. Buyer", "--mail", "a@example.org")
    Path("more.csv").write_text(
        "Name,E-mail,Telephone,Address\nFrau Kauf,A@Example.org ,,Quay 1\nC. Third,,+49 (30) 555-1234,Quay 1\n"
        "D. Fourth,,0049 30,Quay 1\nEmil Fifth,,+49 30 5551234,\n"
    )
    told = begun("import parties more.csv").out
    assert "the same mail as “A. Buyer” (in the catalog)" in told
    assert "the same telephone as “C. Third” (row 3)" in told
    assert told.count("the same ") == 2


def test_spellings_in_the_mapping_file_make_one_party(begun: Tirage) -> None:
    begun(f"import parties {LIST}")
    mapping = Path(f"{LIST}.mapping.toml")
    text = mapping.read_text(encoding="utf-8").replace('# "Gallery Meridan"', '"Gallery Meridan"')
    text = text.replace("[parties]\n", '[parties]\n"galerie meridian gmbh" = "Gallery Meridian"\n')
    mapping.write_text(text, encoding="utf-8")
    assert begun(f"import parties {LIST} --apply").status == 0
    assert query("SELECT name, kind, place FROM party WHERE name LIKE '%merid%'") == [
        ("Gallery Meridian", "gallery", "Port Example")
    ]
    assert "Bemerkung: bought two in 2014" in begun("party", "show", "Gallery Meridian").out
    assert "there already" in begun(f"import parties {LIST} --apply").out


def test_contacts_are_kept_apart_and_can_be_forgotten(begun: Tirage) -> None:
    assert begun(f"import parties {LIST} --apply").status == 0
    assert "b@example.org" in begun("party", "show", "B. Collector").out
    assert not any("example.org" in str(row) or "0101" in str(row) for row in query("SELECT cells FROM import_row"))
    assert begun("party", "forget", "B. Collector").status == 0
    begun("party", "forget", "Gallery Meridian")
    with closing(sqlite3.connect("catalog.db")) as connection:
        assert not any("b@example.org" in line for line in connection.iterdump())


def test_undo_takes_parties_and_their_contacts_back(begun: Tirage) -> None:
    before = query("SELECT * FROM party")
    begun(f"import parties {LIST} --apply")
    assert begun("undo").status == 0
    assert query("SELECT * FROM party") == before
    assert query("SELECT * FROM party_contact") == []
    assert begun("check").status == 0


def test_places_by_path_and_by_parent(begun: Tirage) -> None:
    Path("places.csv").write_text(
        "Lieu,Dans,Type,Remarque\nAtelier,,pièce,\nRayon 1,Atelier,étagère,cold\nAtelier > Rayon 1 > Boîte 2,,,\n"
        "a//b,,,\nAtelier,,,again\n"
    )
    answer = begun("import places places.csv --apply --leave-refused")
    assert answer.status == 1
    assert "“a//b” is not a place" in answer.out
    assert query("SELECT name, kind, note FROM place ORDER BY id") == [
        ("Atelier", "room", ""),
        ("Rayon 1", "shelf", "cold"),
        ("Boîte 2", "", ""),
    ]
    assert "From its list: Remarque: again" in begun("place show Atelier").out
    assert begun("undo").status == 0
    assert query("SELECT count(*) FROM place") == [(0,)]
