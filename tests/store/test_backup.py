"""Backups: taken while another process writes, whole or not at all, and what is wrong with one is found."""

import json
import multiprocessing
import os
import shutil
import sqlite3
import stat
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from catalog.store import backing_up, backups, manifest
from catalog.store.backup import copy, problems
from catalog.store.backups import Backup
from catalog.store.manifest import Kept, Manifest, NoBackupError
from catalog.whole_files import content

from .conftest import plain, tirage
from .old_catalog import build

NOON = datetime.fromisoformat("2026-11-25T12:00:00+00:00")


def back_up(folder: Path, place: Path, made: datetime = NOON) -> tuple[Backup, list[str]]:
    with backing_up.growing(folder, place, made) as growing:
        for picture in growing.pictures:
            growing.keep_picture(picture)
        return growing.finish()


def write_on(folder: str, stop: str) -> None:
    count = 0
    while not Path(stop).exists():
        assert tirage(Path(folder), f"negative add 'Plate {count}' --state ready") == 0
        count += 1


def test_each_backup_is_whole_while_two_processes_write(populated: Path, tmp_path: Path) -> None:
    context, stop = multiprocessing.get_context("spawn"), tmp_path / "stop"
    writers = [context.Process(target=write_on, args=(str(populated), str(stop))) for _ in range(2)]
    for writer in writers:
        writer.start()
    stood = []
    while len(stood) < 40 and len(set(stood)) < 4:
        made, doubts = back_up(populated, tmp_path / "place", NOON + timedelta(minutes=len(stood)))
        assert doubts == [] and backups.verify(made) == []
        stood.append(made.manifest.commands)
    stop.touch()
    for writer in writers:
        writer.join(60)
    assert [writer.exitcode for writer in writers] == [0, 0]
    assert stood == sorted(stood) and len(set(stood)) > 1
    final = plain(populated).execute("SELECT count(*) FROM journal_seal").fetchone()[0]
    assert stood[-1] <= final


def test_it_is_for_its_owner_alone_and_pictures_are_kept_once(populated: Path, tmp_path: Path) -> None:
    place = tmp_path / "place"
    first, _ = back_up(populated, place)
    second, _ = back_up(populated, place, NOON + timedelta(days=1))
    assert [one.folder for one in backups.look(place).backups] == [first.folder, second.folder]
    for path in (place, *place.rglob("*")):
        mode = stat.S_IMODE(path.stat().st_mode)
        assert mode == (0o700 if path.is_dir() else 0o600), path
    assert sorted(path.name for path in (place / manifest.POOL).iterdir()) == ["N-0001-1.png", "N-0001-2.png"]
    assert manifest.read(second.folder) == second.manifest
    held = plain(populated).execute("SELECT digest FROM journal_seal ORDER BY id DESC LIMIT 1").fetchone()[0]
    assert second.manifest.seal == held


def test_a_catalog_of_the_first_schema_is_kept_as_it_is(tmp_path: Path) -> None:
    folder = build(tmp_path / "old")
    before = (folder / "catalog.db").read_bytes()
    made, doubts = back_up(folder, tmp_path / "place")
    assert doubts == [] and made.manifest.schema == 1
    assert (folder / "catalog.db").read_bytes() == before


def _flip(path: Path, at: int = -10) -> None:
    content = bytearray(path.read_bytes())
    content[at] ^= 0xFF
    path.write_bytes(content)


def _link(path: Path) -> None:
    elsewhere = path.parent.parent / f"elsewhere-{path.name}"
    path.rename(elsewhere)
    path.symlink_to(elsewhere)


def _rewrite(folder: Path, **changed: object) -> None:
    found = json.loads((folder / manifest.FILE).read_text())
    (folder / manifest.FILE).write_text(json.dumps({**found, **changed}))


