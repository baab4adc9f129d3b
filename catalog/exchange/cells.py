"""How a value stands in a cell of a CSV file: reversible, nothing told apart is lost, and no spreadsheet runs it.

A text that begins with one of `STARTS_FORMULA` is worked out as a formula by the usual spreadsheets, which can start
programs and send data (OWASP, “CSV Injection”; from memory, not confirmed). Such a text, and one that begins with an
apostrophe or reads like the mark for nothing, gets one apostrophe more in front; to read a cell, one apostrophe in
front is taken off. Missing values are an empty cell among numbers and `NOTHING` among texts, where an empty cell is an
empty text.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import TextIO

APOSTROPHE = "'"
NOTHING = "(none)"  # a missing text
# The last four are the full-width forms, which some spreadsheets take alike.
STARTS_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
ESCAPED = (*STARTS_FORMULA, APOSTROPHE)
LARGEST_CELL = 2**31 - 1  # characters; the csv module refuses more than 131,072 unless told


def written(text: str) -> str:
    """A text as it stands in a cell."""
    return APOSTROPHE + text if text.startswith(ESCAPED) or text == NOTHING else text


def read(cell: str) -> str:
    """The text that stands in a cell; the opposite of `written`."""
    return cell.removeprefix(APOSTROPHE)


def text_or_none(cell: str) -> str | None:
    """The text that stands in a cell of a column whose texts may be missing."""
    return None if cell == NOTHING else read(cell)


def written_in_sql(column: str, nullable: bool) -> str:
    """The SQL expression of a text column as it stands in a cell, so that a million rows are no work of Python's."""
    signs = ", ".join(f"char({ord(sign)})" for sign in ESCAPED)
    escaped = f"substr({column}, 1, 1) IN ({signs}) OR {column} = '{NOTHING}'"
    shown = f"CASE WHEN {escaped} THEN char({ord(APOSTROPHE)}) || {column} ELSE {column} END"
    return f"coalesce({shown}, '{NOTHING}')" if nullable else shown


def write_rows(file: TextIO, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """A heading and rows of finished cells, as RFC 4180 has it: CRLF, quotes where they are needed."""
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows(rows)


def reader(file: TextIO) -> Iterable[list[str]]:
    """The rows of such a file, the heading first; cells of any size."""
    csv.field_size_limit(LARGEST_CELL)
    return csv.reader(file, strict=True)


def table_text(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A whole small table as text; every text in it is defused."""
    file = io.StringIO(newline="")
    write_rows(file, head, ([written(cell) if isinstance(cell, str) else cell for cell in row] for row in rows))
    return file.getvalue()
