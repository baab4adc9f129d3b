"""Pieces of a page: text, rules, symbols and pictures with their places, and how they are drawn.

A layout is a list of pieces and nothing more, so that it can be measured, tested and only then drawn. All lengths
here are points, measured from the page's top left corner; grey runs from 0 (black) to 1 (white).
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from labels import typefaces
from labels.fitting import wrap
from labels.geometry import Box
from labels.pictures import Plate
from labels.qr import QrSymbol, drawing_operators, side_in_points
from labels.typefaces import Face, clean, text_width

HAIRLINE = 0.3
BLACK = 0.0
SOFT = 0.38  # labels and captions
FAINT = 0.72  # rules between rows


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text that starts at `left` on `baseline`; `tracking` points are added between characters."""

    left: float
    baseline: float
    text: str
    face: Face
    size: float
    tracking: float = 0.0
    grey: float = BLACK

    @property
    def width(self) -> float:
        return text_width(self.text, self.face, self.size, self.tracking)

    @property
    def box(self) -> Box:
        """The room the line takes, accents and descenders included."""
        return Box(self.left, self.baseline - self.size, self.width, self.size * 1.3)


@dataclass(frozen=True, slots=True)
class Cells:
    """Characters each centred in a cell of one width, so that a digest stands in columns."""

    left: float
    baseline: float
    text: str
    face: Face
    size: float
    pitch: float
    grey: float = BLACK

    @property
    def box(self) -> Box:
        return Box(self.left, self.baseline - self.size, self.pitch * len(self.text), self.size * 1.3)


@dataclass(frozen=True, slots=True)
class Rule:
    """A straight line from one point to another."""

    left: float
    top: float
    right: float
    bottom: float
    weight: float = HAIRLINE
    grey: float = BLACK

    @property
    def box(self) -> Box:
        return Box(self.left, self.top, self.right - self.left, self.bottom - self.top)


@dataclass(frozen=True, slots=True)
class Swell:
    """A rule that swells to `weight` in its middle and tapers to nothing at both ends."""

    centre: float
    middle: float
    length: float
    weight: float = 1.3

    @property
    def box(self) -> Box:
        return Box(self.centre - self.length / 2, self.middle - self.weight / 2, self.length, self.weight)


@dataclass(frozen=True, slots=True)
class Frame:
    """The outline of a rectangle."""

    area: Box
    weight: float = HAIRLINE
    grey: float = FAINT

    @property
    def box(self) -> Box:
        return self.area


@dataclass(frozen=True, slots=True)
class Square:
    """A QR symbol, its dark top left corner at `left`, `top`; the module is in mm."""

    left: float
    top: float
    symbol: QrSymbol
    module: float

    @property
    def box(self) -> Box:
        side = side_in_points(self.symbol, self.module)
        return Box(self.left, self.top, side, side)


@dataclass(frozen=True, slots=True)
class Image:
    """A picture filling a rectangle."""

    area: Box
    plate: Plate

    @property
    def box(self) -> Box:
        return self.area


Piece = Text | Cells | Rule | Swell | Frame | Square | Image


def capitals(
    left: float, baseline: float, text: str, size: float, face: Face = typefaces.SANS_MEDIUM, grey: float = BLACK
) -> Text:
    """A line in tracked capitals; the smaller the type, the more air it is given."""
    return Text(left, baseline, clean(text).upper(), face, size, tracking=size * 0.13, grey=grey)


def set_line(
    left: float,
    baseline: float,
    text: str,
    face: Face,
    size: float,
    width: float = 0.0,
    align: str = "left",
    grey: float = BLACK,
) -> Text:
    """One line, set "left", "right" or "centre" within `width` points."""
    line = Text(left, baseline, clean(text), face, size, grey=grey)
    return aligned(line, width, align)


def aligned(line: Text, width: float, align: str) -> Text:
    """`line` moved within `width` points: "left", "right" or "centre"."""
    if align == "left":
        return line
    slack = width - line.width
    return replace(line, left=line.left + (slack if align == "right" else slack / 2))


def paragraph(
    left: float,
    top: float,
    lines: Iterable[str],
    face: Face,
    size: float,
    leading: float,
    width: float = 0.0,
    align: str = "left",
    grey: float = BLACK,
) -> list[Text]:
    """Broken lines one under another, the first one's capitals hanging near `top`."""
    return [
        set_line(left, first_baseline(top, size, leading) + number * leading, line, face, size, width, align, grey)
        for number, line in enumerate(lines)
    ]


def wrapped(
    left: float,
    top: float,
    text: str,
    face: Face,
    size: float,
    leading: float,
    width: float,
    align: str = "left",
    grey: float = BLACK,
) -> list[Text]:
    """`text` broken to `width` and set as a paragraph."""
    return paragraph(left, top, wrap(text, face, size, width), face, size, leading, width, align, grey)


