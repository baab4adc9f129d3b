"""Pictures of items: master files below pictures/, each with its digest."""

import hashlib
import shutil
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from catalog.errors import TirageError
from catalog.events import Event
from catalog.records.items import Coded
from catalog.store.rows import fetch_all

READ = "SELECT id, item, path, sha256, width, height, caption, added FROM picture WHERE item = ? ORDER BY id"
ADD = "INSERT INTO picture (item, path, sha256, width, height, caption, added) VALUES (?, ?, ?, ?, ?, ?, ?)"


class NotAPictureError(TirageError):
    """A file that cannot be read as a picture."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} cannot be read as a picture; expected a JPEG, PNG or TIFF file.")


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


def add(
    connection: sqlite3.Connection, event: Event, thing: Coded, source: Path, folder: Path, caption: str = ""
) -> Picture:
    """Copy a file into the catalog's pictures/ and record it. Raises NotAPictureError."""
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(source) as image:
            image.verify()
            width, height = image.size
    except (OSError, UnidentifiedImageError, SyntaxError) as error:
        raise NotAPictureError(source) from error
    digest = hashlib.sha256(source.read_bytes()).hexdigest()
    count = len(of_item(connection, thing.id)) + 1
    name = f"{thing.code.upper()}-{count}{source.suffix.lower()}"
    target = folder / "pictures" / name
    target.parent.mkdir(exist_ok=True)
    if target.resolve() != source.resolve():
        shutil.copyfile(source, target)
    connection.execute(ADD, (thing.id, name, digest, width, height, caption, event.moment.date))
    return of_item(connection, thing.id)[-1]
