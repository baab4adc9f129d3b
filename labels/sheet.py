"""Record sheets: a masthead, facts, and sections of text and tables over as many pages as they need."""

from dataclasses import dataclass

from labels.drawing import (
    BLACK,
    FAINT,
    HAIRLINE,
    SOFT,
    Frame,
    Image,
    Piece,
    Rule,
    Square,
    aligned,
    capitals,
    paragraph,
)
from labels.errors import AddressTooLong
from labels.fitting import fit, shorten, wrap, wrap_address, wrap_evenly
from labels.geometry import Box, page_size, points
from labels.page import Flow, Furniture, Margins, furnished, rendered
from labels.pictures import plate
from labels.qr import LEAST_MODULE, qr_symbol, side_in_points
from labels.table import Column, Table, put_table
from labels.typefaces import SANS, SANS_MEDIUM, SERIF, SERIF_ITALIC, Face, clean

__all__ = ["Column", "Section", "SheetContent", "Table", "sheet"]

_AXIS = 36.0  # mm from the left margin to where all text begins: labels stand left of it
_SIDE = 43.0  # mm, the column of the picture and the square
_BODY, _BODY_LEADING = 10.0, 13.4


@dataclass(frozen=True, slots=True)
class Section:
    """A headed part of a sheet: paragraphs, then a table, then notes in small italics."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    table: Table | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetContent:
    """Everything a record sheet says, finished: no field is looked up or worked out here.

    `kind` names the sheet ("Provenance and processing"), `facts` are (label, value) pairs, `address` goes into a
    square with its text beneath (none when empty), `picture` is a JPEG or PNG, printed grey.
    """

    kind: str
    code: str
    artist: str
    title: str
    subtitle: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    footer: str
    address: str
    picture: bytes | None = None


def sheet(content: SheetContent, paper: str = "A4") -> bytes:
    """The sheet on `paper` ("A4" or "Letter"), as the bytes of a PDF of one page or more.

    Raises `UnknownPage`, `GlyphMissing`, `PictureUnreadable`, `AddressTooLong`.
    """
    flow = Flow(page_size(paper), Margins())
    put_masthead(flow, content)
    for section in content.sections:
        put_section(flow, section)
    head = ", ".join(part for part in (clean(content.artist), clean(content.title)) if part)
    pages = furnished(flow, Furniture(head, clean(content.code), content.footer))
    name = f"{content.kind} {content.code}".strip()
    return rendered(pages, flow.page, name, author=clean(content.artist), subject=clean(content.title))


def put_masthead(flow: Flow, content: SheetContent) -> None:
    top = points(18)
    code = fit(content.code, SANS_MEDIUM, 9.0, 6.0, flow.width * 0.4)
    kind = capitals(flow.left, top, shorten(content.kind.upper(), SANS_MEDIUM, 8.4, flow.width * 0.55), 7.2)
    pieces: list[Piece] = [kind]
    for line in paragraph(flow.left, top - code.size * 0.89, code.lines, SANS_MEDIUM, code.size, code.size * 1.22):
        pieces.append(aligned(line, flow.width, "right"))
    rule = top + 6.5
    pieces.append(Rule(flow.left, rule, flow.left + flow.width, rule, 0.9))
    flow.put(pieces)
    flow.top = rule + points(9)
    side_bottom = _side_column(flow, content)
    width = flow.width - (points(_SIDE + 9) if side_bottom else 0.0)
    _names(flow, content, width)
    if content.facts:
        flow.top += points(6)
        _facts(flow, content.facts, width)
    if len(flow.pages) == 1:
        flow.top = max(flow.top, side_bottom)


def _names(flow: Flow, content: SheetContent, width: float) -> None:
    """Artist, title, and what the thing is."""
    flow.put(_advance(flow, content.artist, SERIF, 13.0, 16.5, width))
    size, lines = 21.0, wrap_evenly(content.title, SERIF_ITALIC, 21.0, width)
    while len(lines) > 3 and size > 12:
        size -= 1.0
        lines = wrap_evenly(content.title, SERIF_ITALIC, size, width)
    leading = size * 1.12
    flow.put(paragraph(flow.left, flow.top, lines, SERIF_ITALIC, size, leading))
    flow.top += len(lines) * leading + 3
    flow.put(_advance(flow, content.subtitle, SERIF, 11.0, 14.0, width, grey=0.2))


def _advance(
    flow: Flow, text: str, face: Face, size: float, leading: float, width: float, grey: float = BLACK
) -> list[Piece]:
    lines = wrap(text, face, size, width)
    pieces: list[Piece] = list(paragraph(flow.left, flow.top, lines, face, size, leading, grey=grey))
    flow.top += len(lines) * leading
    return pieces


def _side_column(flow: Flow, content: SheetContent) -> float:
    """Picture and square at the right edge of the first page. The lowest point they reach, 0 when there are none."""
    width = points(_SIDE)
    left, top = flow.left + flow.width - width, flow.top
    if content.picture:
        ready = plate(content.picture, width, points(62))
        across, down = ready.within(width, points(62))
        area = Box(left + width - across, top, across, down)
        flow.put((Image(area, ready), Frame(area, HAIRLINE, SOFT)))
        top += down + points(7)
    if content.address:
        symbol = qr_symbol(content.address)
        module = symbol.module_within(22.0, largest=0.55, quiet=False) or symbol.module_within(_SIDE, quiet=False)
        if not module:
            raise AddressTooLong(content.address, _SIDE, LEAST_MODULE)
        side = side_in_points(symbol, module)
        flow.put((Square(left + width - side, top, symbol, module),))
        top += side + points(4 * module) + 1
        size, leading = 5.9, 7.6
        lines = wrap_address(content.address, SANS, size, width)
        flow.put(paragraph(left, top, lines, SANS, size, leading, width, "right", SOFT))
        top += len(lines) * leading
    return top + points(3) if top > flow.top else 0.0


def _facts(flow: Flow, facts: tuple[tuple[str, str], ...], width: float) -> None:
    """Labels left of the axis, values right of it, a hairline between."""
    axis = points(_AXIS)
    for label, value in facts:
        lines = wrap(value, SERIF, _BODY, width - axis)
        names = wrap(label, SANS, 7.2, axis - 8)
        height = max(len(lines) * 12.6, len(names) * 9.2 + 2.2, 12.6) + 5.2
        if flow.need(height):
            flow.top += 2
        baseline_offset = 2.6
        flow.put((Rule(flow.left, flow.top, flow.left + width, flow.top, HAIRLINE, FAINT),))
        flow.put(paragraph(flow.left, flow.top + baseline_offset + 2.6, names, SANS, 7.2, 9.2, grey=SOFT))
        while lines:
            # A value longer than a page goes on at the top of the next.
            taken = max(1, int((flow.room - 2 * baseline_offset) / 12.6))
            flow.put(paragraph(flow.left + axis, flow.top + baseline_offset, lines[:taken], SERIF, _BODY, 12.6))
            lines = lines[taken:]
            if lines:
                flow.turn()
                height = len(lines) * 12.6 + 5.2
        flow.top += height


def put_section(flow: Flow, section: Section) -> None:
    """Heading left of the axis, text right of it, tables across the whole width."""
    flow.need(points(7) + 5 * _BODY_LEADING)
    if not flow.fresh:
        flow.top += points(7)
    axis = points(_AXIS)
    flow.put((Rule(flow.left, flow.top, flow.left + flow.width, flow.top, 0.5),))
    flow.top += 5
    names = wrap(section.heading.upper(), SANS_MEDIUM, 7.7, axis - 8 if section.paragraphs else flow.width)
    for number, name in enumerate(names):
        flow.put((capitals(flow.left, flow.top + 9.6 + number * 9.4, name, 6.8),))
    below = flow.top + 9.4 * len(names) + 6
    page = len(flow.pages)
    for number, text in enumerate(section.paragraphs):
        if number:
            flow.top += 4.5
        _running_text(flow, text, SERIF, _BODY, _BODY_LEADING)
    if len(flow.pages) == page:
        flow.top = max(flow.top, below) if section.paragraphs else below
    if section.table:
        flow.top += 8 if section.paragraphs else 5
        put_table(flow, section.table)
    for number, note in enumerate(section.notes):
        flow.top += 2 if number else 5
        _running_text(flow, note, SERIF_ITALIC, 8.6, 11.0, grey=0.25)


def _running_text(flow: Flow, text: str, face: Face, size: float, leading: float, grey: float = BLACK) -> None:
    """A paragraph right of the axis, line by line over the page's end, never leaving one line alone."""
    axis = points(_AXIS)
    lines = wrap(text, face, size, flow.width - axis)
    while lines:
        room = int(flow.room / leading + 1e-6)
        if room < min(2, len(lines)) and not flow.fresh:
            flow.turn()
            continue
        taken = min(len(lines), max(room, 1))
        if len(lines) - taken == 1 and taken > 2:
            taken -= 1
        flow.put(paragraph(flow.left + axis, flow.top, lines[:taken], face, size, leading, grey=grey))
        flow.top += taken * leading
        lines = lines[taken:]
        if lines:
            flow.turn()
