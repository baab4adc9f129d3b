"""Verification: what a certificate's file proves, and what in it was altered."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from catalog import signing
from catalog.documents.certificate import FACTS_FILE, JWS_FILE, PAGE_FILE, PAGE_FORMAT
from catalog.records.certificates import FORMAT, Certificate
from labels.attachments import attachments, page_digests
from labels.errors import PdfUnreadable

Status = Literal["valid as issued", "altered", "revoked", "superseded", "unknown key", "unreadable"]
LARGEST = 64 * 1024 * 1024  # bytes; a certificate has a fraction of one hundredth of that
PARTS = {
    "fonts": "The typefaces of the page were altered, so its words may read differently.",
    "pictures": "A picture on the page was altered.",
    "document": "The file's pages or settings were altered: added or removed pages, forms, layers or actions.",
}


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a file proves: a status, and sentences that say why. `code` is the certificate's, where it is proved."""

    status: Status
    lines: tuple[str, ...]
    code: str = ""

    @property
    def is_valid(self) -> bool:
        """Whether the file is a certificate as it was issued, and not ended since."""
        return self.status == "valid as issued"


@dataclass(frozen=True, slots=True)
class _Statement:
    """A signed statement that holds, with its facts."""

    payload: bytes
    facts: Mapping[str, Any]

    @property
    def code(self) -> str:
        return str(self.facts["certificate"])


def verify(data: bytes, keys: Mapping[str, str], known: Callable[[str], Certificate | None] | None = None) -> Verdict:
    """What a certificate's PDF, or its certificate.jws alone, proves with the given public keys.

    `keys` (thumbprint -> x) come from the catalog or from the studio by another way, never from the file. `known`
    looks a certificate up by its code, with the catalog at hand.
    """
    if len(data) > LARGEST:
        return Verdict("unreadable", (f"The file is larger than any certificate ({len(data)} bytes).",))
    try:
        if b"%PDF-" in data[:1024]:
            return _pdf(data, keys, known)
        statement = _statement(_text(data), keys)
    except (signing.UnreadableError, signing.UnknownKeyError, signing.BadSignatureError) as problem:
        return _refused(problem, "")
    return _with_records(statement, known, ("The signature fits the statement; a page was not looked at.",))


def _pdf(data: bytes, keys: Mapping[str, str], known: Callable[[str], Certificate | None] | None) -> Verdict:
    try:
        files, shown = attachments(data), page_digests(data)
    except PdfUnreadable as problem:
        return Verdict("unreadable", (problem.sentence,))
    if JWS_FILE not in files:
        return Verdict(
            "unreadable",
            (f"The PDF holds no {JWS_FILE}, so it is no certificate's file, or was stripped of its signature.",),
        )
    try:
        statement = _statement(_text(files[JWS_FILE]), keys)
    except (signing.UnreadableError, signing.UnknownKeyError, signing.BadSignatureError) as problem:
        return _refused(problem, f"{JWS_FILE}: ")
    problems = []
    if FACTS_FILE not in files:
        problems.append(f"The attached facts ({FACTS_FILE}) are missing.")
    elif files[FACTS_FILE] != statement.payload:
        problems.append(_facts_words(files[FACTS_FILE], statement))
    problems += _page_problems(files.get(PAGE_FILE), shown, statement, keys)
    problems += [f"A file was added: {name[:60]}." for name in files if name not in (FACTS_FILE, JWS_FILE, PAGE_FILE)]
    if problems:
        return Verdict("altered", tuple(problems), statement.code)
    return _with_records(statement, known, ("The signature fits the statement, and the page is as it was drawn.",))


