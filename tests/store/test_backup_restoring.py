"""Putting a backup back: the old or the new wholly, wherever it is cut off, and what was there is never lost."""

import multiprocessing
import os
import shutil
import signal
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from catalog.store import backups, manifest, restoring
from catalog.store.backups import Backup
from catalog.store.connection import RESTORING, UnfinishedRestoreError, open_catalog
from catalog.whole_files import content

from .conftest import plain, tirage
from .old_catalog import THUMBPRINT, build
from .test_backup import NOON, _flip, back_up

STEPS = ("rename", "replace", "link", "mkdir")
EVERY_STEP = (*STEPS, "unlink", "rmdir", "fsync")


def seals(folder: Path) -> list[str]:
    opened = sqlite3.connect(folder / "catalog.db")
    try:
        return [row[0] for row in opened.execute("SELECT digest FROM journal_seal ORDER BY id")]
    finally:
        opened.close()


@pytest.fixture
def kept(populated: Path, tmp_path: Path) -> Backup:
    """A backup, after which two prints, a picture and settings came and a picture was changed."""
    made, _ = back_up(populated, tmp_path / "place")
    assert tirage(populated, "print make e1 1") == 0
    shutil.copy(populated / "pictures" / "N-0001-1.png", tmp_path / "a.png")
    assert tirage(populated, f"picture add n2 {tmp_path / 'a.png'}") == 0
    _flip(populated / "pictures" / "N-0001-2.png")
    (populated / "settings.toml").write_text('paper = "Letter"\n')
    return made


def restore(backup: Path, folder: Path, *more: str) -> int:
    from catalog.cli.main import run

    return run(["restore", str(backup), "--into", str(folder), *more])


def test_what_was_there_is_whole_aside(kept: Backup, populated: Path) -> None:
    before = seals(populated)
    assert restore(kept.folder, populated, "--anyway", "a slip") == 0
    [aside] = populated.glob("set-aside-*")
    assert seals(aside) == before
    assert sorted(path.name for path in (aside / "pictures").iterdir()) == [
        "N-0001-1.png", "N-0001-2.png", "N-0002-1.png"
    ]  # fmt: skip
    assert sorted(path.name for path in (populated / "pictures").iterdir()) == ["N-0001-1.png", "N-0001-2.png"]
    assert (aside / "settings.toml").read_text() == 'paper = "Letter"\n'
    assert (populated / "settings.toml").read_bytes() == (kept.folder / "settings.toml").read_bytes()
    assert backups.verify(kept) == []
    now = seals(populated)
    assert now[:-1] == before[: kept.manifest.commands] and len(now) == kept.manifest.commands + 1
    [newest] = plain(populated).execute("SELECT command, why FROM journal_seal ORDER BY id DESC LIMIT 1")
    assert tuple(newest) == ("restore", "a slip")
    assert not list(populated.glob(".*")) and not (populated / RESTORING).exists()


def test_a_code_that_was_given_is_never_given_again(kept: Backup, populated: Path) -> None:
    given = (
        plain(populated).execute("SELECT code FROM code WHERE kind = 'print' ORDER BY id DESC LIMIT 1").fetchone()[0]
    )
    assert restore(kept.folder, populated, "--anyway", "a slip") == 0
    assert tirage(populated, "print make e1 1") == 0
    now = plain(populated).execute("SELECT code FROM code WHERE kind = 'print' ORDER BY id DESC LIMIT 1").fetchone()[0]
    assert int(now[2:]) == int(given[2:]) + 1
    assert tirage(populated, "check") in (0, 1)


@contextmanager
def _dying(at: int, steps: tuple[str, ...]) -> Iterator[list[int]]:
    """Let this process die at the so-maniest call that changes names on the disk."""
    count = [0]

    def dies(real):  # type: ignore[no-untyped-def]
        def call(*args, **named):  # type: ignore[no-untyped-def]
            count[0] += 1
            if count[0] == at:
                os.kill(os.getpid(), signal.SIGKILL)
            return real(*args, **named)

        return call

    before = {name: getattr(os, name) for name in steps}
    for name, real in before.items():
        setattr(os, name, dies(real))
    try:
        yield count
    finally:
        for name, real in before.items():
            setattr(os, name, real)


