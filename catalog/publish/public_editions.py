"""Editions: what was declared, what is printed with them, how they ended, and the map of their numbers."""

import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from catalog.publish.public_words import date_words, public_word, size_words
from catalog.records import edition_endings, edition_errata, editions
from catalog.rules.edition_counts import edition_count, image_count
from catalog.rules.edition_map import Held, edition_map
from catalog.rules.edition_words import ended
from catalog.vocabulary import PROOF_KINDS

# An edition is public when it is shown or its negative is.
EDITIONS = """SELECT e.id, code.code, n.made, n.shown OR NOT EXISTS
    (SELECT 1 FROM edition o WHERE o.negative = n.id AND o.shown = 0)
    FROM edition e JOIN negative n ON n.id = e.negative JOIN code ON code.id = n.id
    WHERE e.shown = 1 OR n.shown = 1 ORDER BY e.id"""

ADD_EDITION = f"INSERT INTO edition VALUES ({', '.join('?' * 17)})"
ADD_ERRATUM = "INSERT INTO edition_erratum VALUES (?, ?, ?, ?)"
ADD_NUMBER = "INSERT INTO edition_number VALUES (?, ?, ?, ?, ?, ?, ?)"

STATES = {"declared": "open"}
KINDS = ("numbered", *PROOF_KINDS)
CELLS = 1_000_000  # numbers of one kind stand together on the map


@dataclass(frozen=True)
class Shown:
    """An edition that is copied; `whole` when every other edition of its image is copied too."""

    edition: editions.Edition
    negative: str
    negative_made: str
    whole: bool
    proofs: dict[str, int]


def shown_editions(source: sqlite3.Connection) -> list[Shown]:
    """Every public edition, in order."""
    found = []
    for identity, negative, made, whole in source.execute(EDITIONS).fetchall():
        edition = editions.read(source, identity)
        found.append(Shown(edition, negative, made, bool(whole), editions.proofs(source, identity)))
    return found


def copy_edition(source: sqlite3.Connection, public: sqlite3.Connection, shown: Shown, position: int) -> None:
    """Copy one edition with its errata."""
    found = shown.edition
    public.execute(
        ADD_EDITION,
        (
            found.code,
            shown.negative,
            found.title,
            found.size,
            editions.statement(source, found) + (", printed for the estate" if found.estate else ""),
            size_words(found.image_height, found.image_width),
            size_words(found.sheet_height, found.sheet_width),
            found.process,
            found.paper,
            found.toning,
            date_words(found.declared),
            STATES.get(found.state, found.state),
            _ended(source, found),
            found.disclosure,
            edition_count(source, found).text(),
            # Of an image that is not wholly public this would be half the truth, or tell of what is not shown.
            image_count(source, found.negative).text() if shown.whole else "",
            position,
        ),
    )
    errata = edition_errata.errata(source, found.id)
    public.executemany(
        ADD_ERRATUM,
        [(found.code, place, date_words(one.happened), one.text) for place, one in enumerate(errata, 1)],
    )


def copy_numbers(
    source: sqlite3.Connection, public: sqlite3.Connection, shown: Iterable[Shown], holders: dict[int, list[Held]]
) -> None:
    """Copy the maps of editions, whose prints are in `holders`."""
    for one in shown:
        public.executemany(ADD_NUMBER, _numbers(source, one.edition, holders[one.edition.id]))


def _numbers(source: sqlite3.Connection, edition: editions.Edition, prints: list[Held]) -> Iterator[tuple[object, ...]]:
    for cell in edition_map(source, edition, prints):
        # Without a print a number is promised, struck out, or still to come.
        ahead = cell.standing if cell.standing in ("reserved", "void") else "free"
        words = public_word(cell.standing if cell.code else ahead, cell.reserved)
        place = KINDS.index(cell.kind) * CELLS + cell.number
        yield (edition.code, cell.kind, cell.number, cell.label, words, cell.code or None, place)


def _ended(source: sqlite3.Connection, edition: editions.Edition) -> str:
    """How it ended and what became of the negative, in sentences; why is a private note."""
    return " ".join(
        ended("", one.state, one.happened, one.fate, edition.closed_at)
        for one in edition_endings.endings(source, edition.id)
    )