def _page_problems(
    page: bytes | None, shown: Mapping[str, str], statement: _Statement, keys: Mapping[str, str]
) -> list[str]:
    if page is None:
        return [
            f"The signature of the page ({PAGE_FILE}) is missing, so nothing vouches for what the page says; "
            f"the attached facts are as they were signed."
        ]
    try:
        signed = json.loads(signing.verify(_text(page), keys), object_pairs_hook=signing.no_twins)
        if signed["format"] != PAGE_FORMAT or not isinstance(signed["shows"], dict):
            raise signing.UnreadableError("it is about something else")
    except (
        signing.UnreadableError,
        signing.UnknownKeyError,
        signing.BadSignatureError,
        ValueError,
        KeyError,
        TypeError,
    ):
        return [f"The signature of the page ({PAGE_FILE}) was altered or is not by a known key."]
    if signed.get("certificate") != statement.code:
        return [
            f"The page is that of certificate {signed.get('certificate')}, the facts are those of {statement.code}."
        ]
    if signed.get("facts") != signing.fingerprint(statement.payload):
        return ["The page was drawn from other facts than those attached."]
    expected = signed["shows"]
    return [
        _part_words(name, expected.get(name), shown.get(name))
        for name in dict.fromkeys([*expected, *shown])
        if expected.get(name) != shown.get(name)
    ]


def _part_words(name: str, before: str | None, now: str | None) -> str:
    if before is None:
        return f"{_named(name)} was added."
    if now is None:
        return f"{_named(name)} was taken away."
    return PARTS.get(name) or f"{_named(name)} was altered: its text, lines or boxes are not as they were drawn."


def _named(name: str) -> str:
    """The name of a part of the file at the head of a sentence."""
    return f"P{name[1:]}" if name.startswith("page ") else name


def _facts_words(attached: bytes, statement: _Statement) -> str:
    try:
        found = json.loads(attached)
        code = found.get("certificate")
    except (ValueError, AttributeError, RecursionError):
        return f"The attached facts ({FACTS_FILE}) were altered: they cannot be read."
    if code != statement.code:
        return (
            f"The attached facts are those of certificate {str(code)[:30]}, the signature is that of {statement.code}."
        )
    names = [name for name in statement.facts if found.get(name) != statement.facts[name]]
    names += [name for name in found if name not in statement.facts]
    return f"The attached facts ({FACTS_FILE}) were altered" + (
        f": {', '.join(str(name)[:30] for name in names)}." if names else " in how they are written."
    )


def _statement(jws: str, keys: Mapping[str, str]) -> _Statement:
    payload = signing.verify(jws, keys)
    try:
        facts = json.loads(payload, object_pairs_hook=signing.no_twins)
    except (ValueError, RecursionError):
        raise signing.UnreadableError("what was signed is not JSON") from None
    if not isinstance(facts, dict) or facts.get("format") != FORMAT or not isinstance(facts.get("certificate"), str):
        raise signing.UnreadableError("what was signed is no certificate")
    return _Statement(payload, facts)


def _text(data: bytes) -> str:
    try:
        return data.decode("ascii").strip("\r\n")
    except UnicodeDecodeError:
        raise signing.UnreadableError("it is neither a PDF nor a JWS") from None


def _refused(problem: Exception, where: str) -> Verdict:
    status: Status = "unreadable"
    if isinstance(problem, signing.UnknownKeyError):
        status = "unknown key"
    elif isinstance(problem, signing.BadSignatureError):
        status = "altered"
    return Verdict(status, (where + str(problem.args[0]),))


def _with_records(
    statement: _Statement, known: Callable[[str], Certificate | None] | None, lines: tuple[str, ...]
) -> Verdict:
    if known is None:
        return Verdict(
            "valid as issued",
            (*lines, "Whether it was revoked or superseded since, only the studio's catalog can tell."),
            statement.code,
        )
    record = known(statement.code)
    if record is None:
        return Verdict(
            "altered",
            (f"The studio's key signed this, but its catalog holds no certificate {statement.code}. Ask the studio.",),
            statement.code,
        )
    if record.facts.encode() != statement.payload:
        return Verdict(
            "altered", (f"The catalog holds other facts under {statement.code}. Ask the studio.",), statement.code
        )
    if record.standing == "revoked":
        return Verdict("revoked", (f"{record.code} was revoked ({record.ended}): {record.why}.",), statement.code)
    if record.standing == "superseded":
        return Verdict(
            "superseded", (f"{record.code} was superseded by {record.superseded_by} ({record.ended}).",), statement.code
        )
    return Verdict("valid as issued", (*lines, "The catalog has it as valid."), statement.code)
