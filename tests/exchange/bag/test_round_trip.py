"""Out and in and out again: the same bytes but for stated times; nothing lost, nothing invented."""

import filecmp
import sqlite3
from datetime import datetime
from pathlib import Path

import pytest

from catalog.exchange.bag.rebuild import import_bag
from catalog.exchange.bag.tables import write_csv
from catalog.exchange.described import described
from catalog.store import connection as store
from catalog.store import migrations
from tests.exchange.bag.conftest import NOW, pack
from tests.store.old_catalog import build as build_old

# Text that people and files bring: line ends, quotes, what looks like a formula or like a missing value.
AWKWARD = (
    "=cmd|' /C calc'!A0", "-12", "+1", "@x", "\tTab", "'quoted", "''", "(none)", 'a "b", c', "one\r\ntwo\nthree\rfour",
    "Žofie Đurđević · 日本 · 🙂", " leads and trails ", "\ufeffmark", "NULL", "0x10", "1e5", "'", "＝1", "\u2028line",
)  # fmt: skip


def files(folder: Path) -> list[str]:
    """Every file below a folder."""
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def rows(folder: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table."""
    connection = sqlite3.connect(f"file:{folder / 'catalog.db'}?mode=ro", uri=True)
    found = {
        table.name: connection.execute(f'SELECT * FROM "{table.name}" ORDER BY {table.order}').fetchall()
        for table in described(connection)
    }
    connection.close()
    return found


@pytest.fixture(scope="module")
def rebuilt(packed: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, rebuilt from its bag."""
    folder = tmp_path_factory.mktemp("rebuilt") / "studio"
    import_bag(packed, folder, NOW)
    return folder


def test_every_row_came_back(demo_folder: Path, rebuilt: Path) -> None:
    assert rows(rebuilt) == rows(demo_folder)


def test_the_second_bag_is_the_first_byte_for_byte(packed: Path, rebuilt: Path, tmp_path: Path) -> None:
    again = pack(rebuilt, tmp_path / "again")
    assert files(again) == files(packed)
    assert [name for name in files(packed) if not filecmp.cmp(packed / name, again / name, shallow=False)] == []


def test_only_the_stated_time_differs(packed: Path, demo_folder: Path, tmp_path: Path) -> None:
    from catalog.exchange.bag.export import export_bag

    connection = store.open_catalog(demo_folder, writing=False)
    export_bag(connection, demo_folder, tmp_path / "later", datetime.fromisoformat("2031-02-03T04:05:06+00:00"))
    connection.close()
    different = [
        name for name in files(packed) if (packed / name).read_bytes() != (tmp_path / "later" / name).read_bytes()
    ]
    assert set(different) == {"bag-info.txt", "tagmanifest-sha256.txt", "tagmanifest-sha512.txt"}
    lines = [
        (folder / "bag-info.txt").read_text(encoding="utf-8").splitlines() for folder in (packed, tmp_path / "later")
    ]
    assert [line for line in lines[1] if line not in lines[0]] == ["Bagging-Date: 2031-02-03"]


def test_a_rebuilt_catalog_works_and_guards_itself(
    rebuilt: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    import shutil

    from catalog.cli.main import run

    folder = Path(shutil.copytree(rebuilt, tmp_path / "studio"))
    before = sqlite3.connect(folder / "catalog.db").execute("SELECT count(*) FROM journal_seal").fetchone()[0]
    assert run(["--catalog", str(folder), "party", "add", "N. Newcomer"]) == 0
    connection = sqlite3.connect(folder / "catalog.db")
    assert connection.execute("SELECT count(*) FROM journal_seal").fetchone()[0] == before + 1
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute("DELETE FROM print")
    connection.close()
    capsys.readouterr()
    run(["--catalog", str(folder), "check"])
    told = capsys.readouterr().out
    assert "was changed without the journal" not in told and "another program" not in told


def test_awkward_text_survives(demo_folder: Path, tmp_path: Path) -> None:
    import shutil

    folder = Path(shutil.copytree(demo_folder, tmp_path / "studio"))
    opened = store.open_catalog(folder, writing=True)
    opened.execute("BEGIN IMMEDIATE")
    for place, text in enumerate(AWKWARD):
        opened.execute("INSERT INTO series (title, note) VALUES (?, ?)", (f"{place} {text}", text))
    from catalog.store import journal

    journal.seal(opened, sealed=NOW.isoformat(), by="tester", command="series")
    opened.execute("COMMIT")
    opened.close()
    import_bag(pack(folder, tmp_path / "bag"), tmp_path / "back", NOW)
    assert rows(tmp_path / "back") == rows(folder)
    assert [row[2] for row in rows(tmp_path / "back")["series"]][-len(AWKWARD) :] == list(AWKWARD)


def test_a_number_that_was_taken_back_is_not_given_again(demo_folder: Path, rebuilt: Path) -> None:
    # AUTOINCREMENT lives in a table of SQLite's own, which has to come along.
    assert rows(rebuilt)["sqlite_sequence"] == rows(demo_folder)["sqlite_sequence"] != []


def test_a_bag_of_an_older_schema_is_migrated(packed: Path, tmp_path: Path) -> None:
    from catalog.exchange.bag import layout
    from catalog.exchange.bag.packing import Packing

    old = sqlite3.connect(build_old(tmp_path / "old") / "catalog.db")
    work = tmp_path / "bag"
    work.mkdir()
    packing = Packing(work)
    for table in described(old):
        with packing.text(f"{layout.TABLES}/{table.name}.csv") as file:
            write_csv(file, old, table, lambda rows: None)
    packing.seal({layout.FORMAT_LABEL: layout.FORMAT, layout.SCHEMA_LABEL: "1"})
    made = import_bag(work, tmp_path / "studio", NOW, anyway=True)
    assert made.schema == 1 and made.findings == ()
    opened = store.open_catalog(tmp_path / "studio", writing=False)
    assert migrations.version_of(opened) == migrations.SCHEMA_VERSION
    opened.close()
    # The same as when the file itself is opened by this version.
    direct = store.open_catalog(tmp_path / "old", writing=True)
    direct.close()
    assert rows(tmp_path / "studio") == rows(tmp_path / "old")
