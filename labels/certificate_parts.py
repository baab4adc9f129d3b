"""Parts of a certificate: facts about an axis, and the place to sign."""

from collections.abc import Sequence
from dataclasses import dataclass

from labels.drawing import SOFT, Piece, Rule, paragraph, set_line
from labels.fitting import shorten, wrap, wrap_evenly
from labels.geometry import points
from labels.typefaces import SANS, SERIF, SERIF_ITALIC, clean, text_width

_MANY_FACTS = 9  # beyond this they stand in two columns


@dataclass(slots=True)
class Stack:
    """Pieces set from 0, 0 downwards, and how high they have grown, in points."""

    pieces: list[Piece]
    height: float


def facts_block(facts: tuple[tuple[str, str], ...], width: float, scale: float) -> Stack:
    """(label, value) pairs: labels end at an axis, values begin behind it; many of them in two columns."""
    if not facts:
        return Stack([], 0.0)
    if len(facts) <= _MANY_FACTS:
        axis = points(44) * max(scale, 0.8)
        return _facts_column([_row(*fact, width, axis, scale) for fact in facts], 0.0, axis, scale)
    gutter = points(6)
    half = (width - gutter) / 2
    longest = max(text_width(clean(label), SANS, 7.0 * scale) for label, _ in facts)
    axis = min(longest + 8.5 * scale, half * 0.38)
    rows = [_row(label, value, half, axis, scale) for label, value in facts]
    # Split where the two columns come out most nearly even.
    cut = min(range(1, len(rows)), key=lambda at: max(_height(rows[:at], scale), _height(rows[at:], scale)))
    first = _facts_column(rows[:cut], 0.0, axis, scale)
    second = _facts_column(rows[cut:], half + gutter, axis, scale)
    return Stack([*first.pieces, *second.pieces], max(first.height, second.height))


@dataclass(frozen=True, slots=True)
class _Row:
    """One fact broken into lines: its label's, its value's, and the height they take."""

    names: tuple[str, ...]
    lines: tuple[str, ...]
    height: float


def _row(label: str, value: str, width: float, axis: float, scale: float) -> _Row:
    names = wrap(label, SANS, 7.0 * scale, axis - 8.0 * scale)
    lines = wrap(value, SERIF, 10.0 * scale, width - axis)
    leading = 12.7 * scale
    return _Row(names, lines, max(len(lines) * leading, len(names) * 8.8 * scale + 2 * scale, leading))


def _height(rows: Sequence[_Row], scale: float) -> float:
    return sum(row.height for row in rows) + 3.2 * scale * (len(rows) - 1)


def _facts_column(rows: Sequence[_Row], left: float, axis: float, scale: float) -> Stack:
    stack = Stack([], 0.0)
    size, leading = 10.0 * scale, 12.7 * scale
    small, small_leading = 7.0 * scale, 8.8 * scale
    between = 8.0 * scale
    for row in rows:
        for number, name in enumerate(row.names):
            # Both lines stand on one baseline.
            baseline = stack.height + (leading - size) / 2 + size * 0.78 + number * small_leading
            stack.pieces.append(set_line(left, baseline, name, SANS, small, axis - between, "right", SOFT))
        stack.pieces += paragraph(left + axis, stack.height, row.lines, SERIF, size, leading)
        stack.height += row.height + 3.2 * scale
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
