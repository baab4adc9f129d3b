"""The wash record: every stage of a print in words, for the studio and for the public."""

import re
import sqlite3
from collections.abc import Iterable
from typing import NamedTuple

from catalog.quantities import format_duration, format_temperature
from catalog.records.loads import Timelines, Wet, timelines
from catalog.records.step_order import instant_text
from catalog.records.steps import StepOfItem, histories
from catalog.rules.toning import protection_words, toning_of

WASHER_WORDS = {"tray": "tray", "siphon": "siphon", "slots": "slot washer"}  # a washer's name may be a person's
TOLD_DETAILS = ("changes", "strength")  # what may leave the studio, and as a number only
NUMBER = re.compile(r"\d{1,6}(?:[.,]\d{1,3})?")


class WashLine(NamedTuple):
    """One stage of a print in words."""

    happened: str
    kind: str
    detail: str


class WashRecord(NamedTuple):
    """All stages of a print, its toning in a few words, and what may be said of that as a protection."""

    lines: tuple[WashLine, ...]
    toning: str
    protection: str


def wash_record(connection: sqlite3.Connection, print_id: int, *, public: bool) -> list[WashLine]:
    """Every stage of a print in words; with `public` nothing that was typed freely but the description of a bath."""
    return list(wash_records(connection, [print_id], public=public)[print_id].lines)


def wash_records(
    connection: sqlite3.Connection, ids: Iterable[int], *, public: bool, lines: Timelines | None = None
) -> dict[int, WashRecord]:
    """The wash records of many prints, in a handful of queries; `lines` are their timelines, where they are known."""
    wanted = list(ids)
    passed = histories(connection, wanted)
    wet = (lines or timelines(connection, wanted)).of
    found = {}
    for one in wanted:
        counted = {step.step: step for step in wet.get(one, ())}
        told = tuple(_line(step, counted.get(step.id), public) for step in passed.get(one, ()))
        stages = passed.get(one, ())
        found[one] = WashRecord(told, toning_of(stages), protection_words(stages))
    return found


def _line(step: StepOfItem, wet: Wet | None, public: bool) -> WashLine:
    seconds = wet.seconds if wet else step.seconds
    parts = [
        step.bath_text,
        WASHER_WORDS.get(step.washer_kind, "") if public else step.washer,
        format_duration(seconds) if seconds is not None else "",
    ]
    if wet and wet.inside:
        parts.append(f"in since {instant_text(wet.joined)}")
    if wet and wet.restarted:
        parts.append(f"counted from {wet.restarted[11:16]}, when an unwashed item joined")
    parts.append(format_temperature(step.celsius) if step.celsius is not None else "")
    if step.detail != "{}":
        parts += [
            f"{name} {value}"
            for name, value in step.details.items()
            if name != "restarts" and (not public or _may_be_told(name, value))
        ]
    words = ", ".join(part for part in parts if part)
    return WashLine(step.happened, step.kind, f"{words} ({step.bath_code})" if step.bath_code else words)


def _may_be_told(name: str, value: object) -> bool:
    return name in TOLD_DETAILS and NUMBER.fullmatch(str(value)) is not None
