"""Settings that change what records mean; each has its basis named beside it."""

import sqlite3
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.quantities import parse_residue
from catalog.store.rows import fetch_all
from catalog.whole_numbers import whole_number

ALL = "SELECT name, value, basis, since FROM setting ORDER BY name"
VALUE = "SELECT value FROM setting WHERE name = ?"
ADD = "INSERT INTO setting (name, value, basis, since) VALUES (?, ?, ?, ?)"
LONGEST_SPAN = 100  # years that “vintage” can span: beyond a life the word says nothing
CHANGE = "UPDATE setting SET value = ?, basis = ?, since = ? WHERE name = ?"

# name -> (value, basis). No published limit for paper is confirmed, so a target is the user's, and says so.
DEFAULTS = {
    "hypo-target": (
        "1.4 µg/cm²",
        "the user's own target; the figure is the limit of 36 CFR 1238.14 for microfilm, and no limit for paper",
    ),
    "silver-target": ("", "none set: no published limit for silver left in paper is confirmed"),
    "vintage-years": ("5", "from memory; no standard fixes how many years"),
    "varnish-after": ("24 h", "common practice, no source: dry overnight, varnish the next day"),
    "cure-for": ("24 h", "common practice, no source: cure a full day before printing"),
    "carried-over": ("30 ml", "the user's own figure: solution carried along with one print"),
}


class UnknownSettingError(TirageError):
    """A setting that does not exist."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is no setting “{name}”; expected one of {', '.join(sorted(DEFAULTS))}.")


class Setting(NamedTuple):
    """One setting, with why it has its value."""

    name: str
    value: str
    basis: str
    since: str


def begin(connection: sqlite3.Connection, day: str) -> None:
    """Write the first value of every setting."""
    connection.executemany(ADD, [(name, value, basis, day) for name, (value, basis) in DEFAULTS.items()])


def settings(connection: sqlite3.Connection) -> list[Setting]:
    """Every setting, by name."""
    return fetch_all(connection, Setting, ALL)


def value(connection: sqlite3.Connection, name: str) -> str:
    """The text of one setting."""
    row = connection.execute(VALUE, (name,)).fetchone()
    return str(row[0]) if row else DEFAULTS[name][0]


def residue_target(connection: sqlite3.Connection, question: str) -> int | None:
    """The target for hypo or silver in nanograms a square centimetre, or None when none is set."""
    text = value(connection, f"{question}-target")
    return parse_residue(text) if text else None


def change(connection: sqlite3.Connection, name: str, text: str, basis: str, day: str) -> None:
    """Set a setting; the journal keeps the value before. A basis is required: whose figure is it?"""
    if name not in DEFAULTS:
        raise UnknownSettingError(name)
    if not basis:
        raise NotUnderstood("a basis", basis, "--basis TEXT: where this figure comes from, such as a handbook and page")
    if name.endswith("-target") and text:
        parse_residue(text)
    if name == "vintage-years" and ((years := whole_number(text)) is None or years > LONGEST_SPAN):
        raise NotUnderstood("a number of years", text, f"a whole number from 0 to {LONGEST_SPAN}, such as 5")
    connection.execute(CHANGE, (text, basis, day, name))
