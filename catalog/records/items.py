"""Codes of every kind: giving new ones, finding what a person typed, and the objects they stand for."""

import json
import sqlite3
from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from catalog import codes
from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.store.rows import insert_many

BY_CODE = "SELECT id, code, kind FROM code WHERE code = ?"
BY_SERIALS = "SELECT id, code, kind, serial FROM code WHERE kind = ? AND serial BETWEEN ? AND ? ORDER BY serial"
CODES = "SELECT id, code FROM code WHERE id IN (SELECT value FROM json_each(?))"
# Saying that it is not null lets the partial index answer; without it every code is looked at.
NEXT_SERIAL = "SELECT coalesce(max(serial), 0) + 1 FROM code WHERE kind = ? AND serial IS NOT NULL"
ADD_CODE = "INSERT INTO code (code, kind, serial) VALUES (?, ?, ?)"
ADD_CODE_AS = "INSERT INTO code (id, code, kind, serial) VALUES (?, ?, ?, ?)"
NEXT_ID = "SELECT coalesce(max(id), 0) + 1 FROM code"  # codes are never deleted, so this is the id that comes next
TABLES = {
    "negative": "negative",
    "edition": "edition",
    "print": "print",
    "control strip": "control_strip",
    "bath": "bath",
    "step": "step",
    "certificate": "certificate",
}
NAMES = {
    "print": "a print (3)",
    "negative": "a negative (n1)",
    "edition": "an edition (e1)",
    "bath": "a bath (b1)",
    "step": "a step (s1)",
    "control strip": "a control strip (k1)",
    "certificate": "a certificate (c1)",
}
# Where the codes of a kind are listed; certificates stand with their prints.
LISTS = {
    "negative": "negative list",
    "edition": "edition list",
    "print": "print list",
    "control strip": "strip list",
    "bath": "bath list",
    "step": "step list",
    "certificate": "certificate show",
}
BY_NAME = """a routine (tirage routine show NAME), a wash trial (calibrate show NAME), a party (party show NAME), \
a washer, a paper, a place"""
GIVEN_BEFORE = """SELECT s.session, e.planned, s.standing FROM session_sheet s JOIN session e ON e.id = s.session
    WHERE s.code = ?"""
LIVING_HOLDER = """SELECT p.id FROM print p WHERE p.edition = ? AND p.kind = ? AND p.number = ?
    AND NOT EXISTS (SELECT 1 FROM print r WHERE r.replaces = p.id) LIMIT 1"""


class UnknownCodeError(TirageError):
    """Text that is no code of anything in this catalog."""

    def __init__(self, text: str, kinds: Collection[str] = ()) -> None:
        what = " or ".join(NAMES[kind] for kind in kinds) or "a code such as 3, P-000003, n1, e1:3, or one of your own"
        lists = ", ".join(LISTS[kind] for kind in kinds or LISTS)
        by_name = "" if kinds else f" Not by a code but by name go: {BY_NAME}."
        super().__init__(f"Nothing here has the code “{text}”; expected {what}. See: tirage {lists}.{by_name}")


class RangeHoleError(TirageError):
    """A range with a member that does not exist."""

    def __init__(self, text: str, missing: str) -> None:
        super().__init__(f"The range “{text}” has a hole: there is no {missing}. Name only what exists, such as 1-3,7.")


class TakenBackError(TirageError):
    """A code whose thing was taken back, by undo or by putting a backup back."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{code} was taken back, by undo or by a restored backup; its code stays void. Use the code of another."
        )


class NotEnteredError(TirageError):
    """A code that was given to a sheet of a session before it was a print."""

    def __init__(self, code: str, session: int, planned: str) -> None:
        super().__init__(
            f"{code} was given to a sheet of session {session}, {parse_date(planned).text()}, that is not entered yet. "
            f"Enter it: tirage session enter {session}."
        )


class NotKeptError(TirageError):
    """A code of a sheet that was not kept."""

    def __init__(self, code: str, session: int) -> None:
        super().__init__(
            f"{code} is void: its sheet, of session {session}, was not kept. Use the code of another; what was kept: "
            f"tirage session show {session}."
        )


class WrongKindError(TirageError):
    """A code of another kind than the command works on."""

    def __init__(self, code: str, kind: str, wanted: Collection[str]) -> None:
        super().__init__(f"{code} is a {kind}; expected {' or '.join(NAMES[w] for w in wanted)}.")


class CodeTakenError(TirageError):
    """A code of the user's own that something has already."""

    def __init__(self, code: str) -> None:
        super().__init__(f"The code “{code}” is taken already; codes are never given twice. Choose another.")


