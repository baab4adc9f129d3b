"""The pictures of a catalog, as they were kept."""

import os
from pathlib import Path

from catalog.exchange.bag.layout import PICTURES
from catalog.exchange.bag.packing import Packing
from catalog.records.pictures import OutsideError, open_master


def pack_pictures(packing: Packing, catalog: Path) -> tuple[int, list[str]]:
    """Pack every file below pictures/; how many there were, and the links that were left out, as they lead elsewhere.

    Hidden files are no pictures.
    """
    count, left_out = 0, []
    for path in _files(catalog / PICTURES):
        name = path.relative_to(catalog / PICTURES).as_posix()
        try:
            with open_master(catalog / PICTURES, name) as file:
                packing.add_file(f"{PICTURES}/{name}", file)
            count += 1
        except OutsideError:
            left_out.append(f"{PICTURES}/{name}")
    return count, left_out


def _files(folder: Path) -> list[Path]:
    found = []
    for place, folders, names in os.walk(folder):
        links = [name for name in folders if (Path(place) / name).is_symlink()]
        folders[:] = [name for name in folders if not name.startswith(".") and name not in links]
        found += [Path(place) / name for name in (*names, *links) if not name.startswith(".")]
    return sorted(found)
