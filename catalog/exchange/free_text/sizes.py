"""Sizes as people wrote them: "8x10", "20.3 x 25.4 cm", "whole plate", image and sheet in one text."""

import re
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.exchange.free_text import size_words as words_of
from catalog.exchange.free_text.size_order import order
from catalog.exchange.free_text.size_units import unit_seen
from catalog.measures import LONGEST, format_size, parse_number, parse_size, rounded

LONGEST_TEXT = 400
# Micrometres: plates on whose longer side is no more are rare, and their numbers may be those of an inch format. From
# memory, not confirmed.
SMALL = 100_000
MEASURED = re.compile(r"[.,]0+(?!\d)")  # “8.0 x 10.0” is no name of the trade
# Two units of one size agree within the rounding of both: an eighth of an inch read to its half, and half a millimetre.
AGREE = 25_400 // 16 + 500
_TOKEN = re.compile(
    r"(?P<number>(?:\d+(?:[.,]\d+)?|[.,]\d+)?(?:[ -]?(?:\d+\s?[/⁄]\s?\d+|[½¼¾⅛⅜⅝⅞⅓⅔]))|\d+(?:[.,]\d+)?|[.,]\d+)"
    r"|(?P<word>[^\W\d_]+(?:-[^\W\d_]+)*)|(?P<sign>''|’’|[^\s\w])"
)


class SizeReading(NamedTuple):
    """A height and a width in micrometres, and what of the thing they measure.

    `which` is "image", "sheet", "plate", "mount" or "" where nothing said. `doubts` are sentences that say what was
    taken where another reading is possible; `why_not` says why nothing was read, and is "" where both sides were.
    `more` holds the further sizes of the same text, each a reading of its own without `more`.
    """

    height: int | None
    width: int | None
    which: str
    doubts: tuple[str, ...]
    why_not: str
    more: "tuple[SizeReading, ...]" = ()


class NoSizeError(TirageError):
    """A text that says no size this program understands; the sentence says why."""


@dataclass
class _Side:
    number: tuple[int, int]  # numerator and denominator
    written: str
    unit: str = ""
    name: str = ""


@dataclass
class _Group:
    """Sides joined by “x”, what they measure, and whether they stand in brackets after another size."""

    which: str | None = None
    sides: list[_Side] = field(default_factory=list)
    bracketed: bool = False
    doubts: list[str] = field(default_factory=list)


@lru_cache(maxsize=16_384)
def read_size(text: str, *, unit: str = "", usual: str = "", width_first: bool = False) -> SizeReading:
    """Read a size. `unit` ("cm", "mm", "in") is that of bare numbers, where their heading says so.

    `usual` is that of a whole list, said of no column: what the trade sells by the inch stays inches then, and so does
    what has fractions; either is told.

    Height comes before width unless `width_first`; words and letters beside the numbers (h, w, Höhe, largeur) decide
    before either. Never raises.
    """
    usual = usual if usual in words_of.MICROMETRES else ""
    typed = " ".join(text.replace("\\r", " ").replace("\\n", " ; ").replace("\n", " ; ").split()).strip(" ;")
    if not typed or len(typed) > LONGEST_TEXT:
        return _nothing("Nothing is written here." if not typed else f"“{typed[:40]}…” is too long for a size.")
    typed, width_first = order(typed, width_first)
    typed = re.sub(r"(?i)(?<=\d)\s?(mm|cm|in)x(?=\s?\d)", r" \1 x ", typed)  # “24cmx30cm”
    try:
        if named := _named(typed):
            return named
        groups = _paired(_groups(typed), typed)
        sizes = [_size(group, groups, typed, (unit, usual), width_first) for group in groups if group.which != "frame"]
        if not sizes:
            raise NoSizeError(f"“{typed}” tells the size of a frame only.")
    except NoSizeError as problem:
        return _nothing(problem.sentence)
    framed = ("The size of the frame is not kept.",) if len(sizes) < len(groups) else ()
    return sizes[0]._replace(more=tuple(sizes[1:]), doubts=(*sizes[0].doubts, *framed))


def _nothing(why: str) -> SizeReading:
    return SizeReading(None, None, "", (), why)


def _named(typed: str) -> SizeReading | None:
    """A plate or a paper by its name; such a size is nominal, and the shorter side is taken for the height."""
    lowered = typed.lower().strip(" .")
    english = words_of.PLATES.get(lowered, lowered)
    if re.search(r"[x×*]\s*[\d.½¼¾⅛⅜⅝⅞⅓⅔]|\bby\b", english):
        return None
    try:
        height, width = parse_size(english)
    except NotUnderstood as problem:
        if "plate" not in english.split() + english.split("-") or re.search(r"\d{2}|\d ", english):
            return None
        raise NoSizeError(f"“{typed}” is no one size; expected {problem.expected}.") from None
    which = "" if re.fullmatch(r"a\d|letter|legal|tabloid", english) else "plate"
    said = f"“{typed}” was read as {format_size(height, width)}, the shorter side for the height; its name is nominal."
    return SizeReading(height, width, which, (said,), "")


