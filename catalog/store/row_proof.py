"""Every row against the newest journal entry for its key: what was written with the journal's triggers taken away."""

import json
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Literal

from catalog.store.guards import UNJOURNALLED, UNJOURNALLED_COLUMNS, Table, tables
from catalog.store.migrations import added_columns

# One pass over the journal for all tables; a pass for each would take as long as there are tables.
NEWEST = """CREATE TEMP TABLE newest (tbl TEXT, key TEXT, entry INTEGER, PRIMARY KEY (tbl, key)) WITHOUT ROWID"""
FILL = "INSERT INTO newest SELECT tbl, key, max(id) FROM main.journal GROUP BY tbl, key ORDER BY tbl, key"
# Tables whose identity is a code of its own, or leads to one: what a row is named by.
CODED = frozenset({"code", "item", "negative", "print", "control_strip", "edition", "bath", "step", "certificate"})
CONTACTS = "SELECT id, salt, value, digest FROM party_contact"

What = Literal["changed", "gone", "added"]


@dataclass(frozen=True)
class Difference:
    """One row that is not as the journal has it; `columns` are (name, in the file, in the journal)."""

    table: str
    key: str
    code: str
    what: What
    columns: tuple[tuple[str, Any, Any], ...]


def differences(connection: sqlite3.Connection) -> Iterator[Difference]:
    """Every row that was changed, removed or added without the journal, by table.

    A column that a later migration added counts as its default where the journal says nothing of it. Columns that are
    kept out of the journal are proved by the digest that stands in it.
    """
    added = added_columns()
    with _newest_entries(connection):
        for table in tables(connection):
            if table.name not in UNJOURNALLED:
                defaults = _defaults(connection, added.get(table.name, {}))
                yield from _changed(connection, table, defaults)
                yield from _gone(connection, table)
    yield from _contacts(connection)


@contextmanager
def _newest_entries(connection: sqlite3.Connection) -> Iterator[None]:
    """The newest entry of each key, as a temporary table: nothing of the catalog is written."""
    only_reads = connection.execute("PRAGMA query_only").fetchone()[0]
    connection.execute("PRAGMA query_only = OFF")
    try:
        connection.execute(NEWEST)
        connection.execute(FILL)
        yield
    finally:
        connection.execute("DROP TABLE IF EXISTS temp.newest")
        connection.execute(f"PRAGMA query_only = {only_reads}")


def undecodable(connection: sqlite3.Connection) -> Iterator[tuple[str, str, str]]:
    """Table, key and column of every text that is not UTF-8, the journal and its seals included."""
    found, before = tables(connection), connection.text_factory
    connection.text_factory = bytes
    try:
        for table in found:
            for row in connection.execute(f"SELECT {', '.join(table.columns)} FROM main.{table.name}"):
                values = dict(zip(table.columns, tuple(row), strict=True))
                key = ", ".join(_readable(values[column]) for column in table.primary_key)
                for column, value in values.items():
                    if isinstance(value, bytes) and not _is_text(value):
                        yield table.name, key, column
    finally:
        connection.text_factory = before


def _readable(value: object) -> str:
    return value.decode(errors="replace") if isinstance(value, bytes) else str(value)


def _is_text(value: bytes) -> bool:
    try:
        value.decode()
    except UnicodeDecodeError:
        return False
    return True


def _defaults(connection: sqlite3.Connection, added: Mapping[str, str]) -> dict[str, Any]:
    return {column: connection.execute(f"SELECT {default}").fetchone()[0] for column, default in added.items()}


def _columns(table: Table) -> list[str]:
    hidden = UNJOURNALLED_COLUMNS.get(table.name, frozenset())
    return [column for column in table.columns if column not in hidden]


def _changed(connection: sqlite3.Connection, table: Table, defaults: Mapping[str, Any]) -> Iterator[Difference]:
    key = ", ".join(f"t.{column}" for column in table.primary_key)
    values = ", ".join(f"'{column}', t.{column}" for column in _columns(table))
    for found in connection.execute(
        f"SELECT json_array({key}), json_object({values}), j.after FROM main.{table.name} t "
        f"LEFT JOIN temp.newest n ON n.tbl = '{table.name}' AND n.key = json_array({key}) "
        f"LEFT JOIN main.journal j ON j.id = n.entry WHERE j.after IS NOT json_object({values})"
    ):
        row = json.loads(found[1])
        if found[2] is None:
            yield Difference(
                table.name,
                found[0],
                _code(connection, table, row),
                "added",
                tuple((c, v, None) for c, v in row.items()),
            )
            continue
        known = _object(found[2])
        recorded = {column: known.get(column, defaults.get(column)) for column in row}
        differing = tuple((c, row[c], recorded[c]) for c in row if row[c] != recorded[c])
        if differing:
            yield Difference(table.name, found[0], _code(connection, table, recorded), "changed", differing)


def _gone(connection: sqlite3.Connection, table: Table) -> Iterator[Difference]:
    same = " AND ".join(
        f"t.{column} = json_extract(n.key, '$[{place}]')" for place, column in enumerate(table.primary_key)
    )
    for key, after in connection.execute(
        f"SELECT n.key, j.after FROM temp.newest n JOIN main.journal j ON j.id = n.entry WHERE n.tbl = '{table.name}' "
        f"AND j.after IS NOT NULL AND NOT EXISTS (SELECT 1 FROM main.{table.name} t WHERE {same})"
    ):
        row = _object(after)
        yield Difference(
            table.name, key, _code(connection, table, row), "gone", tuple((c, None, v) for c, v in row.items())
        )


def contact_digest(salt: str, value: str) -> str:
    """What the journal keeps of a way to reach somebody: SHA-256 (hexadecimal) over its salt and its text."""
    import hashlib  # here, so that commands that only read do not load it

    return hashlib.sha256(f"{salt}:{value}".encode()).hexdigest()


def _contacts(connection: sqlite3.Connection) -> Iterator[Difference]:
    for identity, salt, value, digest in connection.execute(CONTACTS):
        if contact_digest(salt, value) != digest:
            yield Difference(
                "party_contact", f"[{identity}]", "", "changed", (("value", value, f"digest {digest[:16]}"),)
            )


def _object(text: str) -> dict[str, Any]:
    """A journal entry; one that was made unreadable says nothing."""
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _code(connection: sqlite3.Connection, table: Table, row: Mapping[str, Any]) -> str:
    """The code of what a row is about, or ""."""
    if table.name == "code":
        return str(row.get("code") or "")
    about = [columns[0][0] for parent, columns in table.parents if parent in CODED]
    column = next((name for name in table.primary_key if name in about), about[0] if about else "")
    found = connection.execute("SELECT code FROM main.code WHERE id = ?", (row.get(column),)).fetchone()
    return str(found[0]) if found else ""
