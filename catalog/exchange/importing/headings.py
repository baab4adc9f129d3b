"""Headings matched to fields: by name or by a word for it in English, French or German."""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from catalog.exchange.importing.frame import Field

NUMBERED = re.compile(r" \([0-9]+\)$")  # put there where a heading is there more than once
# What a heading says of its cells, in words as `words` leaves them: a unit, or which side comes first.
UNITS = {
    "mm": "mm", "millimetr": "mm", "millimeter": "mm", "millimetern": "mm", "cm": "cm", "cms": "cm", "centimetr": "cm",
    "centimeter": "cm", "zentimeter": "cm", "zentimetern": "cm", "in": "in", "ins": "in", "inch": "in", "pouc": "in",
    "zoll": "in", "m": "m", "metr": "m", "meter": "m", "metern": "m", "ft": "ft", "foot": "ft", "feet": "ft",
    "pied": "ft", "mg": "mg", "g": "g", "gram": "g", "gramm": "g", "kg": "kg", "kilo": "kg", "kilogram": "kg",
    "kilogramm": "kg", "oz": "oz", "ounc": "oz", "unz": "oz", "lb": "lb", "lbs": "lb",
    "pound": "lb",
}  # fmt: skip
MEASURED = ("size", "image size", "sheet size", "height", "width", "thickness", "weight")  # fields that have a unit
# “in” before another word is no inch: “Maße in Zentimetern”, “size in the album”; “H in x W in” and “in / cm” are.
PREPOSITION = re.compile(r"(?<![^\W_])in[\s_]+(?!(?:by|par|mal)(?![^\W_]))(?=[^\W_]{2}|[mg](?![^\W_]))", re.IGNORECASE)
CAPITAL_WITHIN = re.compile(r"(?<=[a-zà-ÿ])(?=[A-Z])")  # parts words: “HeightCm”, unless all are capitals
WIDTH_FIRST = {("b", "h"), ("w", "h"), ("l", "h"), ("width", "height"), ("breit", "hohe"), ("largeur", "hauteur")}
HEIGHT_FIRST = {(second, first) for first, second in WIDTH_FIRST}
DAY_FIRST = {("dd", "mm"), ("d", "m"), ("tt", "mm"), ("jj", "mm"), ("t", "m"), ("j", "m")}
MONTH_FIRST = {(month, day) for day, month in DAY_FIRST}
ASIDE = re.compile(r"\([^()]*\)|\[[^\[\]]*\]")
# Headings over date texts in the open data of museums (Carnegie and Cleveland, the Met, Tate, the National Gallery of
# Art in Washington, the Art Institute of Chicago), and the French and German words for them. A year of its own beside
# one of them is what the museum worked out of it.
DATE_TEXTS = ("object date", "date text", "display date", "displaydate", "date display")
CREATION_DATES = ("creation date", "date created", "date of creation", "date de création", "entstehungsdatum",
                  "entstehungszeit", "herstellungsdatum")  # fmt: skip
YEARS = ("year", "Jahr", "année")
# Of two columns for one field, what names the thing less surely: then it is kept as notes.
LESSER: dict[str, dict[int, tuple[str, ...]]] = {
    "negative": {1: ("title", "titre", "Titel", "Bildtitel"), 2: ("picture", "work")},
    "code": {1: ("id",)},  # a number of the list's own program, beside the one that is on the sleeve
}
BETWEEN = {"x", "by", "par", "mal", "in", "of", "the", "der", "die", "das", "de", "du", "de la", "la", "le", "des"}


# Words of headings over ways to reach somebody, in English, French and German; parts of longer ones (“Handynummer”);
# and words with which “contact” is a print or a day. From memory, not confirmed.
REACHING = {
    "tel", "phone", "phones", "fax", "mobile", "portable", "mail", "mails", "email", "emails", "mel", "courriel",
    "courriels", "street", "strasse", "rue", "hausnummer", "zip", "plz", "postcode", "postal", "postfach",
    "coordonnees", "messenger", "contact", "contacts", "kontakt", "kontakte", "kontaktdaten", "ansprechpartner",
}  # fmt: skip
WITHIN = ("telefon", "telephon", "phonenumber", "cellphone", "handy", "adress", "address", "anschrift", "mobilnummer",
          "mobiltel", "strassenn")  # fmt: skip
BESIDE_CONTACT = {"print", "prints", "sheet", "sheets", "strip", "copy", "copies", "size", "proof", "planche",
                  "epreuve", "tirage", "bogen", "abzug", "date", "first", "last", "premier", "erster",
                  "letzter"}  # fmt: skip
ENDINGS = (("en", 4), ("s", 3), ("x", 3), ("e", 4))  # each with the letters that must be left


class Match(NamedTuple):
    """What one heading was taken for: a field or "", and what it says of its cells ("" and None where nothing)."""

    heading: str
    field: str
    unit: str = ""
    width_first: bool | None = None
    day_first: bool | None = None