def first_baseline(top: float, size: float, leading: float) -> float:
    """Baseline of a line whose strip of height `leading` starts at `top`."""
    return top + (leading - size) / 2 + size * 0.78


def move(piece: Piece, across: float, down: float) -> Piece:
    """The same piece elsewhere."""
    if isinstance(piece, Text | Cells):
        return replace(piece, left=piece.left + across, baseline=piece.baseline + down)
    if isinstance(piece, Rule):
        return Rule(
            piece.left + across,
            piece.top + down,
            piece.right + across,
            piece.bottom + down,
            piece.weight,
            piece.grey,
        )
    if isinstance(piece, Swell):
        return replace(piece, centre=piece.centre + across, middle=piece.middle + down)
    if isinstance(piece, Square):
        return replace(piece, left=piece.left + across, top=piece.top + down)
    area = Box(piece.area.left + across, piece.area.top + down, piece.area.width, piece.area.height)
    return replace(piece, area=area)


def draw(canvas: Any, pieces: Iterable[Piece], page_height: float) -> None:
    """Draw `pieces` on a reportlab canvas whose page is `page_height` points high."""
    for piece in pieces:
        if isinstance(piece, Text):
            _draw_text(canvas, piece, page_height)
        elif isinstance(piece, Square):
            bottom = page_height - piece.box.bottom
            canvas.addLiteral(drawing_operators(piece.symbol, piece.left, bottom, piece.module))
        else:
            _draw_other(canvas, piece, page_height)


def _draw_text(canvas: Any, piece: Text, page_height: float) -> None:
    # Hundredths of a point are finer than any printer and keep a thousand labels small.
    line = canvas.beginText(round(piece.left, 2), round(page_height - piece.baseline, 2))
    line.setFillGray(piece.grey)
    if piece.tracking:
        line.setCharSpace(piece.tracking)
    for face, stretch in typefaces.runs(piece.text, piece.face):
        typefaces.font(face)
        line.setFont(face.name, round(piece.size, 2))
        line.textOut(stretch)
    if piece.tracking:
        line.setCharSpace(0)
    canvas.drawText(line)


def _draw_cells(canvas: Any, piece: Cells, page_height: float) -> None:
    # One text object with the space after each character adjusted, so that the digest can still be copied whole.
    slack = [piece.pitch - text_width(character, piece.face, piece.size) for character in piece.text]
    line = canvas.beginText(piece.left + slack[0] / 2, page_height - piece.baseline)
    line.setFillGray(piece.grey)
    typefaces.font(piece.face)
    line.setFont(piece.face.name, piece.size)
    for character, before, after in zip(piece.text, slack, [*slack[1:], 0.0], strict=True):
        line.setCharSpace((before + after) / 2)
        line.textOut(character)
    line.setCharSpace(0)
    canvas.drawText(line)


def _draw_other(canvas: Any, piece: Cells | Rule | Swell | Frame | Image, page_height: float) -> None:
    if isinstance(piece, Cells):
        _draw_cells(canvas, piece, page_height)
    elif isinstance(piece, Rule):
        canvas.setStrokeGray(piece.grey)
        canvas.setLineWidth(piece.weight)
        canvas.line(piece.left, page_height - piece.top, piece.right, page_height - piece.bottom)
    elif isinstance(piece, Swell):
        _draw_swell(canvas, piece, page_height - piece.middle)
    elif isinstance(piece, Frame):
        canvas.setStrokeGray(piece.grey)
        canvas.setLineWidth(piece.weight)
        area = piece.area
        canvas.rect(area.left, page_height - area.bottom, area.width, area.height)
    else:
        area = piece.area
        canvas.drawImage(
            piece.plate.reader(), area.left, page_height - area.bottom, width=area.width, height=area.height
        )


def _draw_swell(canvas: Any, piece: Swell, middle: float) -> None:
    half, rise = piece.length / 2, piece.weight / 2
    centre, left, right = piece.centre, piece.centre - half, piece.centre + half
    outline = canvas.beginPath()
    outline.moveTo(left, middle)
    # Out along the upper edge and back along the lower one, flat at the points and at the belly.
    outline.curveTo(centre - half / 2, middle, centre - half / 3, middle + rise, centre, middle + rise)
    outline.curveTo(centre + half / 3, middle + rise, centre + half / 2, middle, right, middle)
    outline.curveTo(centre + half / 2, middle, centre + half / 3, middle - rise, centre, middle - rise)
    outline.curveTo(centre - half / 3, middle - rise, centre - half / 2, middle, left, middle)
    outline.close()
    canvas.setFillGray(BLACK)
    canvas.drawPath(outline, stroke=0, fill=1)
