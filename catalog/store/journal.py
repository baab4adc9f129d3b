"""The journal: what each command changed, sealed in a chain of digests, and how the newest is taken back."""

import json
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from json.encoder import encode_basestring
from typing import Any, NamedTuple

from catalog.errors import TirageError

OUTSIDE = "(outside this program)"
RESTORE = "restore"  # the command of a seal under which a backup was put back
START_DIGEST = "0" * 64
KEPT_TABLES = frozenset({"code"})  # a code is never given twice, so undoing leaves it in its table
MANY_ROWS = 300  # below that the plain search is as quick

LAST_SEAL = "SELECT * FROM journal_seal ORDER BY id DESC LIMIT 1"
ADD_SEAL = """INSERT INTO journal_seal (first, last, sealed, by, command, why, touched, undoes, digest)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ROWS_BETWEEN = "SELECT id, tbl, key, before, after FROM journal WHERE id BETWEEN ? AND ? ORDER BY id"
WHOLE = "SELECT count(*), min(id), max(id) FROM journal WHERE id BETWEEN ? AND ?"
NAMES = "SELECT DISTINCT tbl, key FROM journal WHERE id BETWEEN ? AND ? ORDER BY tbl, key LIMIT 6"
NEWEST_LIVING = """SELECT * FROM journal_seal s WHERE undoes IS NULL AND id < ?
    AND NOT EXISTS (SELECT 1 FROM journal_seal u WHERE u.undoes = s.id) ORDER BY id DESC LIMIT 1"""
NEWER_THAN_ALL = 2**63 - 1
# Whether a command changed how somebody is reached and nothing else, and cannot be taken back: what stood there before
# is kept nowhere, or what it added was changed or forgotten since.
STAYS = """SELECT NOT EXISTS (SELECT 1 FROM journal WHERE id BETWEEN ?1 AND ?2 AND tbl <> 'party_contact')
    AND EXISTS (SELECT 1 FROM journal j WHERE j.id BETWEEN ?1 AND ?2 AND (j.before IS NOT NULL OR NOT EXISTS
    (SELECT 1 FROM party_contact c
        WHERE c.id = json_extract(j.key, '$[0]') AND c.digest = json_extract(j.after, '$.digest'))))"""
GATE = "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = 'undoing_newest'"
VOID_CODES = """SELECT c.code FROM journal_seal s JOIN journal j ON j.id BETWEEN s.first AND s.last
    JOIN code c ON j.key = json_array(c.id) WHERE s.id = ? AND j.tbl = 'code' AND j.before IS NULL
    AND c.serial IS NOT NULL ORDER BY c.id"""
FINAL_TABLES = {
    "certificate": "a certificate was issued; revoke it instead: tirage certificate revoke CODE --why REASON",
    "artist_key": "a key was made, and a key is kept for ever",
    "artist_key_end": "a key ended, and what ended signs nothing more",
}


class NothingToUndoError(TirageError):
    """No command left that could be taken back."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"Nothing was undone: {reason}.")


@dataclass(frozen=True, slots=True)
class Seal:
    """One finished command in the chain."""

    id: int
    first: int
    last: int
    sealed: str
    by: str
    command: str
    why: str
    touched: str
    undoes: int | None
    digest: str


def last_seal(connection: sqlite3.Connection) -> Seal | None:
    """The newest seal, or None in a catalog that is just being made."""
    row = connection.execute(LAST_SEAL).fetchone()
    return Seal(*row) if row else None


def last_digest(connection: sqlite3.Connection) -> str:
    """The digest of the newest seal."""
    seal = last_seal(connection)
    return seal.digest if seal else START_DIGEST


def unsealed_rows(connection: sqlite3.Connection) -> int:
    """How many journal rows stand under no seal: outside a running command, somebody else wrote them."""
    seal = last_seal(connection)
    count: int = connection.execute(
        "SELECT count(*) FROM journal WHERE id > ?", (seal.last if seal else 0,)
    ).fetchone()[0]
    return count