def _with_digest(folder: Path) -> None:
    """The catalog's file and its digest changed alike: what is in it no longer proves."""
    opened = sqlite3.connect(folder / "catalog.db")
    opened.execute("DROP TRIGGER journal_update_party")
    opened.execute("UPDATE party SET name = 'Somebody' WHERE id = 2")
    opened.commit()
    opened.close()
    found = json.loads((folder / manifest.FILE).read_text())
    now = content(folder / "catalog.db")
    for one in found["files"]:
        if one["path"] == "catalog.db":
            one["sha256"], one["size"] = now
    (folder / manifest.FILE).write_text(json.dumps(found))


TAMPERED: dict[str, tuple[Callable[[Path], object], str]] = {
    "a bit of the catalog": (lambda f: _flip(f / "catalog.db"), "catalog.db is not what was kept"),
    "the catalog cut off": (lambda f: os.truncate(f / "catalog.db", 5000), "catalog.db is not what was kept"),
    "the catalog gone": (lambda f: (f / "catalog.db").unlink(), "catalog.db cannot be read"),
    "the catalog behind a link": (lambda f: _link(f / "catalog.db"), "is a link"),
    "a row, and the digest": (_with_digest, "changed what its schema has: the trigger journal_update_party"),
    "a picture": (lambda f: _flip(f.parent / manifest.POOL / "N-0001-1.png"), "N-0001-1.png is not what was kept"),
    "a picture gone": (lambda f: (f.parent / manifest.POOL / "N-0001-1.png").unlink(), "cannot be read"),
    "pictures behind a link": (lambda f: _link(f.parent / manifest.POOL), "is a link"),
    "the seal in the manifest": (lambda f: _rewrite(f, seal="0" * 64), "history does not end where"),
    "the count in the manifest": (lambda f: _rewrite(f, commands=3), "history does not end where"),
}


@pytest.mark.parametrize("what", TAMPERED)
def test_what_was_changed_in_a_backup_is_found(populated: Path, tmp_path: Path, what: str) -> None:
    made, _ = back_up(populated, tmp_path / "place")
    change, said = TAMPERED[what]
    change(made.folder)
    found = backups.verify(Backup(made.folder, manifest.read(made.folder)))
    assert any(said in one for one in found), found


FILE = {"path": "catalog.db", "sha256": "0" * 64, "size": 1}
FORGED = {
    "no list": {"files": 3},
    "no catalog in it": {"files": []},
    "the catalog twice": {"files": [FILE, FILE]},
    "out of the folder": {"files": [FILE, {**FILE, "path": "pictures/../../x", "pool": "x"}]},
    "out of the pool": {"files": [FILE, {**FILE, "path": "pictures/x", "pool": "../x"}]},
    "from the root": {"files": [FILE, {**FILE, "path": "pictures/x", "pool": "/etc/passwd"}]},
    "a file that is none of ours": {"files": [FILE, {**FILE, "path": "autorun.sh"}]},
    "a key out of keys/": {"files": [FILE, {**FILE, "path": "keys/../catalog.pem"}]},
    "the catalog from the pool": {"files": [{**FILE, "pool": "x"}]},
    "a size below nothing": {"files": [{**FILE, "size": -1}]},
    "a count that is text": {"commands": "7"},
    "another format": {"format": 2},
}


@pytest.mark.parametrize("what", FORGED)
def test_a_forged_manifest_is_not_believed(populated: Path, tmp_path: Path, what: str) -> None:
    made, _ = back_up(populated, tmp_path / "place")
    _rewrite(made.folder, **FORGED[what])
    with pytest.raises(NoBackupError):
        manifest.read(made.folder)
    assert backups.look(made.folder.parent).unreadable


@pytest.mark.parametrize("content", [b"", b"[]", b"{}", b"\xff\xfe", b"[" * 100_000, b"null"])
def test_a_manifest_that_is_none(populated: Path, tmp_path: Path, content: bytes) -> None:
    made, _ = back_up(populated, tmp_path / "place")
    (made.folder / manifest.FILE).write_bytes(content)
    with pytest.raises(NoBackupError):
        manifest.read(made.folder)


