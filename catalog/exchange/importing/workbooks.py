"""Sheets of a workbook (XLSX, ECMA-376): cells as a person sees them."""

import datetime
import io
import re
import warnings
import zipfile
from typing import Any

from catalog.exchange.importing.frame import REFUSED, Told
from catalog.exchange.importing.number_formats import shown_number, shown_text
from catalog.exchange.importing.tables import (
    MOST_COLUMNS,
    MOST_ROWS,
    YEARLESS,
    Coarse,
    Line,
    Sheet,
    TableFileError,
    column_name,
    doubted,
)

MOST_UNPACKED = 1 << 30  # bytes of all parts together; a zip says beforehand how large they are
MERGED = re.compile(rb'<(?:\w+:)?mergeCell ref="([A-Z]+)([0-9]+):([A-Z]+)([0-9]+)"')
# Of a number format (ECMA-376-1, 18.8.31): what is shown as it stands, in brackets a locale, a color or a condition;
# then what stands for a part of a date. “e” and “b” are years too, of other eras (from memory, not confirmed).
AS_IT_STANDS = re.compile(r'"[^"]*(?:"|$)|\[(?!h+\]|m+\]|s+\])[^\]]*\]|\\.|_.|\*.')
PARTS = re.compile(r"am/pm|a/p|y+|e+|b+|m+|d+|h+|s+")
FORMULA = re.compile(rb"<(?:\w+:)?f[ />]")


def read_workbook(name: str, data: bytes, wanted: str) -> Sheet:
    """Every row of one sheet of a workbook. Raises TableFileError."""
    parts = _parts(name, data)
    try:
        return _read(name, data, parts, wanted)
    except TableFileError:
        raise
    except (MemoryError, RecursionError):
        raise TableFileError(name, "needs more memory than there is; split it, or save it as CSV.") from None
    except Exception as problem:  # a damaged workbook fails in as many ways as its library has lines
        reason = " ".join(str(problem).split())[:120] or type(problem).__name__
        raise TableFileError(
            name, f"is damaged, or no workbook that can be read ({reason}). Open it in a spreadsheet and save it anew."
        ) from None


def _parts(name: str, data: bytes) -> zipfile.ZipFile:
    try:
        parts = zipfile.ZipFile(io.BytesIO(data))
        if any(part.flag_bits & 1 for part in parts.infolist()):
            raise TableFileError(name, "is protected by a password. Take the password off and save it anew.")
        unpacked = sum(part.file_size for part in parts.infolist())
        names = set(parts.namelist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError, EOFError):
        raise TableFileError(
            name, "is damaged: it begins as a workbook and does not end as one. Save it anew."
        ) from None
    if unpacked > MOST_UNPACKED:
        raise TableFileError(name, f"would unpack to more than {MOST_UNPACKED >> 30} GiB; split it into several files.")
    if "[Content_Types].xml" not in names or not any(part.endswith("workbook.xml") for part in names):
        raise TableFileError(name, "is an archive and no XLSX workbook. Save the table as XLSX or as CSV.")
    return parts


def _read(name: str, data: bytes, parts: zipfile.ZipFile, wanted: str) -> Sheet:
    from openpyxl import load_workbook

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of styles and extensions that no cell's value depends on
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    found = {sheet.title: sheet for sheet in book.worksheets}
    sheet = _named(name, found, wanted)
    xml = _xml(parts, sheet)
    lines: list[Line] = []
    told: list[Told] = []
    coarse: list[Coarse] = []
    said = [f"The sheet “{sheet.title}” was read."] if len(found) > 1 else []
    sheet.reset_dimensions()  # what a sheet says of its size is often wrong
    for number, cells in enumerate(sheet.iter_rows(), 1):
        if number > MOST_ROWS or len(cells) > MOST_COLUMNS:
            raise TableFileError(name, f"is larger than {MOST_ROWS:,} rows or {MOST_COLUMNS:,} columns; split it.")
        lines.append(Line(number, [_seen(number, column, cell, told, coarse) for column, cell in enumerate(cells)]))
    _merge(xml, lines, said)
    if FORMULA.search(xml):
        _formulas(data, sheet.title, lines, told)
    return Sheet(lines, said, told, False, coarse)


def _named(name: str, found: dict[str, Any], wanted: str) -> Any:
    """The sheet that is wanted, or the only one that holds something. Raises TableFileError."""
    listed = ", ".join(f"“{title}”" for title in found)
    if wanted:
        for title, sheet in found.items():
            if title.casefold() == wanted.casefold():
                return sheet
        raise TableFileError(name, f"has no sheet “{wanted}”; it has {listed or 'none'}. Name one with --sheet.")
    filled = [sheet for sheet in found.values() if _holds_something(sheet)]
    if not filled:
        raise TableFileError(name, "holds no text; expected a row of headings and rows below it.")
    if len(filled) > 1:
        raise TableFileError(name, f"has several sheets, {listed}; name one with --sheet.")
    return filled[0]


def _holds_something(sheet: Any) -> bool:
    sheet.reset_dimensions()
    return any(cell.value not in (None, "") for cells in sheet.iter_rows() for cell in cells)


def _xml(parts: zipfile.ZipFile, sheet: Any) -> bytes:
    path: str = sheet._worksheet_path  # the part that openpyxl reads the sheet from
    return parts.read(path)


