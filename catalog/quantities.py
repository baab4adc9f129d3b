"""Quantities of the darkroom: durations, temperatures, volumes, flows, residues and weights, as whole numbers."""

import re

from catalog.errors import NotUnderstood
from catalog.measures import parse_number, rounded, split_unit, trimmed, without_commas

_LONGEST_DURATION = 30 * 86_400
_SECONDS = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1),
    **dict.fromkeys(("m", "min", "mins", "minute", "minutes"), 60),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 3_600),
    **dict.fromkeys(("d", "day", "days"), 86_400),
}
_DURATION_UNITS = "|".join(sorted(_SECONDS, key=len, reverse=True))
_DURATION_PART = rf"(\d{{1,9}}(?:\.\d{{1,9}})?)\s*({_DURATION_UNITS})"
_DURATION = rf"(?:{_DURATION_PART}\s*)+"
_STOPWATCH = r"(\d{1,3}):(\d{2})(?::(\d{2}))?"
_DURATION_EXPECTED = "a length of time such as 90s, 1m, 2:30 (minutes and seconds) or 1h30m"

_TEMPERATURE = r"(?i)([+−-]?)(\d{1,3}(?:\.\d{1,3})?)\s*(?:°|º|deg)?\s*([a-z]*)"
_COLDEST, _HOTTEST = -60_000, 150_000  # a freezer store to past boiling, in thousandths of a degree Celsius

# Millilitres as exact fractions. The US gallon is 231 cubic inches, the imperial gallon 4.54609 litres; a US
# gallon holds 128 and an imperial gallon 160 fluid ounces (definitions; common practice, no source read).
_MILLILITRES = {
    **dict.fromkeys(("ml", "cc", "cm3", "cm³", "millilitre", "millilitres", "milliliter", "milliliters"), (1, 1)),
    **dict.fromkeys(("cl",), (10, 1)),
    **dict.fromkeys(("dl",), (100, 1)),
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), (1_000, 1)),
}
_AMBIGUOUS_MILLILITRES = {
    "gal us": (3_785_411_784, 10**6), "gal imp": (454_609, 100),
    "qt us": (3_785_411_784, 4 * 10**6), "qt imp": (454_609, 400),
    "pt us": (3_785_411_784, 8 * 10**6), "pt imp": (454_609, 800),
    "fl oz us": (3_785_411_784, 128 * 10**6), "fl oz imp": (454_609, 16_000),
}  # fmt: skip
_VOLUME_WORDS = {
    "uk": "imp", "imperial": "imp", "gallon": "gal", "gallons": "gal", "quart": "qt", "quarts": "qt",
    "pint": "pt", "pints": "pt", "floz": "fl oz", "ounce": "oz", "ounces": "oz", "fluid": "fl",
}  # fmt: skip
_MOST_MILLILITRES = 10_000_000

# Nanograms a square centimetre as exact fractions: 1 in² = 6.4516 cm², 1 m² = 10,000 cm².
_NANOGRAMS = {
    "ng/cm2": (1, 1), "ug/cm2": (1_000, 1), "mg/cm2": (10**6, 1), "mg/m2": (100, 1), "g/m2": (100_000, 1),
    "mg/dm2": (10_000, 1), "ug/in2": (10**7, 64_516), "mg/in2": (10**10, 64_516),
}  # fmt: skip

# Milligrams as exact fractions. Grain, both ounces and the pound: definitions (common practice, no source).
_MILLIGRAMS = {
    "mg": (1, 1), "g": (1_000, 1), "gram": (1_000, 1), "grams": (1_000, 1), "kg": (10**6, 1),
    "gr": (6_479_891, 100_000), "grain": (6_479_891, 100_000), "grains": (6_479_891, 100_000),
    "lb": (45_359_237, 100), "oz av": (45_359_237, 1_600), "oz ap": (6_479_891 * 480, 100_000),
}  # fmt: skip
_HEAVIEST = 10**10  # ten tonnes


def looks_like_duration(text: str) -> bool:
    """Whether a word of a command line has the shape of a duration ("1m", "90s", "2:30"), valid or not."""
    typed = text.strip()
    return typed.isascii() and bool(re.fullmatch(_DURATION, typed, re.I) or re.fullmatch(_STOPWATCH, typed))


def parse_duration(text: str) -> int:
    """Seconds of a duration: "90s", "1m", "1.5m", "1h30m", "2 min 30 s", "2:30" (min:s), "1:30:00" (h:min:s).

    Raises `NotUnderstood` without a unit, for parts of a second, for nothing, and for 30 days or more.
    """
    typed = text.strip()
    if not looks_like_duration(typed):
        raise NotUnderstood("a duration", text, _DURATION_EXPECTED)
    if watch := re.fullmatch(_STOPWATCH, typed):
        seconds = _stopwatch_seconds(watch, text)
    else:
        seconds = _part_seconds(re.findall(_DURATION_PART, typed.lower()), text)
    if not 0 < seconds < _LONGEST_DURATION:
        raise NotUnderstood("a duration", text, "at least one second and less than 30 days")
    return seconds