def test_a_pipe_or_a_link_in_the_place_of_a_manifest_stops_nobody(populated: Path, tmp_path: Path) -> None:
    made, _ = back_up(populated, tmp_path / "place")
    path = made.folder / manifest.FILE
    path.unlink()
    os.mkfifo(path)
    with pytest.raises(NoBackupError):
        manifest.read(made.folder)
    (tmp_path / "place" / "backup-2026-01-01-000000").symlink_to(made.folder)
    assert len(backups.look(tmp_path / "place").unreadable) == 2


def test_a_damaged_catalog_is_kept_aside_and_told(populated: Path, tmp_path: Path) -> None:
    good, _ = back_up(populated, tmp_path / "place")
    opened = plain(populated)
    opened.execute("DROP TRIGGER journal_update_party")
    opened.execute("UPDATE party SET name = 'Somebody' WHERE id = 2")
    opened.close()
    bad, doubts = back_up(populated, tmp_path / "place", NOON + timedelta(days=1))
    assert any("the trigger journal_update_party" in doubt for doubt in doubts)
    assert bad.doubtful and bad.manifest.doubts
    assert backups.look(tmp_path / "place").newest_good == good


def test_a_picture_that_was_changed_is_kept_as_it_was_recorded(populated: Path, tmp_path: Path) -> None:
    place, picture = tmp_path / "place", populated / "pictures" / "N-0001-1.png"
    back_up(populated, place)
    _flip(picture)
    with backing_up.growing(populated, place, NOON + timedelta(days=1)) as growing:
        for one in growing.pictures:
            growing.keep_picture(one)
        made, doubts = growing.finish()
    assert doubts == [] and backups.verify(made) == []
    assert ["was changed since it was recorded" in mind for mind in growing.minds] == [True]


def test_pictures_are_never_fetched_from_elsewhere(populated: Path, tmp_path: Path) -> None:
    """No link below pictures/ is gone through, as nowhere in this program."""
    secret, pictures = tmp_path / "secret", populated / "pictures"
    secret.write_text("a secret")
    (pictures / "mine.png").symlink_to(secret)
    (pictures / "mine.txt").write_text("a note of one's own")
    os.mkfifo(pictures / "pipe")
    shutil.move(pictures / "N-0001-1.png", tmp_path / "away.png")
    (pictures / "N-0001-1.png").symlink_to(tmp_path / "away.png")
    with backing_up.growing(populated, tmp_path / "place", NOON) as growing:
        for one in growing.pictures:
            growing.keep_picture(one)
        made, _ = growing.finish()
    assert sorted(path.name for path in (tmp_path / "place" / manifest.POOL).iterdir()) == ["N-0001-2.png", "mine.txt"]
    assert len(growing.minds) == 3 and backups.verify(made) == []


def test_a_backup_that_fails_leaves_nothing(populated: Path, tmp_path: Path) -> None:
    place = tmp_path / "place"
    with pytest.raises(backing_up.NotBackedUpError), backing_up.growing(populated, place, NOON):
        raise OSError(28, "No space left on device")
    assert list(place.iterdir()) == []
    (place / ".backup-2026-11-24-120000.part").mkdir()  # what a kill leaves
    (place / ".backup-of-my-own.part").mkdir()
    back_up(populated, place)
    assert sorted(path.name for path in place.iterdir() if path.name.startswith(".")) == [".backup-of-my-own.part"]


def test_places_that_are_refused(populated: Path, tmp_path: Path) -> None:
    for place in (populated / "backups", populated):
        with pytest.raises(backing_up.PlaceError, match="own folder"):
            back_up(populated, place)
    with pytest.raises(backing_up.NotBackedUpError):
        back_up(
            populated, populated.parent / "catalog" / "settings.toml" / "x" / ".." / ".." / ".." / "picture.txt" / "x"
        )


def test_a_place_holds_backups_of_one_catalog(populated: Path, tmp_path: Path) -> None:
    back_up(populated, tmp_path / "place")
    with pytest.raises(backing_up.PlaceError, match="another catalog are there, of A. Maker"):
        back_up(build(tmp_path / "old"), tmp_path / "place")


