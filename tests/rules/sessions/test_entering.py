"""Entering day sheets: the washing that counts, the order of the clock, and that a refusal changes nothing."""

import shlex
import shutil
import sqlite3
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.cli.main import run
from catalog.dates import moment, parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records import items, sessions
from catalog.rules.evidence import evidence
from catalog.rules.sessions.day_sheet import Day, LineError, PrintLine, StepLine, TestLine
from catalog.rules.sessions.entering import enter
from catalog.rules.sessions.kept import day_of, session_of
from catalog.rules.sessions.work import Entered, Entering
from catalog.store import connection as store
from tests.store.conftest import dump

NOW = datetime.fromisoformat("2026-03-20T12:00:00+01:00")
LINES = (
    "paper add warm12 'a warm fibre paper'",
    "negative add Pond --made 2026-03-01 --size 8x10in --state ready",
    "edition declare n1 9 --paper warm12 --on 2026-03-02",
    "print make n1 2 --on 2026-03-03",  # 1 and 2
    "bath mix fixer 'rapid fixer' --on 2026-03-03",
    "bath mix fixer 'rapid fixer' --second --on 2026-03-03",
    "bath mix toner 'selenium toner' --on 2026-03-03",
    "washer add slots --kind slots",
    "session sheet e1 4 --strip --for 2026-03-14 --on 2026-03-13",  # 3 to 6, k1
)


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("day") / "catalog"
    assert run(["init", str(folder), "--artist", "A. Maker", "--on", "2026-03-01"]) == 0
    for line in LINES:
        assert run(["--catalog", str(folder), *shlex.split(line)]) == 0, line
    return folder


@pytest.fixture
def connection(planned: Path, tmp_path: Path) -> Iterator[sqlite3.Connection]:
    folder = Path(shutil.copytree(planned, tmp_path / "catalog"))
    opened = store.open_catalog(folder, writing=True)
    yield opened
    opened.close()


