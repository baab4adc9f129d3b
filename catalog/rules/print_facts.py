"""What a document may say of a print: public facts by an allow-list, worked out from the records as they are now."""

import sqlite3
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

from catalog.records import catalogs, edition_endings, edition_errata, editions, negatives, papers, prints
from catalog.records.items import code_of
from catalog.rules.disclosure import differences
from catalog.rules.evidence import Evidence, evidence_many
from catalog.rules.print_dates import print_dates
from catalog.rules.toning import toning
from catalog.vocabulary import GONE_STATES

Facts = dict[str, Any]


def public_facts(connection: sqlite3.Connection, print_id: int) -> Facts:
    """Everything that may leave the studio about one print, named one by one; nothing else does."""
    return next(public_facts_of(connection, [print_id]))


def public_facts_of(connection: sqlite3.Connection, ids: Sequence[int]) -> Iterator[Facts]:
    """The same of many prints, in their order; what they share is read once."""
    teller = _Teller(connection)
    proofs = evidence_many(connection, ids)
    for identity in ids:
        yield teller.facts(prints.read(connection, identity), proofs[identity])


class _Teller:
    """Tells the facts of prints; what is the same for many of them is kept."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection
        self.artist = catalogs.artist(connection)
        self.negative = cache(self._negative)
        self.edition = cache(self._edition)
        self.others = cache(self._others)
        self.read_edition = cache(lambda identity: editions.read(connection, identity))
        self.paper = cache(lambda identity: papers.read(connection, identity).description)

    def facts(self, found: prints.Print, proof: Evidence) -> Facts:
        """The facts of one print."""
        edition = self.read_edition(found.edition) if found.edition else None
        tone, paper = toning(self.connection, found.id), self.paper(found.paper) if found.paper else ""
        return {
            "artist": {"name": self.artist.name, "life": self.artist.life.strip("[]")},
            "title": edition.title if edition else negatives.read(self.connection, found.negative).title,
            "negative": self.negative(found.negative),
            "edition": self.edition(edition.id) if edition else None,
            "other_editions": [
                other for other in self.others(found.negative) if edition is None or other["code"] != edition.code
            ],
            "print": self._print(found, edition.process if edition else "", paper, tone),
            "signed": self._signed(found, bool(edition and edition.estate)),
            "evidence": _evidence(proof),
            "differs": differences(edition, paper, tone),
        }

    def _print(self, found: prints.Print, process: str, paper: str, tone: str) -> Facts:
        image, sheet = prints.image_size(self.connection, found), prints.sheet_size(self.connection, found)
        return {
            "code": found.code,
            "designation": self._designation(found),
            "made": found.made,
            "word": print_dates(self.connection, found).word,
            "process": process,
            "paper": paper,
            "toning": tone,
            "image": list(image) if image else None,
            "sheet": list(sheet) if sheet else None,
            "printed_by": found.printed_by,
            "supervised_by": found.supervised_by,
            "replaces": code_of(self.connection, found.replaces) if found.replaces else "",
        }

    def _designation(self, found: prints.Print) -> str:
        """What it is called; a catalog of long ago may call a print unique of which there are editions."""
        beside = found.kind == "unique" and self.others(found.negative)
        return "outside every edition" if beside else found.designation

    def _signed(self, found: prints.Print, estate: bool) -> Facts:
        return {
            "on": found.signed,
            "by": "" if not found.signed else "the estate" if estate else "the artist",
            "marks": [
                {"position": mark.position, "medium": mark.medium}
                for mark in prints.inscriptions(self.connection, found.id)
                if mark.signature
            ],
        }

    def _negative(self, identity: int) -> Facts:
        found = negatives.read(self.connection, identity)
        since = [one.happened for one in negatives.events(self.connection, identity) if one.state == found.state]
        return {
            "code": found.code,
            "made": found.made,
            "process": found.process,
            "support": found.support,
            "state": found.state if found.state in (*GONE_STATES, "lost", "deposited", "retired") else "kept",
            "state_since": since[-1] if since else "",
        }

    def _edition(self, identity: int) -> Facts:
        edition, proofs = self.read_edition(identity), editions.proofs(self.connection, identity)
        return {
            "code": edition.code,
            "title": edition.title,
            "size": edition.size,
            "closed_at": edition.closed_at,
            "proofs": proofs,
            "total": None if edition.size is None else (edition.closed_at or edition.size) + sum(proofs.values()),
            "declared": edition.declared,
            "state": edition.state,
            "estate": bool(edition.estate),
            **self._said_of(edition),
        }

    def _others(self, negative: int) -> list[Facts]:
        """Every edition of a negative, as it is told beside another one."""
        return [
            {
                "code": edition.code,
                "title": edition.title,
                "process": edition.process,
                "image": [edition.image_height, edition.image_width]
                if edition.image_height and edition.image_width
                else None,
                "statement": editions.statement(self.connection, edition),
                "state": edition.state,
                "estate": bool(edition.estate),
                **self._said_of(edition),
            }
            for edition in editions.listed(self.connection, negative)
        ]

    def _said_of(self, edition: editions.Edition) -> Facts:
        """What is printed with an edition wherever it is told: its disclosure, its errata, and how it ended."""
        ended = edition_endings.endings(self.connection, edition.id)
        return {
            "disclosure": edition.disclosure,
            "errata": [one.text for one in edition_errata.errata(self.connection, edition.id)],
            "ended": [{"state": one.state, "on": one.happened, "fate": one.fate} for one in ended],
        }


def _evidence(found: Evidence) -> Facts:
    return {
        "grade": found.grade,
        **{
            answer.question: {"grade": answer.grade, "sentence": answer.sentence, "doubts": list(answer.doubts)}
            for answer in (found.hypo, found.silver)
        },
    }
