"""Number formats of a workbook (ECMA-376-1, 18.8.31): a number with the words, zeros and decimals it is shown with.

Decimals have a point and nothing stands between thousands, whatever the spreadsheet shows there, so that a cell is read
as one without a format is. Fractions, powers of ten and numbers shown in thousands are not followed.
"""

import operator
import re
import unicodedata
from collections.abc import Iterable, Sequence
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import NamedTuple

TOKEN = re.compile(
    r"""(?P<general>general)|"(?P<quoted>[^"]*)"|\\(?P<escaped>.)|[_*](?P<blank>.)|\[(?P<bracket>[^\]]*)\]"""
    r"""|(?P<power>e[+-])|(?P<digit>[0#?])|(?P<figure>[1-9])|(?P<point>\.)|(?P<comma>,)|(?P<percent>%)|(?P<slash>/)|(?P<cell>@)"""
    r"""|(?P<end>;)|(?P<bare>[-+$():!^&'~{}<>= ]|[^\x00-\x7f])|(?P<other>.)""",
    re.IGNORECASE | re.DOTALL,
)
CURRENCY = re.compile(r"\$([^-]*)")  # in brackets: [$EUR-407], [$€-2]; [$-409] only names a language
CONDITION = re.compile(r"(<=|>=|<>|<|>|=)\s*(-?[0-9]{1,15}(?:\.[0-9]{1,9})?)")
HOLDS = {
    "<": operator.lt, "<=": operator.le, ">": operator.gt, ">=": operator.ge, "=": operator.eq, "<>": operator.ne,
}  # fmt: skip
NO_FORMATS = ("", "general", "@")
MINUSES = ("", "-", "−", "()")  # around the negative number itself, and no words of its own


class Shown(NamedTuple):
    """What is read of a cell, and the words of its format that are lost by it, "" where none are."""

    text: str
    lost: str = ""


class Piece(NamedTuple):
    """A part of a format: `kind` is "text" for what is shown as it stands, else a group of TOKEN."""

    kind: str
    text: str


class Section(NamedTuple):
    """One of the parts between semicolons, and the numbers it is for where it says so itself."""

    pieces: Sequence[Piece]
    condition: tuple[str, Decimal] | None


class Shape(NamedTuple):
    """A section that is followed: texts around one number. `most` decimals is None where all are shown."""

    before: str
    whole: Sequence[Piece]  # digits, and texts between them
    least: int
    most: int | None
    after: str
    percent: int


def shown_number(plain: str, form: str) -> Shown:
    """A number, given as plain decimals, as its format shows it.

    Words around it, zeros before it and decimals added to it are taken; what a format rounds away is not lost: 12.34
    shown as “12.3 kg” is “12.34 kg”. Where the format cannot be followed it is `plain`, with the words lost.
    """
    if form.casefold() in NO_FORMATS:
        return Shown(plain)
    try:
        value = Decimal(plain)
    except InvalidOperation:
        return Shown(plain)
    sections = [one for one in _sections(form) if not _has(one, "cell")]
    if not sections:
        return Shown(plain)  # a format of texts; numbers have none there
    section = _taken(sections, value)
    shape = section and _shape(section)
    digits = _digits(shape, abs(value)) if shape and abs(value) < 10**15 else ""
    if section is None or not shape or not digits:
        return Shown(plain, _words((section or sections[0]).pieces))
    return Shown(_around(shape, digits, value, plain, sections if section is not sections[0] else ()))


def shown_text(text: str, form: str) -> str:
    """A text as its format shows it: with the words of the section that has an @."""
    if "@" not in form or form == "@":
        return text
    found = [one for one in _sections(form) if _has(one, "cell")]
    if len(found) != 1 or any(piece.kind not in ("text", "cell") for piece in found[0].pieces):
        return text
    return _tidy("".join(text if piece.kind == "cell" else piece.text for piece in found[0].pieces))


def _around(shape: Shape, digits: str, value: Decimal, plain: str, others: Sequence[Section]) -> str:
    """The digits with what stands around them; `others` are all sections where the number took not the first."""
    before, after = shape.before, shape.after
    if not value:
        before = before.rstrip(" -")  # accounts show nothing as a line
    around = "".join((before + after).split())
    if around in (MINUSES if value < 0 else ("", "+")):
        rounds = shape.most is not None and _decimals(value) > shape.most
        return plain if rounds else ("-" if value < 0 else "") + digits
    first = _shape(others[0]) if others else None
    alone = not others or (first is not None and (first.before, first.after) == (before, after))
    return _tidy(f"{'-' if value < 0 and alone else ''}{before}{digits}{after}")


