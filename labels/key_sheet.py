"""The key sheet: public keys in print and as squares, to be kept by others than the one who signs."""

from dataclasses import dataclass

from labels.certificate_parts import Stack, signature_block
from labels.certificate_proof import grouped_cells
from labels.drawing import SOFT, Piece, Rule, Square, capitals, move, paragraph
from labels.fitting import wrap
from labels.geometry import page_size, points
from labels.page import Flow, Furniture, Margins, furnished, rendered
from labels.qr import qr_symbol, quiet_in_points, side_in_points
from labels.sheet import Section, SheetContent, put_masthead, put_section
from labels.typefaces import SANS, SANS_MEDIUM, SERIF, clean

_AXIS = 36.0  # mm from the left margin, as on the other sheets
_SQUARE = 26.0  # mm


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """One public key: whose, how it stands, itself and its thumbprint, what its square holds, and what is said of it.

    `word` is the statement by which the key before signed for it, under `word_caption`; both empty where there is none.
    """

    heading: str
    standing: str
    public_key: str
    thumbprint: str
    square: str
    sentences: tuple[str, ...] = ()
    word_caption: str = ""
    word: str = ""


@dataclass(frozen=True, slots=True)
class KeySheetContent:
    """Everything a key sheet says, finished. `hands` are (sentence, captions of the lines to be written on)."""

    kind: str
    artist: str
    title: str
    subtitle: str
    keys: tuple[KeyEntry, ...]
    sections: tuple[Section, ...]
    hands: tuple[tuple[str, tuple[str, ...]], ...]
    footer: str


def key_sheet(content: KeySheetContent, paper: str = "A4") -> bytes:
    """The sheet on `paper` ("A4" or "Letter"), as the bytes of a PDF of one page or more. Raises `UnknownPage`."""
    flow = Flow(page_size(paper), Margins(bottom=24.0))
    head = SheetContent(content.kind, "", content.artist, content.title, content.subtitle, (), (), "", "")
    put_masthead(flow, head)
    for key in content.keys:
        _put_key(flow, key)
    _put_hands(flow, content.hands)  # on the page of the keys: nobody signs a page without one
    for section in content.sections:
        put_section(flow, section)
    pages = furnished(flow, Furniture(clean(content.title), clean(content.kind), content.footer))
    return rendered(pages, flow.page, content.kind, author=clean(content.artist), subject=clean(content.title))


def _put_key(flow: Flow, key: KeyEntry) -> None:
    """A key across the page: whose it is left of the axis, itself right of it, its square at the edge."""
    symbol = qr_symbol(key.square)
    module = symbol.module_within(_SQUARE, largest=0.6, quiet=False)
    side = side_in_points(symbol, module)
    axis = points(_AXIS)
    width = flow.width - axis - side - points(8)
    words = _words(key, width)
    height = max(words.height, side + quiet_in_points(module)) + 10
    flow.need(height + points(7))
    if not flow.fresh:
        flow.top += points(7)
    top = flow.top
    names = wrap(key.heading.upper(), SANS_MEDIUM, 7.7, axis - 8)
    pieces: list[Piece] = [Rule(flow.left, top, flow.left + flow.width, top, 0.5)]
    pieces += [capitals(flow.left, top + 14.6 + n * 9.4, name, 6.8) for n, name in enumerate(names)]
    below = top + 14.6 + len(names) * 9.4
    pieces += paragraph(flow.left, below - 4, wrap(key.standing, SANS, 7.2, axis - 10), SANS, 7.2, 9.4, grey=SOFT)
    pieces += [move(piece, flow.left + axis, top + 8) for piece in words.pieces]
    pieces.append(Square(flow.left + flow.width - side, top + max(8.0, quiet_in_points(module)), symbol, module))
    flow.put(pieces)
    flow.top += height


def _words(key: KeyEntry, width: float) -> Stack:
    stack = Stack([], 0.0)
    for caption, text, size in (
        ("Public key, Ed25519", key.public_key, 10.5),
        ("Thumbprint, RFC 7638", key.thumbprint, 8.6),
    ):
        stack.pieces.append(capitals(0, stack.height + 5.8, caption, 5.8, SANS, SOFT))
        stack.height += 10.5
        grouped_cells(stack, text, width, size)
        stack.height += 6.0
    for sentence in key.sentences:
        lines = wrap(sentence, SERIF, 9.6, width)
        stack.pieces += paragraph(0, stack.height, lines, SERIF, 9.6, 12.2)
        stack.height += len(lines) * 12.2 + 2
    if key.word:
        stack.height += 3
        stack.pieces.append(capitals(0, stack.height + 5.8, key.word_caption, 5.8, SANS, SOFT))
        stack.height += 9.5
        lines = wrap(key.word, SANS, 5.6, width)
        stack.pieces += paragraph(0, stack.height, lines, SANS, 5.6, 7.2, grey=0.2)
        stack.height += len(lines) * 7.2
    return stack


def _put_hands(flow: Flow, hands: tuple[tuple[str, tuple[str, ...]], ...]) -> None:
    """Sentences, each over its lines to be written on; all of them together on one page."""
    blocks = [signature_block(sentence, captions, flow.width, 0.92) for sentence, captions in hands]
    gap = points(9)
    flow.need(sum(block.height + gap for block in blocks))
    for block in blocks:
        flow.top += gap
        flow.put(move(piece, flow.left, flow.top) for piece in block.pieces)
        flow.top += block.height
    flow.top += gap if blocks else 0.0
