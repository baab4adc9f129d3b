"""The schema from empty, half-way failures, and files of other versions."""

import sqlite3
from pathlib import Path

import pytest

from catalog.store import connection as store
from catalog.store import migrations


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
    assert migrations.schema(opened) == {}


def test_every_table_is_strict_and_holds_no_real_and_no_blob() -> None:
    for name, sql in migrations.shipped_schema().items():
        if sql.startswith("CREATE TABLE"):
            assert "STRICT" in sql, name
            assert " REAL" not in sql and " BLOB" not in sql, name


def test_settings_of_the_connection(tmp_path: Path) -> None:
    opened = store.create(tmp_path / "c")
    opened.execute("COMMIT")
    wanted = {
        "journal_mode": "delete",
        "synchronous": 2,
        "foreign_keys": 1,
        "recursive_triggers": 1,
        "secure_delete": 1,
    }
    assert {name: opened.execute(f"PRAGMA {name}").fetchone()[0] for name in wanted} == wanted
    opened.close()