def entered(connection: sqlite3.Connection, day: Day, named: str = "") -> Entered:
    """A day sheet entered as the command does it, whole or not at all."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        session = session_of(connection, day, named)
        found = enter(Entering(connection, "x", day_of(day, session, "", NOW), NOW), day, session)
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")
    return found


def step(kind: str, items: str = "kept", **more: str) -> StepLine:
    return StepLine(kind=kind, items=items, **more)  # type: ignore[arg-type]


def kept(codes: str = "3-6,k1", void: str = "") -> list[PrintLine]:
    return [PrintLine(code=codes)] + ([PrintLine(code=void, kept=False)] if void else [])


def washed(connection: sqlite3.Connection, code: str) -> int | None:
    return evidence(connection, items.find_one(connection, code).id).washed_seconds


FIXED = [step("fix 1", length="1m", at="15:00"), step("fix 2", length="1m", at="15:02")]
# what was written down of the wash -> minutes that count for prints 3 and 6 (washing of a load: derived here from
# when the last unwashed item joined it, as in tests/records of loads)
WASHES: dict[str, tuple[list[StepLine], int, int]] = {
    "together": ([step("wash", at="15:20", out="16:20")], 60, 60),
    "a length from when it went in": ([step("wash", at="15:20", length="45m")], 45, 45),
    "a length alone": ([step("wash", length="30m")], 30, 30),
    "one joins at 15:40": (
        [step("wash", "3-5,k1", at="15:20", out="16:20"), step("wash", "6", at="15:40", out="16:20")], 40, 40,
    ),
    "one joins at 15:40, told first": (
        [step("wash", "6", at="15:40", out="16:20"), step("wash", "3-5,k1", at="15:20", out="16:20")], 40, 40,
    ),
    "one joins and stays": (
        [step("wash", "3-5,k1", at="15:20", out="16:20"), step("wash", "6", at="16:00", out="17:00")], 20, 60,
    ),
    "one joins when the others are out": (
        [step("wash", "3-5,k1", at="15:20", out="16:20"), step("wash", "6", at="16:30", out="17:00")], 60, 30,
    ),
    "sheets without a code join": (
        [step("wash", at="15:20", out="16:20"), step("wash", "2", at="16:00", out="16:10")], 20, 20,
    ),
    "past midnight": ([step("wash", at="23:40", out="00:30")], 50, 50),
    "the next day": ([step("wash", at="2026-03-15 09:00", out="2026-03-15 09:20")], 20, 20),
    "after toning, without a clock": (
        [step("wash", at="15:20", out="16:20"), step("tone", length="3m"), step("final wash", length="25m")], 25, 25,
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", WASHES)
def test_the_washing_that_counts(connection: sqlite3.Connection, what: str) -> None:
    steps, third, sixth = WASHES[what]
    entered(connection, Day(print=kept(), step=[*FIXED, *steps]))
    assert (washed(connection, "3"), washed(connection, "6")) == (third * 60, sixth * 60)


def test_kept_and_void_are_what_was_given(connection: sqlite3.Connection) -> None:
    day = Day(
        print=[PrintLine(code="3,5,k1", exposure="14s", note="sky"), PrintLine(code="4,6", kept=False, note="torn")],
        step=[*FIXED, *WASHES["together"][0]],
        test=[TestLine(hypo="none", silver="none")],
    )
    found = entered(connection, day)
    session = sessions.read(connection, 1)
    sheets = {sheet.code: (sheet.standing, sheet.note) for sheet in sessions.sheets(connection, session)}
    assert sheets == {
        "P-000003": ("kept", "exposure 14s; sky"), "P-000004": ("void", "torn"),
        "P-000005": ("kept", "exposure 14s; sky"), "P-000006": ("void", "torn"),
        "K-0001": ("kept", "exposure 14s; sky"),
    }  # fmt: skip
    assert session.entered == "2026-03-20" and len(found.kept) + len(found.strips) == 3
    assert connection.execute("SELECT count(*), count(paper) FROM print WHERE edition IS NOT NULL").fetchone()[:] == (
        2,
        2,
    )
    assert evidence(connection, found.kept[0].id).grade == "spot-tested"
    with pytest.raises(items.NotKeptError, match="P-000004 is void: its sheet, of session 1, was not kept"):
        items.find(connection, "4")
    assert [thing.code for thing in items.give_items(connection, "print", 1)] == ["P-000007"], (
        "a void code is not reused"
    )
    with pytest.raises(sessions.EnteredAlreadyError):
        entered(connection, day)


def test_codes_of_a_sheet_before_it_is_entered(connection: sqlite3.Connection) -> None:
    for code in ("3", "k1"):
        with pytest.raises(items.NotEnteredError, match="session 1, 14 March 2026, that is not entered yet"):
            items.find(connection, code)


def test_a_day_without_codes_given_beforehand(connection: sqlite3.Connection) -> None:
    entered(connection, Day(on="2026-03-16", step=[step("fix", "1-2", length="1m"), step("wash", "1-2", length="9m")]))
    assert washed(connection, "1") == 540 and sessions.read(connection, 1).entered == ""


def test_what_to_look_at(connection: sqlite3.Connection) -> None:
    """Toning with no wash before it is advice (common practice, no source), told and not refused."""
    day = Day(print=kept(), step=[*FIXED, step("tone", length="3m"), step("tone", length="3m")])
    found = entered(connection, day)
    assert found.minds and len(set(found.minds)) == len(found.minds)
    assert any("selenium" in line.lower() for line in found.cautions)


# what is on the sheet -> where it is wrong, and the words
WRONG: dict[str, tuple[Day, str, str]] = {
    "a code left out": (Day(print=kept("3-5,k1")), "The day sheet", "P-000006 was given to session 1"),
    "a code twice": (Day(print=kept("3-6,k1", "6")), "second", "stands on the sheet twice"),
    "a code of a print": (Day(print=kept("1-6,k1")), "first", "P-000001 was not given"),
    "no code at all": (Day(print=kept("3-9,k1")), "first", "Nothing here has the code “P-000007”"),
    "a word for codes": (Day(print=kept("those")), "first", "is not a code of a sheet"),
    "a step of a sheet not kept": (Day(print=kept("3-5,k1", "6"), step=[step("fix", "6")]), "step", "is void"),
    "no such step": (Day(print=kept(), step=[step("fixx")]), "step", "is no step"),
    "no such bath": (Day(print=kept(), step=[step("fix", bath="b9")]), "step", "“b9”"),
    "another bath": (Day(print=kept(), step=[step("fix", bath="b3")]), "step", "expected a fixer"),
    "a bath that nobody recorded": (Day(print=kept(), step=[step("wash aid", bath="zz")]), "step", "“zz”"),
    "no such washer": (Day(print=kept(), step=[step("wash", washer="tub")]), "step", "no washer “tub”"),
    "no duration": (Day(print=kept(), step=[step("fix", length="1")]), "step", "is not a duration"),
    "no time": (Day(print=kept(), step=[step("fix", at="25:00")]), "step", "is not a time of day"),
    "out of no wash": (Day(print=kept(), step=[step("fix", at="15:00", out="16:00")]), "step", "only for a wash"),
    "out without in": (Day(print=kept(), step=[step("wash", out="16:00")]), "step", "only for a wash"),
    "out and a length": (
        Day(print=kept(), step=[step("wash", at="15:00", out="16:00", length="1m")]), "step", "not both",
    ),
    "still in the washer": (
        Day(print=kept(), step=[step("wash", at="15:00"), step("dry")]), "step", "went into the washer by step",
    ),
    "rows out of order": (
        Day(print=kept(), step=[step("wash", at="15:00", out="16:00"), step("tone", at="15:30", bath="b3")]),
        "step", "went into the washer by step and is not out by then",
    ),
    "a day to come": (Day(on="2026-04-01", print=kept()), "The day sheet", "has not come yet"),
    "a time to come": (Day(on="2026-03-20", print=kept(), step=[step("fix", at="12:02")]), "step", "has not come yet"),
    "before the bath": (Day(on="2026-03-02", print=kept(), step=[step("fix")]), "step", "was mixed on 3 March 2026"),
    "before the negative": (Day(on="2026-02-02", print=kept()), "first", "made 1 March 2026"),
    "a test without a result": (Day(print=kept(), test=[TestLine()]), "test", "a test with a result"),
    "a test of all": (Day(print=kept(), test=[TestLine(item="kept", hypo="none")]), "test", "one item"),
    "a drop on a print of an edition": (Day(print=kept(), test=[TestLine(item="k2", hypo="none")]), "test", "“k2”"),
    "no strip": (Day(print=kept("3-6", "k1"), test=[TestLine(hypo="none")]), "test", "the codes, such as"),
}  # fmt: skip


def placed(day: Day) -> Day:
    for number, line in enumerate(day.print):
        line.at_place(("first", "second", "third")[number])
    for name, lines in (("step", day.step), ("test", day.test)):
        for line in lines:
            line.at_place(name)
    return day


@pytest.mark.parametrize("what", WRONG)
def test_a_refusal_names_its_line_and_changes_nothing(connection: sqlite3.Connection, what: str) -> None:
    day, where, words = WRONG[what]
    before = dump(connection)
    with pytest.raises(LineError) as refusal:
        entered(connection, placed(day))
    assert refusal.value.where == where and words in refusal.value.sentence
    assert dump(connection) == before


def test_a_sheet_of_another_session(connection: sqlite3.Connection) -> None:
    event = Event(moment("2026-03-14", None, NOW), "x")
    edition, day = items.find_one(connection, "e1"), parse_date("2026-03-14")
    other = sessions.plan(connection, event, edition, 1, day, paper=None, strip=False)
    with pytest.raises(LineError, match="first: This is of session 1, and not of session 2"):
        session_of(connection, placed(Day(print=kept())), str(other.id))


LOADS = st.builds(
    step,
    st.sampled_from(["fix 1", "fix 2", "wash", "tone", "dry", "final wash"]),
    st.sampled_from(["kept", "3-5", "6", "strip", "1", "4"]),
    length=st.sampled_from(["", "1m", "40m"]),
    at=st.sampled_from(["", "15:00", "15:30", "16:10"]),
    out=st.sampled_from(["", "", "16:00", "17:00"]),
)


@given(st.lists(LOADS, max_size=6), st.booleans())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_sheet_is_entered_whole_or_not_at_all(planned: Path, steps: list[StepLine], torn: bool) -> None:
    source = store.open_catalog(planned, writing=False)
    connection = sqlite3.connect(":memory:", isolation_level=None)
    source.backup(connection)
    source.close()
    connection.row_factory = sqlite3.Row
    before = dump(connection)
    try:
        entered(connection, Day(print=kept("3,5-6,k1", "4") if torn else kept(), step=steps))
    except TirageError as refusal:
        assert isinstance(refusal, LineError) and dump(connection) == before
    else:
        standings = dict(
            connection.execute("SELECT standing, count(*) FROM session_sheet GROUP BY standing").fetchall()
        )
        assert standings == ({"kept": 4, "void": 1} if torn else {"kept": 5})
        made = connection.execute("SELECT count(*) FROM print WHERE edition IS NOT NULL").fetchone()[0]
        assert made == standings["kept"] - 1
    connection.close()
