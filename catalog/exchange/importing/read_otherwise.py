"""A list that was brought in before and is read otherwise now, as its mapping file was corrected since."""

import json
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from catalog.dates import words
from catalog.exchange.importing.frame import Importer, Row
from catalog.measures import format_size
from catalog.records import imports

LOOKED_AT = 200  # rows; a mapping holds for all of them
MOST_TOLD = 2
MOST_SEARCHED = 5  # things of which the journal is asked what they were at first: it has no index for that
NUMBER = "code"  # a row's own number is taken, by what it became itself
# Noun -> its table, and what an importer's preview tells -> the columns in which it stands.
STORED: dict[str, tuple[str, dict[str, tuple[str, ...]]]] = {
    "negatives": ("negative", {"title": ("title",), "made": ("made",), "size": ("height", "width")}),
    "editions": ("edition", {"declared": ("declared",), "image": ("image_height", "image_width")}),
    "prints": ("print", {"printed": ("made",)}),
}
DATES = ("made", "declared")
NOW = "SELECT {columns} FROM {table} WHERE id = ?"
AT_FIRST = "SELECT after FROM journal WHERE tbl = ? AND key = json_array(?) AND before IS NULL ORDER BY id DESC LIMIT 1"
CAME_FROM = """SELECT r.file, r.cells FROM import_row r JOIN import_file f ON f.id = r.file
    WHERE r.thing = ? AND f.noun = ?"""


def said(importer: Importer[Any], there: Sequence[Row]) -> list[str]:
    """One sentence where rows that are there already would be read otherwise now, with the first that tell it."""
    looked_at = there[:LOOKED_AT]
    told = [*_columns(importer, looked_at), *_values(importer, looked_at)][:MOST_TOLD]
    if not told:
        return []
    return [
        f"Mind: {importer.noun} that are there already were read otherwise when they were imported "
        f"({'; '.join(told)}), and stay as they are. Where nothing came after that import, tirage undo takes it back, "
        f"and this list is then read anew; else set them right with tirage correct."
    ]


def _columns(importer: Importer[Any], there: Sequence[Row]) -> Iterator[str]:
    """Columns that were taken for another field then; asked of the first of these rows, one for all of its file."""
    if not there:
        return
    connection, row = importer.work.connection, there[0]
    came = [
        file
        for file, cells in connection.execute(CAME_FROM, (row.thing, importer.noun))
        if json.loads(cells) == row.cells
    ]
    if not came:
        return
    then = imports.fields(connection, importer.noun)[came[-1]]
    now = {place: field for field, place in row.layout.fields.items()}
    for place, heading in enumerate(row.layout.headings):
        before, field = then.get(heading), now.get(place, "")
        if before is not None and before != field and any(one.texts[place] for one in there):
            yield f"“{heading}” was taken for {before or 'none'}, now for {field or 'none'}"


def _values(importer: Importer[Any], there: Sequence[Row]) -> Iterator[str]:
    """What is read otherwise, a row each."""
    if importer.noun not in STORED:
        return
    table, columns = STORED[importer.noun]
    fresh = type(importer)(importer.work)  # so that what it remembers of these rows is in no one's way
    searched = 0
    for row in there:
        layout = row.layout._replace(fields={name: at for name, at in row.layout.fields.items() if name != NUMBER})
        draft = fresh.read(anew := Row(row.line, row.texts, layout, row.raw))
        if draft is None or anew.refused:
            continue
        read = fresh.preview(draft)
        stands = _now(importer.work.connection, table, columns, row.thing)
        if all(not read[name] or read[name] == text for name, text in stands.items()):
            continue
        if searched == MOST_SEARCHED:
            return
        searched += 1
        first = _at_first(importer.work.connection, table, columns, row.thing)
        for name, text in first.items():
            if read[name] and read[name] != text:
                yield f"row {row.line}: {name} {text or 'none'}, now {read[name]}"
                break


def _now(
    connection: sqlite3.Connection, table: str, columns: Mapping[str, Sequence[str]], thing: int
) -> dict[str, str]:
    names = [column for several in columns.values() for column in several]
    found = connection.execute(NOW.format(columns=", ".join(names), table=table), (thing,)).fetchone()
    return _shown(columns, dict(zip(names, found, strict=True))) if found else {}


def _at_first(
    connection: sqlite3.Connection, table: str, columns: Mapping[str, Sequence[str]], thing: int
) -> dict[str, str]:
    """What it was when it was added, whatever was corrected since."""
    found = connection.execute(AT_FIRST, (table, thing)).fetchone()
    return _shown(columns, json.loads(found[0])) if found else {}


def _shown(columns: Mapping[str, Sequence[str]], values: Mapping[str, Any]) -> dict[str, str]:
    """As a preview shows it."""
    shown: dict[str, str] = {}
    for name, several in columns.items():
        found = [values.get(column) for column in several]
        if len(several) > 1:
            height, width = found
            shown[name] = format_size(height, width) if height and width else ""
        else:
            shown[name] = (words(found[0]) if several[0] in DATES else str(found[0])) if found[0] else ""
    return shown
