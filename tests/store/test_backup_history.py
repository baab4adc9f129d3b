"""Backups by their history and not by a clock; no work is taken away with its only good holder; forged ones."""

import json
import shutil
import sqlite3
from datetime import timedelta
from pathlib import Path

import pytest

from catalog.rules import borne_out
from catalog.store import backups, manifest, migrations
from catalog.store.backup import foreign
from catalog.store.backups import Backup
from catalog.whole_files import content

from .conftest import tirage
from .old_catalog import VERSIONS, build
from .test_backup import NOON, _flip, back_up


def work(folder: Path, name: str) -> None:
    assert tirage(folder, f"party add '{name}'") == 0


def names(place: Path) -> list[str]:
    return [one.folder.name for one in backups.look(place).backups]


def test_what_continues_a_history_is_newer_whatever_its_clock_says(populated: Path, tmp_path: Path) -> None:
    place = tmp_path / "place"
    first = back_up(populated, place, NOON)[0]
    for n, name in enumerate(("B. One", "C. Two", "D. Three")):
        work(populated, name)
        last = back_up(populated, place, NOON - timedelta(days=1999 - n))[0]
        backups.rotate(place, last, 2)
    found = backups.look(place)
    assert found.backups[0] == first and found.newest_good == last
    assert [one.manifest.commands for one in found.backups] == sorted(one.manifest.commands for one in found.backups)


def test_backups_dated_in_the_future_are_not_the_newest(populated: Path, tmp_path: Path) -> None:
    place = tmp_path / "place"
    future = [back_up(populated, place, NOON + timedelta(days=40 * n))[0] for n in range(1, 14)]
    for n in range(3):
        work(populated, f"E. {n}")
        made = back_up(populated, place, NOON + timedelta(minutes=n))[0]
        gone, _ = backups.rotate(place, made, 1)
        assert made.folder.is_dir() and made.folder.name not in gone
    assert backups.look(place).newest_good == made and len(future) == 13


def test_the_only_good_holder_of_work_stays(populated: Path, tmp_path: Path) -> None:
    place, earlier = tmp_path / "place", Path(shutil.copytree(populated, tmp_path / "earlier"))
    work(populated, "F. First")
    a = back_up(populated, place, NOON)[0]
    work(populated, "G. Second")
    b = back_up(populated, place, NOON + timedelta(minutes=1))[0]
    _flip(b.folder / "catalog.db")
    new = back_up(earlier, place, NOON + timedelta(minutes=2))[0]
    gone, told = backups.rotate(place, new, 1)
    assert gone == [] and a.folder.is_dir()
    assert f"{a.folder.name} stays" in told[0] and f"{b.folder.name} would hold it, but is damaged" in told[0]


def test_work_that_a_longer_whole_one_holds_may_go(populated: Path, tmp_path: Path) -> None:
    place, earlier = tmp_path / "place", Path(shutil.copytree(populated, tmp_path / "earlier"))
    work(populated, "F. First")
    a = back_up(populated, place, NOON)[0]
    work(populated, "G. Second")
    b = back_up(populated, place, NOON + timedelta(minutes=1))[0]
    new = back_up(earlier, place, NOON + timedelta(minutes=2))[0]
    assert backups.rotate(place, new, 1) == ([a.folder.name], [])
    assert names(place) == [new.folder.name, b.folder.name]


def redone(backup: Backup) -> Backup:
    """The backup with its manifest made anew over its catalog file, as a forger makes it."""
    path = backup.folder / manifest.FILE
    said = json.loads(path.read_text(encoding="utf-8"))
    digest, size = content(backup.folder / "catalog.db")
    for one in said["files"]:
        if one["path"] == "catalog.db":
            one["sha256"], one["size"] = digest, size
    connection = sqlite3.connect(backup.folder / "catalog.db")
    said["root"], said["seal"] = (
        connection.execute(f"SELECT digest FROM journal_seal ORDER BY id {way} LIMIT 1").fetchone()[0]
        for way in ("ASC", "DESC")
    )
    connection.close()
    path.write_text(json.dumps(said), encoding="utf-8")
    return Backup(backup.folder, manifest.read(backup.folder))


EVIL = {
    "trigger": "CREATE TRIGGER evil AFTER INSERT ON negative BEGIN UPDATE negative SET note = 'x'; END",
    "view": "CREATE VIEW evil AS SELECT 1",
    "index": "DROP INDEX {index}",
}


@pytest.mark.parametrize("what", EVIL)
def test_a_schema_that_somebody_changed_is_no_backup(populated: Path, tmp_path: Path, what: str) -> None:
    made = back_up(populated, tmp_path / "place")[0]
    connection = sqlite3.connect(made.folder / "catalog.db", isolation_level=None)
    index = connection.execute("SELECT name FROM sqlite_schema WHERE type = 'index' AND sql <> ''").fetchone()[0]
    connection.execute(EVIL[what].format(index=index))
    connection.close()
    found = backups.verify(redone(made))
    assert "another program changed what its schema has" in found[0] and what in found[0]


@pytest.mark.parametrize("version", VERSIONS)
def test_an_older_schema_is_compared_with_its_own(tmp_path: Path, version: int) -> None:
    path = build(tmp_path / "old", version) / "catalog.db"
    assert foreign(path) == [] and borne_out.problems(path) == []
    connection = sqlite3.connect(path, isolation_level=None)
    assert migrations.version_of(connection) == version
    connection.execute(EVIL["trigger"])
    connection.close()
    assert "the trigger evil" in foreign(path)[0]
