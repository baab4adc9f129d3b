"""Rows turned into frozen records."""

import sqlite3
from collections.abc import Sequence
from typing import TypeVar

Record = TypeVar("Record")


def fetch_all(
    connection: sqlite3.Connection, record: type[Record], sql: str, values: Sequence[object] = ()
) -> list[Record]:
    """Every row of a query as a record whose fields are the query's columns in order."""
    return [record(*row) for row in connection.execute(sql, values)]


def fetch_one(
    connection: sqlite3.Connection, record: type[Record], sql: str, values: Sequence[object] = ()
) -> Record | None:
    """The first row of a query as a record, or None."""
    row = connection.execute(sql, values).fetchone()
    return record(*row) if row else None
