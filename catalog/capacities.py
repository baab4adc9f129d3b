"""What a bath may take and how long it lasts: areas, sheets, silver a litre, coatings, shares and lives."""

import re
from typing import NamedTuple

from catalog.errors import NotUnderstood
from catalog.measures import SQUARE_MICROMETRES, format_size, parse_number, parse_size, rounded, split_unit, trimmed

_LARGEST = 10**8  # a hectare

# Square centimetres as exact fractions; an inch is 2.54 cm by definition.
_AREAS = {
    "cm2": (1, 1), "sqcm": (1, 1), "m2": (10_000, 1), "sqm": (10_000, 1), "in2": (64_516, 10_000),
    "sqin": (64_516, 10_000), "ft2": (9_290_304, 10_000), "sqft": (9_290_304, 10_000),
}  # fmt: skip
_PER_LITRE = r"(?i)(?:/\s*|\s+(?:a|per)\s+)(?:l|litre|liter)\s*$"
_SHEETS = r"(?i)(\d{1,6})\s*(?:sheets?\s+(?:of\s+)?|\s)(.*)"
_CAPACITY_EXPECTED = "an area or sheets of a size, such as 2.5m2 or “40 sheets 8x10in”; with /l for a litre of it"
_SECONDS = {
    **dict.fromkeys(("h", "hr", "hour", "hours"), 3_600),
    **dict.fromkeys(("d", "day", "days"), 86_400),
    **dict.fromkeys(("w", "week", "weeks"), 7 * 86_400),
}
_LONGEST_LIFE = 20 * 366 * 86_400


class Capacity(NamedTuple):
    """An area in square centimetres, of a whole bath or of each litre of it."""

    area: int
    per_litre: bool

    def of(self, volume: int | None) -> int:
        """Square centimetres of a bath of so many millilitres. Raises NotUnderstood where a volume is needed."""
        if not self.per_litre:
            return self.area
        if volume is None:
            raise NotUnderstood(
                "the capacity of a bath", f"{format_area(self.area)} a litre", "its volume too: --volume 2l"
            )
        return max(1, rounded(self.area * volume, 1_000))


def area_of(height: int, width: int) -> int:
    """Square centimetres of a sheet whose sides are micrometres, rounded, at least 1."""
    return max(1, rounded(height * width, SQUARE_MICROMETRES))


def parse_capacity(text: str) -> Capacity:
    """A capacity typed as an area ("2.5m2", "0.5 m²/l") or as sheets ("40 8x10in", "40 sheets 8x10in/l").

    Raises `NotUnderstood` without a unit, for nothing, and for more than a hectare.
    """
    typed = " ".join(text.split())
    per_litre = re.search(_PER_LITRE, typed)
    amount = typed[: per_litre.start()].strip() if per_litre else typed
    sheets = re.fullmatch(_SHEETS, amount)
    area = _sheets_area(int(sheets[1]), sheets[2], text) if sheets else None
    if area is None:
        area = _parse_area(amount, text)
    if not 0 < area <= _LARGEST:
        raise NotUnderstood("a capacity", text, "more than nothing and at most 10,000 m²")
    return Capacity(area, bool(per_litre))


def parse_whole_capacity(text: str) -> int:
    """Square centimetres of a whole bath, "2.5m2" or "40 8x10in". Raises `NotUnderstood`, also for that of a litre."""
    found = parse_capacity(text)
    if found.per_litre:
        raise NotUnderstood("the capacity of a whole bath", text, "an area such as 2.5m2, or “40 sheets 8x10in”")
    return found.area


def format_area(square_centimetres: int) -> str:
    """Square centimetres as "516 cm²", from 1,000 up as "0.52 m²"."""
    if square_centimetres < 1_000:
        return f"{square_centimetres} cm²"
    return f"{trimmed(rounded(square_centimetres, 100), 2)} m²"


def format_sheets(count: int, height: int, width: int) -> str:
    """ "12 sheets 24.0 × 30.0 cm"."""
    return f"{count} {'sheet' if count == 1 else 'sheets'} {format_size(height, width)}"


