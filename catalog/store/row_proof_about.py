"""The rows that say something of a few things against the journal: asked before a paper about them is signed.

`check` proves the whole file; this proves what one certificate rests on, in one pass over the journal, so that a letter
that a failing disk or another program changed is not frozen and signed.
"""

import json
import sqlite3
from collections.abc import Iterable, Sequence

from catalog.errors import TirageError
from catalog.store.guards import UNJOURNALLED, UNJOURNALLED_COLUMNS, Table, tables
from catalog.store.migrations import added_columns

# Tables whose key is a code's identity, so that a column that names one of them names the thing itself.
THINGS = frozenset({"code", "item", "negative", "print", "control_strip", "edition", "standing"})
# The journal has no index of keys (each write would pay for it): all keys are looked for in one pass.
NEWEST = "SELECT tbl, key, after, max(id) FROM main.journal WHERE key IN (SELECT value FROM json_each(?)) GROUP BY 1, 2"


class AlteredError(TirageError):
    """A row that a paper would rest on and that is not as the journal has it."""

    def __init__(self, table: str, key: str, columns: Sequence[str]) -> None:
        what = f"in {table}, row {key.strip('[]')}" + (f": {', '.join(columns)}" if columns else "")
        super().__init__(
            f"What is recorded is not as the journal has it ({what}): the disk or another program changed it. Nothing "
            f"was issued. Look with tirage check, and compare with a copy that was kept."
        )


def prove_about(connection: sqlite3.Connection, things: Iterable[int]) -> None:
    """Compare the rows of these things, those that name them and all that these lead to. Raises AlteredError."""
    known = {table.name: table for table in tables(connection) if table.name not in UNJOURNALLED}
    rows = {
        (name, key): values
        for name, keys in _concerned(connection, known, list(things)).items()
        for key, values in _values(connection, known[name], sorted(keys)).items()
    }
    asked = json.dumps(sorted({key for _, key in rows}), ensure_ascii=False)
    newest = {(row[0], row[1]): row[2] for row in connection.execute(NEWEST, (asked,))}
    for (name, key), now in rows.items():
        recorded = json.loads(newest.get((name, key)) or "{}")
        if recorded and now.keys() - recorded.keys():  # a row of before a migration
            for column, default in added_columns().get(name, {}).items():
                recorded.setdefault(column, connection.execute(f"SELECT {default}").fetchone()[0])
        differing = [column for column, value in now.items() if recorded.get(column) != value]
        if differing or not recorded:
            raise AlteredError(name, key, differing)


def _concerned(
    connection: sqlite3.Connection, known: dict[str, Table], things: list[int]
) -> dict[str, set[tuple[object, ...]]]:
    """Table -> primary keys: the rows that name a thing, then every row those lead to, and so on."""
    found: dict[str, set[tuple[object, ...]]] = {}
    waiting: list[tuple[Table, sqlite3.Row]] = []

    def take(table: Table, condition: str, values: Sequence[object]) -> None:
        for row in connection.execute(f"SELECT * FROM main.{table.name} WHERE {condition}", values).fetchall():
            key = tuple(row[column] for column in table.primary_key)
            if key not in found.setdefault(table.name, set()):
                found[table.name].add(key)
                waiting.append((table, row))

    for table in known.values():
        own = {columns[0][0] for parent, columns in table.parents if parent in THINGS and len(columns) == 1}
        if table.name in THINGS:
            own.add(table.primary_key[0])
        for column in own:
            for thing in things:
                take(table, f"{column} = ?", [thing])
    while waiting:
        table, row = waiting.pop()
        for parent, columns in table.parents:
            wanted = [row[column] for column, _ in columns]
            if parent in known and None not in wanted:
                take(known[parent], " AND ".join(f"{theirs} = ?" for _, theirs in columns), wanted)
    return found


def _values(
    connection: sqlite3.Connection, table: Table, keys: Sequence[tuple[object, ...]]
) -> dict[str, dict[str, object]]:
    """Key as the journal writes it -> the row's columns that are journalled."""
    hidden = UNJOURNALLED_COLUMNS.get(table.name, frozenset())
    same = " AND ".join(f"{column} = ?" for column in table.primary_key)
    found = {}
    for key in keys:
        row = connection.execute(f"SELECT * FROM main.{table.name} WHERE {same}", key).fetchone()
        found[json.dumps(list(key), ensure_ascii=False, separators=(",", ":"))] = {
            column: row[column] for column in table.columns if column not in hidden
        }
    return found
