"""`due` looks at few prints: whatever happened to them, no print that is unwashed or failed is missed by that."""

import sqlite3
import tempfile
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.records import items
from catalog.records.items import Coded
from catalog.rules import due
from catalog.rules.checks import Subject
from catalog.rules.checks.waiting import waiting_as_recorded
from catalog.rules.evidence import evidence, stops_many
from catalog.rules.tested import targets
from catalog.store import journal
from tests.process_sample import Studio
from tests.soaks import rounds

AT_HAND = """SELECT p.id FROM print p JOIN standing s ON s.item = p.id WHERE p.state = 'living'
    AND s.custodian = (SELECT artist FROM catalog) AND NOT EXISTS (SELECT 1 FROM step_item i
        WHERE i.item = p.id AND i.joined <> '' AND i.left_at = '')"""
ADD_STEP = """INSERT INTO step (id, kind, washer, happened, earliest, latest, clock, seconds, by)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, 'x')"""
ADD_ITEM = "INSERT INTO step_item (step, item, joined, left_at) VALUES (?, ?, ?, ?)"
ADD_TEST = """INSERT INTO residual_test (id, item, question, method, reading, value, happened, earliest, latest, clock,
    by) VALUES (max(coalesce((SELECT max(id) FROM residual_test), 0) + 1, 1000000 * (SELECT max(id) FROM code)),
    ?, 'hypo', 'x', ?, ?, ?, ?, ?, ?, 'x')"""
DATE_AGAIN = "UPDATE step SET happened = ?, earliest = ?, latest = ?, clock = ? WHERE id = ?"

# A day as EDTF with its first and last, open ends and doubt among them; and a clock, known on an exact day alone.
EXACT = [(day, day, day) for day in ("2026-03-02", "2026-03-03", "2026-03-04")]
ROUGH = [
    ("2026-03", "2026-03-01", "2026-03-31"),
    ("../2026-03-03", "", "2026-03-03"),
    ("2026-03-03/..", "2026-03-03", ""),
    ("2026-03-03?", "2026-03-03", "2026-03-03"),
]
CLOCKS = ["", "", "09:00+00:00", "10:30:00+00:00", "10:00:00-01:00", "23:30:00+02:00", "10:30:00.0004+00:00"]
moments = st.one_of(
    st.tuples(st.sampled_from(EXACT), st.sampled_from(CLOCKS)),
    st.tuples(st.sampled_from(ROUGH), st.just("")),
)
# The program writes whole seconds; what came in half a second before an end was told by another.
hours = st.tuples(
    st.integers(8, 20), st.sampled_from(["00:00", "00:00", "00:00.0004", "00:00.5", "00:01", "59:59", "59:59.5"])
).map(lambda told: f"{told[0]:02d}:{told[1]}")


@dataclass(frozen=True)
class Worked:
    """A step that items went through on a day; one in a washer by joining and leaving it has hours instead."""

    kind: str
    load: frozenset[str]
    when: tuple[tuple[str, str, str], str]
    hours: tuple[str, str] | None


@dataclass(frozen=True)
class Read:
    """A test on a strip or a print."""

    item: str
    reading: str
    value: int | None
    when: tuple[tuple[str, str, str], str]


steps = st.builds(
    Worked,
    st.sampled_from(["fix", "fix", "tone", "wash", "wash", "wash", "rinse", "wash aid", "develop"]),
    st.frozensets(st.sampled_from(["p1", "p2", "p3", "w", "k", "n"]), min_size=1),
    moments,
    st.none() | st.tuples(hours, hours),
)
tests = st.one_of(
    st.builds(
        Read,
        st.sampled_from(["k", "k", "p1", "w"]),
        st.sampled_from(["none", "just visible", "beige", "yellow-brown"]),
        st.none(),
        moments,
    ),
    st.builds(
        Read, st.sampled_from(["k", "p1", "n"]), st.just(""), st.sampled_from([0, 900, 1_400, 1_401, 9_000]), moments
    ),
)
commands = st.one_of(
    steps, steps, steps, tests, st.tuples(st.just("date"), st.integers(0, 9), moments), st.just("undo")
)


def enter(studio: Studio, one: Worked, made: list[int]) -> None:
    """Enter a step as it is told, without the checks that a command makes: rows may come from elsewhere."""
    connection = studio.connection
    step = items.give_codes(connection, "step")[0].id
    made.append(step)
    day, clock = one.when
    joins = one.hours if one.kind == "wash" and clock == "" and day in EXACT else None
    seconds = None if joins else 600
    washer = studio.siphon.id if one.kind == "wash" else None
    connection.execute(ADD_STEP, (step, one.kind, washer, *day, clock, seconds))
    joined, left = (f"{day[0]}T{hour}+00:00" for hour in sorted(joins)) if joins else ("", "")
    odd = joins is not None and int(min(joins)[:2]) % 2 == 1
    for name in sorted(one.load):
        # The work print stays in the washer where it was joined at an odd hour.
        connection.execute(ADD_ITEM, (step, getattr(studio, name).id, joined, "" if name == "w" and odd else left))


