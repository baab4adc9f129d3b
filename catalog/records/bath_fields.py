"""What can be corrected of a bath, and what it cannot become."""

import sqlite3
from collections.abc import Iterable

from catalog import capacities, names
from catalog.dates import parse_date
from catalog.quantities import format_volume, format_weight, parse_volume, parse_weight
from catalog.records import baths
from catalog.records.correction_field import Field, Lock, Values, date_field, quantity_field, text_field
from catalog.records.items import Coded

# What is recorded of a bath before a day: steps in it, what was done to it, and that it was poured away.
USED_BEFORE = """SELECT what, happened FROM (
    SELECT s.kind || ', ' || c.code AS what, s.happened, s.latest FROM step s JOIN code c ON c.id = s.id
        WHERE s.bath = ?1
    UNION ALL SELECT CASE kind WHEN 'promoted' THEN 'promoted' ELSE kind || ': ' || text END, happened, latest
        FROM bath_event WHERE bath = ?1
    UNION ALL SELECT 'poured away', discarded, discarded FROM bath WHERE id = ?1)
    WHERE latest <> '' AND latest < ?2 ORDER BY latest LIMIT 1"""


def _mixed(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    found = connection.execute(USED_BEFORE, (thing.id, values[1])).fetchone()
    if found is None:
        return ""
    return f"it was there on {parse_date(found[1]).text()} ({found[0]}); expected a date up to then."


def _as_mixed(column: str) -> Lock:
    """A limit or its basis is taken as mixing would take it. Raises NotForThisBathError, NoBasisError."""

    def lock(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
        baths.check_limits(baths.read(connection, thing)._replace(**{column: values[0]}))
        return ""

    return lock


def _name(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    names.tidy("the name of a bath", values[0], baths.NAME_EXPECTED)
    return ""


BATH: dict[str, Field] = {
    "name": text_field("name", needed=True, lock=_name),
    "dilution": text_field("dilution"),
    "volume": quantity_field("volume", parse_volume, format_volume),
    "mixed": date_field(("mixed", "earliest", "latest"), lock=_mixed),
    "capacity": quantity_field(
        "capacity", capacities.parse_whole_capacity, capacities.format_area, lock=_as_mixed("capacity")
    ),
    "silver-limit": quantity_field(
        "silver_limit",
        capacities.parse_silver_strength,
        capacities.format_silver_strength,
        lock=_as_mixed("silver_limit"),
    ),
    "life": quantity_field("life", capacities.parse_life, capacities.format_life, lock=_as_mixed("life")),
    "gold": quantity_field("metal", parse_weight, format_weight, lock=_as_mixed("metal")),
    "basis": text_field("basis", lock=_as_mixed("basis")),
    "note": text_field("note"),
}


def in_turn(assignments: Iterable[str]) -> list[str]:
    """Corrections typed together, in an order in which each holds: the basis comes before its limits and goes last."""

    def turn(assignment: str) -> int:
        field, _, text = assignment.partition("=")
        if field.strip().lower() != "basis":
            return 1
        return 0 if text.strip() else 2

    return sorted(assignments, key=turn)
