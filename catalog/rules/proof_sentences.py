"""Proofs in sentences: what a routine says of a print, or why it says nothing."""

import sqlite3
from collections.abc import Sequence
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.quantities import format_residue
from catalog.records import routines
from catalog.records.items import shorten
from catalog.records.loads import Wet
from catalog.records.routines import Routine
from catalog.rules.alike import add_timelines
from catalog.rules.routines import Proof, Prover, prover_of
from catalog.rules.tested import Target, date_text
from catalog.rules.within import Worked
from catalog.vocabulary import QUESTIONS


def why_not(connection: sqlite3.Connection, print_id: int) -> list[str]:
    """Why none of the routines then in use answers for a print, a sentence each, for the studio alone."""
    paper = routines.papers_of(connection, [print_id]).get(print_id)
    prover = prover_of(connection, routines.listed(connection) if paper else [])
    told = []
    for routine in prover.of_stock(paper.description) if paper else ():
        add_timelines(connection, prover.lines, {print_id: print_id}, set(prover.lines.of))
        how = prover.worked(routine, prover.lines.of.get(print_id, []))
        if how.why_not or how.loose:
            told.append(f"Not within your routine “{routine.name}”: {how.why_not or how.loose}.")
        elif how.first < routine.begun or (routine.ended and how.last > routine.ended):
            told.append(f"Worked as your routine “{routine.name}” asks, but not while it was in use.")
        elif paper:
            why = _why_unproved(prover, routine, paper.id, how)
            told.append(f"Worked within your routine “{routine.name}”, but {why}.")
    return told


def _why_unproved(prover: Prover, routine: Routine, paper: int, how: Worked) -> str:
    """Why the tests did not prove a routine for what was worked within it."""
    if not any(tests.dated or tests.loose for tests in prover.tests_on(paper).values()):
        return "no strip of this batch of paper was tested yet: each batch needs tests of its own"
    proofs = [
        prover.proof(routine, paper, question, day, how) for day in (how.first, how.last) for question in QUESTIONS
    ]
    proof = next((one for one in proofs if not one.holds), proofs[0])
    if proof.disproved:
        return f"a test of that way of working failed on {parse_date(proof.disproved).text()}"
    if proof.spoiled:
        return f"a test of that way of working was not clean on {parse_date(proof.spoiled).text()}"
    if len(proof.clean) < proof.wanted:
        return (
            f"of the tests on this batch of paper by then {len(proof.clean)} clean ones, where {proof.wanted} are "
            f"wanted, were of pieces that had no more water than it, none warmer, and were as long in the baths"
        )
    if proof.crowded:
        return f"it was washed among {how.sheets} sheets, more than any of the strips"
    if proof.lapsed:
        return f"its proof had lapsed on {parse_date(proof.lapses).text()}"
    return "a test or a doubt of its own stands against it"


class Proven(NamedTuple):
    """What a routine says of one print and one question: that it is proved, or the day that disproved it."""

    routine: Routine
    sentence: str
    disproved: str


def proven(prover: Prover, paper: int, stock: str, wets: Sequence[Wet], question: str) -> Proven | None:
    """The routine that answers a question for a print of a paper, else one that was disproved since, else None."""
    found = None
    for routine in prover.of_stock(stock):
        how = prover.worked(routine, wets)
        if how.why_not or how.loose:
            continue
        days = (how.first,) if how.first == how.last else (how.first, how.last)
        proofs = [prover.proof(routine, paper, question, day, how) for day in days]
        if all(proof.holds for proof in proofs):
            codes = prover.codes(trial.piece for trial in reversed(proofs[-1].clean))
            sentence = proven_sentence(proofs[-1], prover.targets[question], codes, routine.lapse_days)
            return Proven(routine, sentence, "")
        if all(proof.enough for proof in proofs):
            found = found or Proven(routine, "", next(proof.disproved for proof in proofs if proof.disproved))
    return found


def proven_sentence(proof: Proof, target: Target, codes: Sequence[str], days: int) -> str:
    """What a proof says of a print that was not tested itself, and how little.

    `codes` are those of its pieces, `days` for how long the studio lets the newest stand.
    """
    drops = sum(trial.outcome == "spot-tested" for trial in proof.clean)
    measured, several = len(proof.clean) - drops, len(codes) > 1
    seen = [f"{f'{drops} ' if several else ''}by a drop that showed no stain"] if drops else []
    if measured and target.value is not None:
        figure = f"{format_residue(target.value)}, the target set here ({target.basis})"
        seen.append(f"{f'{measured} ' if several else ''}measured at or under {figure}")
    pieces = f"{len(codes)} pieces" if several else "piece"
    oldest, newest = date_text(proof.clean[-1].first), date_text(proof.newest)
    when = f"on {newest}" if oldest == newest else f"between {oldest} and {newest}"
    return (
        f"By proven routine: not tested itself, but worked within a routine whose last {pieces} on this paper "
        f"({shorten(codes)}) tested clean {when}, {' and '.join(seen)}; the studio lets the newest stand for "
        f"{days} day{'s' if days > 1 else ''}."
    )


def disproved_doubt(day: str) -> str:
    """Why a routine that was proved when a print was worked proves nothing for it any more."""
    return (
        f"A test of what was worked in the same way failed on {parse_date(day).text()}, before the next clean one; so "
        f"that way of working proves nothing for this print. Test it."
    )
