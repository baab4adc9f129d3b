"""Washers: vessels that wash."""

import sqlite3
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.store.rows import fetch_all, fetch_one
from catalog.vocabulary import WASHER_KINDS

COLUMNS = "id, name, kind, volume, flow, note"
ADD = "INSERT INTO washer (name, kind, volume, flow, note) VALUES (?, ?, ?, ?, ?)"
BY_NAME = f"SELECT {COLUMNS} FROM washer WHERE name = ?"
LIST = f"SELECT {COLUMNS} FROM washer ORDER BY name"
LAST_USED = f"""SELECT {COLUMNS} FROM washer WHERE id =
    (SELECT washer FROM step WHERE washer IS NOT NULL ORDER BY id DESC LIMIT 1)"""


class UnknownWasherError(TirageError):
    """A name that no washer has."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is no washer “{name}”; expected the name of one. See: tirage washer list.")


class WasherTakenError(TirageError):
    """A name that a washer has already."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is a washer “{name}” already; each has its own name. Choose another.")


class WhichWasherError(TirageError):
    """A wash that does not say where, with none or several to choose from."""

    def __init__(self, names: list[str]) -> None:
        known = f"there are {', '.join(names)}" if names else "none is recorded (tirage washer add NAME --kind tray)"
        super().__init__(f"A wash needs to know its washer; {known}. Say which with --washer NAME.")


class WasherUnknownError(TirageError):
    """A bound asked of a washer whose water was not told."""

    def __init__(self, name: str, missing: str) -> None:
        super().__init__(
            f"The {missing} of washer “{name}” is not recorded, and a bound needs it. Add a washer with it: "
            f"tirage washer add NAME --kind slots --volume 20l --flow 4l/min."
        )


class Washer(NamedTuple):
    """One vessel; volume in millilitres, flow in millilitres a minute."""

    id: int
    name: str
    kind: str
    volume: int | None
    flow: int | None
    note: str


def add(
    connection: sqlite3.Connection,
    name: str,
    kind: str,
    *,
    volume: int | None = None,
    flow: int | None = None,
    note: str = "",
) -> Washer:
    """Record a washer. Raises WasherTakenError, NotUnderstood."""
    name = " ".join(name.split())
    if kind not in WASHER_KINDS:
        raise NotUnderstood("a kind of washer", kind, f"one of {', '.join(WASHER_KINDS)}")
    if not name:
        raise NotUnderstood("the name of a washer", name, "a name such as “big siphon”")
    if fetch_one(connection, Washer, BY_NAME, (name,)):
        raise WasherTakenError(name)
    connection.execute(ADD, (name, kind, volume, flow, note))
    return by_name(connection, name)


def by_name(connection: sqlite3.Connection, name: str) -> Washer:
    """The washer of that name. Raises UnknownWasherError."""
    found = fetch_one(connection, Washer, BY_NAME, (" ".join(name.split()),))
    if found is None:
        raise UnknownWasherError(name)
    return found


def check_known(washer: Washer, *, volume: bool, flow: bool) -> None:
    """Whether what a bound needs of a washer is recorded. Raises WasherUnknownError."""
    for what, needed, known in (("volume", volume, washer.volume), ("flow", flow, washer.flow)):
        if needed and known is None:
            raise WasherUnknownError(washer.name, what)


def washers(connection: sqlite3.Connection) -> list[Washer]:
    """Every washer, by name."""
    return fetch_all(connection, Washer, LIST)


def usual(connection: sqlite3.Connection) -> Washer:
    """The only washer, else the one used last. Raises WhichWasherError."""
    known = washers(connection)
    if len(known) == 1:
        return known[0]
    found = fetch_one(connection, Washer, LAST_USED)
    if found is None:
        raise WhichWasherError([washer.name for washer in known])
    return found
