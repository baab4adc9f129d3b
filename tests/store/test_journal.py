"""The chain of seals, and taking back."""

import sqlite3
from pathlib import Path

import pytest

from catalog.store import journal

from .conftest import dump, plain, tirage

KEPT = ("journal", "journal_seal", "code")
TAKEN_BACK = (
    "negative add Third --series 'Another series'",
    "negative state n1 retired",
    "edition declare n2 3 --ap 1 --process 'salted paper print'",
    "print make e1 2",
    "print make n2 1",
    "paper add cold 'a cold paper'",
    "sign 4 --anyway testing",
    "sign 4 --as AP",
    "print designate 4 --as AP1",
    "destroy 2 --why torn",
    "destroy n2 --why dropped",
    "bath mix toner selenium",
    "bath mix fixer 'another fixer'",
    "bath discard b1",
    "washer add tray --kind tray",
    "strip 2",
    "fix 4 1m",
    "wash 4",
    "wash 4 60m",
    "tone 4 selenium 2m",
    "dry 4",
    "test k1 silver none",
    "place add studio/box",
    "move 4 studio/shelf",
    "party add Nobody",
    "promise e1:4 --to 'B. Buyer'",
    "promise e1:5 --withdraw",
    "consign 2 'A Gallery' --until 2027-01-01",
    "lend n1 'B. Buyer'",
    "sell 2 'B. Buyer' 10EUR",
    "paid 1",
    "give 3 'B. Buyer'",
    "certificate revoke c1 --why slip",
    "price e1 950EUR --from-sale 2",
    "edition close e2 --at-number 2",
    "edition cancel e2 --negative marked --why over",
    "edition erratum e1 'the plate is of 1998'",
    "edition declare n1 3 --toning gold --disclose 'toned otherwise'",
    "correct n1 made=1998 title=Weir series=Other --why slip",
    "correct 3 designation=4 --why 'mistyped'",
    "shown n1",
    "settings vintage-years 6 --basis mine",
)


def test_the_chain_proves(populated: Path) -> None:
    connection = plain(populated)
    assert journal.prove(connection) == []
    assert journal.unsealed_rows(connection) == 0


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE journal SET after = '{}' WHERE id = 5",
        "DELETE FROM journal WHERE id = 5",
        "UPDATE journal_seal SET by = 'x' WHERE id = 2",
        "DELETE FROM journal_seal WHERE id = 2",
    ],
)
def test_an_altered_journal_is_found(populated: Path, change: str) -> None:
    connection = plain(populated)
    for table in ("journal", "journal_seal"):
        for event in ("update", "delete"):
            connection.execute(f"DROP TRIGGER guard_{event}_{table}")
    connection.execute(change)
    assert journal.prove(connection)


def test_rows_written_outside_are_named(populated: Path, capsys: pytest.CaptureFixture[str]) -> None:
    connection = plain(populated)
    connection.execute("UPDATE negative SET note = 'written elsewhere' WHERE title LIKE 'Shed%'")
    connection.close()
    assert tirage(populated, "check") == 1
    assert "outside this program" in capsys.readouterr().out
    assert tirage(populated, "party add Nobody") == 0
    assert "outside this program" in capsys.readouterr().err
    assert any(
        "outside this program" in problem and "negative" in problem for problem in journal.prove(plain(populated))
    )
    assert tirage(populated, "undo") == 0 and tirage(populated, "undo") == 1  # never past what is not ours


@pytest.mark.parametrize("line", TAKEN_BACK)
def test_undo_restores_what_was(populated: Path, line: str, capsys: pytest.CaptureFixture[str]) -> None:
    connection = plain(populated)
    before, codes = dump(connection, KEPT), dump(connection)["code"]
    seals = connection.execute("SELECT count(*) FROM journal_seal").fetchone()[0]
    if tirage(populated, line) != 0:
        pytest.fail(f"{line}: {capsys.readouterr().err}")
    assert connection.execute("SELECT count(*) FROM journal_seal").fetchone()[0] == seals + 1
    assert tirage(populated, "undo") == 0, capsys.readouterr().err
    assert dump(connection, KEPT) == before
    assert dump(connection)["code"][: len(codes)] == codes
    assert journal.prove(connection) == []


def test_undo_goes_back_step_by_step(populated: Path) -> None:
    connection = plain(populated)
    before = dump(connection, KEPT)
    for line in ("negative add Third", "print make n3 2", "sell 2 'B. Buyer' 10EUR", "paid 2"):
        assert tirage(populated, line) == 0
    for _ in range(4):
        assert tirage(populated, "undo") == 0
    assert dump(connection, KEPT) == before


def test_codes_are_not_given_again(populated: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert tirage(populated, "print make n1 1") == 0
    assert tirage(populated, "undo") == 0
    assert "P-000013 stays void" in capsys.readouterr().out
    assert tirage(populated, "print make n1 1") == 0
    assert "P-000014" in capsys.readouterr().out
    assert tirage(populated, "print show 13") == 1
    capsys.readouterr()
    assert tirage(populated, "history 13") == 0
    assert "taken back" in capsys.readouterr().out


def test_a_certificate_is_not_taken_back(populated: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert tirage(populated, "certificate issue 3") == 0
    before = dump(plain(populated))
    assert tirage(populated, "undo") == 1
    assert "revoke" in capsys.readouterr().err
    assert dump(plain(populated)) == before


def test_what_changed_a_contact_and_more_is_refused_with_a_way_on(populated: Path) -> None:
    from catalog.records import parties
    from catalog.store.connection import open_catalog

    connection = open_catalog(populated, writing=True)
    connection.execute("BEGIN")
    party = parties.named(connection, "C. Other")
    parties.reach(connection, party.id, {"telephone": "4321"})
    connection.execute("UPDATE party SET place = 'Lyon' WHERE id = ?", (party.id,))
    journal.seal(connection, sealed="2026-03-20T10:00:00+00:00", by="x", command="both")
    with pytest.raises(journal.NothingToUndoError, match="“both” changed or took away telephone of .*party reach"):
        journal.undo(connection)
    connection.execute("ROLLBACK")
    connection.close()


def test_the_gate_of_undoing_stands_again(populated: Path) -> None:
    connection = plain(populated)
    gate = "SELECT sql FROM sqlite_master WHERE name = 'undoing_newest'"
    before = connection.execute(gate).fetchone()[0]
    for line in ("place add studio/box", "party forget 'C. Other'", "undo"):
        assert tirage(populated, line) == 0
    assert connection.execute(gate).fetchone()[0] == before
    assert journal.prove(connection) == []
    with pytest.raises(sqlite3.IntegrityError, match="only the newest command"):
        connection.execute("INSERT INTO undoing VALUES (2)")
