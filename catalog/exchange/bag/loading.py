"""The open tables of a bag as rows of a database again: our own schema, filled with its triggers laid aside."""

import csv
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from io import TextIOWrapper
from pathlib import Path

from catalog.exchange import cells
from catalog.exchange.bag.errors import NotRebuiltError
from catalog.exchange.bag.layout import DATA, TABLES
from catalog.exchange.described import SEQUENCES, Column, Table, described
from catalog.store import guards, migrations, waiting_list

# Views too, so that both come back in the order in which a catalog has them, and a bag of it is the same again.
LAID_ASIDE = "SELECT type, name, sql FROM sqlite_schema WHERE type IN ('trigger', 'view') ORDER BY rowid"
STEP = 1_000  # rows put in at a time
WHOLE_NUMBER = re.compile("-?[0-9]{1,19}")
Progress = Callable[[int, int], None]
Reading = Callable[[str], object]


def load(connection: sqlite3.Connection, bag: Path, schema: int, progress: Progress) -> None:
    """Fill a new database, inside the caller's transaction, from the CSV files of a bag of so old a schema.

    `progress(done, all)` counts bytes.

    Never with SQL out of the bag: the schema is the one this program ships, of that version, and is then brought to
    the newest as any catalog is. Triggers would journal every row a second time, so they are laid aside meanwhile.
    Raises NotRebuiltError.
    """
    for version in range(1, schema + 1):
        for statement in migrations.statements(version):
            connection.execute(statement)
    laid_aside = connection.execute(LAID_ASIDE).fetchall()
    for kind, name, _ in laid_aside:
        connection.execute(f"DROP {kind} {name}")
    found = described(connection)
    _refuse_others(bag, found)
    sizes = {table.name: _file(bag, table).stat().st_size for table in found}
    done, total = 0, sum(sizes.values())
    for table in found:
        for read in _load_table(connection, bag, table):
            progress(done + read, total)
        done += sizes[table.name]
    for _, _, sql in laid_aside:
        connection.execute(sql)
    connection.execute(f"PRAGMA application_id = {migrations.APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {schema}")
    guards.renew(connection, migrations.added_columns() if schema == migrations.SCHEMA_VERSION else {})
    migrations.migrate(connection)
    waiting_list.refill(connection)  # worked out, never taken from a bag


def _refuse_others(bag: Path, tables: list[Table]) -> None:
    """Refuse a bag with a table that its schema does not have, or without one that it has."""
    names = {f"{table.name}.csv" for table in tables}
    folder = bag / DATA / TABLES
    there = {path.name for path in folder.iterdir()} if folder.is_dir() else set()
    for name in sorted(names ^ there):
        what = "is missing" if name in names else "is no table of this schema"
        raise NotRebuiltError(bag, f"{DATA}/{TABLES}/{name} {what}.")


def _file(bag: Path, table: Table) -> Path:
    return bag / DATA / TABLES / f"{table.name}.csv"


def _load_table(connection: sqlite3.Connection, bag: Path, table: Table) -> Iterator[int]:
    """Load one table; how many bytes of its file are read, now and then."""
    line = 1
    try:
        with _file(bag, table).open("rb") as raw, TextIOWrapper(raw, encoding="utf-8", newline="") as file:
            rows = iter(cells.reader(file))
            if next(rows, []) != [column.name for column in table.columns]:
                raise NotRebuiltError(bag, f"{table.name}.csv has other columns than a table of its schema.")
            if table.name == SEQUENCES:
                connection.execute(f"DELETE FROM {SEQUENCES}")  # SQLite counted while the rows came in
            names = ", ".join(f'"{column.name}"' for column in table.stored)
            insert = f'INSERT INTO "{table.name}" ({names}) VALUES ({", ".join("?" * len(table.stored))})'
            readings = [None if column.is_worked_out else _reading(column) for column in table.columns]
            for batch in _batches(rows):
                connection.executemany(insert, [_values(readings, row) for row in batch])
                line += len(batch)
                yield raw.tell()
    except (sqlite3.Error, csv.Error, ValueError, OverflowError) as error:
        raise NotRebuiltError(bag, f"in {table.name}.csv, after row {line}, {error}.") from error


def _values(readings: list[Reading | None], row: list[str]) -> list[object]:
    """The stored values of a row. Raises ValueError where it has more or fewer cells than its heading."""
    return [read(cell) for read, cell in zip(readings, row, strict=True) if read]


def _batches(rows: Iterable[list[str]]) -> Iterator[list[list[str]]]:
    batch: list[list[str]] = []
    for row in rows:
        batch.append(row)
        if len(batch) == STEP:
            yield batch
            batch = []
    if batch:
        yield batch


def _reading(column: Column) -> Reading:
    if column.type == "INTEGER":
        return _whole_number
    return cells.text_or_none if column.nullable else cells.read


def _whole_number(cell: str) -> int | None:
    if cell and not WHOLE_NUMBER.fullmatch(cell):
        raise ValueError(f"“{cell[:40]}” is no whole number")
    return int(cell) if cell else None
