"""Day sheets as files: read from TOML (1.0) or CSV (RFC 4180), and written as TOML or CSV."""

import csv
import io
import re
import sqlite3
import tomllib
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.plain_text import shown
from catalog.records import sessions
from catalog.records.sessions import Session
from catalog.rules.sessions.day_sheet import Day, Line, LineError, PrintLine, StepLine, TestLine
from catalog.rules.sessions.stages import stages

LARGEST = 1_000_000  # bytes
COLUMNS = (
    "line", "items", "bath", "washer", "length", "at", "out", "sheets", "changes", "temperature", "exposure", "hypo",
    "silver", "method", "on", "note",
)  # fmt: skip
TABLES: dict[str, type[Line]] = {"print": PrintLine, "step": StepLine, "test": TestLine}
TO_FILL_IN: dict[str, tuple[str, ...]] = {
    "print": ("exposure", "note"), "step": ("length", "at"), "test": ("hypo", "silver"),
}  # fmt: skip
HEAD = """Day sheet of session {number}: {of}, {title}, {day}.
Say kept = false of each sheet that was not kept: its code is then void for ever.
What is said in [[step]] and [[test]] is explained by: tirage session enter --help
What stands behind # is not read; take the # away from what was done, and from nothing else."""
HEADER = re.compile(r"\s*\[\[\s*[\"']?(\w+)[\"']?\s*\]\]")


