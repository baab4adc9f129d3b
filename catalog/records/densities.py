"""Densities: what a densitometer read on the patches of a plate or a print."""

import re
import sqlite3
from collections.abc import Mapping
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.formulas.density import density
from catalog.measures import parse_number, rounded
from catalog.records.items import Coded
from catalog.records.made import check_made
from catalog.stops import parse_thousandths
from catalog.store.rows import fetch_all

ADD = """INSERT INTO density (item, patch, stage, value, happened, earliest, latest, clock, by, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
READ = """SELECT id, item, patch, stage, value, happened, earliest, latest, clock, by, note FROM density
    WHERE item = ? ORDER BY coalesce(nullif(earliest, ''), latest), id"""
REDEVELOPED = """SELECT 1 FROM step_item i JOIN step s ON s.id = i.step WHERE i.item = ? AND s.kind = 'redevelop'
    LIMIT 1"""
BEFORE, AFTER = "before redevelopment", "after redevelopment"
STAGES = {"print": ("", "wet", "dry"), "control strip": ("", "wet", "dry"), "negative": ("", BEFORE, AFTER)}
READING = "a density such as 0.12, at most 9.999 (or a reflectance, R0.18; a transmittance, T0.01)"


class StageError(TirageError):
    """A reading at a stage that the thing does not have."""

    def __init__(self, item: Coded, stage: str) -> None:
        own = "--before or --after its redevelopment" if item.kind == "negative" else "--wet or --dry"
        super().__init__(f"{item.code} is a {item.kind}, and “{stage}” is not said of one; expected {own}.")


class Density(NamedTuple):
    """One reading, in thousandths of density."""

    id: int
    item: int
    patch: str
    stage: str
    value: int
    happened: str
    earliest: str
    latest: str
    clock: str
    by: str
    note: str


def record(
    connection: sqlite3.Connection, event: Event, item: Coded, readings: Mapping[str, int], stage: str = ""
) -> str:
    """Record readings, patch -> thousandths; the stage they are of. Raises StageError, BeforeItWasMadeError.

    Unsaid, a print is dry, and a plate that was redeveloped is read after that.
    """
    if not stage:
        redeveloped = connection.execute(REDEVELOPED, (item.id,)).fetchone()
        stage = "dry" if item.kind != "negative" else (AFTER if redeveloped else "")
    if stage not in STAGES[item.kind]:
        raise StageError(item, stage)
    check_made(connection, item, event.moment, "reading")
    connection.executemany(
        ADD, [(item.id, patch, stage, value, *event.columns, event.by, event.note) for patch, value in readings.items()]
    )
    return stage


def of_item(connection: sqlite3.Connection, item: int) -> list[Density]:
    """All readings of an item, in the order of time."""
    return fetch_all(connection, Density, READ, (item,))


def newest(readings: list[Density], stage: str) -> dict[str, int]:
    """Patch -> thousandths, the newest reading of each at a stage."""
    return {reading.patch: reading.value for reading in readings if reading.stage == stage}


def parse_readings(words: tuple[str, ...]) -> dict[str, int]:
    """“highlight 0.12 mid 0.75” as patch -> thousandths. Raises NotUnderstood."""
    if len(words) % 2:
        raise NotUnderstood("patches and densities", " ".join(words), "a name and a density each: highlight 0.12")
    found: dict[str, int] = {}
    for name, text in zip(words[::2], words[1::2], strict=True):
        patch = " ".join(name.casefold().split())
        if not patch or parse_number(patch):
            raise NotUnderstood("the name of a patch", name, "a word before each density: highlight 0.12 shadow 2.05")
        if patch in found:
            raise NotUnderstood("patches read once each", " ".join(words), f"“{patch}” once")
        found[patch] = parse_reading(text)
    return found


def parse_reading(text: str) -> int:
    """Thousandths of a density; “R0.18” and “T0.01” are turned into one. Raises NotUnderstood."""
    share = re.fullmatch(r"[RrTt]\s*(\d?\.\d{1,6}|1)", text.strip())
    if share:
        value = float(share[1])
        if not 0.0001 <= value <= 1:
            raise NotUnderstood("a reflectance or transmittance", text, "more than 0 and at most 1")
        return round(density(value) * 1000)
    number = parse_number(text) if "/" not in text else None
    value_found = rounded(number[0] * 1000, number[1]) if number else -1
    if not 0 <= value_found <= 9_999:
        raise NotUnderstood("a density", text, READING)
    return value_found


def parse_tolerance(text: str) -> dict[str, int]:
    """“0.03; shadow 0.06” as patch -> thousandths, "" for every other patch. Raises NotUnderstood."""
    expected = "a density, and others for patches by name, such as “0.03; shadow 0.06”"
    found: dict[str, int] = {}
    for part in filter(None, (part.strip() for part in text.split(";"))):
        patch, _, number = part.rpartition(" ")
        found[patch.strip().casefold()] = parse_thousandths(number, "a tolerance of density", expected, 9_999)
    return found
