"""Routines in words: what they ask for, what proves them, and what is missing."""

import sqlite3
from typing import TYPE_CHECKING

from catalog.cli.desk import Desk

if TYPE_CHECKING:
    from catalog.records.routines import Batch, Routine
    from catalog.rules.routines import Proof, Prover


def terms_text(routine: "Routine") -> str:
    """What a routine asks for, in words."""
    from catalog.quantities import format_duration, format_temperature

    fix = f"fix {format_duration(routine.fix_seconds)} in {routine.fixer}"
    if routine.second_fix_seconds:
        fix += f", and {format_duration(routine.second_fix_seconds)} in a second one"
    wash = f"wash {format_duration(routine.wash_seconds)} in “{routine.washer_name}” after the last bath"
    if routine.changes:
        wash += f", {routine.changes} changes of water or more"
    if routine.celsius is not None:
        wash += f", at {format_temperature(routine.celsius)} or warmer"
    if routine.sheets:
        wash += f", {routine.sheets} sheet{'s' if routine.sheets > 1 else ''} at most"
    aid = f"{routine.wash_aid} for {format_duration(routine.wash_aid_seconds or 0)}" if routine.wash_aid else ""
    tone = f"tone in {routine.toner.replace('; ', ', then ')}" if routine.toner else "no toner"
    return "; ".join(part for part in (fix, aid, tone, wash) if part)


def row(desk: Desk, connection: sqlite3.Connection, routine: "Routine") -> dict[str, object]:
    """A routine as it is listed, with its proof on the newest paper of its stock."""
    from catalog.vocabulary import QUESTIONS

    prover = _prover(connection, routine)
    batch = _in_use(connection, routine)
    proofs = {q: prover.standing(routine, batch.id, q, desk.now.date().isoformat()) for q in QUESTIONS}
    return {
        "name": routine.name,
        "paper": routine.stock,
        "what": terms_text(routine),
        "batch": batch.name,
        **{q: _standing(routine, proof) for q, proof in proofs.items()},
        "begun": desk.date(routine.begun),
        "ended": desk.date(routine.ended),
    }


def told(connection: sqlite3.Connection, routine: "Routine", today: str) -> list[str]:
    """A routine in plain words, and its proof for each batch of its paper."""
    from catalog.cli.tables import facts
    from catalog.dates import parse_date
    from catalog.records import routines
    from catalog.vocabulary import QUESTIONS

    strips = "1 clean strip" if routine.tests == 1 else f"{routine.tests} clean strips in a row"
    ended = f"; ended on {parse_date(routine.ended).text()}" if routine.ended else ""
    lines = [
        facts(
            [
                ("paper", routine.stock),
                ("way", terms_text(routine)),
                ("proof", f"{strips}; it holds for {routine.lapse_days} days from the newest ({routine.basis})"),
                ("since", f"{parse_date(routine.begun).text()}{ended}"),
                ("note", routine.note),
            ]
        )
    ]
    prover = _prover(connection, routine)
    for batch in routines.batches(connection, routine):
        lines.append(f"On {_batch_words(batch)}")
        for question in QUESTIONS:
            proof = prover.standing(routine, batch.id, question, today)
            lines.append(f"  {question:<6}  {_proof_words(routine, proof)}")
    return lines


def proof_rows(connection: sqlite3.Connection, routine: "Routine", today: str) -> list[dict[str, object]]:
    """A routine with its proof, a row for each batch and question."""
    from catalog.records import routines
    from catalog.vocabulary import QUESTIONS

    prover = _prover(connection, routine)
    rows: list[dict[str, object]] = []
    for batch in routines.batches(connection, routine):
        for question in QUESTIONS:
            proof = prover.standing(routine, batch.id, question, today)
            rows.append(
                {
                    **routine._asdict(),
                    "batch": batch.name,
                    "question": question,
                    "proved": proof.holds,
                    "clean": len(proof.clean),
                    "newest": proof.newest,
                    "lapses": proof.lapses,
                    "spoiled": proof.spoiled,
                }
            )
    return rows


def _standing(routine: "Routine", proof: "Proof") -> str:
    from catalog.dates import parse_date

    if proof.holds:
        return f"proved to {parse_date(proof.lapses).text()}"
    if proof.lapsed and proof.newest and not proof.spoiled:
        return "ended" if routine.ended else "lapsed"
    return f"{len(proof.clean)} of {proof.wanted}"


def _proof_words(routine: "Routine", proof: "Proof") -> str:
    """The standing of a proof, and what is missing."""
    from catalog.dates import parse_date

    count, enough = f"{len(proof.clean)} of {proof.wanted} clean", len(proof.clean) == proof.wanted
    if proof.newest:
        count += f", the newest on {parse_date(proof.newest).text()}"
    missing = "" if enough else f"; {_more(proof.wanted - len(proof.clean))}"
    if proof.spoiled:
        since = f", since {parse_date(proof.spoiled).text()}, when one was not clean"
        left = proof.wanted if enough else proof.wanted - len(proof.clean)
        return f"not proved: {count}{since}; {_more(left)}"
    if routine.ended:
        return f"ended on {parse_date(routine.ended).text()}: {count}"
    if proof.holds:
        return f"proved: {count}; lapses on {parse_date(proof.lapses).text()}"
    if proof.newest and proof.lapsed and enough:
        return f"lapsed on {parse_date(proof.lapses).text()}: {count}; test one more strip"
    return f"not proved yet: {count}{missing}"


def _more(count: int) -> str:
    return "test one more strip" if count == 1 else f"test {count} more strips"


def _batch_words(batch: "Batch") -> str:
    return f"“{batch.name}”" + (f" (batch {batch.batch})" if batch.batch else "")


def _in_use(connection: sqlite3.Connection, routine: "Routine") -> "Batch":
    """The newest paper of its stock."""
    from catalog.records import routines

    return routines.batches(connection, routine)[-1]


def _prover(connection: sqlite3.Connection, routine: "Routine") -> "Prover":
    from catalog.rules.routines import prover_of

    return prover_of(connection, [routine])