def digest(before: str, head: Sequence[object], rows: Iterable[Sequence[Any]]) -> str:
    """SHA-256 (hexadecimal) over the seal before, what this seal says of itself, and its journal rows."""
    import hashlib  # here, so that commands that only read do not load it

    running = hashlib.sha256(before.encode())
    running.update(f"\n{json.dumps(list(head), ensure_ascii=False, separators=(',', ':'))}".encode())
    for identity, table, key, earlier, later in rows:  # as JSON too, put together by hand: an import has many rows
        earlier = "null" if earlier is None else encode_basestring(earlier)
        later = "null" if later is None else encode_basestring(later)
        line = f"\n[{identity},{encode_basestring(table)},{encode_basestring(key)},{earlier},{later}]"
        running.update(line.encode())
    return running.hexdigest()


def _between(connection: sqlite3.Connection, first: int, last: int) -> sqlite3.Cursor:
    """Journal rows as bare tuples: they are taken apart at once, and a command may have a million."""
    cursor = connection.cursor()
    cursor.row_factory = None
    return cursor.execute(ROWS_BETWEEN, (first, last))


def seal(
    connection: sqlite3.Connection,
    *,
    sealed: str,
    by: str,
    command: str,
    why: str = "",
    touched: Sequence[int] = (),
    undoes: int | None = None,
) -> Seal | None:
    """Seal every journal row that is not sealed yet; None when there is none (nothing was changed)."""
    before = last_seal(connection)
    first = (before.last if before else 0) + 1
    last: int | None = connection.execute("SELECT max(id) FROM journal").fetchone()[0]
    if last is None or last < first:
        return None
    about = json.dumps(list(touched), separators=(",", ":"))
    head = (first, last, sealed, by, command, why, about, undoes)
    value = digest(before.digest if before else START_DIGEST, head, _between(connection, first, last))
    cursor = connection.execute(ADD_SEAL, (*head, value))
    return Seal(int(cursor.lastrowid or 0), *head, value)


class Undoable(NamedTuple):
    """What `undo` takes back, and the commands, newest first, that it leaves as they are on its way to it.

    These changed how somebody is reached and nothing else, and what stood there before is kept nowhere, so that it can
    be forgotten; they do not stand in the way of what was done before them.
    """

    passed: list[Seal]
    target: Seal


def undoable(connection: sqlite3.Connection) -> Undoable:
    """The newest command that stands and is not passed over. Raises NothingToUndoError where there is none."""
    passed: list[Seal] = []
    before = NEWER_THAN_ALL
    while row := connection.execute(NEWEST_LIVING, (before,)).fetchone():
        found = Seal(*row)
        if found.command == OUTSIDE or not connection.execute(STAYS, (found.first, found.last)).fetchone()[0]:
            return Undoable(passed, found)
        passed.append(found)
        before = found.id
    raise NothingToUndoError("there is no command to take back")


def undo(connection: sqlite3.Connection) -> Seal:
    """Take back the command that is `undoable`; its seal. Codes it gave stay void.

    With a party that it added goes how that is reached, whoever told it. Raises NothingToUndoError when there is no
    such command, or when papers may have gone out.
    """
    passed, target = undoable(connection)
    if target.command == OUTSIDE:
        raise NothingToUndoError("the newest change was written outside this program; see: tirage check")
    if target.command == RESTORE:
        raise NothingToUndoError(
            "the newest command put a backup back; what was there before is whole in the folder set-aside-… beside it"
        )
    rows = connection.execute(ROWS_BETWEEN, (target.first, target.last)).fetchall()
    _refuse_final(target, rows)
    # The guard of every row looks for it in the journal; only a command of many rows is worth an index for that.
    if len(rows) > MANY_ROWS:
        connection.execute("CREATE INDEX journal_while_undoing ON journal(tbl, key)")
    _begin(connection, target, bool(passed))
    for changed in reversed(rows):
        if changed["tbl"] not in KEPT_TABLES:
            _take_back(connection, changed)
    connection.execute("DELETE FROM undoing")
    if len(rows) > MANY_ROWS:
        connection.execute("DROP INDEX journal_while_undoing")
    return target


