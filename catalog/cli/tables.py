"""Records printed for a person, as JSON or as CSV."""

import re
import sys
from collections.abc import Sequence

import click

from catalog.plain_text import shown

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
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
    names = [name for name in rows[0] if any(row[name] not in (None, "") for row in rows)]
    cells = [[("" if row[name] is None else shown(str(row[name]))) for name in names] for row in rows]
    widths = [max(len(name), *(len(line[place]) for line in cells)) for place, name in enumerate(names)]
    import shutil

    room = shutil.get_terminal_size((100, 24)).columns if sys.stdout.isatty() else 10_000
    for line in [names, *cells]:
        text = "  ".join(f"{cell:<{width}}" for cell, width in zip(line, widths, strict=True)).rstrip()
        click.echo(text if len(text) <= room else text[: room - 1] + "…")
