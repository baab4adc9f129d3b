"""Tested: the tests that count for a print, after which of its wet steps, and what came of them.

A test on the print itself counts. One on a control strip counts where the strip shared every wet step from the fixing
on and is of the print's paper; one that is not clean counts also where the print went on since, and whatever its paper:
it stands after the steps that both went through. What else was not clean, on a strip or a print that shared a fix or a
wash, casts a doubt on what shared its baths.

Of a day that is not exact a clean test stands at its first and one that is not clean at its last.
"""

import sqlite3
from collections.abc import Collection, Mapping
from functools import lru_cache
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.quantities import format_duration, format_residue
from catalog.records import settings
from catalog.records.loads import ENDLESS, Timelines, Wet, in_order, place_of, span
from catalog.records.residuals import ENTRY, Test
from catalog.rules.washing import Washing, step_word
from catalog.vocabulary import EXTRACT_METHODS, QUESTIONS

STRIP_LAG = 60  # seconds a strip may in all have been washed longer than its print; common practice, no source
OUTCOMES = ("failed", "just visible", "data", "spot-tested", "measured")  # worst first
CLEAN, UNCLEAN = ("measured", "spot-tested"), ("failed", "just visible")


class Target(NamedTuple):
    """The target for one question, and whose figure it is."""

    value: int | None
    basis: str


class Tested(NamedTuple):
    """A test that bears on a print: after how many of its wet steps, on what, and what came of it.

    `shared` is the step that it shared with the print, where it casts a doubt only; `paper` says what keeps a clean
    test on a strip from being one of the print's paper: “another” (it does not count), “unknown” (it does), or "".
    `near` says why a clean test on a strip of the same fixing does not count for the print.
    """

    test: Test
    code: str
    on_strip: bool
    after: int
    outcome: str
    unsure: Wet | None  # a wet step that may be later than the test, for a date is not exact
    shared: str = ""
    paper: str = ""
    near: str = ""


def targets(connection: sqlite3.Connection) -> dict[str, Target]:
    """The target for each question."""
    bases = {setting.name: setting.basis for setting in settings.settings(connection)}
    return {
        q: Target(settings.residue_target(connection, q), bases.get(f"{q}-target", settings.DEFAULTS[f"{q}-target"][1]))
        for q in QUESTIONS
    }


class Sources(NamedTuple):
    """What tests are weighed with: timelines, codes and papers of what was tested, the strips among it, targets."""

    lines: Timelines
    codes: Mapping[int, str]
    papers: Mapping[int, int | None]
    strips: Collection[int]
    targets: dict[str, Target]


def tested(item: int, wets: list[Wet], tests: list[Test], known: Sources) -> list[Tested]:
    """Of the tests on a thing and on what shared its steps, those that bear on it; `item` may be what it is like."""
    bearing = []
    for test in tests:
        outcome = outcome_of(test, known.targets[test.question].value)
        unclean = outcome in UNCLEAN
        after = _before(wets, test, unclean)
        strip, shared, paper, near = test.item in known.strips, "", "", ""
        if test.item != item:
            theirs = known.lines.of.get(test.item, [])
            gone = wets if after == len(wets) else wets[:after]
            until = gone if theirs is wets else theirs[: _before(theirs, test, unclean)]
            if unclean:
                both = _went_on(wets, until) if strip else 0
                shared = "" if both else _shared_step(gone, until)
                if not (both or shared):
                    continue
                after = both or after
            elif strip:
                # A strip may leave the last wash first, and be tested while the print is in it still.
                after = after if theirs is wets else _went_on(wets, until) or after
                near = _apart(gone if theirs is wets else wets[:after], until)
                paper = _other_paper(known.papers.get(test.item), known.papers.get(item))
                if near and _shared_step(gone, until) != "fix":
                    continue
            else:
                continue
        unsure = _maybe_later(wets[:after], test)
        bearing.append(Tested(test, known.codes[test.item], strip, after, outcome, unsure, shared, paper, near))
    return bearing


