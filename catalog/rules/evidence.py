"""Evidence of permanence: what the records of a print hold on the hypo and the silver left in it."""

import json
import re
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass

from catalog.dates import parse_date
from catalog.quantities import format_duration, format_residue, format_temperature
from catalog.records import residuals, settings
from catalog.records.loads import Timelines, Wet, in_order, place_of, timelines
from catalog.records.residuals import ENTRY, Test
from catalog.records.steps import history, instant_text
from catalog.store.rows import fetch_all
from catalog.vocabulary import CHEMICAL_STEPS, GRADES, QUESTIONS

CODES = "SELECT id, code FROM code WHERE id IN (SELECT value FROM json_each(?))"
STRIP_LAG = 60  # seconds a strip may have been washed longer than its print; common practice, no source
WASHER_WORDS = {"tray": "tray", "siphon": "siphon", "slots": "slot washer"}  # a washer's name may be a person's
TOLD_DETAILS = ("changes", "strength")  # what may leave the studio, and as a number only
NUMBER = re.compile(r"\d{1,6}(?:[.,]\d{1,3})?")
OUTCOMES = ("failed", "just visible", "data", "spot-tested", "measured")  # worst first


@dataclass(frozen=True)
class Answer:
    """What the records hold on one question, in a sentence that claims no more than was seen."""

    question: str
    grade: str
    sentence: str
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class Evidence:
    """Both answers, the weaker of them, the washing that counts, and why signing or selling must stop."""

    hypo: Answer
    silver: Answer
    grade: str
    washed_seconds: int | None
    stops: tuple[str, ...]


@dataclass(frozen=True)
class WashLine:
    """One stage of a print in words."""

    happened: str
    kind: str
    detail: str


@dataclass(frozen=True)
class Target:
    """The target for one question, and whose figure it is."""

    value: int | None
    basis: str


@dataclass(frozen=True)
class Tested:
    """A test that counts for a print: after how many of its wet steps, on what, and what came of it."""

    test: Test
    code: str
    on_strip: bool
    after: int
    outcome: str
    unsure: Wet | None  # a wet step whose date is not exact and may be later than the test


@dataclass(frozen=True)
class Washing:
    """How far a print was fixed and washed."""

    fixed: bool
    washed: bool
    seconds: int | None
    inside: str  # since when it is in the washer, or ""
    after_wash: str  # the last chemical step with no wash after it, or ""
    stops: bool  # that step was a fix or a tone
    restarted: str


def evidence(connection: sqlite3.Connection, print_id: int) -> Evidence:
    """The evidence of one print."""
    return evidence_many(connection, [print_id])[print_id]


def evidence_many(connection: sqlite3.Connection, ids: Iterable[int]) -> dict[int, Evidence]:
    """The evidence of many prints, in a handful of queries."""
    wanted = list(ids)
    asked = json.dumps(wanted)
    strips = [row[0] for row in connection.execute(residuals.STRIPS_BESIDE, (asked,))]
    lines = timelines(connection, [*wanted, *strips])
    tests: dict[int, list[Test]] = {}
    for test in fetch_all(connection, Test, residuals.OF_ITEMS, (json.dumps([*wanted, *strips]),)):
        tests.setdefault(test.item, []).append(test)
    codes = dict(connection.execute(CODES, (json.dumps(list(tests)),)).fetchall())
    beside: dict[int, set[int]] = {}
    for strip in strips:
        for wet in lines.of.get(strip, ()):
            beside.setdefault(wet.step, set()).add(strip)
    bases = {setting.name: setting.basis for setting in settings.settings(connection)}
    targets = {
        q: Target(settings.residue_target(connection, q), bases.get(f"{q}-target", settings.DEFAULTS[f"{q}-target"][1]))
        for q in QUESTIONS
    }
    result = {}
    for identity in wanted:
        near = sorted({strip for wet in lines.of.get(identity, ()) for strip in beside.get(wet.step, ())})
        counting = [(test, False) for test in tests.get(identity, ())]
        counting += [(test, True) for strip in near for test in tests[strip]]
        result[identity] = _weigh(identity, lines, counting, codes, targets)
    return result


def _weigh(
    identity: int, lines: Timelines, tests: list[tuple[Test, bool]], codes: dict[int, str], targets: dict[str, Target]
) -> Evidence:
    wets = lines.of.get(identity, [])
    tested = []
    for test, on_strip in tests:
        after = _before(wets, test)
        outcome = _outcome(test, targets[test.question].value)
        lag = None if outcome == "failed" else STRIP_LAG  # a strip that failed though washed longer is worse news still
        if on_strip and not _shared(wets[:after], _until(lines.of.get(test.item, []), test), lag):
            continue
        tested.append(Tested(test, codes[test.item], on_strip, after, outcome, _maybe_later(wets[:after], test)))
    washing = _washing(wets)
    stops: list[str] = []
    answers = {
        q: _answer(q, [t for t in tested if t.test.question == q], wets, washing, targets[q], stops) for q in QUESTIONS
    }
    if washing.inside:
        stops.append(f"It is still in the wash, since {instant_text(washing.inside)}: take it out first.")
    elif washing.stops:
        stops.append(f"It is unwashed: no wash is recorded after {washing.after_wash}.")
    grade = max((answer.grade for answer in answers.values()), key=GRADES.index)
    return Evidence(answers["hypo"], answers["silver"], grade, washing.seconds, tuple(stops))


