"""Tables with a delimiter (RFC 4180 and its kin): their encoding, their delimiter, their rows."""

import codecs
import csv
import io
import re
from collections import Counter
from itertools import islice

from catalog.exchange.importing.tables import MOST_ROWS, Line, Sheet, TableFileError

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
SAMPLE, BEGINNING = 200, 1 << 20  # records, of so many signs, by which the delimiter is found
MARKS = (  # byte order marks: Unicode 15.0, section 2.6, table 2-4; the longer first
    (codecs.BOM_UTF32_LE, "utf-32-le", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32-be", "UTF-32"),
    (codecs.BOM_UTF8, "utf-8", "UTF-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "UTF-16"),
)


def read_delimited(name: str, data: bytes) -> Sheet:
    """Every row of a table with a delimiter. Raises TableFileError."""
    said: list[str] = []
    text = _text(name, data, said)
    delimiter, text = _told_delimiter(text)
    if not delimiter:
        delimiter = _delimiter(text)
        said.append(f"Its columns are parted by {DELIMITERS[delimiter]}.")
    return Sheet(_records(name, text, delimiter), said, [], True)


def _text(name: str, data: bytes, said: list[str]) -> str:
    """The file as text; how it was read is told where the file itself does not say it. Raises TableFileError."""
    for mark, encoding, told in MARKS:
        if data.startswith(mark):
            try:
                text = data[len(mark) :].decode(encoding)
            except UnicodeDecodeError as problem:
                raise TableFileError(
                    name,
                    f"begins as {told} and is broken at byte {problem.start + len(mark):,}. Save it anew as UTF-8.",
                ) from None
            if "\0" in text:
                raise _binary(name)
            return text
    if b"\0" in data:
        raise _binary(name)
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as problem:
        place = problem.start
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        raise TableFileError(
            name,
            f"is neither UTF-8 (byte {place + 1:,} is none) nor Windows-1252. Save it as XLSX, or as CSV in UTF-8.",
        ) from None
    said.append(_read_as_1252(data, place))
    return text


def _read_as_1252(data: bytes, place: int) -> str:
    line = data.count(b"\n", 0, place) + 1
    return (
        f"It is not UTF-8 (byte {place + 1:,}, line {line:,}) and was read as Windows-1252: look at its accents, and "
        f"save it as CSV in UTF-8 if they are wrong."
    )


def _binary(name: str) -> TableFileError:
    return TableFileError(
        name,
        "is no text (it holds zero bytes). Expected XLSX, or CSV in UTF-8, UTF-16 with its mark or Windows-1252; save "
        "it anew as one of these.",
    )


def _told_delimiter(text: str) -> tuple[str, str]:
    """The delimiter that a first line “sep=;” names, and the text below it."""
    head = text[:8].lstrip('"')
    if head[:4].lower() != "sep=" or len(head) < 5:
        return "", text
    first, rest, *_ = [*re.split(r"\r\n|\r|\n", text, maxsplit=1), ""]
    delimiter = first.strip('"')[4:5]
    return (delimiter, rest) if delimiter in DELIMITERS and len(first.strip('"')) == 5 else ("", text)


def _delimiter(text: str) -> str:
    """The delimiter whose records agree best on how many cells they have; the comma where there is one column."""
    best, most = ",", (False, 0.0, 0)
    for delimiter in DELIMITERS:
        try:
            records = list(islice(csv.reader(io.StringIO(text[:BEGINNING], newline=""), delimiter=delimiter), SAMPLE))
        except csv.Error:
            continue
        counts = Counter(len(record) for record in records if record)
        if not counts:
            continue
        cells, times = max(counts.items(), key=lambda one: (one[1], one[0]))
        if cells < 2:
            continue
        # Commas within the texts can agree by chance, but hardly in the first row too.
        agreed = (len(next(filter(None, records))) > 1, times / counts.total(), cells)
        if agreed > most:
            best, most = delimiter, agreed
    return best


def _records(name: str, text: str, delimiter: str) -> list[Line]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    lines: list[Line] = []
    try:
        for number, record in enumerate(reader, 1):
            if number > MOST_ROWS:
                raise TableFileError(name, f"has more than {MOST_ROWS:,} rows; split it into several files.")
            lines.append(Line(number, [cell.strip() for cell in record]))
    except csv.Error as problem:
        raise TableFileError(name, f"is broken in line {reader.line_num:,}: {_why(str(problem))}") from None
    return lines


def _why(problem: str) -> str:
    if "unexpected end" in problem:
        return "a quotation mark opens a text and none closes it. Close it, or double it within a text."
    if "limit" in problem:
        return "a cell there is longer than any cell can be; a quotation mark may be missing. Close it."
    return "a quotation mark stands within a quoted text; double it there."
