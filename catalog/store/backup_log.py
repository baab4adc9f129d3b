"""Where the backups of a catalog went: a small file in its folder, which the journal need not know."""

import json
from dataclasses import asdict, dataclass
from pathlib import Path

from catalog.whole_files import read_plain, write_whole

FILE = "backups.json"
LONGEST = 1 << 20


@dataclass(frozen=True)
class Went:
    """The newest verified backup in one place: its folder's name, when, and up to which seal it goes."""

    place: str
    name: str
    made: str
    commands: int
    seal: str


def read(folder: Path) -> list[Went]:
    """The newest verified backup of each place, the newest of all last; nothing where the file cannot be read."""
    try:
        found = json.loads(read_plain(folder / FILE, LONGEST, follow=False).decode())
        went = [Went(**one) for one in found["backups"]]
        good = all(isinstance(one.commands, int) and all(map(_is_text, asdict(one).values())) for one in went)
    except (OSError, ValueError, TypeError, KeyError, RecursionError):
        return []
    return went if good else []


def note(folder: Path, went: Went) -> None:
    """Note a verified backup in place of the one before in its place. Raises OSError."""
    others = [one for one in read(folder) if one.place != went.place]
    text = json.dumps({"backups": [asdict(one) for one in [*others, went]]}, ensure_ascii=False, indent=1)
    write_whole(folder / FILE, (text + "\n").encode())


def _is_text(value: object) -> bool:
    return isinstance(value, str | int)
