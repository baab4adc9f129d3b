"""The frame every importer fits into: its fields, the rows of a table and what is told about them."""

import datetime
import sqlite3
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, ClassVar, Generic, NamedTuple, TypeVar

from catalog.errors import TirageError
from catalog.events import Event

REFUSED, DOUBTFUL, NOTE = "refused", "doubtful", "kept as note"  # worst first
Draft = TypeVar("Draft")


class Field(NamedTuple):
    """Something an importer takes from a column.

    `told` is one line for the mapping file. `names` are headings taken for it beside its own name, in English, French
    and German, singular, without caring for case, accents and punctuation; several fields never share one.
    """

    name: str
    told: str
    names: tuple[str, ...] = ()


class Told(NamedTuple):
    """What is told about one cell, or about a whole row where `heading` is ""."""

    line: int
    heading: str
    text: str
    kind: str  # REFUSED, DOUBTFUL (added as read) or NOTE (kept as note under its heading)
    reason: str


@dataclass(frozen=True)
class Options:
    """What holds for every row of one file, as its mapping file says."""

    unit: str = ""  # of sizes that name none, under headings that name none: "cm", "mm", "in"
    width_first: bool = False
    day_first: bool | None = None  # 3/4/1952: True 3 April, False March 4, None nobody said
    hundred: str = ""  # May-53: "19" for 1953, "" nobody said
    decimal_comma: bool = False
    spellings: Mapping[str, Mapping[str, str]] = field(default_factory=dict)  # "parties" -> as written -> as meant

    def meant(self, kind: str, text: str) -> str:
        """A name as it is meant: `kind` is "parties", "places" or "processes"; blanks and case do not matter."""
        known = self.spellings.get(kind)
        return known.get(" ".join(text.split()).casefold(), text) if known else text


class Layout(NamedTuple):
    """What the headings of a table were taken for."""

    headings: tuple[str, ...]
    fields: Mapping[str, int]  # field -> its column, counted from 0; only fields that have one
    unclaimed: tuple[int, ...]  # columns no field takes, kept as notes
    unkept: frozenset[int] = frozenset()  # columns whose cells stay neither with the row nor in the journal
    units: Mapping[str, str] = MappingProxyType({})  # field -> the unit that its heading says, such as “cm” or “kg”

    def heading(self, field: str) -> str:
        """The heading over a field, "" where the table has none."""
        column = self.fields.get(field)
        return "" if column is None else self.headings[column]

    @property
    def left_out(self) -> list[str]:
        """The headings of columns that no field takes and that are not kept as notes either."""
        return [self.headings[place] for place in sorted(self.unkept - {*self.fields.values()})]


class Row:
    """One row of the table. Cells are NFC text without blanks around it; `line` counts from 1 with the headings.

    An importer reads cells with `get` and tells what a person has to look at with `doubt`, `keep` and `refuse`.
    After it was added `thing` is the identity of what it became, and `code` how a person calls that; `merged` says
    that this was there already and the row only belongs to it, `reached` how many ways to reach that it added.
    """

    __slots__ = (
        "code", "columns", "layout", "line", "merged", "noted", "raw", "reached", "refused", "texts", "thing", "told",
    )  # fmt: skip

    def __init__(self, line: int, texts: Sequence[str], layout: Layout, raw: Sequence[str] | None = None) -> None:
        self.line, self.texts, self.layout, self.columns = line, texts, layout, layout.fields
        self.raw = texts if raw is None else raw  # as written, with the line breaks within cells
        self.told: list[Told] = []
        self.noted: list[str] = []  # headings kept as notes beside the unclaimed columns
        self.refused = self.merged = False
        self.thing = self.reached = 0
        self.code = ""

    def get(self, field: str) -> str:
        """The text of a field, "" where the cell is empty or the table has no such column."""
        column = self.columns.get(field)
        return "" if column is None else self.texts[column]

    @property
    def cells(self) -> dict[str, str]:
        """Heading -> text of what is kept, empty cells left out."""
        cells = {heading: text for heading, text in zip(self.layout.headings, self.raw, strict=True) if text}
        for place in self.layout.unkept:
            cells.pop(self.layout.headings[place], None)
        return cells

    def doubt(self, field: str, reason: str) -> None:
        """Tell how a cell was read where it could be meant otherwise; it is added as read."""
        self._tell(field, DOUBTFUL, reason)

    def keep(self, field: str, reason: str) -> None:
        """Tell that a cell was not understood (or not wholly): it is kept as note under its heading, and seen."""
        self._tell(field, NOTE, reason)
        self.note(field)

    def note(self, field: str) -> None:
        """Keep a cell as note under its heading; why is told elsewhere."""
        heading = self.layout.heading(field)
        if heading and heading not in self.noted:
            self.noted.append(heading)

    def refuse(self, field: str, reason: str) -> None:
        """Tell why this row cannot be added; `field` is "" where it is no single cell's fault."""
        self._tell(field, REFUSED, reason)
        self.refused = True

    def _tell(self, field: str, kind: str, reason: str) -> None:
        self.told.append(Told(self.line, self.layout.heading(field) or field, self.get(field), kind, reason))


