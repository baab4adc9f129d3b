"""The questions of `session enter`, in the order of the sheet; Enter takes what stands in [ ], and claims no load."""

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial

import click

from catalog import codes
from catalog.cli.answers import asked
from catalog.dates import moment, parse_date
from catalog.errors import NotUnderstood
from catalog.quantities import parse_duration
from catalog.records import sessions, washers
from catalog.records.items import find, shorten
from catalog.records.sessions import MOST, Session, Sheet
from catalog.records.step_order import check_kind
from catalog.rules.sessions.day_sheet import Day, PrintLine, StepLine, TestLine
from catalog.rules.sessions.kept import codes_of
from catalog.rules.sessions.stages import Stage, bath_of, in_trays, kind_of, stages
from catalog.rules.sessions.work import day_and_clock
from catalog.rules.stage import STEP_OF
from catalog.vocabulary import BATH_OF_STEP, QUESTIONS, READINGS
from catalog.whole_numbers import whole_number

NO = ("no", "none", "-")
YES = ("yes", "y")
ALL_KEPT = ("all kept", "all", "kept")
NOT_NOTED = "not noted"
IN_TRAY = "in the tray"
NOT_TESTED = "not tested"
GO_ON = "go on"


def ask(connection: sqlite3.Connection, session: Session, day: str, now: datetime) -> Day:
    """Ask for everything on a sheet. Raises LineError where answers come from a pipe, and one is not understood."""
    sheets = sessions.sheets(connection, session)
    click.echo(
        f"Session {session.id}, {session.of.code} “{session.title}”. Enter takes what stands in [ ]. Of a load: “-” or "
        f"Enter is not done, “y” is all that the line above had, “kept” all that was kept."
    )
    day = asked("Day", day, lambda text: parse_date(text, now.date()).edtf)
    prints = _prints(sheets)
    kept = tuple(line.code for line in prints if line.kept)
    asking = Loads(connection, day, now, kept, frozenset(line.code for line in prints if not line.kept))
    for way in stages(connection):
        asking.stage(way)
    while kind := asked("Another line, such as dry, rinse or fix 1", "no", _kind):
        asking.stage(Stage(kind, kind_of(kind), "", ""), once=True)
    strips = [sheet.code for sheet in sheets if sheet.kind == "control strip" and sheet.code in kept]
    found = Day(session=session.id, on=day, print=prints, step=asking.steps, test=_tests(strips, day, now))
    for line in found.print:
        line.at_place(line.code)
    for step, where in zip(found.step, asking.places, strict=True):
        step.at_place(where)
    for test in found.test:
        test.at_place(f"Test of {test.item}")
    return found


@dataclass
class Loads:
    """The loads told so far, for what stands in the line above."""

    connection: sqlite3.Connection
    day: str
    now: datetime
    kept: tuple[str, ...]
    void: frozenset[str]
    steps: list[StepLine] = field(default_factory=list)
    places: list[str] = field(default_factory=list)
    above: tuple[str, ...] = ("kept",)  # what went through the stage before, load by load

    def stage(self, way: Stage, once: bool = False) -> None:
        """Ask for the loads of one stage: one, or as many as it takes until all that was kept went through."""
        first = len(self.steps)
        left = set(self.kept)
        question = way.name.capitalize()
        while left or len(self.steps) == first:
            items, sheets = asked(f"{question}: which prints, +N without a code", "no", self._load)
            if not items:
                break
            self._add(way, question, items, sheets)
            left -= self._members(items)
            if once:
                break
            rest = shorten([code for code in self.kept if code in left])
            question = f"{way.name.capitalize()}, next load, left are {rest}"
        if len(self.steps) > first:
            self.above = tuple(step.items for step in self.steps[first:])

    def _members(self, items: str) -> set[str]:
        """Which of what was kept a load holds."""
        found: set[str] = set()
        for part in items.split(","):
            word = part.strip().lower()
            if word == "kept":
                return set(self.kept)
            if word == "strip":
                found |= {code for code in self.kept if code.startswith("K")}
            elif codes.span(codes.bare(part)):
                found |= set(codes_of(codes.bare(part)))
        return found

    def _add(self, way: Stage, name: str, items: str, sheets: int) -> None:
        name = name.partition(", left are")[0]
        told = {"kind": way.name, "items": items}
        if way.kind in BATH_OF_STEP:
            told["bath"] = self._which_bath(way, name)
        if way.kind == "wash":
            told["washer"] = self._washer(name)
            told["at"] = asked(f"{name}: in at", NOT_NOTED, self._clock)
            if told["at"]:
                told["out"] = asked(f"{name}: out at", NOT_NOTED, self._clock)
        if not told.get("out"):
            above = next((step.length for step in reversed(self.steps) if kind_of(step.kind) == way.kind), "")
            told["length"] = asked(f"{name}: how long, such as 1m or 90s", above or NOT_NOTED, _length)
        if way.kind != "wash":
            told["at"] = asked(f"{name}: at", NOT_NOTED, self._clock)
        self.steps.append(StepLine.model_validate({**told, "sheets": sheets}))
        self.places.append(name)

    def _load(self, text: str) -> tuple[str, int]:
        """The items of a load and its sheets without a code; no items where there was no load."""
        named, _, more = text.partition("+")
        sheets = whole_number(more) if more else 0
        if sheets is None or sheets > 10_000:
            raise NotUnderstood("a number of sheets without a code", more, "+N after the codes, such as 12-15 +2")
        named = named.strip(" ,")
        if named.lower() in NO:
            return "", 0
        if named.lower() in YES:
            return "kept" if "kept" in self.above else ",".join(self.above), sheets
        if not named or named.lower() in ALL_KEPT:
            return "kept", sheets
        for part in codes.split(named):
            if part.lower() not in ("kept", "strip"):
                self._check_code(part)
        return named, sheets

    def _check_code(self, part: str) -> None:
        """Whether there is such a thing, or will be; what was not kept goes through nothing."""
        span = codes.span(codes.bare(part))
        named = codes_of(codes.bare(part)) if span and span.last - span.first < MOST else []
        gone = next((code for code in named if code in self.void), None)
        if gone:
            raise NotUnderstood("a sheet that was kept", gone, "only what was kept goes on")
        if not named or not set(named) <= set(self.kept):
            find(self.connection, part, *STEP_OF)

    def _which_bath(self, way: Stage, name: str) -> str:
        """Which bath: the one in the tray, or where several stand there, one of them, which nobody can guess."""
        fitting = in_trays(self.connection, way.name)
        read = partial(self._bath, way.name)
        if way.bath or len(fitting) < 2 or way.kind == "fix":
            return asked(f"{name}: bath", way.bath or IN_TRAY, read)
        return asked(f"{name}: bath, of {', '.join(fitting)}", "", read)

    def _bath(self, written: str, text: str) -> str:
        named = "" if text in (IN_TRAY, *NO) else text
        bath_of(self.connection, written, named)
        return named

    def _washer(self, name: str) -> str:
        """Which washer, asked only where there are several."""
        known = [washer.name for washer in washers.washers(self.connection)]
        if len(known) < 2:
            return ""
        try:
            usual = washers.usual(self.connection).name
        except washers.WhichWasherError:
            usual = known[0]
        return asked(
            f"{name}: washer, of {', '.join(known)}", usual, lambda text: washers.by_name(self.connection, text).name
        )

    def _clock(self, text: str) -> str:
        if text in (NOT_NOTED, *NO):
            return ""
        date, clock = day_and_clock(text)
        moment(date or self.day, clock, self.now)
        return text