def _answer(
    question: str, tested: list[Tested], wets: list[Wet], washing: Washing, target: Target, stops: list[str]
) -> Answer:
    doubts = _doubts(washing)
    base = "recorded" if washing.fixed and washing.washed else "unrecorded"
    now = [t for t in tested if t.after == len(wets) and not washing.inside]
    before = [t for t in tested if t not in now]
    failed = next((t for t in now if t.outcome == "failed"), None)
    standing = failed or _outstanding(before)
    good = [t for t in now if t.outcome in ("measured", "spot-tested")]
    clean = [t for t in good if t.unsure is None]  # a stain counts whatever the order, a clean test only when last
    faint = next((t for t in now if t.outcome == "just visible"), None)
    if standing and (failed or not clean or faint):
        if good and not clean and not failed:
            doubts.append(_unsure_doubt(good[-1]))
        sentence = _failed_sentence(standing, wets, rewashed=failed is None)
        kind = "It failed" if failed else "A retest is due"
        stops.append(f"{kind} ({question}): {sentence.removeprefix('Failed: ')}")
        return Answer(question, "failed", sentence, tuple(doubts))
    if not now and before:
        last = before[-1]
        doubts.append(
            f"The test of {_day(last.test)} on {last.code} was made before a later wet step and no longer "
            f"counts; test again."
        )
    if good and not clean:
        doubts.append(_unsure_doubt(good[-1]))
    for t in now:
        if t.outcome == "data":
            doubts.append(f"{_found(t)}; no target for {question} is set, so it is kept as data.")
    if faint:
        doubts.append(f"{_found(faint)}: wash more and test again.")
    best = max(clean, key=lambda t: (OUTCOMES.index(t.outcome), t.test.id), default=None)
    if best is None or faint or (question == "hypo" and washing.after_wash):
        return Answer(question, base, _untested_sentence(washing), tuple(doubts))
    return Answer(question, best.outcome, _clean_sentence(best, washing, bool(wets), target), tuple(doubts))


def _washing(wets: list[Wet]) -> Washing:
    fixed = any(wet.kind == "fix" for wet in wets)
    last = max((i for i, wet in enumerate(wets) if wet.kind in CHEMICAL_STEPS), default=-1)
    washes = [wet for wet in wets[last + 1 :] if _is_wash(wet)]
    inside = next((wet.joined for wet in wets if wet.inside), "")
    done = [wet for wet in washes if not wet.inside]
    known = [wet.seconds for wet in done if wet.seconds is not None]
    stopping = any(wet.kind in ("fix", "tone") for wet in wets[_last_wash(wets) + 1 :])
    after_wash = ""
    if last >= 0 and not washes:
        after_wash = f"the {_step_word(wets[last].kind)} of {parse_date(wets[last].happened).text()}"
    return Washing(
        fixed,
        bool(done) and not inside,
        sum(known) if known and not inside else None,
        inside,
        after_wash,
        stopping,
        max((wet.restarted for wet in washes), default=""),
    )


def _last_wash(wets: list[Wet]) -> int:
    return max((i for i, wet in enumerate(wets) if _is_wash(wet)), default=-1)


def _is_wash(wet: Wet) -> bool:
    """Whether water had any time to work: in and straight out again is no wash."""
    return wet.kind == "wash" and (wet.inside or wet.seconds != 0)


def _doubts(washing: Washing) -> list[str]:
    doubts = []
    if washing.inside:
        doubts.append(f"It is still in the wash, since {instant_text(washing.inside)}.")
    if washing.after_wash:
        doubts.append(f"No wash is recorded after {washing.after_wash}.")
    if washing.restarted:
        doubts.append(
            f"An unwashed item joined its wash on {instant_text(washing.restarted)}; the washing counts from then."
        )
    return doubts


