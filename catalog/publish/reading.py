"""The public copy, opened for reading: one connection, one method a question the pages ask."""

import json
import sqlite3
from collections.abc import Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

from catalog.errors import TirageError
from catalog.publish import search

Row = dict[str, Any]

DATABASE = "public.db"
PICTURES = "pictures"
# What every public copy holds, those made by an earlier version too; a new one may take the place of any of them.
FIRST_TABLES = frozenset(
    ["site", "series", "negative", "picture", "edition", "edition_number", "print", "step", "certificate", "search"]
)
TABLES = FIRST_TABLES | {"key", "edition_erratum"}
NEWEST_COLUMNS = frozenset(["protection", "hypo_doubts", "silver_doubts", "claims"])  # of prints; none in older copies
PRINT_COLUMNS = "SELECT name FROM pragma_table_info('print')"

SITE = "SELECT name, value FROM site"
PICTURE_FILES = "SELECT file FROM picture UNION SELECT small FROM picture"

# Columns carry NOCASE only where they are keys: the key stands left of "=", so that its index is the one used.
SERIES = """
SELECT series.*, (SELECT count(*) FROM negative WHERE negative.series = series.id) AS negatives
  FROM series ORDER BY series.position, series.id"""
ONE_SERIES = "SELECT * FROM series WHERE slug = ?"

WALL_COLUMNS = """
SELECT negative.code, negative.title, negative.made, negative.process,
       picture.file, picture.small, picture.width, picture.height, picture.alt
  FROM negative LEFT JOIN picture ON picture.file = negative.picture"""
WALL_OF_SERIES = (
    WALL_COLUMNS
    + """
 WHERE negative.series = ? ORDER BY negative.position, negative.rowid LIMIT ? OFFSET ?"""
)
WALL_OUTSIDE = (
    WALL_COLUMNS
    + """
 WHERE negative.series IS NULL ORDER BY negative.position, negative.rowid LIMIT ? OFFSET ?"""
)
WALL_OF_ALL = WALL_COLUMNS + " ORDER BY negative.rowid LIMIT ? OFFSET ?"

NEGATIVE = """
SELECT negative.*, series.slug AS series_slug, series.title AS series_title,
       picture.file, picture.small, picture.width, picture.height, picture.alt
  FROM negative LEFT JOIN series ON series.id = negative.series
       LEFT JOIN picture ON picture.file = negative.picture
 WHERE negative.code = ?"""

EDITION_COLUMNS = """
SELECT edition.*, negative.title AS negative_title, negative.made AS negative_made,
       picture.file, picture.small, picture.width, picture.height, picture.alt,
       (SELECT count(*) FROM edition_number WHERE edition_number.edition = edition.code
           AND edition_number.standing = 'available') AS available
  FROM edition JOIN negative ON negative.code = edition.negative
       LEFT JOIN picture ON picture.file = negative.picture"""
EDITION = EDITION_COLUMNS + " WHERE edition.code = ?"
EDITIONS_OF = EDITION_COLUMNS + " WHERE edition.negative = ? ORDER BY edition.position, edition.rowid"
EDITIONS = EDITION_COLUMNS + " ORDER BY edition.rowid LIMIT ? OFFSET ?"

OTHERS_OF = EDITION_COLUMNS + " WHERE edition.negative = ? AND edition.code <> ? ORDER BY edition.position"
ERRATA = "SELECT happened, text FROM edition_erratum WHERE edition = ? ORDER BY position"

NUMBERS = """
SELECT kind, number, label, standing, print, position FROM edition_number
 WHERE edition = ? ORDER BY position, kind, number LIMIT ? OFFSET ?"""
STANDINGS = "SELECT standing, count(*) AS amount FROM edition_number WHERE edition = ? GROUP BY standing"

PRINT = """
SELECT print.*, edition.title AS edition_title, edition.statement, edition.process, edition.ended AS edition_ended,
       negative.title AS negative_title, negative.made AS negative_made, negative.made_where,
       picture.file, picture.small, picture.width, picture.height, picture.alt,
       (SELECT later.code FROM print AS later WHERE later.replaces = print.code AND later.replaces <> '') AS replaced_by
  FROM print JOIN edition ON edition.code = print.edition JOIN negative ON negative.code = print.negative
       LEFT JOIN picture ON picture.file = negative.picture
 WHERE print.code = ?"""
PRINTS = """
SELECT print.code, print.designation, print.made, print.standing, print.grade, print.rowid AS place,
       negative.title AS negative_title, edition.code AS edition
  FROM print JOIN edition ON edition.code = print.edition JOIN negative ON negative.code = print.negative
 WHERE print.rowid > ? ORDER BY print.rowid LIMIT ?"""
STEPS = "SELECT happened, kind, detail FROM step WHERE print = ? ORDER BY position"

