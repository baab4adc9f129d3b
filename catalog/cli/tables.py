"""Records printed for a person, as JSON or as CSV."""

import re
import sys
from collections.abc import Sequence

import click

from catalog.plain_text import shown

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
GAP = "  "  # between columns
SHORT = 14  # signs; a column as narrow as this is never cut
SENTENCE = 30  # signs; a last column that is wider may hold sentences, and keeps at least as many
NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?", re.ASCII)


def print_rows(rows: Sequence[dict[str, object]], form: str, empty: str) -> None:
    """Print rows that share their keys: form "" is a plain table, "json" an array, "csv" with a head."""
    if form == "json":
        import json

        click.echo(json.dumps(list(rows), ensure_ascii=False, indent=1))
    elif form == "csv":
        names = list(rows[0]) if rows else []
        lines: list[list[object]] = [[*names], *([row[name] for name in names] for row in rows)] if rows else []
        for line in lines:
            sys.stdout.write(_csv_line(line))
    elif not rows:
        click.echo(empty)
    else:
        _table(rows)


def _csv_line(values: Sequence[object]) -> str:
    import csv
    from io import StringIO

    line = StringIO(newline="")
    # Written with both signs of a line's end, either of them within a text is quoted.
    csv.writer(line, lineterminator="\r\n").writerow([_plain(value) for value in values])
    return line.getvalue().removesuffix("\r\n") + "\n"


def _plain(value: object) -> object:
    """A text that a spreadsheet would work out as a formula, with an apostrophe in front; numbers as they are."""
    if isinstance(value, str) and value.startswith(FORMULA_SIGNS) and not NUMBER.fullmatch(value):
        return f"'{value}"
    return value


def facts(pairs: Sequence[tuple[str, object]]) -> str:
    """Name and value, one a line, names in a column; empty values left out."""
    kept = [(name, str(value)) for name, value in pairs if value not in (None, "")]
    width = max((len(name) for name, _ in kept), default=0)
    return "\n".join(f"  {name:<{width}}  {value}" for name, value in kept)


def _table(rows: Sequence[dict[str, object]]) -> None:
    import shutil

    room = shutil.get_terminal_size((100, 24)).columns if sys.stdout.isatty() else 0
    for line in table_lines(rows, room):
        click.echo(line)


def table_lines(rows: Sequence[dict[str, object]], room: int) -> list[str]:
    """A plain table, no wider than `room` signs (0: as wide as it is), columns that are empty in every row left out.

    Where it is too wide and its last column holds sentences, texts wrap within their columns and none is cut. Else the
    widest column is cut first, at the end of its texts; short ones, such as codes, never are.
    """
    names = [name for name in rows[0] if any(row[name] not in (None, "") for row in rows)]
    cells = [[("" if row[name] is None else shown(str(row[name]))) for name in names] for row in rows]
    widths = [max(len(name), *(len(line[place]) for line in cells)) for place, name in enumerate(names)]
    if not room or sum(widths) + len(GAP) * (len(widths) - 1) <= room:
        return [_line(line, widths) for line in [names, *cells]]
    said = widths[-1] > SENTENCE and any(line[-1].count(" ") > 1 for line in cells)
    least = min(widths[-1], max(SENTENCE, room // 3)) if said else 0
    others = len(widths) - 1 if said else len(widths)
    spare = room - least - len(GAP) * (len(widths) - 1)
    while (over := sum(widths[:others]) - spare) > 0 and max(widths[:others], default=0) > SHORT:
        widest = max(range(others), key=lambda place: widths[place])
        second = max((width for place, width in enumerate(widths[:others]) if place != widest), default=0)
        widths[widest] = max(SHORT, min(widths[widest] - 1, max(second, widths[widest] - over)))
    if said:
        widths[-1] = max(least, room - sum(widths[:-1]) - len(GAP) * (len(widths) - 1))
    return [text for line in [names, *cells] for text in _fitted(line, widths, said)]


def _fitted(line: Sequence[str], widths: Sequence[int], said: bool) -> list[str]:
    """One row within its widths: one line, or with sentences as many as its longest cell takes."""
    import textwrap
    from itertools import zip_longest

    if not said:
        return [_line([_cut(cell, width) for cell, width in zip(line, widths, strict=True)], widths)]
    parts = [
        textwrap.wrap(cell, width, break_on_hyphens=False) or [""] for cell, width in zip(line, widths, strict=True)
    ]
    return [_line(row, widths) for row in zip_longest(*parts, fillvalue="")]


def _line(line: Sequence[str], widths: Sequence[int]) -> str:
    return GAP.join(f"{cell:<{width}}" for cell, width in zip(line, widths, strict=True)).rstrip()


def _cut(cell: str, width: int) -> str:
    return cell if len(cell) <= width else cell[: width - 1] + "…"
