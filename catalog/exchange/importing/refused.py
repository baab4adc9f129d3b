"""The rows that were refused, kept as a table of their own that can be mended and brought in."""

import csv
import re
from collections.abc import Sequence
from io import StringIO
from pathlib import Path

from catalog.errors import TirageError
from catalog.exchange.importing.frame import Row
from catalog.exchange.importing.tables import REFUSED_LIST, Table
from catalog.whole_files import read_plain, write_whole

MOST = 1_000
LIST = re.compile(r"(.+)\.refused(?:-[0-9]+)?\.csv")  # as it is named here, with the name of the whole list
FORMULA = re.compile(r"=\s*[+-]?[A-Za-z][A-Za-z0-9._]*\s*\(.*", re.DOTALL)  # one that begins with a function
WORKBOOK = re.compile(r"\.xls[xm]\.refused", re.IGNORECASE)


class RefusedFileError(TirageError):
    """The rows that were refused cannot be written to a file of their own."""

    def __init__(self, file: str, reason: str) -> None:
        super().__init__(
            f"{file}, where the refused rows would be kept, cannot be written ({reason}). Nothing was added."
        )


def mind_formulas(row: Row, table: str) -> None:
    """Refuse a row of a refused list in which a formula still stands that no spreadsheet has worked out.

    In a workbook its row was refused for that, and here it would be a mere text.
    """
    if not REFUSED_LIST.fullmatch(table):
        return
    of_workbook = WORKBOOK.search(table) is not None  # there “=D2*2” was no text either
    for heading, text in zip(row.layout.headings, row.texts, strict=True):
        if FORMULA.fullmatch(text) or (of_workbook and text.startswith("=") and text != "="):
            field = next((name for name, at in row.columns.items() if row.layout.headings[at] == heading), heading)
            row.refuse(field, f"a formula without its value (“{text[:60]}”); write what it comes to")


def write_refused(path: Path, table: Table, rows: Sequence[Row]) -> str:
    """Write refused rows under the same headings beside their table, never over another file; the file's name.

    Those of a refused list take the next number of the list that it is of. Read again, every cell is what it was:
    nothing in it is defused for a spreadsheet. Where a file has just these rows already, that one is named. Raises
    RefusedFileError.
    """
    data = _text(table, rows).encode("utf-8-sig")
    while of := LIST.fullmatch(path.name):
        path = path.with_name(of[1])
    for number in range(1, MOST):
        name = path.with_name(f"{path.name}.refused{f'-{number}' if number > 1 else ''}.csv")
        try:
            write_whole(name, data, over=False)
        except FileExistsError:
            if not _holds(name, data):
                continue
        except OSError as problem:
            raise RefusedFileError(str(name), problem.strerror or str(problem)) from None
        return name.name
    raise RefusedFileError(path.name, "there are a thousand of them")


def _text(table: Table, rows: Sequence[Row]) -> str:
    text = StringIO(newline="")
    writer = csv.writer(text, quoting=csv.QUOTE_ALL)  # so that no other delimiter is guessed from what stands within
    writer.writerow(table.headings)
    writer.writerows(table.whole.get(row.line, row.raw) for row in rows)
    return text.getvalue()


def _holds(path: Path, data: bytes) -> bool:
    try:
        return read_plain(path, len(data)) == data
    except (OSError, ValueError):
        return False
