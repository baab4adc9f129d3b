"""What plain SQL, its checks of keys off, cannot make of baths, calibrations, recipes and the plan of a session.

Each form with the words of its refusal; the rules are the catalog's own (derived here).
"""

import sqlite3
from pathlib import Path

import pytest

from .conftest import plain, tirage
from .test_guards import refused

FIXER, TONER = "(SELECT id FROM code WHERE code = 'B-0001')", "(SELECT id FROM code WHERE code = 'B-0002')"
BATH = "UPDATE bath SET {} WHERE id = {}"
DONE = "INSERT INTO bath_event (bath, {}, happened, earliest, latest, by) SELECT {}, {}, '2026', '', '', 'x'"
POINT = "INSERT INTO calibration_point SELECT id, 9, 1, 1 FROM calibration WHERE name = '{}'"
RECIPE = "INSERT INTO recipe (negative, edition, print, happened, earliest, latest, by) SELECT {}, '2026', '', '', 'x'"
TEST = """INSERT INTO residual_test (item, question, method, reading, happened, earliest, latest, by, {})
    SELECT item, question, method, reading, happened, earliest, latest, by, {} FROM residual_test LIMIT 1"""
PRINT, OTHER = "(SELECT id FROM code WHERE code = 'P-000001')", "(SELECT id FROM code WHERE code = 'P-000006')"
OF = "(SELECT {} FROM print WHERE id = {})"
DAY = "(SELECT min(id) FROM session)"

FORMS = {
    "a limit without a basis": (BATH.format("capacity = 1", FIXER), "have a basis"),
    "a basis of spaces": (BATH.format("life = 1, basis = ' '", FIXER), "have a basis"),
    "a silver limit of a toner": (BATH.format("silver_limit = 1, basis = 'x'", TONER), "those of its kind"),
    "a second toner": (BATH.format("position = 'second'", TONER), "those of its kind"),
    "gold in a fixer": (BATH.format("metal = 1", FIXER), "those of its kind"),
    "a bath of another kind": (BATH.format("kind = 'stop'", FIXER), "those of its kind"),
    "a discarded bath in a tray": (BATH.format("discarded = '2026-04-01', in_tray = 1", TONER), "in no tray"),
    "capacity added to none": (DONE.format("kind, capacity", FIXER, "'replenished', 1"), "where one is set"),
    "gold added to a fixer": (DONE.format("kind, metal", FIXER, "'replenished', 1"), "gold to a toner"),
    "a first fixer promoted": (DONE.format("kind, text", FIXER, "'promoted', ''"), "only a second fixer"),
    "a bath in its own place": (DONE.format("kind, replaced", FIXER, f"'promoted', {FIXER}"), "second|CHECK"),
    "a reading of a calibration more": (POINT.format("mb1"), "told at once"),
    "an exposure of a recipe more": (
        "INSERT INTO recipe_exposure (recipe, position, kind, milliseconds) SELECT max(id), 9, 'base', 1 FROM recipe",
        "told at once",
    ),
    "a recipe of another edition's print": (
        RECIPE.format(f"{OF.format('negative', PRINT)}, NULL, {PRINT}"), "its approved print"
    ),
    "a recipe of another negative's print": (
        RECIPE.format(f"{OF.format('negative', OTHER)}, {OF.format('edition', PRINT)}, {PRINT}"), "its approved print"
    ),
    "a test whose working is no JSON": (TEST.format("given", "'none'"), "json_valid"),
    "a test that rests on a wash trial": (
        TEST.format("calibration", "(SELECT id FROM calibration WHERE kind = 'wash')"), "a wash trial"
    ),
    "a routine that ended before it began": ("UPDATE routine SET ended = '1900-01-01'", "ended >= begun"),
    "a session of no day": (
        "INSERT INTO session (negative, planned, by) SELECT negative, 'zzz', 'x' FROM session LIMIT 1", "GLOB"
    ),
    "a session of another day": (f"UPDATE session SET planned = '2026-04-01' WHERE id = {DAY}", "entered once"),
    "a session on other paper": (f"UPDATE session SET paper = 99 WHERE id = {DAY}", "entered once|no such paper"),
}  # fmt: skip


@pytest.mark.parametrize("what", FORMS)
def test_what_plain_sql_cannot_write(populated: Path, what: str) -> None:
    statement, words = FORMS[what]
    connection = plain(populated)
    with pytest.raises(sqlite3.IntegrityError, match=words):
        connection.execute(statement)
    refused(connection, statement)
    connection.close()


def test_a_line_of_promotions_that_bites_its_tail_ends(populated: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert tirage(populated, "bath mix fixer third --on 2026-03-20") == 0
    connection = plain(populated)
    one, two = (row[0] for row in connection.execute("SELECT id FROM bath WHERE kind = 'fixer'"))
    for bath, replaced in ((one, two), (two, one)):
        connection.execute("UPDATE bath SET position = 'second' WHERE id = ?", (bath,))
        connection.execute(DONE.format("kind, replaced", bath, f"'promoted', {replaced}"))
    connection.close()
    assert tirage(populated, "bath show b1") == 0
    assert "turn 2 in a row" in " ".join(capsys.readouterr().out.split())


def test_the_number_of_a_session_is_given_once(populated: Path) -> None:
    numbers = "SELECT max(id) FROM session"
    before = plain(populated).execute(numbers).fetchone()[0]
    for line in ("session sheet e1 1 --for 2026-03-24", "undo", "session sheet e1 1 --for 2026-03-24"):
        assert tirage(populated, line) == 0
    assert plain(populated).execute(numbers).fetchone()[0] == before + 2
