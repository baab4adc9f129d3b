"""A certificate's PDF looked at: its statement, its facts, its page, its slip and the keys it carries."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from catalog import signing
from catalog.documents.certificate import FACTS_FILE, JWS_FILE, KEY_FILE, PAGE_FILE, PAGE_FORMAT, SLIP_FILE
from catalog.errors import TirageError
from catalog.records import slips
from catalog.records.artist_keys import succeeds
from catalog.records.certificates import FORMAT
from labels.attachments import attachments, in_two_ways, page_digests
from labels.errors import PdfAmbiguous, PdfUnreadable
from labels.whole_file import digest_without, refuse_ambiguous

OUR_FILES = (FACTS_FILE, JWS_FILE, PAGE_FILE, SLIP_FILE, KEY_FILE)
MOST_NAMED = 3  # files that were added
MOST_CARRIED = 64  # keys of a studio's whole life, and then some
REFUSED = (signing.UnreadableError, signing.UnknownKeyError, signing.BadSignatureError)
PARTS = {
    "fonts": "The typefaces of the page were altered, so its words may read differently.",
    "pictures": "A picture on the page was altered.",
    "document": "The file's pages or settings were altered: added or removed pages, forms, layers or actions.",
}


class StatementError(Exception):
    """A PDF whose statement does not hold; `hints` are sentences that may help whoever has it."""

    def __init__(self, cause: TirageError, where: str = "", hints: tuple[str, ...] = ()) -> None:
        super().__init__(cause.sentence)
        self.cause, self.where, self.hints = cause, where, hints


@dataclass(frozen=True, slots=True)
class Opened:
    """A statement that holds, with its facts, and what else in the file does not; `whole` is it to the last byte."""

    payload: bytes
    facts: Mapping[str, Any]
    problems: tuple[str, ...]
    whole: bool
    key: str  # the thumbprint of the one that signed the statement

    @property
    def code(self) -> str:
        return str(self.facts["certificate"])


def opened(data: bytes, keys: Mapping[str, str], typed: str, ends: Mapping[str, str]) -> Opened:
    """A PDF taken apart and proved; `ends` are the last days of keys (by thumbprint). Raises StatementError."""
    try:
        refuse_ambiguous(data)
        files, shown, doubled = attachments(data), page_digests(data), in_two_ways(data)
    except PdfAmbiguous as problem:
        ours = JWS_FILE.encode() in data  # our name in plain letters: a certificate that another hand was at
        cause = AmbiguousFileError(problem.sentence) if ours else _UnreadableFileError(problem.sentence)
        raise StatementError(cause) from None
    except PdfUnreadable as problem:
        raise StatementError(_UnreadableFileError(problem.sentence)) from None
    if JWS_FILE not in files:
        raise StatementError(
            _UnreadableFileError(
                f"The PDF holds no {JWS_FILE}, so it is no certificate's file, or was stripped of its signature. "
                f"If it is a scan of the paper, give a picture of its square (PNG or JPEG)."
            )
        )
    carried = carried_keys(files.get(KEY_FILE, b""))
    trusted = trusted_keys(keys, carried, typed, ends)
    try:
        jws = _text(files[JWS_FILE])
        payload, facts = statement(jws, trusted)
    except signing.UnknownKeyError as problem:
        raise StatementError(problem, f"{JWS_FILE}: ", _hints(carried)) from None
    except (signing.UnreadableError, signing.BadSignatureError) as problem:
        raise StatementError(problem, f"{JWS_FILE}: ") from None
    proof = _Proof(files, shown, payload, facts, trusted)
    problems = proof.problems()
    whole = not problems and proof.is_whole(data)
    if not whole:
        problems += [f"The attached file {name[:60]} is held in two ways." for name in doubled]
    return Opened(payload, facts, tuple(problems), whole, signing.signer(jws, trusted))


def statement(jws: str, keys: Mapping[str, str]) -> tuple[bytes, dict[str, Any]]:
    """The signed facts of a certificate, as bytes and read. Raises as signing.verify does."""
    payload = signing.verify(jws, keys)
    try:
        facts = json.loads(payload, object_pairs_hook=signing.no_twins)
    except (ValueError, RecursionError):
        raise signing.UnreadableError("what was signed is not JSON") from None
    if not isinstance(facts, dict) or facts.get("format") != FORMAT or not isinstance(facts.get("certificate"), str):
        raise signing.UnreadableError("what was signed is no certificate")
    return payload, facts


def carried_keys(data: bytes) -> dict[str, dict[str, Any]]:
    """Thumbprint, worked out anew -> key, of the keys a file carries; none of them is trusted for that."""
    try:
        entries = json.loads(data, object_pairs_hook=signing.no_twins)["keys"][:MOST_CARRIED]
        return {thumbprint: entry for entry in entries for thumbprint in signing.read_public(json.dumps(entry))}
    except (TirageError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def trusted_keys(
    keys: Mapping[str, str], carried: Mapping[str, dict[str, Any]], typed: str, ends: Mapping[str, str]
) -> dict[str, str]:
    """The given keys, the carried one whose thumbprint was typed, and those that a trusted key signed for."""
    trusted = dict(keys)
    if typed in carried:
        trusted[typed] = carried[typed]["x"]
    waiting = {thumbprint: key for thumbprint, key in carried.items() if thumbprint not in trusted}
    for _ in range(len(waiting)):
        found = [thumbprint for thumbprint, key in waiting.items() if succeeds(key, trusted, ends)]
        if not found:
            break
        trusted |= {thumbprint: waiting.pop(thumbprint)["x"] for thumbprint in found}
    return trusted


class AmbiguousFileError(TirageError):
    """A PDF that two programs may show differently; its sentence is given."""


class _UnreadableFileError(TirageError):
    """A PDF that cannot be looked at; its sentence is given."""


def _hints(carried: Mapping[str, Any]) -> tuple[str, ...]:
    if not carried:
        return ()
    return (
        f"The file carries a key with the thumbprint {next(iter(carried))}, which proves nothing by itself. Compare it "
        f"with the studio's key sheet; if it is the same, type it: --key THUMBPRINT.",
    )


class _Proof(NamedTuple):
    """What a file is proved by: the files in it, what its pages show, the statement that holds, the trusted keys."""

    files: Mapping[str, bytes]
    shown: Mapping[str, str]
    payload: bytes
    facts: Mapping[str, Any]
    keys: Mapping[str, str]

    @property
    def code(self) -> str:
        """The certificate's code."""
        return str(self.facts["certificate"])

    def problems(self) -> list[str]:
        """What in the file does not fit the statement."""
        problems = []
        if FACTS_FILE not in self.files:
            problems.append(f"The attached facts ({FACTS_FILE}) are missing.")
        elif self.files[FACTS_FILE] != self.payload:
            problems.append(_facts_words(self.files[FACTS_FILE], self.facts))
        problems += self._page_problems() + self._slip_problems()
        added = [name for name in self.files if name not in OUR_FILES]
        problems += [f"A file was added: {name[:60]}." for name in added[:MOST_NAMED]]
        return problems + ([f"And {len(added) - MOST_NAMED} more were added."] if len(added) > MOST_NAMED else [])

    def is_whole(self, data: bytes) -> bool:
        """Whether every byte of a file without problems is the one that was there when its page was signed."""
        return bool(self._signed_page().get("file") == digest_without(data, self.files[PAGE_FILE]))

    def _slip_problems(self) -> list[str]:
        if SLIP_FILE not in self.files:
            return []  # older ones have none; one that was taken away is missed by the page's signature
        try:
            said = slips.read(_text(self.files[SLIP_FILE]), self.keys)
        except REFUSED:
            return [f"The statement of the square ({SLIP_FILE}) was altered or is not by a known key."]
        if said.certificate != self.code:
            return [f"The statement of the square ({SLIP_FILE}) is that of {said.certificate}, not of {self.code}."]
        if said.facts != slips.digest(self.payload):
            return [f"The statement of the square ({SLIP_FILE}) is about other facts than those attached."]
        return []

    def _page_problems(self) -> list[str]:
        if PAGE_FILE not in self.files:
            return [
                f"The signature of the page ({PAGE_FILE}) is missing, so nothing vouches for what the page says; "
                f"the attached facts are as they were signed."
            ]
        try:
            signed = self._signed_page()
        except (*REFUSED, ValueError, KeyError, TypeError):
            return [f"The signature of the page ({PAGE_FILE}) was altered or is not by a known key."]
        if signed.get("certificate") != self.code:
            return [f"The page is that of certificate {signed.get('certificate')}, the facts are those of {self.code}."]
        if signed.get("facts") != signing.fingerprint(self.payload):
            return ["The page was drawn from other facts than those attached."]
        if len(str(signed.get("file", ""))) != 64:
            return [f"The page's signature ({PAGE_FILE}) does not cover the whole file: have the page drawn anew."]
        expected = signed["shows"]
        problems = [
            _part_words(name, expected.get(name), self.shown.get(name))
            for name in dict.fromkeys([*expected, *self.shown])
            if expected.get(name) != self.shown.get(name)
        ]
        slip = signing.fingerprint(self.files[SLIP_FILE]) if SLIP_FILE in self.files else ""
        if signed.get("slip", "") != slip:
            problems.append(f"The statement of the square ({SLIP_FILE}) is not the one that the page was drawn with.")
        return problems

    def _signed_page(self) -> Mapping[str, Any]:
        """What was signed of the page. Raises as signing.verify does, or ValueError, KeyError, TypeError."""
        signed: dict[str, Any] = json.loads(
            signing.verify(_text(self.files[PAGE_FILE]), self.keys), object_pairs_hook=signing.no_twins
        )
        if signed["format"] != PAGE_FORMAT or not isinstance(signed["shows"], dict):
            raise signing.UnreadableError("it is about something else")
        return signed


def _part_words(name: str, before: str | None, now: str | None) -> str:
    named = f"P{name[1:]}" if name.startswith("page ") else name  # at the head of a sentence
    if before is None:
        return f"{named} was added."
    if now is None:
        return f"{named} was taken away."
    return PARTS.get(name) or f"{named} was altered: its text, lines or boxes are not as they were drawn."


def _facts_words(attached: bytes, facts: Mapping[str, Any]) -> str:
    try:
        found = json.loads(attached)
        code = found.get("certificate")
    except (ValueError, AttributeError, RecursionError):
        return f"The attached facts ({FACTS_FILE}) were altered: they cannot be read."
    if code != facts["certificate"]:
        return (
            f"The attached facts are those of certificate {str(code)[:30]}, the signature is that of "
            f"{facts['certificate']}."
        )
    names = [name for name in facts if found.get(name) != facts[name]]
    names += [name for name in found if name not in facts]
    return f"The attached facts ({FACTS_FILE}) were altered" + (
        f": {', '.join(str(name)[:30] for name in names)}." if names else " in how they are written."
    )


def _text(data: bytes) -> str:
    try:
        return data.decode("ascii").strip("\r\n")
    except UnicodeDecodeError:
        raise signing.UnreadableError("it is no JWS") from None
