"""Guard triggers: what plain SQL, foreign keys off, must not do to any table.

They are made from the schema itself, so that no table or unique index can be forgotten: keys are not taken twice
(also not by INSERT OR REPLACE and UPDATE OR REPLACE, which pass a no-delete trigger), keys never change, parents
exist, rows are not deleted, append-only rows not altered, and every change is journalled. While a command is being
taken back, exactly the recorded earlier values may return and exactly its new rows may go.
"""

import re
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass

from catalog.store import waiting_list
from catalog.store.journal import FINAL_TABLES, KEPT_TABLES

UNGUARDED = frozenset({"undoing"})
# What follows from other rows alone, each with the view that says what it holds: proved by them, not by the journal.
DERIVED = {waiting_list.TABLE: waiting_list.VIEW}
UNJOURNALLED = frozenset({"journal", "journal_seal", "undoing"}) | DERIVED.keys()
APPEND_ONLY = frozenset({
    "catalog", "code", "item", "correction", "negative_event", "edition_price", "residual_test", "movement",
    "artist_key", "artist_key_end", "certificate", "certificate_event", "edition_erratum", "edition_event", "journal",
    "journal_seal", "bath_event", "calibration", "calibration_point", "recipe", "recipe_exposure", "density",
    "import_file", "import_row",
})  # fmt: skip
# Kept out of the journal, so that a contact can be forgotten; the digest stays.
UNJOURNALLED_COLUMNS = {"party_contact": frozenset({"value", "salt"})}
# Papers may have gone out, codes are never given twice: not even the newest command takes these rows back.
FINAL = KEPT_TABLES | FINAL_TABLES.keys()
DELETABLE = frozenset({"party_contact"})
UNDOING = "EXISTS (SELECT 1 FROM undoing)"
TAKEN = "this key is taken, and is not taken over"
FOLLOWS = "it follows from what is recorded, and is not written by hand"

GENERATED = """SELECT name FROM sqlite_master WHERE type = 'trigger' AND (name GLOB 'guard_*' OR name GLOB 'journal_*'
    OR name GLOB 'waiting_*')"""


@dataclass(frozen=True)
class Table:
    """What the guards need to know of one table."""

    name: str
    columns: tuple[str, ...]
    primary_key: tuple[str, ...]
    uniques: tuple[tuple[tuple[tuple[str, str], ...], str], ...]  # ((column, collation), ...), condition
    parents: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]  # parent, ((column, parent column), ...)


def tables(connection: sqlite3.Connection) -> list[Table]:
    """Every table of the schema, in order of name."""
    names = [
        row[0]
        for row in connection.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
        )
    ]
    return [_table(connection, name) for name in names]


def _table(connection: sqlite3.Connection, name: str) -> Table:
    info = connection.execute(f"PRAGMA table_info({name})").fetchall()
    key = tuple(row[1] for row in sorted(info, key=lambda row: row[5]) if row[5])
    uniques: list[tuple[tuple[tuple[str, str], ...], str]] = []
    if len(key) == 1:
        uniques.append((((key[0], "BINARY"),), ""))  # an INTEGER PRIMARY KEY has no index in the list
    for index in connection.execute(f"PRAGMA index_list({name})").fetchall():
        if not index[2]:
            continue
        columns = tuple(
            (row[2], row[4]) for row in connection.execute(f"PRAGMA index_xinfo({index[1]})").fetchall() if row[5]
        )
        # The key of a table without row numbers is no index of its own in the schema.
        row = connection.execute("SELECT sql FROM sqlite_master WHERE name = ?", (index[1],)).fetchone()
        sql = (row[0] if row else None) or ""
        uniques.append((columns, sql.split(" WHERE ", 1)[1] if " WHERE " in sql else ""))
    parents: dict[int, tuple[str, list[tuple[str, str]]]] = {}
    for row in connection.execute(f"PRAGMA foreign_key_list({name})").fetchall():
        parents.setdefault(row[0], (row[2], []))[1].append((row[3], row[4]))
    return Table(
        name,
        tuple(row[1] for row in info),
        key,
        tuple(uniques),
        tuple((parent, tuple(columns)) for _, (parent, columns) in sorted(parents.items())),
    )


def _taken(table: Table, columns: tuple[tuple[str, str], ...], condition: str, other: str) -> str:
    match = " AND ".join(f"o.{column} = NEW.{column} COLLATE {collation}" for column, collation in columns)
    mine = theirs = ""
    if condition:
        pattern = re.compile(r"\b(" + "|".join(table.columns) + r")\b")
        mine = "(" + pattern.sub(r"NEW.\1", condition) + ") AND "
        theirs = " AND (" + pattern.sub(r"o.\1", condition) + ")"
    return f"{mine}EXISTS (SELECT 1 FROM {table.name} o WHERE {match}{theirs}{other})"


def _orphaned(parent: str, columns: tuple[tuple[str, str], ...]) -> str:
    known = " AND ".join(f"NEW.{column} IS NOT NULL" for column, _ in columns)
    match = " AND ".join(f"o.{theirs} = NEW.{column}" for column, theirs in columns)
    return f"({known}) AND NOT EXISTS (SELECT 1 FROM {parent} o WHERE {match})"


def _object(table: Table, row: str) -> str:
    hidden = UNJOURNALLED_COLUMNS.get(table.name, frozenset())
    return "json_object(" + ", ".join(f"'{c}', {row}.{c}" for c in table.columns if c not in hidden) + ")"


