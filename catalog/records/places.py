"""Places: a tree of rooms, racks, shelves and boxes, and the movements between them."""

import sqlite3
from collections.abc import Iterable
from shlex import quote
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import catalogs
from catalog.records.items import Coded
from catalog.store.rows import fetch_all, fetch_one, insert_many
from catalog.vocabulary import PLACE_KINDS

READ = "SELECT id, parent, name, kind, note FROM place"
CHILD = f"{READ} WHERE parent IS ? AND name = ? COLLATE NOCASE"
ADD = "INSERT INTO place (parent, name, kind, note) VALUES (?, ?, ?, ?)"
MOVE = """INSERT INTO movement (item, from_place, to_place, happened, earliest, latest, clock, why, by)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"""
PATH = """WITH RECURSIVE up(id, parent, name, depth) AS (SELECT id, parent, name, 0 FROM place WHERE id = ?
    UNION ALL SELECT p.id, p.parent, p.name, depth + 1 FROM place p JOIN up ON p.id = up.parent)
    SELECT name FROM up ORDER BY depth DESC"""
WITHIN = """WITH RECURSIVE down(id) AS (SELECT ?1 UNION ALL SELECT p.id FROM place p JOIN down ON p.parent = down.id)
    SELECT code.id, code.code, code.kind, s.place FROM down JOIN standing s ON s.place = down.id
    JOIN code ON code.id = s.item ORDER BY code.id"""
LATEST_MOVE = """SELECT m.id, m.item, m.from_place, m.to_place, m.happened, m.clock, m.why, m.by FROM movement m
    WHERE m.item = ? ORDER BY m.id"""


class UnknownPlaceError(TirageError):
    """A path that leads nowhere."""

    def __init__(self, path: str, missing: str) -> None:
        super().__init__(
            f"There is no place “{path}”: “{missing}” is not there. Add it first: tirage place add {quote(path)}."
        )


class NotMovableError(TirageError):
    """A thing that the studio does not have."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"{code} was not moved: {reason}")


class Place(NamedTuple):
    """One place in the tree."""

    id: int
    parent: int | None
    name: str
    kind: str
    note: str


class Movement(NamedTuple):
    """One move within the studio."""

    id: int
    item: int
    from_place: int | None
    to_place: int
    happened: str
    clock: str
    why: str
    by: str


def parts(path: str) -> list[str]:
    """The names along a path: “studio/rack 2/shelf 1”."""
    names = [" ".join(name.split()) for name in path.split("/")]
    if not all(names):
        raise NotUnderstood("a place", path, "names from the outside in, such as studio/rack 2/shelf 1")
    return names


def at(connection: sqlite3.Connection, path: str) -> Place:
    """The place at a path. A path may begin anywhere as long as only one place fits. Raises UnknownPlaceError."""
    names = parts(path)
    tops = fetch_all(
        connection, Place, f"{READ} WHERE name = ? COLLATE NOCASE ORDER BY parent IS NOT NULL, id", (names[0],)
    )
    found = []
    for top in tops:
        place: Place | None = top
        for name in names[1:]:
            place = fetch_one(connection, Place, CHILD, (place.id, name)) if place else None
        if place:
            found.append((top.parent is None, place))
    exact = [place for whole, place in found if whole]
    if exact:
        return exact[0]
    if len(found) == 1:
        return found[0][1]
    if found:
        raise NotUnderstood(
            "one place",
            path,
            "a longer path, for several places fit: "
            + "; ".join(path_of(connection, place.id) for _, place in found[:4]),
        )
    raise UnknownPlaceError(path, names[0] if not tops else names[-1])


def add(connection: sqlite3.Connection, path: str, kind: str = "", note: str = "") -> tuple[Place, list[str]]:
    """Add a place and whatever is missing above it; the place and the names that were new."""
    if kind and kind not in PLACE_KINDS:
        raise NotUnderstood("a kind of place", kind, "one of " + ", ".join(PLACE_KINDS))
    parent: int | None = None
    new: list[str] = []
    names = parts(path)
    for depth, name in enumerate(names):
        place = fetch_one(connection, Place, CHILD, (parent, name))
        if place is None:
            guess = next((k for k in PLACE_KINDS if name.lower().startswith(k)), "")
            last = depth == len(names) - 1
            connection.execute(ADD, (parent, name, (kind or guess) if last else guess, note if last else ""))
            place = fetch_one(connection, Place, CHILD, (parent, name))
            new.append(name)
        assert place is not None
        parent = place.id
    return place, new  # type: ignore[return-value]


def path_of(connection: sqlite3.Connection, identity: int) -> str:
    """The whole path of a place: “studio/rack 2/shelf 1”."""
    return "/".join(row[0] for row in connection.execute(PATH, (identity,)))


def listed(connection: sqlite3.Connection) -> list[Place]:
    """All places."""
    return fetch_all(connection, Place, f"{READ} ORDER BY id")


def within(connection: sqlite3.Connection, identity: int) -> list[tuple[Coded, int]]:
    """Every item in a place or below it, with the place it is in."""
    return [(Coded(row[0], row[1], row[2]), row[3]) for row in connection.execute(WITHIN, (identity,))]


def move(connection: sqlite3.Connection, event: Event, things: Iterable[Coded], to: Place) -> None:
    """Put items in a place. Raises NotMovableError for what is gone or out of the studio."""
    artist = catalogs.artist(connection).id
    for thing in things:
        row = connection.execute(
            """SELECT s.place, s.custodian, party.name, coalesce(p.state, n.state, '') FROM standing s
            LEFT JOIN party ON party.id = s.custodian LEFT JOIN print p ON p.id = s.item
            LEFT JOIN negative n ON n.id = s.item WHERE s.item = ?""",
            (thing.id,),
        ).fetchone()
        if row[3] in ("destroyed", "lost"):
            raise NotMovableError(thing.code, f"it is {row[3]}.")
        if row[1] != artist:
            raise NotMovableError(
                thing.code, f"{row[2]} has it; record first that it came back: tirage return {thing.code}."
            )
        connection.execute(MOVE, (thing.id, row[0], to.id, *event.columns, event.note, event.by))


def put_new(connection: sqlite3.Connection, event: Event, things: Iterable[tuple[Coded, Place]]) -> None:
    """Say where things stand that were just entered: the studio has them, and none was in a place before."""
    at = (*event.columns, event.note, event.by)
    insert_many(connection, MOVE, ((thing.id, None, to.id, *at) for thing, to in things))


def movements(connection: sqlite3.Connection, item: int) -> list[Movement]:
    """An item's moves, in order."""
    return fetch_all(connection, Movement, LATEST_MOVE, (item,))
