"""The certificate: one page to be signed in ink, with room for the hand and for those who check it later."""

from collections.abc import Callable
from dataclasses import dataclass

from labels.certificate_parts import Stack, facts_block, signature_block
from labels.certificate_proof import proof_block, square_symbol
from labels.drawing import SOFT, Frame, Image, Piece, Rule, Swell, Text, aligned, capitals, move, wrapped
from labels.errors import DoesNotFit
from labels.fitting import shorten, wrap_evenly
from labels.geometry import Box, PageSize, page_size, points
from labels.page import rendered
from labels.pictures import Plate, plate
from labels.qr import QrSymbol
from labels.typefaces import SANS, SERIF, SERIF_ITALIC, clean

_SIDE, _TOP, _BOTTOM = 27.0, 21.0, 17.0  # mm of white
_TALLEST_PICTURE, _LOWEST_PICTURE = 62.0, 24.0  # mm
# From generous to the smallest that can still be read without a glass: the body goes from 10 to 6.2 points.
_SCALES = (1.0, 0.96, 0.92, 0.88, 0.84, 0.8, 0.76, 0.72, 0.68, 0.65, 0.62)


@dataclass(frozen=True, slots=True)
class CertificateContent:
    """Everything a certificate says, finished.

    `heading` names the paper, `facts` are (label, value) pairs, `statements` whole sentences, `declaration` the
    sentence above the signature, `signature_lines` the captions under the lines to be written on ("Signature",
    "Place and date"), `fingerprint` the hex digest of the signed statement, `thumbprint` that of the key, `verify`
    how to check both, `address` what the square holds (none when empty), `caption` what stands under it (else the
    address), `public_key` the key itself, `picture` a JPEG or PNG, printed grey.
    """

    number: str
    heading: str
    artist: str
    title: str
    subtitle: str
    facts: tuple[tuple[str, str], ...]
    statements: tuple[str, ...]
    declaration: str
    signature_lines: tuple[str, ...]
    fingerprint: str
    thumbprint: str
    verify: str
    address: str
    picture: bytes | None = None
    public_key: str = ""
    caption: str = ""


def certificate(content: CertificateContent, paper: str = "A4") -> bytes:
    """The certificate on one page of `paper` ("A4" or "Letter"), as the bytes of a PDF.

    Long content is set smaller and closer. Raises `DoesNotFit` when it would become unreadable, `UnknownPage`,
    `GlyphMissing`, `PictureUnreadable`, `AddressTooLong`.
    """
    page = page_size(paper)
    title = f"{content.heading} {content.number}".strip()
    pieces = lay_out(content, page)
    return rendered([pieces], page, title, author=clean(content.artist), subject=clean(content.title))


def refuse_what_does_not_fit(content: CertificateContent, paper: str = "A4") -> None:
    """Raise as `certificate` does, without drawing: all is measured, and every character has its typeface."""
    lay_out(content, page_size(paper), measured=True)


def lay_out(content: CertificateContent, page: PageSize, measured: bool = False) -> list[Piece]:
    """The pieces of the page, at the largest scale that holds all of them; `measured` leaves the square empty."""
    width = points(page.width - 2 * _SIDE)
    ready = plate(content.picture, width, points(_TALLEST_PICTURE)) if content.picture else None
    symbol = square_symbol(content.address, measured)
    for scale in _SCALES:
        pieces = _at_scale(content, page, ready, symbol, scale)
        if pieces is not None:
            return pieces
    raise DoesNotFit(
        f"Certificate {content.number}", "shorten its statements or leave out facts that it need not state"
    )


def _at_scale(
    content: CertificateContent, page: PageSize, ready: Plate | None, symbol: QrSymbol | None, scale: float
) -> list[Piece] | None:
    """The page at `scale`, or None when it is too full.

    The names hang from the top and the proof stands on the bottom; facts and statements take the middle, and what
    room is left is shared out around them.
    """
    left, width = points(_SIDE), points(page.width - 2 * _SIDE)
    top, bottom = points(_TOP), points(page.height - _BOTTOM)
    head = _head_block(content, width, scale)
    names = _names_block(content, width, scale)
    middle = facts_block(content.facts, width, scale)
    words = _statements_block(content.statements, width, scale)
    hand = signature_block(content.declaration, content.signature_lines, width, scale)
    proof = proof_block(content, symbol, width, scale)
    gap = 15.0 * scale
    blocks = [block for block in (head, names, middle, words, hand, proof) if block.pieces]
    free = bottom - top - sum(block.height for block in blocks) - gap * (len(blocks) - 1)
    picture_height = 0.0
    if ready:
        picture_height = min(points(_TALLEST_PICTURE), ready.within(width * 0.62, 1e6)[1], free - gap - 6)
        if picture_height < min(points(_LOWEST_PICTURE), ready.within(width * 0.62, 1e6)[1]):
            return None
        free -= picture_height + gap
    if free < 0:
        return None
    return _place(blocks, names, ready, picture_height, left, width, top, gap, free)


