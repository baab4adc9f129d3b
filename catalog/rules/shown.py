"""Shown: what of the catalog the public copy has a page for."""

import sqlite3

# A print is public when it has a designation of a public edition; `publish/public_prints.py` copies just these.
SHOWN = """SELECT 1 FROM print p JOIN edition e ON e.id = p.edition JOIN negative n ON n.id = e.negative
    WHERE p.id = ? AND (e.shown = 1 OR n.shown = 1)
    AND p.kind IN ('numbered', 'open', 'AP', 'PP', 'HC', 'BAT', 'EC', 'CP')"""


def is_shown(connection: sqlite3.Connection, print_id: int) -> bool:
    """Whether a print is marked to have a page in the public copy."""
    return connection.execute(SHOWN, (print_id,)).fetchone() is not None