def _key(table: Table, row: str) -> str:
    return "json_array(" + ", ".join(f"{row}.{column}" for column in table.primary_key) + ")"


def _recorded(table: Table, before: str) -> str:
    return (
        f"EXISTS (SELECT 1 FROM undoing u JOIN journal_seal s ON s.id = u.seal JOIN journal j "
        f"ON j.id BETWEEN s.first AND s.last WHERE j.tbl = '{table.name}' AND j.key = {_key(table, 'OLD')} "
        f"AND {before})"
    )


def _as_before(table: Table, added: Mapping[str, str]) -> str:
    """That NEW is as the journal has it; a column that came later and is not in it stands at its default."""
    if not added:
        return f"j.before = {_object(table, 'NEW')}"
    same = [f"json_extract(j.before, '$.{c}') IS NEW.{c}" for c in table.columns if c not in added]
    same += [
        f"NEW.{c} IS CASE WHEN json_type(j.before, '$.{c}') IS NULL THEN {default} "
        f"ELSE json_extract(j.before, '$.{c}') END"
        for c, default in added.items()
    ]
    return " AND ".join(same)


def _cases(table: Table, cases: list[tuple[str, str]]) -> str:
    whens = "\n".join(
        f"  WHEN {condition} THEN RAISE(ABORT, '{table.name}: {message}')" for condition, message in cases
    )
    return f"BEGIN SELECT CASE\n{whens}\nEND; END"


def guard_statements(table: Table, added: Mapping[str, str]) -> list[str]:
    """The CREATE TRIGGER statements that guard and journal one table; `added` as migrations.added_columns has it."""
    statements = []
    if table.name not in UNGUARDED:
        statements += [
            _trigger(table, "INSERT", _insert_cases(table)),
            _trigger(table, "UPDATE", _update_cases(table, added)),
        ]
        if table.name not in DELETABLE:
            statements.append(_trigger(table, "DELETE", _delete_cases(table)))
    if table.name not in UNJOURNALLED:
        statements += _journal_statements(table)
    return statements


def _trigger(table: Table, event: str, cases: list[tuple[str, str]]) -> str:
    return f"CREATE TRIGGER guard_{event.lower()}_{table.name} BEFORE {event} ON {table.name}\n" + _cases(table, cases)


def _insert_cases(table: Table) -> list[tuple[str, str]]:
    """What a new row must not do, each with its message."""
    cases = [(_taken(table, columns, condition, ""), TAKEN) for columns, condition in table.uniques]
    cases += _orphans(table)
    if table.name in DERIVED:
        cases.append((f"NOT {_followed(table, 'NEW')}", FOLLOWS))
    if table.name not in UNJOURNALLED:
        cases.append((UNDOING, "nothing new is written while a command is taken back"))
    return cases


def _update_cases(table: Table, added: Mapping[str, str]) -> list[tuple[str, str]]:
    """What a changed row must not do."""
    changed = " OR ".join(f"OLD.{column} IS NOT NEW.{column}" for column in table.primary_key)
    cases = [(changed, "a key never changes")]
    if table.name in APPEND_ONLY:
        return [*cases, ("1", "its rows are never altered")]
    cases += [
        (_taken(table, columns, condition, " AND o.rowid <> OLD.rowid"), TAKEN)
        for columns, condition in table.uniques
        if tuple(c for c, _ in columns) != table.primary_key
    ]
    recorded = _recorded(table, _as_before(table, added))
    return [*cases, *_orphans(table), (f"{UNDOING} AND NOT {recorded}", "only what was recorded comes back")]


def _delete_cases(table: Table) -> list[tuple[str, str]]:
    """When a row stays: always, but for a new row of the command that is being taken back, and what follows no more."""
    if table.name in DERIVED:
        return [(_followed(table, "OLD"), FOLLOWS)]
    kept = table.name in UNJOURNALLED or table.name in FINAL
    return [(f"NOT {'0' if kept else _recorded(table, 'j.before IS NULL')}", "nothing is deleted")]


def _followed(table: Table, row: str) -> str:
    match = " AND ".join(f"o.{column} = {row}.{column}" for column in table.primary_key)
    return f"EXISTS (SELECT 1 FROM {DERIVED[table.name]} o WHERE {match})"


def _orphans(table: Table) -> list[tuple[str, str]]:
    return [(_orphaned(*parent), f"there is no such {parent[0]}") for parent in table.parents]


def _journal_statements(table: Table) -> list[str]:
    """The triggers that write every change of a table into the journal."""
    return [
        f"CREATE TRIGGER journal_{event.lower()}_{table.name} AFTER {event} ON {table.name}\n"
        f"BEGIN INSERT INTO journal (tbl, key, before, after) "
        f"VALUES ('{table.name}', {_key(table, key)}, {before}, {after}); END"
        for event, key, before, after in (
            ("INSERT", "NEW", "NULL", _object(table, "NEW")),
            ("UPDATE", "OLD", _object(table, "OLD"), _object(table, "NEW")),
            ("DELETE", "OLD", _object(table, "OLD"), "NULL"),
        )
    ]


def renew(connection: sqlite3.Connection, added: Mapping[str, Mapping[str, str]]) -> None:
    """Drop every generated trigger and make it again from the schema as it now is."""
    for (name,) in connection.execute(GENERATED).fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    for statement in waiting_list.trigger_statements(connection):
        connection.execute(statement)
    for table in tables(connection):
        for statement in guard_statements(table, added.get(table.name, {})):
            connection.execute(statement)
