"""The proof at the foot of a certificate: the square with its statement, and beside it what checks it, in print."""

from collections.abc import Callable
from typing import Protocol

from labels.certificate_parts import Stack
from labels.drawing import FAINT, HAIRLINE, SOFT, Cells, Rule, Square, Text, capitals, paragraph
from labels.errors import AddressTooLong
from labels.fitting import wrap, wrap_address
from labels.geometry import points
from labels.qr import LEAST_MODULE, QrSymbol, dense_level, empty_symbol, qr_symbol, quiet_in_points, side_in_points
from labels.typefaces import SANS, SERIF, clean, text_width

_GROUP = 4  # characters of a digest or a key that are read together
_SQUARE = 26.0  # mm, of an address alone
_DENSE = 38.0  # mm, of a whole statement
_LONGEST_ADDRESS = 120  # characters; beyond that a square holds a statement, not an address


class Proof(Protocol):
    """What the foot of a certificate is made of."""

    @property
    def fingerprint(self) -> str: ...
    @property
    def thumbprint(self) -> str: ...
    @property
    def public_key(self) -> str: ...
    @property
    def verify(self) -> str: ...
    @property
    def address(self) -> str: ...
    @property
    def caption(self) -> str: ...


def square_symbol(payload: str, measured: bool = False) -> QrSymbol | None:
    """The symbol of the square, None for no payload; `measured` gives its size only. Raises `AddressTooLong`."""
    if not payload:
        return None
    level = dense_level(payload, _DENSE) if len(payload) > _LONGEST_ADDRESS else "M"
    make: Callable[[str, str], QrSymbol] = empty_symbol if measured else qr_symbol
    return make(payload, level)


def proof_block(content: Proof, symbol: QrSymbol | None, width: float, scale: float) -> Stack:
    """Key, fingerprint and how to check them at the left; the square at the right."""
    stack = Stack([], 0.0)
    if not (content.fingerprint or content.thumbprint or content.public_key or content.verify or symbol):
        return stack
    stack.pieces.append(Rule(0, 0, width, 0, HAIRLINE, FAINT))
    right = _square(content, symbol, width, scale) if symbol else Stack([], 0.0)
    square_width = width - min((piece.box.left for piece in right.pieces), default=width)
    room = width - square_width - (points(8) if right.pieces else 0.0)
    words = _proof_words(content, room, max(scale, 0.82))
    stack.pieces += right.pieces + words.pieces
    stack.height = max(right.height, words.height)
    return stack


def _square(content: Proof, symbol: QrSymbol, width: float, scale: float) -> Stack:
    """The square at the right edge and under it its caption, else its address in words."""
    dense = len(content.address) > _LONGEST_ADDRESS
    if dense:  # its size never gives way to the text: it must still be read in thirty years
        module = symbol.module_within(_DENSE, largest=0.47, quiet=False)
    else:
        module = symbol.module_within(_SQUARE * max(scale, 0.8), largest=0.6, quiet=False)
        module = module or symbol.module_within(62.0, largest=LEAST_MODULE * 1.2, quiet=False)
    if not module:
        raise AddressTooLong(content.address, _DENSE if dense else 62.0, LEAST_MODULE)
    side = side_in_points(symbol, module)
    top = max(10.0 * scale, quiet_in_points(module) + 1)
    stack = Stack([Square(width - side, top, symbol, module)], top + side + quiet_in_points(module))
    column = max(side, points(42) if not dense else 0.0)
    size = 5.9
    said = content.caption.split("\n") if content.caption else [content.address]
    lines = [line for part in said for line in (wrap_address if "://" in part else wrap)(part, SANS, size, column)]
    stack.pieces += paragraph(width - column, stack.height, lines, SANS, size, 7.4, column, "right", SOFT)
    stack.height += len(lines) * 7.4
    return stack


def _proof_words(content: Proof, width: float, scale: float) -> Stack:
    stack = Stack([], 10.0 * scale)
    for caption, text in (
        ("Public key, Ed25519", content.public_key),
        ("Its thumbprint" if content.public_key else "Thumbprint of the key", content.thumbprint),
        ("Fingerprint of the facts, SHA-256", content.fingerprint),
    ):
        if text:
            small = 5.6 * scale
            stack.pieces.append(capitals(0, stack.height + small, caption, small, SANS, SOFT))
            stack.height += small + 3.6 * scale
            grouped_cells(stack, text, width, 7.6 * scale)
            stack.height += 4.6 * scale
    if content.verify:
        size, leading = 7.3 * scale, 9.0 * scale
        for part in content.verify.split("\n"):
            lines = wrap(part, SERIF, size, width)
            stack.pieces += paragraph(0, stack.height, lines, SERIF, size, leading, grey=0.25)
            stack.height += len(lines) * leading + 1.5 * scale
        stack.height -= 1.5 * scale
    return stack


def grouped_cells(stack: Stack, text: str, width: float, size: float, left: float = 0.0) -> None:
    """A digest or key in groups of four, as many a line as fit evenly.

    The figures of a digest have cells of one width, so that they stand in columns; letters keep their own.
    """
    characters = clean(text).replace(" ", "")
    groups = [characters[start : start + _GROUP] for start in range(0, len(characters), _GROUP)]
    pitch = max(text_width(character, SANS, size) for character in "0123456789abcdef") * 1.07
    hexadecimal = not set(characters) - set("0123456789abcdef")
    widths = [pitch * _GROUP if hexadecimal else text_width(group, SANS, size, 0.5) for group in groups]
    most = max(1, int((width + pitch) / (max(widths) + pitch)))
    rows = -(-len(groups) // most)
    per_line = -(-len(groups) // rows)  # rows of one length are easier to compare: 8 and 8 rather than 9 and 7
    across = left
    for number, (group, broad) in enumerate(zip(groups, widths, strict=True)):
        row, column = divmod(number, per_line)
        across = across if column else left
        baseline = stack.height + size * 0.9 + row * size * 1.42
        if hexadecimal:
            stack.pieces.append(Cells(across, baseline, group, SANS, size, pitch))
        else:
            stack.pieces.append(Text(across, baseline, group, SANS, size, 0.5))
        across += broad + pitch
    stack.height += rows * size * 1.42
