"""Regrading: the evidence of every print, against reading what it went through once, in order.

The floor is one joined scan of everything that prints and strips went through, with its code and time, ordered by item
and time and iterated in Python into a list of rows for each item: no program could grade them without having read
that much, in that order. It weighs nothing, reads no test, and works out no washing.
"""

import sqlite3
import statistics
import time
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from itertools import groupby
from pathlib import Path
from random import Random
from typing import NamedTuple

from catalog.rules.evidence import evidence, evidence_many
from catalog.store import connection as store
from catalog.store import journal
from tests.benchmarks import bare_prints
from tests.benchmarks.pairs import Row, ratio

SCAN = """SELECT i.item, c.code, s.id, s.kind, s.happened, s.earliest, s.latest, s.clock, s.seconds, s.detail, i.joined,
    i.left_at FROM step_item i JOIN step s ON s.id = i.step JOIN code c ON c.id = i.item
    ORDER BY i.item, s.earliest, s.clock, s.id"""
PRINTS = "SELECT id FROM print ORDER BY id"
BATCH_OF_PAPER, LOADS_OF_A_BATH = 500, 12
STOCK = "warm-tone fibre-base paper, matt"
STEPS_PLAIN = (("fix", 60), ("rinse", 300), ("wash aid", 600), ("wash", None))
STEPS_TONED = (("fix", 60), ("wash", 1_800), ("tone", 120), ("wash aid", 600), ("wash", None))


class Tables(NamedTuple):
    """The rows to be written, table by table, in the order in which they depend on each other."""

    code: list[tuple[object, ...]]
    item: list[tuple[object, ...]]
    control_strip: list[tuple[object, ...]]
    bath: list[tuple[object, ...]]
    step: list[tuple[object, ...]]
    step_item: list[tuple[object, ...]]
    residual_test: list[tuple[object, ...]]


COLUMNS = {
    "code": "id, code, kind, serial",
    "item": "id, kind",
    "control_strip": "id, paper, made",
    "bath": "id, kind, name, dilution, volume, mixed, earliest, latest, in_tray, capacity, basis",
    "step": "id, kind, bath, washer, happened, earliest, latest, clock, seconds, by",
    "step_item": "step, item, joined, left_at",
    "residual_test": "id, item, question, method, reading, happened, earliest, latest, clock, by",
}


class Darkroom:
    """Years of loads of 6 to 12 prints, each with a strip; three strips in five are tested, one in fifty is stained."""

    def __init__(self, first: int) -> None:
        self.free, self.random = first, Random(7)
        self.tables = Tables([], [], [], [], [], [], [])
        self.baths: dict[str, int] = {}
        self.serials: dict[str, int] = {}

    def give(self, kind: str, letter: str) -> int:
        """A new code of a kind."""
        self.free += 1
        self.serials[kind] = serial = self.serials.get(kind, 100) + 1
        self.tables.code.append((self.free, f"{letter}-{serial:06d}", kind, serial))
        return self.free

    def work(self, prints: list[int], paper: int, number: int) -> None:
        """One load on a day of its own, with its strip."""
        day = (date(1996, 1, 1) + timedelta(days=number)).isoformat()
        if number % LOADS_OF_A_BATH == 0:
            self.mix(day, limited=number % (5 * LOADS_OF_A_BATH) == 0)
        strip = self.give("control strip", "K")
        self.tables.item.append((strip, "control strip"))
        self.tables.control_strip.append((strip, paper, day))
        load = [*prints, strip]
        minute = 600
        for kind, seconds in STEPS_TONED if number % 2 else STEPS_PLAIN:
            self.step(kind, seconds, load, day, minute, joined=seconds is None and number % 4 < 2)
            minute += (seconds or 3_600) // 60 + 5
        if self.random.random() < 0.6:
            reading = "yellow-brown" if self.random.random() < 0.02 else "none"
            self.test(strip, day, reading)

    def mix(self, day: str, limited: bool) -> None:
        """New baths in all trays; some fixers have a capacity."""
        for kind, name in (("fixer", "alkaline rapid fixer"), ("toner", "selenium toner"), ("wash aid", "wash aid")):
            self.baths[kind] = bath = self.give("bath", "B")
            capacity = 60_000 if limited and kind == "fixer" else None
            self.tables.bath.append((bath, kind, name, "1+4", 2_000, day, day, day, 0, capacity, "the user's own"))

    def step(self, kind: str, seconds: int | None, load: list[int], day: str, minute: int, joined: bool) -> None:
        """One step of a load; a final wash by joining and leaving, or with its length."""
        step = self.give("step", "S")
        bath = self.baths.get({"fix": "fixer", "tone": "toner"}.get(kind, kind))
        washer, came, went = 1 if kind == "wash" else None, "", ""
        clock = f"{minute // 60:02d}:{minute % 60:02d}+00:00"
        if joined:
            came, went = f"{day}T{clock}", f"{day}T{minute // 60 + 1:02d}:{minute % 60 + 2:02d}+00:00"
        length = None if joined else seconds or 3_600
        self.tables.step.append((step, kind, bath, washer, day, day, day, clock, length, "bench"))
        self.tables.step_item.extend((step, item, came, went) for item in load)

    def test(self, strip: int, day: str, reading: str) -> None:
        """Both drops on a strip."""
        for question, method, seen in (
            ("hypo", "acid silver nitrate drop", reading),
            ("silver", "sulfide drop", "none"),
        ):
            number = 1_000_000 * self.free + len(self.tables.residual_test)
            self.tables.residual_test.append(
                (number, strip, question, method, seen, day, day, day, "18:00+00:00", "bench")
            )


