"""The slip: the short signed statement of the square on a certificate's paper, which the paper alone proves."""

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from catalog import signing
from catalog.errors import TirageError

VERSION = 1
LONGEST = 520  # characters of the whole JWS: version 18 of a QR symbol at level M, address included
HEADER = signing.encode(f'{{"alg":"{signing.ALGORITHM}"}}'.encode())
KEY_SIGNS = 8  # of the thumbprint: enough to choose the key by, and no proof of anything
MEMBERS = (
    "artist", "certificate", "designation", "facts", "issued", "key", "negative", "print", "printed", "slip", "title",
)  # fmt: skip
ELLIPSIS = "…"
JOINER = "\u200d"  # between signs that are seen as one


class SlipTooLongError(TirageError):
    """Facts that leave no room in the square even for shortened names."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"What the square of {code} must say does not fit into {LONGEST} characters; expected codes and dates of "
            f"ordinary length. Give the print a shorter code of its own."
        )


@dataclass(frozen=True)
class Slip:
    """What a slip says, each text as it was signed; `facts` is the SHA-256 of the full facts in base64url."""

    artist: str
    certificate: str
    designation: str
    facts: str
    issued: str
    key: str
    negative: str
    print: str
    printed: str
    title: str


def digest(facts: bytes) -> str:
    """The SHA-256 of full facts as a slip has it."""
    return signing.encode(hashlib.sha256(facts).digest())


def signed(public: Mapping[str, Any], facts: bytes, private_pem: bytes, thumbprint: str) -> str:
    """The slip of public facts, whose canonical form is `facts`. Raises SlipTooLongError."""
    said = {
        "artist": _text(public, "artist", "name"),
        "certificate": _text(public, "certificate"),
        "designation": _text(public, "print", "designation"),
        "facts": digest(facts),
        "issued": _text(public, "issued"),
        "key": thumbprint[:KEY_SIGNS],
        "negative": _text(public, "negative", "made"),
        "print": _text(public, "print", "code"),
        "printed": _text(public, "print", "made"),
        "slip": VERSION,
        "title": _text(public, "title"),
    }
    for name in ("title", "artist"):
        said[name] = _fitting(said, name)
    jws = signing.sign(private_pem, signing.canonical(said), "")
    if len(jws) > LONGEST:
        raise SlipTooLongError(str(said["certificate"]))
    return jws


def read(jws: str, keys: Mapping[str, str]) -> Slip:
    """What a slip says, if one of `keys` (thumbprint -> x) signed it.

    Raises BadSignatureError, UnknownKeyError, UnreadableError.
    """
    if not jws.startswith(f"{HEADER}."):
        raise signing.UnreadableError("its header is not that of a slip")
    claimed = _members(signing.claimed(jws))
    wanted = str(claimed["key"])
    chosen = {thumbprint: x for thumbprint, x in keys.items() if thumbprint.startswith(wanted)}
    if not chosen:
        raise signing.UnknownKeyError(f"{wanted}…")
    said = _members(signing.verify(jws, chosen))
    return Slip(**{name: said[name] for name in MEMBERS if name != "slip"})


def is_slip(jws: str) -> bool:
    """Whether a signed statement claims to be a slip and not the full facts. Raises UnreadableError."""
    try:
        found = json.loads(signing.claimed(jws))
    except (ValueError, RecursionError):
        return False
    return isinstance(found, dict) and "slip" in found and "format" not in found


def _members(payload: bytes) -> dict[str, Any]:
    try:
        found = json.loads(payload.decode(), object_pairs_hook=signing.no_twins)
    except (ValueError, RecursionError):
        raise signing.UnreadableError("what was signed is not JSON in UTF-8") from None
    if not isinstance(found, dict) or set(found) != set(MEMBERS) or found["slip"] is True or found["slip"] != VERSION:
        raise signing.UnreadableError("what was signed is no slip of a certificate")
    if not all(isinstance(found[name], str) for name in MEMBERS if name != "slip"):
        raise signing.UnreadableError("what was signed is no slip of a certificate")
    if len(found["key"]) != KEY_SIGNS or len(found["facts"]) != 43 or signing.canonical(found) != payload:
        raise signing.UnreadableError("the slip is not written in its one canonical form")
    return found


def _text(facts: Mapping[str, Any], *names: str) -> str:
    """One text of the facts, "" where they are silent."""
    found: Any = facts
    for name in names:
        found = found.get(name) if isinstance(found, Mapping) else None
    return unicodedata.normalize("NFC", found) if isinstance(found, str) else ""


def _length(said: Mapping[str, Any]) -> int:
    """How long the JWS of a slip comes out."""
    return len(HEADER) + 1 + -(-4 * len(signing.canonical(said)) // 3) + 1 + 86


def _fitting(said: Mapping[str, Any], name: str) -> str:
    """The longest beginning of a text that fits, with an ellipsis where something was cut."""
    whole = str(said[name])
    if _length(said) <= LONGEST:
        return whole
    for end in range(len(whole) - 1, 0, -1):
        if _inside_a_character(whole, end):
            continue
        short = whole[:end].rstrip(" ,;:.-") + ELLIPSIS
        if _length({**said, name: short}) <= LONGEST:
            return short
    return ELLIPSIS if whole else ""


def _inside_a_character(text: str, place: int) -> bool:
    """Whether a cut there would part a letter from its marks, or signs that are joined into one."""
    after, before = text[place], text[place - 1]
    return unicodedata.category(after)[0] == "M" or JOINER in (after, before)
