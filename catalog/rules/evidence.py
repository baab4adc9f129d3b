"""Evidence of permanence: what the records of a print hold on the hypo and the silver left in it."""

import json
import sqlite3
from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from catalog.quantities import format_duration
from catalog.records import items, residuals
from catalog.records.loads import Timelines, Wet
from catalog.records.residuals import Test
from catalog.records.step_order import instant_text
from catalog.rules.alike import add_timelines, alike, timelines_alike
from catalog.rules.claims import Claim, claim, claim_lines
from catalog.rules.tested import (
    CLEAN,
    OUTCOMES,
    UNCLEAN,
    Sources,
    Tested,
    clean_sentence,
    doubts_of_tests,
    failed_sentence,
    near_doubt,
    other_paper_doubt,
    outstanding,
    shared_doubt,
    targets,
    tested,
    unsure_doubt,
)
from catalog.rules.washing import Washing, doubts_of, washing_of
from catalog.store.rows import fetch_all
from catalog.vocabulary import GRADES, QUESTIONS

if TYPE_CHECKING:
    from catalog.records.routines import PaperOf
    from catalog.rules.routines import Prover

LIMITED_BATHS = """SELECT DISTINCT s.bath FROM step s JOIN bath b ON b.id = s.bath
    WHERE s.id IN (SELECT value FROM json_each(?))
    AND (b.capacity IS NOT NULL OR b.silver_limit IS NOT NULL OR b.life IS NOT NULL)"""
ANY_LIMIT = "SELECT 1 FROM bath WHERE capacity IS NOT NULL OR silver_limit IS NOT NULL OR life IS NOT NULL LIMIT 1"
ANY_ROUTINE = "SELECT 1 FROM routine LIMIT 1"
AT_ONCE = 2_000  # prints whose steps are held in memory together


class Answer(NamedTuple):
    """What the records hold on one question, in a sentence that claims no more than was seen.

    `untested`: it was fixed and washed, no test counts for it, and none speaks against it: a routine may answer.
    """

    question: str
    grade: str
    sentence: str
    doubts: tuple[str, ...]
    claim: Claim
    untested: bool = False


class Evidence(NamedTuple):
    """Both answers, the weaker of them, the washing that counts, and why signing or selling must stop.

    `routine` is the one that answers a question, by the user's own word, for the studio alone; `disproved` the day on
    which a test disproved the one that did.
    """

    hypo: Answer
    silver: Answer
    grade: str
    washed_seconds: int | None
    stops: tuple[str, ...]
    routine: str = ""
    disproved: str = ""

    @property
    def claims(self) -> list[str]:
        """What may be said, and what not, a sentence each."""
        return claim_lines(self.hypo.claim, self.silver.claim)


def evidence(connection: sqlite3.Connection, print_id: int) -> Evidence:
    """The evidence of one print."""
    return evidence_many(connection, [print_id])[print_id]


def evidence_many(connection: sqlite3.Connection, ids: Iterable[int]) -> dict[int, Evidence]:
    """The evidence of many prints, in a handful of queries for each so many of them."""
    wanted, found = list(ids), dict[int, Evidence]()
    for start in range(0, len(wanted), AT_ONCE):
        found |= evidence_alike(connection, alike(connection, wanted[start : start + AT_ONCE]))
    return found


def stops_many(connection: sqlite3.Connection, ids: Iterable[int]) -> dict[int, tuple[str, ...]]:
    """Why each of many prints must not be signed or sold now: neither a routine nor a limit of a bath changes that."""
    wanted, found = list(ids), dict[int, tuple[str, ...]]()
    for start in range(0, len(wanted), AT_ONCE):
        weighed, _ = _weighed(connection, alike(connection, wanted[start : start + AT_ONCE]), None, limits=False)
        found |= {item: one.stops for item, one in weighed.items()}
    return found


def evidence_alike(
    connection: sqlite3.Connection, first: dict[int, int], lines: Timelines | None = None
) -> dict[int, Evidence]:
    """The same, where `alike` was asked already: one answer for all of a history and a paper, if not tested themselves.

    `lines` are the timelines of these prints, where they are known; those of what was tested beside them are added.
    """
    return _by_routines(connection, *_weighed(connection, first, lines, limits=True))


