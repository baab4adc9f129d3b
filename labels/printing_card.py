"""The printing card: one page for the darkroom wall, read at arm's length under a safelight, so black on white only."""

from dataclasses import dataclass

from labels.drawing import Piece, Rule, Square, aligned, capitals, paragraph, set_line
from labels.errors import AddressTooLong, DoesNotFit
from labels.fitting import fit, wrap, wrap_evenly
from labels.geometry import page_size, points
from labels.page import rendered
from labels.qr import LEAST_MODULE, qr_symbol, side_in_points
from labels.typefaces import SANS, SANS_MEDIUM, SANS_SEMIBOLD, SERIF, SERIF_ITALIC, clean, text_width

_MARGIN = 17.0  # mm
_SQUARE = 27.0  # mm
_LARGEST, _SMALLEST = 1.45, 0.5  # of the sizes below, which are for arm's length


@dataclass(frozen=True, slots=True)
class CardPart:
    """An area held back or given more: the verb (“hold back”), where, the stops, and how long."""

    verb: str
    area: str
    stops: str
    time: str


@dataclass(frozen=True, slots=True)
class CardExposure:
    """One exposure: its filter or grade, its time, what is said of it (“recipe 10 s”), and its parts."""

    filter: str
    time: str
    note: str
    parts: tuple[CardPart, ...]


@dataclass(frozen=True, slots=True)
class CardContent:
    """Everything the card says, finished.

    `changes` says what it was rescaled for, `facts` are (label, value), `like` is the code of the approved print and
    `address` what its square holds (no square where empty).
    """

    code: str
    title: str
    subtitle: str
    like: str
    address: str
    exposures: tuple[CardExposure, ...]
    changes: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    footer: str


class _Column:
    """Pieces down one page, all sizes times `scale`; measured before it is drawn."""

    def __init__(self, content: CardContent, width: float, left: float, top: float, scale: float) -> None:
        self.pieces: list[Piece] = []
        self.content, self.width, self.left, self.top, self.scale = content, width, left, top, scale

    def down(self, height: float) -> None:
        self.top += height * self.scale

    def rule(self, weight: float) -> None:
        self.pieces.append(Rule(self.left, self.top, self.left + self.width, self.top, weight))


def printing_card(content: CardContent, paper: str = "A4") -> bytes:
    """The card on `paper` ("A4" or "Letter"), always one page; what is long makes all of it smaller.

    Raises `UnknownPage`, `DoesNotFit`, `GlyphMissing`, `AddressTooLong`.
    """
    page = page_size(paper)
    left, floor = points(_MARGIN), points(page.height - _MARGIN)
    width = points(page.width - 2 * _MARGIN)
    scale = _LARGEST
    while True:
        column = _Column(content, width, left, points(_MARGIN), scale)
        for put in (_put_head, _put_exposures, _put_changes, _put_facts, _put_cautions):
            put(column)
        if column.top <= floor - 14:
            break
        scale -= 0.05
        if scale < _SMALLEST:
            raise DoesNotFit("The printing card", "shorten what is said of its areas, lamp and paper")
    foot = set_line(left, floor, content.footer, SANS, 7.0)
    return rendered([[*column.pieces, foot]], page, f"Printing card {content.code}", subject=clean(content.title))


def _put_head(column: _Column) -> None:
    """What is printed; at the right its model with the square."""
    content, left, start = column.content, column.left, column.top
    right = left + column.width
    side = _put_square(column, right, start) if content.address else 0.0
    width = column.width - (side + 16 if side else 0)
    column.pieces.append(capitals(left, start + 8, "Printing card", 8.5))
    code = fit(content.code, SANS_SEMIBOLD, 34 * column.scale, 16 * column.scale, width)
    column.top = start + 8 + 12
    column.pieces += paragraph(left, column.top, code.lines, SANS_SEMIBOLD, code.size, code.size * 1.1)
    column.top += code.size * 1.15 * len(code.lines)
    for text, face, size in ((content.title, SERIF_ITALIC, 22.0), (content.subtitle, SERIF, 12.0)):
        size *= column.scale
        lines = wrap_evenly(text, face, size, width)
        column.pieces += paragraph(left, column.top, lines, face, size, size * 1.15)
        column.top += len(lines) * size * 1.15 + 2
    column.top = max(column.top, start + side + (15 if side else 0))
    column.down(9)
    column.rule(1.6)


