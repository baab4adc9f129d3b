"""Routines: proven ways of working, each named by the user; another way of working is another routine."""

import json
import sqlite3
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from catalog import names
from catalog.dates import Moment, parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.store.rows import fetch_all

READ = """SELECT r.id, r.name, r.paper, p.description, r.fixer, r.fix_seconds, r.second_fix_seconds, r.wash_aid,
    r.wash_aid_seconds, r.toner, r.washer, w.name, r.wash_seconds, r.changes, r.sheets, r.celsius, r.tests,
    r.lapse_days, r.basis, r.begun, r.ended, r.by, r.note
    FROM routine r JOIN paper p ON p.id = r.paper JOIN washer w ON w.id = r.washer"""
LIST = f"{READ} ORDER BY r.id"
BY_NAME = f"{READ} WHERE r.name = ?"
ADD = """INSERT INTO routine (name, paper, fixer, fix_seconds, second_fix_seconds, wash_aid, wash_aid_seconds, toner,
    washer, wash_seconds, changes, sheets, celsius, tests, lapse_days, basis, begun, by, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
END = "UPDATE routine SET ended = ? WHERE id = ?"
BATCHES = "SELECT id, name, batch FROM paper WHERE description = ? COLLATE NOCASE ORDER BY id"
BATCHES_AMONG = """SELECT id, name, batch FROM paper WHERE +description = ? COLLATE NOCASE
    AND id IN (SELECT value FROM json_each(?)) ORDER BY id"""
PAPER_OF = """SELECT coalesce((SELECT paper FROM print WHERE id = ?1),
    (SELECT paper FROM control_strip WHERE id = ?1))"""
PAPERS_OF = """SELECT p.id, p.paper, q.description FROM print p JOIN paper q ON q.id = p.paper
    WHERE p.id IN (SELECT value FROM json_each(?))"""
# What a step was worked with: its bath, its washer, and how many sheets were in it (a strip is none).
MANNERS = """SELECT s.id, coalesce(trim(b.name || ' ' || b.dilution), ''), s.washer, s.celsius, s.detail, s.sheets
    FROM step s LEFT JOIN bath b ON b.id = s.bath WHERE s.id IN (SELECT value FROM json_each(?))"""
CROWDS = """SELECT i.step, sum(t.kind <> 'control strip') FROM step_item i JOIN item t ON t.id = i.item
    WHERE i.step IN (SELECT value FROM json_each(?)) GROUP BY i.step"""
PAPERS = "SELECT id, description FROM paper"
# Strips and work prints stand for a paper; what was found in any other print speaks against a way of working.
PIECES = """SELECT id FROM control_strip WHERE paper = ?1
    UNION ALL SELECT id FROM print WHERE paper = ?1 AND kind = 'work'"""
FOUND_IN = """SELECT DISTINCT p.paper, p.id FROM residual_test t JOIN print p ON p.id = t.item
    WHERE t.reading <> 'none' AND p.kind IS NOT 'work' AND p.paper IS NOT NULL"""
DEFAULT_TESTS, DEFAULT_LAPSES = 3, 180
DEFAULT_BASIS = "the user's own figures; no standard says how many tests prove a way of working, or for how long"


class UnknownRoutineError(TirageError):
    """A name that no routine has."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is no routine “{name}”; expected the name of one. See: tirage routine list.")


