"""The schema from empty, half-way failures, and files of other versions."""

import multiprocessing
import sqlite3
from pathlib import Path

import pytest

from catalog.store import connection as store
from catalog.store import journal, migrations

from .conftest import plain, tirage
from .old_catalog import build


def test_every_migration_folder_is_known() -> None:
    folders = sorted(folder.name for folder in migrations.SCHEMA_FOLDER.iterdir() if folder.is_dir())
    assert folders == [f"{n:04d}" for n in range(1, migrations.SCHEMA_VERSION + 1)]


def test_from_empty_gives_the_shipped_schema_and_marks() -> None:
    opened = sqlite3.connect(":memory:", isolation_level=None)
    assert migrations.migrate(opened) == 0
    assert migrations.schema(opened) == migrations.shipped_schema()
    assert opened.execute("PRAGMA application_id").fetchone()[0] == migrations.APPLICATION_ID
    assert opened.execute("PRAGMA user_version").fetchone()[0] == migrations.SCHEMA_VERSION
    assert migrations.migrate(opened) == migrations.SCHEMA_VERSION


def test_a_failing_migration_leaves_nothing_half_done(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = migrations.statements(1)
    monkeypatch.setattr(migrations, "statements", lambda version: [*whole[:20], "CREATE TABLE broken ("])
    opened = sqlite3.connect(tmp_path / "c.db", isolation_level=None)
    opened.execute("BEGIN IMMEDIATE")
    with pytest.raises(sqlite3.OperationalError):
        migrations.migrate(opened)
    opened.execute("ROLLBACK")
    assert not migrations.schema(opened)


def test_every_table_is_strict_and_holds_no_real_and_no_blob() -> None:
    for part in migrations.shipped_schema():
        if part.type == "table" and part.name != "sqlite_sequence":  # SQLite's own, of numbers never given twice
            assert "STRICT" in part.sql, part.name
            assert " REAL" not in part.sql and " BLOB" not in part.sql, part.name


def test_settings_of_the_connection(tmp_path: Path) -> None:
    opened = store.create(tmp_path / "c")
    opened.execute("COMMIT")
    wanted = {
        "journal_mode": "delete",
        "synchronous": 3,
        "foreign_keys": 1,
        "recursive_triggers": 1,
        "secure_delete": 1,
    }
    assert {name: opened.execute(f"PRAGMA {name}").fetchone()[0] for name in wanted} == wanted
    opened.close()


@pytest.fixture
def old(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TIRAGE_BY", "tester")
    return build(tmp_path / "old")


def version(path: Path) -> int:
    return int(sqlite3.connect(path).execute("PRAGMA user_version").fetchone()[0])


def rows_of(path: Path, columns: dict[str, list[str]]) -> dict[str, list[tuple[object, ...]]]:
    opened = sqlite3.connect(path)
    try:
        return {
            table: opened.execute(f"SELECT {', '.join(names)} FROM {table} ORDER BY 1").fetchall()
            for table, names in columns.items()
        }
    finally:
        opened.close()


def columns_of(path: Path) -> dict[str, list[str]]:
    opened = sqlite3.connect(path)
    tables = [row[0] for row in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    try:
        return {table: [row[1] for row in opened.execute(f"PRAGMA table_info({table})")] for table in tables}
    finally:
        opened.close()


def test_a_reader_of_an_old_catalog_leaves_its_file_alone(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (old / "catalog.db").read_bytes()
    for line in ("print show 1", "edition list", "where n1", "due", "certificate show c1", "history 3", "check"):
        tirage(old, line)
        assert "P-000001" in (told := capsys.readouterr()).out or line not in ("print show 1", "check"), told.err
        assert not told.err
    assert (old / "catalog.db").read_bytes() == before
    assert [path.name for path in old.glob("*.db*")] == ["catalog.db"]


def test_an_old_catalog_is_kept_beside_and_works_on(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before, columns = (old / "catalog.db").read_bytes(), columns_of(old / "catalog.db")
    rows = rows_of(old / "catalog.db", columns)
    assert tirage(old, "party add 'C. Other'") == 0
    assert "older version" in (told := capsys.readouterr().err) and "catalog-schema-1.db" in told
    kept = old / "catalog-schema-1.db"
    assert rows_of(kept, columns) == rows and version(kept) == 1
    assert kept.stat().st_size == len(before)
    now = rows_of(old / "catalog.db", columns)
    for table, found in rows.items():
        assert now[table][: len(found)] == found, table
    opened = plain(old)
    assert version(old / "catalog.db") == migrations.SCHEMA_VERSION
    assert migrations.schema(opened) == migrations.shipped_schema()
    assert journal.prove(opened) == [] and journal.unsealed_rows(opened) == 0
    assert opened.execute("PRAGMA foreign_key_check").fetchall() == []
    for line in (
        "sign 5 --on 2026-04-01",
        "paid 1 --on 2026-04-02",
        "return 2 --on 2026-04-03",
        "sell 2 'C. Other' 950EUR --on 2026-04-04",
        "certificate issue 2,4 --on 2026-04-05",
        "certificate issue 1 --supersedes c1 --on 2026-04-06",
        "edition declare n2 3 --process 'salted paper print' --ap 1",
        "print make e3 1",
        "certificate verify " + str(old / "out" / "certificate-C-0002.pdf"),
    ):
        assert tirage(old, line) == 0, capsys.readouterr().err
    assert "older version" not in capsys.readouterr().err
    assert journal.prove(opened) == []
    tirage(old, "check --json")
    assert '"error"' not in capsys.readouterr().out


def test_what_was_sealed_before_can_be_taken_back_after(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The journal of schema 1 says nothing of the columns that came with schema 2; they stand at their default."""
    opened = plain(old)
    for taken in ("correct", "shown", "edition declare", "replace", "destroy", "consign", "sell"):
        assert tirage(old, "undo") == 0, capsys.readouterr().err
        assert f"Taken back: {taken} " in capsys.readouterr().out
    row = opened.execute("SELECT title, shown, numerals, disclosure FROM edition").fetchall()
    assert [tuple(one) for one in row] == [("Pond", 0, "arabic", "")]
    assert journal.prove(opened) == []
    assert tirage(old, "undo") == 1 and "revoke" in capsys.readouterr().err  # a certificate stands there


def test_taking_back_an_old_command_brings_back_nothing_else(old: Path) -> None:
    assert tirage(old, "party add 'C. Other'") == 0 and tirage(old, "undo") == 0
    opened = plain(old)
    newest = opened.execute("SELECT id FROM journal_seal WHERE command = 'correct'").fetchone()[0]
    opened.execute("INSERT INTO undoing VALUES (?)", (newest,))
    for sets in ("title = 'Pond', numerals = 'roman'", "title = 'Pond', disclosure = 'x'", "title = 'Weir'"):
        with pytest.raises(sqlite3.IntegrityError, match="only what was recorded"):
            opened.execute(f"UPDATE edition SET {sets} WHERE title = 'Pond, frost'")
    opened.execute("UPDATE edition SET title = 'Pond' WHERE title = 'Pond, frost'")


def test_an_old_catalog_that_cannot_be_migrated_stays_as_it_was(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plain(old).execute("DROP TRIGGER transfer_order")  # the migration replaces it, and does not find it
    before = (old / "catalog.db").read_bytes()
    for line in ("party add 'C. Other'", "print show 1"):
        assert tirage(old, line) == 1
        told = capsys.readouterr().err
        assert "could not be brought to schema" in told and "transfer_order" in told and "as it was" in told
    assert (old / "catalog.db").read_bytes() == before
    assert [path.name for path in old.glob("*.db*")] == ["catalog.db"]


def test_a_copy_of_an_old_catalog_is_never_overwritten(old: Path) -> None:
    (old / "catalog-schema-1.db").write_text("something else of that name")
    assert tirage(old, "party add 'C. Other'") == 0
    assert (old / "catalog-schema-1.db").read_text() == "something else of that name"
    assert version(old / "catalog-schema-1-2.db") == 1


def add_party(folder: str, name: str) -> None:
    assert tirage(Path(folder), f"party add '{name}'") == 0


def test_two_processes_migrate_once(old: Path) -> None:
    context = multiprocessing.get_context("spawn")
    both = [context.Process(target=add_party, args=(str(old), name)) for name in ("C. Other", "D. Another")]
    for process in both:
        process.start()
    for process in both:
        process.join(120)
    assert [process.exitcode for process in both] == [0, 0]
    assert sorted(path.name for path in old.glob("*.db*")) == ["catalog-schema-1.db", "catalog.db"]
    opened = plain(old)
    assert journal.prove(opened) == []
    assert opened.execute("SELECT count(*) FROM party WHERE name IN ('C. Other', 'D. Another')").fetchone()[0] == 2


def test_a_newer_catalog_is_left_alone(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plain(old).execute(f"PRAGMA user_version = {migrations.SCHEMA_VERSION + 1}")
    assert tirage(old, "party add 'C. Other'") == 1
    assert "newer version" in capsys.readouterr().err


def test_a_damaged_old_catalog_is_not_migrated(old: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The copy before is looked at, and a damaged one stops it: the file is as it was, and no copy stays."""
    path = old / "catalog.db"
    size = plain(old).execute("PRAGMA page_size").fetchone()[0]
    root = plain(old).execute("SELECT rootpage FROM sqlite_master WHERE name = 'item'").fetchone()[0]
    content = bytearray(path.read_bytes())
    content[(root - 1) * size : (root - 1) * size + 100] = b"\xff" * 100
    path.write_bytes(content)
    assert tirage(old, "party add 'C. Other'") == 1
    assert "it is as it was" in capsys.readouterr().err
    assert path.read_bytes() == content and [one.name for one in old.glob("*.db*")] == ["catalog.db"]
