"""Lengths and sizes: whole micrometres, read from and written as centimetres or inches."""

import re

from catalog.errors import NotUnderstood

MICROMETRES_PER_INCH = 25_400  # exact by definition
SQUARE_MICROMETRES = 10**8  # of a square centimetre
LONGEST = 10_000_000  # ten metres: nothing a hand makes in a darkroom is longer

_UNITS = {
    "mm": 1_000, "cm": 10_000, "m": 1_000_000,
    "in": MICROMETRES_PER_INCH, "inch": MICROMETRES_PER_INCH, "inches": MICROMETRES_PER_INCH,
    '"': MICROMETRES_PER_INCH, "″": MICROMETRES_PER_INCH, "”": MICROMETRES_PER_INCH, "''": MICROMETRES_PER_INCH,
}  # fmt: skip
_VULGAR = {
    "½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8), "⅓": (1, 3), "⅔": (2, 3),
}  # fmt: skip
_VULGAR_OF = {parts: sign for sign, parts in _VULGAR.items()}

# Plate sizes by name, in eighths of an inch, shorter side first. Collectors' tables that agree with each
# other (whole to sixteenth); glass was cut by hand, so a name is nominal and a measured size is better.
_PLATES = {
    "whole": (52, 68), "half us": (34, 44), "half uk": (38, 52), "quarter": (26, 34), "sixth": (22, 26),
    "eighth": (17, 26), "ninth": (16, 20), "sixteenth": (11, 13),
}  # fmt: skip
# ISO 216 (the A sizes) and the United States sheets, in micrometres, shorter side first.
_PAPERS = {
    "a0": (841_000, 1_189_000), "a1": (594_000, 841_000), "a2": (420_000, 594_000), "a3": (297_000, 420_000),
    "a4": (210_000, 297_000), "a5": (148_000, 210_000), "a6": (105_000, 148_000), "a7": (74_000, 105_000),
    "letter": (215_900, 279_400), "legal": (215_900, 355_600), "tabloid": (279_400, 431_800),
}  # fmt: skip
_FRACTIONS_OF_A_PLATE = {"1/1": "whole", "1/2": "half", "1/4": "quarter", "1/6": "sixth", "1/8": "eighth",
                         "1/9": "ninth", "1/16": "sixteenth", "full": "whole"}  # fmt: skip

_NUMBER = r"(\d{1,9})?(?:\.(\d{1,9}))?"
_FRACTION = r"(?:(\d{1,9})(?:\s+|-))?(\d{1,3})/(\d{1,3})"
_WITH_UNIT = r"(?s)([\d.,/\s½¼¾⅛⅜⅝⅞⅓⅔-]*[\d.½¼¾⅛⅜⅝⅞⅓⅔])\s*(.*)"
_WITH_MARKS = r"[\d.,]*\d"
_BETWEEN = r"(?i)\s*(?:[x×*]|\bby\b)\s*"
_LENGTH_EXPECTED = "a number and its unit, such as 40cm, 406.4mm or 6 1/2 in"
_SIZE_EXPECTED = "height x width and a unit, such as 40x50cm, 16x20in, whole plate or A4"


def parse_number(text: str) -> tuple[int, int] | None:
    """A plain, mixed or vulgar number ("40", "40.5", "6 1/2", "6½") as numerator and denominator, else None."""
    text = text.strip()
    if not text.isascii() and text[-1:] in _VULGAR:
        numerator, denominator = _VULGAR[text[-1]]
        whole = text[:-1].strip()
        if not whole:
            return numerator, denominator
        return (int(whole) * denominator + numerator, denominator) if re.fullmatch("[0-9]{1,9}", whole) else None
    if not text.isascii():
        return None
    if found := re.fullmatch(_FRACTION, text):
        ones, numerator, denominator = int(found[1] or 0), int(found[2]), int(found[3])
        return (ones * denominator + numerator, denominator) if numerator < denominator else None
    found = re.fullmatch(_NUMBER, text)
    if not found or (found[1] is None and found[2] is None):
        return None
    decimals = found[2] or ""
    return int((found[1] or "") + decimals), 10 ** len(decimals)


def split_unit(text: str) -> tuple[str, str]:
    """Part a quantity into its number and its unit as typed ("40 cm" to "40", "cm"); no number gives ("", text)."""
    found = re.fullmatch(_WITH_UNIT, text.strip())
    return (found[1].strip(), found[2].strip()) if found else ("", text.strip())


def without_commas(text: str) -> str:
    """What is expected instead of a text whose numbers have commas, with the text as it is to be typed."""
    typed = text.strip()
    found = [number for number in re.findall(_WITH_MARKS, typed) if "," in number]
    example = re.sub(_WITH_MARKS, lambda match: _one_point(match[0]), typed)
    if any(len(re.findall("[.,]", number)) > 1 for number in found):
        return f"no sign between thousands and a decimal point, such as {example}"
    if any(re.fullmatch(r"[1-9]\d{0,2},\d{3}", number) for number in found):
        return f"a decimal point, such as {example}, or no sign between thousands, such as {typed.replace(',', '')}"
    return f"a decimal point, such as {example}"


def _one_point(number: str) -> str:
    """A number of which the last sign is its point, unless that is there several times: "1.234,5" as "1234.5"."""
    marks = re.findall("[.,]", number)
    if not marks or "," not in marks:
        return number
    whole, _, part = number.rpartition(marks[-1])
    point = "" if marks.count(marks[-1]) > 1 else "."
    return re.sub("[.,]", "", whole) + point + part