def parse_silver_strength(text: str) -> int:
    """Milligrams of silver a litre: "0.5g/l", "500 mg/l". Raises `NotUnderstood` without a unit and for nothing."""
    return _ratio(text, "a silver limit", "grams a litre, such as 0.5g/l", {"g/l": 1_000, "mg/l": 1}, 10**6)


def format_silver_strength(milligrams_a_litre: int) -> str:
    """Milligrams a litre as "0.5 g/l"."""
    return f"{trimmed(milligrams_a_litre, 3)} g/l"


def parse_coating(text: str) -> int:
    """Milligrams a square metre of silver coated on paper: "1.5g/m2", "1500 mg/m²"."""
    units = {"g/m2": 1_000, "mg/m2": 1}
    return _ratio(text, "silver coated on paper", "grams a square metre, such as 1.5g/m2", units, 100_000)


def parse_share(text: str) -> int:
    """Thousandths of a share: "70 %", "0.7". Raises `NotUnderstood` outside 0 to 100 %, and for nothing."""
    number, unit = split_unit(text)
    value = parse_number(number)
    if value is None or unit not in ("", "%"):
        raise NotUnderstood("a share", text, "a share of a whole, such as 70 %")
    share = rounded(value[0] * (10 if unit else 1_000), value[1])
    if not 0 < share <= 1_000:
        raise NotUnderstood("a share", text, "more than 0 and at most 100 %")
    return share


def parse_life(text: str) -> int:
    """Seconds of the life of a bath: "7d", "12 h", "2 weeks". A month is no fixed length and is refused."""
    number, unit = split_unit(text)
    value = parse_number(number)
    scale = _SECONDS.get(unit.lower().rstrip("."))
    if value is None or scale is None or value[0] * scale % value[1]:
        raise NotUnderstood("the life of a bath", text, "hours, days or weeks, such as 12h, 7d or 26 weeks")
    seconds = value[0] * scale // value[1]
    if not 0 < seconds <= _LONGEST_LIFE:
        raise NotUnderstood("the life of a bath", text, "more than nothing and at most 20 years")
    return seconds


def format_life(seconds: int) -> str:
    """Seconds as "12 h", "1 day", "7 days"; hours where they are no whole days."""
    if seconds % 86_400:
        return f"{trimmed(rounded(seconds, 360), 1)} h"
    days = seconds // 86_400
    return f"{days} {'day' if days == 1 else 'days'}"


def _sheets_area(count: int, size: str, whole: str) -> int | None:
    """Square centimetres of so many sheets, or None where what follows the number is no size."""
    if _unit(size) in _AREAS:
        return None
    try:
        height, width = parse_size(size)
    except NotUnderstood as problem:
        raise NotUnderstood("a capacity", whole, f"after the number of sheets {problem.expected}") from None
    return rounded(count * height * width, SQUARE_MICROMETRES)


def _parse_area(amount: str, whole: str) -> int:
    number, unit = split_unit(amount)
    if "," in number:
        raise NotUnderstood("a capacity", whole, f"a decimal point, such as {whole.strip().replace(',', '.')}")
    value, scale = parse_number(number) if number else None, _AREAS.get(_unit(unit))
    if value is None or scale is None:
        raise NotUnderstood("a capacity", whole, _CAPACITY_EXPECTED)
    return rounded(value[0] * scale[0], value[1] * scale[1])


def _unit(text: str) -> str:
    folded = re.sub(r"[\s.^]", "", text).lower().replace("²", "2").replace("µ", "u")
    return folded.replace("litre", "l").replace("liter", "l")


def _ratio(text: str, what: str, expected: str, units: dict[str, int], most: int) -> int:
    number, unit = split_unit(text)
    if "," in number:
        raise NotUnderstood(what, text, f"a decimal point, such as {text.strip().replace(',', '.')}")
    value, scale = parse_number(number) if number else None, units.get(_unit(unit))
    if value is None or scale is None:
        raise NotUnderstood(what, text, expected)
    found = rounded(value[0] * scale, value[1])
    if not 0 < found <= most:
        raise NotUnderstood(what, text, f"more than nothing, {expected}")
    return found
