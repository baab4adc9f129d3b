"""A day sheet to be filled in, with the codes of a session and the baths in the trays on it."""

import sqlite3

from catalog.dates import parse_date
from catalog.records import sessions
from catalog.records.sessions import Session
from catalog.rules.day_sheet import Day, PrintLine, StepLine, TestLine
from catalog.rules.day_sheet_file import csv_of, toml_of
from catalog.rules.day_stages import stages

ALWAYS = ("fix 1", "wash")
HEAD = """Day sheet of session {number}: {of}, {title}, {day}.
Say kept = false of each sheet that was not kept: its code is then void for ever.
What is said in [[step]] and [[test]] is explained by: tirage session enter --help
What stands behind # is not read; take the # away from what was done."""


def blank(connection: sqlite3.Connection, session: Session, name: str) -> str:
    """The text of a day sheet: CSV for a name that ends so, else TOML."""
    given = sessions.sheets(connection, session)
    steps = [StepLine(kind=way.name, bath=way.bath) for way in stages(connection)]
    tests = [TestLine(item=sheet.code) for sheet in given if sheet.kind == "control strip"]
    prints = [PrintLine(code=sheet.code) for sheet in given]
    # A line that nobody fills in would be a claim: only what every print goes through stands there as done.
    offered = [step for step in steps if step.kind not in ALWAYS] + tests
    if name.lower().endswith(".csv"):
        always = [step for step in steps if step.kind in ALWAYS]
        return csv_of(Day(session=session.id, on=session.planned, print=prints, step=always))
    day = Day(session=session.id, on=session.planned, print=prints)
    day.step, day.test = steps, tests
    head = HEAD.format(
        number=session.id, of=session.of.code, title=session.title, day=parse_date(session.planned).text()
    )
    return toml_of(day, head, offered)
