"""Bringing a bag back: looked through, rebuilt from its open tables, proved, compared with the database beside them."""

import os
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from itertools import zip_longest
from pathlib import Path

from catalog.exchange.bag import layout, tables
from catalog.exchange.bag.errors import ForeignBagError, NewerBagError, NotProvedError, NotWrittenError
from catalog.exchange.bag.export import ON_THE_COPY, ON_THE_FILE, findings_of
from catalog.exchange.bag.loading import load
from catalog.exchange.bag.signed_papers import OUT
from catalog.exchange.bag.validation import ValidBag, validate
from catalog.exchange.described import Table, described
from catalog.rules.checks.findings import Subject
from catalog.store import connection as store
from catalog.store import migrations
from catalog.whole_files import copy_into, growing_folder, new_file, open_plain

TABLE_FILES = (".csv", ".tsv", ".xlsx")
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Rebuilt:
    """A catalog that came out of a bag: its rows, pictures and papers, the schema it had, what does not hold."""

    rows: int
    pictures: int
    papers: int
    schema: int
    findings: tuple[str, ...]


def import_bag(
    bag: Path,
    target: Path,
    now: datetime,
    *,
    anyway: bool = False,
    looked: Progress = lambda done, total: None,
    loaded: Progress = lambda done, total: None,
) -> Rebuilt:
    """Rebuild the catalog of a bag in `target`, a new or an empty folder; whole, or not at all.

    `looked(bytes done, all)` while it is looked through, `loaded` alike while it is rebuilt. With `anyway` a catalog
    that does not prove itself is made all the same. Raises FolderNotEmptyError, NotABagError, ForeignBagError,
    NewerBagError, NotRebuiltError, NotProvedError, NotWrittenError.
    """
    target = Path(os.path.abspath(target))
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise store.FolderNotEmptyError(target)
    valid = validate(bag, looked)
    schema = _schema(valid)
    try:
        with growing_folder(target) as work:
            return _rebuild(valid, work, schema, now, anyway, loaded)
    except OSError as problem:
        raise NotWrittenError(target, problem.strerror or str(problem)) from problem


def _schema(bag: ValidBag) -> int:
    """The schema of a bag of ours. Raises ForeignBagError, NewerBagError."""
    kind, schema = bag.info.get(layout.FORMAT_LABEL, ""), bag.info.get(layout.SCHEMA_LABEL, "")
    if kind != layout.FORMAT or not schema.isdecimal() or not schema.isascii() or int(schema) < 1:
        found = [str(bag.folder / name) for name in bag.payload if name.lower().endswith(TABLE_FILES)]
        raise ForeignBagError(bag.folder, found)
    if int(schema) > migrations.SCHEMA_VERSION:
        raise NewerBagError(bag.folder, schema)
    return int(schema)


def _rebuild(bag: ValidBag, work: Path, schema: int, now: datetime, anyway: bool, loaded: Progress) -> Rebuilt:
    connection = _new_database(work / store.DATABASE)
    try:
        connection.execute("BEGIN")
        load(connection, bag.folder, schema, loaded)
        connection.execute("COMMIT")
        pictures, papers = _bring_files(bag, work)
        found = findings_of(ON_THE_FILE + ON_THE_COPY, Subject(connection, work, now))
        if schema == migrations.SCHEMA_VERSION:  # an older one was migrated, and is another file now
            found += _differences(connection, bag.folder)
        if found and not anyway:
            raise NotProvedError(bag.folder, found)
        rows = tables.count_rows(connection, described(connection))
    finally:
        connection.close()
    return Rebuilt(rows, pictures, papers, schema, tuple(found))


def _new_database(path: Path) -> sqlite3.Connection:
    new_file(path).close()
    connection = sqlite3.connect(path, isolation_level=None)
    connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA journal_mode = OFF")  # it stands under no name yet: what fails is thrown away whole
    connection.execute("PRAGMA synchronous = OFF")
    return connection


def _bring_files(bag: ValidBag, work: Path) -> tuple[int, int]:
    """Pictures, papers of certificates and settings, each where a catalog has it; how many pictures and papers."""
    pictures = papers = 0
    (work / layout.PICTURES).mkdir()
    (work / OUT).mkdir()
    for name in bag.payload:
        inside = Path(name).relative_to(layout.DATA)
        if inside.parts[0] == layout.PICTURES and len(inside.parts) > 1:
            _copy(bag.folder / name, work / inside)
            pictures += 1
        elif inside.parts[0] == layout.CERTIFICATES and inside.suffix == ".pdf" and len(inside.parts) == 3:
            _copy(bag.folder / name, work / OUT / inside.name)
            papers += 1
    if f"{layout.DATA}/{layout.SETTINGS}" in bag.payload:
        _copy(bag.folder / layout.DATA / layout.SETTINGS, work / layout.SETTINGS)
    return pictures, papers


def _copy(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    with open_plain(source) as given, new_file(target) as file:
        copy_into(given, file)


def _differences(connection: sqlite3.Connection, bag: Path) -> list[str]:
    """Where the database file of a bag says something else than its tables, in sentences; none where it has none."""
    path = bag / layout.DATA / store.DATABASE
    if not path.is_file():
        return []
    other = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True, isolation_level=None)
    try:
        other.execute("PRAGMA trusted_schema = OFF")  # it came from outside: nothing in it is run
        if migrations.schema(other) != migrations.shipped_schema():  # a view in a table's place may have no end
            return [f"Its {store.DATABASE} has other tables, views or triggers than a catalog has, and was not read."]
        return [
            f"The table {table.name} and the same table in its {store.DATABASE} do not say the same."
            for table in described(connection)
            if not _agree(connection, other, table)
        ]
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:  # SQLite quotes a damaged schema as it is
        return [f"Its {store.DATABASE} cannot be read ({error})."]
    finally:
        other.close()


def _agree(connection: sqlite3.Connection, other: sqlite3.Connection, table: Table) -> bool:
    names = ", ".join(f'"{column.name}"' for column in table.stored)
    read = f'SELECT {names} FROM "{table.name}" ORDER BY {table.order}'
    pairs = zip_longest(connection.execute(read), other.execute(read))
    return all(mine is not None and theirs is not None and tuple(mine) == tuple(theirs) for mine, theirs in pairs)