@lru_cache(maxsize=8192)
def words(text: str) -> tuple[str, ...]:
    """A heading's words without case, accents, punctuation and plural: “Plate sizes” and “PLATE-SIZE” are one.

    “Höhe” and “Hohe” are one too, “Hoehe” is another.
    """
    return tuple(_singular(word) for word in _plain(text))


def _plain(text: str) -> list[str]:
    parted = CAPITAL_WITHIN.sub(" ", text)
    plain = "".join(
        sign for sign in unicodedata.normalize("NFKD", parted.casefold()) if not unicodedata.combining(sign)
    )
    plain = plain.replace("æ", "ae").replace("œ", "oe").replace("ø", "o")
    return re.findall(r"[a-z0-9]+", plain)


def reaches(heading: str) -> bool:
    """Whether a heading speaks of how to reach somebody: a telephone, a mail, an address, a contact."""
    said = set(_plain(heading))
    if said & BESIDE_CONTACT:
        said = {word for word in said if word not in ("contact", "contacts", "kontakt", "kontakte")}
    return not said.isdisjoint(REACHING) or any(part in word for word in said for part in WITHIN)


def match(headings: Sequence[str], fields: Iterable[Field]) -> list[Match]:
    """What each heading was taken for, in order. Two headings may be taken for one field; the caller refuses that."""
    named = [(words(name), field.name) for field in fields for name in (field.name, *field.names)]
    known: dict[tuple[str, ...], str] = {}
    # Every name as it stands before any without its small words: “printed by” is not “printed”.
    for said, field_name in (*named, *((_bare(said), field_name) for said, field_name in named)):
        known.setdefault(said, field_name)
    return [_match(heading, known) for heading in headings]


def surest(found: Sequence[Match]) -> list[Match]:
    """Of two columns for one field the surer one, where that is plain; the other is a note.

    A title gives way to a code, a picture to either, an id to an inventory number, a year to a museum's date text.
    """
    texts = {words(name) for name in (*DATE_TEXTS, *CREATION_DATES)}
    dated = {one.field for one in found if words(one.heading) in texts}
    ranks = [_rank(one, dated) for one in found]
    best: dict[str, int] = {}
    for one, rank in zip(found, ranks, strict=True):
        best[one.field] = min(rank, best.get(one.field, rank))
    return [one._replace(field="") if rank > best[one.field] else one for one, rank in zip(found, ranks, strict=True)]


def _rank(one: Match, dated: set[str]) -> int:
    said = words(one.heading)
    if one.field in dated and said in map(words, YEARS):
        return 1
    return next((rank for rank, names in LESSER.get(one.field, {}).items() if said in map(words, names)), 0)


def _match(heading: str, known: dict[tuple[str, ...], str]) -> Match:
    base = NUMBERED.sub("", heading)
    said = words(base)
    hints = _hints(base)
    # The whole heading; without what stands in brackets; without units and orders.
    aside = words(ASIDE.sub(" ", base))
    for tried in (said, aside, _without_hints(aside)):
        field = known.get(tried) or known.get(_bare(tried))
        if field and (tried in (said, aside) or field in MEASURED):
            return Match(heading, field, *hints)
    return Match(heading, "", *hints)


def _hints(base: str) -> tuple[str, bool | None, bool | None]:
    said = words(PREPOSITION.sub("", CAPITAL_WITHIN.sub(" ", base)))
    units = {UNITS[word] for word in said if word in UNITS}
    unit = units.pop() if len(units) == 1 else ""  # of two, as in “cm / in”, neither is said
    pairs = [pair for step in (1, 2) for pair in zip(said, said[step:], strict=False)]
    width_first = True if WIDTH_FIRST & {*pairs} else False if HEIGHT_FIRST & {*pairs} else None
    day_first = True if DAY_FIRST & {*pairs} else False if MONTH_FIRST & {*pairs} else None
    return (unit if day_first is None else ""), width_first, day_first


def unit_of(heading: str) -> str:
    """The unit that a heading says its bare numbers have, such as “cm” or “kg”; "" where it says none, or several."""
    return _hints(NUMBERED.sub("", heading))[0]


def _without_hints(said: tuple[str, ...]) -> tuple[str, ...]:
    following = zip(said, (*said[1:], ""), strict=False)
    return tuple(word for word, after in following if word not in UNITS and (word != "en" or after not in UNITS))


def _bare(said: tuple[str, ...]) -> tuple[str, ...]:
    """Without the small words between, unless nothing else is there."""
    return tuple(word for word in said if word not in BETWEEN) or said


def _singular(word: str) -> str:
    """A word without the endings of plurals; both sides of a comparison lose them, so what is left need be no word."""
    shorter = word
    for ending, left in ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= left:
            shorter = word[: -len(ending)]
            break
    return word if shorter == word else _singular(shorter)
