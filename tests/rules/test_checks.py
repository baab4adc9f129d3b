"""What the checks find when something is wrong, and that they find nothing when all agrees."""

import os
import shutil
import sqlite3
from pathlib import Path

import pytest
from PIL import Image

from catalog.cli.main import run
from catalog.rules.checks import Finding, check

LINES = (
    ["negative", "add", "Pond", "--state", "ready"],
    ["paper", "add", "warm", "a warm fibre paper"],
    ["paper", "add", "cold", "a cold paper"],
    ["edition", "declare", "n1", "5", "--on", "2026-03-01"],
    ["print", "make", "e1", "3", "--paper", "warm", "--on", "2026-03-02"],
    ["party", "add", "B. Buyer"],
    ["bath", "mix", "fixer", "rapid fixer", "--on", "2026-03-01"],
    ["washer", "add", "tray", "--kind", "tray"],
    ["strip", "1", "--on", "2026-03-02"],
    ["fix", "1-3,k1", "1m", "--on", "2026-03-02"],
    ["wash", "1-3,k1", "60m", "--on", "2026-03-02"],
    ["sign", "1-2", "--on", "2026-03-03"],
    ["certificate", "issue", "1", "--on", "2026-03-04"],
)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    os.environ["TIRAGE_BY"] = "tester"
    folder = tmp_path_factory.mktemp("checks") / "catalog"
    assert run(["init", str(folder), "--artist", "A. Maker"]) == 0
    picture = folder.parent / "pond.png"
    Image.new("L", (8, 8)).save(picture)
    for given in (*LINES, ["picture", "add", "n1", str(picture)]):
        assert run(["--catalog", str(folder), *given]) == 0, given
    return folder


@pytest.fixture
def folder(built: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(built, tmp_path / "catalog"))


