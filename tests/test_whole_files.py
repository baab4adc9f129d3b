"""Files that are whole or not there."""

import os
import stat
from pathlib import Path

import pytest

from catalog.whole_files import (
    ABANDONED,
    NotAFileError,
    content,
    copy,
    growing,
    growing_folder,
    open_plain,
    read_plain,
    within,
    write_whole,
)


def test_written_over_and_for_its_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "a.pdf"
    for held in (b"one", b"two and more"):
        write_whole(path, held)
        assert path.read_bytes() == held and stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [one.name for one in tmp_path.iterdir()] == ["a.pdf"]


def test_a_new_one_is_never_over_another(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"theirs")
    with pytest.raises(FileExistsError):
        write_whole(tmp_path / "a", b"ours", over=False)
    assert (tmp_path / "a").read_bytes() == b"theirs"
    write_whole(tmp_path / "b", b"ours", 0o644, over=False)
    assert (tmp_path / "b").read_bytes() == b"ours" and stat.S_IMODE((tmp_path / "b").stat().st_mode) == 0o644
    assert (tmp_path / "b").stat().st_nlink == 1


def test_what_fails_leaves_what_was_there(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"before")
    with pytest.raises(RuntimeError), growing(tmp_path / "a") as file:
        file.write(b"half")
        raise RuntimeError
    assert (tmp_path / "a").read_bytes() == b"before" and len(list(tmp_path.iterdir())) == 1


def test_what_a_crash_left_goes_when_it_is_old(tmp_path: Path) -> None:
    old, young, other = tmp_path / ".tirage-1.part", tmp_path / ".tirage-2.part", tmp_path / ".other-1.part"
    for path in (old, young, other):
        path.write_bytes(b"half")
    then = young.stat().st_mtime - ABANDONED - 60
    for path in (old, other):
        os.utime(path, (then, then))
    write_whole(tmp_path / "a", b"x")
    assert not old.exists() and young.exists() and other.exists()


def test_a_name_as_long_as_a_name_may_be(tmp_path: Path) -> None:
    path = tmp_path / ("x" * 250 + ".pdf")
    write_whole(path, b"x")
    assert path.read_bytes() == b"x"


def test_a_folder_is_whole_or_not_there(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError), growing_folder(tmp_path / "new") as work:
        (work / "a").write_bytes(b"half")
        raise RuntimeError
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "empty").mkdir()
    for name in ("new", "empty", "below/it"):
        with growing_folder(tmp_path / name) as work:
            (work / "a").write_bytes(b"whole")
        assert (tmp_path / name / "a").read_bytes() == b"whole"
    with pytest.raises(OSError), growing_folder(tmp_path / "new") as work:
        (work / "b").write_bytes(b"theirs stays")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["below", "empty", "new"]
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["a"]


def test_what_is_no_plain_file_is_not_read(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"x" * 10)
    (tmp_path / "link").symlink_to("a")
    (tmp_path / "ring").symlink_to("ring")
    os.mkfifo(tmp_path / "pipe")
    for name in ("link", "ring", "pipe", "."):
        with pytest.raises(NotAFileError):
            open_plain(tmp_path / name)
    assert read_plain(tmp_path / "link", 10) == b"x" * 10
    for path, most in ((tmp_path / "a", 9), (Path("/dev/zero"), 9), (tmp_path / "pipe", 9), (tmp_path / "none", 9)):
        with pytest.raises(OSError):
            read_plain(path, most)


def test_a_copy_is_new_and_known_by_its_digest(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(os.urandom(3 << 20))
    with open_plain(tmp_path / "a") as source:
        copied = copy(source, tmp_path / "b")
    assert copied == content(tmp_path / "a") == content(tmp_path / "b") and copied.size == 3 << 20
    with open_plain(tmp_path / "a") as source, pytest.raises(FileExistsError):
        copy(source, tmp_path / "b")


@pytest.mark.parametrize("name", ["", ".", "..", "a/../b", "/a", "a\0b", "link/a"])
def test_paths_that_lead_elsewhere(tmp_path: Path, name: str) -> None:
    (tmp_path / "link").symlink_to(".")
    with pytest.raises(NotAFileError):
        within(tmp_path, name)
