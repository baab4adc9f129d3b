"""The page: margins, running head, page numbers and footer that all flowing sheets share."""

import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.lib.utils import asBytes
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream
from reportlab.pdfgen.canvas import Canvas

from labels.drawing import FAINT, HAIRLINE, SOFT, Piece, Rule, Text, aligned, capitals, draw, set_line
from labels.fitting import shorten
from labels.geometry import PageSize, points
from labels.typefaces import SANS, SANS_MEDIUM, SERIF, SERIF_ITALIC, font

# Streams as bytes and not as printable characters: a quarter smaller, and every reader takes them.
rl_config.useA85 = 0


@dataclass(frozen=True, slots=True)
class Margins:
    """White around the text, in mm."""

    left: float = 24.0
    right: float = 24.0
    top: float = 27.0
    bottom: float = 26.0


@dataclass(frozen=True, slots=True)
class Furniture:
    """What repeats on every page: the head from page 2 on (left, right), and the foot on all."""

    head: str
    code: str
    foot: str


class _CompressingCanvas(Canvas):
    """A canvas that compresses each page when it is done, where the library would hold them all as text."""

    def showPage(self) -> None:  # noqa: N802 - the library's name
        super().showPage()
        page = self._doc.Pages.pages[-1]
        if page.Contents is None and page.stream:
            content = zlib.compress(asBytes(page.stream), 7)
            page.Contents = PDFStream(PDFDictionary({"Filter": PDFName("FlateDecode")}), content)
            page.stream = None


def new_canvas(out: BytesIO, page: PageSize, title: str, author: str = "", subject: str = "") -> Any:
    """A canvas of the page's size whose file depends on nothing but what is drawn: fixed dates and identity."""
    font(SERIF)
    canvas = _CompressingCanvas(
        out,
        pagesize=(points(page.width), points(page.height)),
        pageCompression=1,
        invariant=1,
        initialFontName=SERIF.name,
        initialFontSize=10,
        lang="en",
    )
    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setSubject(subject)
    canvas.setCreator("tirage")
    canvas.setProducer("tirage")
    return canvas


class Flow:
    """A column of pieces that runs over as many pages as it needs.

    `top` is where the next thing goes on the page in hand, `floor` the lowest line it may reach, all in points.
    """

    def __init__(self, page: PageSize, margins: Margins) -> None:
        self.page = page
        self.left = points(margins.left)
        self.width = points(page.width - margins.left - margins.right)
        self.start = points(margins.top)
        self.floor = points(page.height - margins.bottom)
        self.top = self.start
        self.pages: list[list[Piece]] = [[]]

    @property
    def room(self) -> float:
        """Height left on this page."""
        return self.floor - self.top

    @property
    def whole(self) -> float:
        """Height of an empty page."""
        return self.floor - self.start

    @property
    def fresh(self) -> bool:
        """Whether nothing stands on this page yet."""
        return not self.pages[-1]

    def put(self, pieces: Iterable[Piece]) -> None:
        """Place pieces on this page; moves nothing."""
        self.pages[-1].extend(pieces)

    def turn(self) -> None:
        """Begin a new page."""
        self.pages.append([])
        self.top = self.start

    def need(self, height: float) -> bool:
        """Turn the page unless `height` points are left on it. Tells whether it did."""
        if self.room >= height or self.fresh:
            return False
        self.turn()
        return True


def furnished(flow: Flow, furniture: Furniture) -> list[list[Piece]]:
    """The pages of `flow` with their heads, feet and "page n of m"."""
    count = len(flow.pages)
    return [
        [*pieces, *_head(flow, furniture, number), *_foot(flow, furniture, number, count)]
        for number, pieces in enumerate(flow.pages, start=1)
    ]


def _head(flow: Flow, furniture: Furniture, number: int) -> list[Piece]:
    if number == 1:
        return []
    baseline = points(16)
    code = aligned(Text(flow.left, baseline, furniture.code, SANS_MEDIUM, 7.5), flow.width, "right")
    room = flow.width - code.width - 12
    title = shorten(furniture.head, SERIF_ITALIC, 9.5, room)
    under = baseline + 5.5
    return [
        set_line(flow.left, baseline, title, SERIF_ITALIC, 9.5),
        code,
        Rule(flow.left, under, flow.left + flow.width, under, HAIRLINE, SOFT),
    ]


def _foot(flow: Flow, furniture: Furniture, number: int, count: int) -> list[Piece]:
    line = points(flow.page.height - 17.5)
    baseline = line + 10.5
    folio = aligned(capitals(flow.left, baseline, f"page {number} of {count}", 5.8, grey=SOFT), flow.width, "right")
    pieces: list[Piece] = [Rule(flow.left, line, flow.left + flow.width, line, HAIRLINE, FAINT), folio]
    foot = shorten(furniture.foot, SANS, 6.6, flow.width - folio.width - 14)
    if foot:
        pieces.append(set_line(flow.left, baseline, foot, SANS, 6.6, grey=SOFT))
    return pieces


def rendered(
    pages: Iterable[Iterable[Piece]], page: PageSize, title: str, author: str = "", subject: str = ""
) -> bytes:
    """Pages of pieces as the bytes of a PDF."""
    out = BytesIO()
    canvas = new_canvas(out, page, title, author, subject)
    height = points(page.height)
    for pieces in pages:
        draw(canvas, pieces, height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()