def _before(wets: list[Wet], test: Test) -> int:
    """How many of an item's wet steps came before a test."""
    place = place_of(test.earliest or test.latest, test.happened, test.clock, "", "", test.id // ENTRY)
    ordered = in_order([*wets, None], [*(wet.place for wet in wets), place])
    return ordered.index(None)


def _maybe_later(wets: list[Wet], test: Test) -> Wet | None:
    """The last of these wet steps that stands before a test by its earliest day only."""
    return next((wet for wet in reversed(wets) if wet.latest and wet.latest >= test.earliest), None)


def _unsure_doubt(t: Tested) -> str:
    assert t.unsure is not None
    step = f"the {_step_word(t.unsure.kind)} of {parse_date(t.unsure.happened).text()}"
    return (
        f"The date of {step} is not exact, so it may be later than the test of {_day(t.test)} on {t.code}; test again."
    )


def _until(wets: list[Wet], test: Test) -> list[Wet]:
    return wets[: _before(wets, test)]


def _shared(ours: list[Wet], theirs: list[Wet], lag: int | None) -> bool:
    """Whether print and strip shared every wet step from fixing on, the strip washed no longer than `lag` beyond."""
    mine, strip = _from_fix(ours), _from_fix(theirs)
    if not mine or mine.keys() != strip.keys():
        return False
    return lag is None or all(
        (mine[step].seconds or 0) + lag >= (wet.seconds or 0) for step, wet in strip.items() if wet.joined
    )


def _from_fix(wets: list[Wet]) -> dict[int, Wet]:
    first = next((i for i, wet in enumerate(wets) if wet.kind == "fix"), len(wets))
    return {wet.step: wet for wet in wets[first:]}


def _outcome(test: Test, target: int | None) -> str:
    if test.value is not None:
        return "data" if target is None else ("measured" if test.value <= target else "failed")
    return {"none": "spot-tested", "just visible": "just visible"}.get(test.reading, "failed")


def _outstanding(before: list[Tested]) -> Tested | None:
    """The failed test that no later clean test answers: of the tests between two wet steps the worst counts."""
    for after in sorted({t.after for t in before}, reverse=True):
        group = [t for t in before if t.after == after]
        failed = next((t for t in group if t.outcome == "failed"), None)
        if failed:
            return failed
        if any(t.outcome in ("measured", "spot-tested") for t in group) and not any(
            t.outcome == "just visible" for t in group
        ):
            return None
    return None


def _failed_sentence(t: Tested, wets: list[Wet], rewashed: bool) -> str:
    if not rewashed:
        return f"Failed: {_found(t)}; refix or rewash, and test again."
    word = "rewashed" if any(wet.kind == "wash" for wet in wets[t.after :]) else "treated"
    return f"Failed: {_found(t)}; {word} since, retest due."


def _clean_sentence(t: Tested, washing: Washing, recorded: bool, target: Target) -> str:
    washed = f" (washed {format_duration(washing.seconds)})" if washing.seconds is not None else ""
    after = f", after the last wet step{washed}" if recorded else ", with no wet step recorded"
    if t.outcome == "spot-tested":
        return f"Spot-tested: {_found(t)}{after}; this proves only that no stain was seen."
    assert target.value is not None
    return (
        f"Measured: {_found(t)}{after}; at or under {format_residue(target.value)}, the target set here "
        f"({target.basis}). It says nothing of how the image stands against oxidants."
    )


def _found(t: Tested) -> str:
    on = f"{'control strip ' if t.on_strip else ''}{t.code}"
    if t.test.value is not None:
        over = ", over the target" if t.outcome == "failed" else ""
        found = f"{format_residue(t.test.value)} of {t.test.question}"
        return f"{t.test.method} found {found} on {on} on {_day(t.test)}{over}"
    seen = {"none": "showed no stain", "just visible": "left a just visible stain"}.get(
        t.test.reading, f"left a {t.test.reading} stain"
    )
    return f"a drop of {t.test.method.removesuffix(' drop')} on {on} {seen} on {_day(t.test)}"


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


def _step_word(kind: str) -> str:
    return {"tone": "toning", "fix": "fixing", "develop": "development", "stop": "stop bath"}.get(kind, kind)


def _day(test: Test) -> str:
    return parse_date(test.happened).text()


def wash_record(connection: sqlite3.Connection, print_id: int, *, public: bool) -> list[WashLine]:
    """Every stage of a print in words; with `public` nothing that was typed freely but the description of a bath."""
    counted = {wet.step: wet for wet in timelines(connection, [print_id]).of.get(print_id, ())}
    lines = []
    for step in history(connection, print_id):
        wet = counted.get(step.id)
        seconds = wet.seconds if wet else step.seconds
        parts = [
            step.bath_text,
            WASHER_WORDS.get(step.washer_kind, "") if public else step.washer,
            format_duration(seconds) if seconds is not None else "",
        ]
        if wet and wet.inside:
            parts.append(f"in since {instant_text(wet.joined)}")
        if wet and wet.restarted:
            parts.append(f"counted from {wet.restarted[11:16]}, when an unwashed item joined")
        parts.append(format_temperature(step.celsius) if step.celsius is not None else "")
        parts += [
            f"{name} {value}"
            for name, value in step.details.items()
            if name != "restarts" and (not public or _may_be_told(name, value))
        ]
        words = ", ".join(part for part in parts if part)
        lines.append(WashLine(step.happened, step.kind, f"{words} ({step.bath_code})" if step.bath_code else words))
    return lines


def _may_be_told(name: str, value: object) -> bool:
    return name in TOLD_DETAILS and NUMBER.fullmatch(str(value)) is not None
