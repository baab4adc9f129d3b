"""Residuals: control strips, and readings for the hypo or silver left in a sheet."""

import json
import sqlite3
from collections.abc import Mapping
from typing import NamedTuple

from catalog.dates import Moment
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records.items import Coded, give_items
from catalog.store.rows import fetch_all
from catalog.vocabulary import DROP_METHODS, METHODS_OF, QUESTIONS, READINGS, TRIAL_KINDS

ADD_STRIP = "INSERT INTO control_strip (id, paper, made, note) VALUES (?, ?, ?, ?)"
STRIPS = """SELECT k.id, c.code, coalesce(p.name, ''), k.made, k.note FROM control_strip k JOIN code c ON c.id = k.id
    LEFT JOIN paper p ON p.id = k.paper ORDER BY k.id"""
PAPER = "SELECT id FROM paper WHERE name = ?"
# The number of a test holds the last code given before it: the order of entry between tests and steps of one day.
ENTRY = 1_000_000
ADD_TEST = f"""INSERT INTO residual_test (id, item, question, method, reading, value, happened, earliest, latest, clock,
    by, note, given, calibration)
    VALUES (max(coalesce((SELECT max(id) FROM residual_test), 0) + 1, {ENTRY} * (SELECT max(id) FROM code)),
    ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING id"""
# A stain reads otherwise on another paper than that of its calibration.
TESTS = """SELECT id, item, question, method, reading, value, happened, earliest, latest, clock, by, note, given,
    calibration, calibration IS NOT NULL AND EXISTS (SELECT 1 FROM calibration c WHERE c.id = residual_test.calibration
    AND c.kind = 'stain' AND c.paper <> coalesce((SELECT paper FROM control_strip WHERE id = residual_test.item),
    (SELECT paper FROM print WHERE id = residual_test.item))) FROM residual_test"""
OF_ITEM = f"{TESTS} WHERE item = ? ORDER BY id"
OF_ITEMS = f"{TESTS} WHERE item IN (SELECT value FROM json_each(?)) ORDER BY id"
# What shared a step with some items and was tested: strips, and prints in which something was found.
TESTED_BESIDE = """SELECT DISTINCT t.item, n.kind = 'control strip' FROM residual_test t JOIN item n ON n.id = t.item
    JOIN step_item i ON i.item = t.item WHERE (n.kind = 'control strip' OR (n.kind = 'print' AND t.reading <> 'none'))
    AND i.step IN (SELECT step FROM step_item WHERE item IN (SELECT value FROM json_each(?)))"""
PAPERS_OF_STRIPS = "SELECT id, paper FROM control_strip WHERE id IN (SELECT value FROM json_each(?))"
PAPERS_OF_PRINTS = "SELECT id, paper FROM print WHERE id IN (SELECT value FROM json_each(?))"
PRINTS_BESIDE = """SELECT DISTINCT c.id, c.code, c.kind FROM step_item k
    JOIN step s ON s.id = k.step AND s.kind = 'fix' JOIN step_item i ON i.step = k.step
    JOIN code c ON c.id = i.item AND c.kind = 'print' WHERE k.item = ? ORDER BY c.id"""
KIND_OF_PRINT = "SELECT coalesce(kind, 'not yet designated') FROM print WHERE id = ?"
TESTED_KINDS = ("print", "control strip", "negative")


class NotTestedError(TirageError):
    """A drop on a plate, or a residual test on something that is no photograph."""

    def __init__(self, item: Coded) -> None:
        plate = " Of a plate only a measured value is taken (tirage test n1 hypo 0.5ug/cm2 --method laboratory)."
        super().__init__(
            f"{item.code} is a {item.kind}; a residual test is made on a control strip (k1) or a print "
            f"(3). Name one of those.{plate if item.kind == 'negative' else ''}"
        )


class EditionPrintSpottedError(TirageError):
    """A drop put on a print that is kept for good, or will be."""

    def __init__(self, code: str, kind: str) -> None:
        super().__init__(
            f"{code} belongs to an edition or is for sale ({kind}); the stain of a drop stays, so it is never "
            f"spotted. Test the control strip that went with it (tirage test k1 hypo none silver none), "
            f"or a work print."
        )


