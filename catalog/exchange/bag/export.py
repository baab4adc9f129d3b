"""Exporting: the catalog is copied in one step, checked, written out table by table, and stands there whole or not."""

import os
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from catalog import __version__
from catalog.exchange import schema_pages
from catalog.exchange.bag import layout, lists, read_me, signed_papers, tables
from catalog.exchange.bag.csv_metadata import metadata
from catalog.exchange.bag.errors import DamagedCatalogError, FolderTakenError, NotWrittenError
from catalog.exchange.bag.packing import Packing
from catalog.exchange.bag.pictures import pack_pictures
from catalog.exchange.described import described
from catalog.records import catalogs
from catalog.rules.checks.certificates import certificates_hold, seals_of_certificates
from catalog.rules.checks.findings import Finding, Subject
from catalog.rules.checks.pictures import pictures_unchanged
from catalog.rules.checks.tampering import (
    file_whole,
    journal_whole,
    rows_as_journalled,
    schema_as_shipped,
    unreadable_texts,
)
from catalog.rules.checks.waiting import waiting_as_recorded
from catalog.store import journal, migrations
from catalog.store.connection import DATABASE
from catalog.whole_files import growing_folder, open_plain

# What makes a catalog one that may be handed on; what else `check` finds is the story it tells.
ON_THE_FILE = (file_whole,)
ON_THE_COPY = (
    unreadable_texts, schema_as_shipped, journal_whole, rows_as_journalled, certificates_hold, seals_of_certificates,
    waiting_as_recorded, pictures_unchanged,
)  # fmt: skip
PRIVATE = (
    "PRIVATE: it names buyers with their addresses, prices and places. Not to be published. Private keys are not in it."
)
Progress = Callable[[int, int], None]


@dataclass
class Packed:
    """A bag that was written: how many tables, rows, pictures and bytes, what was left out, what was not whole."""

    tables: int = 0
    rows: int = 0
    pictures: int = 0
    certificates: int = 0
    oxum: str = ""
    left_out: list[str] = field(default_factory=list)
    findings: list[str] = field(default_factory=list)


def export_bag(
    connection: sqlite3.Connection,
    catalog: Path,
    target: Path,
    now: datetime,
    *,
    anyway: bool = False,
    progress: Progress | None = None,
) -> Packed:
    """Pack the open catalog in folder `catalog` into the new folder `target`; `progress(done, all)` counts rows.

    With `anyway` a catalog that is not whole is packed as it is, and the bag says so. Raises FolderTakenError,
    DamagedCatalogError, NotWrittenError.
    """
    target = Path(os.path.abspath(target))
    if target.exists() or target.is_symlink():
        raise FolderTakenError(target)
    if target.is_relative_to(os.path.abspath(catalog / layout.PICTURES)):
        raise NotWrittenError(target, "it lies in pictures/, which goes into the bag")
    findings = findings_of(ON_THE_FILE, Subject(connection, catalog, now))
    if findings and not anyway:
        raise DamagedCatalogError(findings)
    try:
        with growing_folder(target) as work:
            return _pack(connection, catalog, work, now, findings, anyway, progress or (lambda done, total: None))
    except (OSError, sqlite3.OperationalError) as problem:
        raise NotWrittenError(target, getattr(problem, "strerror", None) or str(problem)) from problem