def _seen(number: int, column: int, cell: Any, told: list[Told], coarse: list[Coarse]) -> str:
    """A cell as a person sees it: a date as ISO 8601, or as the month or the year that is shown; 25.0 as 25.

    A number has the words, zeros and decimals that its format shows with it: 1.2 kg, 0014, 98.10.
    """
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, str):
        if cell.data_type == "e":
            told.append(
                Told(number, column_name(column), value, REFUSED, "an error of the spreadsheet; mend the cell there")
            )
            return value.strip()
        return shown_text(value.strip(), cell.number_format or "")
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(number, column, value, cell.number_format or "", told)
    if isinstance(value, datetime.datetime):
        return _date(number, column, value, cell.number_format or "", told, coarse)
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat() if isinstance(value, datetime.date) else value.isoformat("minutes")
    return str(value)


def _number(number: int, column: int, value: int | float, form: str, told: list[Told]) -> str:
    plain = f"{value:.15g}" if isinstance(value, float) and abs(value) < 1e15 else str(value)
    text, lost = shown_number(plain, form)
    if lost:
        reason = (
            f"its format in the spreadsheet shows “{lost}” with the number and is none that is followed here; read as "
            f"the bare number {plain}. If it means more, type it anew as text"
        )
        told.append(doubted(number, column_name(column), text, reason))
    return text


def _date(number: int, column: int, value: datetime.datetime, form: str, told: list[Told], coarse: list[Coarse]) -> str:
    """A date as far as its format shows it: without a day the month, without a month the year."""
    shown = _shown(form)
    text = value.date().isoformat() if value.time() == datetime.time() else value.isoformat(" ", "minutes")
    if "d" not in shown and shown & {"m", "y"}:
        # Not as 1905-06, which is also the years 1905 to 1906.
        text = f"{value:%B} {value.year}" if "m" in shown else f"{value.year:04}"
        coarse.append(Coarse(number, column, text, "month" if "m" in shown else "year"))
    if shown & {"m", "d"} and not {"d", "y"} <= shown:
        seen, second = (f"{value.day} {value:%b}", f"{value.day}") if "d" in shown else (f"{value:%b %y}",) * 2
        mark = f"{value.month}/{second[-2:]}"
        yearless = "" if "y" in shown else f" {YEARLESS} ({value.year})"
        reason = (
            f"a date, shown as {seen}{yearless}: a spreadsheet makes such dates of marks like {mark}; if it was one, "
            f"type it anew as text"
        )
        told.append(doubted(number, column_name(column), text, reason))
    return text


def _shown(form: str) -> set[str]:
    """What of a date a number format shows, of "y", "m" and "d"; nothing where it is none of a date.

    “m” behind hours or before seconds is minutes (ECMA-376-1, 18.8.31).
    """
    if form.casefold() in ("general", "@"):
        return set()
    first = AS_IT_STANDS.sub("", form.lower()).split(";")[0]  # for dates; the others are for negative numbers, and text
    parts = [part[0] for part in PARTS.findall(first) if "/" not in part]
    shown: set[str] = set()
    for place, part in enumerate(parts):
        near = (parts[place - 1] if place else "", parts[place + 1] if place + 1 < len(parts) else "")
        if part in "yeb":
            shown.add("y")
        elif part == "d" or (part == "m" and near[0] != "h" and near[1] != "s"):
            shown.add(part)
    return shown


def _merge(xml: bytes, lines: list[Line], said: list[str]) -> None:
    """What stands in cells that were merged downwards holds for each of their rows."""
    for left, top, _, bottom in MERGED.findall(xml):
        column, first, last = _column(left.decode()), int(top), min(int(bottom), len(lines))
        if last <= first or first > len(lines) or column >= len(lines[first - 1].texts):
            continue
        text = lines[first - 1].texts[column]
        if not text:
            continue
        for place in range(first, last):
            _put(lines, place, column, text)
        span = f"{left.decode()}{first} to {left.decode()}{last}"
        said.append(f"The cells {span} are merged; “{text[:60]}” was taken for each of their rows.")


def _put(lines: list[Line], place: int, column: int, text: str) -> None:
    texts = list(lines[place].texts)
    texts += [""] * (column + 1 - len(texts))
    texts[column] = text
    lines[place] = Line(lines[place].number, texts)


def _column(letters: str) -> int:
    column = 0
    for letter in letters:
        column = column * 26 + ord(letter) - 64
    return column - 1


def _formulas(data: bytes, title: str, lines: list[Line], told: list[Told]) -> None:
    """Formulas whose value the file does not hold: a program wrote them and no spreadsheet worked them out."""
    from openpyxl import load_workbook

    sheet = load_workbook(io.BytesIO(data), read_only=True)[title]
    sheet.reset_dimensions()
    for number, cells in enumerate(sheet.iter_rows(), 1):
        for column, cell in enumerate(cells):
            if cell.data_type == "f" and number <= len(lines) and not lines[number - 1].texts[column]:
                _put(lines, number - 1, column, str(cell.value))  # else it would be lost among the refused rows
                told.append(
                    Told(
                        number,
                        column_name(column),
                        str(cell.value)[:60],
                        REFUSED,
                        f"a formula in {column_name(column)}{number} whose value is not in the file; open it in a "
                        f"spreadsheet and save it again",
                    )
                )
