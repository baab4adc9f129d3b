"""Editions: a declared set of impressions of one image in one size and process, and its numbers."""

import sqlite3
from collections.abc import Mapping
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.marks import HIGHEST_ROMAN
from catalog.records import negatives
from catalog.records.edition_errata import sentence
from catalog.records.items import Coded, give_codes
from catalog.records.lifetime import refuse_edition
from catalog.records.negatives import LONGEST_TITLE
from catalog.records.second_editions import Candidate, refuse_second
from catalog.records.uniqueness import UniqueExistsError, unique_of
from catalog.store.rows import fetch_all, fetch_one
from catalog.vocabulary import NUMERALS, PROOF_KINDS, PROOF_PLURALS

COLUMNS = """e.id, code.code, e.negative, e.title, e.size, e.image_height, e.image_width, e.sheet_height, e.sheet_width,
    e.process, e.paper, e.toning, e.estate, e.declared, e.earliest, e.closed_at, e.state, e.note, e.shown,
    e.numerals, e.disclosure"""
READ = f"SELECT {COLUMNS} FROM edition e JOIN code ON code.id = e.id"
ADD = """INSERT INTO edition (id, negative, title, size, image_height, image_width, process, paper, toning, estate,
    sheet_height, sheet_width, declared, earliest, latest, note, numerals, disclosure)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_PROOFS = "INSERT INTO edition_proofs (edition, kind, count) VALUES (?, ?, ?)"
PROOFS = "SELECT kind, count FROM edition_proofs WHERE edition = ?"
STANDING = "SELECT standing FROM edition_number WHERE edition = ? AND kind = ? AND number = ?"
NUMBERS = "SELECT kind, number, standing FROM edition_number WHERE edition = ?"
# Numbers mostly have no gap among them, which a count tells; only where there is one it is looked for, pair by pair.
TAKEN = "SELECT count(*), max(number) FROM edition_number WHERE edition = ? AND kind = ? AND standing <> 'free'"
NEXT_FREE = """SELECT 1 WHERE NOT EXISTS (SELECT 1 FROM edition_number WHERE edition = ?1 AND kind = ?2 AND number = 1
        AND standing <> 'free')
    UNION ALL SELECT number + 1 FROM (SELECT t.number FROM edition_number t WHERE t.edition = ?1 AND t.kind = ?2
        AND t.number < ?3 AND t.standing <> 'free' AND NOT EXISTS (SELECT 1 FROM edition_number n WHERE n.edition = ?1
        AND n.kind = ?2 AND n.number = t.number + 1 AND n.standing <> 'free') ORDER BY t.number LIMIT 1)
    LIMIT 1"""
BEYOND_SIZE = 100_000


class NumberRefusedError(TirageError):
    """A number that the edition does not have, or that something holds already."""

    def __init__(self, edition: str, label: str, reason: str, remedy: str, verb: str = "given") -> None:
        super().__init__(f"{label} of {edition} cannot be {verb}: {reason}. {remedy}")


class EditionFullError(TirageError):
    """One number more than was declared."""

    def __init__(self, edition: str, kind: str, limit: int) -> None:
        what = "numbers" if kind == "numbered" else PROOF_PLURALS[kind]
        has = f"has {limit} {what}, and all are given, reserved or void" if limit else f"has no {what}"
        super().__init__(
            f"{edition} {has}; what was declared never grows. Keep the print as a work print, or declare another "
            f"edition and disclose both."
        )


class GoneNegativeError(TirageError):
    """An edition of a negative that prints nothing any more."""

    def __init__(self, negative: str, state: str, since: str) -> None:
        super().__init__(
            f"No edition of {negative} was declared: it is {state} since {since}, and nothing is printed from it after "
            f"that. One that was declared before has its own day: --on DATE."
        )


class Edition(NamedTuple):
    """One edition; `size` None means open, without numbers. Lengths in micrometres."""

    id: int
    code: str
    negative: int
    title: str
    size: int | None
    image_height: int | None
    image_width: int | None
    sheet_height: int | None
    sheet_width: int | None
    process: str
    paper: str
    toning: str
    estate: int
    declared: str
    earliest: str
    closed_at: int | None
    state: str
    note: str
    shown: int
    numerals: str
    disclosure: str


def read(connection: sqlite3.Connection, identity: int) -> Edition:
    """One edition by its identity."""
    found = fetch_one(connection, Edition, f"{READ} WHERE e.id = ?", (identity,))
    assert found is not None, identity
    return found


def listed(connection: sqlite3.Connection, negative: int | None = None) -> list[Edition]:
    """Editions in order, of one negative or of all."""
    if negative is None:
        return fetch_all(connection, Edition, f"{READ} ORDER BY e.id")
    return fetch_all(connection, Edition, f"{READ} WHERE e.negative = ? ORDER BY e.id", (negative,))


def declare(
    connection: sqlite3.Connection,
    event: Event,
    negative: int,
    title: str,
    size: int | None,
    proofs: Mapping[str, int],
    *,
    own_code: str | None = None,
    image: tuple[int, int] | None = None,
    sheet: tuple[int, int] | None = None,
    process: str = "",
    paper: str = "",
    toning: str = "",
    estate: bool = False,
    numerals: str = "arabic",
    disclosure: str = "",
) -> Coded:
    """Declare an edition: numbered (`size`) or open (None), with so many proofs of each kind.

    Raises NotUnderstood, LifetimeError, GoneNegativeError, UniqueExistsError, SecondEditionError, OwnCodeError,
    CodeTakenError.
    """
    _refuse_counts(proofs, numerals)
    _refuse_words(title, size)
    refuse_edition(connection, event, estate)
    _refuse_image(connection, event, negative)
    disclosure = sentence("a disclosure", disclosure) if disclosure else ""
    height, width = image or (None, None)
    candidate = Candidate(0, "", size, height, width, process, paper, toning, int(estate))
    refuse_second(connection, negative, candidate, disclosure)
    thing = give_codes(connection, "edition", 1, own_code)[0]
    made_of = (*candidate[2:], *(sheet or (None, None)))  # its size, image, process, paper, toning, whose; its sheet
    said = (*event.columns[:3], event.note, numerals, disclosure)
    connection.execute(ADD, (thing.id, negative, title, *made_of, *said))
    connection.executemany(ADD_PROOFS, [(thing.id, kind, count) for kind, count in proofs.items()])
    return thing


def _refuse_image(connection: sqlite3.Connection, event: Event, negative: int) -> None:
    """Raise GoneNegativeError, UniqueExistsError for an image of which no edition is possible."""
    plate = negatives.read(connection, negative)
    gone = negatives.gone_before(connection, negative, event.moment.earliest)
    if gone:
        raise GoneNegativeError(plate.code, gone.state, parse_date(gone.happened).text())
    unique = unique_of(connection, negative)
    if unique:
        raise UniqueExistsError(plate.code, unique)


def _refuse_words(title: str, size: int | None) -> None:
    """Raise NotUnderstood for a title or a size that no edition has."""
    if size is not None and not 0 < size < BEYOND_SIZE:
        raise NotUnderstood("the size of an edition", str(size), "a whole number from 1 to 99999, or the word “open”")
    if not 0 < len(title.strip()) <= LONGEST_TITLE:
        raise NotUnderstood("a title", title[:60], f"1 to {LONGEST_TITLE} characters")


def _refuse_counts(proofs: Mapping[str, int], numerals: str) -> None:
    """Raise NotUnderstood for proofs that nobody can count, or not in these numerals."""
    if numerals not in NUMERALS:
        raise NotUnderstood("the numerals of proofs", numerals, " or ".join(NUMERALS))
    for kind, count in proofs.items():
        if kind not in PROOF_KINDS or count < 1:
            raise NotUnderstood(
                "a count of proofs",
                f"{kind} {count}",
                "a kind among " + ", ".join(PROOF_KINDS) + " and a number from 1 on",
            )
        if numerals == "roman" and count > HIGHEST_ROMAN:
            raise NotUnderstood("a count of proofs in Roman numerals", f"{kind} {count}", f"at most {HIGHEST_ROMAN}")


def proofs(connection: sqlite3.Connection, identity: int) -> dict[str, int]:
    """Kind of proof -> how many were declared, in the usual order."""
    found = {row[0]: row[1] for row in connection.execute(PROOFS, (identity,))}
    return {kind: found[kind] for kind in PROOF_KINDS if kind in found}


def limit(connection: sqlite3.Connection, edition: Edition, kind: str) -> int:
    """The highest number of a kind that can be given."""
    if kind == "numbered":
        return edition.closed_at or edition.size or 0
    return proofs(connection, edition.id).get(kind, 0)


def standing_of(connection: sqlite3.Connection, edition: Edition, kind: str, number: int) -> str:
    """How a number stands in the register: reserved, given, void or free; "" where nothing was said of it yet."""
    row = connection.execute(STANDING, (edition.id, kind, number)).fetchone()
    return str(row[0]) if row else ""


def next_number(connection: sqlite3.Connection, edition: Edition, kind: str = "numbered") -> int:
    """The lowest number that is neither given, reserved nor void. Raises EditionFullError."""
    most = limit(connection, edition, kind)
    taken, highest = connection.execute(TAKEN, (edition.id, kind)).fetchone()
    if taken == highest and taken < most:
        return int(taken) + 1
    row = connection.execute(NEXT_FREE, (edition.id, kind, most)).fetchone() if most else None
    if row is None:
        raise EditionFullError(edition.code, kind, most)
    return int(row[0])


def statement(connection: sqlite3.Connection, edition: Edition) -> str:
    """The edition in words: “25 numbered, 3 artist's proofs, 1 printer's proof”."""
    if edition.size is None:
        parts = ["open edition, not numbered"]
    elif edition.closed_at:
        parts = [f"{edition.size} declared, closed early at {edition.closed_at}"]
    else:
        parts = [f"{edition.size} numbered"]
    parts += [
        f"{count} {PROOF_KINDS[kind] if count == 1 else PROOF_PLURALS[kind]}"
        for kind, count in proofs(connection, edition.id).items()
    ]
    return ", ".join(parts)


def show(connection: sqlite3.Connection, identity: int, shown: bool) -> None:
    """Mark an edition as one that may be published, or not."""
    connection.execute("UPDATE edition SET shown = ? WHERE id = ?", (int(shown), identity))
