"""Cautions: one line for the steps that can hurt, deferring to the safety data sheet.

A limit is the air limit of OSHA (USA), averaged over a working day, as the pages of CDC/NIOSH on dangers to life and
health give it; a flash point is from there too, and both say so where they are printed. What was not confirmed is
printed as from memory and has no figure. None of it is medical advice.
"""

import sqlite3
from collections.abc import Callable, Iterable
from typing import NamedTuple

from catalog.records.steps import Step
from catalog.rules.substances import SULFIDE, is_cyanide

SHEET = "Read the safety data sheet of each product and follow local rules first."


class Caution(NamedTuple):
    """What to mind at some steps: their kinds (none: any), what their bath is, and the words."""

    kinds: tuple[str, ...]
    of: Callable[[str], bool]
    text: str


def _named(*words: str) -> Callable[[str], bool]:
    return lambda bath: any(word in bath.casefold() for word in words)


def _any(bath: str) -> bool:
    return True


# One line a danger, the first that fits is said. Mercury is not offered, so nothing is said of it.
CAUTIONS = (
    Caution(
        (),
        is_cyanide,
        "Cyanide is a deadly poison (limit in air 5 mg/m³ as CN, OSHA), and acid frees hydrogen cyanide from it (limit "
        "10 ppm, OSHA): no acid and no iodine near it, running water between. Smell is no warning. Never work alone "
        "with it.",
    ),  # CDC/NIOSH, cyanides; hydrogen cyanide 74-90-8; OSHA chemical sampling information
    Caution(
        ("tone", "redevelop"),
        _named("selenium"),
        "Selenium toner is poisonous (limit in air 0.2 mg/m³ as Se, OSHA) and may give off ammonia; it needs gloves "
        "and moving air, and no acid.",
    ),  # CDC/NIOSH, 7782-49-2; the ammonia: practitioners' pages
    Caution(
        ("tone", "redevelop"),
        _named(*SULFIDE),
        "Sulfide toner gives off hydrogen sulfide, much of it when acid comes near (from memory).",
    ),
    Caution(
        (),
        _named("chromat", "chromium", "chromic"),
        "Chromium(VI) causes cancer (limit in air 0.005 mg/m³, OSHA): gloves, no dust, and nothing near alcohol (that "
        "from memory).",
    ),  # the limit as quoted in PMC7490536
    Caution(
        ("collodion",),
        _any,
        "Collodion holds ether (limit in air 400 ppm, OSHA; catches fire at −45 °C, NIOSH) and alcohol: the vapour is "
        "heavy, creeps, and catches fire far from the bottle. No flame, heater or spark; moving air.",
    ),  # CDC/NIOSH, ethyl ether 60-29-7
    Caution(
        ("sensitize",),
        _any,
        "Silver nitrate burns eyes and blackens skin (limit in air 0.01 mg/m³ as Ag, OSHA); it needs eye protection "
        "and gloves, and never ammonia: what then stands can explode (that from memory).",
    ),  # CDC/NIOSH, silver 7440-22-4
    Caution(
        ("redevelop", "develop"),
        _named("pyro"),
        "Pyrogallol is a poison through the skin and by mouth, and its dust by breath; gloves (from memory).",
    ),
    Caution(
        ("develop",),
        _named("hydroquinone"),
        "Hydroquinone (limit in air 2 mg/m³, OSHA) harms eyes and skin, its dust most.",
    ),  # CDC/NIOSH, 123-31-9
    Caution(
        ("iodine",),
        _any,
        "Iodine burns skin and its vapour bites; keep it away from cyanide and from ammonia (from memory).",
    ),
    Caution(
        ("varnish",),
        _any,
        "Varnish is mostly alcohol (ethanol: catches fire from 12.8 °C on, NIOSH; limit in air 1000 ppm, OSHA): warm "
        "the plate first and pour away from every flame.",
    ),  # CDC/NIOSH, ethanol 64-17-5
    Caution(
        ("stop",),
        _named("glacial"),
        "Glacial acid burns and its vapour catches fire; acid into water, never water into acid, none near cyanide "
        "(from memory).",
    ),
)  # fmt: skip
EARLIER = """SELECT s.kind, coalesce(trim(b.name || ' ' || b.dilution), '') FROM (SELECT * FROM step WHERE id < ?
    ORDER BY id DESC LIMIT 200) s LEFT JOIN bath b ON b.id = s.bath WHERE s.happened = ?"""

# 40 CFR 261.24: waste whose leachate holds 5.0 mg/L of silver or more has the number D011.
SILVER = (
    "It holds silver: in the United States waste that leaches 5.0 mg/L or more is hazardous (D011, 40 CFR 261.24), and "
    "a used fixer holds many times that."
)
LICENSED = "Ask your local authority, and give it to who is licensed for such waste."
SILVERED = ("fixer", "silver bath")
FLAMMABLE = ("collodion", "varnish")


def caution(step: str, bath: str = "") -> str:
    """The line to say at a step in a bath of that name, or ""."""
    found = _found(step, bath)
    return f"Caution: {found.text} {SHEET}" if found else ""


def caution_today(connection: sqlite3.Connection, step: Step) -> str:
    """The line to say after a step was recorded, or "": each caution once for the day of the steps."""
    found = _found(step.kind, step.bath_text)
    if found is None:
        return ""
    said = any(_found(*row) is found for row in connection.execute(EARLIER, (step.id, step.happened)))
    return "" if said else f"Caution: {found.text} {SHEET}"


def cautions_for(kinds_and_baths: Iterable[tuple[str, str]]) -> list[str]:
    """The cautions of a sheet of paper, each once, in the order of the steps; last the line that all defer to."""
    found = dict.fromkeys(one.text for kind, bath in kinds_and_baths if (one := _found(kind, bath)))
    return [*found, f"{SHEET} Waste goes to who is licensed for it."] if found else []


def disposal(kind: str, name: str) -> str:
    """What to mind when a bath of a kind and a name is poured away, or "" where nothing is known to matter."""
    if is_cyanide(name):
        return f"Cyanide never goes down a drain, and never to an acid or to other waste. {SILVER} {LICENSED}"
    if kind in SILVERED:
        return f"{SILVER} Ask your local authority, and let the silver be recovered."
    if kind in FLAMMABLE:
        return f"It catches fire, and its vapour does in a drain. {LICENSED}"
    if any(word in name.casefold() for word in ("selenium", "chromat", "chromium", "pyro", *SULFIDE)):
        return f"It is poisonous, and no acid goes to it. {LICENSED}"
    return ""


def _found(kind: str, bath: str) -> Caution | None:
    return next((one for one in CAUTIONS if (not one.kinds or kind in one.kinds) and one.of(bath)), None)
