"""A list that was brought in before and is read otherwise now, as its mapping file was corrected since."""

import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from catalog.dates import words
from catalog.exchange.importing.frame import Importer, Row
from catalog.measures import format_length, format_size
from catalog.quantities import format_weight
from catalog.records import imports, places

LOOKED_AT = 20_000  # rows, so that a long list stays quick; a mapping holds for all of them
MOST_TOLD = 2  # of columns, and of rows with what they say
NUMBER = "code"  # a row's own number is taken, by what it became itself
CAME_FROM = """SELECT r.file, r.cells FROM import_row r JOIN import_file f ON f.id = r.file
    WHERE r.thing = ? AND f.noun = ?"""
NOW = "SELECT {columns} FROM {table} WHERE id = ?"
# What a thing was when it was added, and where it went by the same command, whatever was corrected or moved since.
# The journal has no index for that, so it is asked once for all of them.
ADDED = """SELECT thing, at, (SELECT last FROM journal_seal WHERE first <= at ORDER BY first DESC LIMIT 1)
    FROM (SELECT key ->> '$[0]' AS thing, max(id) AS at FROM journal WHERE tbl = ? AND before IS NULL
        AND key IN (SELECT json_array(value) FROM json_each(?)) GROUP BY key)"""
AFTER = "SELECT after FROM journal WHERE id = ?"
WITH_IT = """SELECT tbl, after FROM journal WHERE id BETWEEN ? AND ? AND tbl IN ('movement', 'transfer')
    AND before IS NULL"""
STANDS = "SELECT place FROM standing WHERE item = ?"
WENT = """SELECT t.to_party, t.price, t.currency FROM transfer t WHERE t.item = ?"""
CALLED = """SELECT name FROM party WHERE id = ?1 UNION SELECT coalesce(after, before) ->> '$.name' FROM journal
    WHERE tbl = 'party' AND key = json_array(?1)"""
Values = tuple[Any, ...]


class Part(NamedTuple):
    """Something that is read from cells of `fields` and stands in `columns` of the table; `read` takes a draft.

    `shown` is how a person reads its values. `surely` says that it stands as it was read also where nothing was.
    """

    fields: tuple[str, ...]
    columns: tuple[str, ...]
    read: Callable[[Any], Values]
    shown: Callable[..., str] = str
    surely: bool = True


def _dated(date: Any) -> Values:
    return (date.edtf if date else "",)


NO_SIZE = (None, None)
IMAGE, SHEET = ("image_height", "image_width"), ("sheet_height", "sheet_width")
# Noun -> its table and what is compared. Of places, parties and tests a mapping says little more than which column is
# what, and that is told by itself; whom a print went to and where a thing stands are compared below.
PARTS: dict[str, tuple[str, dict[str, Part]]] = {
    "negatives": ("negative", {
        "title": Part(("title",), ("title",), lambda draft: (draft.new.title,)),
        "made": Part(("made",), ("made",), lambda draft: _dated(draft.new.made), words),
        "process": Part(("process",), ("process",), lambda draft: (draft.new.process,)),
        "support": Part(("support", "process"), ("support",), lambda draft: (draft.new.support,)),
        "size": Part(("size", "height", "width"), ("height", "width"), lambda draft: draft.new.size, format_size),
        "thickness": Part(("thickness",), ("thickness",), lambda draft: (draft.new.thickness,), format_length),
        "weight": Part(("weight",), ("weight",), lambda draft: (draft.new.weight,), format_weight),
    }),
    "editions": ("edition", {
        "declared": Part(("declared",), ("declared",), lambda draft: _dated(draft.declared), words),
        "image": Part(("image size",), IMAGE, lambda draft: draft.image or NO_SIZE, format_size),
        "sheet": Part(("sheet size", "image size"), SHEET, lambda draft: draft.sheet or NO_SIZE, format_size),
        "process": Part(("process",), ("process",), lambda draft: (draft.process,)),
    }),
    "prints": ("print", {
        "printed": Part(("printed",), ("made",), lambda draft: _dated(draft.earlier.made), words, False),
        "image": Part(("image size", "sheet size"), IMAGE, lambda draft: draft.earlier.image or NO_SIZE, format_size),
        "sheet": Part(("sheet size", "image size"), SHEET, lambda draft: draft.earlier.sheet or NO_SIZE, format_size),
    }),
}  # fmt: skip


class Beside(NamedTuple):
    """Where a thing stands, and whom it went to for how much: as stored, or as it was entered with the thing."""

    places: list[int | None]
    went: list[tuple[int | None, int | None, str]]  # party, price, currency


class Suspect(NamedTuple):
    """A row that is read otherwise than its thing stands now, which may have been corrected or moved."""

    row: Row
    draft: Any


def said(importer: Importer[Any], there: Sequence[Row]) -> list[str]:
    """One sentence where rows that are there already would be read otherwise now, with the first that tell it."""
    told = list(_columns(importer, there))[:MOST_TOLD]
    rows = _values(importer, there[:LOOKED_AT])
    seen: set[str] = set()
    shown: set[int] = set()
    for line, changes in rows.items():  # an example of each thing that changed, before more of the same
        if len(shown) < MOST_TOLD and changes.keys() - seen:
            seen |= changes.keys()
            shown.add(line)
            told.append(f"row {line}: {'; '.join(changes.values())}")
    if others := [line for line in rows if line not in shown]:
        told.append(_numbered(others, len(there) > LOOKED_AT))
    if not told:
        return []
    return [
        f"Mind: {importer.noun} that are there already were read otherwise when they were imported "
        f"({'; '.join(told)}), and stay as they are. Where nothing came after that import, tirage undo takes it back, "
        f"and this list is then read anew; else set them right with tirage correct."
    ]


