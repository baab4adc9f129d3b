"""The rows that were refused, kept as a table of their own that can be mended and brought in."""

import csv
from collections.abc import Sequence
from io import StringIO
from pathlib import Path

from catalog.errors import TirageError
from catalog.exchange.importing.frame import Row
from catalog.exchange.importing.tables import Table
from catalog.whole_files import read_plain, write_whole

MOST = 1_000


class RefusedFileError(TirageError):
    """The rows that were refused cannot be written to a file of their own."""

    def __init__(self, file: str, reason: str) -> None:
        super().__init__(
            f"{file}, where the refused rows would be kept, cannot be written ({reason}). Nothing was added."
        )


def write_refused(path: Path, table: Table, rows: Sequence[Row]) -> str:
    """Write refused rows under the same headings beside their table, never over another file; the file's name.

    Read again, every cell is what it was: nothing in it is defused for a spreadsheet. Where a file has just these rows
    already, that one is named. Raises RefusedFileError.
    """
    data = _text(table, rows).encode("utf-8-sig")
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