def _groups(typed: str) -> list[_Group]:
    """The sizes in a text, in their order, still without their units; raises at the first word that is not known."""
    groups: list[_Group] = [_Group()]
    joined, named, depth, before = False, "", 0, "break"
    labels_lead = _labels_lead(typed)
    for match in _TOKEN.finditer(typed):
        written, lowered, group, after = match[0].strip(), match[0].strip().lower(), groups[-1], typed[match.end() :]
        kind = "value"
        if match.lastgroup == "number":
            number = _number(written)
            if group.sides and not joined and not (named and _waits_for(group, named)):
                group = _Group(bracketed=depth > 0)
                groups.append(group)
            group.sides.append(_Side(number, written, name=named))
            joined, named = False, ""
        elif lowered in words_of.BETWEEN and group.sides:
            joined = True
        elif lowered in words_of.MICROMETRES and group.sides and not group.sides[-1].unit:
            group.sides[-1].unit = lowered
        elif lowered in words_of.SIDES:
            named = _side_word(words_of.SIDES[lowered], group, after)
        elif lowered in words_of.MEASURED:
            _measured(groups, words_of.MEASURED[lowered], after, before == "break" or labels_lead, depth > 0)
        elif lowered in words_of.FILLING or lowered in "?~±≈":
            if lowered in words_of.NOT_KEPT or lowered in "?~±≈":
                group.doubts.append(f"“{written}” is not kept.")
        elif lowered in ".,;:|/()[]":
            depth += (lowered in "([") - (lowered in ")]")
            kind = "break" if lowered in ",;|([" else "value"
        else:
            raise NoSizeError(_not_understood(written, lowered, typed))
        before = kind
    if joined or named:
        raise NoSizeError(f"“{typed}” lacks a number after its last sign.")
    for empty, following in zip(groups, groups[1:], strict=False):
        if not empty.sides:
            following.doubts += empty.doubts
    return [group for group in groups if group.sides]


def _labels_lead(typed: str) -> bool:
    """Whether what is measured stands before its numbers ("image 19 x 24, sheet 20 x 25") and not after them."""
    first = re.search(r"\d|[^\W\d_]+", typed)
    return bool(first and first[0].lower() in words_of.MEASURED)


def _not_understood(written: str, lowered: str, typed: str) -> str:
    if lowered in words_of.NOT_TAKEN:
        return f"“{written}” in “{typed}” is a unit that is not read; give centimetres, millimetres or inches."
    return f"“{written}” in “{typed}” is not understood in a size."


def _number(written: str) -> tuple[int, int]:
    if re.search(r",\d{3}(?!\d)", written):
        raise NoSizeError(f"“{written}” may be a number with three decimals or one of thousands.")
    plain = re.sub(r"\s?[/⁄]\s?", "/", written.replace(",", "."))
    value = parse_number(plain) or parse_number(re.sub(r"(?<=\d)(?=[½¼¾⅛⅜⅝⅞⅓⅔])", " ", plain))
    if value is None or not value[0]:
        raise NoSizeError(f"“{written}” is no length.")
    return value


def _waits_for(group: _Group, name: str) -> bool:
    """“H. 20 cm; L. 25 cm”: one named side waits for the other."""
    return bool(group.sides[0].name) and all(side.name not in ("", name) for side in group.sides)


def _side_word(name: str, group: _Group, after: str) -> str:
    """A word for a side names the number after it, else the one before: “h. 20 cm”, “20 cm (h)”."""
    if re.match(r"[\s.:=]*[\d½¼¾⅛⅜⅝⅞⅓⅔]", after):
        return name
    if group.sides and not group.sides[-1].name:
        group.sides[-1].name = name
        return ""
    raise NoSizeError("A side is named without a number.")


def _measured(groups: list[_Group], which: str, after: str, leads: bool, bracketed: bool) -> None:
    """A word for what is measured opens a group, or follows the one it belongs to: “9 x 18.1 cm (mount)”."""
    group = groups[-1]
    number_follows = bool(re.match(r"[^)\];|]*?\d" if bracketed else r"[^;|]*?\d", after))
    if not group.sides:
        if group.which and which != group.which:  # “image/sheet”
            group.doubts.append(f"It was read for the {group.which} only, not for the {which}.")
        group.which = which if group.which is None else group.which
    elif number_follows and leads:
        groups.append(_Group(which=which))
    elif group.which is None:
        group.which = which
    else:
        raise NoSizeError("What is measured is told twice of one size.")


def _paired(groups: list[_Group], typed: str) -> list[_Group]:
    """A size in brackets with another unit is the same size again, and has to agree."""
    if not groups:
        raise NoSizeError(f"“{typed}” has no numbers.")
    kept: list[_Group] = []
    for group in groups:
        before = kept[-1] if kept else None
        again = before and _unit(group) and _unit(before) != _unit(group) and len(group.sides) == len(before.sides)
        if again and before and (_agree(before, group) or (group.bracketed and _unit(before))):
            _compare(before, group)
            before.doubts += group.doubts
        else:
            kept.append(group)
    return kept