class NothingTouchedError(TirageError):
    """`last`, when the last command touched nothing of the kind."""

    def __init__(self) -> None:
        super().__init__("The last command touched nothing that “last” could mean here; name a code instead.")


class Coded(NamedTuple):
    """A thing by its code; `id` is its identity in every table."""

    id: int
    code: str
    kind: str


def give_codes(connection: sqlite3.Connection, kind: str, count: int = 1, own: str | None = None) -> list[Coded]:
    """Give `count` new codes of a kind, or one code of the user's own. Never one that something has or had.

    A code of the user's own is void only until it is given anew: it was chosen for that thing, and `undo` came before.
    """
    if own is not None:
        code = codes.own(own)
        void = taken_back(connection, code, kind)
        if void is not None:
            return [void]
        if connection.execute(BY_CODE, (code,)).fetchone():
            raise CodeTakenError(code)
        cursor = connection.execute(ADD_CODE, (code, kind, None))
        return [Coded(int(cursor.lastrowid or 0), code, kind)]
    serial: int = connection.execute(NEXT_SERIAL, (kind,)).fetchone()[0]
    given = []
    for step in range(count):
        code = codes.automatic(kind, serial + step)
        cursor = connection.execute(ADD_CODE, (code, kind, serial + step))
        given.append(Coded(int(cursor.lastrowid or 0), code, kind))
    return given


def give_many(connection: sqlite3.Connection, kind: str, owns: Sequence[str | None]) -> list[Coded]:
    """A code for each of many new things with its object row: one of the user's own, or the next where it is None.

    Raises CodeTakenError, OwnCodeError.
    """
    upcoming: int = connection.execute(NEXT_ID).fetchone()[0]
    serial: int = connection.execute(NEXT_SERIAL, (kind,)).fetchone()[0]
    given: list[Coded] = []
    rows: list[tuple[int, str, str, int | None]] = []
    taken: set[str] = set()
    for own in owns:
        number: int | None = None
        if own is None:
            code, number = codes.automatic(kind, serial), serial
            serial += 1
        else:
            code = codes.own(own)
            known = connection.execute(BY_CODE, (code,)).fetchone()
            void = taken_back(connection, code, kind) if known else None
            if code.lower() in taken or (known and void is None):
                raise CodeTakenError(code)
            taken.add(code.lower())
            if void is not None:
                given.append(void)
                continue
        rows.append((upcoming, code, kind, number))
        given.append(Coded(upcoming, code, kind))
        upcoming += 1
    insert_many(connection, ADD_CODE_AS, rows)
    add_items(connection, given)
    return given


def taken_back(connection: sqlite3.Connection, code: str, kind: str) -> Coded | None:
    """The void thing of a code of the user's own that was taken back, to be given anew to one of its kind, or None."""
    row = connection.execute(BY_CODE, (code,)).fetchone()
    if row is None or row["kind"] != kind or codes.AUTOMATIC.fullmatch(row["code"]):
        return None
    if connection.execute(f"SELECT 1 FROM {TABLES[kind]} WHERE id = ?", (row["id"],)).fetchone():
        return None
    return Coded(row["id"], row["code"], row["kind"])


def give_items(connection: sqlite3.Connection, kind: str, count: int = 1, own: str | None = None) -> list[Coded]:
    """New codes with the object rows that negatives, prints and control strips share."""
    given = give_codes(connection, kind, count, own)
    add_items(connection, given)
    return given


def add_items(connection: sqlite3.Connection, given: Sequence[Coded]) -> None:
    """The object rows of codes that were given."""
    insert_many(connection, "INSERT INTO item (id, kind) VALUES (?, ?)", [(thing.id, thing.kind) for thing in given])


def find(connection: sqlite3.Connection, text: str, *kinds: str) -> list[Coded]:
    """Everything a person's text names, in its order, each once: “1-3,7”, “n1”, “e1:3”, “last”, an address.

    Raises UnknownCodeError, RangeHoleError, WrongKindError, TakenBackError, BackwardRangeError.
    """
    found: dict[int, Coded] = {}
    for part in codes.split(text):
        for thing in _find_part(connection, codes.bare(part), kinds):
            if kinds and thing.kind not in kinds:
                raise WrongKindError(thing.code, thing.kind, kinds)
            found.setdefault(thing.id, thing)
    return list(found.values())


