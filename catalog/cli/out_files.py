"""Where a drawn document goes, and how its place is told."""

from pathlib import Path

from catalog.cli.desk import Desk


def path_of(desk: Desk, out: str | None, name: str) -> Path:
    """Where to write a document: as asked, else under its name in out/ of the catalog."""
    return Path(out) if out else desk.folder / "out" / name


def shown(desk: Desk, path: Path) -> str:
    """A path as it is told: from the catalog's folder on where it lies in it."""
    return path.relative_to(desk.folder).as_posix() if path.is_relative_to(desk.folder) else str(path)
