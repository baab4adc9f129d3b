"""Parts of a certificate: facts about an axis, the place to sign, and the proof at the foot."""

from dataclasses import dataclass
from typing import Protocol

from labels.drawing import (
    FAINT,
    HAIRLINE,
    SOFT,
    Cells,
    Piece,
    Rule,
    Square,
    capitals,
    paragraph,
    set_line,
)
from labels.errors import AddressTooLong
from labels.fitting import shorten, wrap, wrap_evenly
from labels.geometry import points
from labels.qr import LEAST_MODULE, QrSymbol, quiet_in_points, side_in_points
from labels.typefaces import SANS, SERIF, SERIF_ITALIC, clean, text_width

_MANY_FACTS = 9  # beyond this they stand in two columns
_GROUP = 4  # characters of a digest that are read together


@dataclass(slots=True)
class Stack:
    """Pieces set from 0, 0 downwards, and how high they have grown, in points."""

    pieces: list[Piece]
    height: float


class Proof(Protocol):
    """What the foot of a certificate is made of."""

    @property
    def fingerprint(self) -> str: ...
    @property
    def thumbprint(self) -> str: ...
    @property
    def verify(self) -> str: ...
    @property
    def address(self) -> str: ...


def facts_block(facts: tuple[tuple[str, str], ...], width: float, scale: float) -> Stack:
    """(label, value) pairs: labels end at an axis, values begin behind it; many of them in two columns."""
    if not facts:
        return Stack([], 0.0)
    if len(facts) <= _MANY_FACTS:
        return _facts_column(facts, 0.0, width, points(44) * max(scale, 0.8), scale)
    gutter = points(6)
    half = (width - gutter) / 2
    longest = max(text_width(clean(label), SANS, 7.0 * scale) for label, _ in facts)
    axis = min(longest + 8.5 * scale, half * 0.38)
    # Split where the two columns come out most nearly even.
    best: tuple[float, Stack] | None = None
    for cut in range(1, len(facts)):
        first = _facts_column(facts[:cut], 0.0, half, axis, scale)
        second = _facts_column(facts[cut:], half + gutter, half, axis, scale)
        height = max(first.height, second.height)
        if best is None or height < best[0] - 0.1:
            best = (height, Stack([*first.pieces, *second.pieces], height))
    assert best is not None
    return best[1]


def _facts_column(facts: tuple[tuple[str, str], ...], left: float, width: float, axis: float, scale: float) -> Stack:
    stack = Stack([], 0.0)
    size, leading = 10.0 * scale, 12.7 * scale
    small, small_leading = 7.0 * scale, 8.8 * scale
    between = 8.0 * scale
    for label, value in facts:
        names = wrap(label, SANS, small, axis - between)
        lines = wrap(value, SERIF, size, width - axis)
        height = max(len(lines) * leading, len(names) * small_leading + 2 * scale, leading)
        for number, name in enumerate(names):
            # Both lines stand on one baseline.
            baseline = stack.height + (leading - size) / 2 + size * 0.78 + number * small_leading
            stack.pieces.append(set_line(left, baseline, name, SANS, small, axis - between, "right", SOFT))
        stack.pieces += paragraph(left + axis, stack.height, lines, SERIF, size, leading)
        stack.height += height + 3.2 * scale
    stack.height -= 3.2 * scale
    return stack


def signature_block(declaration: str, captions: tuple[str, ...], width: float, scale: float) -> Stack:
    """The closing declaration, and under it lines to be written on in ink, each with its caption."""
    stack = Stack([], 0.0)
    size, leading = 11.0 * scale, 14.0 * scale
    lines = wrap_evenly(declaration, SERIF_ITALIC, size, width * 0.86)
    stack.pieces += paragraph(0, 0, lines, SERIF_ITALIC, size, leading, width, "centre")
    stack.height = len(lines) * leading
    if not captions:
        return stack
    # A hand needs the same room however long the text is: never less than 11 mm above the line.
    stack.height += max(points(16) * scale, points(11))
    across = min(len(captions), 3)
    gutter = points(9)
    each = (width - gutter * (across - 1)) / across
    for number, caption in enumerate(captions):
        row, column = divmod(number, across)
        if column == 0 and row:
            stack.height += points(14)
        left = column * (each + gutter)
        stack.pieces.append(Rule(left, stack.height, left + each, stack.height, 0.5))
        words = shorten(caption, SANS, 6.8 * max(scale, 0.85), each)
        stack.pieces.append(set_line(left, stack.height + 9.5, words, SANS, 6.8 * max(scale, 0.85), grey=SOFT))
    stack.height += 11
    return stack


