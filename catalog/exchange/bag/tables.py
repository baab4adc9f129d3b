"""The tables of a catalog as files that any program reads: CSV for people, JSON to the letter; row by row."""

import sqlite3
from collections.abc import Callable, Iterator
from typing import TextIO

from catalog.exchange import cells
from catalog.exchange.bag.layout import JSON, TABLES
from catalog.exchange.bag.packing import Packing
from catalog.exchange.described import Column, Table

Count = Callable[[int], None]
STEP = 1_000  # rows read at a time: few, so that little is held and a progress bar moves


def count_rows(connection: sqlite3.Connection, tables: list[Table]) -> int:
    """How many rows there are in all."""
    return sum(connection.execute(f'SELECT count(*) FROM "{table.name}"').fetchone()[0] for table in tables)


def pack_table(packing: Packing, connection: sqlite3.Connection, table: Table, counted: Count) -> None:
    """Write one table as CSV and as JSON, in order of its key. `counted` is called with rows done, of both together."""
    with packing.text(f"{TABLES}/{table.name}.csv") as file:
        write_csv(file, connection, table, counted)
    with packing.text(f"{JSON}/{table.name}.json") as file:
        _write_json(file, connection, table, counted)


def write_csv(file: TextIO, connection: sqlite3.Connection, table: Table, counted: Count) -> None:
    """One table as CSV; see `cells` for how a value stands there."""
    shown = ", ".join(_cell(column) for column in table.columns)
    rows = _plain(connection, f'SELECT {shown} FROM "{table.name}" ORDER BY {table.order}')
    cells.write_rows(file, [column.name for column in table.columns], _counted(rows, counted))


def _write_json(file: TextIO, connection: sqlite3.Connection, table: Table, counted: Count) -> None:
    """One table as a JSON array of objects, one a line."""
    values = ", ".join(f"'{column.name}', \"{column.name}\"" for column in table.columns)
    rows = _plain(connection, f'SELECT json_object({values}) FROM "{table.name}" ORDER BY {table.order}')
    between = "[\n"
    for row in _counted(rows, counted):
        file.write(between)
        file.write(str(row[0]))
        between = ",\n"
    file.write("[]\n" if between == "[\n" else "\n]\n")


def _cell(column: Column) -> str:
    name = f'"{column.name}"'
    return name if column.type == "INTEGER" else cells.written_in_sql(name, column.nullable)


def _plain(connection: sqlite3.Connection, sql: str) -> sqlite3.Cursor:
    cursor = connection.cursor()
    cursor.row_factory = None  # tuples, as the csv module takes them quickest
    return cursor.execute(sql)


def _counted(rows: sqlite3.Cursor, counted: Count) -> Iterator[tuple[object, ...]]:
    while batch := rows.fetchmany(STEP):
        yield from batch
        counted(len(batch))
