"""Calibrations: readings that a curve is fitted to: a wash trial, or strips with a known residue."""

import sqlite3
from collections.abc import Sequence
from typing import NamedTuple

from catalog import names
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.store.rows import fetch_all, fetch_one

KINDS = {"wash": "a wash trial", "stain": "strips for the density of a stain", "absorbance": "a series of absorbances"}
MAKE = {"wash": "wash", "stain": "strips", "absorbance": "absorbance"}  # kind -> the verb that makes one
SCALE = 10_000  # densities and absorbances are kept in ten-thousandths
FEWEST = 3  # readings, and known amounts, of a straight line
MOST = 200
NAME_EXPECTED = "a name such as strips1, before the readings"
COLUMNS = """SELECT c.id, c.name, c.kind, coalesce(p.name, ''), coalesce(w.name, ''), c.method, c.text, c.happened,
    c.by, c.note FROM calibration c LEFT JOIN paper p ON p.id = c.paper LEFT JOIN washer w ON w.id = c.washer"""
BY_NAME = f"{COLUMNS} WHERE c.name = ?"
BY_ID = f"{COLUMNS} WHERE c.id = ?"
LIST = f"{COLUMNS} ORDER BY c.name COLLATE NOCASE"
ADD = """INSERT INTO calibration (name, kind, paper, washer, method, text, happened, earliest, latest, clock, by, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING id"""
ADD_POINT = "INSERT INTO calibration_point (calibration, position, reading, residue) VALUES (?, ?, ?, ?)"
POINTS = "SELECT reading, residue FROM calibration_point WHERE calibration = ? ORDER BY position"


class UnknownCalibrationError(TirageError):
    """A name that no calibration has."""

    def __init__(self, name: str, known: Sequence[str]) -> None:
        names = ", ".join(known) if known else "none yet"
        super().__init__(
            f"There is no calibration “{name}”; known: {names}. Make one: tirage calibrate wash, strips or absorbance."
        )


class CalibrationTakenError(TirageError):
    """A name that a calibration has already."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"There is a calibration “{name}” already, and its readings stay as they were told; give this one a name "
            f"of its own."
        )


class WhichTrialError(TirageError):
    """A question to no wash trial by name, with none or several to choose from."""

    def __init__(self, known: Sequence[str]) -> None:
        found = f"there are {', '.join(known)}" if known else "none is kept yet"
        super().__init__(
            f"Which wash trial is not told; {found}. Name one, or keep one: tirage calibrate wash NAME 5m=40ug/cm2 ..."
        )


class WrongCalibrationError(TirageError):
    """A calibration of another kind than the reading needs."""

    def __init__(self, name: str, kind: str, wanted: str) -> None:
        super().__init__(
            f"“{name}” is {KINDS[kind]}; expected {KINDS[wanted]}. Make one: tirage calibrate {MAKE[wanted]} NAME ..."
        )


class TooFewReadingsError(TirageError):
    """Readings that no curve can be fitted to."""

    def __init__(self, name: str, expected: str) -> None:
        super().__init__(f"These readings are too few for “{name}”; expected {expected}. Give all of them in one line.")


class Point(NamedTuple):
    """Seconds washed, or ten-thousandths of density or absorbance; and nanograms (a square centimetre)."""

    reading: int
    residue: int


class Calibration(NamedTuple):
    """A set of readings, by whom and when, and what was the same for all of them."""

    id: int
    name: str
    kind: str
    paper: str
    washer: str
    method: str
    text: str
    happened: str
    by: str
    note: str


def add(
    connection: sqlite3.Connection,
    event: Event,
    name: str,
    kind: str,
    points: Sequence[Point],
    *,
    paper: int | None = None,
    washer: int | None = None,
    method: str = "",
    text: str = "",
) -> Calibration:
    """Keep a calibration with all its readings. Raises CalibrationTakenError, TooFewReadingsError, NotUnderstood."""
    name = names.tidy("the name of a calibration", name, NAME_EXPECTED)
    if "=" in name:
        raise NotUnderstood("the name of a calibration", name, NAME_EXPECTED)
    if fetch_one(connection, Calibration, BY_NAME, (name,)):
        raise CalibrationTakenError(name)
    amounts = {point.reading if kind == "wash" else point.residue for point in points}
    if len(amounts) < FEWEST or len(points) > MOST:
        axis = "times" if kind == "wash" else "known amounts"
        raise TooFewReadingsError(name, f"readings at {FEWEST} different {axis} or more, and at most {MOST} readings")
    values = (name, kind, paper, washer, method, text, *event.columns, event.by, event.note)
    identity = int(connection.execute(ADD, values).fetchone()[0])
    connection.executemany(ADD_POINT, [(identity, place, *point) for place, point in enumerate(points, start=1)])
    return named(connection, name)


def named(connection: sqlite3.Connection, name: str, kind: str = "") -> Calibration:
    """The calibration of that name, of that kind where one is given.

    Raises UnknownCalibrationError, WrongCalibrationError.
    """
    found = fetch_one(connection, Calibration, BY_NAME, (" ".join(name.split()),))
    if found is None:
        raise UnknownCalibrationError(name, [each.name for each in listed(connection) if kind in ("", each.kind)])
    if kind and found.kind != kind:
        raise WrongCalibrationError(found.name, found.kind, kind)
    return found


def usual_trial(connection: sqlite3.Connection) -> Calibration:
    """The only wash trial. Raises WhichTrialError."""
    trials = [each for each in listed(connection) if each.kind == "wash"]
    if len(trials) != 1:
        raise WhichTrialError([trial.name for trial in trials])
    return trials[0]


def read(connection: sqlite3.Connection, identity: int) -> Calibration:
    """One calibration by its identity."""
    return fetch_all(connection, Calibration, BY_ID, (identity,))[0]


def listed(connection: sqlite3.Connection) -> list[Calibration]:
    """Every calibration, by name."""
    return fetch_all(connection, Calibration, LIST)


def points_of(connection: sqlite3.Connection, calibration: Calibration) -> list[Point]:
    """Its readings, in the order they were told."""
    return fetch_all(connection, Point, POINTS, (calibration.id,))