def _digits(shape: Shape, value: Decimal) -> str:
    """The digits of a number that is not negative, never fewer decimals than it has; "" where they do not fit."""
    value *= 100**shape.percent
    decimals = max(_decimals(value), shape.least)
    whole, _, part = f"{value:.{decimals}f}".partition(".")
    places = [piece.text for piece in shape.whole if piece.kind == "digit"]
    if len(places) < len(shape.whole):
        return "" if part else _grouped(shape.whole, whole.lstrip("0"))
    return whole.zfill(len("".join(places).lstrip("#?"))) + (f".{part}" if part else "")


def _grouped(pieces: Sequence[Piece], digits: str) -> str:
    """Digits with texts between them, filled in from the right: 98101 in 00-000 is 98-101."""
    found: list[str] = []
    left = sum(piece.kind == "digit" for piece in pieces)
    for kind, text in reversed(pieces):
        if kind == "text":
            found.append(text)
            continue
        left -= 1
        cut = len(digits) - 1 if left else 0
        found.append(digits[max(cut, 0) :] or ("0" if text == "0" else ""))
        digits = digits[: max(cut, 0)]
    return "".join(reversed(found))


def _decimals(value: Decimal) -> int:
    exponent = value.normalize().as_tuple().exponent
    return max(-exponent, 0) if isinstance(exponent, int) else 0


def _taken(sections: Sequence[Section], value: Decimal) -> Section | None:
    """The section for a number, None where that is not sure."""
    if any(one.condition for one in sections):
        for place, (_, condition) in enumerate(sections):
            if value < 0 or (condition is None and place < len(sections) - 1):
                return None
            if condition is None or HOLDS[condition[0]](value, condition[1]):
                return sections[place]
        return None
    if value < 0 and len(sections) > 1:
        return sections[1]
    return sections[2] if not value and len(sections) > 2 else sections[0]


def _shape(section: Section) -> Shape | None:
    """What a section shows around one number, None where it is none that is followed."""
    pieces = section.pieces
    places = [place for place, piece in enumerate(pieces) if piece.kind in ("general", "digit", "point")]
    if not places or any(_has(section, kind) for kind in ("power", "figure", "other")):
        return None
    first, last = places[0], places[-1]
    outside = [*pieces[:first], *pieces[last + 1 :]]
    if any(piece.kind == "comma" for piece in outside):
        return None  # behind the digits: shown in thousands
    before, after = ("".join(piece.text for piece in side) for side in (pieces[:first], pieces[last + 1 :]))
    percent = sum(piece.kind == "percent" for piece in outside)
    number = pieces[first : last + 1]
    if number[0].kind == "general":
        return Shape(before, (), 0, None, after, percent) if len(number) == 1 else None
    kinds = [piece.kind for piece in number]
    point = kinds.index("point") if "point" in kinds else len(number)
    part = "".join(piece.text for piece in number[point + 1 :])
    if {"general", "slash", "percent"} & {*kinds} or part.strip("0#?") or kinds[point - 1 : point] == ["comma"]:
        return None
    whole = [piece for piece in number[:point] if piece.kind != "comma" and piece.text.strip()]
    return Shape(before, whole, len(part.rstrip("#?")), len(part), after, percent)


@lru_cache(maxsize=1024)
def _sections(form: str) -> tuple[Section, ...]:
    sections: list[Section] = []
    pieces: list[Piece] = []
    condition: tuple[str, Decimal] | None = None
    for found in TOKEN.finditer(form + ";"):
        kind, text = str(found.lastgroup), found[str(found.lastgroup)]
        if kind == "end":
            sections.append(Section(tuple(pieces), condition))
            pieces, condition = [], None
        elif kind == "bracket":
            if said := CONDITION.fullmatch(text):
                condition = (said[1], Decimal(said[2]))
            elif money := CURRENCY.match(text):
                pieces.append(Piece("text", money[1]))
        elif kind in ("quoted", "escaped", "bare"):
            pieces.append(Piece("text", text))
        else:
            pieces.append(Piece("text", " ") if kind == "blank" else Piece(kind, text))
    return tuple(sections)


def _has(section: Section, kind: str) -> bool:
    return any(piece.kind == kind for piece in section.pieces)


def _words(pieces: Iterable[Piece]) -> str:
    """The texts of a format if there are letters, digits or a currency in them, else ""."""
    words = _tidy("".join(piece.text if piece.kind in ("text", "other") else " " for piece in pieces))
    return words if any(sign.isalnum() or unicodedata.category(sign) == "Sc" for sign in words) else ""


def _tidy(text: str) -> str:
    return " ".join(text.split())