def rounded(numerator: int, denominator: int) -> int:
    """The whole number nearest to a fraction of two whole numbers, halves away from zero."""
    half_up = (2 * abs(numerator) + denominator) // (2 * denominator)
    return half_up if numerator >= 0 else -half_up


def trimmed(value: int, decimals: int) -> str:
    """A whole number of 10**-decimals as a decimal without needless zeros: (1400, 3) to "1.4"."""
    digits = f"{abs(value):0{decimals + 1}d}"
    whole, part = (digits[:-decimals], digits[-decimals:].rstrip("0")) if decimals else (digits, "")
    return ("−" if value < 0 else "") + whole + ("." + part if part else "")


def parse_length(text: str) -> int:
    """Micrometres of a length typed with its unit (mm, cm, m, in). Inches are kept exactly: 25,400 µm each.

    Raises `NotUnderstood` without a unit, and for zero, negative or more than 10 m.
    """
    number, unit = split_unit(text)
    return _length(number, unit, text, "a length", _LENGTH_EXPECTED)


def parse_size(text: str) -> tuple[int, int]:
    """Two sides in micrometres, in the order typed, by convention height and width.

    Takes "40x50cm", "40cm x 50cm", "6½x8½in", '16x20"'; plate names ("whole plate", "half plate us") and
    paper names ("A4", "Letter"), which give the shorter side first. Raises `NotUnderstood` without a unit, for
    a name that means several sizes ("half plate"), and for sides that are zero, negative or more than 10 m.
    """
    typed = " ".join(text.split())
    if named := _named_size(typed, text):
        return named
    sides = re.split(_BETWEEN, typed)
    if len(sides) != 2 or not all(sides):
        raise NotUnderstood("a size", text, _SIZE_EXPECTED)
    (first, first_unit), (second, second_unit) = (split_unit(side) for side in sides)
    if first_unit and not second_unit:
        raise NotUnderstood("a size", text, f"the unit after the second number too, such as {typed}{first_unit}")
    if first and second and not second_unit:
        raise NotUnderstood("a size", text, f"a unit: {typed}cm, {typed}mm or {typed}in")
    height = _length(first, first_unit or second_unit, text, "a size", _SIZE_EXPECTED)
    return height, _length(second, second_unit, text, "a size", _SIZE_EXPECTED)


def format_length(micrometres: int, units: str = "metric") -> str:
    """A length as "40.0 cm", under 2 cm as "2.5 mm"; with units "imperial" as "16 in"."""
    if units == "imperial":
        return f"{_inches(micrometres)} in"
    if abs(micrometres) < 20_000:
        return f"{trimmed(rounded(micrometres, 10), 2)} mm"
    return f"{_centimetres(micrometres)} cm"


def format_size(height: int, width: int, units: str = "metric") -> str:
    """Two sides given in micrometres as "40.0 × 50.0 cm"; with units "imperial" as "16 × 20 in".

    Inches are the nearest sixteenth where that is within 0.1 mm, else two decimals.
    """
    if units == "imperial":
        return f"{_inches(height)} × {_inches(width)} in"
    return f"{_centimetres(height)} × {_centimetres(width)} cm"


def _length(number: str, unit: str, whole: str, what: str, expected: str) -> int:
    if "," in number:
        raise NotUnderstood(what, whole, without_commas(whole))
    value = parse_number(number)
    if value is not None and not unit:
        raise NotUnderstood(what, whole, f"a unit: {number}cm, {number}mm or {number}in")
    scale = _UNITS.get(unit.lower().rstrip("."))
    if value is None or scale is None:
        raise NotUnderstood(what, whole, expected)
    micrometres = rounded(value[0] * scale, value[1])
    if not 0 < micrometres <= LONGEST:
        raise NotUnderstood(what, whole, "more than nothing and at most 10 m")
    return micrometres


def _named_size(typed: str, whole: str) -> tuple[int, int] | None:
    lowered = typed.lower()
    if lowered in _PAPERS:
        return _PAPERS[lowered]
    if "plate" not in lowered.replace("-", " ").split() and lowered not in _PLATES and lowered != "half":
        return None
    words = [_FRACTIONS_OF_A_PLATE.get(word, word) for word in lowered.replace("-", " ").split() if word != "plate"]
    name = " ".join(sorted(words, key=("us", "uk").__contains__))
    if name == "half":
        raise NotUnderstood("one size", whole, "“half plate us” (4¼ × 5½ in) or “half plate uk” (4¾ × 6½ in)")
    if name not in _PLATES:
        raise NotUnderstood("a plate size with a fixed measure", whole, f"{', '.join(_PLATES)} plate, or 18x22in")
    short, long = _PLATES[name]
    return short * MICROMETRES_PER_INCH // 8, long * MICROMETRES_PER_INCH // 8


def _centimetres(micrometres: int) -> str:
    tenths = rounded(micrometres, 1_000)
    return f"{tenths // 10}.{tenths % 10}"


def _inches(micrometres: int) -> str:
    sixteenths = rounded(micrometres * 16, MICROMETRES_PER_INCH)
    if abs(sixteenths * MICROMETRES_PER_INCH - micrometres * 16) > 100 * 16 or not sixteenths:
        return trimmed(rounded(micrometres * 100, MICROMETRES_PER_INCH), 2)
    whole, part = divmod(sixteenths, 16)
    denominator = 16
    while part and part % 2 == 0:
        part, denominator = part // 2, denominator // 2
    if not part:
        return str(whole)
    # No single character exists for sixteenths.
    sign = _VULGAR_OF.get((part, denominator), f"{' ' if whole else ''}{part}/{denominator}")
    return f"{whole or ''}{sign}"
