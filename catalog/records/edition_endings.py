"""Endings of an edition: closed early, complete or cancelled, and then what became of its negative."""

import sqlite3
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import negatives, promises
from catalog.records.editions import Edition, limit, listed, proofs
from catalog.records.items import Coded
from catalog.store.rows import fetch_all
from catalog.vocabulary import EDITION_FATES, GONE_STATES

ADD = """INSERT INTO edition_event (edition, state, fate, happened, earliest, latest, by, note,
    closed_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ALL = "SELECT state, fate, happened, by, note FROM edition_event WHERE edition = ? ORDER BY id"
HIGHEST = """SELECT coalesce(max(number), 0) FROM edition_number WHERE edition = ? AND kind = 'numbered'
    AND standing IN ('given', 'reserved')"""
GIVEN = "SELECT count(*) FROM edition_number WHERE edition = ? AND kind = 'numbered' AND standing IN ('given', 'void')"
REGISTER = "SELECT number FROM edition_number WHERE edition = ? AND kind = ?"
VOID_FREE = "UPDATE edition_number SET standing = 'void' WHERE edition = ? AND kind = ? AND standing = 'free'"
VOID_REST = "INSERT INTO edition_number (edition, kind, number, standing) VALUES (?, ?, ?, 'void')"
SIGNED_AFTER = """SELECT c.code, p.signed FROM print p JOIN code c ON c.id = p.id
    WHERE p.edition = ? AND p.signed_earliest > ? AND p.kind <> 'CP' ORDER BY p.id LIMIT 1"""
PRINTED_AFTER = """SELECT c.code, p.made FROM print p JOIN code c ON c.id = p.id
    WHERE p.negative = ? AND p.earliest > ? AND p.kind IS NOT 'CP' ORDER BY p.id LIMIT 1"""
ENDED_AFTER = "SELECT state, happened FROM edition_event WHERE edition = ? AND earliest > ? ORDER BY id DESC LIMIT 1"
VERBS = {"closed early": "closed early", "complete": "called complete", "cancelled": "cancelled"}
LEFT_OVER = "UPDATE print SET kind = 'work' WHERE edition = ? AND kind IS NULL"
# fate of the negative -> the state it comes to; "kept" changes nothing
STATE_OF_FATE = {
    "retired": "retired",
    "marked": "cancelled",
    "broken": "broken",
    "destroyed": "destroyed",
    "deposited": "deposited",
}


class EndingError(TirageError):
    """An edition that cannot end so."""

    def __init__(self, edition: str, verb: str, reason: str) -> None:
        super().__init__(f"{edition} was not {verb}: {reason}")


class Ending(NamedTuple):
    """One end of an edition; `fate` is the negative's, and "" unless the edition was cancelled."""

    state: str
    fate: str
    happened: str
    by: str
    note: str


def endings(connection: sqlite3.Connection, edition: int) -> list[Ending]:
    """How an edition ended, in order; one that was closed can be cancelled later."""
    return fetch_all(connection, Ending, ALL, (edition,))


def close(connection: sqlite3.Connection, event: Event, edition: Edition, at: int | None) -> int | None:
    """Close a numbered edition early, at or above the highest number given; or call it complete."""
    if edition.state != "declared":
        raise EndingError(edition.code, "closed", f"it is {edition.state} already.")
    _refuse_day(connection, event, edition, "closed", False)
    state = "complete"
    if edition.size is not None:
        at = _closing_number(connection, edition, at)
        state = "complete" if at == edition.size else "closed early"
    closed_at = at if state == "closed early" else None
    connection.execute(ADD, (edition.id, state, "", *event.columns[:3], event.by, event.note, closed_at))
    return at if edition.size is not None else None


def _closing_number(connection: sqlite3.Connection, edition: Edition, at: int | None) -> int:
    assert edition.size is not None
    highest: int = connection.execute(HIGHEST, (edition.id,)).fetchone()[0]
    at = highest if at is None else at
    if at < max(highest, 1) or at > edition.size:
        raise EndingError(edition.code, "closed", _where_it_closes(highest, edition.size))
    waiting = edition.size - int(connection.execute(GIVEN, (edition.id,)).fetchone()[0])
    if at == edition.size and waiting:
        raise EndingError(
            edition.code,
            "called complete",
            f"{waiting} of its {edition.size} numbers {'is' if waiting == 1 else 'are'} not given yet. Close it early "
            f"with --at-number at a lower one, or leave it declared until all are given.",
        )
    return at


def _where_it_closes(highest: int, size: int) -> str:
    """At which numbers an edition can close."""
    if highest == size:
        return f"its last number, {size}, is given or promised, so it is closed at {size} or not at all."
    if not highest:
        return (
            f"it can close at a number from 1 to {size}, for none is given or promised yet; name it with --at-number."
        )
    return (
        f"it can close at a number from {highest} (the highest given or promised) to {size}; name one of these with "
        f"--at-number."
    )


