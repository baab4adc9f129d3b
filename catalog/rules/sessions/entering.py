"""Entering a day sheet: every line becomes a record, in the order of the clock where one is told."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import NamedTuple

from catalog.dates import Moment, moment, parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import check_past
from catalog.quantities import parse_duration, parse_residue, parse_temperature
from catalog.records import items, residuals, sessions, washers
from catalog.records.items import Coded
from catalog.records.sessions import Session
from catalog.records.step_order import StillInWasherError, check_kind
from catalog.rules.sessions.day_sheet import WHOLE, Day, Line, LineError, StepLine, TestLine, at_line
from catalog.rules.sessions.kept import enter_sheets
from catalog.rules.sessions.stages import bath_of, kind_of
from catalog.rules.sessions.work import Entered, Entering, day_and_clock
from catalog.rules.stage import STEP_OF, Done, Stage, join, leave, record
from catalog.vocabulary import READINGS


class RowsClashError(TirageError):
    """A row of a sheet for what another row of it has in the washer at that time."""

    def __init__(self, item: Coded, row: str) -> None:
        super().__init__(
            f"{item.code} went into the washer by {row} and is not out by then; expected one row to end before the "
            f"next begins. Mend “at” or “out” of one of the two, or the order of the rows without a time."
        )


class Action(NamedTuple):
    """Something to be recorded for a line, at its place in time."""

    stamp: float
    order: int
    line: Line
    do: Callable[[], None]


def enter(work: Entering, day: Day, session: Session | None) -> Entered:
    """Enter a whole day sheet into an open transaction. Raises LineError; what was written by then is to be undone."""
    try:
        work.moment_of("")
    except TirageError as refusal:
        raise LineError(WHOLE, refusal.sentence) from None
    if session:
        enter_sheets(work, day, session)
    for action in sorted(_actions(work, day.step), key=lambda action: (action.stamp, action.order)):
        with at_line(action.line):
            action.do()
    for line in day.test:
        with at_line(line):
            _enter_test(work, line)
    if session:
        sessions.close(work.connection, session, work.now.date().isoformat())
    return work.entered


def _named(work: Entering, text: str, *kinds: str) -> list[Coded]:
    """The items that a line names: codes, “kept”, “strip”."""
    found: dict[int, Coded] = {}
    for part in text.split(","):
        word = part.strip().lower()
        if word == "kept":
            named = [*work.entered.kept, *work.entered.strips]
        elif word in ("strip", "strips"):
            named = work.entered.strips
        else:
            named = items.find(work.connection, part, *kinds)
        if not named:
            raise NotUnderstood("something that went through this", part.strip(), "the codes, such as 12-15, k2 or n1")
        found.update((thing.id, thing) for thing in named)
    return list(found.values())


def _actions(work: Entering, lines: Iterable[StepLine]) -> list[Action]:
    """What the steps come to; what has no time of its own comes right after the line above it."""
    found: list[Action] = []
    above = float("-inf")
    for order, line in enumerate(lines):
        with at_line(line):
            check_kind(kind_of(line.kind))
            at = work.moment_of(line.at)
            start = at.instant.timestamp() if at.instant else above
            if kind_of(line.kind) == "wash" and line.at:
                left = _left(work, line, at)
                found.append(Action(start, order, line, _joining(work, line, at)))
                if left and left.instant:
                    above = left.instant.timestamp()
                    found.append(Action(above, order, line, _leaving(work, line, left)))
                else:
                    above = start
                continue
            if line.out:
                raise NotUnderstood(
                    "a time to be told here", line.out, "“out” only for a wash, with the time it went in under “at”"
                )
            found.append(Action(start, order, line, _recording(work, line, at)))
            above = start
    return found


def _left(work: Entering, line: StepLine, joined: Moment) -> Moment | None:
    """When a load left its washer: as told, else after the length told, else not yet."""
    assert joined.instant is not None
    if line.out and line.length:
        raise NotUnderstood("a length beside the times", line.length, "either “out” or “length”, not both")
    if line.length:
        left = joined.instant + timedelta(seconds=parse_duration(line.length))
        return work.moment_of(f"{left.date().isoformat()} {left.timetz().isoformat()}")
    if not line.out:
        return None
    left_at = work.moment_of(line.out if day_and_clock(line.out)[0] else f"{joined.date} {line.out}")
    if left_at.instant and left_at.instant < joined.instant and not day_and_clock(line.out)[0]:  # past midnight
        after = joined.instant.date() + timedelta(days=1)
        left_at = work.moment_of(f"{after.isoformat()} {line.out}")
    return left_at


def _joining(work: Entering, line: StepLine, at: Moment) -> Callable[[], None]:
    def do() -> None:
        washer = washers.by_name(work.connection, line.washer) if line.washer else washers.usual(work.connection)
        stage = _stage(work, line)
        with _on_this_sheet(work):
            _keep(work, stage, join(work.connection, work.event(at, line.note), washer, stage))
        work.entered.inside.update((thing.id, line.where) for thing in stage.items)

    return do


def _leaving(work: Entering, line: StepLine, at: Moment) -> Callable[[], None]:
    def do() -> None:
        found = _named(work, line.items, *STEP_OF)
        work.entered.said += leave(work.connection, work.event(at), found)
        for thing in found:
            work.entered.inside.pop(thing.id, None)

    return do


def _recording(work: Entering, line: StepLine, at: Moment) -> Callable[[], None]:
    def do() -> None:
        bath = bath_of(work.connection, line.kind, line.bath)
        washer = washers.by_name(work.connection, line.washer) if line.washer else None
        if washer is None and kind_of(line.kind) == "wash":
            washer = washers.usual(work.connection)
        stage = _stage(work, line)._replace(bath=bath, washer=washer)
        still = next((thing for thing in stage.items if thing.id in work.entered.inside and not line.at), None)
        if still:  # without a clock it might be before; on this sheet it stands after
            raise RowsClashError(still, work.entered.inside[still.id])
        with _on_this_sheet(work):
            done = record(work.connection, work.event(at, line.note), stage, at.clock[:5] if line.at else "")
        _keep(work, stage, done)

    return do


def _stage(work: Entering, line: StepLine) -> Stage:
    return Stage(
        kind_of(line.kind),
        _named(work, line.items, *STEP_OF),
        seconds=parse_duration(line.length) if line.length else None,
        celsius=parse_temperature(line.temperature) if line.temperature else None,
        sheets=line.sheets,
        detail={"changes": line.changes} if line.changes else None,
    )


@contextmanager
def _on_this_sheet(work: Entering) -> Iterator[None]:
    """What is in a washer by a row of this sheet is told by that row. Raises RowsClashError."""
    try:
        yield
    except StillInWasherError as refusal:
        if refusal.item.id in work.entered.inside:
            raise RowsClashError(refusal.item, work.entered.inside[refusal.item.id]) from None
        raise


def _keep(work: Entering, stage: Stage, done: Done) -> None:
    """Keep what is to be said of a stage, each line of what to mind once."""
    entered = work.entered
    entered.said += done.said
    entered.minds += [line for line in done.minds if line not in entered.minds]
    if done.caution and done.caution not in entered.cautions:
        entered.cautions.append(done.caution)
    things = [*stage.items, Coded(done.step.id, done.step.code, "step")]
    entered.touched += [thing for thing in things if thing not in entered.touched]


def _enter_test(work: Entering, line: TestLine) -> None:
    found = _named(work, line.item, "control strip", "print", "negative")
    if len(found) != 1:
        raise NotUnderstood("one item that was tested", line.item, "one code, such as k2")
    told = [(question, result) for question, result in (("hypo", line.hypo), ("silver", line.silver)) if result]
    if not told:
        raise NotUnderstood("a test with a result", line.item, "hypo, silver or both, such as hypo none")
    date = parse_date(line.on, work.now.date()).edtf if line.on else work.day
    at = check_past(moment(date, None, work.now), work.now)
    for question, result in told:
        drop = result in READINGS or not result[:1].isdigit()
        residuals.record_test(
            work.connection,
            work.event(at, line.note),
            found[0],
            question,
            method="" if drop else line.method,
            reading=result if drop else None,
            value=None if drop else parse_residue(result),
        )
    work.entered.said.append(f"{found[0].code}: {', '.join(f'{question} {result}' for question, result in told)}.")
    work.entered.touched += [thing for thing in found if thing not in work.entered.touched]
