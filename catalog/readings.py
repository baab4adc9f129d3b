"""Laboratory readings as typed: plain numbers, volumes to a fraction of a millilitre, areas; as exact fractions."""

import re
from fractions import Fraction

from catalog.errors import NotUnderstood
from catalog.measures import SQUARE_MICROMETRES, parse_number, parse_size, split_unit

MILLILITRES_OF = {"ml": 1, "cc": 1, "cm3": 1, "cm³": 1, "l": 1_000}
SQUARE_CENTIMETRES = {
    "cm2": Fraction(1),
    "mm2": Fraction(1, 100),
    "dm2": Fraction(100),
    "in2": Fraction(64_516, 10_000),
}
LARGEST = Fraction(100_000)  # square centimetres: ten square metres


def parse_plain(text: str, what: str, expected: str) -> Fraction:
    """A number without a unit, not negative: "0.12". Raises `NotUnderstood`."""
    value = parse_number(text.strip()) if re.fullmatch(r"[0-9.\s]+", text.strip(), re.ASCII) else None
    if value is None:
        raise NotUnderstood(what, text, expected)
    return Fraction(*value)


def parse_millilitres(text: str) -> Fraction:
    """Millilitres of a burette or a flask: "2.35ml", "0.1 l". Raises `NotUnderstood`."""
    number, unit = split_unit(text)
    value, scale = parse_number(number), MILLILITRES_OF.get(unit.lower())
    if value is None or scale is None:
        raise NotUnderstood("a volume that was measured", text, "millilitres, such as 2.35ml")
    return Fraction(*value) * scale


def parse_area(text: str) -> Fraction:
    """Square centimetres of a piece of paper: "50cm2", "4 in²", or its sides, "5x10cm". Raises `NotUnderstood`."""
    number, unit = split_unit(text)
    scale = SQUARE_CENTIMETRES.get(unit.lower().replace("²", "2").replace(" ", ""))
    value = parse_number(number) if scale else None
    if value is not None and scale is not None:
        area = Fraction(*value) * scale
    else:
        try:
            height, width = parse_size(text)
        except NotUnderstood:
            raise NotUnderstood("an area", text, "square centimetres or two sides, such as 50cm2 or 5x10cm") from None
        area = Fraction(height * width, SQUARE_MICROMETRES)
    if not 0 < area <= LARGEST:
        raise NotUnderstood("an area", text, "more than nothing and at most 10 m²")
    return area
