"""The whole chain of one print, for a person to read: plate, edition, processing, tests, place, owner."""

import sqlite3

from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.measures import format_size
from catalog.records import certificates, editions, imports, items, negatives, papers, places, prints, transfers
from catalog.records.steps import history
from catalog.rules.consignments import WORDS, standing_now
from catalog.rules.evidence import Answer, evidence
from catalog.rules.print_dates import print_dates
from catalog.rules.provenance import provenance
from catalog.rules.toning import protection_words, toning
from catalog.rules.wash_record import wash_record


def chain(connection: sqlite3.Connection, identity: int) -> tuple[list[tuple[str, object]], str]:
    """The facts of a print as pairs, and everything as text."""
    one = prints.read(connection, identity)
    plate = negatives.read(connection, one.negative)
    edition = editions.read(connection, one.edition) if one.edition else None
    now = transfers.standing(connection, identity)
    proof, standing = evidence(connection, identity), standing_now(connection, identity)
    image, sheet = prints.image_size(connection, one), prints.sheet_size(connection, one)
    pairs: list[tuple[str, object]] = [
        ("code", one.code),
        ("designation", one.designation),
        ("title", edition.title if edition else plate.title),
        (
            "plate",
            f"{plate.code}, {plate.process}"
            + (f", {parse_date(plate.made).text()}" if plate.made else "")
            + f" ({plate.state})",
        ),
        ("edition", f"{edition.code}: {editions.statement(connection, edition)}" if edition else ""),
        ("dates", print_dates(connection, one).text()),
        ("printed", parse_date(one.made).text() + (f" by {one.printed_by}" if one.printed_by else "")),
        ("paper", papers.read(connection, one.paper).description if one.paper else ""),
        ("toning", toning(connection, identity)),
        ("image", format_size(*image) if image else ""),
        ("sheet", format_size(*sheet) if sheet else ""),
        ("signed", parse_date(one.signed).text() if one.signed else ""),
        ("replaces", items.code_of(connection, one.replaces) if one.replaces else ""),
        ("state", one.state),
        ("evidence", proof.grade),
        ("place", places.path_of(connection, now.place) if now.place else ""),
        ("with", now.custodian_name),
        ("owner", now.owner_name),
        ("standing", WORDS.get(standing, standing)),
        ("certificates", ", ".join(_certificate(paper) for paper in certificates.of_print(connection, identity))),
        ("presentation", one.presentation),
        ("note", one.note),
        ("from its list", imports.told(connection, "prints", identity)),
    ]
    parts = [facts(pairs)]
    marks = prints.inscriptions(connection, identity)
    if marks:
        parts.append("On the print\n" + "\n".join(f"  {_mark(m)}" for m in marks))
    steps = wash_record(connection, identity, public=False)
    if steps:
        parts.append(
            "Processing\n"
            + "\n".join(
                f"  {parse_date(line.happened).text()}  {line.kind}{f': {line.detail}' if line.detail else ''}"
                for line in steps
            )
        )
    routine = [f"Worked within your routine “{proof.routine}”."] if proof.routine else []
    if not routine and (proof.hypo.untested or proof.silver.untested):
        from catalog.rules.proof_sentences import why_not  # only where a routine might have answered

        routine = why_not(connection, identity)
    protection = protection_words(history(connection, identity))
    toned = [f"Toning. {protection}"] if protection else []
    answers = "\n".join(_said(answer) for answer in (proof.hypo, proof.silver))
    parts.append("\n  ".join([f"Evidence of permanence\n{answers}", *proof.claims, *toned, *routine]))
    story = provenance(connection, identity, private=True)
    parts.append("Provenance (for the studio)\n  " + story.text)
    return pairs, "\n".join(parts)


def _mark(one: prints.Inscription) -> str:
    """What stands on a print, and where and with what it was written as far as that is told."""
    return ", ".join(filter(None, (f"“{one.text}”", one.position, one.medium)))


def _said(answer: Answer) -> str:
    """One of the two answers, with its doubts below it."""
    doubts = "".join(f"\n    Mind: {doubt}" for doubt in answer.doubts)
    return f"  {answer.question.capitalize()} left. {answer.sentence}{doubts}"


def _certificate(paper: certificates.Certificate) -> str:
    return paper.code if paper.standing == "valid" else f"{paper.code} ({paper.standing})"
