"""Tables with a delimiter (RFC 4180 and its kin): their encoding, their delimiter, their rows."""

import codecs
import csv
import io
import re
from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from itertools import islice

from catalog.exchange.importing.tables import MOST_ROWS, Line, Sheet, TableFileError

DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
SAMPLE, BEGINNING = 200, 1 << 20  # records, of so many signs, by which the delimiter is found
BREAK = re.compile(r"\r\n|\r|\n")
SPANNING = re.compile(r'(?:^|[\t\n\r])"(?:[^"\t\n\r]|"")*[\n\r](?:[^"\t]|"")*"(?=[\t\n\r]|$)')
MOST_NAMED = 12  # broken lines
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
    above = 1 if delimiter else 0  # lines above what is read
    if not delimiter:
        delimiter = _delimiter(text)
        said.append(f"Its columns are parted by {DELIMITERS[delimiter]}.")
    lines = _records(name, text, delimiter, said, above)
    return Sheet(lines, said, [], True, torn=_torn(lines, text, delimiter))


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


def _records(name: str, text: str, delimiter: str, said: list[str], above: int) -> list[Line]:
    """Every row. Raises TableFileError, with every line that can be seen to be broken."""
    plain = _plain(name, text) if delimiter == "\t" and '"' in text else None
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        lines = _lines(name, reader)
    except csv.Error:
        if plain is None or (_spans(text) and not _even(plain)):
            raise TableFileError(name, _broken(text, delimiter, above)) from None
        said.append(_marks_said(text, above))
        return plain
    if plain is not None and _even(plain) and (len(plain) > len(lines) or not _even(lines)):
        # One mark opens in a cell and another closes some cells or rows on: all is whole where both are mere signs.
        said.append(_marks_said(text, above))
        return plain
    return lines


def _torn(lines: list[Line], text: str, delimiter: str) -> frozenset[int]:
    """Rows with more cells than the first in which one text may have been cut in two by a delimiter within it.

    What follows such a delimiter begins with a blank (“Quay, evening”), or is the rest of a number (“20,3”).
    """
    usual = next((len(line.texts) for line in lines if any(line.texts)), 0)
    found = {line.number for line in lines if len(line.texts) > usual}
    if not found or delimiter == "\t":
        return frozenset(found)
    with suppress(csv.Error):
        for number, record in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), 1):
            if number in found and not any(cell[:1] == " " and cell.strip() for cell in record[1:]):
                pairs = zip(record, record[1:], strict=False)
                if delimiter != "," or not any(one.isdecimal() and other.isdecimal() for one, other in pairs):
                    found.remove(number)
    return frozenset(found)


def _lines(name: str, records: Iterable[list[str]]) -> list[Line]:
    lines: list[Line] = []
    for number, record in enumerate(records, 1):
        if number > MOST_ROWS:
            raise TableFileError(name, f"has more than {MOST_ROWS:,} rows; split it into several files.")
        lines.append(Line(number, [cell.strip() for cell in record]))
    return lines


def _plain(name: str, text: str) -> list[Line]:
    """The rows of a table with tabs whose marks are signs like others (IANA, text/tab-separated-values)."""
    return _lines(name, (line.split("\t") if line else [] for line in _split(text)))


def _split(text: str) -> list[str]:
    lines = BREAK.split(text)
    return lines if lines[-1] else lines[:-1]


def _even(lines: list[Line]) -> bool:
    """Whether all rows that hold something have as many cells."""
    return len({len(line.texts) for line in lines if any(line.texts)}) == 1


def _spans(text: str) -> bool:
    """Whether a cell of a table with tabs is surely quoted with a line break in it: its marks open and close it."""
    return SPANNING.search(text) is not None


def _marks_said(text: str, above: int) -> str:
    """Once, that the marks were left as they are, with the first line that is broken, else in which one stands."""
    lines = _split(text)
    fault = _fault(lines, "\t", 0)
    place = fault[0] if fault else next(at for at, line in enumerate(lines) if '"' in line)
    shown = " ".join(lines[place].split())[:60]
    return (
        f"Its quotation marks were read as they stand, for they enclose no cells (line {place + 1 + above:,}: {shown})."
    )


def _broken(text: str, delimiter: str, above: int) -> str:
    """What is wrong, with every line that can be seen to be broken: behind such a one it is read on from the next."""
    lines = _split(text)
    told: dict[str, list[int]] = {}
    start, count = 0, 0
    while count <= MOST_NAMED and (fault := _fault(lines, delimiter, start)):
        told.setdefault(_why(fault[1]), []).append(fault[0])
        start, count = fault[0] + 1, count + 1
    told = told or {_why(""): [0]}
    return " It ".join(
        f"is broken in {_named([place + 1 + above for place in places])} "
        f"({' '.join(lines[places[0]].split())[:60]}): {why}"
        for why, places in told.items()
    )


def _fault(lines: list[str], delimiter: str, start: int) -> tuple[int, str] | None:
    """The line, from `start` on, where the next row that is broken begins, though it may only be seen some lines on."""
    reader = csv.reader((f"{line}\n" for line in lines[start:]), delimiter=delimiter, strict=True)
    whole = 0
    try:
        for _ in reader:
            whole = reader.line_num
    except csv.Error as problem:
        return start + whole, str(problem)
    return None


def _named(numbers: list[int]) -> str:
    named = [f"{number:,}" for number in numbers[:MOST_NAMED]]
    if len(named) == 1:
        return f"line {named[0]}"
    more = " and more" if len(numbers) > MOST_NAMED else ""
    return f"lines {', '.join(named)}{more}" if more else f"lines {', '.join(named[:-1])} and {named[-1]}"


def _why(problem: str) -> str:
    if "unexpected end" in problem:
        return "a quotation mark opens a text and none closes it. Close it, or double it within a text."
    if "limit" in problem:
        return "a cell there is longer than any cell can be; a quotation mark may be missing. Close it."
    return (
        "a quotation mark stands within a quoted text. Put the whole cell in quotation marks and double those within "
        'it: """Low water"" at noon".'
    )