class MethodError(TirageError):
    """A method that does not answer the question, or not in this form."""

    def __init__(self, question: str, method: str, drop: bool) -> None:
        known = [DROP_METHODS[question]] if drop else list(METHODS_OF[question])
        form = "a reading of a drop" if drop else "a measured value"
        wrong = f"“{method}” is no method that gives {form} for {question}"
        if not method:
            wrong = f"No method is named for {form}"
        super().__init__(
            f"{wrong}; expected {', '.join(known[:-1])}{' or ' if known[1:] else ''}{known[-1]}. Give it with --method."
        )


class Strip(NamedTuple):
    """A control strip."""

    id: int
    code: str
    paper: str
    made: str
    note: str


class Test(NamedTuple):
    """One reading of a drop, or one measured value in nanograms a square centimetre of a side, of hypo as its ion.

    `given` holds, as JSON, the value as it was given with its basis and sides, or what it was worked out from;
    `other_paper` is 1 where it is a stain read on a calibration made of another paper.
    """

    id: int
    item: int
    question: str
    method: str
    reading: str
    value: int | None
    happened: str
    earliest: str
    latest: str
    clock: str
    by: str
    note: str
    given: str = "{}"
    calibration: int | None = None
    other_paper: int = 0


Test.__test__ = False  # type: ignore[attr-defined]  # it is no class of tests


def paper_named(connection: sqlite3.Connection, name: str) -> int:
    """The paper of a name."""
    row = connection.execute(PAPER, (name,)).fetchone()
    if row is None:
        raise TirageError(f"There is no paper “{name}”; expected the name of one. See: tirage paper list.")
    return int(row[0])


def make_strips(connection: sqlite3.Connection, event: Event, count: int, paper: int | None) -> list[Coded]:
    """Cut control strips of a paper."""
    if not 1 <= count <= 1_000:
        raise NotUnderstood("a number of control strips", str(count), "1 to 1000")
    made = give_items(connection, "control strip", count)
    day = event.moment.earliest or event.moment.date
    connection.executemany(ADD_STRIP, [(strip.id, paper, day, event.note) for strip in made])
    return made


def strips(connection: sqlite3.Connection) -> list[Strip]:
    """Every control strip."""
    return fetch_all(connection, Strip, STRIPS)


def record_test(
    connection: sqlite3.Connection,
    event: Event,
    item: Coded,
    question: str,
    *,
    method: str = "",
    reading: str | None = None,
    value: int | None = None,
    given: Mapping[str, str] | None = None,
    calibration: int | None = None,
) -> Test:
    """Record a reading, or a value with what it was worked out from. Raises the errors above, and NotUnderstood."""
    if question not in QUESTIONS:
        raise NotUnderstood("a question of a residual test", question, "hypo or silver")
    if (reading is None) == (value is None):
        raise NotUnderstood("the result of a residual test", reading or "", "either a reading of a drop or a value")
    if reading is not None and reading not in READINGS:
        expected = f"one of {', '.join(READINGS)}, or a value such as 0.9ug/cm2"
        raise NotUnderstood("a reading of a drop", reading, expected)
    drop = reading is not None
    method = method or (DROP_METHODS[question] if drop else "")
    if method not in ((DROP_METHODS[question],) if drop else METHODS_OF[question]):
        raise MethodError(question, method, drop)
    _check_item(connection, event.moment, item, drop)
    kept = json.dumps(given or {}, ensure_ascii=False, sort_keys=True)
    values = (item.id, question, method, reading or "", value, *event.columns, event.by, event.note, kept, calibration)
    row = connection.execute(ADD_TEST, values).fetchone()
    return next(test for test in tests_of(connection, item) if test.id == row[0])


def tests_of(connection: sqlite3.Connection, item: Coded) -> list[Test]:
    """The tests of one item, in the order of entry."""
    return fetch_all(connection, Test, OF_ITEM, (item.id,))


def prints_beside(connection: sqlite3.Connection, strip: Coded) -> list[Coded]:
    """The prints that went through a fixer together with a strip."""
    return fetch_all(connection, Coded, PRINTS_BESIDE, (strip.id,))


def _check_item(connection: sqlite3.Connection, moment: Moment, item: Coded, drop: bool) -> None:
    from catalog.records.made import check_made  # only where a test is recorded: every grade reads this module

    if item.kind not in TESTED_KINDS or (drop and item.kind == "negative"):
        raise NotTestedError(item)
    check_made(connection, item, moment, "test")
    kind = connection.execute(KIND_OF_PRINT, (item.id,)).fetchone() if item.kind == "print" else None
    if drop and kind and kind[0] is not None and kind[0] not in TRIAL_KINDS:
        raise EditionPrintSpottedError(item.code, kind[0])
