"""What stands in the way of a catalog: a full disk, what may only be read, what is no plain file. A sentence each."""

import json
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from catalog.cli.main import run
from tests.faults.load import begun

ISSUED_ANEW = "certificate issue 1 --supersedes c1 --anyway x"
WRITERS = (
    "move 1 studio/shelf",
    "sign 2 --anyway x",
    "negative add Weir",
    ISSUED_ANEW,
)
PAPERS = ("label 1", "provenance 1", "certificate show c1 --draw", "publish", "due --calendar")
READERS = ("print show 1", "edition list", "where 1", "due")
ROOT = hasattr(os, "geteuid") and os.geteuid() == 0


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    os.environ["TIRAGE_BY"] = "tester"
    folder = begun(tmp_path_factory.mktemp("in-the-way") / "catalog")
    for line in ("sign 1 --anyway x", "certificate issue 1 --anyway x", "promise e1:9 --to Buyer --until 2030"):
        assert run(["--catalog", str(folder), *line.split()]) == 0, line
    return folder


@pytest.fixture
def folder(built: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(built, tmp_path / "catalog"))


PLAY = """
import ctypes, io, json, resource, signal, sys
limit, bare, folder, lines = json.loads(sys.argv[1])
from catalog.cli.main import run
import catalog.cli.desk, PIL.Image, pikepdf, reportlab
if bare:  # root without its capabilities (capset, version 3): modes hold it back as they do anybody
    header, none = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()
    assert ctypes.CDLL(None, use_errno=True).capset(header, none) == 0
if limit:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
found = []
for line in lines:
    told, sys.stdout, sys.stderr = (sys.stdout, sys.stderr), io.StringIO(), io.StringIO()
    status = run(["--catalog", folder, *line])
    out, err = sys.stdout.getvalue(), sys.stderr.getvalue()
    sys.stdout, sys.stderr = told
    found.append([status, out, err])
print(json.dumps(found))
"""


def play(folder: Path, lines: tuple[str, ...], limit: int = 0, bare: bool = False) -> list[tuple[int, str, str]]:
    """Lines typed in a process of its own: files no longer than `limit` bytes, or modes that hold root back too."""

    given = json.dumps([limit, bare and ROOT, str(folder), [shlex.split(line) for line in lines]])
    done = subprocess.run(
        [sys.executable, "-c", PLAY, given], capture_output=True, text=True, cwd=Path(__file__).parents[2], timeout=120
    )
    assert done.returncode == 0, done.stderr[-3000:]
    found: list[tuple[int, str, str]] = json.loads(done.stdout)
    for line, (status, out, err) in zip(lines, found, strict=True):
        assert status in (0, 1) and "nobody foresaw" not in err and "Traceback" not in out + err, (line, out, err)
        assert status == 0 or len(err) > 40, (line, out, err)
    return found


def test_a_full_disk_for_real(folder: Path) -> None:
    """No file may grow past the length the catalog has now, as on a disk with no room left."""
    before = (folder / "catalog.db").read_bytes()
    found = play(folder, (*["negative add 'A long title of a plate, so that the file must grow'"] * 25,), len(before))
    assert found[-1][0] == 1 and "The disk is full" in found[-1][2] or "disk I/O" in found[-1][2], found[-1]
    found = play(folder, (*PAPERS, *READERS), 20_000)
    assert [status for status, _, _ in found][: len(PAPERS)] == [1, 1, 1, 1, 0], found
    assert all(status == 0 for status, _, _ in found[len(PAPERS) :])
    assert not [path for path in folder.rglob("*") if path.name.startswith(".tirage-")]
    assert run(["--catalog", str(folder), "check"]) in (0, 1)
    assert play(folder, ("move 1 studio/shelf", "label 1"))[0][0] == 0


modes_hold = pytest.mark.skipif(
    os.name != "posix" or (ROOT and not sys.platform.startswith("linux")), reason="modes hold nobody back here"
)


@modes_hold
def test_what_may_only_be_read(folder: Path) -> None:
    before = (folder / "catalog.db").read_bytes()
    for path, mode in ((folder / "catalog.db", 0o400), (folder, 0o500)):
        normal = path.stat().st_mode
        path.chmod(mode)
        try:
            found = play(folder, (*WRITERS, *READERS), bare=True)
            assert [status for status, _, _ in found] == [1] * len(WRITERS) + [0] * len(READERS), found
            assert all("permissions" in err for _, _, err in found[: len(WRITERS)]), found
            assert (folder / "catalog.db").read_bytes() == before
        finally:
            path.chmod(normal)
    (folder / "out").chmod(0o500)
    found = play(folder, ("label 1", ISSUED_ANEW), bare=True)
    assert [status for status, _, _ in found] == [1, 1] and all("the records are safe" in err for _, _, err in found)


@modes_hold
def test_a_folder_that_cannot_be_entered(folder: Path) -> None:
    folder.chmod(0o600)
    try:
        found = play(folder, ("due", "move 1 studio/shelf", "check"), bare=True)
        assert [status for status, _, _ in found] == [1, 1, 1]
    finally:
        folder.chmod(0o700)


def as_directory(path: Path) -> None:
    path.unlink()
    path.mkdir()


def as_fifo(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def as_link_to_nothing(path: Path) -> None:
    path.unlink()
    path.symlink_to("nowhere.db")


def as_link_in_a_ring(path: Path) -> None:
    path.unlink()
    path.symlink_to(path)


def as_device(path: Path) -> None:
    path.unlink()
    path.symlink_to("/dev/zero")


def as_nothing_in_it(path: Path) -> None:
    path.write_bytes(b"")


@pytest.mark.parametrize(
    "become", [as_directory, as_fifo, as_link_to_nothing, as_link_in_a_ring, as_device, as_nothing_in_it]
)
def test_a_catalog_that_is_no_plain_file(folder: Path, become: Callable[[Path], None]) -> None:
    become(folder / "catalog.db")
    names = sorted(path.name for path in folder.iterdir())
    found = play(folder, ("due", "print show 1", "move 1 studio/shelf", "publish", "label 1", "check", "undo"))
    assert [status for status, _, _ in found] == [1] * 7, found
    assert sorted(path.name for path in folder.iterdir()) == names


def test_a_catalog_behind_a_link_is_the_one_it_leads_to(folder: Path, tmp_path: Path) -> None:
    """A link to the file works, its journal lies beside the file itself, and the link stays a link."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    shutil.move(folder / "catalog.db", elsewhere / "catalog.db")
    (folder / "catalog.db").symlink_to(elsewhere / "catalog.db")
    found = play(folder, ("move 1 studio/shelf", "where 1", "check"))
    assert [status for status, _, _ in found][:2] == [0, 0] and "studio/shelf" in found[1][1]
    assert (folder / "catalog.db").is_symlink()


def test_files_where_folders_should_be(folder: Path) -> None:
    for name in ("out", "pictures", "public"):
        shutil.rmtree(folder / name, ignore_errors=True)
        (folder / name).write_text("a file\n")
    found = play(folder, ("label 1", "publish", "session sheet e1 1", "due --calendar", "check"))
    assert [status for status, _, _ in found][:4] == [1, 1, 1, 1], found
    assert all((folder / name).read_text() == "a file\n" for name in ("out", "pictures", "public"))
