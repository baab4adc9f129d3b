"""What is taken for a picture: whole files only, of a size that can be."""

import struct
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from catalog.records import pictures
from catalog.records.pictures import NotAPictureError


def png(width: int, height: int, rows: int) -> bytes:
    """A grey PNG whose head says `height` rows, and which has `rows` (PNG, third edition, W3C 2025, section 11)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    data = zlib.compress(bytes(rows * (width + 1)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


def whole(kind: str) -> bytes:
    """A small picture that is whole."""
    file = BytesIO()
    Image.effect_noise((640, 480), 60).save(file, kind)
    return file.getvalue()


def looked(path: Path, data: bytes) -> tuple[str, int, int]:
    """What is found of a file with these bytes."""
    path.write_bytes(data)
    return pictures._look(path)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
def test_what_is_whole_is_taken_and_what_is_cut_off_is_not(kind: str, tmp_path: Path) -> None:
    data = whole(kind)
    assert looked(tmp_path / "whole", data) == (kind, 640, 480)
    with pytest.raises(NotAPictureError):
        looked(tmp_path / "cut", data[: len(data) * 2 // 3])


def test_more_pixels_than_can_be(tmp_path: Path) -> None:
    with pytest.raises(NotAPictureError, match="1,225,000,000 pixels; at most 1,000,000,000 are kept"):
        looked(tmp_path / "bomb.png", png(35_000, 35_000, 1))


def test_the_library_keeps_its_own_bound(tmp_path: Path) -> None:
    before = Image.MAX_IMAGE_PIXELS
    looked(tmp_path / "whole.png", png(30, 20, 20))
    assert before == Image.MAX_IMAGE_PIXELS
