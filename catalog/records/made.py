"""When a thing was made, before which nothing is read on it and nothing is approved."""

import sqlite3

from catalog.dates import Moment, later_than
from catalog.errors import TirageError
from catalog.records.items import Coded

MADE = {
    "print": "SELECT made, earliest, latest, clock FROM print WHERE id = ?",
    "negative": "SELECT made, earliest, latest, '' FROM negative WHERE id = ?",
    "control strip": "SELECT made, made, made, '' FROM control_strip WHERE id = ?",
}


class BeforeItWasMadeError(TirageError):
    """Something dated before the thing that it is of was made."""

    def __init__(self, item: Coded, made: Moment, what: str, moment: Moment) -> None:
        super().__init__(
            f"{item.code} was made on {made.text()}, and this {what} is dated {moment.text()}, before that; "
            f"expected a date from then on. Give the right one with --on."
        )


def check_made(connection: sqlite3.Connection, item: Coded, moment: Moment, what: str) -> None:
    """Whether a thing can have been there at a moment. Raises BeforeItWasMadeError."""
    made = Moment(*connection.execute(MADE[item.kind], (item.id,)).fetchone())
    if made.date and later_than(made, moment):
        raise BeforeItWasMadeError(item, made, what, moment)
