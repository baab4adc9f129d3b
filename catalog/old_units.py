"""Old units: grains, drachms, both ounces, both fluid ounces, and strengths in them, as metric ones and back.

Source: the definitions (1 grain = 64.79891 mg; apothecaries' ounce 480 grains, avoirdupois ounce 437.5; the US gallon
231 cubic inches, the imperial gallon 4.54609 litres; 60 minims a fluid drachm, 480 a fluid ounce). Handbooks weigh by
the ounce of 480 grains where the chemist sold that of 437.5, some 10 % less, so a bare ounce is never taken.
"""

import re
from fractions import Fraction
from itertools import product
from math import floor, log10
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.measures import parse_number, split_unit

GRAIN = Fraction(6_479_891, 100_000)  # milligrams
_FLUID_OUNCES = {"us": Fraction(3_785_411_784, 128 * 10**6), "imp": Fraction(454_609, 16_000)}  # millilitres
_PINT = {"us": 16, "imp": 20}  # fluid ounces
_WEIGHTS = {
    "mg": Fraction(1), "g": Fraction(1_000), "kg": Fraction(10**6), "gr": GRAIN, "scruple": 20 * GRAIN,
    "dr": 60 * GRAIN, "oz ap": 480 * GRAIN, "oz av": Fraction(875, 2) * GRAIN, "lb ap": 5_760 * GRAIN,
    "lb av": 7_000 * GRAIN,
}  # fmt: skip
_VOLUMES = {"ml": Fraction(1), "cl": Fraction(10), "l": Fraction(1_000)} | {
    f"{unit} {which}": size * ounce
    for which, ounce in _FLUID_OUNCES.items()
    for unit, size in (
        ("minim", Fraction(1, 480)), ("fl dr", Fraction(1, 8)), ("fl oz", Fraction(1)), ("pt", Fraction(_PINT[which])),
        ("qt", Fraction(2 * _PINT[which])), ("gal", Fraction(8 * _PINT[which])),
    )
}  # fmt: skip
_METRIC = ("ml", "cl", "l")  # in one of these “gr” is as often a gram as a grain
_WORDS = {
    **dict.fromkeys(("grain", "grains"), "gr"),
    **dict.fromkeys(("gram", "grams", "gramme", "grammes"), "g"),
    **dict.fromkeys(("drachm", "drachms", "dram", "drams"), "dr"),
    **dict.fromkeys(("scruples",), "scruple"),
    **dict.fromkeys(("ounce", "ounces"), "oz"),
    **dict.fromkeys(("pound", "pounds", "lbs"), "lb"),
    **dict.fromkeys(("troy", "apothecary", "apothecaries", "apothecaries'"), "ap"),
    **dict.fromkeys(("avdp", "avoirdupois"), "av"),
    **dict.fromkeys(("uk", "imperial"), "imp"),
    **dict.fromkeys(("fluid",), "fl"),
    **dict.fromkeys(("floz",), "fl oz"),
    **dict.fromkeys(("minims", "min"), "minim"),
    **dict.fromkeys(("pint", "pints"), "pt"),
    **dict.fromkeys(("quart", "quarts"), "qt"),
    **dict.fromkeys(("gallon", "gallons"), "gal"),
    **dict.fromkeys(("litre", "liter", "litres", "liters"), "l"),
    **dict.fromkeys(("cc", "cm3"), "ml"),
}
_EXPECTED = "a weight, a volume or a strength with its units, such as “1 oz ap”, “8 fl oz imp” or “30 gr/fl oz us”"


class WhichMeasureError(TirageError):
    """An ounce, a fluid ounce, a pint that does not say which, or “gr” in a litre."""

    def __init__(self, typed: str, possible: "list[Converted]") -> None:
        several = [f"“{one.typed}” = {one.text()}" for one in possible]
        super().__init__(f"“{typed}” may mean {', or '.join(several)}; expected one of these. Type it with which.")


