"""A written date cut into tokens: years, numbers, words and signs, each with the letter of what it is."""

import re
from typing import NamedTuple

from catalog.errors import TirageError
from catalog.exchange.free_text import date_lexicon as is_
from catalog.exchange.free_text.date_lexicon import PHRASES, WORDS
from catalog.marks import from_roman


class NotReadError(TirageError):
    """A text, or a part of one, that says no date this program understands; the sentence says why."""


class Token(NamedTuple):
    """One word, number or sign: the letter of its kind, what it says, and how it was written."""

    kind: str
    value: str
    written: str


# The order decides: what is longer and more certain stands first.
_PATTERNS = (
    ("day_last_year", r"(?<![\d.])\d{1,2}(?P<a>[./-])\d{1,2}(?P=a)\d{4}(?!\d)"),
    ("day_first_year", r"(?<!\d)\d{4}(?P<b>[./-])\d{1,2}(?P=b)\d{1,2}(?!\d)"),
    ("short_day", r"(?<!\d)\d{1,2}(?P<c>[./-])\d{1,2}(?P=c)\d{2}(?!\d)"),
    ("month_year", r"(?<![\d./-])(?:0?[1-9]|1[0-2])[./-]\d{4}(?![\d./-])"),
    ("year_month", r"(?<![\d/])\d\d[1-8]\d/0[1-9](?![\d/])"),  # 1953/06, not 1901/02 or 1898/02
    ("old_month", r"(?:7|8|9|10|X)\s?(?:br|bre|ber)\b"),
    ("decade", r"(?<!\d)\d{3}0(?:['’]?s|er)\b"),
    ("short_decade", r"(?<!\d)['’]?\d0(?:['’]?s|er)\b"),
    ("masked", r"(?<!\d)(?:\d{2}(?:--|__)|\d{3}(?:-(?![\d–-])|_)|\d{2}XX\b|\d{3}X\b)"),
    ("year_and_two", r"(?<!\d)\d{4}[-.]\d{2}(?![\d-])"),
    ("year", r"(?<!\d)\d{4}(?!\d)"),
    ("ordinal", r"(?<!\d)\d{1,2}(?:st|nd|rd|th|er|ère|ere|re|ème|eme|ième|nde|de|e|°|º)(?![^\W\d_])"),
    ("long", r"(?<!\d)\d{5,}(?!\d)"),
    ("three", r"(?<!\d)\d{3}(?!\d)"),
    ("dotted", r"(?<!\d)\d{1,2}\.(?!\d)"),
    ("number", r"(?<!\d)\d{1,2}(?!\d)"),
    ("word", r"[^\W\d_]+(?:-être|-[a-zA-Z]+ième)?"),
    ("sign", r"[^\s]"),
)
_TOKEN = re.compile("|".join(f"(?P<{name}>{pattern})" for name, pattern in _PATTERNS), re.IGNORECASE)
_SIGNS = {
    "-": is_.TO, "–": is_.TO, "/": is_.SLASH, ",": is_.COMMA, ";": is_.COMMA, "?": is_.UNCERTAIN, "~": is_.ABOUT,
    "±": is_.ABOUT, "≈": is_.ABOUT, "&": is_.AND,
}  # fmt: skip
_SILENT = frozenset(".()[]{}:\"“”„«»'’`")  # brackets say that a cataloguer supplied the date, not another date
_MASKS = dict.fromkeys("xX-_", "X")
_BEFORE_CHRIST = re.compile(r"\b(?:B\. ?C\.?(?: ?E\.?)?|BCE?|v\. ?Chr\.?|av\. ?J\.?-?C\.?)(?![^\W\d_])")
_HUNDRED_SUPPLIED = re.compile(r"[\[(](1[0-9]|20)(\??)[\])](\d\d)(?!\d)")
_LAST_SUPPLIED = re.compile(r"(?<!\d)(1\d|20)(?:(\d)\[(\d)(\??)\]|\[(\d\d)(\??)\])")
_DIGIT_NOT_KNOWN = re.compile(r"(?<!\d)(\d{3})[\[(]\?[\])]")
# “192?” and “19??”; a year of three digits in doubt is no date of this catalog's things
_DIGITS_ASKED = re.compile(r"(?<!\d)(1[5-9]|20)(\d\?|\?\?)(?![\d?])")
_MISREAD = re.compile(r"\b[lIO]\d{2,3}\b|\b\d+[lO]\d*\b")
_ROMAN_YEAR = re.compile(r"M{1,2}[DCLXVIM]{3,}")


