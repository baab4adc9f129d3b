"""What a document may say of a print: public facts by an allow-list, private ones kept apart."""

import sqlite3
from typing import Any

from catalog.records import (
    catalogs,
    edition_endings,
    edition_errata,
    editions,
    negatives,
    papers,
    parties,
    prints,
    transfers,
)
from catalog.records.items import code_of
from catalog.rules.disclosure import differences
from catalog.rules.evidence import evidence
from catalog.rules.print_dates import print_dates
from catalog.rules.toning import toning
from catalog.vocabulary import GONE_STATES

TITLE_KINDS = ("sale", "gift", "bequest", "exchange")


def public_facts(connection: sqlite3.Connection, print_id: int) -> dict[str, Any]:
    """Everything that may leave the studio about one print, named one by one; nothing else does."""
    found = prints.read(connection, print_id)
    artist = catalogs.artist(connection)
    edition = editions.read(connection, found.edition) if found.edition else None
    proofs = editions.proofs(connection, edition.id) if edition else {}
    image, sheet = prints.image_size(connection, found), prints.sheet_size(connection, found)
    tone = toning(connection, print_id)
    paper = papers.read(connection, found.paper).description if found.paper else ""
    return {
        "artist": {"name": artist.name, "life": artist.life.strip("[]")},
        "title": edition.title if edition else negatives.read(connection, found.negative).title,
        "negative": _negative(connection, found.negative),
        "edition": None if edition is None else _edition(connection, edition, proofs),
        "other_editions": [
            _other(connection, other)
            for other in editions.listed(connection, found.negative)
            if edition is None or other.id != edition.id
        ],
        "print": {
            "code": code_of(connection, print_id),
            "designation": found.designation,
            "made": found.made,
            "word": print_dates(connection, found).word,
            "process": edition.process if edition else "",
            "paper": paper,
            "toning": tone,
            "image": list(image) if image else None,
            "sheet": list(sheet) if sheet else None,
            "printed_by": found.printed_by,
            "supervised_by": found.supervised_by,
            "replaces": code_of(connection, found.replaces) if found.replaces else "",
        },
        "signed": {
            "on": found.signed,
            "by": "" if not found.signed else "the estate" if edition and edition.estate else "the artist",
            "marks": [
                {"position": mark.position, "medium": mark.medium}
                for mark in prints.inscriptions(connection, print_id)
                if mark.signature
            ],
        },
        "evidence": _evidence(connection, print_id),
        "differs": differences(edition, paper, tone),
    }


def private_facts(connection: sqlite3.Connection, print_id: int) -> dict[str, Any]:
    """The last change of owner: who from, who to, when, for what price. Stays in the studio."""
    changes = [change for change in transfers.of_item(connection, print_id) if change.kind in TITLE_KINDS]
    if not changes:
        return {"kind": "", "date": "", "price": "", "buyer": "", "seller": ""}
    last = changes[-1]
    names = {party: parties.read(connection, party).name for party in (last.from_party, last.to_party) if party}
    return {
        "kind": last.kind,
        "date": last.happened,
        "price": last.money.text() if last.money else "",
        "buyer": names.get(last.to_party or 0, ""),
        "seller": names.get(last.from_party or 0, ""),
    }


def _negative(connection: sqlite3.Connection, identity: int) -> dict[str, Any]:
    found = negatives.read(connection, identity)
    since = [
        happening.happened for happening in negatives.events(connection, identity) if happening.state == found.state
    ]
    return {
        "code": found.code,
        "made": found.made,
        "process": found.process,
        "support": found.support,
        "state": found.state if found.state in (*GONE_STATES, "lost", "deposited", "retired") else "kept",
        "state_since": since[-1] if since else "",
    }


def _edition(connection: sqlite3.Connection, edition: editions.Edition, proofs: dict[str, int]) -> dict[str, Any]:
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
        **_said_of(connection, edition),
    }


def _other(connection: sqlite3.Connection, edition: editions.Edition) -> dict[str, Any]:
    image = [edition.image_height, edition.image_width] if edition.image_height and edition.image_width else None
    return {
        "code": edition.code,
        "title": edition.title,
        "process": edition.process,
        "image": image,
        "statement": editions.statement(connection, edition),
        "state": edition.state,
        "estate": bool(edition.estate),
        **_said_of(connection, edition),
    }


def _said_of(connection: sqlite3.Connection, edition: editions.Edition) -> dict[str, Any]:
    """What is printed with an edition wherever it is told: its disclosure, its errata, and how it ended."""
    ended = edition_endings.endings(connection, edition.id)
    return {
        "disclosure": edition.disclosure,
        "errata": [one.text for one in edition_errata.errata(connection, edition.id)],
        "ended": [{"state": one.state, "on": one.happened, "fate": one.fate} for one in ended],
    }


def _evidence(connection: sqlite3.Connection, print_id: int) -> dict[str, Any]:
    found = evidence(connection, print_id)
    return {
        "grade": found.grade,
        **{
            answer.question: {"grade": answer.grade, "sentence": answer.sentence, "doubts": list(answer.doubts)}
            for answer in (found.hypo, found.silver)
        },
    }