def _agree(first: _Group, again: _Group) -> bool:
    """Whether two groups are one size in two units; a first without a unit may have any of those in use."""
    pairs = list(zip(first.sides, again.sides, strict=True))
    return any(
        all(abs(_exact(one, unit) - _exact(other, _unit(again))) <= AGREE for one, other in pairs)
        for unit in ([_unit(first)] if _unit(first) else ["in", "cm", "mm"])
    )


def _unit(group: _Group) -> str:
    """“cm” or the like; all units of inches are one."""
    unit = next((side.unit for side in reversed(group.sides) if side.unit), "")
    return "in" if words_of.MICROMETRES.get(unit) == words_of.MICROMETRES["in"] else unit


def _compare(first: _Group, again: _Group) -> None:
    if not _unit(first):
        first.doubts.append("The unit was taken from the size in brackets, turned into inches or centimetres.")
        first.sides = again.sides
        return
    for side, other in zip(first.sides, again.sides, strict=True):
        if abs(_length(side, _unit(first)) - _length(other, _unit(again))) > AGREE:
            both = f"“{side.written} {_unit(first)}” and “{other.written} {_unit(again)}”"
            first.doubts.append(f"{both} do not agree; the first was read.")


def _exact(side: _Side, unit: str) -> int:
    return rounded(side.number[0] * words_of.MICROMETRES[side.unit or unit], side.number[1])


def _length(side: _Side, unit: str) -> int:
    length = _exact(side, unit)
    if not 0 < length <= LONGEST:
        raise NoSizeError(f"“{side.written} {side.unit or unit}” is more than 10 m, or nothing.")
    return length


def _size(group: _Group, groups: list[_Group], typed: str, told: tuple[str, str], width_first: bool) -> SizeReading:
    sides, doubts = group.sides, list(group.doubts)
    if len(sides) == 1:
        raise NoSizeError(f"“{typed}” tells one side only; a size has two.")
    if len(sides) > 3:
        raise NoSizeError(f"“{typed}” has more than three sides.")
    if len(sides) == 3:
        third = next((side for side in sides if side.name == "depth"), sides[2])
        smaller = [side for side in sides if side.number[0] * third.number[1] < third.number[0] * side.number[1]]
        if not third.name and smaller:
            raise NoSizeError(f"“{typed}” has three numbers, and the last, not the smallest, can be no thickness.")
        doubts.append(f"The third number, {third.written}, was taken for the thickness and is not kept.")
        sides = [side for side in sides if side is not third]
    unit = _unit_of(group, groups, sides, told, doubts)
    if "mm" in (unit, *(side.unit for side in sides)) and any(re.search(r"\.\d{3}$", side.written) for side in sides):
        raise NoSizeError(f"“{typed}” may have numbers with three decimals or of thousands.")
    first, second = (_length(side, unit) for side in sides)
    names = tuple(side.name for side in sides)
    if "depth" in names or (names[0] and names[0] == names[1]):
        raise NoSizeError(f"“{typed}” does not tell height and width.")
    if any(names) and not all(names):
        doubts.append("Only one side is named; the other was taken for the other side.")
    turned = names[0] == "width" or names[1] == "height" or (not any(names) and width_first)
    height, width = (second, first) if turned else (first, second)
    return SizeReading(height, width, group.which or "", tuple(dict.fromkeys(doubts)), "")


def _unit_of(group: _Group, groups: list[_Group], sides: list[_Side], told: tuple[str, str], doubts: list[str]) -> str:
    """The unit of a group's bare numbers: its own, its heading's, that of a later size, the trade's or the usual."""
    written = " x ".join(side.written for side in sides)
    if own := _unit(group):
        return own
    unit, usual = told
    if unit and unit not in words_of.MICROMETRES:
        raise NoSizeError(f"“{unit}” is a unit that is not read; give centimetres, millimetres or inches.")
    if unit:
        trade, why = unit_seen([side.number for side in sides], written)
        small = max(_length(side, unit) for side in sides) <= SMALL and not MEASURED.search(written)
        if small and trade not in ("", unit):
            doubts.append(f"“{written}” was read in {unit}, as its heading says, and may be in {trade}, {why}.")
        return unit
    later = next((_unit(other) for other in groups[groups.index(group) + 1 :] if _unit(other)), "")
    if later:
        doubts.append(f"“{written}” has no unit; {later} was taken from the size after it.")
        return later
    trade, why = unit_seen([side.number for side in sides], written)
    if usual and (trade != "in" or trade == usual or MEASURED.search(written)):
        if trade not in ("", usual):
            doubts.append(f"“{written}” was read as {usual}, and may be {trade}, {why}.")
        return usual
    if trade:
        aside = f"; where it is {usual}, say so in the heading or the cell" if usual else ""
        doubts.append(f"“{written}” has no unit; it was read as {trade}, {why}{aside}.")
        return trade
    raise NoSizeError(f"“{written}” has no unit: say whether it is cm, mm or in.")