class RoutineTakenError(TirageError):
    """A name that a routine has already."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"There is a routine “{name}” already, and it does not change; another way of working is another "
            f"routine. Give it a name of its own."
        )


class RoutineEndedError(TirageError):
    """A routine that ended already, or would end before it began."""

    def __init__(self, routine: "Routine", day: str) -> None:
        begun, ended = (parse_date(one).text() if one else "" for one in (routine.begun, routine.ended))
        when = f"ended on {ended}" if ended else f"began on {begun}, after {parse_date(day).text()}"
        super().__init__(f"The routine “{routine.name}” {when}; a routine ends once, from the day it began on.")


class NoExactDayError(TirageError):
    """A routine that begins or ends on a day that is not known."""

    def __init__(self, moment: Moment) -> None:
        super().__init__(
            f"A routine begins and ends on one day, and “{moment.text()}” is not one; expected a day such as "
            f"2026-03-04. Give it with --on."
        )


class Terms(NamedTuple):
    """What a routine asks for. Seconds; thousandths of a degree Celsius; days. Baths as name and dilution."""

    paper: int
    fixer: str
    fix_seconds: int
    second_fix_seconds: int | None
    wash_aid: str
    wash_aid_seconds: int | None
    toner: str  # several, in their order, with “; ” between
    washer: int
    wash_seconds: int
    changes: int | None
    sheets: int | None
    celsius: int | None


class Routine(NamedTuple):
    """One routine, as it is kept; `stock` is the description of its paper, whose every batch is proved by itself."""

    id: int
    name: str
    paper: int
    stock: str
    fixer: str
    fix_seconds: int
    second_fix_seconds: int | None
    wash_aid: str
    wash_aid_seconds: int | None
    toner: str
    washer: int
    washer_name: str
    wash_seconds: int
    changes: int | None
    sheets: int | None
    celsius: int | None
    tests: int
    lapse_days: int
    basis: str
    begun: str
    ended: str
    by: str
    note: str


class Manner(NamedTuple):
    """What one step was worked with; sheets are all that went along, a strip counting as none."""

    bath: str
    washer: int | None
    celsius: int | None
    changes: int
    sheets: int


class PaperOf(NamedTuple):
    """The paper of a print, and its description."""

    id: int
    description: str


class Batch(NamedTuple):
    """One paper of a stock."""

    id: int
    name: str
    batch: str


def add(
    connection: sqlite3.Connection, event: Event, name: str, terms: Terms, *, tests: int, lapse_days: int, basis: str
) -> Routine:
    """Begin a routine on the day of the event. Raises RoutineTakenError, NoExactDayError, NotUnderstood."""
    name = names.tidy("the name of a routine", name, "a name such as “selenium, slots”")
    if connection.execute("SELECT 1 FROM routine WHERE name = ?", (name,)).fetchone():
        raise RoutineTakenError(name)
    if tests < 1 or lapse_days < 1:
        raise NotUnderstood("the proof of a routine", f"{tests} tests, {lapse_days} days", "at least 1 of each")
    values = (name, *terms, tests, lapse_days, basis or DEFAULT_BASIS, _day(event.moment), event.by, event.note)
    connection.execute(ADD, values)
    return by_name(connection, name)


def end(connection: sqlite3.Connection, event: Event, name: str) -> Routine:
    """End a routine: what is worked after that day is not within it. Raises RoutineEndedError, NoExactDayError."""
    routine, day = by_name(connection, name), _day(event.moment)
    if routine.ended or day < routine.begun:
        raise RoutineEndedError(routine, day)
    connection.execute(END, (day, routine.id))
    return by_name(connection, name)


def by_name(connection: sqlite3.Connection, name: str) -> Routine:
    """The routine of that name. Raises UnknownRoutineError."""
    found = fetch_all(connection, Routine, BY_NAME, (" ".join(name.split()),))
    if not found:
        raise UnknownRoutineError(name)
    return found[0]


def listed(connection: sqlite3.Connection) -> list[Routine]:
    """Every routine, in the order they were begun here."""
    return fetch_all(connection, Routine, LIST)


def batches(connection: sqlite3.Connection, routine: Routine, among: Iterable[int] | None = None) -> list[Batch]:
    """The papers of its stock, or those among some: each is proved by itself."""
    if among is None:
        return fetch_all(connection, Batch, BATCHES, (routine.stock,))
    return fetch_all(connection, Batch, BATCHES_AMONG, (routine.stock, json.dumps(list(among))))


def paper_of(connection: sqlite3.Connection, item: int) -> int | None:
    """The paper of a print or a control strip."""
    found: int | None = connection.execute(PAPER_OF, (item,)).fetchone()[0]
    return found


def papers_of(connection: sqlite3.Connection, prints: Iterable[int]) -> dict[int, PaperOf]:
    """Print -> its paper, for those whose paper is recorded."""
    rows = connection.execute(PAPERS_OF, (json.dumps(list(prints)),))
    return {item: PaperOf(paper, description) for item, paper, description in rows}


def papers(connection: sqlite3.Connection) -> dict[int, PaperOf]:
    """Every paper."""
    return {paper: PaperOf(paper, description) for paper, description in connection.execute(PAPERS)}


def pieces(connection: sqlite3.Connection, paper: int) -> list[int]:
    """The control strips and work prints of one paper."""
    return [row[0] for row in connection.execute(PIECES, (paper,))]


def found_in(connection: sqlite3.Connection) -> dict[int, list[int]]:
    """Paper -> the prints on it, work prints left aside, whose tests may speak against a routine."""
    found: dict[int, list[int]] = {}
    for paper, item in connection.execute(FOUND_IN):
        found.setdefault(paper, []).append(item)
    return found


def manners(connection: sqlite3.Connection, steps: Iterable[int]) -> dict[int, Manner]:
    """What steps were worked with, in two queries."""
    wanted = json.dumps(list(steps))
    crowds = dict(connection.execute(CROWDS, (wanted,)))
    found = {}
    for step, bath, washer, celsius, detail, sheets in connection.execute(MANNERS, (wanted,)):
        changes = json.loads(detail).get("changes", 0) if detail != "{}" else 0
        found[step] = Manner(
            bath, washer, celsius, changes if isinstance(changes, int) else 0, sheets + crowds.get(step, 0)
        )
    return found


def _day(moment: Moment) -> str:
    if not moment.earliest or moment.earliest != moment.latest:
        raise NoExactDayError(moment)
    return date.fromisoformat(moment.earliest).isoformat()
