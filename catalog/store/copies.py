"""Other copies of a catalog, looked at without touching them: is its history still the one they hold?"""

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from catalog.errors import TirageError
from catalog.store.migrations import APPLICATION_ID

MOST_NAMED = 5  # commands that are told one by one
APPLICATION_AT = 68  # where the header of an SQLite file holds its application id; https://sqlite.org/fileformat.html
KEPT_BEFORE_MIGRATION = re.compile(r"catalog-schema-\d+(-\d+)?\.db")
ELSEWHERE = frozenset({"pictures", "out", "keys"})
SEALS = "SELECT id, digest, command, sealed FROM journal_seal ORDER BY id"
SINCE = "SELECT command, sealed FROM journal_seal ORDER BY id LIMIT -1 OFFSET ?"
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
    """A copy's chain beside ours: how many seals each has, how many first ones are the same, and what comes then.

    `our_commands` and `their_commands` are the first few after those; `their_link` and `our_link` the very next.
    """

    ours: int
    theirs: int
    common: int
    our_link: Link | None
    their_link: Link | None
    our_commands: tuple[Link, ...] = ()
    their_commands: tuple[Link, ...] = ()

    @property
    def behind(self) -> int:
        """How many commands the catalog holds that the copy has not."""
        return self.ours - self.common

    @property
    def ahead(self) -> int:
        """How many commands the copy holds that the catalog has not."""
        return self.theirs - self.common

    @property
    def parted(self) -> bool:
        """Whether both hold a command at one place, and not the same."""
        return self.our_link is not None and self.their_link is not None

    @property
    def is_ahead(self) -> bool:
        """Whether the copy holds commands that the catalog no longer has."""
        return self.our_link is None and self.their_link is not None


def beneath(folder: Path, own: str) -> list[Path]:
    """The files in a catalog's folder, or below it, that this program marked as a catalog's, but for its own.

    Whatever their names: a service that finds two states of one file renames one as it likes. Not looked at are hidden
    folders, and pictures, papers and keys, among which no catalog is kept.
    """
    found = []
    for here, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith(".") and name not in ELSEWHERE)
        found += [Path(here) / name for name in sorted(names)]
    return [path for path in found if path != folder / own and _is_marked(path)]


def beside(folder: Path, own: str) -> list[str]:
    """What to mind of files that by their names are second states of a catalog, as a service leaves them beside it."""
    names = sorted(path.name for path in folder.glob(f"{Path(own).stem}*.db"))
    found = [name for name in names if name != own and not KEPT_BEFORE_MIGRATION.fullmatch(name)]
    return [
        f"“{name}” lies beside {own} and may hold work that is not here, nor in a backup; see: tirage check"
        for name in found
        if _is_marked(folder / name)
    ]


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


def since(connection: sqlite3.Connection, common: int) -> list[tuple[str, str]]:
    """The command and the time of every seal after the first `common` ones."""
    return [tuple(row) for row in connection.execute(SINCE, (common,))]


def _compare(connection: sqlite3.Connection, other: sqlite3.Connection) -> Compared:
    ours, theirs = connection.execute(SEALS), other.execute(SEALS)
    place = 0
    while True:
        our_row, their_row = ours.fetchone(), theirs.fetchone()
        if their_row is None or our_row is None or tuple(our_row)[:2] != tuple(their_row)[:2]:
            break
        place += 1
    counts, firsts = [], []
    for row, rest in ((our_row, ours), (their_row, theirs)):
        first = ([Link(*row)] if row is not None else []) + [Link(*one) for one in rest.fetchmany(MOST_NAMED - 1)]
        counts.append(place + len(first) + sum(1 for _ in rest))
        firsts.append(tuple(first))
    links = [first[0] if first else None for first in firsts]
    return Compared(counts[0], counts[1], place, links[0], links[1], firsts[0], firsts[1])


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
        if not path.is_file():  # a pipe would never answer
            return False
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
    journal = path.with_name(f"{path.name}-journal")
    if journal.is_file() and journal.stat().st_size:
        raise NotACopyError(
            path, f"a writer left it half-done, as {journal.name} beside it says, and only a copy with both is whole"
        )
    # Immutable: not even a lock or a journal is made beside a copy, which may be on a disk that cannot be written.
    other = sqlite3.connect(path.resolve().as_uri() + "?mode=ro&immutable=1", uri=True, isolation_level=None)
    try:
        yield other
    finally:
        other.close()
