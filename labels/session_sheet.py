"""The session sheet: what is pencilled at the sink under a safelight; large, black, with room for a wet hand."""

from dataclasses import dataclass

from labels.drawing import BLACK, Frame, Piece, Rule, aligned, capitals, set_line, wrapped
from labels.fitting import fit, shorten, wrap
from labels.geometry import Box, page_size, points
from labels.page import Flow, Furniture, Margins, furnished, rendered
from labels.typefaces import SANS, SANS_MEDIUM, SERIF_ITALIC, clean, text_width

_LINE = 0.7  # rules to write on: no grey and no hairline, for red light swallows both
_BOX = 7.4  # mm, a box to tick
_TICK = 5.8  # mm, beside a load
_PRINT_ROW, _LOAD_ROW, _TEST_ROW = 10.2, 10.6, 9.4  # mm
_CODE_SIZE = 19.0
_HEAD = 7.4
_SMALL, _SMALL_LEADING = 8.8, 11.0
_BETWEEN = 11.0
_TIGHTEST = 0.84


@dataclass(frozen=True, slots=True)
class Load:
    """One line of the sheet for a load: what it is ("" to be written in), and the bath that stands in the tray."""

    name: str
    bath: str = ""
    bath_text: str = ""


@dataclass(frozen=True, slots=True)
class SessionSheetContent:
    """Everything a session sheet says, finished.

    `codes` are (code, what it is besides a print), `readings` the words to tick after a test, `lines` stand under the
    title: how the sheet is used, the recipe.
    """

    kind: str
    title: str
    subtitle: str
    lines: tuple[str, ...]
    codes: tuple[tuple[str, str], ...]
    loads: tuple[Load, ...]
    tests: tuple[str, ...]
    readings: tuple[str, ...]
    cautions: tuple[str, ...]
    foot: str


@dataclass(frozen=True, slots=True)
class _Column:
    heading: str
    share: float
    ruled: bool = True


_PRINTS = (
    _Column("kept", 0.42, False), _Column("pencil this on the back", 1.55, False), _Column("exposure", 1.7),
    _Column("note", 2.2),
)  # fmt: skip
_LOADS = (
    _Column("done", 0.38, False), _Column("load", 0.95, False), _Column("which prints", 1.45),
    _Column("+ N", 0.42), _Column("bath", 1.5),
    _Column("length", 0.7), _Column("in at", 0.7), _Column("out at", 0.7),
)  # fmt: skip
_GAP = 7.0


def session_sheet(content: SessionSheetContent, paper: str = "A4") -> bytes:
    """The sheet on `paper` ("A4" or "Letter"), as the bytes of a PDF of one page or more. Raises `UnknownPage`."""
    flow = Flow(page_size(paper), Margins(left=15.0, right=13.0, top=20.0, bottom=21.0))
    flow.top = points(12.0)  # the first page has no running head
    _put_masthead(flow, content)
    tight = _tightness(flow, content)
    row = points(_PRINT_ROW) * tight
    places = _places(flow, _PRINTS)
    _put_head(flow, _PRINTS, places, row)
    for code, role in content.codes:
        if flow.need(row):
            _put_head(flow, _PRINTS, places, row)
        _put_code(flow, code, role, places, row)
    flow.top += _BETWEEN
    row = points(_LOAD_ROW) * tight
    places = _places(flow, _LOADS)
    _put_head(flow, _LOADS, places, row * 3)
    for load in content.loads:
        if flow.need(row):
            _put_head(flow, _LOADS, places, row)
        _put_load(flow, load, places, row)
    flow.top += _BETWEEN
    _put_tests(flow, content.tests, content.readings, points(_TEST_ROW) * tight)
    _put_cautions(flow, content.cautions)
    pages = furnished(flow, Furniture(clean(content.title), clean(content.kind), content.foot))
    return rendered(pages, flow.page, f"{content.kind} sheet", subject=clean(content.title))


def _tightness(flow: Flow, content: SessionSheetContent) -> float:
    """What row heights are multiplied by: a little less than 1 where that saves a second page."""
    cautions = sum(len(wrap(text, SANS, _SMALL, flow.width)) * _SMALL_LEADING + 1.5 for text in content.cautions) + 8
    fixed = 4 * 12.5 + 2 * _BETWEEN + cautions
    rows = len(content.codes) * _PRINT_ROW + len(content.loads) * _LOAD_ROW + len(content.tests) * _TEST_ROW
    fits = (flow.room - fixed) / points(rows)
    return fits if _TIGHTEST <= fits < 1 else 1.0


def _put_masthead(flow: Flow, content: SessionSheetContent) -> None:
    name = set_line(flow.left, flow.top + 22, content.kind, SANS_MEDIUM, 26.0)
    room = flow.width - name.width - 16
    title = fit(content.title, SERIF_ITALIC, 19.0, 11.0, room, 1)
    below = fit(content.subtitle, SANS, 11.5, 8.0, room, 1)
    flow.put(
        [
            name,
            set_line(
                flow.left + name.width + 16, flow.top + 9.0, title.lines[0], SERIF_ITALIC, title.size, room, "right"
            ),
            set_line(flow.left + name.width + 16, flow.top + 25, below.lines[0], SANS, below.size, room, "right"),
            Rule(flow.left, flow.top + 32, flow.left + flow.width, flow.top + 32, 1.4),
        ]
    )
    flow.top += 37
    for line in content.lines:
        pieces = wrapped(flow.left, flow.top, line, SANS, 10.2, 13.0, flow.width)
        flow.put(pieces)
        flow.top += 13.0 * len(pieces)
    flow.top += 5


