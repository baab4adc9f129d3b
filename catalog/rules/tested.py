"""Tested: the tests that count for a print, after which of its wet steps, and what came of them."""

import sqlite3
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.quantities import format_duration, format_residue
from catalog.records import settings
from catalog.records.loads import Timelines, Wet, in_order, place_of
from catalog.records.residuals import ENTRY, Test
from catalog.rules.washing import Washing, step_word
from catalog.vocabulary import EXTRACT_METHODS, QUESTIONS

STRIP_LAG = 60  # seconds a strip may have been washed longer than its print; common practice, no source
OUTCOMES = ("failed", "just visible", "data", "spot-tested", "measured")  # worst first
CLEAN, UNCLEAN = ("measured", "spot-tested"), ("failed", "just visible")


class Target(NamedTuple):
    """The target for one question, and whose figure it is."""

    value: int | None
    basis: str


class Tested(NamedTuple):
    """A test that counts for a print: after how many of its wet steps, on what, and what came of it."""

    test: Test
    code: str
    on_strip: bool
    after: int
    outcome: str
    unsure: Wet | None  # a wet step whose date is not exact and may be later than the test


def targets(connection: sqlite3.Connection) -> dict[str, Target]:
    """The target for each question."""
    bases = {setting.name: setting.basis for setting in settings.settings(connection)}
    return {
        q: Target(settings.residue_target(connection, q), bases.get(f"{q}-target", settings.DEFAULTS[f"{q}-target"][1]))
        for q in QUESTIONS
    }


def tested(
    wets: list[Wet], tests: list[tuple[Test, bool]], lines: Timelines, codes: dict[int, str], targets: dict[str, Target]
) -> list[Tested]:
    """Of the tests near a print (each with whether it was made on a strip), those that count for it."""
    counting = []
    for test, on_strip in tests:
        after = _before(wets, test)
        outcome = _outcome(test, targets[test.question].value)
        lag = None if outcome == "failed" else STRIP_LAG  # a strip that failed though washed longer is worse news still
        theirs = lines.of.get(test.item, [])
        until = wets[:after] if theirs is wets else _until(theirs, test)  # they are one where the histories are alike
        if on_strip and not _shared(wets[:after], until, lag):
            continue
        counting.append(Tested(test, codes[test.item], on_strip, after, outcome, _maybe_later(wets[:after], test)))
    return counting


def outstanding(before: list[Tested], outcomes: tuple[str, ...] = ("failed",)) -> Tested | None:
    """The test of such an outcome that no later clean one answers: of those between two wet steps the worst counts."""
    for after in sorted({t.after for t in before}, reverse=True):
        group = [t for t in before if t.after == after]
        found = next((t for outcome in outcomes for t in group if t.outcome == outcome), None)
        if found:
            return found
        if any(t.outcome in CLEAN for t in group) and not any(t.outcome == "just visible" for t in group):
            return None
    return None


def _before(wets: list[Wet], test: Test) -> int:
    """How many of an item's wet steps came before a test."""
    place = place_of(test.earliest or test.latest, test.happened, test.clock, "", "", test.id // ENTRY)
    ordered = in_order([*wets, None], [*(wet.place for wet in wets), place])
    return ordered.index(None)


def _maybe_later(wets: list[Wet], test: Test) -> Wet | None:
    """The last of these wet steps that stands before a test by its earliest day only."""
    return next((wet for wet in reversed(wets) if wet.latest and wet.latest >= test.earliest), None)


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
        if target is None or (test.value <= target and test.method in EXTRACT_METHODS):
            return "data"
        return "measured" if test.value <= target else "failed"
    return {"none": "spot-tested", "just visible": "just visible"}.get(test.reading, "failed")


def unsure_doubt(t: Tested) -> str:
    """Why a test whose place in time is not certain does not count."""
    assert t.unsure is not None
    step = f"the {step_word(t.unsure.kind)} of {parse_date(t.unsure.happened).text()}"
    return (
        f"The date of {step} is not exact, so it may be later than the test of {day_words(t.test)} on {t.code}; "
        f"test again."
    )


def failed_sentence(t: Tested, wets: list[Wet], rewashed: bool) -> str:
    """What a failed test says, and whether anything was done since."""
    if not rewashed:
        return f"Failed: {found_words(t)}; refix or rewash, and test again."
    word = "rewashed" if any(wet.kind == "wash" for wet in wets[t.after :]) else "treated"
    return f"Failed: {found_words(t)}; {word} since, retest due."


def clean_sentence(t: Tested, washing: Washing, recorded: bool, target: Target) -> str:
    """What a clean test says, and how little it proves."""
    washed = f" (washed {format_duration(washing.seconds)})" if washing.seconds is not None else ""
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
        return f"{t.test.method} found {found} on {on} on {day_words(t.test)}{over}"
    seen = {"none": "showed no stain", "just visible": "left a just visible stain"}.get(
        t.test.reading, f"left a {t.test.reading} stain"
    )
    return f"a drop of {t.test.method.removesuffix(' drop')} on {on} {seen} on {day_words(t.test)}"


def day_words(test: Test) -> str:
    """The day of a test."""
    return parse_date(test.happened).text()
