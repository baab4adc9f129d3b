"""Baths in trays that are used up by the figures set for them."""

import sqlite3
from collections.abc import Iterator
from datetime import datetime

from catalog.records import baths
from catalog.rules.bath_standing import mix_command, standing
from catalog.rules.waiting import Due


def used_up(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Baths in trays that are past a figure set for them, or have no room left."""
    today = now.date().isoformat()
    for bath in baths.limited_in_trays(connection):
        left = standing(connection, bath, today).left
        if not left.past and left.area != 0:
            continue
        why = f"past its {' and '.join(left.past)}" if left.past else "used up"
        yield Due(
            "bath",
            bath.code,
            "",
            "",
            f"{bath.kind.capitalize()} {bath.code} in the tray is {why} by the figures set for it: mix a fresh one.",
            mix_command(bath),
        )
