"""The list of what may wait: filled by the migration, kept by triggers, not written by hand, proved by check."""

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

import pytest

from catalog.rules.checks import Subject
from catalog.rules.checks.waiting import waiting_as_recorded
from catalog.store import connection as store
from catalog.store import waiting_list

from .conftest import plain, tirage
from .old_catalog import VERSIONS, build

LISTED = "SELECT what, id FROM waiting ORDER BY 1, 2"
RECORDED = "SELECT DISTINCT what, id FROM waiting_now ORDER BY 1, 2"

TRIGGER = "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = ?"
GUARDS = ("guard_insert_waiting", "guard_delete_waiting")


def listed(folder: Path) -> list[tuple[str, str]]:
    """What is on the list, by code; it is what the records say."""
    connection = plain(folder)
    try:
        rows = [tuple(row) for row in connection.execute(LISTED)]
        assert rows == [tuple(row) for row in connection.execute(RECORDED)]
        code = """SELECT c.code FROM code c WHERE c.id = (CASE ?1 WHEN 'payment'
            THEN (SELECT item FROM transfer WHERE id = ?2) ELSE ?2 END)"""
        return [(str(row[0]), str(connection.execute(code, row).fetchone()[0])) for row in rows]
    finally:
        connection.close()


@pytest.mark.parametrize("version", VERSIONS)
def test_an_old_catalog_gets_its_list(tmp_path: Path, version: int) -> None:
    folder = build(tmp_path / "old", version)
    store.open_catalog(folder, writing=True).close()
    assert ("payment", "P-000001") in listed(folder)


def test_what_waits_follows_what_happens_and_is_taken_back(populated: Path) -> None:
    before = listed(populated)
    for line, added, gone in (
        ("fix 4 1m --on 2026-04-01", [("wash", "P-000004")], []),
        ("wash 4 30m --on 2026-04-02", [], [("wash", "P-000004")]),
        ("undo", [("wash", "P-000004")], []),
        ("undo", [], [("wash", "P-000004")]),
        ("strip 1", [("test", "K-0004")], []),
        ("test k4 hypo none", [], [("test", "K-0004")]),
        ("undo", [("test", "K-0004")], []),
        ("undo", [], [("test", "K-0004")]),
        ("paid 1", [], [("payment", "P-000001")]),
        ("undo", [("payment", "P-000001")], []),
    ):
        assert tirage(populated, line) == 0, line
        now = listed(populated)
        assert sorted(set(now) - set(before)) == added and sorted(set(before) - set(now)) == gone, line
        before = now


def test_it_is_not_written_by_hand(populated: Path) -> None:
    connection = plain(populated)
    rows = connection.execute(LISTED).fetchall()
    assert {row["what"] for row in rows} >= {"test", "payment"}
    tested = "SELECT 'test', id FROM code WHERE code = 'K-0001'"
    for sql in (
        f"INSERT INTO waiting {tested}",
        f"INSERT OR REPLACE INTO waiting {tested}",
        f"INSERT OR IGNORE INTO waiting {tested}",
        "DELETE FROM waiting",
        "DELETE FROM waiting WHERE what = 'payment'",
        "UPDATE waiting SET id = id + 1000",
        "UPDATE OR REPLACE waiting SET what = 'test'",
        "INSERT OR REPLACE INTO waiting SELECT * FROM waiting",
    ):
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(sql)
    assert connection.execute(LISTED).fetchall() == rows


def spoiled(folder: Path) -> sqlite3.Connection:
    """The list as another program may leave it: a sale missing, and a washed print and tested strip put in."""
    connection = plain(folder)
    guards = {name: connection.execute(TRIGGER, (name,)).fetchone()[0] for name in GUARDS}
    for name in guards:
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute("DELETE FROM waiting WHERE what = 'payment'")
    connection.execute("INSERT INTO waiting SELECT 'wash', id FROM code WHERE code = 'P-000001'")
    connection.execute("INSERT INTO waiting SELECT 'test', id FROM code WHERE code IN ('K-0001', 'K-0004')")
    connection.execute("INSERT INTO waiting SELECT 'payment', settles FROM transfer WHERE settles IS NOT NULL")
    connection.execute("INSERT INTO waiting SELECT 'edition', id FROM code WHERE code IN ('E-0001', 'E-0003')")
    for sql in guards.values():
        connection.execute(sql)
    return connection


def test_check_names_what_is_missing_and_what_does_not_belong(populated: Path) -> None:
    connection = spoiled(populated)
    subject = Subject(connection, populated, datetime(2026, 5, 1, tzinfo=UTC))
    found = {one.sentence.partition(", against")[0]: one for one in waiting_as_recorded(subject)}
    assert {one.severity for one in found.values()} == {"error"}
    assert sorted(found) == [
        "E-0001 is noted among what may wait to be called complete",
        "E-0003 is noted among what may wait to be called complete",
        "K-0001 is noted among what may wait to be tested",
        "P-000001 is not noted among what may wait to be paid",
        "P-000001 is noted among what may wait to be washed",
        "P-000008 is noted among what may wait to be paid",
        "P-000009 is noted among what may wait to be paid",
    ]
    assert found["P-000001 is not noted among what may wait to be paid"].code == "P-000001"


def test_it_is_filled_anew_from_the_records(populated: Path) -> None:
    before, connection = listed(populated), spoiled(populated)
    assert list(waiting_list.wrong(connection))
    waiting_list.refill(connection)  # with the guards in place
    assert not list(waiting_list.wrong(connection))
    assert listed(populated) == before


def test_what_does_not_belong_is_not_told(populated: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def told() -> str:
        capsys.readouterr()
        assert tirage(populated, "due") == 0
        return capsys.readouterr().out

    day = "--on 2026-04-01"
    for line in (f"strip 1 {day}", f"fix 4,k4 1m {day}", f"wash 4,k4 60m {day}", f"test k4 hypo none {day}"):
        assert tirage(populated, line) == 0, line
    before = told()
    connection = spoiled(populated)
    connection.execute("INSERT INTO waiting SELECT what, id FROM waiting_now WHERE what = 'payment'")
    assert told() == before


def test_a_catalog_without_the_list_has_nothing_wrong(tmp_path: Path) -> None:
    folder = build(tmp_path / "old", 3)
    assert not list(waiting_list.wrong(plain(folder)))


def test_a_spoiled_list_is_backed_up_only_as_doubtful(populated: Path, tmp_path: Path) -> None:
    assert tirage(populated, f"backup {tmp_path / 'good'}") == 0
    spoiled(populated).close()
    assert tirage(populated, f"backup {tmp_path / 'bad'}") == 1
    assert [path.name.endswith("-doubtful") for path in (tmp_path / "bad").glob("backup-2*")] == [True]
    assert tirage(populated, f"export bag {tmp_path / 'bag'}") == 1
