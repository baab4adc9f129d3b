"""Codes and the short ways people type them, without looking anything up."""

import re
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.marks import parse_mark
from catalog.whole_numbers import whole_number

LETTERS = {
    "N": "negative",
    "E": "edition",
    "P": "print",
    "B": "bath",
    "S": "step",
    "K": "control strip",
    "C": "certificate",
}
KINDS = {kind: letter for letter, kind in LETTERS.items()}
DIGITS = {"P": 6, "S": 6}  # all others 4
AUTOMATIC = re.compile(r"([NEPBSKC])-?(\d{1,12})", re.IGNORECASE)
RANGE = re.compile(r"(?:([NEPBSKC])-?)?(\d{1,12})[-–](?:([NEPBSKC])-?)?(\d{1,12})", re.IGNORECASE)
OWN = re.compile(r"(?!.*\.\.)[A-Za-z0-9][A-Za-z0-9.-]{0,23}")
ADDRESS = re.compile(r"https?://[^\s#?]*/([A-Z])/([^/\s#?]+)/?", re.IGNORECASE)
LONGEST_RANGE = 100_000


class OwnCodeError(TirageError):
    """A code of the user's own that cannot be used."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"“{code}” cannot be a code of your own; expected 1 to 24 letters, digits, “-” and “.”, "
            f"a letter or digit first, without “..”, not only digits, and not shaped like an automatic code (N-0001) "
            f"or a range (1-6). "
            f"Choose another, such as 2019-LM-14b."
        )


class BackwardRangeError(TirageError):
    """A range that runs from high to low, or mixes kinds."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"The range “{text}” runs backwards or mixes kinds; expected first to last of one kind, "
            f"such as 3-9 or n1-3. Turn it round."
        )


class Span(NamedTuple):
    """Automatic codes of one kind, first to last."""

    kind: str
    first: int
    last: int


class Holder(NamedTuple):
    """The living holder of a number: e1:3, e1:ap1."""

    edition: str
    kind: str
    number: int


def automatic(kind: str, serial: int) -> str:
    """The automatic code of the `serial`-th thing of a kind: ("print", 1) -> "P-000001"."""
    letter = KINDS[kind]
    return f"{letter}-{serial:0{DIGITS.get(letter, 4)}d}"


def own(text: str) -> str:
    """A code of the user's own, checked. Raises OwnCodeError."""
    if text[:2].isalpha() and text.lower() != "last" and OWN.fullmatch(text):
        return text  # after two letters it is shaped like none of ours
    if (
        not OWN.fullmatch(text)
        or whole_number(text) is not None
        or text.lower() == "last"
        or AUTOMATIC.fullmatch(text)
        or _is_range(text)
    ):
        raise OwnCodeError(text)
    return text


def _is_range(text: str) -> bool:
    """Whether text would be read as a range of automatic codes (1-6), which 1998-14 is not."""
    try:
        return span(text) is not None
    except BackwardRangeError:
        return False


def bare(text: str) -> str:
    """What was typed or scanned, without blanks and without the address in front of a code."""
    text = text.strip()
    address = ADDRESS.fullmatch(text)
    return address[2] if address else text


def split(text: str) -> list[str]:
    """The single references in “1-3,7,k1”. Raises NotUnderstood when there is none."""
    parts = [part.strip() for part in text.split(",") if part.strip()]
    if not parts:
        raise NotUnderstood("a code", text, "codes such as 3, 1-6, n1 or 1-3,7")
    return parts


def span(text: str, bare_kind: str = "print") -> Span | None:
    """One automatic code or a range of them, else None. A bare number is a print. Raises BackwardRangeError."""
    bare_number = whole_number(text)
    if bare_number is not None:
        return Span(bare_kind, bare_number, bare_number)
    single = AUTOMATIC.fullmatch(text)
    if single:
        return Span(LETTERS[single[1].upper()], int(single[2]), int(single[2]))
    found = RANGE.fullmatch(text)
    if not found:
        return None
    kind = LETTERS[found[1].upper()] if found[1] else bare_kind
    first, last = int(found[2]), int(found[4])
    if last < first or (found[3] and LETTERS[found[3].upper()] != kind):
        raise BackwardRangeError(text)
    if last - first >= LONGEST_RANGE:
        raise NotUnderstood("a range", text, f"at most {LONGEST_RANGE:,} codes at once")
    return Span(kind, first, last)


def holder(text: str) -> Holder | None:
    """“e1:3”, “e1:ap1” or “e1:AP II/V”, else None. A proof without a number is the first of its kind."""
    edition, colon, rest = text.rpartition(":")
    mark = parse_mark(rest) if colon and edition.strip() else None
    if mark is None:
        return None
    kind, number = mark
    return Holder(edition.strip(), kind, 1 if number is None else number)
