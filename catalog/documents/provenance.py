"""The provenance sheet of a print: plate, edition, print, processing, owners and certificates."""

import sqlite3
from collections.abc import Mapping
from typing import Any

from catalog.documents import wording
from catalog.documents.presentation import square_address
from catalog.errors import TirageError
from catalog.records import certificates, prints
from catalog.rules.evidence import evidence
from catalog.rules.owner_facts import owner_facts
from catalog.rules.print_facts import public_facts
from catalog.rules.provenance import provenance
from catalog.rules.wash_record import wash_record
from labels.attachments import attach
from labels.errors import PaperError
from labels.sheet import Column, Section, SheetContent, Table, sheet

KIND = "Provenance and processing"
NOT_RECORDED = "No processing is recorded."
EVIDENCE_NOTE = (
    "A grade says what the records hold, not what the sheet will do: measured, spot-tested, by proven "
    "routine, recorded, unrecorded, failed."
)


class SheetNotDrawnError(TirageError):
    """A sheet that cannot be put on paper as it is."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"The provenance sheet of {code} could not be drawn: {reason}")


def provenance_sheet(
    connection: sqlite3.Connection, print_id: int, address: str, private: bool, day: str = "", units: str = "metric"
) -> SheetContent:
    """Everything the sheet says; with `private` a studio copy, which names owners and prices."""
    facts = public_facts(connection, print_id)
    found = facts["print"]
    sections = [
        _plate(facts),
        _edition(facts, units),
        _print(facts, units),
        _processing(connection, print_id, private),
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
        address=square_address(address, "P", found["code"]),
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
        return Section("The edition", ("This print is outside every edition.", others, *wording.edition_notes(facts)))
    state = "" if edition["state"] == "declared" or edition["ended"] else f"; {edition['state']}"
    declared = f"Declared {wording.date(edition['declared'])}{state}."
    return Section("The edition", (f"{wording.edition(facts)}.", declared, others, *wording.edition_notes(facts)))


def _print(facts: Mapping[str, Any], units: str) -> Section:
    found = facts["print"]
    said = [
        f"{wording.joined([found['code'], found['designation']])}: {wording.material(facts)}."
        if wording.material(facts)
        else f"{wording.joined([found['code'], found['designation']])}.",
        f"Toning: {found['toning'].rstrip('.')}." if found["toning"] else "",
        f"It bears the number of {found['replaces']}, which was destroyed." if found["replaces"] else "",
    ]
    return Section("The print", (*(line for line in said if line), *facts["differs"]))


def _processing(connection: sqlite3.Connection, print_id: int, private: bool) -> Section:
    record = wash_record(connection, print_id, public=not private)
    found = evidence(connection, print_id)
    rows = tuple((wording.date(line.happened), line.kind, line.detail) for line in record)
    table = Table((Column("Date", 1.1), Column("Step", 0.9), Column("Detail", 3.4)), rows) if rows else None
    answers = []
    for name, answer in (("Hypo left", found.hypo), ("Silver left", found.silver)):
        answers.append(wording.joined([f"{name}: {answer.sentence}", *answer.doubts], " "))
    return Section(
        "Processing and residual chemistry",
        tuple(answers if rows else [NOT_RECORDED, *answers]),
        table,
        (*found.claims, EVIDENCE_NOTE),
    )


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
