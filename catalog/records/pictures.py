"""Pictures of items: master files below pictures/, each with its digest."""

import sqlite3
from dataclasses import dataclass
from io import BufferedReader
from itertools import count
from pathlib import Path

from catalog.errors import TirageError
from catalog.events import Event
from catalog.records.items import Coded
from catalog.store.rows import fetch_all
from catalog.whole_files import NotAFileError, copy_into, growing, open_plain, within

FOLDER = "pictures"
# Pixels: above the first a picture is refused (a plate of 20 x 25 cm at 2400 dpi has 446 million; derived here), up to
# the second it is decoded once, which takes at most some 700 MB: larger ones are only looked at from outside.
MOST_PIXELS, MOST_DECODED = 1_000_000_000, 178_000_000
FORMATS = {"JPEG": (".jpg", ".jpeg"), "PNG": (".png",), "TIFF": (".tif", ".tiff")}

READ = "SELECT id, item, path, sha256, width, height, caption, added FROM picture WHERE item = ? ORDER BY id"
ADD = "INSERT INTO picture (item, path, sha256, width, height, caption, added) VALUES (?, ?, ?, ?, ?, ?, ?)"


class NotAPictureError(TirageError):
    """A file that cannot be read as a picture."""

    def __init__(self, path: Path, reason: str = "") -> None:
        super().__init__(
            f"{path} cannot be read as a picture{f' ({reason})' if reason else ''}; expected a JPEG, PNG or TIFF file."
        )


class OutsideError(TirageError):
    """A recorded picture whose file is not below pictures/."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{FOLDER}/{name} leads out of {FOLDER}/ or is no plain file, and was not read: another program wrote its "
            f"name, or put a link there. Compare the catalog with a copy that was kept: tirage check."
        )


@dataclass(frozen=True)
class Picture:
    """One master file; `path` is relative to the catalog's pictures/ folder."""

    id: int
    item: int
    path: str
    sha256: str
    width: int
    height: int
    caption: str
    added: str


def of_item(connection: sqlite3.Connection, item: int) -> list[Picture]:
    """The pictures of an item; the first is the one that is shown."""
    return fetch_all(connection, Picture, READ, (item,))


def open_master(folder: Path, name: str) -> BufferedReader:
    """The file of a recorded picture, open for reading; `folder` is pictures/.

    A name that leads outside (by "..", from the root, or over a link below `folder`) or to no plain file is never
    opened. Raises OutsideError, and OSError where there is no file or no access.
    """
    try:
        return open_plain(within(folder, name))
    except NotAFileError:
        raise OutsideError(name) from None


def add(
    connection: sqlite3.Connection, event: Event, thing: Coded, source: Path, folder: Path, caption: str = ""
) -> Picture:
    """Copy a file into the catalog's pictures/ and record it. Raises NotAPictureError; OSError of the copy."""
    kind, width, height = _look(source)
    pictures = folder / FOLDER
    pictures.mkdir(exist_ok=True)
    number = len(of_item(connection, thing.id)) + 1
    suffix = source.suffix.lower()
    ending = suffix if suffix in FORMATS[kind] else FORMATS[kind][0]
    name, digest = _copied(source, pictures, f"{thing.code.upper()}-", number, ending)
    connection.execute(ADD, (thing.id, name, digest, width, height, caption, event.moment.date))
    return of_item(connection, thing.id)[-1]


def _look(source: Path) -> tuple[str, int, int]:
    """Which of the formats a file is in, its width and height in pixels. Raises NotAPictureError."""
    import warnings

    from PIL import Image, UnidentifiedImageError

    if not source.is_file():  # never wait for a pipe or read a device to its end, which it has not
        raise NotAPictureError(source, "it is no plain file" if source.exists() else "there is none")
    # A scan of a large plate has more pixels than the library lets pass.
    most, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(source, formats=tuple(FORMATS)) as image:
                size = image.size
                pixels = image.width * image.height
                if pixels > MOST_PIXELS:
                    raise NotAPictureError(source, f"{pixels:,} pixels; at most {MOST_PIXELS:,} are kept")
                if pixels > MOST_DECODED:
                    image.verify()
                else:  # a file that is cut off has a whole head
                    image.draft(None, (1, 1))
                    image.load()
                kind = "JPEG" if image.format == "MPO" else str(image.format)  # telephones' JPEG of several pictures
                return kind, *size
    except NotAPictureError:
        raise
    except UnidentifiedImageError:
        raise NotAPictureError(source) from None
    except OSError as problem:
        raise NotAPictureError(source, problem.strerror or "it is damaged or cut off") from None
    except Exception as problem:  # the library names no class that holds all it raises for a broken file
        raise NotAPictureError(source, "it is damaged") from problem
    finally:
        Image.MAX_IMAGE_PIXELS = most


def _copied(source: Path, folder: Path, stem: str, first: int, ending: str) -> tuple[str, str]:
    """Copy a file below the first free name, whole or not at all; its name and digest.

    What lies there already, as of a picture that was taken back, is never written over.
    """
    for number in count(first):
        name = f"{stem}{number}{ending}"
        if (folder / name).exists():
            continue
        try:
            with open_plain(source, follow=True) as original, growing(folder / name, over=False) as file:
                return name, copy_into(original, file).sha256
        except FileExistsError:  # somebody else took the name meanwhile
            continue
    raise AssertionError("numbers have no end")
