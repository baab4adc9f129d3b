"""When somebody owned a thing: the four-date model of the digital provenance standard, and its phrases.

Carnegie Museum of Art, Digital Provenance Standard, version 0.2 (14 October 2016, CC0): ownership begins between two
dates and ends between two others, each of which may not be known; a dozen patterns of these have a phrase each.
"""

from typing import NamedTuple

from catalog.dates import parse_date
from catalog.errors import NotUnderstood

UNKNOWN_SIGNS = ("", "..")
NO_YEAR = "XXXX"  # a date of which nothing is known


class Span(NamedTuple):
    """A day, month or year that lies between two; each as EDTF, "" where it is not known. Both alike: it is known."""

    first: str = ""
    last: str = ""

    @property
    def known(self) -> bool:
        """Whether anything is known of it."""
        return bool(self.first or self.last)

    @property
    def exact(self) -> bool:
        """Whether it is one date."""
        return bool(self.first) and self.first == self.last


class Ownership(NamedTuple):
    """When ownership began and when it ended."""

    begun: Span = Span()
    ended: Span = Span()

    def as_record(self) -> dict[str, str]:
        """The four dates under the standard's names: begin and end of the begin, begin and end of the end."""
        return {
            "botb": self.begun.first,
            "eotb": self.begun.last,
            "bote": self.ended.first,
            "eote": self.ended.last,
        }


def span(edtf: str) -> Span:
    """The span that an EDTF text leaves open: 1995 is known; 1995/1996, ../1995, [1995,1996] and the like are not."""
    if not edtf or edtf.startswith(NO_YEAR):
        return Span()
    if edtf[0] == "[":
        members = edtf[1:-1].split(",")
        first, last = members[0].partition("..")[0], members[-1].rpartition("..")[2]
        return Span(first, last)
    if "/" in edtf:
        first, _, last = edtf.partition("/")
        return Span("" if first in UNKNOWN_SIGNS else first, "" if last in UNKNOWN_SIGNS else last)
    return Span(edtf, edtf)


def phrase(when: Ownership) -> str:
    """The phrase for a pattern of four dates: “by 1995”, “1995 until at least 1996”; "" when nothing is known."""
    begun, ended = when.begun, when.ended
    if begun.last and not begun.first and ended.first == begun.last and not ended.last:
        day = _words(begun.last)
        return f"{'on' if day[:1].isdigit() and ' ' in day else 'in'} {day}"
    parts = [_begun(begun), _ended(ended)]
    return " until ".join(part for part in parts if part) if parts[0] else (f"until {parts[1]}" if parts[1] else "")


def _begun(begun: Span) -> str:
    if begun.exact:
        return _words(begun.first)
    if begun.first and begun.last:
        return f"sometime between {_words(begun.first)} and {_words(begun.last)}"
    if begun.first:
        return f"after {_words(begun.first)}"
    return f"by {_words(begun.last)}" if begun.last else ""


def _ended(ended: Span) -> str:
    if ended.exact:
        return _words(ended.first)
    if ended.first and ended.last:
        return f"sometime between {_words(ended.first)} and {_words(ended.last)}"
    if ended.first:
        return f"at least {_words(ended.first)}"
    return f"sometime before {_words(ended.last)}" if ended.last else ""


def _words(edtf: str) -> str:
    try:
        return parse_date(edtf).text()
    except NotUnderstood:  # the end of an odd set, told as it was typed
        return edtf