def _open(folder: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    connection.row_factory = sqlite3.Row
    return connection


def found(folder: Path) -> list[Finding]:
    connection = _open(folder)
    try:
        return check(connection, folder)
    finally:
        connection.close()


def does(folder: Path, *line: str) -> None:
    assert run(["--catalog", str(folder), *line]) == 0, line


def says(findings: list[Finding], severity: str, *words: str) -> bool:
    return any(one.severity == severity and all(word in one.sentence for word in words) for one in findings)


def test_nothing_wrong(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert found(folder) == []
    does(folder, "check")
    assert "Everything agrees" in capsys.readouterr().out


def test_a_changed_schema(folder: Path) -> None:
    connection = _open(folder)
    connection.execute("DROP TRIGGER guard_delete_print")
    connection.execute("CREATE INDEX extra ON print(made)")
    connection.execute("DROP TRIGGER movement_possible")
    connection.execute("CREATE TRIGGER movement_possible BEFORE INSERT ON movement BEGIN SELECT 1; END")
    connection.close()
    findings = found(folder)
    assert says(findings, "error", "guard_delete_print", "missing")
    assert says(findings, "error", "extra", "added")
    assert says(findings, "error", "movement_possible", "altered")
    assert run(["--catalog", str(folder), "check"]) == 1


def test_a_picture_changed_and_missing(folder: Path) -> None:
    picture = next((folder / "pictures").iterdir())
    picture.write_bytes(picture.read_bytes() + b"x")
    assert says(found(folder), "error", picture.name, "changed")
    picture.unlink()
    assert says(found(folder), "error", picture.name, "missing")


def test_a_certificate_that_no_longer_agrees(folder: Path) -> None:
    does(folder, "correct", "e1", "title=Weir", "--why", "slip")
    does(folder, "correct", "1", "paper=cold", "--why", "slip")
    findings = found(folder)
    assert says(findings, "warning", "title", "Weir", "supersede")
    assert says(findings, "warning", "paper", "a cold paper")
    does(folder, "certificate", "issue", "1", "--supersedes", "c1")
    assert found(folder) == []
    does(folder, "destroy", "1", "--why", "torn")
    assert says(found(folder), "warning", "destroyed", "revoke")


def test_what_moves_on_after_a_certificate_is_a_note(folder: Path) -> None:
    does(folder, "certificate", "issue", "2")
    does(folder, "edition", "close", "e1", "--at-number", "2")
    findings = found(folder)
    assert says(findings, "note", "C-0001, C-0002 say edition state “declared”, now “closed early”. This came")
    assert not any(one.severity == "warning" for one in findings)
    does(folder, "correct", "1", "made=2026-03-01", "--why", "slip")
    assert says(found(folder), "warning", "C-0001 for P-000001 says made “2026-03-02”, now “2026-03-01”", "supersede")


def test_a_failed_test_of_a_signed_print(folder: Path) -> None:
    does(folder, "test", "k1", "hypo", "beige", "--on", "2026-03-05")
    assert says(found(folder), "warning", "P-000001", "failed")


def test_a_number_without_a_print_and_rows_from_outside(folder: Path) -> None:
    connection = _open(folder)
    connection.execute("DROP TRIGGER IF EXISTS edition_number_with_print")
    connection.execute("INSERT INTO edition_number SELECT id, 'numbered', 4, 'given' FROM edition")
    connection.close()
    findings = found(folder)
    assert says(findings, "error", "number 4 of E-0001", "no print")
    assert says(findings, "error", "outside this program", "edition_number")


def test_an_old_unpaid_sale_is_a_note(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    does(folder, "sell", "2", "B. Buyer", "900EUR", "--on", "2026-03-10")
    assert says(found(folder), "note", "P-000002", "not paid")
    does(folder, "check", "--json")


def test_an_owner_written_by_hand(folder: Path) -> None:
    connection = _open(folder)
    connection.execute("DROP TRIGGER standing_follows")
    connection.execute(
        "UPDATE standing SET owner = (SELECT max(id) FROM party) WHERE item = (SELECT max(id) FROM print)"
    )
    connection.close()
    assert says(found(folder), "error", "P-000003", "owner")


def test_what_is_due_and_history(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    does(folder, "negative", "add", "Shed", "--state", "drying", "--on", "2026-03-01", "--at", "09:00")
    does(folder, "sell", "2", "B. Buyer", "900EUR", "--on", "2026-03-10")
    does(folder, "lend", "n1", "B. Buyer", "--until", "2026-03-12", "--on", "2026-03-10")
    capsys.readouterr()
    does(folder, "due")
    told = capsys.readouterr().out
    for words in (
        "time to varnish",
        "1 print of E-0001",
        "tirage sign 3",
        "is not paid",
        "tirage paid 2",
        "tirage return n1",
    ):
        assert words in told
    does(folder, "history", "1")
    lines = capsys.readouterr().out.splitlines()
    steps: list[str] = ["printed from N-0001", "fix", "wash", "signed and inscribed 1/5", "certificate C-0001 issued"]
    order_found = [next(at for at, text in enumerate(lines) if step in text) for step in steps]
    assert order_found == sorted(order_found)
    for code in ("n1", "e1", "b1", "s1", "k1", "c1"):
        does(folder, "history", code, "--csv")


# What was done to a thing before it was there or after it was gone -> what says so; entered as plain rows, for the
# command line refuses most of it.
OUT_OF_ORDER = {
    "bath cared for before it was mixed": (
        "INSERT INTO bath_event (bath, kind, happened, earliest, latest, by) SELECT id, 'cared for', '2026-02-01', "
        "'2026-02-01', '2026-02-01', 'x' FROM bath",
        "Bath B-0001 was cared for is dated 1 February 2026, before it was mixed (1 March 2026)",
    ),
    "density before its print": (
        "INSERT INTO density (item, patch, value, happened, earliest, latest, by) SELECT min(id), 'mid', 1, "
        "'2026-02-01', '2026-02-01', '2026-02-01', 'x' FROM print",
        "A density of P-000001 is dated 1 February 2026, before that print was made (2 March 2026)",
    ),
    "recipe before its print": (
        "INSERT INTO recipe (negative, edition, print, happened, earliest, latest, by) SELECT negative, edition, "
        "min(id), "
        "'2026-02-01', '2026-02-01', '2026-02-01', 'x' FROM print",
        "The recipe of P-000001 is dated 1 February 2026, before that print was made (2 March 2026)",
    ),
    "test before its strip": (
        "INSERT INTO residual_test (item, question, method, reading, happened, earliest, latest, by) SELECT id, "
        "'hypo', 'drop', 'none', '2026-02-01', '2026-02-01', '2026-02-01', 'x' FROM control_strip",
        "A residual test of K-0001 is dated 1 February 2026, before that strip was made (2 March 2026)",
    ),
}


@pytest.mark.parametrize("case", OUT_OF_ORDER)
def test_dates_of_what_was_done_to_a_thing(folder: Path, case: str) -> None:
    sql, sentence = OUT_OF_ORDER[case]
    connection = _open(folder)
    connection.execute(sql)
    connection.close()
    assert any(one.sentence.startswith(sentence) for one in found(folder)), [one.sentence for one in found(folder)]


def test_a_ready_plate_with_no_fixing_is_noted(folder: Path) -> None:
    assert not any("no fixing" in one.sentence for one in found(folder)), "no step of its making is recorded"
    assert run(["--catalog", str(folder), "step", "add", "collodion", "n1", "--on", "2026-02-01"]) == 0
    (note,) = [one for one in found(folder) if "no fixing" in one.sentence]
    assert (note.severity, note.code) == ("note", "N-0001")
    assert run(["--catalog", str(folder), "fix", "n1", "1m", "--on", "2026-03-01"]) == 0
    assert not any("no fixing" in one.sentence for one in found(folder))