def _place(
    blocks: list[Stack],
    names: Stack,
    ready: Plate | None,
    picture_height: float,
    left: float,
    width: float,
    top: float,
    gap: float,
    free: float,
) -> list[Piece]:
    pieces: list[Piece] = []
    slots = len(blocks) - 1 + (1 if ready else 0)
    # Air goes between the parts, a little each; what is left stands above the hand that signs, where it is welcome.
    each = min(free / max(slots, 1), 13.0)
    rest = free - each * slots
    cursor = top
    for number, block in enumerate(blocks):
        if number == len(blocks) - 1:
            cursor += rest * 0.35
        elif number == len(blocks) - 2:
            cursor += rest * 0.4
        elif block is names:
            cursor += rest * 0.25
        pieces += [move(piece, left, cursor) for piece in block.pieces]
        cursor += block.height + gap + each
        if block is names and ready:
            across, down = ready.within(width, picture_height)
            area = Box(left + (width - across) / 2, cursor, across, down)
            pieces += [Image(area, ready), Frame(area, 0.3, SOFT)]
            cursor += picture_height + gap + each
    return pieces


def _head_block(content: CertificateContent, width: float, scale: float) -> Stack:
    """A thick rule over a thin one, the paper's name and its number."""
    heading = capitals(0, 24 * scale, shorten(content.heading.upper(), SANS, 10 * scale, width * 0.66), 8.2 * scale)
    number = aligned(Text(0, 24 * scale, clean(content.number), SERIF, 11.5 * scale), width, "right")
    pieces: list[Piece] = [
        Rule(0, 0.6, width, 0.6, 1.5),
        Rule(0, 3.6, width, 3.6, 0.35),
        heading,
        number,
    ]
    return Stack(pieces, 28 * scale)


def _names_block(content: CertificateContent, width: float, scale: float) -> Stack:
    """Artist, title and subtitle on the middle axis, closed by a swelled rule."""
    stack = Stack([], 0.0)
    _centred(stack, content.artist, width, lambda text: (wrap_evenly(text, SERIF, 15 * scale, width), 15 * scale))
    stack.height += 5 * scale
    size = 27.0 * scale
    lines = wrap_evenly(content.title, SERIF_ITALIC, size, width * 0.94)
    while len(lines) > 2 and size > 11 * scale:
        size -= 1.0
        lines = wrap_evenly(content.title, SERIF_ITALIC, size, width * 0.94)
    for line in lines:
        stack.pieces += wrapped(0, stack.height, line, SERIF_ITALIC, size, size * 1.13, width + 1, "centre")
        stack.height += size * 1.13
    stack.height += 5 * scale
    _centred(
        stack, content.subtitle, width, lambda text: (wrap_evenly(text, SERIF, 11.2 * scale, width * 0.8), 11.2 * scale)
    )
    stack.height += 15 * scale
    stack.pieces.append(Swell(width / 2, stack.height, width * 0.26, 1.5 * scale))
    stack.height += 1
    return stack


def _centred(stack: Stack, text: str, width: float, broken: Callable[[str], tuple[tuple[str, ...], float]]) -> None:
    lines, size = broken(text)
    for line in lines:
        stack.pieces += wrapped(0, stack.height, line, SERIF, size, size * 1.26, width + 1, "centre")
        stack.height += size * 1.26


def _statements_block(statements: tuple[str, ...], width: float, scale: float) -> Stack:
    """Sentences across the page, a little smaller than the facts."""
    stack = Stack([], 0.0)
    size, leading = 9.3 * scale, 11.9 * scale
    for number, statement in enumerate(statements):
        stack.height += 3.6 * scale if number else 0.0
        lines = wrapped(0, stack.height, statement, SERIF, size, leading, width)
        stack.pieces += lines
        stack.height += len(lines) * leading
    return stack
