"""settings.toml in the catalog's folder: read here alone, and light enough for a command that only reads."""

import tomllib
from pathlib import Path
from typing import Any

from catalog.errors import TirageError
from catalog.whole_files import read_plain

FILE = "settings.toml"
LARGEST = 1_000_000  # bytes
FIELDS = ("address", "paper", "label_stock", "units", "language")
UNITS = ("metric", "imperial")


class PresentationError(TirageError):
    """A settings.toml that cannot be read or holds what it should not."""

    def __init__(self, where: str, reason: str) -> None:
        super().__init__(
            f"{FILE} in the catalog's folder: {where}{reason}. Expected only "
            f"{', '.join(FIELDS)}; correct the file or take it away."
        )


def given(folder: Path) -> dict[str, Any]:
    """What stands in settings.toml, nothing where there is none. Raises PresentationError."""
    path = folder / FILE
    if not path.is_file():
        return {}
    try:
        return tomllib.loads(read_plain(path, LARGEST).decode("utf-8-sig"))
    except (ValueError, RecursionError) as problem:
        raise PresentationError("", f"it is not TOML ({problem})") from None
    except OSError as problem:
        raise PresentationError("", f"it cannot be read ({problem.strerror})") from None


def units(folder: Path) -> str:
    """In which units lengths are told. Raises PresentationError."""
    found = given(folder).get("units", UNITS[0])
    if found not in UNITS:
        raise PresentationError("“units” ", f"is {' or '.join(UNITS)}, and not “{found}”")
    return str(found)