def _refuse_final(target: Seal, rows: Sequence[sqlite3.Row]) -> None:
    for changed in rows:
        if changed["tbl"] in FINAL_TABLES:
            raise NothingToUndoError(f"with “{target.command}” {FINAL_TABLES[changed['tbl']]}")
    gone = [json.loads(row["before"])["kind"] for row in rows if row["tbl"] == "party_contact" and row["before"]]
    if gone:
        raise NothingToUndoError(
            f"“{target.command}” changed or took away {' and '.join(dict.fromkeys(gone))} of somebody, and the journal "
            f"does not hold what stood there. Set right by a new command what else it did; how somebody is reached: "
            f"tirage party reach"
        )


def _begin(connection: sqlite3.Connection, target: Seal, passing: bool) -> None:
    """Open the guards for what one command did.

    The gate of the schema lets only the very newest through, so that no other program takes back what later commands
    stand on. Nothing stands on how somebody is reached, so it is passed here, within this one transaction.
    """
    gate = connection.execute(GATE).fetchone() if passing else None
    if gate:
        connection.execute("DROP TRIGGER undoing_newest")
    connection.execute("INSERT INTO undoing (seal) VALUES (?)", (target.id,))
    if gate:
        connection.execute(gate[0])


def _take_back(connection: sqlite3.Connection, changed: sqlite3.Row) -> None:
    table = changed["tbl"]
    columns = [
        row[1] for row in sorted(connection.execute(f"PRAGMA table_info({table})"), key=lambda r: r[5]) if row[5]
    ]
    where = " AND ".join(f"{column} = ?" for column in columns)
    key = json.loads(changed["key"])
    if changed["before"] is None:
        if table == "party":
            connection.execute("DELETE FROM party_contact WHERE party = ?", key)
        if table == "party_contact":  # by its digest: who was reached otherwise since, or forgotten, stays so
            where, key = f"{where} AND digest = ?", [*key, json.loads(changed["after"])["digest"]]
        connection.execute(f"DELETE FROM {table} WHERE {where}", key)
        return
    before = {name: value for name, value in json.loads(changed["before"]).items() if name not in columns}
    fields = ", ".join(f"{name} = ?" for name in before)
    connection.execute(f"UPDATE {table} SET {fields} WHERE {where}", [*before.values(), *key])


def void_codes(connection: sqlite3.Connection, taken_back: Seal) -> list[str]:
    """The codes that a command gave and that stay void now that it was taken back."""
    return [row[0] for row in connection.execute(VOID_CODES, (taken_back.id,))]


def prove(connection: sqlite3.Connection, *, outside: bool = True) -> list[str]:
    """What is wrong with the chain, in sentences; empty when every row stands under a seal that agrees.

    What was written outside this program is told as well, unless `outside` is false.
    """
    problems = []
    before, expected = START_DIGEST, 1
    for row in connection.execute("SELECT * FROM journal_seal ORDER BY id").fetchall():
        link = Seal(*row)
        count, first, last = connection.execute(WHOLE, (link.first, link.last)).fetchone()
        if link.first != expected or (count, first, last) != (link.last - link.first + 1, link.first, link.last):
            problems.append(
                f"journal rows {link.first} to {link.last} of “{link.command}” ({link.sealed}) are not whole"
            )
        head = (link.first, link.last, link.sealed, link.by, link.command, link.why, link.touched, link.undoes)
        if digest(before, head, _between(connection, link.first, link.last)) != link.digest:
            problems.append(f"the journal of “{link.command}” ({link.sealed}) was altered after it was sealed")
        if outside and link.command == OUTSIDE:
            names = connection.execute(NAMES, (link.first, link.last)).fetchall()
            problems.append(
                f"{count} changes were written outside this program before {link.sealed}: "
                + ", ".join(f"{name[0]} {name[1]}" for name in names)
            )
        before, expected = link.digest, link.last + 1
    return problems
