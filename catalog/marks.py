"""The marks of prints as people type and write them: kinds of proof, and numerals Arabic or Roman."""

import re

from catalog.whole_numbers import whole_number

PROOF_MARKS = ("AP", "PP", "HC", "BAT", "EC", "CP")
# Other customary ways to write the same marks: common practice, no source beside the terms themselves.
WRITTEN = {"EA": "AP", "PA": "AP"}
ROMAN = re.compile(r"M{0,3}(?:CM|CD|D?C{0,3})(?:XC|XL|L?X{0,3})(?:IX|IV|V?I{0,3})")
ROMAN_VALUES = (
    (1000, "M"), (900, "CM"), (500, "D"), (400, "CD"), (100, "C"), (90, "XC"), (50, "L"), (40, "XL"), (10, "X"),
    (9, "IX"), (5, "V"), (4, "IV"), (1, "I"),
)  # fmt: skip
HIGHEST_ROMAN = 3999


def roman(number: int) -> str:
    """A number in Roman numerals: 4 is “IV”. Only 1 to 3999 can be written so (ValueError)."""
    if not 0 < number <= HIGHEST_ROMAN:
        raise ValueError(number)
    text = ""
    for value, sign in ROMAN_VALUES:
        count, number = divmod(number, value)
        text += sign * count
    return text


def from_roman(text: str) -> int | None:
    """The number that Roman numerals say, None for what are none: “iv” is 4, “IIII” is nothing."""
    typed = text.upper()
    if not typed or not ROMAN.fullmatch(typed):
        return None
    values = {sign: value for value, sign in ROMAN_VALUES}
    each = [values[sign] for sign in typed]
    return sum(-one if one < after else one for one, after in zip(each, [*each[1:], 0], strict=True))


def numeral(number: int, numerals: str) -> str:
    """A number as an edition writes those of its proofs."""
    return roman(number) if numerals == "roman" else str(number)


def parse_mark(text: str) -> tuple[str, int | None] | None:
    """“3”, “3/25”, “AP II/V”, “ap2”, “apII”, “A/P 2”, “BAT” as kind (“numbered” or a proof) and number, else None.

    The numbered run is Arabic; Roman numerals follow a kind of proof only.
    """
    typed = " ".join(text.split())
    run = re.fullmatch(r"([0-9]+)(?:\s?/\s?[0-9]+)?", typed)
    if run:
        return "numbered", int(run[1])
    for mark in (*PROOF_MARKS, *WRITTEN):
        signs = r"[./]?".join(mark)
        found = re.fullmatch(
            rf"{signs}\.?(?:[\s.-]*([0-9]+|[ivxlcdm]+)(?:\s?/\s?(?:[0-9]+|[ivxlcdm]+))?)?", typed, re.IGNORECASE
        )
        if not found:
            continue
        kind, digits = WRITTEN.get(mark, mark), found[1]
        if not digits:
            return kind, None
        number = whole_number(digits)
        number = from_roman(digits) if number is None else number
        if number is not None:
            return kind, number
    return None