def proof_block(content: Proof, symbol: QrSymbol | None, width: float, scale: float) -> Stack:
    """Fingerprint, key and how to check them at the left; the square with its address at the right."""
    stack = Stack([], 0.0)
    if not (content.fingerprint or content.thumbprint or content.verify or symbol):
        return stack
    stack.pieces.append(Rule(0, 0, width, 0, HAIRLINE, FAINT))
    right = _square(content.address, symbol, width, scale) if symbol else Stack([], 0.0)
    square_width = width - min((piece.box.left for piece in right.pieces), default=width)
    room = width - square_width - (points(8) if right.pieces else 0.0)
    words = _proof_words(content, room, max(scale, 0.82))
    stack.pieces += right.pieces + words.pieces
    stack.height = max(right.height, words.height)
    return stack


def _square(address: str, symbol: QrSymbol, width: float, scale: float) -> Stack:
    """The square at the right edge and under it the address in words."""
    module = symbol.module_within(26.0 * max(scale, 0.8), largest=0.6, quiet=False)
    module = module or symbol.module_within(62.0, largest=LEAST_MODULE * 1.2, quiet=False)
    if not module:
        raise AddressTooLong(address, 62.0, LEAST_MODULE)
    side = side_in_points(symbol, module)
    top = max(10.0 * scale, quiet_in_points(module) + 1)
    stack = Stack([Square(width - side, top, symbol, module)], top + side + quiet_in_points(module))
    column = max(side, points(42))
    size = 5.9
    lines = wrap(address, SANS, size, column)
    stack.pieces += paragraph(width - column, stack.height, lines, SANS, size, 7.4, column, "right", SOFT)
    stack.height += len(lines) * 7.4
    return stack


def _proof_words(content: Proof, width: float, scale: float) -> Stack:
    stack = Stack([], 10.0 * scale)
    small = 5.6 * scale
    if content.fingerprint:
        stack.pieces.append(
            capitals(0, stack.height + small, "Fingerprint of the signed statement, SHA-256", small, SANS, SOFT)
        )
        stack.height += small + 4.5 * scale
        _digest(stack, content.fingerprint, width, 7.6 * scale)
        stack.height += 5.0 * scale
    if content.thumbprint:
        stack.pieces.append(capitals(0, stack.height + small, "Thumbprint of the key", small, SANS, SOFT))
        stack.height += small + 3.0 * scale
        size = 7.6 * scale
        lines = wrap(content.thumbprint, SANS, size, width)
        stack.pieces += paragraph(0, stack.height, lines, SANS, size, size * 1.3)
        stack.height += len(lines) * size * 1.3 + 4.0 * scale
    if content.verify:
        size, leading = 7.4 * scale, 9.3 * scale
        lines = wrap(content.verify, SERIF, size, width)
        stack.pieces += paragraph(0, stack.height, lines, SERIF, size, leading, grey=0.25)
        stack.height += len(lines) * leading
    return stack


def _digest(stack: Stack, digest: str, width: float, size: float) -> None:
    """A hex digest in groups of four, every character in a cell of one width, as many groups a line as fit evenly."""
    characters = clean(digest).replace(" ", "")
    groups = [characters[start : start + _GROUP] for start in range(0, len(characters), _GROUP)]
    pitch = max(text_width(character, SANS, size) for character in "0123456789abcdef") * 1.07
    step = pitch * (_GROUP + 1)
    most = max(1, int((width + pitch) / step))
    # Even rows are easier to compare: 8 and 8 rather than 9 and 7.
    per_line = next((count for count in (16, 8, 4) if count <= most), most)
    for number, group in enumerate(groups):
        row, column = divmod(number, per_line)
        baseline = stack.height + size * 0.9 + row * size * 1.42
        stack.pieces.append(Cells(column * step, baseline, group, SANS, size, pitch))
    rows = -(-len(groups) // per_line)
    stack.height += rows * size * 1.42