def _unless(word: str) -> Callable[[str], str]:
    return lambda text: "" if text == word or text in NO else text


def _prints(sheets: Sequence[Sheet]) -> list[PrintLine]:
    """What became of each code: first the prints, then the strip, then what is written beside them."""
    given = [sheet.code for sheet in sheets if sheet.kind == "print"]
    kept = asked(f"Kept of {shorten(given)}", "all", lambda text: _of(text, given))
    strips = [sheet.code for sheet in sheets if sheet.kind == "control strip"]
    for strip in strips:
        kept += asked(f"Control strip {strip} went along", "yes", partial(_yes, strip))
    every = given + strips
    exposures = _written("Exposure, such as 12-15: 14s", every)
    notes = _written("Note, such as 13: sky held back", every)
    return [
        PrintLine(code=code, kept=code in kept, exposure=exposures.get(code, ""), note=notes.get(code, ""))
        for code in every
    ]


def _of(text: str, given: Sequence[str]) -> list[str]:
    """Which of the codes that were given are meant."""
    if text.lower() in ("all", *YES):
        return list(given)
    if text.lower() in NO:
        return []
    found = codes_of(text)
    other = next((code for code in found if code not in given), None)
    if other:
        raise NotUnderstood("a code of this session", other, shorten(given))
    return found


def _yes(strip: str, text: str) -> list[str]:
    if text.lower() in (*YES, *NO, "n"):
        return [strip] if text.lower() in YES else []
    raise NotUnderstood("an answer to this", text, "yes or no")


def _written(question: str, every: Sequence[str]) -> dict[str, str]:
    """Words for codes, asked until nothing more is said; a later one takes the place of an earlier one."""

    def read(text: str) -> dict[str, str]:
        if text in (GO_ON, *NO):
            return {}
        which, colon, words = text.partition(":")
        if not colon or not words.strip():
            raise NotUnderstood("words for a print", text, "codes, a colon and the words, such as 12-15: 14s")
        return dict.fromkeys(_of(which, every), words.strip())

    found: dict[str, str] = {}
    while told := asked(question, GO_ON, read):
        found.update(told)
    return found


def _length(text: str) -> str:
    if text in (NOT_NOTED, *NO):
        return ""
    minutes = whole_number(text)
    length = text if minutes is None else f"{minutes}m"
    parse_duration(length)
    return length


def _kind(text: str) -> str:
    written = text.lower()
    if written in NO:
        return ""
    check_kind(kind_of(written))
    return written


def _tests(strips: Sequence[str], day: str, now: datetime) -> list[TestLine]:
    """The tests, of the control strips first."""
    found: list[TestLine] = []
    tested_on = day
    waiting = list(strips)
    while item := waiting.pop(0) if waiting else asked("Another test, of", "no", _unless("no")):
        results = {question: asked(f"{item}, {question}", NOT_TESTED, _result) for question in QUESTIONS}
        if not any(results.values()):
            continue
        method = ""
        if any(result[:1].isdigit() for result in results.values()):
            method = asked(f"{item}: method", "none", _unless("none"))
        tested_on = asked(f"{item}: tested on", tested_on, lambda text: parse_date(text, now.date()).edtf)
        found.append(TestLine(item=item, method=method, on="" if tested_on == day else tested_on, **results))
    return found


def _result(text: str) -> str:
    if text in (NOT_TESTED, "no", "-"):
        return ""
    if text not in READINGS and not text[:1].isdigit():
        raise NotUnderstood("a result", text, f"one of {', '.join(READINGS)}, or a value such as 0.9ug/cm2")
    return text
