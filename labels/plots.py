"""Plots: readings, a curve with its limits and a target, on a logarithmic scale, set like the other sheets."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from labels.drawing import BLACK, HAIRLINE, SOFT, Piece, Rule, Text, aligned, draw, set_line
from labels.fitting import shorten
from labels.geometry import Box, page_size, points
from labels.page import Flow, Furniture, Margins, furnished, new_canvas
from labels.sheet import Section, SheetContent, put_masthead, put_section
from labels.typefaces import SANS, SANS_MEDIUM, SERIF_ITALIC, clean, text_width

BAND = 0.9  # grey between the limits
_HEIGHT = 104.0  # mm of the field between the axes
_DOT = 2.5  # points, the radius of a reading
_GUTTER = points(11)  # left of the field, for the figures of the scale
_STEPS = (1, 2, 5)

Reading = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Plot:
    """What is drawn, finished: places are (across, up) in the units of the two captions; up is above nothing.

    `readings` are filled dots, `others` open ones; `nothing` are places across where nothing was found. `curve` holds
    (across, best, low, high) in order. `target` is a level with its words; `answer` a place across, with its words.
    """

    across: str
    up: str
    readings: tuple[Reading, ...]
    others: tuple[Reading, ...]
    nothing: tuple[float, ...]
    curve: tuple[tuple[float, float, float, float], ...]
    target: tuple[float, str]
    answer: tuple[float, str] | None
    key: tuple[str, str, str, str]  # words for a reading, an open one, one of nothing, the band


@dataclass(frozen=True, slots=True)
class PlotSheetContent:
    """A plot with its masthead above and sections of text and tables below."""

    head: SheetContent
    plot: Plot
    sections: tuple[Section, ...]


@dataclass(frozen=True, slots=True)
class _Shape:
    """A filled or drawn outline through points of the page."""

    places: tuple[tuple[float, float], ...]
    fill: float | None = None
    stroke: float | None = None
    weight: float = HAIRLINE
    dashes: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class _Dot:
    """A reading: filled, or open."""

    across: float
    down: float
    open: bool = False


class _Field:
    """The room between the axes, and where a value stands in it: linear across, logarithmic upwards."""

    def __init__(self, plot: Plot, area: Box) -> None:
        self.area = area
        latest = max([*(t for t, _ in (*plot.readings, *plot.others)), *plot.nothing])
        self.step = _round_step(latest / 7)
        self.end = math.ceil(latest * 1.02 / self.step) * self.step
        heights = [y for _, y in (*plot.readings, *plot.others)] + [plot.target[0]]
        heights += [best for _, best, _, _ in plot.curve]
        top = max([*heights, *(min(high, max(heights) * 2) for *_, high in plot.curve)])
        low = min([*heights, *(max(low, min(heights) / 2) for _, _, low, _ in plot.curve)])
        self.low, self.top = _floor_step(low / 1.15), _ceiling_step(top * 1.1)

    def x(self, across: float) -> float:
        return self.area.left + across / self.end * self.area.width

    def y(self, up: float) -> float:
        kept = min(max(up, self.low), self.top)
        return self.area.bottom - math.log(kept / self.low) / math.log(self.top / self.low) * self.area.height


def plot_sheet(content: PlotSheetContent, paper: str = "A4") -> bytes:
    """The sheet on `paper` ("A4" or "Letter"), as the bytes of a PDF of one page or more.

    Raises `UnknownPage`, `GlyphMissing`.
    """
    flow = Flow(page_size(paper), Margins())
    put_masthead(flow, content.head)
    flow.top += points(13)
    area = Box(flow.left + _GUTTER, flow.top, flow.width - _GUTTER, points(_HEIGHT))
    shapes, pieces = _plotted(content.plot, area)
    flow.put(pieces)
    flow.top = area.bottom + points(17)
    for section in content.sections:
        put_section(flow, section)
    title = f"{content.head.kind} {content.head.code}".strip()
    foot = Furniture(clean(content.head.title), clean(content.head.code), content.head.footer)
    return _rendered(shapes, furnished(flow, foot), flow, title, clean(content.head.artist))


def _rendered(
    shapes: Sequence[_Shape | _Dot], pages: Sequence[Sequence[Piece]], flow: Flow, title: str, author: str
) -> bytes:
    out = BytesIO()
    canvas = new_canvas(out, flow.page, title, author)
    height = points(flow.page.height)
    for number, pieces in enumerate(pages):
        if not number:
            for shape in shapes:
                _draw_shape(canvas, shape, height)
        draw(canvas, pieces, height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw_shape(canvas: Any, shape: _Shape | _Dot, height: float) -> None:
    canvas.saveState()
    if isinstance(shape, _Dot):
        canvas.setStrokeGray(BLACK if shape.open else 1)
        canvas.setFillGray(1 if shape.open else BLACK)
        canvas.setLineWidth(0.8)
        canvas.circle(shape.across, height - shape.down, _DOT, stroke=1, fill=1)
        canvas.restoreState()
        return
    path = canvas.beginPath()
    for number, (across, down) in enumerate(shape.places):
        (path.lineTo if number else path.moveTo)(round(across, 2), round(height - down, 2))
    if shape.fill is not None:
        path.close()
        canvas.setFillGray(shape.fill)
    if shape.stroke is not None:
        canvas.setStrokeGray(shape.stroke)
        canvas.setLineWidth(shape.weight)
        canvas.setLineJoin(1)
        if shape.dashes:
            canvas.setDash(*shape.dashes)
    canvas.drawPath(path, stroke=int(shape.stroke is not None), fill=int(shape.fill is not None))
    canvas.restoreState()


def _plotted(plot: Plot, area: Box) -> tuple[list[_Shape | _Dot], list[Piece]]:
    field = _Field(plot, area)
    shapes: list[_Shape | _Dot] = []
    band = [(field.x(t), field.y(high)) for t, _, _, high in plot.curve]
    band += [(field.x(t), field.y(low)) for t, _, low, _ in reversed(plot.curve)]
    shapes.append(_Shape(tuple(band), fill=BAND))
    pieces = _scales(field, plot, shapes)
    target, words = plot.target
    level = field.y(target)
    shapes.append(_Shape(((area.left, level), (area.right, level)), stroke=BLACK, weight=0.7, dashes=(3.2, 2.2)))
    kept = shorten(words, SANS_MEDIUM, 7.4, area.width * 0.7)
    pieces.append(aligned(Text(area.left, level - 4, kept, SANS_MEDIUM, 7.4), area.width, "right"))
    shapes.append(_Shape(tuple((field.x(t), field.y(best)) for t, best, _, _ in plot.curve), stroke=BLACK, weight=1.2))
    if plot.answer:
        pieces += _answer(field, plot.answer, level, shapes)
    shapes += [_Dot(field.x(t), field.y(left)) for t, left in plot.readings]
    shapes += [_Dot(field.x(t), field.y(left), open=True) for t, left in plot.others]
    shapes += [_triangle(field.x(t), area.bottom - 7) for t in plot.nothing]
    return shapes, [*pieces, *_key(plot, area, shapes)]


def _scales(field: _Field, plot: Plot, shapes: list[_Shape | _Dot]) -> list[Piece]:
    """Hairlines and figures of both scales, and what they count."""
    area = field.area
    pieces: list[Piece] = []
    for level in _levels(field.low, field.top):
        down = field.y(level)
        shapes.append(_Shape(((area.left, down), (area.right, down)), stroke=0.84, weight=HAIRLINE))
        label = Text(area.left - _GUTTER, down + 2.5, f"{level:g}", SANS, 7.2, grey=SOFT)
        pieces.append(aligned(label, _GUTTER - 5, "right"))
    pieces.append(Rule(area.left, area.bottom, area.right, area.bottom, 0.6))
    for number in range(round(field.end / field.step) + 1):
        across = field.x(number * field.step)
        pieces.append(Rule(across, area.bottom, across, area.bottom + 3, 0.6))
        label = Text(across - 15, area.bottom + 12, f"{number * field.step:g}", SANS, 7.2, grey=SOFT)
        pieces.append(aligned(label, 30, "centre"))
    pieces.append(set_line(area.left - _GUTTER, area.top - 11, plot.up, SERIF_ITALIC, 10))
    pieces.append(set_line(area.left, area.bottom + 25, plot.across, SERIF_ITALIC, 10, area.width, "right"))
    return pieces


def _answer(field: _Field, answer: tuple[float, str], level: float, shapes: list[_Shape | _Dot]) -> list[Piece]:
    """A line up from the foot to the target where the answer is, and the answer beside it."""
    across = field.x(answer[0])
    shapes.append(_Shape(((across, field.area.bottom), (across, level)), stroke=BLACK, weight=0.7))
    words = clean(answer[1])
    wide = text_width(words, SANS_MEDIUM, 11)
    left = across + 5 if across + 5 + wide < field.area.right else across - 5 - wide
    return [Text(left, field.area.bottom - 6, words, SANS_MEDIUM, 11)]


def _key(plot: Plot, area: Box, shapes: list[_Shape | _Dot]) -> list[Piece]:
    """What each sign means, in one line under the plot; signs that do not occur are left out."""
    baseline, left = area.bottom + points(13), area.left
    reading, other, nothing, band = plot.key
    pieces: list[Piece] = []
    for sign, words in (("dot", reading), ("open", other), ("nothing", nothing), ("band", band)):
        if (sign == "open" and not plot.others) or (sign == "nothing" and not plot.nothing):
            continue
        middle = baseline - 2.4
        if sign == "band":
            box = ((left, middle - 4), (left + 14, middle - 4), (left + 14, middle + 4), (left, middle + 4))
            shapes.append(_Shape(box, fill=BAND))
            shapes.append(_Shape(((left, middle), (left + 14, middle)), stroke=BLACK, weight=1.2))
            left += 10
        else:
            shapes.append(_triangle(left + 3, middle) if sign == "nothing" else _Dot(left + 3, middle, sign == "open"))
        text = set_line(left + 9, baseline, words, SANS, 7.2, grey=SOFT)
        pieces.append(text)
        left += 9 + text.width + 14
    return pieces


def _triangle(across: float, middle: float) -> _Shape:
    places = ((across - 2.6, middle - 2.2), (across + 2.6, middle - 2.2), (across, middle + 2.4))
    return _Shape((*places, places[0]), fill=1, stroke=BLACK, weight=0.7)


def _levels(low: float, top: float) -> list[float]:
    """1, 2 and 5 of every decade between two levels, both included; where there are many, 1 alone."""
    decades = range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(top)) + 1)
    found = [float(f"{step}e{decade}") for decade in decades for step in _STEPS]
    kept = [level for level in found if low * 0.999 <= level <= top * 1.001]
    return kept if len(kept) <= 13 else [level for level in kept if f"{level:e}"[0] == "1"]


def _floor_step(value: float) -> float:
    return max(level for level in _around(value) if level <= value)


def _ceiling_step(value: float) -> float:
    return min(level for level in _around(value) if level >= value)


def _around(value: float) -> list[float]:
    decade = math.floor(math.log10(value))
    return [float(f"{step}e{each}") for each in (decade - 1, decade, decade + 1) for step in _STEPS]


def _round_step(value: float) -> float:
    """A step of a scale that a person counts in: 1, 2 or 5 with noughts."""
    return _ceiling_step(value)