class Converted(NamedTuple):
    """A weight in milligrams, a volume in millilitres, or a strength in milligrams a millilitre (grams a litre)."""

    typed: str
    kind: str
    value: Fraction

    def text(self) -> str:
        """In metric units: "31.1 g", "227.3 ml", "6.573 % w/v (65.73 g/l)"."""
        if self.kind == "weight":
            return f"{_digits(self.value / 1_000)} g" if self.value >= 1_000 else f"{_digits(self.value)} mg"
        if self.kind == "volume":
            return f"{_digits(self.value / 1_000)} l" if self.value >= 1_000 else f"{_digits(self.value)} ml"
        return f"{_digits(self.percent)} % w/v ({_digits(self.value)} g/l)"

    @property
    def percent(self) -> Fraction:
        """Grams in 100 ml, of a strength."""
        return self.value / 10

    def in_old_units(self) -> tuple[str, ...]:
        """The same in old units: grains, fluid ounces of both kinds, or grains to each kind of fluid ounce."""
        if self.kind == "weight":
            return (f"{_digits(self.value / GRAIN)} gr",)
        if self.kind == "volume":
            return tuple(f"{_digits(self.value / ounce)} fl oz {which}" for which, ounce in _FLUID_OUNCES.items())
        grains = self.value / GRAIN
        return tuple(f"{_digits(grains * ounce)} gr/fl oz {which}" for which, ounce in _FLUID_OUNCES.items())


def convert(text: str) -> Converted:
    """What a person typed in old or metric units. Raises NotUnderstood, WhichMeasureError for a bare oz or fl oz."""
    typed = " ".join(text.split())
    number, unit = split_unit(typed)
    value, (over, slash, under) = parse_number(number) if number else None, unit.partition("/")
    if value is None or not value[0]:
        raise NotUnderstood("a quantity", text, _EXPECTED)
    if unit == "%":
        return Converted(typed, "strength", Fraction(*value) * 10)
    if over.strip(" .").lower() == "gr" and any(what in _METRIC for _, what, _, _ in _amounts(under, text)):
        raise WhichMeasureError(typed, [convert(f"{number} {what}/{under.strip()}") for what in ("grains", "g")])
    if not slash:
        found = [Converted(f"{top} {what}", kind, amount) for top, what, kind, amount in _amounts(typed, text)]
    else:
        found = [
            Converted(f"{top} {what}/{f'{bottom} ' if bottom != '1' else ''}{of}", "strength", amount / volume)
            for (top, what, kind, amount), (bottom, of, below, volume) in product(
                _amounts(f"{number} {over}", text), _amounts(under, text)
            )
            if kind == "weight" and below == "volume"
        ]
    if not found:
        raise NotUnderstood("a quantity", text, _EXPECTED)
    if len(found) > 1:
        raise WhichMeasureError(typed, found)
    return found[0]._replace(typed=typed)


def parse_strength(text: str) -> Converted:
    """The strength of a solution: "9 %", "90 g/l", "40 gr/fl oz us". Raises NotUnderstood for anything else."""
    found = convert(text)
    if found.kind != "strength":
        raise NotUnderstood("a strength", text, "weight in volume, such as 9 %, 90 g/l or “40 gr/fl oz us”")
    return found


def in_old_units(text: str) -> bool:
    """Whether words name an old unit, so that they are read before they are kept: “40 gr/fl oz”, but not “1+4”.

    “min” alone is none here: beside a dilution it is minutes.
    """
    words = [word for word in re.findall(r"[^\W\d_]+", text.lower()) if word != "min"]
    return any(
        _WORDS.get(word, word) in ("gr", "dr", "scruple", "oz", "lb", "minim", "pt", "qt", "gal") for word in words
    )


def _amounts(part: str, whole: str) -> list[tuple[str, str, str, Fraction]]:
    """Number, unit, kind and value of each thing that one amount may mean; several for a bare ounce."""
    number, unit = split_unit(part)
    value = parse_number(number or "1")
    if "," in number or value is None or not value[0]:
        raise NotUnderstood("a quantity", whole, _EXPECTED)
    words = [_WORDS.get(word.strip("."), word.strip(".")) for word in unit.lower().split()]
    name = " ".join(sorted(words, key=("us", "imp", "ap", "av").__contains__))
    possible = [(which, "weight") for which in _named(name, _WEIGHTS)]
    possible += [(which, "volume") for which in _named(name, _VOLUMES)]
    if name == "oz":  # in a formula it may be fluid too
        possible += [("fl oz us", "volume"), ("fl oz imp", "volume")]
    tables = {"weight": _WEIGHTS, "volume": _VOLUMES}
    return [(number or "1", which, kind, Fraction(*value) * tables[kind][which]) for which, kind in possible]


def _named(name: str, table: dict[str, Fraction]) -> list[str]:
    if name in table:
        return [name]
    return [known for known in table if name and known.rpartition(" ")[0] == name]


def _digits(value: Fraction) -> str:
    """Four digits that count, without needless zeros."""
    places = max(0, 3 - floor(log10(value))) if value else 0
    text = f"{float(value):.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
