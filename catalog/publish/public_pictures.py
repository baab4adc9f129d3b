"""Public pictures: smaller JPEG files drawn from the masters, pixels only."""

import hashlib
import json
import os
from dataclasses import dataclass, field
from io import BufferedReader, BytesIO
from pathlib import Path

from PIL import Image, ImageOps

from catalog.publish.reading import PICTURES
from catalog.records.pictures import FORMATS, open_master
from catalog.whole_files import settle, write_whole

LARGE, SMALL = 1600, 480  # longer side, pixels
QUALITY = 85
PUBLIC = 0o644
MANIFEST = "pictures.json"  # file name -> digest of the master it was drawn from; tells what need not be drawn again
DRAWN_AS = f"{LARGE} {SMALL} {QUALITY}"


@dataclass(frozen=True, slots=True)
class Drawn:
    """One picture in two sizes, by file name."""

    large: str
    small: str
    width: int
    height: int


@dataclass
class PictureSet:
    """The pictures of one public copy: drawn in `work`, or reused from the copy that stands in `target`."""

    masters: Path
    target: Path
    work: Path
    digests: dict[str, str] = field(default_factory=dict)
    unreadable: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.before = _manifest(self.target / MANIFEST)
        (self.work / PICTURES).mkdir()

    def draw(self, code: str, path: str, sha256: str) -> Drawn | None:
        """A master in both sizes, named by its negative's code; None when it cannot be read or is not what was
        recorded, which is kept in mind."""
        large, small = _names(code)
        mark = f"{sha256} {DRAWN_AS}"
        size = self._standing(large, small) if self.before.get(large) == mark else None
        if size is None:
            try:
                with open_master(self.masters, path) as master:
                    if hashlib.file_digest(master, "sha256").hexdigest() != sha256:
                        raise ValueError("it is not the picture that was recorded")
                    master.seek(0)
                    size, files = _render(master)
            except Exception:  # the library names no class that holds all it raises for a broken file
                self.unreadable.append(path)
                return None
            for name, content in zip((large, small), files, strict=True):
                (self.work / PICTURES / name).write_bytes(content)
        self.digests[large] = mark
        self.digests[small] = mark
        return Drawn(large, small, *size)

    def place(self) -> None:
        """Move the new files to where they are served."""
        folder = self.target / PICTURES
        folder.mkdir(exist_ok=True)
        files = sorted((self.work / PICTURES).iterdir())
        if files:  # stopped half-way, the next copy is to draw them all again
            (self.target / MANIFEST).unlink(missing_ok=True)
        for file in files:
            settle(file)
            os.replace(file, folder / file.name)

    def clear(self) -> None:
        """Take away every picture that is no longer public, and say what the others were drawn from."""
        for file in (self.target / PICTURES).iterdir():
            if file.name not in self.digests and (file.is_file() or file.is_symlink()):
                file.unlink()
        write_whole(self.target / MANIFEST, json.dumps(self.digests, indent=1, sort_keys=True).encode(), PUBLIC)

    def _standing(self, large: str, small: str) -> tuple[int, int] | None:
        folder = self.target / PICTURES
        if not (folder / small).is_file():
            return None
        try:
            with Image.open(folder / large) as image:
                return image.size
        except OSError:
            return None


class NamedPictures(PictureSet):
    """The names that public pictures have, none drawn: sizes are not known."""

    def draw(self, code: str, path: str, sha256: str) -> Drawn | None:
        """A picture by its names alone."""
        return Drawn(*_names(code), 0, 0)


def _names(code: str) -> tuple[str, str]:
    """File names of a large and a small picture; a code holds no “_” and no two points in a row, so none is shared."""
    stem = code.lower().replace(".", "_")
    return f"{stem}.jpg", f"{stem}__small.jpg"


def _render(master: BufferedReader) -> tuple[tuple[int, int], list[bytes]]:
    """The size of the larger one, and the files of both. What is no picture, or too large to open, raises anything."""
    with Image.open(master, formats=tuple(FORMATS)) as opened:
        opened.draft("RGB" if opened.mode in ("RGB", "YCbCr", "CMYK") else "L", (LARGE, LARGE))
        upright = ImageOps.exif_transpose(opened)
        if upright.mode.startswith("I"):  # sixteen bits a pixel
            upright = upright.convert("I").point(lambda value: value * (1 / 256)).convert("L")
        plain = upright.convert("L" if upright.mode in ("1", "L", "LA") else "RGB")
    sizes, files = [], []
    for side in (LARGE, SMALL):
        reduced = plain.copy()
        reduced.thumbnail((side, side), Image.Resampling.LANCZOS)
        # Fresh pixels: whatever else the master said about itself stays in the studio.
        fresh = Image.frombytes(reduced.mode, reduced.size, reduced.tobytes())
        file = BytesIO()
        fresh.save(file, "JPEG", quality=QUALITY, optimize=True, progressive=True)
        sizes.append(fresh.size)
        files.append(file.getvalue())
    return sizes[0], files


def _manifest(path: Path) -> dict[str, str]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}