def _restore_and_die(backup: str, folder: str, at: int, steps: tuple[str, ...]) -> None:
    with _dying(at, steps):
        restore(Path(backup), Path(folder), "--anyway", "a slip")


@pytest.mark.parametrize(
    ("steps", "stride"), [(STEPS, 3), pytest.param(EVERY_STEP, 1, marks=pytest.mark.soak)], ids=["names", "all"]
)
def test_killed_at_any_step_it_is_the_old_or_the_new(
    kept: Backup, populated: Path, tmp_path: Path, steps: tuple[str, ...], stride: int
) -> None:
    before = seals(populated)
    context, ends, at = multiprocessing.get_context("fork"), set(), 0
    while True:
        at += stride
        folder = Path(shutil.copytree(populated, tmp_path / f"at-{at}" / "catalog"))
        process = context.Process(target=_restore_and_die, args=(str(kept.folder), str(folder), at, steps))
        process.start()
        process.join(60)
        if process.exitcode == 0:
            break
        assert process.exitcode == -signal.SIGKILL
        ready = (folder / RESTORING).exists()
        found = seals(folder)
        assert found == before or found[:-1] == before[: kept.manifest.commands], at
        if ready:
            with pytest.raises(UnfinishedRestoreError, match="restore --finish"):
                open_catalog(folder, writing=False)
            from catalog.cli.main import run

            assert run(["restore", "--finish", "--into", str(folder)]) == 0
            assert seals(next(folder.glob("set-aside-*"))) == before
        elif found == before:
            assert tirage(folder, "due") == 0
            assert restore(kept.folder, folder, "--anyway", "a slip") == 0
        now = seals(folder)
        assert now[:-1] == before[: kept.manifest.commands]
        assert sorted(path.name for path in (folder / "pictures").iterdir()) == ["N-0001-1.png", "N-0001-2.png"]
        assert content(folder / "pictures" / "N-0001-2.png").sha256 == next(
            one.sha256 for one in kept.manifest.files if one.path == "pictures/N-0001-2.png"
        )
        ends.add("ready" if ready else "old" if found == before else "new")
        shutil.rmtree(folder.parent)
    assert at > 10 and {"old", "ready"} <= ends


def _leave_hot(folder: Path) -> None:
    """Let a writer die in the middle, with pages in the file that its journal takes back."""
    pid = os.fork()
    if pid == 0:
        opened = sqlite3.connect(folder / "catalog.db", isolation_level=None)
        opened.execute("PRAGMA cache_size = 1")
        opened.execute("PRAGMA cache_spill = 1")
        opened.execute("BEGIN")
        opened.execute("DROP TRIGGER guard_insert_party")
        opened.execute("CREATE TABLE heap (x)")
        opened.executemany("INSERT INTO heap VALUES (?)", [("x" * 3000,) for _ in range(300)])
        os.kill(os.getpid(), signal.SIGKILL)
    os.waitpid(pid, 0)
    assert (folder / "catalog.db-journal").stat().st_size > 0


def test_what_a_writer_left_half_done_belongs_to_its_file(kept: Backup, populated: Path) -> None:
    """A journal left hot by a kill is rolled back before the old file goes aside, and none is left for the new one."""
    before = seals(populated)
    _leave_hot(populated)
    assert restore(kept.folder, populated, "--anyway", "a slip") == 0
    assert not (populated / "catalog.db-journal").exists()
    [aside] = populated.glob("set-aside-*")
    assert seals(aside) == before and "heap" not in {
        row[0] for row in sqlite3.connect(aside / "catalog.db").execute("SELECT name FROM sqlite_master")
    }
    assert seals(populated)[:-1] == before[: kept.manifest.commands]


