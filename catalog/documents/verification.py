"""Verification: what a certificate's file, statement or square proves, and what in it was altered."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from catalog import signing
from catalog.documents import scan, verified_pdf, verified_slip
from catalog.documents.verified_pdf import StatementError
from catalog.records import slips
from catalog.records.certificates import Certificate

Status = Literal["valid as issued", "saved anew", "altered", "revoked", "superseded", "unknown key", "unreadable"]
Known = Callable[[str], Certificate | None]
Refusals = (signing.UnreadableError, signing.UnknownKeyError, signing.BadSignatureError)
LARGEST = 64 * 1024 * 1024  # bytes; a certificate has a fraction of one hundredth of that
SAVED_ANEW = (
    "The file was saved anew by another program, or changed where no page shows it: the parts of its page agree with "
    "what was signed, the file is not as it was written. Ask for the file as the studio sent it."
)
OUTSIDE = "Valid as issued; later changes are not visible here."


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
class _Proved:
    """What a signature holds for: which certificate, of which print, over which facts."""

    code: str
    print_code: str
    digest: str


def typed_keys(text: str) -> tuple[dict[str, str], str] | None:
    """Keys of what a person types from a paper, and it without blanks; None where it is no key and no thumbprint.

    The 43 signs are a public key or a thumbprint; which one shows only when something is verified with it.
    """
    signs = "".join(text.split())
    if len(signs) != 43:
        return None
    try:
        return signing.read_public(signs), signs
    except signing.KeyUnreadableError:
        return None


def verify(data: bytes, keys: Mapping[str, str], known: Known | None = None, typed: str = "") -> Verdict:
    """What a PDF, a statement, an address with one, or a picture of the square proves with the given public keys.

    `keys` (thumbprint -> x) come from the catalog or from the studio by another way, never from the file. `typed` is
    a thumbprint read off paper: a key carried in the file counts if it has it. `known` looks a certificate up by its
    code, with the catalog at hand. Raises ScanNotPossibleError for a picture without what reads it.
    """
    if len(data) > LARGEST:
        return Verdict("unreadable", (f"The file is larger than any certificate ({len(data)} bytes).",))
    if b"%PDF-" in data[:1024]:
        return _pdf(data, keys, known, typed)
    try:
        text = scan.statement_in(data) if scan.is_picture(data) else scan.statement_of(data)
        return _slip(text, keys, known) if slips.is_slip(text) else _jws(text, keys, known)
    except Refusals as problem:
        return _refused(problem, typed)


def _pdf(data: bytes, keys: Mapping[str, str], known: Known | None, typed: str) -> Verdict:
    try:
        found = verified_pdf.opened(data, keys, typed)
    except StatementError as problem:
        verdict = _refused(problem.cause, "", problem.where)
        return replace(verdict, lines=(*verdict.lines, *problem.hints))
    if found.problems:
        return Verdict("altered", found.problems, found.code)
    proved = _Proved(found.code, _print_code(found.facts), slips.digest(found.payload))
    if not found.whole:
        verdict = _with_records(proved, known, (SAVED_ANEW,))
        told = tuple(line for line in verdict.lines if line != OUTSIDE)
        return replace(verdict, status="saved anew", lines=told) if verdict.is_valid else verdict
    return _with_records(proved, known, ("The signature fits the statement, and the page is as it was drawn.",))


def _jws(jws: str, keys: Mapping[str, str], known: Known | None) -> Verdict:
    payload, facts = verified_pdf.statement(jws, keys)
    proved = _Proved(str(facts["certificate"]), _print_code(facts), slips.digest(payload))
    return _with_records(proved, known, ("The signature fits the statement; a page was not looked at.",))


def _slip(jws: str, keys: Mapping[str, str], known: Known | None) -> Verdict:
    slip = slips.read(jws, keys)
    record = known(slip.certificate) if known else None
    if record is not None and record.slip != jws:
        return Verdict(
            "altered",
            (f"The key signed this, but the catalog holds another slip of {slip.certificate}. Ask the studio.",),
            slip.certificate,
        )
    proved = _Proved(slip.certificate, slip.print, slip.facts)
    verdict = _with_records(proved, known, ("The signature fits the square. It vouches for this and nothing else:",))
    return replace(verdict, lines=verified_slip.told(verdict.lines, slip, verdict.is_valid))


def _print_code(facts: Mapping[str, Any]) -> str:
    found = facts.get("print")
    return str(found.get("code", "")) if isinstance(found, Mapping) else ""


def _refused(problem: Exception, typed: str, where: str = "") -> Verdict:
    status: Status = "unreadable"
    sentence = str(problem.args[0])
    if isinstance(problem, signing.UnknownKeyError):
        status = "unknown key"
        if typed and typed.startswith(problem.kid.removesuffix("…")) and problem.kid:
            sentence = (
                "What was typed is the thumbprint of the key that this names, and a thumbprint cannot check a "
                "signature: give the public key itself, which is printed above it, with --key."
            )
    elif isinstance(problem, signing.BadSignatureError | verified_pdf.AmbiguousFileError):
        status = "altered"
    return Verdict(status, (where + sentence,))


def _with_records(proved: _Proved, known: Known | None, lines: tuple[str, ...]) -> Verdict:
    code = proved.code
    if known is None:
        return Verdict("valid as issued", (*lines, OUTSIDE), code)
    record = known(code)
    if record is None:
        reason = f"The studio's key signed this, but its catalog holds no certificate {code}. Ask the studio."
        return Verdict("altered", (reason,), code)
    if record.print_code != proved.print_code and proved.print_code:
        reason = f"The catalog has {code} as the certificate of {record.print_code}, this is of {proved.print_code}."
        return Verdict("altered", (f"{reason} Ask the studio.",), code)
    if slips.digest(record.facts.encode()) != proved.digest:
        return Verdict("altered", (f"The catalog holds other facts under {code}. Ask the studio.",), code)
    if record.standing == "revoked":
        return Verdict("revoked", (f"{record.code} was revoked ({record.ended}): {record.why}.",), code)
    if record.standing == "superseded":
        return Verdict("superseded", (f"{code} was superseded by {record.superseded_by} ({record.ended}).",), code)
    return Verdict("valid as issued", (*lines, "The catalog has it as valid."), code)