@dataclass(frozen=True)
class Importing:
    """What an importer works in: an open transaction, the event of the import, and what the mapping file says.

    `counted` puts a progress bar around rows on a terminal. Nothing an importer does is committed by it; a dry run does
    all of it and takes it back.
    """

    connection: sqlite3.Connection
    event: Event
    today: datetime.date
    options: Options
    counted: Callable[[Sequence[Any], str], Iterable[Any]] = lambda things, label: things

    @contextmanager
    def attempt(self, row: Row) -> Iterator[None]:
        """Try to add one row with the operations of the records: what they refuse is told of the row, and undone."""
        self.connection.execute("SAVEPOINT one_row")
        try:
            yield
        except TirageError as refusal:
            self.connection.execute("ROLLBACK TO one_row")
            row.refuse("", refusal.sentence)
        finally:
            self.connection.execute("RELEASE one_row")


class Importer(ABC, Generic[Draft]):
    """Reads rows of one noun, then adds what it read. Made anew for every file, so it may remember what it saw.

    `needed` names fields of which a table must have at least one column, else it is no table of this noun. `hidden`
    names fields whose cells are not kept with the row and not in the journal, such as addresses; `dates` those that
    hold dates. `apart` names fields, its own number first, in which two rows that differ are two things; without one,
    a row belongs by itself to what is there already.
    """

    noun: ClassVar[str]  # negatives, prints, editions, places, parties, tests
    one: ClassVar[str]  # "negative": one of them, as told
    fields: ClassVar[tuple[Field, ...]]
    needed: ClassVar[tuple[str, ...]]
    hidden: ClassVar[tuple[str, ...]] = ()
    dates: ClassVar[tuple[str, ...]] = ()
    apart: ClassVar[tuple[str, ...]] = ()

    def __init__(self, work: Importing) -> None:
        self.work = work

    @abstractmethod
    def read(self, row: Row) -> Draft | None:
        """What a row says, ready to be added; None where it was refused. Looks at the catalog, writes nothing."""

    @abstractmethod
    def add_one(self, row: Row, draft: Draft) -> tuple[int, str]:
        """Add one row; the identity of what it became and how a person calls it. Raises TirageError for a refusal."""

    def called(self, values: Mapping[str, str]) -> tuple[str, ...]:
        """What a row is known by beside its own number, from field -> text; () where that tells it from no other."""
        return ()

    def look_again(self, row: Row) -> None:
        """Tell what a row that was brought in before, as `row.thing`, says now in cells that are hidden."""

    def preview(self, draft: Draft) -> dict[str, str]:
        """How a row was read, as a person checks it: name -> text, such as made -> “c. 1950”. The same names always."""
        return {}

    def said(self) -> list[str]:
        """Sentences that hold for the whole file: what was taken where no column says it. Asked after `add`."""
        return []

    def near(self) -> dict[str, dict[str, str]]:
        """Spellings to be offered in the mapping file: "parties" -> as written -> as likely meant. After `add`."""
        return {}

    def add(self, read: Sequence[tuple[Row, Draft]]) -> None:
        """Add all rows in order, setting `thing` and `code` of each that was. Override it to add many at once."""
        for row, draft in self.work.counted(read, "Adding"):
            with self.work.attempt(row):
                row.thing, row.code = self.add_one(row, draft)