def build(folder: Path, prints: int) -> Path:
    """A catalog of so many prints that went through their loads, with two routines on their stock."""
    bare_prints.build(folder, prints)
    opened = store.open_catalog(folder, writing=True)
    opened.execute("PRAGMA synchronous = OFF")  # building only; measured work opens the file anew
    opened.execute("BEGIN IMMEDIATE")
    opened.execute("INSERT INTO washer (id, name, kind) VALUES (1, 'slots1', 'slots')")
    papers = range(1, prints // BATCH_OF_PAPER + 2)
    opened.executemany(
        "INSERT INTO paper (id, name, description) VALUES (?, ?, ?)", ((one, f"warm{one}", STOCK) for one in papers)
    )
    ids = [row[0] for row in opened.execute(PRINTS)]
    opened.executemany(
        "UPDATE print SET paper = ? WHERE id = ?", ((place // BATCH_OF_PAPER + 1, one) for place, one in enumerate(ids))
    )
    darkroom = Darkroom(opened.execute("SELECT max(id) FROM code").fetchone()[0])
    for number, (paper, load) in enumerate(_loads(ids, darkroom.random)):
        darkroom.work(load, paper, number)
    for name, rows in darkroom.tables._asdict().items():
        places = ", ".join("?" * len(rows[0]))
        opened.executemany(f"INSERT INTO {name} ({COLUMNS[name]}) VALUES ({places})", rows)
    for name, toner in (("plain", ""), ("selenium", "selenium toner 1+4")):
        opened.execute(
            "INSERT INTO routine (name, paper, fixer, fix_seconds, wash_aid, wash_aid_seconds, toner, washer, "
            "wash_seconds, tests, lapse_days, basis, begun, by) VALUES (?, 1, 'alkaline rapid fixer 1+4', 60, "
            "'wash aid 1+4', 600, ?, 1, 3600, 3, 180, 'bench', '1996-02-01', 'bench')",
            (name, toner),
        )
    journal.seal(opened, sealed="2026-03-02T12:00:00+00:00", by="bench", command="fix")
    opened.execute("COMMIT")
    opened.close()
    return folder


def _loads(ids: list[int], random: Random) -> Iterator[tuple[int, list[int]]]:
    """Paper and prints of each load, no load on two papers."""
    for paper, start in enumerate(range(0, len(ids), BATCH_OF_PAPER), 1):
        sheets = ids[start : start + BATCH_OF_PAPER]
        while sheets:
            size = random.randint(6, 12)
            yield paper, sheets[:size]
            sheets = sheets[size:]


def scan(opened: sqlite3.Connection) -> Callable[[], object]:
    """Read once, in order, what everything went through."""

    def read() -> object:
        return {item: list(rows) for item, rows in groupby(map(tuple, opened.execute(SCAN)), lambda row: row[0])}

    return read


def regrade(opened: sqlite3.Connection) -> Callable[[], object]:
    """Grade every print."""
    return lambda: evidence_many(opened, [row[0] for row in opened.execute(PRINTS)])


def rows(rounds: int, folder: Path, prints: int) -> list[Row]:
    """All evidence against the scan; and one print's grade, in milliseconds."""
    opened = store.open_catalog(build(folder, prints), writing=False)
    ids = [row[0] for row in opened.execute(PRINTS)]
    taken = []
    for identity in Random(1).sample(ids, 200):
        began = time.perf_counter()
        evidence(opened, identity)
        taken.append((time.perf_counter() - began) * 1_000)
    found = ratio(regrade(opened), scan(opened), rounds)
    opened.close()
    return [
        Row(f"regrading all evidence ({prints:,} prints)", "one joined, ordered scan of the same rows", found, 2),
        Row("one print's grade, ms", "-", statistics.median(taken), 5),
    ]