def _places(flow: Flow, columns: tuple[_Column, ...]) -> list[tuple[float, float]]:
    """Left edge and width of each column, in points on the page."""
    free = flow.width - _GAP * (len(columns) - 1)
    shares = sum(column.share for column in columns)
    places, left = [], flow.left
    for column in columns:
        width = free * column.share / shares
        places.append((left, width))
        left += width + _GAP
    return places


def _put_head(flow: Flow, columns: tuple[_Column, ...], places: list[tuple[float, float]], room: float) -> None:
    flow.need(room + 14)
    for column, (left, width) in zip(columns, places, strict=True):
        size = _HEAD
        while size > 5 and text_width(column.heading.upper(), SANS_MEDIUM, size) * 1.13 > width:
            size -= 0.2
        flow.put([capitals(left, flow.top + 9.0, column.heading, size)])
    flow.top += 12.5
    flow.put([Rule(flow.left, flow.top, flow.left + flow.width, flow.top, 1.0)])


def _write_on(
    flow: Flow, columns: tuple[_Column, ...], places: list[tuple[float, float]], bottom: float
) -> list[Piece]:
    """The lines to write on."""
    return [
        Rule(left, bottom - 4.0, left + width, bottom - 4.0, _LINE)
        for column, (left, width) in zip(columns, places, strict=True)
        if column.ruled
    ]


def _tick(left: float, top: float, side: float) -> Frame:
    return Frame(Box(left, top, side, side), 1.3, BLACK)


def _put_code(flow: Flow, code: str, role: str, places: list[tuple[float, float]], row: float) -> None:
    side = points(_BOX)
    bottom = flow.top + row
    left, width = places[1]
    room = width - (26 if role else 0)
    shown = fit(code, SANS_MEDIUM, _CODE_SIZE, 8.0, room, 1)
    pieces: list[Piece] = [
        _tick(places[0][0], bottom - side - 2.0, side),
        set_line(left, bottom - 7.0, shown.lines[0], SANS_MEDIUM, shown.size),
        *_write_on(flow, _PRINTS, places, bottom),
    ]
    if role:
        pieces.append(aligned(capitals(left, bottom - 7.0, role, 7.4), width, "right"))
    flow.put(pieces)
    flow.top = bottom


def _put_load(flow: Flow, load: Load, places: list[tuple[float, float]], row: float) -> None:
    bottom = flow.top + row
    name = fit(load.name, SANS_MEDIUM, 12.0, 8.0, places[1][1], 1)
    side = points(_TICK)
    pieces: list[Piece] = [_tick(places[0][0], bottom - side - 3.0, side)]
    if load.name:
        pieces.append(set_line(places[1][0], bottom - 7.0, name.lines[0], SANS_MEDIUM, name.size))
    columns = tuple(
        _Column(column.heading, column.share, column.ruled or (not load.name and column.heading == "load"))
        for column in _LOADS
    )
    left, width = places[4]
    if load.bath:
        pieces.append(set_line(left, bottom - 7.0, load.bath, SANS_MEDIUM, 10.5))
        pieces.append(set_line(left, bottom - 17.2, shorten(load.bath_text, SANS, 8.0, width), SANS, 8.0))
    pieces += _write_on(flow, columns, places, bottom)
    flow.put(pieces)
    flow.top = bottom


def _put_tests(flow: Flow, items: tuple[str, ...], readings: tuple[str, ...], row: float) -> None:
    """For each item and question a box under each reading."""
    if not items:
        return
    flow.need(12.5 + row * len(items))
    first = flow.width * 0.19
    group = (flow.width - first) / 2
    word = 34.0
    cell = (group - word) / len(readings)
    lefts = [flow.left + first + number * group for number in range(2)]
    size, leading = 8.4, 9.2
    heads = [wrap(reading, SANS, size, cell - 8) for reading in readings]
    flow.top += (max(map(len, heads)) - 1) * leading
    flow.put([capitals(flow.left, flow.top + 9.0, "test of", _HEAD)])
    for left in lefts:
        for place, lines in enumerate(heads):
            for above, line in enumerate(reversed(lines)):
                flow.put([set_line(left + word + place * cell, flow.top + 9.0 - above * leading, line, SANS, size)])
    flow.top += 12.5
    flow.put([Rule(flow.left, flow.top, flow.left + flow.width, flow.top, 1.0)])
    side = points(5.4)
    for item in items:
        bottom = flow.top + row
        pieces: list[Piece] = [Rule(flow.left, bottom - 4.0, flow.left + first - 14, bottom - 4.0, _LINE)]
        if item:
            pieces = [set_line(flow.left, bottom - 6.5, item, SANS_MEDIUM, 12.0)]
        for left, question in zip(lefts, ("hypo", "silver"), strict=True):
            pieces.append(set_line(left, bottom - 6.5, question, SANS_MEDIUM, 10.5))
            pieces += [_tick(left + word + place * cell, bottom - side - 2.5, side) for place in range(len(readings))]
        flow.put(pieces)
        flow.top = bottom


def _put_cautions(flow: Flow, cautions: tuple[str, ...]) -> None:
    for number, text in enumerate(cautions):
        lines = wrap(text, SANS, _SMALL, flow.width)
        if number == 0:
            flow.need(len(lines) * _SMALL_LEADING + 12)
            flow.top += 8
        flow.need(len(lines) * _SMALL_LEADING)
        flow.put(wrapped(flow.left, flow.top, text, SANS, _SMALL, _SMALL_LEADING, flow.width))
        flow.top += len(lines) * _SMALL_LEADING + 1.5
