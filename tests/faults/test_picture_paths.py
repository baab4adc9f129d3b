"""Names of pictures that lead out of pictures/, and files that are no pictures: not read, not published, told of."""

import os
import shutil
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from catalog.cli.main import run
from catalog.records.pictures import FOLDER, OutsideError, open_master
from tests.faults.load import begun
from tests.rules.test_tampering import opened, without_triggers

SECRET = (3, 7, 11)  # a colour that must not be seen in anything that is published


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    os.environ["TIRAGE_BY"] = "tester"
    folder = begun(tmp_path_factory.mktemp("pictures") / "catalog")
    Image.new("RGB", (40, 30), "white").save(folder.parent / "plate.png")
    assert run(["--catalog", str(folder), "picture", "add", "n1", str(folder.parent / "plate.png")]) == 0
    return folder


@pytest.fixture
def folder(built: Path, tmp_path: Path) -> Path:
    Image.new("RGB", (40, 30), SECRET).save(tmp_path / "secret.png")
    return Path(shutil.copytree(built, tmp_path / "catalog"))


def by_name(name: str) -> Callable[[Path], None]:
    def forge(folder: Path) -> None:
        told = name.replace("{outside}", str(folder.parent))
        without_triggers(opened(folder), f"UPDATE picture SET path = '{told}'")

    return forge


def by_link(folder: Path) -> None:
    (folder / FOLDER / "N-0001-1.png").unlink()
    (folder / FOLDER / "N-0001-1.png").symlink_to(folder.parent / "secret.png")


def by_linked_folder(folder: Path) -> None:
    (folder / FOLDER / "inner").symlink_to(folder.parent)
    by_name("inner/secret.png")(folder)


def by_fifo(folder: Path) -> None:
    (folder / FOLDER / "N-0001-1.png").unlink()
    os.mkfifo(folder / FOLDER / "N-0001-1.png")


def by_another_picture(folder: Path) -> None:
    shutil.copy(folder.parent / "secret.png", folder / FOLDER / "N-0001-1.png")


FORGED = {
    "two points": by_name("../../secret.png"),
    "two points within": by_name("drawn/../../../secret.png"),
    "from the root": by_name("{outside}/secret.png"),
    "the key": by_name("../keys"),
    "a folder": by_name("."),
    "a link": by_link,
    "a link in the way": by_linked_folder,
    "a pipe": by_fifo,
    "another picture put there": by_another_picture,
}


@pytest.mark.parametrize("what", FORGED)
def test_it_is_not_read_not_published_and_told(folder: Path, capsys: pytest.CaptureFixture[str], what: str) -> None:
    FORGED[what](folder)
    assert run(["--catalog", str(folder), "publish"]) == 0
    assert "left out" in capsys.readouterr().err
    assert list((folder / "public" / "pictures").iterdir()) == []
    assert run(["--catalog", str(folder), "check"]) == 1
    told = capsys.readouterr().out
    assert "leads out of pictures/" in told or "was changed since it was recorded" in told
    assert run(["--catalog", str(folder), "recipe", "trials", "n1"]) in (0, 1)
    assert "nobody foresaw" not in capsys.readouterr().err


@pytest.mark.parametrize("name", ["", ".", "..", "a/../../b", "/etc/hostname", "x\0y", "../pictures-other/x.png"])
def test_names_that_are_never_opened(tmp_path: Path, name: str) -> None:
    (tmp_path / "pictures").mkdir()
    with pytest.raises(OutsideError):
        open_master(tmp_path / "pictures", name)


def test_a_plain_name_is_opened_also_where_pictures_is_a_link(tmp_path: Path) -> None:
    (tmp_path / "disk" / "drawn").mkdir(parents=True)
    (tmp_path / "disk" / "drawn" / "x.png").write_bytes(b"x")
    (tmp_path / "pictures").symlink_to(tmp_path / "disk")
    with open_master(tmp_path / "pictures", "drawn/x.png") as file:
        assert file.read() == b"x"


def png(width: int, height: int) -> bytes:
    """A PNG of nothing that says it is so large: its data would fill the memory many times over."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(bytes(1_000_000), 9)) + chunk(b"IEND", b"")


def test_a_bomb_is_kept_and_not_drawn(folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for side, status in ((100_000, 1), (20_000, 0)):
        (tmp_path / "bomb.png").write_bytes(png(side, side))
        assert run(["--catalog", str(folder), "picture", "add", "n2", str(tmp_path / "bomb.png")]) == status
    assert run(["--catalog", str(folder), "shown", "n2"]) == 0
    assert run(["--catalog", str(folder), "publish"]) == 0
    assert "N-0002-1.png" in capsys.readouterr().err
    assert sorted(path.name for path in (folder / "public" / "pictures").iterdir()) == [
        "n-0001.jpg",
        "n-0001__small.jpg",
    ]


def test_what_was_taken_back_is_not_written_over(folder: Path, tmp_path: Path) -> None:
    for colour in ("red", "blue"):
        Image.new("RGB", (8, 8), colour).save(tmp_path / f"{colour}.png")
    assert run(["--catalog", str(folder), "picture", "add", "n2", str(tmp_path / "red.png")]) == 0
    kept = (folder / FOLDER / "N-0002-1.png").read_bytes()
    assert run(["--catalog", str(folder), "undo"]) == 0
    assert run(["--catalog", str(folder), "picture", "add", "n2", str(tmp_path / "blue.png")]) == 0
    assert (folder / FOLDER / "N-0002-1.png").read_bytes() == kept and (folder / FOLDER / "N-0002-2.png").is_file()
    assert run(["--catalog", str(folder), "check"]) in (0, 1)


def test_an_ending_follows_what_the_file_is(folder: Path, tmp_path: Path) -> None:
    Image.new("RGB", (8, 8)).save(tmp_path / "x.html", "PNG")
    assert run(["--catalog", str(folder), "picture", "add", "n2", str(tmp_path / "x.html")]) == 0
    assert (folder / FOLDER / "N-0002-1.png").is_file()