SPOILT = {
    "no database": lambda path: path.write_bytes(b"not a database at all" * 500),
    "empty": lambda path: path.write_bytes(b""),
    "its head gone": lambda path: path.write_bytes(b"\0" * 4096 + path.read_bytes()[4096:]),
    "cut off": lambda path: os.truncate(path, 3000),
    "gone": lambda path: path.unlink(),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_spoilt_catalog_is_set_aside_as_it_is(
    populated: Path, tmp_path: Path, how: str, capsys: pytest.CaptureFixture[str]
) -> None:
    made, _ = back_up(populated, tmp_path / "place")
    SPOILT[how](populated / "catalog.db")
    spoilt = (populated / "catalog.db").read_bytes() if how != "gone" else b""
    journal = populated / "catalog.db-journal"
    journal.write_bytes(b"what was left of it")
    assert restore(tmp_path / "place", populated) == 0
    assert seals(populated) == seals(made.folder)
    [aside] = populated.glob("set-aside-*")
    if how != "gone":
        assert (aside / "catalog.db").read_bytes() == spoilt
        assert "The newest codes are" in capsys.readouterr().err
    assert not journal.exists()


def test_a_fresh_folder_gets_all_and_is_its_owners_alone(populated: Path, tmp_path: Path) -> None:
    back_up(populated, tmp_path / "place")
    assert restore(tmp_path / "place", tmp_path / "heir" / "studio") == 0
    folder = tmp_path / "heir" / "studio"
    for path in (folder, folder / "catalog.db", folder / "settings.toml", folder / "pictures" / "N-0001-1.png"):
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0, path
    there = ["backups.json", "catalog.db", "out", "pictures", "settings.toml"]
    assert sorted(path.name for path in folder.iterdir()) == there
    assert tirage(folder, "negative add Later") == 0


def test_an_old_schema_comes_back_and_is_migrated_at_its_first_write(tmp_path: Path) -> None:
    old = build(tmp_path / "old")
    back_up(old, tmp_path / "place")
    assert restore(tmp_path / "place", tmp_path / "new") == 0
    assert sqlite3.connect(tmp_path / "new" / "catalog.db").execute("PRAGMA user_version").fetchone()[0] == 1
    assert tirage(tmp_path / "new", "party add 'C. Other'") == 0
    assert tirage(old, "party add 'C. Other'") == 0  # the present one is migrated, and ahead
    assert tirage(old, "print make e1 1") == 0
    assert restore(tmp_path / "place", old, "--anyway", "a slip") == 0
    assert (old / "keys" / f"{THUMBPRINT[:16]}.pem").exists()
    assert tirage(old, "print make e1 1") == 0


def _edit(name: str, place: Path) -> None:
    [folder] = place.glob("backup-2026*")
    {
        "catalog": lambda: _flip(folder / "catalog.db"),
        "settings": lambda: _flip(folder / "settings.toml"),
        "picture": lambda: _flip(place / manifest.POOL / "N-0001-2.png"),
        "manifest": lambda: (folder / manifest.FILE).write_text("{}"),
        "link": lambda: ((folder / "settings.toml").unlink(), (folder / "settings.toml").symlink_to("/etc/passwd")),
    }[name]()


@pytest.mark.parametrize("what", ["catalog", "settings", "picture", "manifest", "link"])
def test_a_backup_that_does_not_verify_is_refused(kept: Backup, populated: Path, tmp_path: Path, what: str) -> None:
    before = {path: path.read_bytes() for path in populated.rglob("*") if path.is_file()}
    _edit(what, tmp_path / "place")
    folder = populated if what != "picture" else tmp_path / "new"
    assert restore(kept.folder, folder, *(["--anyway", "x"] if what != "picture" else [])) == 1
    assert {path: path.read_bytes() for path in populated.rglob("*") if path.is_file()} == before
    assert not (tmp_path / "new").exists()
    if what == "picture":  # all but the picture is better than nothing, when it is asked for
        assert restore(kept.folder, folder, "--anyway", "the picture is lost") == 0
        assert [path.name for path in (folder / "pictures").iterdir()] == ["N-0001-1.png"]


def test_folders_that_are_refused(kept: Backup, populated: Path, tmp_path: Path) -> None:
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "a letter").write_text("dear")
    (tmp_path / "other").mkdir()
    assert tirage(tmp_path, f"init {tmp_path / 'other' / 'catalog'} --artist 'B. Other'") == 0
    sqlite3.connect(tmp_path / "other" / "catalog.db").executescript("PRAGMA application_id = 7; CREATE TABLE x (y)")
    (tmp_path / "linked").mkdir()
    (tmp_path / "linked" / "catalog.db").symlink_to(populated / "catalog.db")
    for folder in ("letters", "letters/a letter", "other", "other/catalog", "linked"):
        before = sorted(tmp_path.rglob("*"))
        assert restore(kept.folder, tmp_path / folder, "--anyway", "x") == 1, folder
        assert sorted(tmp_path.rglob("*")) == before, folder