def _weighed(
    connection: sqlite3.Connection, first: dict[int, int], lines: Timelines | None, limits: bool
) -> tuple[dict[int, Evidence], Sources]:
    """The evidence of tests and steps, and what it was weighed with; `limits`: with the doubts of baths past theirs."""
    ones = sorted(set(first.values()))
    near_by = dict(connection.execute(residuals.TESTED_BESIDE, (json.dumps(ones),)))
    lines = lines or timelines_alike(connection, first)
    add_timelines(connection, lines, alike(connection, [*ones, *near_by]), set(ones))
    tests: dict[int, list[Test]] = {}
    for test in fetch_all(
        connection, Test, residuals.OF_ITEMS, (json.dumps([*first, *near_by.keys() - first.keys()]),)
    ):
        tests.setdefault(test.item, []).append(test)
    codes = items.codes_of(connection, tests)
    beside: dict[int, set[int]] = {}
    for item in near_by:
        for wet in lines.of.get(item, ()):
            beside.setdefault(wet.step, set()).add(item)
    strips = [item for item, is_strip in near_by.items() if is_strip]
    papers: dict[int, int | None] = {}
    if strips:  # without one no paper matters
        for query, some in ((residuals.PAPERS_OF_STRIPS, strips), (residuals.PAPERS_OF_PRINTS, list(first))):
            papers |= dict(connection.execute(query, (json.dumps(some),)))
    sources = Sources(lines, codes, papers, set(strips), targets(connection))
    known = _Known(sources, _limits_passed(connection, lines, ones) if limits else {})
    shared: dict[tuple[int, int | None], Evidence] = {}
    result = {}
    for identity, one in first.items():
        own, kind = tests.get(identity, ()), (one, papers.get(identity))
        if own or kind not in shared:
            near = {item for wet in lines.of.get(identity, ()) for item in beside.get(wet.step, ())} - {identity}
            result[identity] = _weigh(identity, [*own, *(test for item in sorted(near) for test in tests[item])], known)
            if not own:
                shared[kind] = result[identity]
        else:
            result[identity] = shared[kind]
    return result, sources


class _Known(NamedTuple):
    """What all prints are weighed with, and the steps in baths past their due."""

    sources: Sources
    passed: dict[int, str]


def _by_routines(connection: sqlite3.Connection, result: dict[int, Evidence], known: Sources) -> dict[int, Evidence]:
    """The same evidence, with the questions answered that no test answers but a routine does."""
    waiting = [item for item, found in result.items() if found.hypo.untested or found.silver.untested]
    if not waiting or connection.execute(ANY_ROUTINE).fetchone() is None:
        return result
    from catalog.records import routines  # only where there is one
    from catalog.rules.routines import Prover

    prover = Prover(connection, routines.listed(connection), known.targets, known.lines)
    of = known.papers or dict(connection.execute(residuals.PAPERS_OF_PRINTS, (json.dumps(waiting),)))
    stocked = {one: paper for one, paper in routines.papers(connection).items() if prover.of_stock(paper.description)}
    papers = {item: stocked[one] for item in waiting if (one := of.get(item) or 0) in stocked}
    prover.know(wet for item in (*papers, *known.strips) for wet in known.lines.of.get(item, ()))
    answered: dict[tuple[int, int], Evidence] = {}
    for item, paper in papers.items():
        key = (id(result[item]), paper.id)  # what shares a history and a paper shares the answer
        if key not in answered:
            answered[key] = _answered(result[item], prover, paper, known.lines.of.get(item, []))
    return result | {item: answered[id(result[item]), paper.id] for item, paper in papers.items()}


def _answered(found: Evidence, prover: "Prover", paper: "PaperOf", wets: list[Wet]) -> Evidence:
    from catalog.rules.proof_sentences import disproved_doubt, proven

    answers, name, disproved = {"hypo": found.hypo, "silver": found.silver}, "", ""
    for question, answer in answers.items():
        said = proven(prover, paper.id, paper.description, wets, question) if answer.untested else None
        if said and said.disproved:
            disproved = said.disproved
            answers[question] = answer._replace(doubts=(*answer.doubts, disproved_doubt(disproved)))
        elif said:
            name, grade = said.routine.name, "by proven routine"
            answers[question] = answer._replace(grade=grade, sentence=said.sentence, claim=claim(grade), untested=False)
    hypo, silver = answers["hypo"], answers["silver"]
    return found._replace(hypo=hypo, silver=silver, grade=_weaker(hypo, silver), routine=name, disproved=disproved)


