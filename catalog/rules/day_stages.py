"""The stages of a darkroom session as they stand on its sheet, with the baths that are in the trays."""

import sqlite3
from typing import NamedTuple

from catalog.records import baths
from catalog.records.baths import Bath
from catalog.vocabulary import BATH_OF_STEP

# What is written on the sheet for a kind of step; all else is written as the kind itself.
WRITTEN = {"fix 1": "fix", "fix 2": "fix", "final wash": "wash"}
ORDER = ("fix 1", "fix 2", "wash", "wash aid", "tone", "final wash")
BATH_NEEDED = ("fix", "tone")  # of the others nobody may have recorded the bath


class Stage(NamedTuple):
    """One line of the sheet: its name, its kind of step, the bath in the tray, and whether it is likely to be used."""

    name: str
    kind: str
    bath: str
    bath_text: str
    likely: bool


def stages(connection: sqlite3.Connection) -> list[Stage]:
    """The lines of a sheet, in the order of the work."""
    trays = [bath for bath in baths.baths(connection) if bath.in_tray]
    found: list[Stage] = []
    for name in ORDER:
        kind = kind_of(name)
        fitting = [
            bath
            for bath in trays
            if bath.kind == BATH_OF_STEP.get(kind) and (bath.position == "second") == (name == "fix 2")
        ]
        bath = fitting[0] if len(fitting) == 1 else None
        likely = name in ("fix 1", "wash") or (bool(fitting) and kind != "wash")
        if name == "final wash":
            likely = any(stage.likely for stage in found if stage.name in ("wash aid", "tone"))
        found.append(Stage(name, kind, bath.code if bath else "", bath.text() if bath else "", likely))
    return found


def kind_of(written: str) -> str:
    """The kind of step that is meant by what stands on a sheet."""
    return WRITTEN.get(written, written)


def bath_of(connection: sqlite3.Connection, written: str, text: str) -> Bath | None:
    """The bath that is meant: a code, a word of the name of one in a tray, or "" for the one in the tray.

    Raises NoBathInTrayError, SeveralBathsError, NoSecondFixerError, and as finding a code does.
    """
    kind = kind_of(written)
    if text:
        return baths.named(connection, text)
    if written == "fix 2":
        return baths.second_fixer(connection)
    if kind not in BATH_OF_STEP:
        return None
    try:
        return baths.in_tray(connection, BATH_OF_STEP[kind])
    except baths.NoBathInTrayError:
        if kind in BATH_NEEDED:
            raise
        return None
