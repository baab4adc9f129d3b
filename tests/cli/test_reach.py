"""How somebody is reached can change, be taken away and be forgotten, and what stood there is nowhere any more."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage


@pytest.fixture
def known(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    """A catalog with a gallery that is reached by mail."""
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    assert tirage("party", "add", "Harbour Gallery", "--kind", "gallery", "--mail", "first@example.org").status == 0
    return tirage


def rows(sql: str) -> list[tuple[object, ...]]:
    """What the catalog holds."""
    with closing(sqlite3.connect("catalog.db")) as connection:
        return connection.execute(sql).fetchall()


def test_a_way_is_changed_added_and_taken_away(known: Tirage) -> None:
    done = known("party", "reach", "harbour", "--mail", "second@example.org", "--telephone", "+00 17")
    assert done.out == "Harbour Gallery: mail second@example.org, telephone +00 17.\n"
    shown = known("party", "show", "harbour").out
    assert "second@example.org" in shown and "+00 17" in shown
    assert known("party", "reach", "harbour", "--telephone", "").out == "Harbour Gallery: mail second@example.org.\n"
    kept = Path("catalog.db").read_bytes()
    assert b"first@example.org" not in kept and b"+00 17" not in kept
    assert known("check").out == "Everything agrees.\n"
    assert known("party", "forget", "harbour").status == 0
    assert known("party", "reach", "harbour", "--address", "1 Quay").out == "Harbour Gallery: address 1 Quay.\n"
    assert b"second@example.org" not in Path("catalog.db").read_bytes()
    assert known("check").out == "Everything agrees.\n"


def test_only_what_was_added_can_be_undone(known: Tirage) -> None:
    assert known("party", "reach", "harbour", "--address", "1 Quay").status == 0
    assert known("undo").status == 0
    assert "1 Quay" not in known("party", "show", "harbour").out
    assert known("party", "reach", "harbour", "--mail", "second@example.org").status == 0
    assert known("party", "add", "Another").status == 0
    assert known("party", "reach", "harbour", "--mail", "third@example.org").status == 0
    done = known("undo")
    assert done.status == 0
    assert "Not taken back: party reach (Harbour Gallery)" in done.out and "party reach." in done.out
    assert "Taken back: party add" in done.out
    assert known("party", "show", "Another").status == 1
    assert "third@example.org" in known("party", "show", "harbour").out
    assert known("check").out == "Everything agrees.\n"


def test_the_same_again_changes_nothing(known: Tirage) -> None:
    before = Path("catalog.db").read_bytes()
    same = known("party", "reach", "harbour", "--mail", "first@example.org", "--telephone", "")
    assert same.out == "Harbour Gallery: mail first@example.org, as before; nothing was changed.\n"
    assert Path("catalog.db").read_bytes() == before
    assert known("party", "add", "Nobody Known").status == 0
    seals = rows("SELECT count(*) FROM journal_seal")
    assert "Nothing was kept of how to reach Nobody Known" in known("party", "forget", "Nobody Known").out
    assert rows("SELECT count(*) FROM journal_seal") == seals


def test_forgetting_stands_in_nobodys_way(known: Tirage) -> None:
    known("party", "add", "Ada", "--mail", "ada@example.org")
    known("negative", "add", "Pond", "--size", "whole plate")
    known("party", "forget", "Ada")
    known("party", "reach", "Ada", "--telephone", "+00 17")
    known("party", "reach", "Ada", "--telephone", "+00 18")
    taken = known("undo")
    assert "Not taken back: party reach (Ada), of " in taken.out and "party forget (Ada)" in taken.out
    assert "Taken back: negative add n1" in taken.out and "N-0001 stays void" in taken.out
    assert "+00 18" in known("party", "show", "Ada").out
    assert known("check").out == "Everything agrees.\n"
    assert "With Ada went how they are reached." in known("undo").out  # the party itself
    assert rows("SELECT party FROM party_contact") == [(1 + 1,)]  # the gallery's mail alone
    assert rows("SELECT count(*) FROM undoing") == [(0,)]
    assert known("check").out == "Everything agrees.\n"
    asked = json.loads(known("undo", "--json").out)
    assert asked[0]["command"] == "party add" and "party forget (Ada)" in asked[0]["stays"]
    assert rows("SELECT count(*) FROM party_contact") == [(0,)]
    assert known("check").out == "Everything agrees.\n"


def test_an_added_way_that_was_changed_since_stays_with_its_change(known: Tirage) -> None:
    known("party", "add", "Another")
    known("party", "reach", "harbour", "--address", "1 Quay")
    known("party", "reach", "harbour", "--address", "2 Quay")
    assert "Taken back: party add" in known("undo").out
    assert "2 Quay" in known("party", "show", "harbour").out and known("party", "show", "Another").status == 1


def test_a_party_says_how_it_came(known: Tirage) -> None:
    assert ", by " in known("party", "show", "harbour").out
    assert "a party (party show NAME)" in known("history", "Harbour Gallery").err


def test_nothing_told_and_nobody_known(known: Tirage) -> None:
    assert "Missing a way to reach them" in known("party", "reach", "harbour").err
    assert "There is no party “Nobody”" in known("party", "reach", "Nobody", "--mail", "x@example.org").err
