"""Toning: what a print was toned with, in words."""

import sqlite3
from collections.abc import Sequence

from catalog.quantities import format_duration
from catalog.records.steps import StepOfItem, history


def toning(connection: sqlite3.Connection, print_id: int) -> str:
    """Every toning in time order, “selenium toner 1+20, 2 min; gold toner 5 min”, or "" when untoned."""
    return toning_of(history(connection, print_id))


def toning_of(steps: Sequence[StepOfItem]) -> str:
    """The same, of steps in time order."""
    said = []
    for step in steps:
        if step.kind == "tone":
            bath = step.bath_text or "toner not recorded"
            joint = ", " if bath[-1].isdigit() else " "
            said.append(bath + (joint + format_duration(step.seconds) if step.seconds is not None else ""))
    return "; ".join(said)
