"""The stages of a darkroom session as they stand on its sheet, with the baths that are in the trays."""

import sqlite3
from typing import NamedTuple

from catalog.records import baths
from catalog.records.baths import Bath
from catalog.rules.stage import usual_bath
from catalog.vocabulary import BATH_OF_STEP

# What is written on the sheet for a kind of step; all else is written as the kind itself.
WRITTEN = {"fix 1": "fix", "fix 2": "fix", "final wash": "wash"}
ORDER = ("fix 1", "fix 2", "wash", "wash aid", "tone", "final wash")


class Stage(NamedTuple):
    """One line of the sheet: its name, its kind of step, and the bath in the tray."""

    name: str
    kind: str
    bath: str
    bath_text: str


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
        found.append(Stage(name, kind, bath.code if bath else "", bath.text() if bath else ""))
    return found


def in_trays(connection: sqlite3.Connection, written: str) -> list[str]:
    """The baths in trays that a stage may have been in: “B-0003 selenium toner 1+20”."""
    kind = BATH_OF_STEP.get(kind_of(written))
    return [f"{bath.code} {bath.text()}" for bath in baths.baths(connection) if bath.in_tray and bath.kind == kind]


def kind_of(written: str) -> str:
    """The kind of step that is meant by what stands on a sheet."""
    return WRITTEN.get(written, written)


def bath_of(connection: sqlite3.Connection, written: str, text: str) -> Bath | None:
    """The bath that is meant: a code, a word of the name of one in a tray, or "" for the one in the tray.

    Raises NoBathInTrayError, SeveralBathsError, NoSecondFixerError, and as finding a code does.
    """
    if text:
        return baths.named(connection, text)
    return baths.second_fixer(connection) if written == "fix 2" else usual_bath(connection, kind_of(written))
