"""The certificate check: what a holder reads off the paper, compared with the record, in plain words."""

import re
from dataclasses import dataclass

from catalog.publish.reading import Row

FEWEST_CHARACTERS = 8  # of the fingerprint: one chance in four thousand million that a wrong one agrees
SEPARATORS = re.compile(r"[\s:.\-\u2010-\u2015]+")
HEXADECIMAL = re.compile(r"[0-9a-f]+")


@dataclass(frozen=True)
class Verdict:
    """What the check answers: `tone` is good, warning or bad; `sentence` says it; `more` says what it means."""

    tone: str
    sentence: str
    more: str = ""


def plain_hexadecimal(text: str) -> str:
    """A fingerprint without the spaces and dashes of its printed groups, lower case."""
    return SEPARATORS.sub("", text).lower()


def standing_of(certificate: Row) -> Verdict:
    """What became of the certificate: valid, superseded or revoked."""
    if certificate["standing"] == "superseded":
        later = certificate["superseded_by"] or "a later certificate"
        return Verdict("warning", f"This certificate is superseded by {later}.", "The later one counts.")
    if certificate["standing"] == "revoked":
        return Verdict("bad", "This certificate is revoked.", "It no longer vouches for the print.")
    return Verdict("good", "This certificate is valid: it is neither superseded nor revoked.")


def compare(certificate: Row, given: str) -> Verdict:
    """The fingerprint as typed (any grouping, at least its first 8 characters) against the one on record."""
    typed, recorded = plain_hexadecimal(given), plain_hexadecimal(certificate["fingerprint"])
    if not typed:
        return Verdict(
            "warning",
            "There is a certificate with this number. The fingerprint was not compared.",
            "A number alone can be copied. Type at least the first 8 characters of the fingerprint that is printed "
            "on the paper.",
        )
    if not HEXADECIMAL.fullmatch(typed) or len(typed) > len(recorded):
        return Verdict(
            "warning",
            "What was typed is not a fingerprint, so nothing was compared.",
            "A fingerprint holds only the figures 0 to 9 and the letters a to f, in groups as printed on the paper.",
        )
    if len(typed) < FEWEST_CHARACTERS:
        return Verdict(
            "warning",
            f"That is too little of the fingerprint ({len(typed)} characters), so nothing was compared.",
            f"Type at least its first {FEWEST_CHARACTERS} characters.",
        )
    if not recorded.startswith(typed):
        return Verdict(
            "bad",
            "The fingerprint differs from the record.",
            "First look for a slip in typing. If it still differs, the paper does not state what was recorded "
            "when the certificate was issued: ask the studio.",
        )
    extent = "whole fingerprint" if len(typed) == len(recorded) else f"first {len(typed)} characters of the fingerprint"
    return Verdict(
        "good",
        "This number and fingerprint agree with the record.",
        f"Compared: the {extent}. It shows that the facts are those recorded when the certificate was issued; "
        "that the print in hand is the one they describe is for the eye to decide.",
    )


def missing(typed: str) -> Verdict:
    """The answer when no public certificate bears the number."""
    return Verdict(
        "bad",
        f"There is no such certificate: “{typed}”.",
        "Look again at the number on the paper; it looks like C-0001. "
        "A certificate of a work that is not shown in public is not listed here: ask the studio.",
    )
