"""Other copies of a catalog, looked at without touching them: is its history still the one they hold?"""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from catalog.errors import TirageError
from catalog.store.migrations import APPLICATION_ID

APPLICATION_AT = 68  # where the header of an SQLite file holds its application id; https://sqlite.org/fileformat.html
SEALS = "SELECT id, digest, command, sealed FROM journal_seal ORDER BY id"
FIRST_DIGEST = "SELECT digest FROM journal_seal ORDER BY id LIMIT 1"
KEYS = "SELECT thumbprint FROM artist_key"
BEGAN = "SELECT party.name, catalog.begun FROM catalog JOIN party ON party.id = catalog.artist"


class NotACopyError(TirageError):
    """A file that cannot be compared with this catalog."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"{path} says nothing of this catalog: {reason}; expected a copy of its catalog.db. Name another file."
        )


@dataclass(frozen=True)
class Link:
    """One seal of a chain: its place, its digest, which command it seals and when."""

    place: int
    digest: str
    command: str
    sealed: str


@dataclass(frozen=True)
class Compared:
    """A copy's chain beside ours: how many seals each has, and the first place where they part (None: nowhere)."""

    ours: int
    theirs: int
    our_link: Link | None
    their_link: Link | None

    @property
    def parted(self) -> bool:
        """Whether both hold a command at one place, and not the same."""
        return self.our_link is not None and self.their_link is not None

    @property
    def is_ahead(self) -> bool:
        """Whether the copy holds commands that the catalog no longer has."""
        return self.our_link is None and self.their_link is not None


def beside(folder: Path, own: str) -> list[Path]:
    """The files in a catalog's folder that this program marked as a catalog's, but for its own."""
    return [path for path in sorted(folder.glob("*.db")) if path.name != own and path.is_file() and _is_marked(path)]


def compare(connection: sqlite3.Connection, path: Path) -> Compared:
    """The open catalog's chain of seals beside that of a copy, which is opened read-only. Raises NotACopyError."""
    with _opened(path) as other:
        try:
            if not _is_kin(connection, other):
                raise NotACopyError(path, "it is another catalog" + _named(other))
            damage = [row[0] for row in other.execute("PRAGMA quick_check(1)") if row[0] != "ok"]
            if damage:
                raise NotACopyError(path, f"it is damaged ({damage[0]})")
            return _compare(connection, other)
        except sqlite3.DatabaseError as error:
            raise NotACopyError(path, f"it cannot be read ({error})") from error


def _compare(connection: sqlite3.Connection, other: sqlite3.Connection) -> Compared:
    ours, theirs = connection.execute(SEALS), other.execute(SEALS)
    place = 0
    while True:
        our_row, their_row = ours.fetchone(), theirs.fetchone()
        if their_row is None or our_row is None or tuple(our_row)[:2] != tuple(their_row)[:2]:
            break
        place += 1
    our_link = Link(*our_row) if our_row is not None else None
    their_link = Link(*their_row) if their_row is not None else None
    counts = [place + (row is not None) + sum(1 for _ in rest) for row, rest in ((our_row, ours), (their_row, theirs))]
    return Compared(counts[0], counts[1], our_link, their_link)


def _is_kin(connection: sqlite3.Connection, other: sqlite3.Connection) -> bool:
    """Whether two files were one catalog once: they share the first seal, a key, or whose they are and since when."""
    if connection.execute(FIRST_DIGEST).fetchall() == other.execute(FIRST_DIGEST).fetchall():
        return True
    if {row[0] for row in connection.execute(KEYS)} & {row[0] for row in other.execute(KEYS)}:
        return True
    return [tuple(row) for row in connection.execute(BEGAN)] == [tuple(row) for row in other.execute(BEGAN)]


def _named(other: sqlite3.Connection) -> str:
    row = other.execute(BEGAN).fetchone()
    return f", of {row[0]}, begun {row[1]}" if row else ""


def _is_marked(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            head = file.read(APPLICATION_AT + 4)
    except OSError:
        return False
    return int.from_bytes(head[APPLICATION_AT:], "big") == APPLICATION_ID


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    if not path.is_file():
        raise NotACopyError(path, "there is no such file")
    if not _is_marked(path):
        raise NotACopyError(path, "another program wrote it, or it is damaged")
    # Immutable: not even a lock or a journal is made beside a copy, which may be on a disk that cannot be written.
    other = sqlite3.connect(path.resolve().as_uri() + "?mode=ro&immutable=1", uri=True, isolation_level=None)
    try:
        yield other
    finally:
        other.close()
