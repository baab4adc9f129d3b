"""Typefaces: one serif and one sans, embedded, each standing in for what the other lacks."""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import resources
from io import BytesIO
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from labels.errors import GlyphMissing, PaperError


@dataclass(frozen=True, slots=True)
class Face:
    """One cut of a typeface: its name inside the PDF, the font package and the file that hold it."""

    name: str
    package: str
    file: str


# Both families are static or draw their regular weight by default, hold full Latin, Greek and Cyrillic, and may
# be embedded. The serif's figures are tabular, the sans's are not.
SERIF = Face("Serif", "fontpkg_eb_garamond", "EBGaramond[wght].ttf")
SERIF_ITALIC = Face("SerifItalic", "fontpkg_eb_garamond", "EBGaramond-Italic[wght].ttf")
SANS = Face("Sans", "fontpkg_fira_sans", "FiraSans-Regular.ttf")
SANS_MEDIUM = Face("SansMedium", "fontpkg_fira_sans", "FiraSans-Medium.ttf")
SANS_SEMIBOLD = Face("SansSemiBold", "fontpkg_fira_sans", "FiraSans-SemiBold.ttf")
SANS_ITALIC = Face("SansItalic", "fontpkg_fira_sans", "FiraSans-Italic.ttf")
FACES = (SERIF, SERIF_ITALIC, SANS, SANS_MEDIUM, SANS_SEMIBOLD, SANS_ITALIC)

_STAND_INS = {
    SERIF: (SANS,),
    SERIF_ITALIC: (SANS_ITALIC, SERIF, SANS),
    SANS: (SERIF,),
    SANS_MEDIUM: (SANS, SERIF),
    SANS_SEMIBOLD: (SANS_MEDIUM, SANS, SERIF),
    SANS_ITALIC: (SERIF_ITALIC, SANS, SERIF),
}
_BREAKING_SPACE = re.compile("[ \t\r\n\f\v\x85\u2028\u2029]+")


def _font_bytes(face: Face) -> bytes:
    folder = resources.files(face.package) / "files"
    exact = folder / face.file
    if exact.is_file():
        return exact.read_bytes()
    # A later package may name a variable file otherwise: the same stem before its axes is the same cut.
    stem = face.file.split("[")[0].removesuffix(".ttf")
    for entry in sorted(folder.iterdir(), key=lambda item: item.name):
        if entry.name.split("[")[0].removesuffix(".ttf") == stem:
            return entry.read_bytes()
    raise PaperError(
        f"The typeface file {face.file} is not in the package {face.package}; expected it in its “files” folder, "
        "so install the package again."
    )


@cache
def font(face: Face) -> Any:
    """The registered font of a face, read from its package the first time something is drawn with it."""
    try:
        data = _font_bytes(face)
    except ModuleNotFoundError:
        raise PaperError(
            f"The typeface package {face.package} is missing; expected it to be installed with this program, "
            "so install the program again."
        ) from None
    registered = TTFont(face.name, BytesIO(data))
    pdfmetrics.registerFont(registered)
    return registered


@cache
def _characters(face: Face) -> frozenset[str]:
    return frozenset(map(chr, font(face).face.charToGlyph))


def missing_glyphs(text: str, face: Face) -> tuple[str, ...]:
    """The characters of `text` that `face` itself cannot draw, each once, in order of appearance."""
    known = _characters(face)
    return tuple(dict.fromkeys(character for character in text if character not in known))


@lru_cache(maxsize=2048)
def clean(text: str) -> str:
    """`text` as it can be set: composed (NFC), line ends and runs of blanks as one space, invisible marks gone.

    No-break and other special spaces are kept where a face has them, else drawn as an ordinary space.
    """
    composed = _BREAKING_SPACE.sub(" ", unicodedata.normalize("NFC", text)).strip(" ")
    if composed.isascii() and composed.isprintable():
        return composed
    kept = []
    for character in composed:
        category = unicodedata.category(character)
        if category == "Cf":
            continue
        if category == "Zs" and not any(character in _characters(face) for face in (SERIF, SANS)):
            character = " "
        kept.append(character)
    return "".join(kept)


@lru_cache(maxsize=4096)
def runs(text: str, face: Face) -> tuple[tuple[Face, str], ...]:
    """`text` split into stretches, each with the face that draws it. Raises `GlyphMissing`."""
    if _characters(face).issuperset(text):
        return ((face, text),)
    choices = (face, *_STAND_INS[face])
    parts: list[tuple[Face, str]] = []
    for character in text:
        chosen = next((choice for choice in choices if character in _characters(choice)), None)
        if chosen is None:
            raise GlyphMissing(character, text)
        if parts and parts[-1][0] is chosen:
            parts[-1] = (chosen, parts[-1][1] + character)
        else:
            parts.append((chosen, character))
    return tuple(parts)


@lru_cache(maxsize=4096)
def _em_width(text: str, face: Face) -> float:
    # At 1,000 points once: every other size follows by multiplication.
    return sum(float(font(part).stringWidth(stretch, 1000)) for part, stretch in runs(text, face)) / 1000


def text_width(text: str, face: Face, size: float, tracking: float = 0.0) -> float:
    """Width in points of `text` at `size` points, `tracking` points added between characters."""
    return _em_width(text, face) * size + tracking * max(len(text) - 1, 0)
