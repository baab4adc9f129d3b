"""Text fitting: lines broken to a measure, shrunk to a floor, and only then cut with an ellipsis."""

import re
from dataclasses import dataclass
from functools import lru_cache

from labels.typefaces import Face, clean, text_width

ELLIPSIS = "…"
_STEP = 0.2
# Where a word too long for the measure (an address, a digest) may be broken.
_JOINTS = re.compile(r"(?<=[/\-._?&=,:])")


@dataclass(frozen=True, slots=True)
class Fitted:
    """Lines of text and the size in points that makes them fit."""

    lines: tuple[str, ...]
    size: float


def _split_word(word: str, face: Face, size: float, width: float) -> list[str]:
    pieces: list[str] = []
    current = ""
    for part in _JOINTS.split(word):
        if text_width(current + part, face, size) <= width:
            current += part
            continue
        if current:
            pieces.append(current)
            current = ""
        for character in part:
            if current and text_width(current + character, face, size) > width:
                pieces.append(current)
                current = ""
            current += character
    return [*pieces, current] if current else pieces


def wrap(text: str, face: Face, size: float, width: float) -> tuple[str, ...]:
    """`text` in lines at most `width` points wide, broken at spaces, inside a word only when it must be."""
    lines: list[str] = []
    current = ""
    for word in clean(text).split(" "):
        longer = f"{current} {word}" if current else word
        if text_width(longer, face, size) <= width:
            current = longer
            continue
        if current:
            lines.append(current)
        if text_width(word, face, size) <= width:
            current = word
        else:
            *whole, current = _split_word(word, face, size, width)
            lines.extend(whole)
    return tuple([*lines, current] if current else lines)


def wrap_address(address: str, face: Face, size: float, width: float) -> tuple[str, ...]:
    """A web address in lines, broken before a slash where that does it: a code is read in one piece."""
    lines = [""]
    for part in re.findall(r"^[^/]*//[^/]*|/[^/]*|[^/]+", clean(address)):
        if lines[-1] and text_width(lines[-1] + part, face, size) > width:
            lines.append("")
        lines[-1] += part
    return tuple(piece for line in lines for piece in wrap(line, face, size, width))


def wrap_evenly(text: str, face: Face, size: float, width: float) -> tuple[str, ...]:
    """As `wrap`, in the same number of lines but of lengths as even as can be: for titles and centred text."""
    lines = wrap(text, face, size, width)
    if len(lines) < 2:
        return lines
    narrow, wide = width / len(lines), width
    for _ in range(8):
        middle = (narrow + wide) / 2
        if len(wrap(text, face, size, middle)) > len(lines):
            narrow = middle
        else:
            wide = middle
    return wrap(text, face, size, wide)


def shorten(text: str, face: Face, size: float, width: float) -> str:
    """`text` cut to `width` points, with an ellipsis where something was cut."""
    text = clean(text)
    if text_width(text, face, size) <= width:
        return text
    least, most = 0, len(text)
    while least < most:
        middle = (least + most + 1) // 2
        if text_width(text[:middle].rstrip(" ,;:.-") + ELLIPSIS, face, size) <= width:
            least = middle
        else:
            most = middle - 1
    # A whole word is a better end than half of one, if not too much is lost with it.
    space = text.rfind(" ", 0, least + 1)
    if space > least * 0.66:
        least = space
    return text[:least].rstrip(" ,;:.-") + ELLIPSIS if least else ""


@lru_cache(maxsize=4096)
def fit(text: str, face: Face, size: float, floor: float, width: float, lines: int = 1) -> Fitted:
    """`text` in at most `lines` lines of `width` points.

    First one line, smaller if need be down to `floor` points; then several lines, again from the full size down;
    at last as many as are allowed at the floor, the last one ending in an ellipsis. Empty text gives no lines.
    """
    text = clean(text)
    if not text:
        return Fitted((), size)
    one_line = text_width(text, face, 1.0)
    if one_line * size <= width:
        return Fitted((text,), size)
    if one_line * floor <= width:
        return Fitted((text,), width / one_line)
    trial = size
    while lines > 1 and trial >= floor:
        broken = wrap(text, face, trial, width)
        if len(broken) <= lines:
            return Fitted(wrap_evenly(text, face, trial, width), trial)
        trial -= _STEP
    broken = wrap(text, face, floor, width)
    last = shorten(" ".join(broken[lines - 1 :]), face, floor, width)
    return Fitted(tuple(line for line in (*broken[: lines - 1], last) if line), floor)