def format_duration(seconds: int) -> str:
    """Seconds as "45 s", "2 min 30 s", "60 min", "1 h 30 min", "2 d 3 h"; an hour sharp stays "60 min"."""
    if seconds == 3_600:
        return "60 min"
    parts = []
    for unit, size in (("d", 86_400), ("h", 3_600), ("min", 60), ("s", 1)):
        if seconds >= size:
            parts.append(f"{seconds // size} {unit}")
            seconds %= size
    return " ".join(parts) or "0 s"


def parse_temperature(text: str) -> int:
    """Thousandths of a degree Celsius of a temperature: "20C", "20.5 °C", "68F".

    Raises `NotUnderstood` without C or F, and outside -60 to 150 °C.
    """
    found = re.fullmatch(_TEMPERATURE, text.strip())
    if not found:
        raise NotUnderstood("a temperature", text, "degrees and their scale, such as 20C or 68F")
    sign, number, scale = found.groups()
    kind = scale.lower().removesuffix("elsius").removesuffix("ahrenheit")
    if kind not in ("c", "f"):
        raise NotUnderstood("a temperature", text, f"its scale too: {sign}{number}C or {sign}{number}F")
    top, bottom = parse_number(number) or (0, 1)
    top = -top if sign in ("-", "−") else top
    milli = rounded(top * 1_000, bottom) if kind == "c" else rounded((top - 32 * bottom) * 5_000, 9 * bottom)
    if not _COLDEST <= milli <= _HOTTEST:
        raise NotUnderstood("a temperature", text, "between -60 and 150 °C")
    return milli


def format_temperature(millidegrees: int, units: str = "metric") -> str:
    """Thousandths of a degree Celsius as "20 °C" or "20.5 °C"; with units "imperial" as "68 °F"; to a tenth."""
    if units == "imperial":
        return f"{trimmed(rounded(millidegrees * 9 + 160_000, 500), 1)} °F"
    return f"{trimmed(rounded(millidegrees, 100), 1)} °C"


def parse_volume(text: str) -> int:
    """Millilitres of a volume: "2l", "500ml", "1 gal us", "16 fl oz us", "20 fl oz imp".

    Raises `NotUnderstood` without a unit, for ounces and gallons that do not say which, for parts of a
    millilitre typed in metric units, for nothing, and for more than 10,000 l.
    """
    number, unit = split_unit(text)
    expected = "a volume with its unit, such as 2l, 500ml or 1 gal us"
    value = _value(number, text, "a volume", expected)
    words = [_VOLUME_WORDS.get(word.strip("."), word.strip(".")) for word in unit.lower().split()]
    name = " ".join(sorted(words, key=("us", "imp").__contains__))
    if f"{name} us" in _AMBIGUOUS_MILLILITRES or name == "oz":
        known = "fl oz" if name == "oz" else name
        raise NotUnderstood("a volume", text, f"which measure: {number} {known} us or {number} {known} imp")
    top, bottom = _MILLILITRES.get(name) or _AMBIGUOUS_MILLILITRES.get(name) or (0, 1)
    if not top:
        raise NotUnderstood("a volume", text, expected)
    if name in _MILLILITRES and value[0] * top % (value[1] * bottom):
        raise NotUnderstood("a volume", text, "whole millilitres")
    millilitres = rounded(value[0] * top, value[1] * bottom)
    if not 0 < millilitres <= _MOST_MILLILITRES:
        raise NotUnderstood("a volume", text, "at least 1 ml and at most 10,000 l")
    return millilitres


def format_volume(millilitres: int) -> str:
    """Millilitres as "500 ml", from a litre up as "2 l" or "1.5 l"."""
    return f"{trimmed(millilitres, 3)} l" if millilitres >= 1_000 else f"{millilitres} ml"


def parse_flow(text: str) -> int:
    """Millilitres a minute of a flow: "2l/min", "500 ml/min", "120l/h". Raises `NotUnderstood` as `parse_volume`."""
    volume, slash, per = text.partition("/")
    unit = per.strip().lower()
    if not slash or unit not in ("min", "m", "minute", "h", "hr", "hour"):
        raise NotUnderstood("a flow", text, "a volume a minute, such as 2l/min")
    try:
        millilitres = parse_volume(volume)
    except NotUnderstood as problem:
        raise NotUnderstood("a flow", text, problem.expected) from None
    flow = rounded(millilitres, 1 if unit.startswith("m") else 60)
    if not flow:
        raise NotUnderstood("a flow", text, "at least 1 ml/min")
    return flow


