"""Densities told: what a plate's range is, and how it suits the printing process of its editions."""

import sqlite3
from collections.abc import Sequence

from catalog.formulas.density import SILVER_GELATIN, Needed, grade_for, needed
from catalog.measures import rounded
from catalog.records import editions
from catalog.records.densities import AFTER, BEFORE, Density, newest
from catalog.stops import format_density

STAGES = ("", BEFORE, AFTER)
LIGHT = "A stained plate has another range in the light that prints it (from memory): measure it through that."


def range_of(readings: Sequence[Density], stage: str) -> int | None:
    """The range of a plate at a stage, dense less thin, in thousandths; None where one of them was not read."""
    found = newest(list(readings), stage)
    return found["dense"] - found["thin"] if {"dense", "thin"} <= found.keys() else None


def range_words(connection: sqlite3.Connection, plate: int, readings: Sequence[Density]) -> list[str]:
    """The range of a plate at each stage, and beside the process of each of its editions, one sentence each."""
    ranges = [(stage, found) for stage in STAGES if (found := range_of(readings, stage)) is not None]
    if not ranges:
        return []
    said = [f"Range{f' {stage}' if stage else ''}: {_told(found)} (dense less thin)." for stage, found in ranges]
    now = ranges[-1][1]
    processes: dict[Needed, list[str]] = {}
    for edition in editions.listed(connection, plate):
        if (wanted := needed(edition.process)) is not None:
            processes.setdefault(wanted, []).append(f"{edition.code} ({edition.process})")
    said += [f"{', '.join(codes)}: {_suits(now, wanted)}" for wanted, codes in processes.items()]
    return [*said, LIGHT] if processes else said


def _suits(found: int, wanted: Needed) -> str:
    """How a range suits a process."""
    span = format_density(wanted.least)
    if wanted.most > wanted.least:
        span += f" to {format_density(wanted.most)}"
    source = f"{wanted.process} wants {span} ({wanted.source})"
    if wanted is SILVER_GELATIN:
        grade = grade_for(found)
        return f"grade {grade} fits; {source}." if grade is not None else f"no grade fits; {source}."
    if wanted.least <= found <= wanted.most:
        return f"it fits; {source}."
    short = wanted.least - found
    off = f"{_told(short)} short" if short > 0 else f"{_told(found - wanted.most)} too much"
    return f"{off}; {source}."


def _told(thousandths: int) -> str:
    """A difference of densities, to a hundredth: two readings do not hold more."""
    return format_density(rounded(thousandths, 10) * 10)
