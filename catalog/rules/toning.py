"""Toning: what a print was toned with, in words."""

import re
import sqlite3
from collections.abc import Sequence

from catalog.quantities import format_duration
from catalog.records.steps import StepOfItem, history

# What a toner is named after, as a whole word in the name of its bath: “iron” is not in “environmental”.
METALS = ("selenium", "gold", "sepia", "sulfide", "thiocarbamide", "platinum", "palladium", "iron", "copper")


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


def toned_of(steps: Sequence[StepOfItem]) -> str:
    """“selenium-toned”, “selenium- and gold-toned”; “toned” where no bath says with what, "" when untoned."""
    baths = [step.bath_text.casefold() for step in steps if step.kind == "tone"]
    metals = [next((metal for metal in re.findall(r"[^\W\d_]+", bath) if metal in METALS), "") for bath in baths]
    named = list(dict.fromkeys(metal for metal in metals if metal))
    if not named:
        return "toned" if baths else ""
    return "- and ".join(named) + "-toned"