def format_flow(millilitres_a_minute: int) -> str:
    """Millilitres a minute as "500 ml/min" or "2 l/min"."""
    return f"{format_volume(millilitres_a_minute)}/min"


def parse_residue(text: str) -> int:
    """Nanograms a square centimetre of a residue: "1.4ug/cm2", "1.4 µg/cm²", "0.014g/m2", "0.005mg/in2".

    Nothing (0) is a reading too. What was weighed (thiosulfate ion, or a salt of it) is recorded beside the
    number, not here. Raises `NotUnderstood` without a unit, and for more than 1 mg/cm².
    """
    number, unit = split_unit(text)
    expected = "a residue such as 1.4ug/cm2, 0.014g/m2 or 0.005mg/in2"
    value = _value(number, text, "a residue", expected)
    name = re.sub(r"\s", "", unit).lower().replace("µ", "u").replace("μ", "u").replace("²", "2").replace("^", "")
    scale = _NANOGRAMS.get(name)
    if scale is None:
        raise NotUnderstood("a residue", text, expected)
    nanograms = rounded(value[0] * scale[0], value[1] * scale[1])
    if nanograms > 10**6:
        raise NotUnderstood("a residue", text, "at most 1 mg/cm² (1000 µg/cm²)")
    return nanograms


def format_residue(nanograms: int) -> str:
    """Nanograms a square centimetre as "1.4 µg/cm²"."""
    return f"{trimmed(nanograms, 3)} µg/cm²"


def parse_weight(text: str) -> int:
    """Milligrams of a weight: "250g", "1.2kg", "500mg", "30 grains", "1 lb", "1 oz av" (or "1 oz ap").

    Raises `NotUnderstood` without a unit, for a bare ounce, for nothing, and for more than ten tonnes.
    """
    number, unit = split_unit(text)
    expected = "a weight with its unit, such as 250g or 1.2kg"
    value = _value(number, text, "a weight", expected)
    name = " ".join(unit.lower().rstrip(".").split())
    if name in ("oz", "ounce", "ounces"):
        ounces = f"{number} oz av (437.5 grains) or {number} oz ap (480 grains)"
        raise NotUnderstood("a weight", text, f"which ounce: {ounces}")
    scale = _MILLIGRAMS.get(name)
    if scale is None:
        raise NotUnderstood("a weight", text, expected)
    milligrams = rounded(value[0] * scale[0], value[1] * scale[1])
    if not 0 < milligrams <= _HEAVIEST:
        raise NotUnderstood("a weight", text, "at least 1 mg and at most 10,000 kg")
    return milligrams


def format_weight(milligrams: int) -> str:
    """Milligrams as "500 mg", "2.55 g", "178.2 g" (a tenth from 10 g up) or "1.161 kg" (to the gram)."""
    if milligrams < 1_000:
        return f"{milligrams} mg"
    if milligrams < 10_000:
        return f"{trimmed(milligrams, 3)} g"
    if milligrams < 999_950:
        return f"{trimmed(rounded(milligrams, 100), 1)} g"
    return f"{trimmed(rounded(milligrams, 1_000), 3)} kg"


def _value(number: str, whole: str, what: str, expected: str) -> tuple[int, int]:
    if "," in number:
        raise NotUnderstood(what, whole, without_commas(whole))
    value = parse_number(number)
    if value is None:
        raise NotUnderstood(what, whole, expected)
    return value


def _stopwatch_seconds(watch: re.Match[str], whole: str) -> int:
    first, second, third = int(watch[1]), int(watch[2]), watch[3]
    if second > 59 or int(third or 0) > 59:
        raise NotUnderstood("a duration", whole, "minutes and seconds up to 59 after a colon")
    return first * 60 + second if third is None else first * 3_600 + second * 60 + int(third)


def _part_seconds(parts: list[tuple[str, str]], whole: str) -> int:
    sizes = [_SECONDS[unit.lower()] for _, unit in parts]
    if any(later >= earlier for earlier, later in zip(sizes, sizes[1:], strict=False)):
        raise NotUnderstood("a duration", whole, "each unit once, the longest first, such as 1h30m")
    top = sum((parse_number(number) or (0, 1))[0] * size * 10 ** (9 - _decimals(number))
              for (number, _), size in zip(parts, sizes, strict=True))  # fmt: skip
    if top % 10**9:
        raise NotUnderstood("a duration", whole, "whole seconds")
    return top // 10**9


def _decimals(number: str) -> int:
    return len(number.partition(".")[2])
