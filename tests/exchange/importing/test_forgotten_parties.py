"""Whoever was forgotten gets no way to reach them from a list, whatever it looks like; a person's own word holds."""

import shlex
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import Answer, Tirage

Typed = Callable[[str], Answer]

FULL = "Name,Mail,Telephone,Address\nAda Imp,ada@example.org,ZQ 555 1234,1 Quay\n"
# Another list in which the same person stands.
LISTS = {
    "the same": FULL,
    "other columns": "Name,Mail,Town\nAda Imp,ada@example.org,Lyon\n",
    "another case": "Name,Mail\nada imp,ada@example.org\n",
    "in two columns": "First name,Last name,Telephone\nAda,Imp,ZQ 555 1234\n",
    "spelled otherwise": "Name,Mail\nImp Ada,ada@example.org\n",
    "another address": "Name,Address\nAda Imp,2 Quay\n",
}
# How she came to be there, and was forgotten.
LIVES = {
    "typed": ["party add 'Ada Imp' --mail ada@example.org --telephone 'ZQ 555 1234'", "party forget 'Ada Imp'"],
    "imported": ["import parties full.csv --apply", "party forget 'Ada Imp'"],
    "imported, and taken back": ["import parties full.csv --apply", "party forget 'Ada Imp'", "undo"],
    "renamed since": [
        "party add 'Ada Imp' --mail ada@example.org",
        "party forget 'Ada Imp'",
        "party correct 'Ada Imp' name='Baroness' --why married",
    ],
    "one way taken away": ["party add 'Ada Imp' --mail ada@example.org", "party reach 'Ada Imp' --mail ''"],
}


@pytest.fixture
def begun(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Typed:
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    Path("full.csv").write_text(FULL)
    return lambda line: tirage(*shlex.split(line))


def query(sql: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect("catalog.db")) as connection:
        return connection.execute(sql).fetchall()


@pytest.mark.parametrize("life", LIVES)
def test_no_list_brings_them_back(begun: Typed, life: str) -> None:
    for line in LIVES[life]:
        assert begun(line).status == 0
    for name, text in LISTS.items():
        Path("list.csv").write_text(text)
        tried = begun("import parties list.csv")
        done = begun("import parties list.csv --apply")
        Path("list.csv.mapping.toml").unlink()
        for answer in (tried, done):
            assert answer.status == 0
            assert "was forgotten; how to reach them is not taken from a list" in answer.out, name
            assert "tirage party reach" in answer.out and "to reach part" not in answer.out
        assert query("SELECT * FROM party_contact") == [], name
    with closing(sqlite3.connect("catalog.db")) as connection:
        assert not any("ada@" in line or "ZQ 555" in line for line in connection.iterdump())
    assert begun("check").status == 0


def test_a_persons_own_word_holds_and_a_list_adds_nothing_to_it(begun: Typed) -> None:
    for line in (*LIVES["imported"], "party reach 'Ada Imp' --mail new@example.org", "import parties full.csv --apply"):
        answer = begun(line)
    assert "was forgotten" in answer.out
    assert query("SELECT kind, value FROM party_contact") == [("mail", "new@example.org")]
    Path("new.csv").write_text("Name,Mail\nAda Imp,new@example.org\n")
    assert "was forgotten" not in begun("import parties new.csv").out  # it says what stands there


def test_what_was_taken_back_was_not_forgotten(begun: Typed) -> None:
    for line in ("import parties full.csv --apply", "undo", "party add 'B. Other' --mail b@example.org", "undo"):
        assert begun(line).status == 0
    begun("party add 'C. Other'")
    assert begun("import parties full.csv --apply").status == 0
    assert query("SELECT count(*) FROM party_contact") == [(3,)]


def test_an_identity_that_is_given_again_is_somebody_else(begun: Typed) -> None:
    for line in ("party add Gone --mail gone@example.org", "party forget Gone", "undo", "party add Zephyr"):
        assert begun(line).status == 0
    Path("list.csv").write_text("Name,Mail\nZephyr,z@example.org\n")
    assert "was forgotten" not in begun("import parties list.csv --apply").out
    assert query("SELECT value FROM party_contact") == [("z@example.org",)]


def test_ways_that_are_added_to_who_is_there_are_counted_and_told(begun: Typed) -> None:
    begun("party add 'Ada Imp' --mail ada@example.org")
    tried = begun("import parties full.csv").out
    assert "no telephone is kept of “Ada Imp”, which is there already; this one is added" in tried
    assert "2 ways to reach parties that are there to be added" in tried
    assert "2 ways to reach parties that are there, run it again with --apply" in tried
    assert "left as it is" not in tried
    assert query("SELECT count(*) FROM party_contact") == [(1,)]
    assert "2 ways to reach parties that were there. To take" in begun("import parties full.csv --apply").out
    assert query("SELECT count(*) FROM party_contact") == [(3,)]
    begun("party reach 'Ada Imp' --telephone 1234567")
    assert "Taken back: import" in begun("undo").out
    assert query("SELECT kind, value FROM party_contact ORDER BY id") == [
        ("mail", "ada@example.org"),
        ("telephone", "1234567"),
    ]
    assert begun("check").status == 0


def test_another_kind_and_what_is_lacking_are_told(begun: Typed) -> None:
    begun("party add 'Harbour Gallery' --kind collector")
    Path("list.csv").write_text("Name,Type,Town,Born\nHarbour Gallery,Galerie,Lyon,1990\n")
    told = begun("import parties list.csv").out
    assert "is there already as collector, and stays that" in told
    assert "tirage party correct 'Harbour Gallery' kind=gallery --why REASON" in told
    assert "already with no place" in told and "already with no date of birth" in told
    Path("list.csv").write_text("Name,Town\nHarbour Gallery,Lyon\n")
    assert "by its name" not in begun("import parties list.csv").out  # its kind stands already


def test_rows_that_are_alike(begun: Typed) -> None:
    Path("list.csv").write_text("Name,Mail\nAda Imp,a@example.org\nAda Imp,b@example.org\nAda Imp,a@example.org\n")
    told = begun("import parties list.csv").out
    assert "the same as" not in told and "another party" not in told
    Path("plates.csv").write_text("Title,Club\nPond,Rowing\nPond,Rowing\n")
    assert "the same as row 2; added as another negative" in begun("import negatives plates.csv").out
    Path("plates.csv").write_text("Title,Owner Email\nPond,a@example.org\nPond,b@example.org\n")
    assert "the same as" not in begun("import negatives plates.csv").out
