"""The provenance sheet of a print: plate, edition, print, processing, owners and certificates."""

import sqlite3
from collections.abc import Mapping
from typing import Any

from catalog.documents import wording
from catalog.documents.presentation import square_address
from catalog.errors import TirageError
from catalog.records import certificates, prints
from catalog.rules.claims import GRADES_MEAN
from catalog.rules.evidence import Evidence, evidence
from catalog.rules.owner_facts import owner_facts
from catalog.rules.print_facts import public_facts
from catalog.rules.provenance import provenance
from catalog.rules.shown import is_shown
from catalog.rules.wash_record import WashRecord, wash_records
from labels.attachments import attach
from labels.errors import PaperError
from labels.sheet import Column, Section, SheetContent, Table, sheet

KIND = "Provenance and processing"
NOT_RECORDED = "No processing is recorded."


class SheetNotDrawnError(TirageError):
    """A sheet that cannot be put on paper as it is."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"The provenance sheet of {code} could not be drawn: {reason}")


def provenance_sheet(
    connection: sqlite3.Connection, print_id: int, address: str, private: bool, day: str = "", units: str = "metric"
) -> SheetContent:
    """Everything the sheet says; with `private` a studio copy, which names owners and prices.

    A print that is not public has no page, so its sheet has no square that would lead to one.
    """
    facts = public_facts(connection, print_id)
    found, record = facts["print"], wash_records(connection, [print_id], public=not private)[print_id]
    sections = [
        _plate(facts),
        _edition(facts, units),
        _print(facts, record),
        _processing(record, evidence(connection, print_id)),
        _owners(connection, print_id, private),
        _certificates(connection, print_id, private),
    ]
    if private:
        sections.append(_studio(connection, print_id))
    return SheetContent(
        kind=f"{KIND}, studio copy" if private else KIND,
        code=found["code"],
        artist=wording.artist(facts),
        title=facts["title"],
        subtitle=wording.joined([wording.material(facts), found["designation"]]),
        facts=tuple(
            pair
            for pair in (
                ("Negative", wording.negative(facts)),
                ("Dates", wording.dates(facts)),
                ("Printed", wording.made(facts)),
                ("Image", wording.size(found["image"], units)),
                ("Sheet", wording.size(found["sheet"], units)),
                ("Signed", wording.signed(facts)),
            )
            if pair[1]
        ),
        sections=tuple(section for section in sections if section.paragraphs or section.table or section.notes),
        footer=wording.joined(
            [
                "Studio copy: names and prices on it are private" if private else "From the artist's records",
                wording.date(day),
            ]
        ),
        address=square_address(address, "P", found["code"]) if is_shown(connection, print_id) else "",
    )


def drawn(content: SheetContent, page: str) -> bytes:
    """The sheet's PDF. Raises SheetNotDrawnError."""
    try:
        return attach(sheet(content, page), {}, f"{content.kind} {content.code}", content.artist, "en")
    except PaperError as problem:
        raise SheetNotDrawnError(content.code, problem.sentence) from None


def _plate(facts: Mapping[str, Any]) -> Section:
    plate = facts["negative"]
    described = wording.joined(
        [plate["code"], wording.joined([plate["process"], plate["support"]], " on "), wording.date(plate["made"])]
    )
    return Section("The plate", (wording.joined([f"{described}.", wording.negative_state(facts)], " "),))


def _edition(facts: Mapping[str, Any], units: str) -> Section:
    edition = facts["edition"]
    others = f"Other editions of this image: {wording.others(facts, units)}."
    if edition is None:
        said = f"This print is outside every edition. {others}"
        return Section("The edition", (said, *wording.edition_notes(facts)))
    state = "" if edition["state"] == "declared" or edition["ended"] else f"; {edition['state']}"
    declared = f"Declared {wording.date(edition['declared'])}{state}."
    said = f"{wording.edition(facts)}. {declared} {others}"
    return Section("The edition", (said, *wording.edition_notes(facts)))


def _print(facts: Mapping[str, Any], record: WashRecord) -> Section:
    """What the head of the sheet does not say of the print already."""
    found = facts["print"]
    said = [
        f"Toning: {found['toning'].rstrip('.')}. {record.protection}" if found["toning"] else "",
        f"It bears the number of {found['replaces']}, which was destroyed." if found["replaces"] else "",
    ]
    return Section("The print", (*(line for line in said if line), *facts["differs"]))


def _processing(record: WashRecord, found: Evidence) -> Section:
    rows = tuple((wording.date(line.happened), line.kind, line.detail) for line in record.lines)
    table = Table((Column("Date", 1.1), Column("Step", 0.9), Column("Detail", 3.4)), rows) if rows else None
    answers = [
        wording.joined([f"{name}: {answer.sentence}", *answer.doubts], " ")
        for name, answer in (("Hypo left", found.hypo), ("Silver left", found.silver))
    ]
    claims = found.claims
    if found.hypo.claim != found.silver.claim:  # each beside its own answer
        answers = [f"{answer} {said}" for answer, said in zip(answers, claims, strict=False)]
        claims = claims[len(answers) :]
    said = [*answers, wording.joined(claims, " ")]
    return Section(
        "Processing and residual chemistry",
        tuple(line for line in ("" if rows else NOT_RECORDED, *said) if line),
        table,
        (_grades(found),),
    )


def _grades(found: Evidence) -> str:
    """What the grades of this print mean, and no others."""
    named = dict.fromkeys((found.hypo.grade, found.silver.grade))
    means = "; ".join(f"“{grade}” means that {GRADES_MEAN[grade]}" for grade in named)
    return f"The grade {means}. A grade says what the records hold, not what the sheet will do."


def _owners(connection: sqlite3.Connection, print_id: int, private: bool) -> Section:
    found = provenance(connection, print_id, private)
    return Section(
        "Provenance",
        (found.text,) if found.text else ("No change of owner is recorded.",),
        None,
        tuple(note for note in (*found.notes, found.key_line) if note),
    )


def _certificates(connection: sqlite3.Connection, print_id: int, private: bool) -> Section:
    rows = tuple(
        (paper.code, wording.date(paper.issued), _standing(paper, private), paper.fingerprint[:16])
        for paper in certificates.of_print(connection, print_id)
    )
    if not rows:
        return Section("Certificates", ("No certificate was issued.",))
    return Section(
        "Certificates",
        (),
        Table(
            (Column("Number", 0.8), Column("Issued", 1.1), Column("Standing", 2), Column("Fingerprint begins", 1.3)),
            rows,
        ),
    )


def _standing(paper: certificates.Certificate, private: bool) -> str:
    if paper.standing == "superseded":
        return f"superseded by {paper.superseded_by}"
    # The reason is free text and may name a person, so only the studio copy gives it.
    return f"revoked: {paper.why}" if paper.standing == "revoked" and private else paper.standing


def _studio(connection: sqlite3.Connection, print_id: int) -> Section:
    last, note = owner_facts(connection, print_id), prints.read(connection, print_id).note
    sale = wording.joined(
        [
            last["kind"],
            wording.date(last["date"]),
            last["price"],
            f"from {last['seller']}" if last["seller"] else "",
            f"to {last['buyer']}" if last["buyer"] else "",
            last["standing"],
        ]
    )
    lines = (f"Last change of owner: {sale}." if sale else "", f"Note: {note}" if note else "")
    return Section("Studio only", tuple(line for line in lines if line))
