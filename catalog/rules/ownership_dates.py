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
    parts = [_told(begun, "after", "by"), _told(ended, "at least", "sometime before")]
    return " until ".join(part for part in parts if part) if parts[0] else (f"until {parts[1]}" if parts[1] else "")


def _told(one: Span, since: str, until: str) -> str:
    """A span in words; `since` and `until` stand before the one date of it that is known."""
    if one.exact:
        return _words(one.first)
    if one.first and one.last:
        return f"sometime between {_words(one.first)} and {_words(one.last)}"
    if one.first:
        return f"{since} {_words(one.first)}"
    return f"{until} {_words(one.last)}" if one.last else ""


def _words(edtf: str) -> str:
    try:
        return parse_date(edtf).text()
    except NotUnderstood:  # the end of an odd set, told as it was typed
        return edtf
