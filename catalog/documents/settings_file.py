"""settings.toml in the catalog's folder: read here alone, and light enough for a command that only reads."""

import tomllib
from pathlib import Path
from typing import Any

from catalog.errors import TirageError

FILE = "settings.toml"
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
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as problem:
        raise PresentationError("", f"it is not TOML ({problem})") from None
    except OSError as problem:
        raise PresentationError("", f"it cannot be read ({problem.strerror})") from None


def units(folder: Path) -> str:
    """In which units lengths are told. Raises PresentationError."""
    found = given(folder).get("units", UNITS[0])
    if found not in UNITS:
        raise PresentationError("“units” ", f"is {' or '.join(UNITS)}, and not “{found}”")
    return str(found)