class NotADaySheetError(TirageError):
    """A file that is no day sheet at all."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(
            f"{name} {reason}. Expected a day sheet as TOML or CSV, in UTF-8; one to begin with: "
            f"tirage session sheet e1 8 --file day.toml. Nothing was entered."
        )


def read(name: str, data: bytes) -> Day:
    """The day sheet in a file, TOML unless its name ends in .csv. Raises NotADaySheetError, LineError."""
    if len(data) > LARGEST:
        raise NotADaySheetError(name, f"has {len(data):,} bytes, and a day sheet has at most {LARGEST:,}")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        raise NotADaySheetError(name, f"is not text in UTF-8 (byte {problem.start + 1})") from None
    if not text.strip():
        raise NotADaySheetError(name, "is empty")
    if "\0" in text:
        raise NotADaySheetError(name, "holds bytes that are no text")
    day = _from_csv(name, text) if name.lower().endswith(".csv") else _from_toml(name, text)
    if not day.lines:
        raise NotADaySheetError(name, "holds no line of a print, a step or a test")
    return day


def blank(connection: sqlite3.Connection, session: Session, name: str) -> str:
    """The text of a day sheet to fill in, as its name ends; what nobody fills in claims nothing."""
    given = sessions.sheets(connection, session)
    day = Day(session=session.id, on=session.planned, print=[PrintLine(code=sheet.code) for sheet in given])
    day.step = [StepLine(kind=way.name, items="kept", bath=way.bath) for way in stages(connection)]
    if name.lower().endswith(".csv"):
        return csv_of(day, day.step)
    day.test = [TestLine(item=sheet.code) for sheet in given if sheet.kind == "control strip"]
    head = HEAD.format(
        number=session.id, of=session.of.code, title=session.title, day=parse_date(session.planned).text()
    )
    return toml_of(day, head, [*day.step, *day.test])


def toml_of(day: Day, head: str = "", offered: Iterable[Line] = ()) -> str:
    """A day sheet as TOML: `head` as remarks above it; those of its lines that are `offered` are remarks too."""
    top = f"session = {day.session}\n" if day.session is not None else ""
    top += f"on = {_quoted(day.on)}\n" if day.on else ""
    parts = [_remark(head), top]
    remarks = {id(line) for line in offered}
    for table in TABLES:
        for line in getattr(day, table):
            text = _toml_line(table, line)
            parts.append(_remark(text) if id(line) in remarks else text)
    return "\n".join(part for part in parts if part)


def csv_of(day: Day, offered: Iterable[Line] = ()) -> str:
    """A day sheet as CSV, one line a stage; those that are `offered` say nothing of what went through them."""
    offered = list(offered)
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    if day.session is not None:
        writer.writerow({"line": "session", "items": day.session})
    if day.on:
        writer.writerow({"line": "day", "items": day.on})
    for line in day.print:
        writer.writerow(
            {"line": "kept" if line.kept else "void", "items": line.code, "exposure": line.exposure, "note": line.note}
        )
    for step in day.step:
        found = {name: value for name, value in _filled(step).items() if name != "kind"}
        if step in offered:
            found.pop("items")
        writer.writerow({"line": step.kind, **found})
    for test in day.test:
        found = {name: value for name, value in _filled(test).items() if name != "item"}
        writer.writerow({"line": "test", "items": test.item, **found})
    return out.getvalue()


def _filled(line: Line, always: tuple[str, ...] = ()) -> dict[str, Any]:
    """What stands on a line, empty fields only where they are to be filled in."""
    return {
        name: value
        for name, value in line.model_dump().items()
        if value not in ("", 0, None) or name in always or isinstance(value, bool)
    }


def _remark(text: str) -> str:
    return "".join(f"# {row}\n" for row in text.splitlines())


def _toml_line(table: str, line: Line) -> str:
    always = TO_FILL_IN[table]
    if isinstance(line, StepLine) and line.kind.endswith("wash"):
        always = (*always, "out")
    rows = [
        f"{name} = {str(value).lower() if isinstance(value, bool | int) else _quoted(value)}\n"
        for name, value in _filled(line, always).items()
    ]
    return f"[[{table}]]\n" + "".join(rows)


def _quoted(text: str) -> str:
    """A basic string of TOML 1.0; what a day sheet holds has no sign that needs more than these two escapes."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _from_toml(name: str, text: str) -> Day:
    try:
        found = tomllib.loads(text)
    except (ValueError, RecursionError) as problem:  # its own error is a ValueError, as is a number too long
        raise NotADaySheetError(name, f"is not TOML ({shown(str(problem))[:120]})") from None
    lines = text.splitlines()
    heads: dict[str, list[int]] = {table: [] for table in TABLES}
    for number, line in enumerate(lines, start=1):
        head = HEADER.match(line)
        if head and head[1] in heads:
            heads[head[1]].append(number)

    def where(loc: tuple[int | str, ...]) -> str:
        table = str(loc[0])
        if len(loc) < 2 or not isinstance(loc[1], int):
            row = _row_of_key(lines, 1, table)
        elif loc[1] < len(heads.get(table, ())):
            row = heads[table][loc[1]]
            row = _row_of_key(lines, row + 1, str(loc[2])) if len(loc) > 2 else row
        else:
            row = 0
        which = f"{table} {loc[1] + 1}" if len(loc) > 1 and isinstance(loc[1], int) else ""
        return (f"line {row}" + (f" ({which})" if which else "")) if row else which or name

    return _checked(found, where)


def _row_of_key(lines: list[str], start: int, key: str) -> int:
    """The row of a key within its block, the block's head when it does not stand there."""
    for number in range(start, len(lines) + 1):
        if re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*[=.]", lines[number - 1]):
            return number
        if lines[number - 1].lstrip().startswith("["):
            break
    return max(0, start - 1)


