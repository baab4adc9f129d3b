"""Verification: what a certificate's file, statement or square proves, and what in it was altered."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from catalog import signing
from catalog.dates import parse_date
from catalog.documents import scan, verified_pdf, verified_slip
from catalog.documents.verified_pdf import StatementError
from catalog.errors import NotUnderstood
from catalog.records import artist_keys, slips
from catalog.records.certificates import Certificate

Status = Literal[
    "valid as issued", "saved anew", "altered", "key had ended", "revoked", "superseded", "unknown key", "unreadable"
]
Known = Callable[[str], Certificate | None]
Refusals = (signing.UnreadableError, signing.UnknownKeyError, signing.BadSignatureError)
LARGEST = 64 * 1024 * 1024  # bytes; a certificate has a fraction of one hundredth of that
SAVED_ANEW = (
    "The file was saved anew by another program, or changed where no page shows it: the parts of its page agree with "
    "what was signed, the file is not as it was written. Ask for the file as the studio sent it."
)
ENDED_KEY = (
    "Its key ended {}. Whoever has an ended key could still write an earlier day: ask the studio whether it issued it."
)
OUTSIDE = "Valid as issued; later changes are not visible here."


@dataclass(frozen=True, slots=True)
class Verdict:
    """What a file proves: a status, and sentences that say why.

    `code` is the certificate's, where it is proved, and `key` the thumbprint of the key that signed.
    """

    status: Status
    lines: tuple[str, ...]
    code: str = ""
    key: str = ""

    @property
    def is_valid(self) -> bool:
        """Whether the file is a certificate as it was issued, and not ended since."""
        return self.status == "valid as issued"


@dataclass(frozen=True, slots=True)
class _Proved:
    """What a signature holds for: which certificate, of which print, over which facts, issued when, by which key."""

    code: str
    print_code: str
    digest: str
    issued: str
    key: str


@dataclass(frozen=True, slots=True)
class _Sources:
    """What a verification goes by: public keys, their last days, what was typed, and the records with their keys."""

    keys: Mapping[str, str]
    ends: Mapping[str, str]
    typed: str
    known: Known | None
    ours: Collection[str]

    def records(self, key: str) -> Known | None:
        """The records, where the key that signed is one of theirs."""
        return self.known if key in self.ours else None


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


def verify(
    data: bytes,
    keys: Mapping[str, str],
    known: Known | None = None,
    typed: str = "",
    ends: Mapping[str, str] | None = None,
    ours: Collection[str] | None = None,
) -> Verdict:
    """What a PDF, a statement, an address with one, or a picture of the square proves with the given public keys.

    `keys` (thumbprint -> x) come from the catalog or from the studio by another way, never from the file. `typed` is
    a thumbprint read off paper: a key carried in the file counts if it has it. `ends` are the last days of keys that
    ended. `known` looks a certificate up by its code in a catalog whose keys are `ours` (else the given ones); it is
    asked only of what one of these signed. Raises ScanNotPossibleError for a picture without what reads it.
    """
    sources = _Sources(keys, ends or {}, typed, known, keys if ours is None else ours)
    if len(data) > LARGEST:
        return Verdict("unreadable", (f"The file is larger than any certificate ({len(data)} bytes).",))
    if b"%PDF-" in data[:1024]:
        return _pdf(data, sources)
    try:
        text = scan.statement_in(data) if scan.is_picture(data) else scan.statement_of(data)
        return _slip(text, sources) if slips.is_slip(text) else _jws(text, sources)
    except Refusals as problem:
        return _refused(problem, sources)


def _pdf(data: bytes, sources: _Sources) -> Verdict:
    try:
        found = verified_pdf.opened(data, sources.keys, sources.typed, sources.ends)
    except StatementError as problem:
        verdict = _refused(problem.cause, sources, problem.where)
        return replace(verdict, lines=(*verdict.lines, *(() if sources.typed else problem.hints)))
    if found.problems:
        return Verdict("altered", found.problems, found.code, found.key)
    proved = _proved(found.payload, found.facts, found.key)
    if not found.whole:
        verdict = _with_records(proved, sources, (SAVED_ANEW,))
        told = tuple(line for line in verdict.lines if line != OUTSIDE)
        return replace(verdict, status="saved anew", lines=told) if verdict.is_valid else verdict
    return _with_records(proved, sources, ("The signature fits the statement, and the page is as it was drawn.",))


def _jws(jws: str, sources: _Sources) -> Verdict:
    payload, facts = verified_pdf.statement(jws, sources.keys)
    proved = _proved(payload, facts, signing.signer(jws, sources.keys))
    return _with_records(proved, sources, ("The signature fits the statement; a page was not looked at.",))


def _slip(jws: str, sources: _Sources) -> Verdict:
    slip = slips.read(jws, sources.keys)
    key = signing.signer(jws, {one: x for one, x in sources.keys.items() if one.startswith(slip.key)})
    known = sources.records(key)
    record = known(slip.certificate) if known else None
    if record is not None and record.slip != jws:
        return Verdict(
            "altered",
            (f"The key signed this, but the catalog holds another slip of {slip.certificate}. Ask the studio.",),
            slip.certificate,
            key,
        )
    proved = _Proved(slip.certificate, slip.print, slip.facts, slip.issued, key)
    verdict = _with_records(proved, sources, ("The signature fits the square. It vouches for this and nothing else:",))
    return replace(verdict, lines=verified_slip.told(verdict.lines, slip, verdict.is_valid))


def _proved(payload: bytes, facts: Mapping[str, Any], key: str) -> _Proved:
    found = facts.get("print")
    print_code = str(found.get("code", "")) if isinstance(found, Mapping) else ""
    return _Proved(str(facts["certificate"]), print_code, slips.digest(payload), str(facts.get("issued", "")), key)


def _refused(problem: Exception, sources: _Sources, where: str = "") -> Verdict:
    status: Status = "unreadable"
    sentence = str(problem.args[0])
    if isinstance(problem, signing.UnknownKeyError):
        status = "unknown key"
        typed = sources.typed
        if typed and problem.kid and typed.startswith(problem.kid.removesuffix("…")):
            sentence = (
                "What was typed is the thumbprint of the key that this names, and a thumbprint cannot check a "
                "signature: give the public key itself, which is printed above it, with --key."
            )
        elif typed:
            sentence = (
                f"The key you typed has the thumbprint {signing.thumbprint(typed)}, if it is a public key and no "
                f"thumbprint itself; this was signed with the key {problem.kid or '(not named)'}. Compare what you "
                f"typed with the key sheet, sign by sign (capital I and small l, figure 0 and capital O), and type it "
                f"again. If it stands there so, this is not by that key."
            )
    elif isinstance(problem, signing.BadSignatureError | verified_pdf.AmbiguousFileError):
        status = "altered"
    return Verdict(status, (where + sentence,))


def _with_records(proved: _Proved, sources: _Sources, lines: tuple[str, ...]) -> Verdict:
    last_day = sources.ends.get(proved.key, "")
    if _is_late(proved.issued, last_day):
        reason = f"The key that signed this had ended before that day ({_day(last_day)}, issued {_day(proved.issued)})"
        return Verdict("key had ended", (f"{reason}, so it is not valid. Ask the studio.",), proved.code, proved.key)
    known = sources.records(proved.key)
    if known is None:
        old = (ENDED_KEY.format(parse_date(last_day).text()),) if last_day else ()
        return Verdict("valid as issued", (*lines, *old, OUTSIDE), proved.code, proved.key)
    return replace(_recorded(proved, known, lines), key=proved.key)


def _day(text: str) -> str:
    """A day for a person to read; what is none, as it stands."""
    try:
        return parse_date(text).text()
    except NotUnderstood:
        return text


def _is_late(issued: str, last_day: str) -> bool:
    try:
        return artist_keys.ended_before(issued, last_day)
    except NotUnderstood:
        return True  # no day that could be before the end


def _recorded(proved: _Proved, known: Known, lines: tuple[str, ...]) -> Verdict:
    code = proved.code
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
        return Verdict("revoked", (f"{record.code} was revoked {_day(record.ended)}: {record.why}.",), code)
    if record.standing == "superseded":
        reason = f"{code} was superseded by {record.superseded_by} {_day(record.ended)}."
        return Verdict("superseded", (reason,), code)
    return Verdict("valid as issued", (*lines, "The catalog has it as valid."), code)