def cancel(connection: sqlite3.Connection, event: Event, edition: Edition, negative: Coded, fate: str) -> int:
    """Cancel an edition and say what became of its negative; how many numbers and proofs became void.

    What was given stays given. What was not is void; a declared cancellation proof alone can still be made. Prints
    of it without a designation are work prints from then on. The event's note says why. Raises EndingError.
    """
    if edition.state == "cancelled":
        raise EndingError(edition.code, "cancelled", "it is cancelled already.")
    if fate not in EDITION_FATES:
        raise NotUnderstood("what became of the negative", fate, "one of " + ", ".join(EDITION_FATES))
    if not event.note.strip():
        raise EndingError(edition.code, "cancelled", "a reason is missing, which the record keeps. Add --why REASON.")
    held = promises.not_printed(connection, edition)
    if held:
        label, name = held[0]
        raise EndingError(
            edition.code,
            "cancelled",
            f"{label} is promised to {name}. Give it first, or withdraw the promise: "
            f"tirage promise {edition.code}:{label.replace(' ', '')} --withdraw.",
        )
    plate = negatives.read(connection, negative.id)
    state = STATE_OF_FATE.get(fate, "")
    _refuse_day(connection, event, edition, "cancelled", state in GONE_STATES)
    _refuse_fate(connection, edition, plate, fate, state)
    voided = _void_the_rest(connection, edition)
    connection.execute(LEFT_OVER, (edition.id,))
    connection.execute(ADD, (edition.id, "cancelled", fate, *event.columns[:3], event.by, event.note, None))
    if state not in ("", plate.state):
        negatives.enter_state(connection, event, negative, state)
    return voided


def _refuse_day(connection: sqlite3.Connection, event: Event, edition: Edition, verb: str, gone: bool) -> None:
    """Raise EndingError for a day before the edition was declared, or before what was certainly made of it."""
    day = event.moment.latest
    if edition.earliest and day and day < edition.earliest:
        declared = parse_date(edition.declared).text()
        raise EndingError(
            edition.code, verb, f"it was declared {declared}, after that day. Give the day with --on DATE."
        )
    closed = connection.execute(ENDED_AFTER, (edition.id, day)).fetchone() if day else None
    if closed:
        ended = f"{VERBS[closed[0]]} {parse_date(closed[1]).text()}"
        raise EndingError(edition.code, verb, f"it was {ended}, after that day. Give the day with --on DATE.")
    if verb != "cancelled" or not day:
        return
    for sql, subject, what in ((SIGNED_AFTER, edition.id, "signed"), (PRINTED_AFTER, edition.negative, "printed")):
        row = connection.execute(sql, (subject, day)).fetchone() if what == "signed" or gone else None
        if row:
            raise EndingError(
                edition.code,
                verb,
                f"{row[0]} was {what} {parse_date(row[1]).text()}, after that day. Give the day with --on DATE.",
            )


def _refuse_fate(
    connection: sqlite3.Connection, edition: Edition, plate: negatives.Negative, fate: str, state: str
) -> None:
    """Raise EndingError where the negative cannot come to this, or another edition still needs it whole."""
    if plate.state in GONE_STATES and state not in GONE_STATES:
        words = {"cancelled": "marked"}.get(plate.state, plate.state)
        raise EndingError(
            edition.code, "cancelled", f"{plate.code} is {plate.state} already. Say so: --negative {words}."
        )
    if state not in GONE_STATES or plate.state in GONE_STATES:
        return
    others = [one.code for one in listed(connection, plate.id) if one.id != edition.id and _runs_on(connection, one)]
    if others:
        raise EndingError(
            edition.code,
            "cancelled",
            f"{plate.code} would be {fate}, and {', '.join(others)} can still be printed from it. End "
            f"{'that' if len(others) == 1 else 'those'} first, say --negative kept, or record what happened to the "
            f"plate alone: tirage negative state {plate.code} {state}.",
        )


def _runs_on(connection: sqlite3.Connection, edition: Edition) -> bool:
    """Whether an edition still has numbers to give: not cancelled, and open or not wholly given."""
    if edition.state in ("cancelled", "complete"):
        return False
    given = int(connection.execute(GIVEN, (edition.id,)).fetchone()[0])
    return edition.state == "declared" or given < (edition.closed_at or 0)


def _void_the_rest(connection: sqlite3.Connection, edition: Edition) -> int:
    """Make void every number and proof that was not given, cancellation proofs excepted; how many."""
    count = 0
    for kind in ("numbered", *proofs(connection, edition.id)):
        if kind == "CP":
            continue
        known = {row[0] for row in connection.execute(REGISTER, (edition.id, kind))}
        count += connection.execute(VOID_FREE, (edition.id, kind)).rowcount
        rest = [number for number in range(1, limit(connection, edition, kind) + 1) if number not in known]
        connection.executemany(VOID_REST, [(edition.id, kind, number) for number in rest])
        count += len(rest)
    return count