def test_who_waits_for_the_old_file_writes_nothing_into_it(kept: Backup, populated: Path) -> None:
    """Another process that opened the old file before is refused by SQLite, and nothing it said is lost in it."""
    waiting = sqlite3.connect(populated / "catalog.db", isolation_level=None)
    waiting.execute("SELECT count(*) FROM party").fetchone()
    assert restore(kept.folder, populated, "--anyway", "x") == 0
    with pytest.raises(sqlite3.OperationalError):
        waiting.execute("CREATE TABLE lost (x)")


def test_nobody_can_write_while_it_is_put_in_place(populated: Path) -> None:
    with restoring.held(populated) as (present, reason):
        assert present is not None and not reason
        other = sqlite3.connect(populated / "catalog.db", isolation_level=None, timeout=0.1)
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other.execute("BEGIN IMMEDIATE")


def test_a_disk_without_second_names(kept: Backup, populated: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    before = seals(populated)
    monkeypatch.setattr(os, "link", none)
    assert restore(kept.folder, populated, "--anyway", "x") == 0
    [aside] = populated.glob("set-aside-*")
    assert seals(aside) == before and seals(populated)[:-1] == before[: kept.manifest.commands]
    assert len(list((populated / "pictures").iterdir())) == 2


def test_the_only_backup_of_a_catalog_that_does_not_prove(populated: Path, tmp_path: Path) -> None:
    """It is whole, and all there is: with a reason it comes back as it is, and `check` goes on telling."""
    opened = plain(populated)
    opened.execute("DROP TRIGGER journal_update_party")
    opened.execute("UPDATE party SET name = 'Somebody' WHERE id = 2")
    opened.close()
    made, _ = back_up(populated, tmp_path / "place")
    assert made.doubtful
    for words, status in (((), 1), (("--anyway", "no other"), 0)):
        assert restore(made.folder, tmp_path / "new", *words) == status
    assert seals(tmp_path / "new") == seals(populated)


def test_a_backup_of_what_a_writer_left_half_done(populated: Path, tmp_path: Path) -> None:
    before = seals(populated)
    _leave_hot(populated)
    made, doubts = back_up(populated, tmp_path / "place")
    assert doubts == [] and backups.verify(made) == [] and seals(made.folder) == before


def _back_up_and_die(folder: str, place: str, at: int) -> None:
    with _dying(at, STEPS):
        back_up(Path(folder), Path(place))


def test_a_backup_that_is_killed_counts_for_nothing(populated: Path, tmp_path: Path) -> None:
    context, at, place = multiprocessing.get_context("fork"), 0, tmp_path / "place"
    whole: list[Path] = []
    while True:
        at += 1
        process = context.Process(target=_back_up_and_die, args=(str(populated), str(place), at))
        process.start()
        process.join(60)
        found = backups.look(place) if place.exists() else backups.Place((), ())
        assert found.unreadable == ()
        for one in found.backups:
            if one.folder not in whole:
                assert backups.verify(one) == []
                whole.append(one.folder)
        if process.exitcode == 0:
            break
    assert at > 4 and whole
    assert not [path for path in place.iterdir() if path.name.startswith(".backup-")]


def test_the_same_line_finishes_what_was_cut_off_in_a_new_folder(kept: Backup, tmp_path: Path) -> None:
    target = tmp_path / "new"
    restoring.prepare(kept, target, iter, False)
    restoring.make_ready(target, NOON)
    plan = target / RESTORING / restoring.PLAN
    whole = plan.read_bytes()
    for damaged in (b"", b"[]", b'{"aside": 1}', b'{"aside": "../away"}'):
        plan.write_bytes(damaged)
        assert restore(kept.folder, target) == 1 and not (target / "catalog.db").exists()
    plan.write_bytes(whole)
    assert restore(kept.folder, target) == 0
    assert seals(target) == seals(kept.folder)
