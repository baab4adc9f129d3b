"""Bringing a table in: every row read, told and added, inside a transaction that a dry run takes back."""

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from catalog.exchange.importing import open_questions, read_otherwise, refused, total_rows, versions
from catalog.exchange.importing.frame import REFUSED, Importer, Importing, Layout, Row, Told
from catalog.exchange.importing.tables import YEARLESS, Table
from catalog.records import imports
from catalog.records.imports import NewRow


@dataclass
class Plan:
    """What came of a table: its rows in order, each with what is told of it, and what is told of the file."""

    noun: str
    one: str
    table: Table
    layout: Layout
    said: list[str]
    added: list[Row] = field(default_factory=list)
    previews: dict[int, dict[str, str]] = field(default_factory=dict)  # line -> how it was read
    there: list[Row] = field(default_factory=list)  # brought in before
    refused: list[Row] = field(default_factory=list)
    told: list[Told] = field(default_factory=list)  # in the order of rows

    @property
    def new(self) -> list[Row]:
        """The rows that became something; the others of `added` belong to what was there."""
        return [row for row in self.added if not row.merged]

    @property
    def reached(self) -> int:
        """How many ways to reach what is there were added to it."""
        return sum(row.reached for row in (*self.added, *self.there))

    @property
    def noting(self) -> int:
        """How many rows belong to what was there and keep something as notes of it."""
        places = self.layout.unclaimed
        return sum(1 for row in self.added if row.merged and (row.noted or any(row.texts[at] for at in places)))

    def count(self, kind: str) -> int:
        """How many rows have something told of a kind."""
        return len({one.line for one in self.told if one.kind == kind})

    @property
    def notes(self) -> list[str]:
        """The headings of columns that no field takes."""
        return [self.layout.headings[place] for place in self.layout.unclaimed]


def bring_in(
    work: Importing,
    importer: Importer[Any],
    table: Table,
    layout: Layout,
    said: Sequence[str],
    previews: int,
    again: bool = False,
) -> Plan:
    """Read every row of a table and add what can be added; the caller takes it back where it is a dry run.

    Rows that were brought in before are left alone; those whose cells were changed since are refused, but for `again`.
    A refused row is not added, the others are. `previews` is of how many rows the plan says how they were read.
    """
    plan = Plan(importer.noun, importer.one, table, layout, [*table.said, *said])
    known = imports.known(work.connection, importer.noun)
    ahead = _told_of_file(table, {layout.heading(name) for name in importer.dates} - {""})
    rows: list[Row] = []
    digests: dict[int, str] = {}
    alike: dict[int, int] = {}  # line -> the first line that says the same
    for row, digest, first in _digested(importer, table, layout):
        if digest in known:
            row.thing = known[digest]
            importer.look_again(row)
            plan.there.append(row)
            continue
        if ahead and row.line in ahead:
            row.told += ahead[row.line]
            row.refused = any(one.kind == REFUSED for one in row.told)
        if not row.refused:
            total_rows.tell(row, importer.one)
        if not row.refused:
            refused.mind_formulas(row, table.name)
        if first:
            alike[row.line] = first
        digests[row.line] = digest
        rows.append(row)
    versions.tell(work, importer, rows, plan.there, table.name, again)
    read = list(_read(importer, work.counted(rows, "Reading")))
    importer.add(read)
    added = [(row, draft) for row, draft in read if not row.refused]
    plan.added = [row for row, _ in added]
    new = [(row, draft) for row, draft in added if not row.merged]
    plan.previews = {row.line: importer.preview(draft) for row, draft in new[:previews]}
    for row in plan.new:
        if row.line in alike:
            row.doubt("", f"the same as row {alike[row.line]}; added as another {importer.one}")
    plan.refused = [row for row in rows if row.refused]
    told = sorted([*rows, *(row for row in plan.there if row.told)], key=lambda row: row.line)
    plan.told = [one for row in told for one in row.told]
    plan.said += [
        *importer.said(),
        *open_questions.said(importer, rows),
        *read_otherwise.said(importer, plan.there),
    ]
    _keep(work, importer, plan, digests)
    return plan


def _told_of_file(table: Table, dates: set[str]) -> dict[int, list[Told]]:
    """What is told of each row ahead; that a cell is a date is no doubt under those of dates, but a hidden year is."""
    ahead: dict[int, list[Told]] = {}
    for one in table.told:
        if one.kind != REFUSED and one.heading in dates:
            if YEARLESS not in one.reason:
                continue
            one = one._replace(reason=f"{one.reason.partition(':')[0]}; read as of that year")
        ahead.setdefault(one.line, []).append(one)
    return ahead


def _read(importer: Importer[Any], rows: Iterable[Row]) -> Iterator[tuple[Row, Any]]:
    for row in rows:
        draft = None if row.refused else importer.read(row)
        if draft is not None and not row.refused:
            yield row, draft


def _digested(importer: Importer[Any], table: Table, layout: Layout) -> Iterator[tuple[Row, str, int]]:
    """Every row with the digest of its noun, its cells and which of its like it is, and the line of the first alike.

    That line is 0 where there is none before it, or where cells differ that are not kept.
    """
    seen: dict[bytes, tuple[int, int, Sequence[str]]] = {}
    # By heading, and empty cells say nothing: a column that is moved, or added and empty, makes no other row.
    shown = sorted((name, place) for place, name in enumerate(layout.headings) if place not in layout.unkept)
    ground = hashlib.sha256(json.dumps(importer.noun).encode())
    quoted = [(f"\x1e{json.dumps(name)}\x1f", place) for name, place in shown]
    for number, texts in table.lines:
        row = Row(number, texts, layout, table.raw.get(number))
        own = ground.copy()
        raw = row.raw
        own.update("".join([name + raw[place] for name, place in quoted if raw[place]]).encode())
        plain = own.digest()
        before = seen.get(plain)
        count, first, like = (before[0] + 1, *before[1:]) if before else (1, number, raw)
        seen[plain] = (count, first, like)
        if count > 1:
            own.update(b"\x1d%d" % count)
        hidden = any(raw[place] != like[place] for place in layout.unkept)
        yield row, own.hexdigest()[:40], 0 if count == 1 or hidden else first


def _keep(work: Importing, importer: Importer[Any], plan: Plan, digests: Mapping[int, str]) -> None:
    """Record the file and the rows that were added, with what is kept of them as notes."""
    if not plan.added:
        return
    names = plan.layout.headings
    taken = {place: name for name, place in plan.layout.fields.items()}
    headings = {heading: taken.get(place, "") for place, heading in enumerate(names)}
    file = imports.add_file(work.connection, work.event, plan.noun, plan.table.name, plan.table.sha256, headings)
    unclaimed, unkept = plan.layout.unclaimed, {names[place] for place in plan.layout.unkept}

    def rows() -> Iterator[NewRow]:
        for row in plan.added:
            notes = [names[place] for place in unclaimed if row.texts[place]]
            notes += [heading for heading in row.noted if heading not in unkept]
            yield NewRow(row.line, digests[row.line], row.thing, row.cells, notes)

    imports.add_rows(work.connection, file, rows())