def _from_csv(name: str, text: str) -> Day:
    first = text.lstrip("\r\n").split("\n", 1)[0]
    reader = csv.reader(
        io.StringIO(text, newline=""), delimiter=";" if first.count(";") > first.count(",") else ",", strict=True
    )
    found: dict[str, Any] = {table: [] for table in TABLES}
    rows: dict[str, list[int]] = {table: [] for table in TABLES}
    columns: list[str] = []
    try:
        for cells in reader:
            cells = [cell.strip() for cell in cells]
            if not any(cells):
                continue
            if not columns:
                columns = _columns(name, cells)
                continue
            if len(cells) > len(columns):
                raise LineError(f"row {reader.line_num}", f"It has {len(cells)} cells under {len(columns)} columns.")
            row = {column: cell for column, cell in zip(columns, cells, strict=False) if cell}
            _sort_in(row, reader.line_num, found, rows)
    except csv.Error as problem:
        raise NotADaySheetError(name, f"is not CSV (row {reader.line_num}: {shown(str(problem))[:120]})") from None

    def where(loc: tuple[int | str, ...]) -> str:
        if len(loc) > 1 and isinstance(loc[1], int):
            return f"row {rows[str(loc[0])][loc[1]]}"
        return f"row {found['rows'][loc[0]]}" if loc[0] in found.get("rows", {}) else name

    return _checked({key: value for key, value in found.items() if key != "rows"}, where)


def _columns(name: str, cells: list[str]) -> list[str]:
    columns = [cell.lower() for cell in cells]
    wrong = next((column for column in columns if column not in COLUMNS), None)
    if wrong is not None or "line" not in columns or len(set(columns)) < len(columns):
        reason = f"has a column “{shown(wrong)[:40]}”" if wrong is not None else "has a column twice, or no “line”"
        raise NotADaySheetError(name, f"{reason}; the first row names the columns: {', '.join(COLUMNS)}")
    return columns


def _sort_in(row: dict[str, Any], number: int, found: dict[str, Any], rows: dict[str, list[int]]) -> None:
    """Put one row of CSV where it belongs."""
    what = str(row.pop("line", "")).lower()
    if not what:
        raise LineError(f"row {number}", "It does not say in “line” what it is, such as kept, fix 1, wash or test.")
    if what in ("session", "day"):
        key = "session" if what == "session" else "on"
        if key in found or set(row) - {"items"}:
            raise LineError(f"row {number}", f"“{what}” stands once, with nothing but its value under “items”.")
        found[key] = row.get("items", "")
        found.setdefault("rows", {})[key] = number
        return
    if what in ("kept", "void"):
        table, row = "print", {("code" if key == "items" else key): value for key, value in row.items()}
        row["kept"] = what == "kept"
    elif what == "test":
        table, row = "test", {("item" if key == "items" else key): value for key, value in row.items()}
    else:
        if "items" not in row:  # a line of the sheet that nobody filled in
            raise LineError(
                f"row {number}",
                f"It does not say what went through “{shown(what)[:40]}”; expected under “items” codes, kept or strip. "
                f"Take the row out if it was not done.",
            )
        table, row = "step", {"kind": what, **row}
    found[table].append(row)
    rows[table].append(number)


def _checked(found: Mapping[str, Any], where: Any) -> Day:
    try:
        day = Day.model_validate(dict(found))
    except ValidationError as problem:
        first = problem.errors(include_url=False)[0]
        raise LineError(where(first["loc"]), _sentence(first)) from None
    for table in TABLES:
        for number, line in enumerate(getattr(day, table)):
            line.at_place(where((table, number)))
    return day


def _sentence(error: Mapping[str, Any]) -> str:
    """What is wrong with a value, as a sentence."""
    loc = error["loc"]
    key = shown(next((part for part in reversed(loc) if isinstance(part, str)), ""))[:60]
    if error["type"] == "extra_forbidden":
        fields = TABLES[loc[0]].model_fields if len(loc) > 1 and loc[0] in TABLES else Day.model_fields
        return f"“{key}” is not known here; expected {', '.join(fields)}."
    if error["type"] == "missing":
        return f"“{key}” is missing; it must be told here."
    if error["type"] == "too_long":
        return f"More than {error['ctx']['max_length']:,} lines of “{key}” are too many for a day; enter them in parts."
    if error["type"] == "value_error":
        return f"“{key}” is not as it should be: {error['msg'].removeprefix('Value error, ')}."
    expected = "[[" + str(loc[0]) + "]] and its fields" if loc[0] in TABLES else "a value of another kind"
    return f"“{key}” cannot be read; expected {expected}."