def _pack(
    connection: sqlite3.Connection,
    catalog: Path,
    work: Path,
    now: datetime,
    findings: list[str],
    anyway: bool,
    progress: Progress,
) -> Packed:
    packing, packed = Packing(work), Packed()
    copy = _copied(connection, work / layout.DATA / DATABASE)
    try:
        packed.findings = findings + findings_of(ON_THE_COPY, Subject(copy, catalog, now))
        if packed.findings and not anyway:
            raise DamagedCatalogError(packed.findings)
        packing.adopt(DATABASE)
        _pack_tables(packing, copy, packed, progress)
        lists.pack_lists(packing, copy)
        for name, text in schema_pages.pages(copy).items():
            packing.add_text(f"{layout.SCHEMA}/{name}", text)
        packed.certificates = copy.execute("SELECT count(*) FROM certificate").fetchone()[0]
        signed_papers.pack_certificates(packing, copy, catalog)
        signed_papers.pack_keys(packing, copy)
        packed.pictures, packed.left_out = pack_pictures(packing, catalog)
        if (catalog / layout.SETTINGS).is_file():
            with open_plain(catalog / layout.SETTINGS, follow=True) as settings:
                packing.add_file(layout.SETTINGS, settings)
        packing.add_text(layout.READ_ME, read_me.read_me(copy, packed.findings))
        packed.oxum = packing.oxum
        packing.seal(_info(copy, packing, now))
    finally:
        copy.close()
    return packed


def _copied(connection: sqlite3.Connection, target: Path) -> sqlite3.Connection:
    """A compact copy of the open catalog, taken in one step, to be read; what ANALYZE keeps is left out.

    The same catalog gives the same bytes: SQLite counts in the file how often its schema was changed, and that is set.
    """
    only_reads = connection.execute("PRAGMA query_only").fetchone()[0]
    connection.execute("PRAGMA query_only = OFF")
    try:
        connection.execute("VACUUM INTO ?", (str(target),))
    finally:
        connection.execute(f"PRAGMA query_only = {only_reads}")
    copy = sqlite3.connect(target, isolation_level=None)
    statistics = [part.name for part in migrations.STATISTICS]
    marks = ", ".join("?" * len(statistics))
    found = copy.execute(f"SELECT name FROM sqlite_schema WHERE name IN ({marks})", statistics).fetchall()
    for (name,) in found:
        copy.execute(f"DROP TABLE {name}")
    if found:
        copy.execute("VACUUM")
    copy.execute("PRAGMA schema_version = 1")
    copy.close()
    opened = sqlite3.connect(f"{target.as_uri()}?mode=ro&immutable=1", uri=True, isolation_level=None)
    opened.row_factory = sqlite3.Row
    return opened


def findings_of(looks: tuple[Callable[[Subject], Iterator[Finding]], ...], subject: Subject) -> list[str]:
    """What makes the catalog not whole, in sentences."""
    found: dict[str, None] = {}
    for look in looks:
        try:
            for one in look(subject):
                if one.severity == "error":
                    found[one.sentence] = None
        except (sqlite3.DatabaseError, ValueError, LookupError, TypeError) as error:
            found[f"The file is damaged: {error}."] = None
    return list(found)


def _pack_tables(packing: Packing, copy: sqlite3.Connection, packed: Packed, progress: Progress) -> None:
    found = described(copy)
    packed.tables, packed.rows = len(found), tables.count_rows(copy, found)
    done = 0

    def counted(rows: int) -> None:
        nonlocal done
        done += rows
        progress(done, 2 * packed.rows)  # once as CSV, once as JSON

    for table in found:
        tables.pack_table(packing, copy, table, counted)
    packing.add_text(layout.METADATA, metadata(found))


def _info(copy: sqlite3.Connection, packing: Packing, now: datetime) -> dict[str, str]:
    artist = catalogs.artist(copy)
    return {
        "Source-Organization": artist.name,
        "External-Description": f"The whole catalog of {artist.name}: plates, editions, prints, how they were made, "
        f"tested and sold. Begin with {layout.DATA}/{layout.READ_ME}.",
        "Internal-Sender-Description": PRIVATE,
        "Internal-Sender-Identifier": f"journal sealed by {journal.last_digest(copy)}",
        "Bagging-Date": now.date().isoformat(),
        "Bag-Software-Agent": f"tirage {__version__}",
        "Payload-Oxum": packing.oxum,
        layout.FORMAT_LABEL: layout.FORMAT,
        layout.SCHEMA_LABEL: str(migrations.version_of(copy)),
    }