CERTIFICATE = """
SELECT certificate.*, print.designation, print.edition, negative.title AS negative_title,
       coalesce((SELECT holder FROM key WHERE key.thumbprint = certificate.thumbprint), '') AS holder
  FROM certificate JOIN print ON print.code = certificate.print JOIN negative ON negative.code = print.negative
 WHERE certificate.code = ?"""
CERTIFICATES_OF = "SELECT code, issued, standing, superseded_by FROM certificate WHERE print = ? ORDER BY rowid"

KEYS = "SELECT thumbprint, x, holder, since, ended, last_day FROM key ORDER BY rowid"
ENDED = """SELECT code, replace(fingerprint, ' ', '') AS digest, standing, superseded_by FROM certificate
    WHERE standing <> 'valid' ORDER BY rowid"""

ONE_CODE = {
    "N": "SELECT code FROM negative WHERE code = ?",
    "E": "SELECT code FROM edition WHERE code = ?",
    "P": "SELECT code FROM print WHERE code = ?",
    "C": "SELECT code FROM certificate WHERE code = ?",
}
# What stands beside search results of a kind whose codes are the one value, as JSON.
BESIDE = {
    "negative": """SELECT code, title, small, alt FROM negative
        LEFT JOIN picture ON picture.file = negative.picture WHERE code IN (SELECT value FROM json_each(?))""",
    "edition": """SELECT edition.code, edition.title, small, alt
        FROM edition JOIN negative ON negative.code = edition.negative
        LEFT JOIN picture ON picture.file = negative.picture WHERE edition.code IN (SELECT value FROM json_each(?))""",
    "print": """SELECT print.code, negative.title, small, alt
        FROM print JOIN negative ON negative.code = print.negative
        LEFT JOIN picture ON picture.file = negative.picture WHERE print.code IN (SELECT value FROM json_each(?))""",
}


class NoPublicCopy(TirageError):  # noqa: N818 - reads as a sentence where it is raised
    """A folder that was to be served holds no public copy, or one that cannot be read."""

    def __init__(self, folder: Path, found: str) -> None:
        self.folder, self.found = folder, found
        super().__init__(
            f"“{folder}” {found}; expected a folder made by `tirage publish`, holding {DATABASE} and {PICTURES}/. "
            "Publish first, then browse that folder."
        )


def as_dict(cursor: sqlite3.Cursor, values: tuple[Any, ...]) -> Row:
    """A row by column name; of two columns with one name the later wins."""
    return {column[0]: value for column, value in zip(cursor.description, values, strict=True)}


class PublicCopy:
    """The tables of one `public.db`, read-only; raises NoPublicCopy when the folder holds none.

    The file is opened as immutable: publishing again puts a new file beside it and renames, so what is open here
    stays whole until the site is started again.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.database = folder / DATABASE
        self.pictures = folder / PICTURES
        if not self.database.is_file():
            raise NoPublicCopy(folder, "is not there" if not folder.exists() else f"holds no {DATABASE}")
        try:
            # The site answers from one event loop; its thread may differ from the one that builds the application.
            self.connection = sqlite3.connect(
                f"{self.database.resolve().as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False
            )
            present = {name for (name,) in self.connection.execute("SELECT name FROM sqlite_schema WHERE type='table'")}
            columns = {name for (name,) in self.connection.execute(PRINT_COLUMNS)}
        except sqlite3.DatabaseError as problem:
            raise NoPublicCopy(folder, f"holds a {DATABASE} that cannot be read ({problem})") from problem
        if TABLES - present or NEWEST_COLUMNS - columns:
            raise NoPublicCopy(
                folder, f"holds a {DATABASE} without the tables of a public copy, or those of an older one"
            )
        self.connection.row_factory = as_dict
        self.connection.execute(search.WORDS_TABLE)
        self.connection.execute("PRAGMA query_only = ON")
        self.site: dict[str, str] = {row["name"]: row["value"] for row in self.rows(SITE)}
        self.files: frozenset[str] = frozenset(row["file"] for row in self.rows(PICTURE_FILES))

    @cached_property
    def words(self) -> list[str]:
        """Every word of the search index, in order."""
        return [row["term"] for row in self.rows(search.WORDS)]

    def rows(self, sql: str, *values: Any) -> list[Row]:
        """All rows of a query."""
        return self.connection.execute(sql, values).fetchall()

    def row(self, sql: str, *values: Any) -> Row | None:
        """The first row of a query, or None."""
        found: Row | None = self.connection.execute(sql, values).fetchone()
        return found

    def code(self, letter: str, code: str) -> str | None:
        """The code as it is recorded (N, E, P or C), compared without case; None when nothing shown bears it."""
        found = self.row(ONE_CODE[letter], code)
        return found["code"] if found else None

    def beside(self, kind: str, codes: Sequence[str]) -> dict[str, Row]:
        """Title, small picture and alternative text shown beside search results, by code; none for other kinds."""
        return {row["code"]: row for row in self.rows(BESIDE[kind], json.dumps(codes))} if kind in BESIDE else {}