def tokens(text: str) -> list[Token]:
    """Cut a text into tokens. Raises `NotReadError` at the first word that is not known, and for years before 1."""
    if _BEFORE_CHRIST.search(text):
        raise NotReadError(f"“{text}” lies before the year 1, which no date of this catalog can hold.")
    if misread := _MISREAD.search(text):
        raise NotReadError(f"“{misread[0]}” has a letter where a digit is expected.")
    cleaned = _HUNDRED_SUPPLIED.sub(r"\1\3\2", text)
    cleaned = _LAST_SUPPLIED.sub(r"\1\2\3\4\5\6", cleaned)
    cleaned = _DIGITS_ASKED.sub(lambda found: found[0].replace("?", "X"), cleaned)
    cleaned = _DIGIT_NOT_KNOWN.sub(r"\1X", cleaned)
    for pattern, word in PHRASES:
        cleaned = pattern.sub(word, cleaned)
    found = [_token(match) for match in _TOKEN.finditer(cleaned)]
    return _settled([token for token in found if token.kind])


def _token(match: re.Match[str]) -> Token:
    name, written = match.lastgroup or "", match[0]
    if name == "long":
        raise NotReadError(
            f"“{written}” is too long for a year; if a spreadsheet counts days so, show the column as dates there and "
            "save it again."
        )
    if name == "word":
        return _word(written)
    if name == "sign":
        return _sign(written)
    if name in ("day_last_year", "day_first_year", "short_day"):
        return Token(is_.DAY if name != "short_day" else is_.SHORT_DAY, written, written)
    if name in ("month_year", "year_month"):
        return Token(is_.MONTH_AND_YEAR, written if name == "month_year" else f"{written[5:]}/{written[:4]}", written)
    if name == "old_month":
        number = "10" if written[0] in "xX" else re.match(r"\d+", written)[0]  # type: ignore[index]
        return Token(is_.MONTH, {"7": "09", "8": "10", "9": "11", "10": "12"}[number], written)
    if name == "decade":
        return Token(is_.DECADE, written[:3], written)
    if name == "short_decade":
        return Token(is_.SHORT_DECADE, written.lstrip("'’")[0], written)
    if name == "masked":
        return Token(is_.YEAR, "".join(_MASKS.get(sign, sign) for sign in written).ljust(4, "X"), written)
    kinds = {"year_and_two": is_.YEAR_AND_TWO, "year": is_.YEAR, "three": is_.THREE_DIGITS, "dotted": is_.DOTTED}
    digits = re.sub(r"[^\d.-]", "", written) if name != "dotted" else written[:-1]
    return Token(kinds.get(name) or (is_.ORDINAL if name == "ordinal" else is_.NUMBER), digits, written)


def _word(written: str) -> Token:
    lowered = written.lower()
    if known := WORDS.get(lowered):
        return Token(known[0], known[1], written)
    if written.isupper() and re.fullmatch("[IVX]+", written) and (number := from_roman(written)) and number <= 12:
        return Token(is_.ROMAN_MONTH, f"{number:02d}", written)
    if (found := re.fullmatch("([IVX]+)(?:e|er|ème|eme)?", written)) and (number := from_roman(found[1])):
        return Token(is_.ORDINAL, str(number), written)
    if _ROMAN_YEAR.fullmatch(written) and (number := from_roman(written)):
        return Token(is_.YEAR, str(number), written)
    raise NotReadError(f"“{written}” is not understood in a date.")


def _sign(written: str) -> Token:
    if written in _SILENT:
        return Token("", "", written)
    if written in _SIGNS:
        return Token(_SIGNS[written], "", written)
    raise NotReadError(f"“{written}” is not understood in a date.")


def _settled(found: list[Token]) -> list[Token]:
    """Words whose meaning hangs on what stands before them: “11th c.”, “1. H. 17. Jh.”, “first third”."""
    settled: list[Token] = []
    are_decades = is_.YEARS in shape(found)
    for token in found:
        before = settled[-1].kind if settled else ""
        if token.kind == is_.ABOUT and token.written in "cC" and before in (is_.ORDINAL, is_.DOTTED):
            token = Token(is_.CENTURY, "", token.written)
        if token.written.lower() in ("third", "quart") and before in (is_.ORDINAL, is_.LAST):
            token = Token(is_.FRACTION, "3" if token.written.lower() == "third" else "4", token.written)
        if are_decades and token.kind == is_.YEAR and token.value.endswith("0"):
            token = Token(is_.DECADE, token.value[:3], token.written)  # “années 1920”, “années 1920-1930”
        if are_decades and token.kind == is_.NUMBER and re.fullmatch("[1-9]0", token.value):
            token = Token(is_.SHORT_DECADE, token.value[0], token.written)  # “années 50”
        if before == is_.YEARS:
            settled.pop()
        if before == is_.SEASON and token.kind == is_.YEAR_AND_TWO:  # “winter 1911-12” names no month
            year, two = token.value[:4], token.value[5:]
            settled += [Token(is_.YEAR, year, year), Token(is_.TO, "", "-"), Token(is_.NUMBER, two, two)]
            continue
        settled.append(token)
    return settled


def shape(found: list[Token]) -> str:
    """The letters of tokens in their order: "NMY" for “3 May 1843”."""
    return "".join(token.kind for token in found)