def _put_square(column: _Column, right: float, top: float) -> float:
    symbol = qr_symbol(column.content.address)
    module = symbol.module_within(_SQUARE, largest=0.8, quiet=False)
    if not module:
        raise AddressTooLong(column.content.address, _SQUARE, LEAST_MODULE)
    side = side_in_points(symbol, module)
    column.pieces.append(Square(right - side, top, symbol, module))
    line = set_line(right - side, top + side + 14, f"like {column.content.like}", SANS_MEDIUM, 9.5)
    column.pieces.append(aligned(line, side, "right"))
    return side


def _put_exposures(column: _Column) -> None:
    """Every time as large as it goes, at the right edge; what is held back or given more below it."""
    for exposure in column.content.exposures:
        _put_base(column, exposure)
        for part in exposure.parts:
            _put_part(column, part)
        column.down(7)
        column.rule(0.6)


def _put_base(column: _Column, exposure: CardExposure) -> None:
    scale, right = column.scale, column.left + column.width
    time = set_line(column.left, column.top + 47 * scale, exposure.time, SANS_SEMIBOLD, 46 * scale)
    column.pieces.append(aligned(time, column.width, "right"))
    room = column.width - time.width - 18
    name = fit(exposure.filter or "expose", SANS_MEDIUM, 30 * scale, 15 * scale, room)
    column.pieces += paragraph(
        column.left, column.top + 18 * scale, name.lines, SANS_MEDIUM, name.size, name.size * 1.1
    )
    if exposure.note:
        beside = column.left + text_width(name.lines[0], SANS_MEDIUM, name.size) + 12
        size = 12 * scale
        if beside + text_width(exposure.note, SANS, size) < right - time.width - 12:
            column.pieces.append(set_line(beside, column.top + 45 * scale, exposure.note, SANS, size))
    column.down(55)


def _put_part(column: _Column, part: CardPart) -> None:
    scale = column.scale
    baseline = column.top + 22 * scale
    time = set_line(column.left, baseline, part.time, SANS_SEMIBOLD, 24 * scale)
    column.pieces.append(aligned(time, column.width, "right"))
    stops = set_line(column.left, baseline, part.stops, SANS, 15 * scale)
    edge = column.width - max(points(33) * scale, time.width + 12 * scale)
    column.pieces.append(aligned(stops, edge, "right"))
    verb = set_line(column.left, baseline, part.verb, SANS, 15 * scale)
    column.pieces.append(verb)
    after = points(29) * scale
    area = fit(part.area, SANS_MEDIUM, 19 * scale, 12 * scale, edge - stops.width - after - 8, lines=9)
    column.pieces += [
        set_line(column.left + after, baseline + place * area.size * 1.15, line, SANS_MEDIUM, area.size)
        for place, line in enumerate(area.lines)
    ]
    column.down(28)
    column.top += (len(area.lines) - 1) * area.size * 1.15


def _put_changes(column: _Column) -> None:
    size = 11.5 * column.scale
    for number, text in enumerate(column.content.changes):
        if not number:
            column.down(8)
        lines = wrap(text, SERIF, size, column.width)
        column.pieces += paragraph(column.left, column.top, lines, SERIF, size, size * 1.25)
        column.top += len(lines) * size * 1.25
    if column.content.changes:
        column.down(7)
        column.rule(0.6)


def _put_facts(column: _Column) -> None:
    scale, axis = column.scale, points(30) * column.scale
    column.down(8)
    for label, value in column.content.facts:
        size = 14 * scale
        lines = wrap(value, SERIF, size, column.width - axis)
        column.pieces += paragraph(column.left + axis, column.top, lines, SERIF, size, size * 1.25)
        column.pieces.append(set_line(column.left, column.top + 13.5 * scale, label, SANS, 10 * scale))
        column.top += len(lines) * size * 1.25 + 3 * scale


def _put_cautions(column: _Column) -> None:
    if not column.content.cautions:
        return
    column.down(5)
    column.rule(0.6)
    column.down(7)
    size = 11 * column.scale
    for text in column.content.cautions:
        lines = wrap(text, SANS_MEDIUM, size, column.width)
        column.pieces += paragraph(column.left, column.top, lines, SANS_MEDIUM, size, size * 1.3)
        column.top += len(lines) * size * 1.3 + 3
