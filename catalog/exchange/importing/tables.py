"""A table as a spreadsheet wrote it, CSV or XLSX: its headings, its rows, and what is told about the file."""

import errno
import hashlib
import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple
from unicodedata import normalize

from catalog.errors import TirageError
from catalog.exchange import cells as defused
from catalog.exchange.importing import cell_counts
from catalog.exchange.importing.frame import DOUBTFUL, REFUSED, Told
from catalog.exchange.own_lists import is_own
from catalog.plain_text import is_seen, named
from catalog.whole_files import NotAFileError, read_plain

MOST_BYTES = 1 << 27
MOST_ROWS = 1_048_576  # of a sheet: ECMA-376 allows no more either
MOST_COLUMNS = 1_000
LONGEST_CELL = 32_767  # signs; what a spreadsheet's cell can hold
LOOKED_AT = 20  # rows at the top among which the headings are looked for
REFUSED_LIST = re.compile(r".+\.refused(?:-[0-9]+)?\.csv")  # as refused.py names them
YEARLESS = "without its year"  # in what is told of a date: a doubt under the heading of dates too
BREAKS = "\n\r\t"  # within a cell they are text, as RFC 4180 section 2 (6) allows


class TableFileError(TirageError):
    """A file that is no table, or not one that can be read whole."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(f"{name} {reason}")


class Line(NamedTuple):
    """One row: its number, counted from 1 with the headings, and its cells."""

    number: int
    texts: Sequence[str]


class Coarse(NamedTuple):
    """A date that a sheet shows as a month or a year, and that was read as such."""

    line: int
    column: int
    text: str
    shown: str  # "month" or "year"


class Sheet(NamedTuple):
    """What a reader of one form of file found: every row with the empty ones, and what is told of rows and file.

    A reader names a column by its letter in `told`; its heading takes that place once it is known.
    """

    lines: list[Line]
    said: list[str]
    told: list[Told]
    delimited: bool  # a row longer than the headings is then likely cut in the wrong place
    coarse: Sequence[Coarse] = ()
    torn: frozenset[int] = frozenset()  # longer rows in which one text may have been cut in two


class Table(NamedTuple):
    """A whole table. `raw` holds a row's cells where they differ from what is read (line breaks within a cell).

    `whole` holds those of a row that has more cells than there are columns.
    """

    name: str
    sha256: str
    headings: tuple[str, ...]
    lines: list[Line]
    raw: dict[int, Sequence[str]]
    said: list[str]
    told: list[Told]
    whole: dict[int, Sequence[str]]


def read_table(path: Path, sheet: str = "") -> Table:
    """Read a file whole. Raises TableFileError with what is wrong with it and what to do."""
    data = _bytes(path)
    found = _sheet(path.name, data, sheet)
    return _tidied(path.name, hashlib.sha256(data).hexdigest(), found)


def column_name(column: int) -> str:
    """A column as spreadsheets call it: 0 is A, 26 is AA."""
    letters = ""
    column += 1
    while column:
        column, letter = divmod(column - 1, 26)
        letters = chr(65 + letter) + letters
    return letters


def _bytes(path: Path) -> bytes:
    try:
        data = read_plain(path, MOST_BYTES)
    except (FileNotFoundError, NotAFileError):
        raise TableFileError(str(path), "is not there, or is no file. Name a CSV or XLSX file.") from None
    except (OSError, ValueError) as problem:
        if getattr(problem, "errno", None) == errno.EFBIG:
            raise TableFileError(
                path.name, f"is larger than {MOST_BYTES >> 20} MiB; split it into several files."
            ) from None
        reason = getattr(problem, "strerror", None) or problem
        raise TableFileError(path.name, f"cannot be read ({reason}). Name another file.") from None
    if not data:
        raise TableFileError(path.name, "is empty; expected a row of headings and rows below it.")
    return data


def _sheet(name: str, data: bytes, sheet: str) -> Sheet:
    if data.startswith(b"PK"):
        from catalog.exchange.importing.workbooks import read_workbook

        return read_workbook(name, data, sheet)
    if data.startswith(b"\xd0\xcf\x11\xe0"):  # a compound file: an older spreadsheet, or a new one with a password
        raise TableFileError(
            name,
            "is protected by a password, or of an older form than XLSX. Open it in a spreadsheet, take the "
            "password off, and save it as XLSX or CSV.",
        )
    if sheet:
        raise TableFileError(name, "is no XLSX and has no sheets; leave out --sheet.")
    from catalog.exchange.importing.delimited import read_delimited

    return read_delimited(name, data)


def _tidied(name: str, digest: str, found: Sheet) -> Table:
    """The headings found, columns named, cells tidied, and rows that do not fit told."""
    lines = [line for line in found.lines if any(line.texts)]
    if not lines:
        raise TableFileError(name, "holds no text; expected a row of headings and rows below it.")
    first = _heading_place(lines)
    head, body = lines[first], lines[first + 1 :]
    if not body:
        raise TableFileError(name, f"has headings in row {head.number} and no row below them.")
    said = list(found.said)
    if first:
        above = "; ".join(" ".join(filter(None, line.texts)) for line in lines[:first])
        said.append(f"Row {head.number} was taken for the headings; left out is what stands above it: “{above}”.")
    list_of_refused = REFUSED_LIST.fullmatch(name) is not None
    width = cell_counts.width(lines[first:], head, list_of_refused, found.delimited)
    if width > MOST_COLUMNS:
        raise TableFileError(name, f"has {width:,} columns; expected at most {MOST_COLUMNS:,}.")
    headings = _headings(name, head, width, body, said)
    kept = [place for place, heading in enumerate(headings) if heading]
    whole = len(kept) == width
    names = tuple(heading for heading in headings if heading)
    called = {column_name(place): heading for place, heading in enumerate(headings)}
    told = [one._replace(heading=called.get(one.heading, one.heading)) for one in found.told if one.line > head.number]
    tidy: list[Line] = []
    raw: dict[int, Sequence[str]] = {}
    short: list[int] = []
    overlong: dict[int, Sequence[str]] = {}
    said += _coarse_said(found.coarse, head.number, headings)
    usual = max(width, len(head.texts), 0 if list_of_refused else cell_counts.usual(body))
    own = is_own(names)
    for number, texts in body:
        have = len(texts)
        if have != width:
            if have < width:
                short.append(number)
                texts = [*texts, *[""] * (width - have)]
            else:
                if found.delimited and ((have > usual and number in found.torn) or any(texts[width:])):
                    told.append(cell_counts.overlong(number, texts, width, usual))
                    overlong[number] = [*(texts[place] for place in kept), *texts[width:]]
                texts = texts[:width]
        if not whole:
            texts = [texts[place] for place in kept]
        given = texts
        if own:
            texts = [defused.read(text) for text in given]
        joined = "".join(texts)
        if not joined.isascii() or not joined.isprintable():
            texts = [_composed(text) for text in texts]
            read = [_one_line(number, heading, text, told) for heading, text in zip(names, texts, strict=True)]
            if read != texts:
                raw[number] = texts
            texts = read
        if own and texts != given:
            raw[number] = given  # as a list of ours has it, also where it is refused and written out again
        tidy.append(Line(number, texts))
    if own:
        said.append("It is a list of this program's own; the apostrophes that it put in front of texts are taken off.")
    if short:
        said.append(
            f"{_rows(short)} shorter than the headings; the cells that are missing there were taken for empty ones."
        )
    return Table(name, digest, names, tidy, raw, said, told, overlong)


def _heading_place(lines: list[Line]) -> int:
    """Which line holds the headings: the first that is at least half as full as the fullest near the top."""
    full = [sum(1 for text in line.texts if text) for line in lines[:LOOKED_AT]]
    return next(place for place, count in enumerate(full) if 2 * count >= max(full))


def _headings(name: str, head: Line, width: int, body: list[Line], said: list[str]) -> list[str]:
    """A name for every column: its heading, a number more where it is there twice, its letter where it has none.

    "" is a column without a heading in which nothing stands.
    """
    found: list[str] = []
    taken: set[str] = set()
    for place in range(width):
        text = head.texts[place] if place < len(head.texts) else ""
        heading = " ".join(_composed(text).split())
        sign = next((sign for sign in heading if not is_seen(sign)), "")
        if sign:
            raise TableFileError(
                name,
                f"has a heading in column {column_name(place)} with a sign that is not seen ({named(sign)}). Type "
                f"the heading anew.",
            )
        if not heading:
            if not any(len(line.texts) > place and line.texts[place] for line in body):
                found.append("")
                continue
            heading = f"column {column_name(place)}"
            said.append(f"Column {column_name(place)} has no heading; it is called “{heading}”.")
        elif heading in taken:
            count = next(n for n in range(2, MOST_COLUMNS + 3) if f"{heading} ({n})" not in taken)
            said.append(f"The heading “{heading}” is there more than once; here it is called “{heading} ({count})”.")
            heading = f"{heading} ({count})"
        taken.add(heading)
        found.append(heading)
    return found


def _composed(text: str) -> str:
    return text if text.isascii() else normalize("NFC", text).strip()


def _one_line(number: int, heading: str, text: str, told: list[Told]) -> str:
    """A cell on one line with ordinary blanks; a sign that is not seen is told, and refuses the row."""
    if text.isascii() and text.isprintable():
        return text
    sign = next((sign for sign in text if sign not in BREAKS and not is_seen(sign)), "")
    if sign:
        reason = f"a sign that is not seen stands in it ({named(sign)}, sign {text.index(sign) + 1}); type it anew"
        told.append(Told(number, heading, text, REFUSED, reason))
    if len(text) > LONGEST_CELL:
        told.append(Told(number, heading, text[:60], REFUSED, f"longer than {LONGEST_CELL:,} signs; shorten it"))
    return " ".join(text.split())


def _coarse_said(coarse: Sequence[Coarse], head: int, headings: Sequence[str]) -> list[str]:
    """Once a column, that its dates were read as months or years, as they are shown."""
    columns: dict[tuple[int, str], list[Coarse]] = {}
    for one in coarse:
        if one.line > head:
            columns.setdefault((one.column, one.shown), []).append(one)
    return [
        f"Under “{headings[column]}” {len(found):,} dates are shown as {shown}s and were read so "
        f"(row {found[0].line}: {found[0].text})."
        if len(found) > 1
        else f"Under “{headings[column]}” one date is shown as a {shown} and was read so "
        f"(row {found[0].line}: {found[0].text})."
        for (column, shown), found in columns.items()
    ]


def _rows(numbers: Sequence[int]) -> str:
    first = ", ".join(map(str, numbers[:5]))
    if len(numbers) == 1:
        return f"Row {first} is"
    return f"Rows {first}{f' and {len(numbers) - 5:,} more' if len(numbers) > 5 else ''} are"


def doubted(number: int, heading: str, text: str, reason: str) -> Told:
    """Something about one cell that a person should look at."""
    return Told(number, heading, text, DOUBTFUL, reason)