def _limits_passed(connection: sqlite3.Connection, lines: Timelines, ones: list[int]) -> dict[int, str]:
    """Step -> why its bath was past its limits, for the fixing and toning of these prints."""
    if connection.execute(ANY_LIMIT).fetchone() is None:
        return {}
    steps = {wet.step for one in ones for wet in lines.of.get(one, ()) if wet.kind in ("fix", "tone")}
    baths = [row[0] for row in connection.execute(LIMITED_BATHS, (json.dumps(sorted(steps)),))]
    if not baths:
        return {}
    from catalog.rules.bath_limits import limits_passed  # only where a bath has limits

    return limits_passed(connection, baths)


def _weigh(identity: int, tests: list[Test], known: _Known) -> Evidence:
    wets = known.sources.lines.of.get(identity, [])
    bearing = tested(identity, wets, tests, known.sources)
    washing = washing_of(wets)
    stops: list[str] = []
    answers = {
        q: _answer(q, [t for t in bearing if t.test.question == q], wets, washing, known, stops) for q in QUESTIONS
    }
    if washing.inside:
        stops.append(f"It is still in the wash, since {instant_text(washing.inside)}: take it out first.")
    elif washing.stops:
        stops.append(f"It is unwashed: no wash is recorded after {washing.after_wash}.")
    hypo, silver = answers["hypo"], answers["silver"]
    return Evidence(hypo, silver, _weaker(hypo, silver), washing.seconds, tuple(stops))


def _weaker(*answers: Answer) -> str:
    return max((answer.grade for answer in answers), key=GRADES.index)


def _answer(
    question: str, bearing: list[Tested], wets: list[Wet], washing: Washing, known: _Known, stops: list[str]
) -> Answer:
    near = [t for t in bearing if t.near]
    bearing = [t for t in bearing if not t.near] if near else bearing
    counting = [t for t in bearing if not t.shared and t.paper != "another"]
    doubts = doubts_of(washing)
    passed = _baths_passed(counting, wets, known.passed) if question == "silver" and known.passed else []
    doubts += passed
    base = "recorded" if washing.fixed and washing.washed else "unrecorded"
    now = [t for t in counting if t.after == len(wets) and not washing.inside]
    before = [t for t in counting if t not in now]
    failed = next((t for t in now if t.outcome == "failed"), None)
    standing = failed or outstanding(before)
    good = [t for t in now if t.outcome in CLEAN]
    clean = [t for t in good if t.unsure is None]  # a stain counts whatever the order, a clean test only when last
    faint = any(t.outcome == "just visible" for t in now)
    if standing and (failed or not clean or faint):
        if good and not clean and not failed:
            doubts.append(unsure_doubt(good[-1]))
        sentence = failed_sentence(standing, wets, rewashed=failed is None)
        kind = "It failed" if failed else "A retest is due"
        stops.append(f"{kind} ({question}): {sentence.removeprefix('Failed: ')}")
        return Answer(question, "failed", sentence, tuple(doubts), claim("failed", standing, failed is None))
    doubts += doubts_of_tests(question, now, before, good, clean)
    best = max(clean, key=lambda t: (OUTCOMES.index(t.outcome), not t.paper, t.test.id), default=None)
    spoiling = outstanding([t for t in bearing if t.paper != "another"], UNCLEAN)
    if spoiling and spoiling.shared and (best is None or best.on_strip):  # a clean test of the print itself answers
        doubts.append(shared_doubt(spoiling))
    if best is None or faint or (question == "hypo" and washing.after_wash):
        if others := [t for t in bearing if t.paper == "another" and t.after == len(wets)]:
            doubts.append(other_paper_doubt(others[-1]))
        if near and not now:
            doubts.append(near_doubt(near[-1]))
        # No strip of a routine went through a bath that was past its limits when this was in it.
        untested = base == "recorded" and spoiling is None and not passed
        return Answer(question, base, _untested_sentence(washing), tuple(doubts), claim(base), untested)
    if best.paper:
        doubts.append(other_paper_doubt(best))
    sentence = clean_sentence(best, washing, bool(wets), known.sources.targets[question])
    return Answer(question, best.outcome, sentence, tuple(doubts), claim(best.outcome, best))


def _baths_passed(counting: list[Tested], wets: list[Wet], passed: dict[int, str]) -> list[str]:
    """What was worked in a bath past its limits since the last clean test, for that clears what came before it."""
    spoiled = {t.after for t in counting if t.outcome in UNCLEAN}
    clean = {t.after for t in counting if t.outcome in CLEAN and t.unsure is None}
    cleared = max(clean - spoiled, default=0)
    return list(dict.fromkeys(passed[wet.step] for wet in wets[cleared:] if wet.step in passed))


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