def test_one_backup_at_a_time(populated: Path, tmp_path: Path) -> None:
    with (
        backing_up.growing(populated, tmp_path / "place", NOON),
        pytest.raises(backing_up.PlaceError, match="another backup"),
        backing_up.growing(populated, tmp_path / "place", NOON),
    ):
        pass


def _made(day: str, commands: int = 1, end: str = "") -> Backup:
    said = Manifest(f"{day}T12:00:00+00:00", "A", "2026", 4, "r", commands, "s", "", "", (Kept("catalog.db", "0", 1),))
    return Backup(Path(f"backup-{day}-120000{end}"), said)


# days of backups with how many stay -> the days that go
ROTATED = {
    "fewer than stay": (["2026-01-01", "2026-01-02"], 10, []),
    "the older of a month": (["2026-01-01", "2026-01-02", "2026-01-03"], 1, ["2026-01-01", "2026-01-02"]),
    "one a month stays": (["2025-12-01", "2025-12-31", "2026-01-01", "2026-01-03"], 1, ["2025-12-01", "2026-01-01"]),
    "thirteen months": ([f"2025-{n:02}-01" for n in range(1, 13)] + ["2026-01-01"], 1, ["2025-01-01"]),
    "none at all": ([], 1, []),
}


@pytest.mark.parametrize("what", ROTATED)
def test_which_backups_may_go(what: str) -> None:
    days, keep, gone = ROTATED[what]
    assert [one.manifest.made[:10] for one in backups.may_go([_made(day) for day in days], keep)] == gone


def test_the_longest_history_and_the_doubtful_stay() -> None:
    longest, doubtful = _made("2026-01-01", 90), _made("2026-01-02", end="-doubtful")
    others = [_made(f"2026-01-{day:02}") for day in range(3, 9)]
    assert backups.may_go([longest, doubtful, *others], 1) == others[:-1]


def test_a_rotation_deletes_only_what_is_whole_and_ours(populated: Path, tmp_path: Path) -> None:
    place = tmp_path / "place"
    made = [back_up(populated, place, NOON + timedelta(minutes=n))[0] for n in range(5)]
    _flip(made[0].folder / "catalog.db")
    (made[1].folder / "mine.txt").write_text("put there by hand")
    (place / "backup-2026-01-01-000000").mkdir()
    (place / "letters").mkdir()
    gone, told = backups.rotate(place, made[4], 2)
    assert gone == [made[2].folder.name]
    assert [said in " ".join(told) for said in ("not what was kept", "mine.txt", "2026-01-01")] == [True] * 3
    assert sorted(path.name for path in place.iterdir() if path.is_dir()) == sorted(
        ["backup-2026-01-01-000000", "letters", manifest.POOL, *(made[n].folder.name for n in (0, 1, 3, 4))]
    )


def test_a_clock_set_back_loses_no_backup(populated: Path, tmp_path: Path) -> None:
    """Made by its clock before the others, the one just made is the newest, for it continues them."""
    place = tmp_path / "place"
    for n in range(3):
        back_up(populated, place, NOON + timedelta(minutes=n))
    assert tirage(populated, "party add 'D. Later'") == 0
    made, _ = back_up(populated, place, NOON - timedelta(days=1))
    gone, _ = backups.rotate(place, made, 1)
    assert made.folder.is_dir() and made.folder.name not in gone and len(gone) == 3


def test_a_copy_waits_for_no_longer_than_told(populated: Path, tmp_path: Path) -> None:
    holder = plain(populated)
    holder.execute("BEGIN EXCLUSIVE")
    reader = sqlite3.connect(populated / "catalog.db", isolation_level=None, timeout=0.1)
    with pytest.raises(sqlite3.OperationalError, match="locked"):
        copy(reader, tmp_path / "copy.db")
    holder.execute("ROLLBACK")
    (tmp_path / "copy.db").unlink()
    copy(reader, tmp_path / "copy.db")
    assert problems(tmp_path / "copy.db") == []
