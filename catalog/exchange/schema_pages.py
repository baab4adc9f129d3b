"""The documented schema: one page of Markdown a table and a page to begin with, made from the database itself."""

import re
import sqlite3
from collections.abc import Mapping

from catalog.exchange.described import Column, Table, described, referring

INDEX = "index.md"
FORM = "schema.sql"
REFUSED = "The database refuses a change that breaks a rule of the trade, with one of these sentences:"
ADDED, BROKEN = re.compile(r", (\w+ (?:INTEGER|TEXT)\b)"), r",\n    \1"  # columns that came later, a line each
HEAD = """# The tables of this catalog

Schema {version}. Each table has a page: what a row means, what each column means and in what unit, what it points to,
and the rules it keeps. All of it is read from the database itself; `{form}` has the whole of it as SQL for SQLite.

## How they hang together

- [code](code.md) is the list of everything that bears a code. The `id` of a plate, print, edition, bath, step or
  certificate is its `id` there, so one number leads from any table to the code that people write.
- [item](item.md) is what can be moved, processed or sold: plates ([negative](negative.md)), prints
  ([print](print.md)) and control strips ([control_strip](control_strip.md)).
- A plate has editions ([edition](edition.md)), an edition has numbers ([edition_number](edition_number.md)), a print
  bears one of them.
- How a print was made and washed: [step_item](step_item.md) joins items to [step](step.md), which names its
  [bath](bath.md) and [washer](washer.md); tests are in [residual_test](residual_test.md).
- Where a thing is and whose it is: [movement](movement.md) and [transfer](transfer.md) are the history,
  [standing](standing.md) the present, [place](place.md) and [party](party.md) the names.
- What was signed and given out: [certificate](certificate.md), with the public keys in [artist_key](artist_key.md).
- What every command changed: [journal](journal.md), sealed by [journal_seal](journal_seal.md).

## Rules that every table keeps

The database itself refuses, whatever program writes to it: a key or another unique value that is taken, a key that
changes, a row that names something that does not exist, and the deletion of a row. Every change is written into
[journal](journal.md). Only the newest command can be taken back, and exactly what it changed.

## Units

Lengths are whole micrometres, weights milligrams, volumes millilitres, times seconds, temperatures thousandths of a
degree Celsius, residues nanograms a square centimetre, money the minor units of its currency (ISO 4217). Dates are
EDTF (ISO 8601-2): `1998` a year, `1998~` about 1998, `1998?` perhaps 1998, `199X` in the nineties, `1998-21` spring
1998, `1950/1970` from 1950 to 1970, `..` an open end.

## Tables

"""


def pages(connection: sqlite3.Connection) -> dict[str, str]:
    """File name -> text of every page, with the whole schema as SQL beside them."""
    tables = described(connection)
    pointing = referring(tables)
    known = {table.name for table in tables}
    found = {INDEX: _index(connection, tables), FORM: schema_sql(connection)}
    return found | {f"{table.name}.md": _page(table, pointing, known) for table in tables}


def schema_sql(connection: sqlite3.Connection) -> str:
    """Every table, index and trigger as SQL; what SQLite makes by itself is left out."""
    rows = connection.execute(
        "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\' "
        "ORDER BY CASE type WHEN 'table' THEN 1 WHEN 'index' THEN 2 ELSE 3 END, rowid"
    )
    return "".join(f"{row[0]};\n\n" for row in rows)


def _index(connection: sqlite3.Connection, tables: list[Table]) -> str:
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    lines = [f"| [{table.name}]({table.name}.md) | {table.purpose} |" for table in tables]
    return (
        HEAD.format(version=version, form=FORM) + "\n".join(["| table | what it holds |", "|---|---|", *lines]) + "\n"
    )


def _page(table: Table, pointing: Mapping[str, list[str]], known: set[str]) -> str:
    parts = [f"# {table.name}", table.purpose, _columns(table, known)]
    if table.key:
        parts.append(f"Key: {', '.join(f'`{column}`' for column in table.key)}.")
    together = [one for one in table.references if len(one.columns) > 1]
    parts += [
        f"{', '.join(f'`{column}`' for column in one.columns)} together point to {_link(one.table, known)}."
        for one in together
    ]
    others = [name for name in pointing.get(table.name, []) if name != table.name]
    if others:
        parts.append("Pointed to by: " + ", ".join(_link(name, known) for name in others) + ".")
    if table.rules:
        parts += ["## Rules", REFUSED, "\n".join(f"- {rule}" for rule in table.rules)]
    parts += ["## As SQL", f"```sql\n{ADDED.sub(BROKEN, table.sql)};\n```", f"[All tables]({INDEX})"]
    return "\n\n".join(parts) + "\n"


def _columns(table: Table, known: set[str]) -> str:
    single = {one.columns[0]: one.table for one in table.references if len(one.columns) == 1}
    lines = ["| column | type | meaning |", "|---|---|---|"]
    for column in table.columns:
        points = f" Points to {_link(single[column.name], known)}." if column.name in single else ""
        lines.append(f"| `{column.name}` | {_type(column)} | {_cell(column.meaning)}{points} |")
    return "\n".join(lines)


def _type(column: Column) -> str:
    kind = "whole number" if column.type == "INTEGER" else "text"
    return kind + (", worked out" if column.is_worked_out else ", may be missing" if column.nullable else "")


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _link(name: str, known: set[str]) -> str:
    return f"[{name}]({name}.md)" if name in known else name