def find_one(connection: sqlite3.Connection, text: str, *kinds: str) -> Coded:
    """The one thing a person's text names. Raises as find does, and when it names several."""
    found = find(connection, text, *kinds)
    if len(found) != 1:
        raise TirageError(f"“{text}” names {len(found)} things; expected one. Name one code.")
    return found[0]


def code_of(connection: sqlite3.Connection, identity: int) -> str:
    """The code of an identity."""
    code: str = connection.execute("SELECT code FROM code WHERE id = ?", (identity,)).fetchone()[0]
    return code


def codes_of(connection: sqlite3.Connection, identities: Iterable[int]) -> dict[int, str]:
    """The codes of many identities."""
    return dict(connection.execute(CODES, (json.dumps(list(identities)),)).fetchall())


def shorten(things: Sequence[Coded] | Sequence[str]) -> str:
    """Codes in short: “P-000001 to P-000006, P-000009”."""
    names = [thing if isinstance(thing, str) else thing.code for thing in things]
    runs: list[list[str]] = []
    for name in names:
        ours = codes.AUTOMATIC.fullmatch(name)
        before = codes.AUTOMATIC.fullmatch(runs[-1][-1]) if runs else None
        if ours and before and ours[1] == before[1] and int(ours[2]) == int(before[2]) + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    return ", ".join(
        run[0] if len(run) == 1 else (f"{run[0]}, {run[1]}" if len(run) == 2 else f"{run[0]} to {run[-1]}")
        for run in runs
    )


def _find_part(connection: sqlite3.Connection, text: str, kinds: Sequence[str]) -> Iterable[Coded]:
    row = connection.execute(BY_CODE, (text,)).fetchone()
    if row:
        return [_existing(connection, row)]
    if text.lower() == "last":
        return _last_touched(connection, kinds)
    holder = codes.holder(text)
    if holder:
        return [_holder(connection, text, holder)]
    span = codes.span(text)
    if span is None:
        raise UnknownCodeError(text, kinds)
    rows = connection.execute(BY_SERIALS, (span.kind, span.first, span.last)).fetchall()
    if span.first == span.last and not rows:
        raise UnknownCodeError(text, kinds)
    present = {row["serial"] for row in rows}
    for serial in range(span.first, span.last + 1):
        if serial not in present:
            raise RangeHoleError(text, codes.automatic(span.kind, serial))
    return [_existing(connection, row) for row in rows]


def _existing(connection: sqlite3.Connection, row: sqlite3.Row) -> Coded:
    if not connection.execute(f"SELECT 1 FROM {TABLES[row['kind']]} WHERE id = ?", (row["id"],)).fetchone():
        given = connection.execute(GIVEN_BEFORE, (row["id"],)).fetchone()
        if given is None:
            raise TakenBackError(row["code"])
        if given["standing"] == "open":
            raise NotEnteredError(row["code"], given["session"], given["planned"])
        raise NotKeptError(row["code"], given["session"])
    return Coded(row["id"], row["code"], row["kind"])


def _last_touched(connection: sqlite3.Connection, kinds: Sequence[str]) -> list[Coded]:
    row = connection.execute(
        "SELECT touched FROM journal_seal WHERE touched <> '[]' ORDER BY id DESC LIMIT 1"
    ).fetchone()
    things = []
    for identity in json.loads(row[0]) if row else ():
        thing = connection.execute("SELECT id, code, kind FROM code WHERE id = ?", (identity,)).fetchone()
        if not kinds or thing["kind"] in kinds:
            things.append(_existing(connection, thing))
    if not things:
        raise NothingTouchedError
    return things


def _holder(connection: sqlite3.Connection, text: str, holder: codes.Holder) -> Coded:
    edition = find_one(connection, holder.edition, "edition")
    row = connection.execute(LIVING_HOLDER, (edition.id, holder.kind, holder.number)).fetchone()
    if row is None:
        raise TirageError(
            f"Nothing holds “{text}”: that number of {edition.code} is not given to a print yet. "
            f"See: tirage edition show {edition.code}."
        )
    return Coded(row[0], code_of(connection, row[0]), "print")