def _numbered(lines: Sequence[int], more: bool) -> str:
    """“rows 52, 53 and 137 more”, of the rows that were looked at."""
    aside = f" among the first {LOOKED_AT:,} rows" if more else ""
    if len(lines) < 4:
        named = " and ".join(filter(None, (", ".join(map(str, lines[:-1])), str(lines[-1]))))
        return f"and so {'row' if len(lines) == 1 else 'rows'} {named}{aside}"
    return f"and so rows {lines[0]}, {lines[1]} and {len(lines) - 2:,} more{aside}"


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


def _values(importer: Importer[Any], there: Sequence[Row]) -> dict[int, dict[str, str]]:
    """Line -> what is read otherwise: its name, and in words what it was and is now."""
    if importer.noun not in PARTS or not there:
        return {}
    connection, (table, parts) = importer.work.connection, PARTS[importer.noun]
    columns = list(dict.fromkeys(column for part in parts.values() for column in part.columns))
    query = NOW.format(columns=", ".join(columns), table=table)
    fresh = type(importer)(importer.work)  # so that what it remembers of these rows is in no one's way
    layout = there[0].layout
    layout = layout._replace(fields={name: at for name, at in layout.fields.items() if name != NUMBER})
    suspects = []
    for row in there:
        draft = fresh.read(anew := Row(row.line, row.texts, layout, row.raw))
        found = connection.execute(query, (row.thing,)).fetchone()
        if draft is None or anew.refused or found is None:
            continue
        if _changes(connection, parts, row, draft, dict(zip(columns, found, strict=True)), _beside(connection, row)):
            suspects.append(Suspect(row, draft))
    return _at_first(connection, table, parts, suspects)


def _at_first(
    connection: sqlite3.Connection, table: str, parts: Mapping[str, Part], suspects: Sequence[Suspect]
) -> dict[int, dict[str, str]]:
    """The suspects that are read otherwise than they were when they were added."""
    if not suspects:
        return {}
    things = json.dumps([row.thing for row, _ in suspects])
    added = {thing: (place, last) for thing, place, last in connection.execute(ADDED, (table, things)).fetchall()}
    beside: dict[int, Beside] = {}
    spans: dict[int, int] = {}  # the end of a command -> the first of these things in it
    for place, last in added.values():
        spans[last] = min(place, spans.get(last, place))
    for last, first in spans.items():
        for kind, after in connection.execute(WITH_IT, (first, last)):
            one = json.loads(after)
            at = beside.setdefault(one["item"], Beside([], []))
            if kind == "movement":
                at.places.append(one["to_place"])
            else:
                at.went.append((one["to_party"], one["price"], one["currency"]))
    found: dict[int, dict[str, str]] = {}
    for row, draft in suspects:
        if row.thing in added:
            first = json.loads(connection.execute(AFTER, (added[row.thing][0],)).fetchone()[0])
            changes = _changes(connection, parts, row, draft, first, beside.get(row.thing, Beside([], [])))
            if changes:
                found[row.line] = changes
    return found


def _beside(connection: sqlite3.Connection, row: Row) -> Beside:
    """As it is now."""
    stands = [place for (place,) in connection.execute(STANDS, (row.thing,))] if row.get("place") else []
    went = row.get("owner") or row.get("gallery") or row.get("price")
    return Beside(stands, connection.execute(WENT, (row.thing,)).fetchall() if went else [])


def _changes(
    connection: sqlite3.Connection,
    parts: Mapping[str, Part],
    row: Row,
    draft: Any,
    stored: Mapping[str, Any],
    beside: Beside,
) -> dict[str, str]:
    """What a row says otherwise than is stored; nothing of a field that has no cell here, as its column is told."""
    found: dict[str, str] = {}
    for name, part in parts.items():
        if not any(row.get(field) for field in part.fields):
            continue
        read, stands = tuple(part.read(draft)), tuple(stored.get(column) for column in part.columns)
        if read != stands and (part.surely or any(read)):
            found[name] = f"{name} {_shown(part, stands)}, now {_shown(part, read)}"
    place = getattr(draft, "place", None)
    if place is not None and (place.place is None or place.place.id not in beside.places):
        stood = ", ".join(places.path_of(connection, one) for one in beside.places if one)
        found["place"] = f"place {stood or 'none'}, now {place.path}"
    hands = getattr(draft, "hands", None)
    return found if hands is None else found | _hands(connection, row, hands, beside)


def _hands(connection: sqlite3.Connection, row: Row, hands: Any, beside: Beside) -> dict[str, str]:
    """Who had it and for how much, where that is told otherwise; who was renamed since is still the same."""
    found: dict[str, str] = {}
    for field, side in (("owner", hands.owner), ("gallery", hands.gallery)):
        if side is None or not side.name:
            continue
        names = [_names(connection, one) for one in dict.fromkeys(party for party, *_ in beside.went if party)]
        if not any(side.name.casefold() in (name.casefold() for name in one) for one in names):
            found[field] = f"{field} {', '.join(one[0] for one in names) or 'none'}, now {side.name}"
    if hands.price and (hands.price.minor, hands.price.currency) not in [tuple(one[1:]) for one in beside.went]:
        found["price"] = f"price now {hands.price.text()}"
    return found


def _names(connection: sqlite3.Connection, party: int) -> list[str]:
    """What a party is called, or was."""
    return [name for (name,) in connection.execute(CALLED, (party,)) if name] or ["nobody known"]


def _shown(part: Part, values: Iterable[Any]) -> str:
    found = tuple(values)
    return part.shown(*found) if all(found) else "none"