def play(studio: Studio, history: list[object]) -> None:
    """One sealed command after another; an undo takes back the newest."""
    connection, made = studio.connection, list[int]()
    for number, one in enumerate(history):
        if isinstance(one, Worked):
            enter(studio, one, made)
        elif isinstance(one, Read):
            day, clock = one.when
            item: Coded = getattr(studio, one.item)
            connection.execute(ADD_TEST, (item.id, one.reading, one.value, *day, clock))
        elif one == "undo":
            if journal.undoable(connection).target.command == "init":
                continue
            taken = journal.undo(connection)
            journal.seal(connection, sealed=str(number), by="x", command="undo", undoes=taken.id)
            made = [row[0] for row in connection.execute("SELECT id FROM step ORDER BY id")]
            continue
        elif made:
            assert isinstance(one, tuple)
            day, clock = one[2]
            connection.execute(DATE_AGAIN, (*day, clock, made[one[1] % len(made)]))
        journal.seal(connection, sealed=str(number), by="x", command="step add")


def missed(connection: sqlite3.Connection) -> list[int]:
    """The prints at hand that something stops, by the evidence of all of them, and that `due` does not look at."""
    limits = {question: target.value for question, target in targets(connection).items()}
    seen = {row[0] for row in connection.execute(due.IN_QUESTION, limits)}
    return [row[0] for row in connection.execute(AT_HAND) if evidence(connection, row[0]).stops and row[0] not in seen]


@cache
def begun() -> tuple[tempfile.TemporaryDirectory[str], Studio]:
    """One studio for all histories, each of which is rolled back at its end."""
    folder = tempfile.TemporaryDirectory()
    studio = Studio(Path(folder.name) / "c")
    journal.seal(studio.connection, sealed="begin", by="x", command="init")
    return folder, studio


def holds(history: list[object]) -> None:
    """Play it, and compare."""
    folder, studio = begun()
    connection = studio.connection
    connection.execute("SAVEPOINT history")
    try:
        play(studio, history)
        assert missed(connection) == []
        subject = Subject(connection, Path(folder.name), datetime(2026, 4, 1, tzinfo=UTC))
        assert list(waiting_as_recorded(subject)) == []
        ids = [row[0] for row in connection.execute("SELECT id FROM print")]
        assert stops_many(connection, ids) == {one: evidence(connection, one).stops for one in ids}
    finally:
        connection.execute("ROLLBACK TO history")
        connection.execute("RELEASE history")


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.lists(commands, max_size=14))
def test_no_print_that_waits_is_missed(history: list[object]) -> None:
    holds(history)


@pytest.mark.soak
def test_no_print_that_waits_is_missed_for_long() -> None:
    look = given(st.lists(commands, min_size=4, max_size=24))(holds)
    settings(max_examples=rounds(5_000, 300), deadline=None, suppress_health_check=list(HealthCheck))(look)()


KNOWN = (
    # A wash told late for a day before the toning, and one that was entered first and stands later.
    [Worked("fix", frozenset({"p1"}), (EXACT[0], ""), None), Worked("tone", frozenset({"p1"}), (EXACT[2], ""), None),
     Worked("wash", frozenset({"p1"}), (EXACT[1], ""), None)],
    [Worked("wash", frozenset({"p1"}), (EXACT[2], ""), None), Worked("fix", frozenset({"p1"}), (EXACT[0], ""), None)],
    # In and straight out again is no wash.
    [Worked("fix", frozenset({"p1"}), (EXACT[0], ""), None),
     Worked("wash", frozenset({"p1"}), (EXACT[1], ""), ("09:00:00", "09:00:00"))],
    # One that is unwashed comes in half a second before another is taken out.
    [Worked("fix", frozenset({"p1", "p2"}), (EXACT[0], ""), None),
     Worked("wash", frozenset({"p1"}), (EXACT[1], ""), ("09:00:00", "09:10:00")),
     Worked("wash", frozenset({"p2"}), (EXACT[1], ""), ("09:09:59.5", "09:40:00"))],
    # Fixed and washed within a thousandth of a second, either way round.
    [Worked("wash", frozenset({"p1"}), (EXACT[1], "10:30:00+00:00"), None),
     Worked("fix", frozenset({"p1"}), (EXACT[1], "10:30:00.0004+00:00"), None)],
    [Worked("fix", frozenset({"p1"}), (EXACT[1], "10:30:00.0004+00:00"), None),
     Worked("wash", frozenset({"p1"}), (EXACT[1], "10:30:00+00:00"), None)],
    # Washed, toned, and the toning dated before the wash by a correction, which is then taken back.
    [Worked("wash", frozenset({"p1"}), (EXACT[1], ""), None), Worked("tone", frozenset({"p1"}), (EXACT[2], ""), None),
     ("date", 1, (EXACT[0], "")), "undo"],
)  # fmt: skip


@pytest.mark.parametrize("history", KNOWN)
def test_known_histories(history: list[object]) -> None:
    holds(history)
