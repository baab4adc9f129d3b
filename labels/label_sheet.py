"""Label sheets: code square, code, artist and title, several labels to a die-cut sheet."""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import groupby
from typing import Literal

from labels.drawing import SOFT, Frame, Piece, Square, Text, draw, first_baseline, move, paragraph, set_line
from labels.errors import AddressTooLong, PaperError, StartOutOfRange
from labels.fitting import fit
from labels.geometry import Box, millimetres, points
from labels.page import new_canvas
from labels.qr import LEAST_MODULE, PRINTER_DOT, QrSymbol, qr_symbol, quiet_in_points, side_in_points
from labels.stock import Stock
from labels.typefaces import SANS, SANS_ITALIC, SANS_MEDIUM, SERIF, SERIF_ITALIC, clean, text_width

Side = Literal["left", "right"]


@dataclass(frozen=True, slots=True)
class Label:
    """What one label says. `address` goes into the square (none when empty), `code` is always printed in words.

    `heading` is usually the artist, `title` the work, `lines` whatever else, most important first: those that find
    no room are left out from the end. `note` is small print that stays.
    """

    code: str
    address: str
    heading: str
    title: str
    lines: tuple[str, ...] = ()
    note: str = ""


def label_sheet(
    labels: Sequence[Label], stock: Stock, start: int = 1, outline: bool = False, side: Side = "left"
) -> bytes:
    """Labels on sheets of `stock`, as the bytes of a PDF.

    `start` is the first free position of the first sheet, counted from 1 at the top left along the rows; `outline`
    draws the edges, to be held against a sheet on plain paper; `side` is where the squares stand. Raises
    `StartOutOfRange`, `AddressTooLong`, `GlyphMissing`, or `PaperError` when there is no label at all.
    """
    if not 1 <= start <= stock.positions:
        raise StartOutOfRange(start, stock.name, stock.positions)
    if not labels:
        raise PaperError("There is no label to print; expected at least one, so name what the labels are for.")
    out = BytesIO()
    first, last = labels[0].code, labels[-1].code
    canvas = new_canvas(out, stock.page, f"Labels {first}" + (f" to {last}" if last != first else ""))
    height = points(stock.page.height)
    cells = [stock.grid.cell(position).in_points() for position in range(1, stock.positions + 1)]
    sheet = 0
    places = enumerate(labels, start=start - 1)
    for (number, _), row in groupby(
        places, lambda one: (one[0] // stock.positions, cells[one[0] % stock.positions].top)
    ):
        if number > sheet:
            canvas.showPage()
            sheet = number
        # Labels beside each other hang from one line, whichever of them says the most.
        laid = [_Laid.of(label, cells[place % stock.positions]) for place, label in row]
        tallest = max(one.height for one in laid)
        for one in laid:
            if outline:
                draw(canvas, (Frame(one.cell),), height)
            draw(canvas, one.pieces(side, tallest), height)
    canvas.showPage()
    canvas.save()
    return out.getvalue()


@dataclass(frozen=True, slots=True)
class _Measures:
    """Sizes that suit a cell, in points: white at the edges, largest square, and type in proportion."""

    area: Box
    factor: float
    square: float

    @classmethod
    def of(cls, cell: Box) -> "_Measures":
        width, height = millimetres(cell.width), millimetres(cell.height)
        # Sheets without outer margins run into the strip that desk printers leave blank, about 4 mm.
        across = points(min(max(width * 0.062, 3.4), 6.2))
        down = points(min(max(height * 0.1, 2.5), 6.2))
        area = Box(cell.left + across, cell.top + down, cell.width - 2 * across, cell.height - 2 * down)
        factor = min(max(min(height / 36, width / 66), 0.88), 1.45)
        return cls(area, factor, points(min(max(height * 0.46, 12.2), 28.0, width * 0.27)))


def lay_out(label: Label, cell: Box, side: Side = "left") -> tuple[Piece, ...]:
    """The pieces of one label inside `cell` (points from the page's top left corner)."""
    laid = _Laid.of(label, cell)
    return laid.pieces(side, laid.height)


@dataclass(frozen=True, slots=True)
class _Laid:
    """The square and the text of one label, each from 0, 0, before it is known how high those beside it are."""

    cell: Box
    area: Box
    block: list[Piece]
    text: list[Piece]
    block_width: float
    gutter: float
    height: float

    @classmethod
    def of(cls, label: Label, cell: Box) -> "_Laid":
        measures = _Measures.of(cell)
        area = measures.area
        block = _square_block(label, measures)
        block_width = max((piece.box.right for piece in block), default=0.0)
        gutter = 0.0
        if block:
            module = next(piece.module for piece in block if isinstance(piece, Square))
            gutter = max(points(2.6) * measures.factor, quiet_in_points(module) + 1)
        text_area = Box(0.0, 0.0, area.width - block_width - gutter, area.height)
        text = _text_block(label, text_area, measures.factor, with_code=not any(isinstance(p, Text) for p in block))
        height = max((piece.box.bottom for piece in (*block, *text)), default=0.0)
        return cls(cell, area, block, text, block_width, gutter, height)

    def pieces(self, side: Side, tallest: float) -> tuple[Piece, ...]:
        """All of it in its cell; `tallest` is the height of the highest label of its row."""
        area = self.area
        # Square and text hang from one line, the row in the middle of its cells: it then forgives a shifted sheet.
        top = area.top + max(0.0, (area.height - tallest) / 2)
        square_left, text_left = area.left, area.left + self.block_width + self.gutter
        if side == "right":
            square_left, text_left = area.right - self.block_width, area.left
        return (
            *(move(piece, square_left, top) for piece in self.block),
            *(move(piece, text_left, top) for piece in self.text),
        )


def _square_block(label: Label, measures: _Measures) -> list[Piece]:
    """The square, and under it the code where it is not wider than the square; from 0, 0."""
    if not label.address:
        return []
    symbol = qr_symbol(label.address)
    size = 7.0 * measures.factor
    code = clean(label.code)
    code_width = text_width(code, SANS_MEDIUM, size)
    module = _module(symbol, measures, label)
    side = side_in_points(symbol, module)
    under = quiet_in_points(module) + size * 1.06
    if code_width <= side * 1.06 and side + under <= measures.area.height:
        baseline = side + quiet_in_points(module) + size * 0.76
        offset = max(0.0, (side - code_width) / 2)
        return [
            Square(max(0.0, (code_width - side) / 2), 0.0, symbol, module),
            Text(offset, baseline, code, SANS_MEDIUM, size),
        ]
    return [Square(0.0, 0.0, symbol, module)]


def _module(symbol: QrSymbol, measures: _Measures, label: Label) -> float:
    """The module in mm: what suits the cell, or for a long address the least that reads, as far as there is room."""
    area = measures.area
    most = millimetres(min(area.height, area.width * 0.42))
    module = symbol.module_within(millimetres(measures.square), quiet=False)
    module = module or symbol.module_within(most, largest=LEAST_MODULE + PRINTER_DOT, quiet=False)
    if not module:
        raise AddressTooLong(label.address, most, LEAST_MODULE)
    return module


def _text_block(label: Label, area: Box, factor: float, with_code: bool) -> list[Piece]:
    """Code (where it is not under the square), heading, title, further lines and note, from 0, 0."""
    pieces: list[Piece] = []
    width, small = area.width, 6.5 * factor
    note = fit(label.note, SANS_ITALIC, 5.4 * factor, 4.8, width, lines=2)
    note_height = len(note.lines) * note.size * 1.22 + (2.2 * factor if note.lines else 0.0)
    # Descenders hang below a strip; what the box of the lowest line adds is kept free.
    bottom = area.height - note_height - 0.4 * small
    top = -1.2 * factor
    if with_code:
        code = fit(label.code, SANS_MEDIUM, 7.4 * factor, 5.0, width)
        pieces += paragraph(0, top, code.lines, SANS_MEDIUM, code.size, 9.6 * factor)
        top += 9.6 * factor
    heading = fit(label.heading, SERIF, 8.8 * factor, 7.2 * factor, width)
    pieces += paragraph(0, top, heading.lines, SERIF, heading.size, 10.2 * factor)
    top += len(heading.lines) * 10.2 * factor
    room = max(1, int((bottom - top) / (11.0 * factor)))
    title = fit(
        label.title, SERIF_ITALIC, 10.2 * factor, 8.8 * factor, width, lines=min(room, 4 if factor > 1.2 else 2)
    )
    leading = title.size * 1.08
    pieces += paragraph(0, top, title.lines, SERIF_ITALIC, title.size, leading)
    top += len(title.lines) * leading + 2.4 * factor
    for line in label.lines:
        broken = fit(line, SANS, small, 5.8 * factor, width, lines=2)
        height = len(broken.lines) * 8.1 * factor
        if top + height > bottom:
            break
        pieces += paragraph(0, top, broken.lines, SANS, broken.size, 8.1 * factor, grey=0.12)
        top += height + 0.5 * factor
    top += 1.2 * factor
    for line in note.lines:
        baseline = first_baseline(top, note.size, note.size * 1.22)
        pieces.append(set_line(0, baseline, line, SANS_ITALIC, note.size, grey=SOFT))
        top += note.size * 1.22
    return pieces