def outstanding(before: list[Tested], outcomes: tuple[str, ...] = ("failed",)) -> Tested | None:
    """The test of such an outcome that no later clean one answers: of those between two wet steps the worst counts."""
    for after in sorted({t.after for t in before}, reverse=True):
        group = [t for t in before if t.after == after]
        found = next((t for outcome in outcomes for t in group if t.outcome == outcome), None)
        if found:
            return found
        clean = any(t.outcome in CLEAN and t.unsure is None for t in group)
        if clean and not any(t.outcome == "just visible" for t in group):
            return None
    return None


def _before(wets: list[Wet], test: Test, unclean: bool) -> int:
    """How many of an item's wet steps came before a test; a wash that was not over did not."""
    day = test.latest or ENDLESS if unclean else test.earliest
    place = place_of(day, test.happened, test.clock, "", "", test.id // ENTRY)
    before = in_order([*wets, None], [*(wet.place for wet in wets), place]).index(None)
    while before and place.stamp is not None and (wets[before - 1].ended or place.stamp) > place.stamp:
        before -= 1
    return before


def _maybe_later(wets: list[Wet], test: Test) -> Wet | None:
    """The last of these wet steps that may have come after a test, for one of the two days is not exact."""
    if _exact(test):
        return next((wet for wet in reversed(wets) if wet.latest and wet.latest >= test.earliest), None)
    first, _ = span(test.happened, test.earliest, test.latest)
    return next((wet for wet in reversed(wets) if (wet.latest or wet.place.day) >= first), None)


def _apart(ours: list[Wet], theirs: list[Wet]) -> str:
    """Why a strip does not stand for a print: not every wet step from fixing on was shared, or it was washed longer."""
    mine, strip = _from_fix(ours), _from_fix(theirs)
    if not mine or mine.keys() != strip.keys():
        return "it did not go through every wet step with it"
    longer = ((wet.seconds or 0) - (mine[step].seconds or 0) for step, wet in strip.items() if wet.joined)
    more = sum(seconds for seconds in longer if seconds > 0)
    return f"it was washed {format_duration(more)} longer" if more > STRIP_LAG else ""


def _went_on(ours: list[Wet], theirs: list[Wet]) -> int:
    """After how many steps of a print it had been through what a strip had from its fixing on, and no more; else 0."""
    mine, strip = list(_from_fix(ours)), _from_fix(theirs)
    if not strip or set(mine[: len(strip)]) != strip.keys():
        return 0
    return len(ours) - len(mine) + len(strip)


def _shared_step(ours: list[Wet], theirs: list[Wet]) -> str:
    """The fix or else the wash that both went through, or ""."""
    kinds = {wet.kind for wet in ours} & {"fix", "wash"}
    if not kinds:
        return ""
    went = {wet.step for wet in theirs}
    return next((kind for kind in ("fix", "wash") if any(w.kind == kind and w.step in went for w in ours)), "")


def _from_fix(wets: list[Wet]) -> dict[int, Wet]:
    first = next((i for i, wet in enumerate(wets) if wet.kind == "fix"), len(wets))
    return {wet.step: wet for wet in wets[first:]}


def _other_paper(strip: int | None, ours: int | None) -> str:
    if strip is None:
        return "unknown"
    return "" if strip == ours else "another"


def outcome_of(test: Test, target: int | None) -> str:
    """What came of a test, beside the target of its question."""
    if test.value is not None:
        if target is None or (test.value <= target and (test.method in EXTRACT_METHODS or test.other_paper)):
            return "data"
        return "measured" if test.value <= target else "failed"
    return {"none": "spot-tested", "just visible": "just visible"}.get(test.reading, "failed")


def doubts_of_tests(
    question: str, now: list[Tested], before: list[Tested], good: list[Tested], clean: list[Tested]
) -> list[str]:
    """What the tests of one question leave in doubt: those now, those before a later wet step, the clean among them."""
    doubts = []
    if not now and before:
        last = before[-1]
        when = "was" if _exact(last.test) else "may have been"
        doubts.append(
            f"The test {day_words(last.test, 'of')} on {last.code} {when} made before a later wet step and no longer "
            f"counts; test again."
        )
    if good and not clean:
        doubts.append(unsure_doubt(good[-1]))
    for t in now:
        if t.outcome == "data":
            why = f"no target for {question} is set"
            if t.test.method in EXTRACT_METHODS:
                why = "what came out of a sheet says nothing of what stayed in it"
            elif t.test.other_paper:
                why = "it was read on a calibration made of another paper"
            doubts.append(f"{found_words(t)}; {why}, so it is kept as data.")
    doubts += [f"{found_words(t)}: wash more and test again." for t in now if t.outcome == "just visible"][:1]
    return doubts


def other_paper_doubt(t: Tested) -> str:
    """Why a clean test on a strip does not count, or not for sure: a paper holds on to what it was in as it does."""
    if t.paper == "unknown":
        return f"The paper of {t.code} is not recorded, so it may be another than this print's."
    return f"{t.code} is not known to be of this print's paper, so its test {day_words(t.test)} does not count."


def near_doubt(t: Tested) -> str:
    """Why a clean test on a strip of the same fixing does not count."""
    return f"The clean test {day_words(t.test)} on {t.code} does not count for it: {t.near}."


def shared_doubt(t: Tested) -> str:
    """What a test on something else says of what shared its baths."""
    done = {"fix": "fixed", "wash": "washed"}[t.shared]
    return (
        f"{t.code} was {done} together with it, and {found_words(t)}; what shared its baths is in doubt: test this one."
    )


def unsure_doubt(t: Tested) -> str:
    """Why a test whose place in time is not certain does not count."""
    assert t.unsure is not None
    if not _exact(t.test):
        return f"The day of the test on {t.code} ({parse_date(t.test.happened).text()}) is not exact; test again."
    return (
        f"The date of the {step_word(t.unsure.kind)} of {parse_date(t.unsure.happened).text()} is not exact, so it may "
        f"be later than the test {day_words(t.test, 'of')} on {t.code}; test again."
    )


def failed_sentence(t: Tested, wets: list[Wet], rewashed: bool) -> str:
    """What a failed test says, and whether anything was done since."""
    if not rewashed:
        return f"Failed: {found_words(t)}; refix or rewash, and test again."
    word = "rewashed" if any(wet.kind == "wash" for wet in wets[t.after :]) else "treated"
    return f"Failed: {found_words(t)}; {word} since, retest due."


def clean_sentence(t: Tested, washing: Washing, recorded: bool, target: Target) -> str:
    """What a clean test says, and how little it proves."""
    washed = f" (washed {format_duration(washing.seconds)} after the last bath)" if washing.seconds is not None else ""
    after = f", after the last wet step{washed}" if recorded else ", with no wet step recorded"
    if t.outcome == "spot-tested":
        return f"Spot-tested: {found_words(t)}{after}; this proves only that no stain was seen."
    assert target.value is not None
    return (
        f"Measured: {found_words(t)}{after}; at or under {format_residue(target.value)}, the target set here "
        f"({target.basis}). It says nothing of how the image stands against oxidants."
    )


def found_words(t: Tested) -> str:
    """What was found, on what, by which method, when."""
    on = f"{'control strip ' if t.on_strip else ''}{t.code}"
    if t.test.value is not None:
        over = ", over the target" if t.outcome == "failed" else ""
        found = f"{format_residue(t.test.value)} of {t.test.question}"
        return f"{t.test.method} found {found} on {on} {day_words(t.test)}{over}"
    seen = {"none": "showed no stain", "just visible": "left a just visible stain"}.get(
        t.test.reading, f"left a {t.test.reading} stain"
    )
    return f"a drop of {t.test.method.removesuffix(' drop')} on {on} {seen} {day_words(t.test)}"


def day_words(test: Test, word: str = "on") -> str:
    """The day of a test after a verb or a noun: “on 4 March 2026”, “dated until 10 March 2026”."""
    return f"{word if _exact(test) else 'dated'} {date_text(test.happened)}"


@lru_cache(maxsize=65_536)
def date_text(day: str) -> str:
    """A date in words; many tests are of one day."""
    return parse_date(day).text()


def _exact(test: Test) -> bool:
    return test.happened == test.earliest == test.latest
