"""What a print is called, in a table: of which edition or negative, and which number or proof of it."""

from typing import NamedTuple

from catalog.errors import TirageError
from catalog.exchange.free_text.edition_marks import MarkReading, read_mark
from catalog.exchange.importing.frame import Row
from catalog.exchange.importing.known import Known
from catalog.exchange.importing.words import NUMBERED, TRIALS, folded, proof_kind, read_edition_size
from catalog.records.editions import Edition
from catalog.records.items import Coded
from catalog.vocabulary import PROOF_KINDS, PROOF_PLURALS
from catalog.whole_numbers import whole_number

NOTHING = MarkReading("", None, None, "arabic", (), "")
EXPECTED = "Expected such as 3/25, AP II/V, work or reference; mend the cell."
LOST = ("not kept", "not known")  # of such words the reading holds nothing, so the cell is kept as note


class Called(NamedTuple):
    """What a print is of, and what it is called; `kind` None is not designated."""

    of: Coded
    edition: Edition | None
    kind: str | None
    number: int | None


class Mark(NamedTuple):
    """A mark, the size of its edition where any column says it, and the name of that edition, "" where none does."""

    reading: MarkReading
    size: int | None
    edition: str


def read_called(row: Row, known: Known) -> Called | None:
    """What a row says of its edition and number; None where it was refused."""
    mark = _mark(row, known)
    if mark is None:
        return None
    try:
        edition, negative = _named(row, known, mark)
    except TirageError as refusal:
        row.refuse("edition" if mark.edition else "negative", refusal.sentence)
        return None
    kind = mark.reading.kind
    if edition is None:
        if negative is None:
            row.refuse("edition", "neither its edition nor its negative is named. Name one by code or title.")
            return None
        if not kind and known.has_open(negative):
            row.doubt(
                "edition", f"{negative.code} has an open edition, and this is not said to be of it; name it if it is"
            )
        return Called(negative, None, kind or None, None)
    if negative is not None and negative.id != edition.negative:
        row.refuse("negative", f"{edition.code} is no edition of {negative.code}. Mend one of the two.")
        return None
    reason = _misfit(known, edition, mark)
    if reason:
        row.refuse("number", reason)
        return None
    of = Coded(edition.id, edition.code, "edition")
    if kind not in PROOF_KINDS and kind != "numbered":
        return Called(of, edition, kind or None, None)
    number, numerals = mark.reading.number, mark.reading.numerals
    if number is not None and kind in PROOF_KINDS and numerals != edition.numerals:
        row.doubt(
            "number", f"read as {kind} {number}; {edition.code} numbers its proofs in {edition.numerals} numerals"
        )
    return Called(of, edition, kind, 1 if number is None else number)


def _mark(row: Row, known: Known) -> Mark | None:
    """The mark, which may stand in several columns: kind of print, number, of how many. None where refused."""
    named, text, size = _apart(row, known)
    found = _with_kind(row, text)
    if found is None:
        return None
    if found.why_not:
        row.refuse("number", f"{found.why_not} {EXPECTED}")
        return None
    for doubt in () if whole_number(text) is not None else found.doubts:
        row.keep("number", doubt) if any(words in doubt for words in LOST) else row.doubt("number", doubt)
    of = whole_number(size) if size else None
    if size and of is None:
        row.keep("of", f"“{size}” is no count")
    if found.kind in PROOF_KINDS:
        return Mark(found, of, named)
    if of is not None and found.of not in (None, of):
        row.refuse("of", f"it is of {of} here and of {found.of} in its number. Mend one of the two.")
        return None
    return Mark(found, of if found.of is None else found.of, named)


def _apart(row: Row, known: Known) -> tuple[str, str, str]:
    """The edition by name, the number and the size, where the column “edition” may hold any of the three.

    Beside a negative “Edition: 3/25” and “Edition: 25” are a number and a size, unless an edition goes by that.
    """
    named, text, size = row.get("edition"), row.get("number"), row.get("of")
    if not named or not row.get("negative") or known.has_edition(named):
        return named, text, size
    counted = read_edition_size(named)
    if counted is not None and not size:
        return "", text or ("open" if counted[0] is None else ""), str(counted[0] or "")
    return ("", named, size) if not text and not _one(named).why_not else (named, text, size)


def _with_kind(row: Row, text: str) -> MarkReading | None:
    """The mark with the kind that a column of its own tells; None where the two are at odds, which is refused."""
    kind = row.get("kind")
    if not kind or folded(kind) in NUMBERED:
        return _one(text)
    proof = proof_kind(kind) or TRIALS.get(folded(kind), "")
    if not proof:
        whole = _one(kind)
        if not text and not whole.why_not:
            return whole
        if whole.why_not:
            row.keep("kind", f"“{kind}” is no kind of print; expected one of {', '.join(PROOF_KINDS)}, work, reference")
        return _one(text)
    both = read_mark(f"{proof} {text}") if text and proof in PROOF_KINDS else NOTHING
    if both.kind == proof:
        return both
    found = _one(text)
    if found.kind in ("", proof):
        return found._replace(kind=proof, why_not=found.why_not)
    row.refuse("kind", f"it is {proof} here and “{text}” in the column beside. Mend one of the two.")
    return None


def _one(text: str) -> MarkReading:
    """One mark as read; nothing where the cell is empty or says that it has none."""
    word = folded(text)
    if not text or word in TRIALS:
        return NOTHING._replace(kind=TRIALS.get(word, ""))
    found = read_mark(text)
    # “ed. of 25”: the edition is told, and no number.
    return found._replace(kind="") if found.kind == "numbered" and found.number is None else found


def _named(row: Row, known: Known, mark: Mark) -> tuple[Edition | None, Coded | None]:
    """The edition and the negative a row names; where only the negative is, a number is of its one edition."""
    negative = known.negative(row.get("negative")) if row.get("negative") else None
    if mark.edition:
        return known.edition(mark.edition, mark.size), negative
    if negative is not None and (mark.reading.kind in (*PROOF_KINDS, "numbered", "open") or mark.size):
        return known.edition_of_negative(negative, mark.size), negative
    return None, negative


def _misfit(known: Known, edition: Edition, mark: Mark) -> str:
    """Why an edition has no such number, "" where it has."""
    code, reading = edition.code, mark.reading
    kind = reading.kind
    if edition.size is None and (kind == "numbered" or mark.size):
        return f"{code} is open and has no numbers. Name the edition that it is of."
    if kind == "open" and edition.size is not None:
        return f"{code} has {edition.size} numbers and is not open. Name the edition that it is of."
    if kind in PROOF_KINDS:
        count = known.proofs(edition.id).get(kind, 0)
        if not count and kind != "CP":
            return f"{code} declares no {PROOF_PLURALS[kind]}. Mend the cell, or declare an edition that has them."
        if reading.of not in (None, count):
            return f"it is of {reading.of}, and {code} declares {count} {PROOF_PLURALS[kind]}. Mend one of the two."
        if reading.number is None and count > 1:
            return (
                f"{code} has {count} {PROOF_PLURALS[kind]}; which of them this is is not said. Write such as {kind} 1."
            )
        return (
            "" if mark.size in (None, count, edition.size) else f"it is of {mark.size}, and {code} of {edition.size}."
        )
    if mark.size not in (None, edition.size):
        return (
            f"it is of {mark.size}, and {code} declares {edition.size}. Mend one of the two, or name another edition."
        )
    return ""
