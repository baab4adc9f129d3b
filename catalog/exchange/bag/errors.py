"""Why a bag was not written or not taken."""

from collections.abc import Sequence
from pathlib import Path
from shlex import quote

from catalog.errors import TirageError
from catalog.store.migrations import SCHEMA_VERSION

MOST_TOLD = 5


class FolderTakenError(TirageError):
    """An export onto something that is there already."""

    def __init__(self, target: Path) -> None:
        super().__init__(f"{target} is there already; expected a new name. Nothing was written. Name another one.")


class NotWrittenError(TirageError):
    """An export that found no place."""

    def __init__(self, target: Path, reason: str) -> None:
        super().__init__(
            f"{target} could not be written ({reason}), and nothing of it is left there. Make room or change the "
            f"permissions, or name another place."
        )


class DamagedCatalogError(TirageError):
    """A catalog that does not hold what it should, about to be handed on as if it did."""

    def __init__(self, findings: Sequence[str]) -> None:
        more = f" And {len(findings) - MOST_TOLD} more: tirage check." if len(findings) > MOST_TOLD else ""
        super().__init__(
            f"The catalog is not whole, and a bag of it would hand that on: {' '.join(findings[:MOST_TOLD])}{more} "
            f"Nothing was written. Bring back a copy that was kept; or export it as it is, told so in the bag, with "
            f"--anyway."
        )


class NotABagError(TirageError):
    """A folder that is no valid bag."""

    def __init__(self, folder: Path, reason: str) -> None:
        super().__init__(
            f"{folder} is no whole bag: {reason}. Nothing was taken from it. Get another copy of it, from where it "
            f"came from or from where it is kept."
        )


class ForeignBagError(TirageError):
    """A valid bag that holds no catalog of this program; `lines` say what can be brought in from it."""

    def __init__(self, folder: Path, tables: Sequence[str]) -> None:
        offered = (
            "What is in it can be brought in table by table, each as what its rows are (negatives, prints, editions, "
            "places, parties, tests): " + "; ".join(f"tirage import negatives {quote(table)}" for table in tables) + "."
            if tables
            else "No table is in it that could be brought in (expected .csv or .xlsx files)."
        )
        super().__init__(
            f"{folder} is a valid bag, every file of it is as it was packed, but it is no catalog of this program. "
            f"{offered}"
        )


class NewerBagError(TirageError):
    """A bag of a newer version of this program."""

    def __init__(self, folder: Path, schema: str) -> None:
        super().__init__(
            f"{folder} was made by a newer version (schema {schema}, this one knows {SCHEMA_VERSION}). Nothing was "
            f"taken from it. Install the newer version; the tables in it can be read with any program."
        )


class NotRebuiltError(TirageError):
    """A valid bag whose tables make no catalog."""

    def __init__(self, folder: Path, reason: str) -> None:
        super().__init__(
            f"{folder} is a valid bag, but no whole catalog came out of its tables: {reason} Nothing was made. Get "
            f"another copy of it, or ask who made it."
        )


class NotProvedError(TirageError):
    """A rebuilt catalog that does not prove itself."""

    def __init__(self, folder: Path, findings: Sequence[str]) -> None:
        more = f" And {len(findings) - MOST_TOLD} more." if len(findings) > MOST_TOLD else ""
        super().__init__(
            f"The catalog in {folder} does not prove itself: {' '.join(findings[:MOST_TOLD])}{more} Nothing was made. "
            f"Take it from another copy; or as it is, with --anyway."
        )
