"""A second version of a list: rows of it that were brought in before and have other cells now."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from catalog.exchange.importing.frame import Importer, Importing, Row
from catalog.records import imports

# Share of cells that rows of one number have in common, lest two lists counted from 1 are taken for one; and in
# versions of one list rows of one title.
ALIKE = 0.5
MOSTLY = 0.66  # share of cells by which two rows of versions of one list are one that was changed
# A text that more rows than these have tells nothing; of those left the rarest are looked at. Derived here.
COMMON, LOOKED_AT = 200, 3


class Before(NamedTuple):
    """A row brought in before that does not stand in this table as it was: field, or heading -> text."""

    file: str
    line: int
    thing: int
    family: bool  # of an earlier version of this very list
    values: dict[str, str]


def tell(
    work: Importing, importer: Importer[Any], rows: Sequence[Row], there: Sequence[Row], name: str, again: bool
) -> None:
    """Refuse each row that was brought in before and changed since, or with `again` doubt it.

    Looked at are all files of the noun. It is the same row by its own number; else by what it is called; else, in
    versions of one list (files of one name, or with a row in common), by most of its cells, or its title and half of
    them. One row is one earlier row.
    """
    if not rows or not importer.apart or not imports.any_file(work.connection, importer.noun):
        return
    earlier = _earlier(work, importer, {row.thing for row in there}, name)
    found: list[tuple[float, int, int]] = []
    values = [_values(row.cells, {row.layout.headings[at]: field for field, at in row.columns.items()}) for row in rows]
    index = _Index(importer, earlier)
    for place, mine in enumerate(values):
        for other in index.near(mine):
            score = _same(importer, mine, earlier[other])
            if score:
                found.append((score, place, other))
    taken: set[int] = set()
    told: set[int] = set()
    for _, place, other in sorted(found, key=lambda one: (-one[0], one[1], one[2])):
        if place not in told and other not in taken:
            told.add(place)
            taken.add(other)
            _tell(work, importer, rows[place], values[place], earlier[other], again)


def _earlier(work: Importing, importer: Importer[Any], standing: set[int], name: str) -> list[Before]:
    fields = imports.fields(work.connection, importer.noun)
    found = list(imports.earlier(work.connection, importer.noun))
    family = {one.file for one in found if one.thing in standing or one.name == name}
    return [
        Before(one.name, one.line, one.thing, one.file in family, _values(one.cells, fields[one.file]))
        for one in found
        if one.thing not in standing
    ]


def _values(cells: Mapping[str, str], fields: Mapping[str, str]) -> dict[str, str]:
    """Cells by their fields, for a heading may be another in the next version."""
    return {fields.get(heading) or heading: text for heading, text in cells.items()}


class _Index:
    """Earlier rows by what may tell that they are a row of now."""

    def __init__(self, importer: Importer[Any], earlier: Sequence[Before]) -> None:
        self.importer = importer
        self.called: dict[tuple[str, ...], list[int]] = {}
        self.cells: dict[tuple[str, str], list[int]] = {}
        for place, one in enumerate(earlier):
            self.called.setdefault(_called(importer, one.values), []).append(place)
            own = importer.apart[0]
            for item in one.values.items():
                if one.family or item[0] == own:
                    self.cells.setdefault(item, []).append(place)

    def near(self, values: Mapping[str, str]) -> Iterator[int]:
        """The places of earlier rows that a row may be."""
        called = _called(self.importer, values)
        lists = [found for item in values.items() if 0 < len(found := self.cells.get(item, ())) <= COMMON]
        lists = sorted(lists, key=len)[:LOOKED_AT]
        own = self.importer.apart[0]
        if own in values:
            lists.append(self.cells.get((own, values[own]), [])[:COMMON])
        if called:
            lists.append(self.called.get(called, [])[:COMMON])
        yield from {place for found in lists for place in found}


def _same(importer: Importer[Any], mine: Mapping[str, str], before: Before) -> float:
    """How sure two rows are one, 0 where they are two."""
    theirs = before.values
    for field in importer.apart:
        if mine.get(field) and theirs.get(field) and _plain(mine[field]) != _plain(theirs[field]):
            return 0.0
    share = sum(1 for name, text in theirs.items() if mine.get(name) == text) / max(len(theirs), len(mine), 1)
    called = _called(importer, mine)
    if called and called == _called(importer, theirs):
        return 1.0 + share
    own = importer.apart[0]
    numbered = bool(mine.get(own)) and bool(theirs.get(own))
    if numbered and (before.family or share >= ALIKE):
        return 1.0 + share
    titled = bool(mine.get("title")) and _plain(mine["title"]) == _plain(theirs.get("title", ""))
    return share if before.family and share >= (ALIKE if titled else MOSTLY) else 0.0


def _tell(
    work: Importing, importer: Importer[Any], row: Row, mine: Mapping[str, str], before: Before, again: bool
) -> None:
    called = imports.name_of(work.connection, importer.noun, before.thing)
    changed = [name for name in {**before.values, **mine} if before.values.get(name, "") != mine.get(name, "")]
    heading = {field: row.layout.heading(field) for field in row.columns}
    named = ", ".join(heading.get(name, name) for name in changed)
    said = f"imported before as {called}, from row {before.line} of {before.file}, with other cells ({named})"
    if again:
        row.doubt("", f"{said}; added as another {importer.one}")
    else:
        row.refuse(
            "",
            f"{said}. To change {called}: tirage correct {called}, and leave this row out. If it is another "
            f"{importer.one}: --again",
        )


def _called(importer: Importer[Any], values: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(map(_plain, importer.called(values)))


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()
