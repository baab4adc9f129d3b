"""How somebody is reached can change, be taken away and be forgotten, and what stood there is nowhere any more."""

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
    refused = known("undo")
    assert refused.status == 1 and "give it anew: tirage party reach" in refused.err
    assert "second@example.org" in known("party", "show", "harbour").out


def test_nothing_told_and_nobody_known(known: Tirage) -> None:
    assert "Missing a way to reach them" in known("party", "reach", "harbour").err
    assert "There is no party “Nobody”" in known("party", "reach", "Nobody", "--mail", "x@example.org").err
