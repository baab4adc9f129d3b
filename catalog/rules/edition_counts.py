"""Two counters of an image: what this edition gave out, and every signed and numbered print over all editions.

Law and market in the United States count the first; the European rules on value-added tax for photographs count the
second, over all sizes and supports (Directive 2006/112/EC, Annex IX part A (7)).
"""

import sqlite3
from dataclasses import dataclass

from catalog.records import editions

GIVEN = "SELECT kind, count(*) FROM edition_number WHERE edition = ? AND standing = 'given' GROUP BY kind"
SIGNED = """SELECT count(*) FROM print WHERE edition = ? AND signed <> '' AND kind = 'numbered' AND NOT EXISTS
    (SELECT 1 FROM print r WHERE r.replaces = print.id)"""
OPEN = "SELECT count(*) FROM print WHERE edition = ? AND signed <> '' AND kind = 'open'"
OF_IMAGE = """SELECT coalesce(sum(kind = 'numbered'), 0), coalesce(sum(kind <> 'numbered'), 0),
    coalesce(sum(state = 'destroyed'), 0), count(DISTINCT edition) FROM print
    WHERE negative = ? AND signed <> '' AND number IS NOT NULL"""


@dataclass(frozen=True)
class EditionCount:
    """What one edition gave out: numbers, how many of them are signed, proofs of each kind."""

    size: int | None  # the highest number there is, None for an open edition
    given: int
    signed: int
    proofs: dict[str, tuple[int, int]]  # kind -> given, declared

    def text(self) -> str:
        """“6 of 25 numbers given, 6 signed; proofs given: AP 1 of 3, BAT 0 of 1”."""
        run = (
            f"{self.signed} signed, without numbers"
            if self.size is None
            else f"{self.given} of {self.size} numbers given, {self.signed} signed"
        )
        proofs = ", ".join(f"{kind} {given} of {declared}" for kind, (given, declared) in self.proofs.items())
        return f"{run}; proofs given: {proofs}" if proofs else run


@dataclass(frozen=True)
class ImageCount:
    """Every signed and numbered print of one image, over all sizes and editions, the destroyed ones among them."""

    numbered: int
    proofs: int
    destroyed: int
    editions: int

    @property
    def all(self) -> int:
        """Numbered prints and proofs, destroyed ones too."""
        return self.numbered + self.proofs

    def text(self) -> str:
        """“9 signed and numbered over 2 editions: 7 numbered, 2 proofs; 1 of them destroyed”."""
        if not self.all:
            return "none signed and numbered yet"
        over = "1 edition" if self.editions == 1 else f"{self.editions} editions"
        proofs = "1 proof" if self.proofs == 1 else f"{self.proofs} proofs"
        gone = f"; {self.destroyed} of them destroyed" if self.destroyed else ""
        return f"{self.all} signed and numbered over {over}: {self.numbered} numbered, {proofs}{gone}"


def edition_count(connection: sqlite3.Connection, edition: editions.Edition) -> EditionCount:
    """What this edition gave out."""
    given = dict(connection.execute(GIVEN, (edition.id,)).fetchall())
    signed: int = connection.execute(OPEN if edition.size is None else SIGNED, (edition.id,)).fetchone()[0]
    declared = editions.proofs(connection, edition.id)
    return EditionCount(
        edition.closed_at or edition.size,
        given.get("numbered", 0),
        signed,
        {kind: (given.get(kind, 0), count) for kind, count in declared.items()},
    )


def image_count(connection: sqlite3.Connection, negative: int) -> ImageCount:
    """Every signed and numbered print of a negative, proofs included, a destroyed one and its replacement both."""
    return ImageCount(*connection.execute(OF_IMAGE, (negative,)).fetchone())
