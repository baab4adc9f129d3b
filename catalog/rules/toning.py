"""Toning: what a print was toned with, in words."""

import sqlite3

from catalog.quantities import format_duration
from catalog.records.steps import history


def toning(connection: sqlite3.Connection, print_id: int) -> str:
    """Every toning in time order, “selenium toner 1+20, 2 min; gold toner 5 min”, or "" when untoned."""
    said = []
    for step in history(connection, print_id):
        if step.kind == "tone":
            bath = step.bath_text or "toner not recorded"
            joint = ", " if bath[-1].isdigit() else " "
            said.append(bath + (joint + format_duration(step.seconds) if step.seconds is not None else ""))
    return "; ".join(said)
