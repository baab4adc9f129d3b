"""Evidence of permanence: what the records of a print hold on the hypo and the silver left in it."""

import json
import sqlite3
from collections.abc import Iterable
from typing import NamedTuple

from catalog.quantities import format_duration
from catalog.records import residuals, settings
from catalog.records.loads import Timelines, Wet
from catalog.records.residuals import Test
from catalog.records.step_order import instant_text
from catalog.rules.alike import add_timelines, alike, timelines_alike
from catalog.rules.tested import (
    OUTCOMES,
    Target,
    Tested,
    clean_sentence,
    day_words,
    failed_sentence,
    found_words,
    outstanding,
    tested,
    unsure_doubt,
)
from catalog.rules.washing import Washing, doubts_of, washing_of
from catalog.store.rows import fetch_all
from catalog.vocabulary import GRADES, QUESTIONS

CODES = "SELECT id, code FROM code WHERE id IN (SELECT value FROM json_each(?))"


class Answer(NamedTuple):
    """What the records hold on one question, in a sentence that claims no more than was seen."""

    question: str
    grade: str
    sentence: str
    doubts: tuple[str, ...]


class Evidence(NamedTuple):
    """Both answers, the weaker of them, the washing that counts, and why signing or selling must stop."""

    hypo: Answer
    silver: Answer
    grade: str
    washed_seconds: int | None
    stops: tuple[str, ...]


def evidence(connection: sqlite3.Connection, print_id: int) -> Evidence:
    """The evidence of one print."""
    return evidence_many(connection, [print_id])[print_id]


def evidence_many(connection: sqlite3.Connection, ids: Iterable[int]) -> dict[int, Evidence]:
    """The evidence of many prints, in a handful of queries."""
    return evidence_alike(connection, alike(connection, ids))


def evidence_alike(
    connection: sqlite3.Connection, first: dict[int, int], lines: Timelines | None = None
) -> dict[int, Evidence]:
    """The same, where `alike` was asked already: one answer for all that share a history, if not tested themselves.

    `lines` are the timelines of these prints, where they are known; those of the strips beside them are added.
    """
    ones = sorted(set(first.values()))
    strips = [row[0] for row in connection.execute(residuals.STRIPS_BESIDE, (json.dumps(ones),))]
    lines = lines or timelines_alike(connection, first)
    add_timelines(connection, lines, alike(connection, [*ones, *strips]), set(ones))
    tests: dict[int, list[Test]] = {}
    for test in fetch_all(connection, Test, residuals.OF_ITEMS, (json.dumps([*first, *strips]),)):
        tests.setdefault(test.item, []).append(test)
    codes = dict(connection.execute(CODES, (json.dumps(list(tests)),)).fetchall())
    beside: dict[int, set[int]] = {}
    for strip in strips:
        for wet in lines.of.get(strip, ()):
            beside.setdefault(wet.step, set()).add(strip)
    targets = _targets(connection)
    shared: dict[int, Evidence] = {}
    result = {}
    for identity, one in first.items():
        own = tests.get(identity, ())
        if own or one not in shared:
            near = sorted({strip for wet in lines.of.get(identity, ()) for strip in beside.get(wet.step, ())})
            counting = [(test, False) for test in own] + [(test, True) for strip in near for test in tests[strip]]
            result[identity] = _weigh(identity, lines, counting, codes, targets)
            if not own:
                shared[one] = result[identity]
        else:
            result[identity] = shared[one]
    return result


def _targets(connection: sqlite3.Connection) -> dict[str, Target]:
    bases = {setting.name: setting.basis for setting in settings.settings(connection)}
    return {
        q: Target(settings.residue_target(connection, q), bases.get(f"{q}-target", settings.DEFAULTS[f"{q}-target"][1]))
        for q in QUESTIONS
    }


def _weigh(
    identity: int, lines: Timelines, tests: list[tuple[Test, bool]], codes: dict[int, str], targets: dict[str, Target]
) -> Evidence:
    wets = lines.of.get(identity, [])
    counting = tested(wets, tests, lines, codes, targets)
    washing = washing_of(wets)
    stops: list[str] = []
    answers = {
        q: _answer(q, [t for t in counting if t.test.question == q], wets, washing, targets[q], stops)
        for q in QUESTIONS
    }
    if washing.inside:
        stops.append(f"It is still in the wash, since {instant_text(washing.inside)}: take it out first.")
    elif washing.stops:
        stops.append(f"It is unwashed: no wash is recorded after {washing.after_wash}.")
    grade = max((answer.grade for answer in answers.values()), key=GRADES.index)
    return Evidence(answers["hypo"], answers["silver"], grade, washing.seconds, tuple(stops))


def _answer(
    question: str, counting: list[Tested], wets: list[Wet], washing: Washing, target: Target, stops: list[str]
) -> Answer:
    doubts = doubts_of(washing)
    base = "recorded" if washing.fixed and washing.washed else "unrecorded"
    now = [t for t in counting if t.after == len(wets) and not washing.inside]
    before = [t for t in counting if t not in now]
    failed = next((t for t in now if t.outcome == "failed"), None)
    standing = failed or outstanding(before)
    good = [t for t in now if t.outcome in ("measured", "spot-tested")]
    clean = [t for t in good if t.unsure is None]  # a stain counts whatever the order, a clean test only when last
    faint = next((t for t in now if t.outcome == "just visible"), None)
    if standing and (failed or not clean or faint):
        if good and not clean and not failed:
            doubts.append(unsure_doubt(good[-1]))
        sentence = failed_sentence(standing, wets, rewashed=failed is None)
        kind = "It failed" if failed else "A retest is due"
        stops.append(f"{kind} ({question}): {sentence.removeprefix('Failed: ')}")
        return Answer(question, "failed", sentence, tuple(doubts))
    if not now and before:
        last = before[-1]
        doubts.append(
            f"The test of {day_words(last.test)} on {last.code} was made before a later wet step and no longer "
            f"counts; test again."
        )
    if good and not clean:
        doubts.append(unsure_doubt(good[-1]))
    for t in now:
        if t.outcome == "data":
            doubts.append(f"{found_words(t)}; no target for {question} is set, so it is kept as data.")
    if faint:
        doubts.append(f"{found_words(faint)}: wash more and test again.")
    best = max(clean, key=lambda t: (OUTCOMES.index(t.outcome), t.test.id), default=None)
    if best is None or faint or (question == "hypo" and washing.after_wash):
        return Answer(question, base, _untested_sentence(washing), tuple(doubts))
    return Answer(question, best.outcome, clean_sentence(best, washing, bool(wets), target), tuple(doubts))


def _untested_sentence(washing: Washing) -> str:
    if washing.inside:
        return f"Unrecorded: still in the wash, since {instant_text(washing.inside)}; the wash is not finished."
    if washing.fixed and washing.washed:
        length = format_duration(washing.seconds) if washing.seconds is not None else "unknown length"
        return f"Recorded: fixing and a wash of {length} are recorded; no clean test since the last wet step."
    missing = "fixing" if washing.washed else "fixing or wash"
    if washing.fixed:
        missing = "a wash after the last chemical step"
    return f"Unrecorded: {missing} is not recorded."
