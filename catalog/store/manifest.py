"""The manifest of a backup: what is in it, digest by digest, and where the history stood."""

import json
import re
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from catalog.errors import TirageError
from catalog.store.connection import DATABASE
from catalog.whole_files import read_plain, within

FILE = "manifest.json"
POOL = "backup-pictures"  # beside the backups, shared by them all: a picture is kept once, and stays
FORMAT = 1
LONGEST = 256 << 20  # bytes of a manifest; a million pictures fit
NAME = re.compile(r"backup-\d{4}-\d{2}-\d{2}-\d{6}(-\d+)?(-doubtful)?")
DOUBTFUL = "-doubtful"
KEY = re.compile(r"keys/[A-Za-z0-9_-]{16}\.pem")
DIGEST = re.compile(r"[0-9a-f]{64}")


class NoBackupError(TirageError):
    """A folder that holds no backup, or one that cannot be read."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"{path} is no backup that can be used: {reason}. Nothing was changed. Expected a folder named "
            f"backup-… with its {FILE}, as tirage backup makes it, or the folder that such folders are in."
        )


@dataclass(frozen=True)
class Kept:
    """One file: its path in the catalog's folder, what it holds, and its path in the pool ("" for the backup's own)."""

    path: str
    sha256: str
    size: int
    pool: str = ""

    def where(self, backup: Path) -> Path:
        """Where its bytes are, reached through no link. Raises OSError."""
        if self.pool:
            return within(backup.parent, f"{POOL}/{self.pool}")
        return within(backup, self.path)


@dataclass(frozen=True)
class Manifest:
    """What one backup says of itself; `root` is the first seal's digest: whose history it is."""

    made: str
    artist: str
    begun: str
    schema: int
    root: str
    commands: int
    seal: str
    sealed: str
    command: str
    files: tuple[Kept, ...]
    keys_left_out: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()

    @property
    def size(self) -> int:
        """Bytes of all its files."""
        return sum(kept.size for kept in self.files)

    def of(self, path: str) -> Kept | None:
        """The file that stood at a path in the catalog's folder."""
        return next((kept for kept in self.files if kept.path == path), None)

    def text(self) -> bytes:
        """The manifest as it is written: JSON in UTF-8, for a person to read too."""
        body = {"format": FORMAT, **asdict(self)}
        for kept in body["files"]:
            if not kept["pool"]:
                del kept["pool"]
        return (json.dumps(body, ensure_ascii=False, indent=1) + "\n").encode()


def read(backup: Path) -> Manifest:
    """The manifest of a backup; nothing in it is believed but its form. Raises NoBackupError."""
    if backup.is_symlink() or not backup.is_dir():
        raise NoBackupError(backup, "it is no folder")
    try:
        found = json.loads(read_plain(backup / FILE, LONGEST, follow=False).decode())
    except OSError as problem:
        raise NoBackupError(backup, f"its {FILE} cannot be read ({problem.strerror or problem})") from None
    except (ValueError, RecursionError):
        raise NoBackupError(backup, f"its {FILE} is damaged") from None
    try:
        return _manifest(found)
    except (KeyError, TypeError, ValueError, OSError, AttributeError) as problem:
        raise NoBackupError(backup, f"its {FILE} is damaged or of a newer version ({problem})") from None


def _manifest(found: dict[str, Any]) -> Manifest:
    if found["format"] != FORMAT:
        raise ValueError("format")
    files = tuple(_kept(one) for one in found["files"])
    paths = [kept.path for kept in files]
    if paths.count(DATABASE) != 1 or len({path.casefold() for path in paths}) != len(paths):
        raise ValueError("files")
    texts = {name: _text(found[name]) for name in ("made", "artist", "begun", "root", "seal", "sealed", "command")}
    numbers = {name: _number(found[name]) for name in ("schema", "commands")}
    lists = {name: tuple(_text(one) for one in found[name]) for name in ("keys_left_out", "doubts")}
    return Manifest(files=files, **texts, **numbers, **lists)  # type: ignore[arg-type]


def _kept(one: dict[str, Any]) -> Kept:
    kept = Kept(_text(one["path"]), _text(one["sha256"]), _number(one["size"]), _text(one.get("pool", "")))
    own = kept.path in (DATABASE, "settings.toml") or KEY.fullmatch(kept.path)
    if not DIGEST.fullmatch(kept.sha256) or bool(own) == bool(kept.pool):
        raise ValueError("files")
    for path in filter(None, (kept.path if kept.pool else "", kept.pool)):
        within(Path("/nowhere"), path)
    if kept.pool and not kept.path.startswith("pictures/"):
        raise ValueError("files")
    return kept


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError("text")
    return value


def _number(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise TypeError("number")
    return value
