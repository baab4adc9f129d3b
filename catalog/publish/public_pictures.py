"""Public pictures: smaller JPEG files drawn from the masters, pixels only."""

import json
import os
from dataclasses import dataclass, field
from pathlib import Path

from PIL import Image, ImageOps

from catalog.publish.reading import PICTURES

LARGE, SMALL = 1600, 480  # longer side, pixels
QUALITY = 85
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
        """A master in both sizes, named by its negative's code; None when it cannot be read, which is kept in mind."""
        # A code holds no “_” and no two points in a row, so no two codes share a name.
        stem = code.lower().replace(".", "_")
        large, small = f"{stem}.jpg", f"{stem}__small.jpg"
        mark = f"{sha256} {DRAWN_AS}"
        size = self._standing(large, small) if self.before.get(large) == mark else None
        if size is None:
            try:
                size = _render(self.masters / path, self.work / PICTURES / large, self.work / PICTURES / small)
            except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
                self.unreadable.append(path)
                for name in (large, small):
                    (self.work / PICTURES / name).unlink(missing_ok=True)
                return None
        self.digests[large] = mark
        self.digests[small] = mark
        return Drawn(large, small, *size)

    def place(self) -> None:
        """Move the new files to where they are served."""
        folder = self.target / PICTURES
        folder.mkdir(exist_ok=True)
        for file in sorted((self.work / PICTURES).iterdir()):
            os.replace(file, folder / file.name)

    def clear(self) -> None:
        """Take away every picture that is no longer public, and say what the others were drawn from."""
        for file in (self.target / PICTURES).iterdir():
            if file.name not in self.digests and (file.is_file() or file.is_symlink()):
                file.unlink()
        manifest = self.work / MANIFEST
        manifest.write_text(json.dumps(self.digests, indent=1, sort_keys=True), encoding="utf-8")
        os.replace(manifest, self.target / MANIFEST)

    def _standing(self, large: str, small: str) -> tuple[int, int] | None:
        folder = self.target / PICTURES
        if not (folder / small).is_file():
            return None
        try:
            with Image.open(folder / large) as image:
                return image.size
        except OSError:
            return None


def _render(master: Path, large: Path, small: Path) -> tuple[int, int]:
    with Image.open(master) as opened:
        opened.draft("RGB" if opened.mode in ("RGB", "YCbCr", "CMYK") else "L", (LARGE, LARGE))
        upright = ImageOps.exif_transpose(opened)
        if upright.mode.startswith("I"):  # sixteen bits a pixel
            upright = upright.convert("I").point(lambda value: value * (1 / 256)).convert("L")
        plain = upright.convert("L" if upright.mode in ("1", "L", "LA") else "RGB")
    for side, path in ((LARGE, large), (SMALL, small)):
        reduced = plain.copy()
        reduced.thumbnail((side, side), Image.Resampling.LANCZOS)
        # Fresh pixels: whatever else the master said about itself stays in the studio.
        fresh = Image.frombytes(reduced.mode, reduced.size, reduced.tobytes())
        fresh.save(path, "JPEG", quality=QUALITY, optimize=True, progressive=True)
        if side == LARGE:
            size = fresh.size
    return size


def _manifest(path: Path) -> dict[str, str]:
    try:
        found = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}
