"""Tables that run over pages: they break between rows and repeat their head."""

from dataclasses import dataclass
from typing import Literal

from labels.drawing import BLACK, FAINT, HAIRLINE, SOFT, Piece, Rule, Text, aligned, paragraph, wrapped
from labels.errors import DoesNotFit, PaperError
from labels.fitting import wrap
from labels.page import Flow
from labels.typefaces import SANS_MEDIUM, SERIF, SERIF_ITALIC, clean, text_width

_SIZE, _LEADING = 9.3, 11.6
_HEAD_SIZE, _HEAD_LEADING = 6.3, 8.2
_PAD = 2.3  # above and below a row
_GUTTER = 9.0  # between columns


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, its share of the width beside the others' shares, and how its cells are set."""

    heading: str
    share: float = 1.0
    align: Literal["left", "right", "centre"] = "left"


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under columns, with a note beneath. Cells missing at the end of a row are blank."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) > len(self.columns):
                raise PaperError(
                    f"A table row has {len(row)} cells under {len(self.columns)} columns; expected no more cells "
                    "than columns, so give the columns that are missing."
                )


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a column stands, in points from the table's left edge."""

    left: float
    width: float
    align: str


def put_table(flow: Flow, table: Table) -> None:
    """Set `table` across the width of `flow`, over as many pages as it takes."""
    if not table.columns:
        return
    places = _places(table, flow.width)
    head_lines = [
        wrap(column.heading.upper(), SANS_MEDIUM, _HEAD_SIZE * 1.12, place.width)
        for column, place in zip(table.columns, places, strict=True)
    ]
    head_height = max(map(len, head_lines)) * _HEAD_LEADING + 3.2
    flow.need(head_height + 2 * (_LEADING + 2 * _PAD))
    _put_head(flow, head_lines, places, head_height)
    for number, row in enumerate(table.rows):
        cells = [wrap(cell, SERIF, _SIZE, place.width) for cell, place in zip(row, places, strict=False)]
        _put_row(flow, cells, places, last=number == len(table.rows) - 1, again=(head_lines, head_height))
    if table.note:
        note = wrapped(flow.left, flow.top + 3.5, table.note, SERIF_ITALIC, 8.6, 10.8, flow.width, grey=0.25)
        flow.need(len(note) * 10.8 + 3.5)
        flow.put(wrapped(flow.left, flow.top + 3.5, table.note, SERIF_ITALIC, 8.6, 10.8, flow.width, grey=0.25))
        flow.top += len(note) * 10.8 + 3.5


def _places(table: Table, width: float) -> list[_Place]:
    """Widths from the shares, mended so that what can stand on one line does.

    Columns take at least the width of their longest cell when all of those fit side by side, else at least that of
    their longest word; what the others can spare pays for it.
    """
    free = width - _GUTTER * (len(table.columns) - 1)
    shares = sum(max(column.share, 0.01) for column in table.columns)
    widths = [free * max(column.share, 0.01) / shares for column in table.columns]
    for whole in (True, False):
        least = [_least_width(table, number, whole) for number in range(len(table.columns))]
        if sum(least) <= free:
            lacking = sum(max(0.0, need - got) for need, got in zip(least, widths, strict=True))
            spare = sum(max(0.0, got - need) for need, got in zip(least, widths, strict=True))
            widths = [
                need if got <= need else got - (got - need) * lacking / spare
                for need, got in zip(least, widths, strict=True)
            ]
            break
    places, left = [], 0.0
    for column, got in zip(table.columns, widths, strict=True):
        places.append(_Place(left, got, column.align))
        left += got + _GUTTER
    return places


def _least_width(table: Table, number: int, whole: bool) -> float:
    """Points the longest cell (`whole`) or the longest word of a column needs, its heading's words included."""
    head = clean(table.columns[number].heading.upper()).split(" ")
    cells = {clean(row[number]) for row in table.rows if number < len(row)}
    parts = cells if whole else {word for cell in cells for word in cell.split(" ")}
    return 0.1 + max(
        max(text_width(word, SANS_MEDIUM, _HEAD_SIZE * 1.14) for word in head),
        max((text_width(part, SERIF, _SIZE) for part in parts), default=0.0),
    )


def _put_head(flow: Flow, lines: list[tuple[str, ...]], places: list[_Place], height: float) -> None:
    pieces: list[Piece] = []
    rows = max(map(len, lines))
    for broken, place in zip(lines, places, strict=True):
        # Heads of unequal height stand on the rule, not under the ceiling.
        top = flow.top + (rows - len(broken)) * _HEAD_LEADING
        for line in paragraph(flow.left + place.left, top, broken, SANS_MEDIUM, _HEAD_SIZE, _HEAD_LEADING, grey=SOFT):
            spaced = Text(line.left, line.baseline, line.text, line.face, line.size, _HEAD_SIZE * 0.06, line.grey)
            pieces.append(aligned(spaced, place.width, place.align))
    flow.top += height
    pieces.append(Rule(flow.left, flow.top, flow.left + flow.width, flow.top, 0.6, BLACK))
    flow.put(pieces)


def _put_row(
    flow: Flow,
    cells: list[tuple[str, ...]],
    places: list[_Place],
    last: bool,
    again: tuple[list[tuple[str, ...]], float],
) -> None:
    lines = max((len(cell) for cell in cells), default=1) or 1
    done = 0
    while done < lines:
        room = int((flow.room - 2 * _PAD) / _LEADING + 1e-6)
        left = lines - done
        # A row stays whole unless it is longer than any page could hold.
        whole_page = int((flow.whole - again[1] - 2 * _PAD) / _LEADING)
        if whole_page < 1:
            raise DoesNotFit("A table", "give it fewer columns or shorter headings")
        if room < (left if left <= whole_page else 1):
            flow.turn()
            _put_head(flow, again[0], places, again[1])
            continue
        taken = min(left, room)
        pieces: list[Piece] = []
        for cell, place in zip(cells, places, strict=False):
            shown = cell[done : done + taken]
            left_edge = flow.left + place.left
            pieces += paragraph(left_edge, flow.top + _PAD, shown, SERIF, _SIZE, _LEADING, place.width, place.align)
        flow.top += taken * _LEADING + 2 * _PAD
        done += taken
        ends = last and done == lines
        weight, grey = (0.6, BLACK) if ends else (HAIRLINE, FAINT)
        pieces.append(Rule(flow.left, flow.top, flow.left + flow.width, flow.top, weight, grey))
        flow.put(pieces)
