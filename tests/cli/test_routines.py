"""A routine at the command line: taken from a strip, proved by three, lapsing, disproved, ended."""

import json

import pytest

from tests.cli.conftest import Tirage

DAYS = ("2026-03-07", "2026-03-08", "2026-03-09", "2026-03-10")


def load(tirage: Tirage, day: str, first: int, strip: int, seen: str = "") -> None:
    """Two prints and a strip on a day, fixed, washed and the strip tested."""
    at = ("--on", day, "--at")
    things = f"{first}-{first + 1},k{strip}"
    for line in (
        ["print", "make", "e1", "2", *at, "10:00"],
        ["strip", *at, "10:05"],
        ["fix", things, "1m", *at, "11:00"],
        ["wash", things, "60m", *at, "12:30"],
        *([["test", f"k{strip}", "hypo", seen, "silver", "none", *at, "15:00"]] if seen else []),
    ):
        assert tirage(*line).status == 0, line


@pytest.fixture
def proved(studio: Tirage) -> Tirage:
    """Three loads with clean strips, and a fourth, P-000013 and P-000014, whose strip was not tested."""
    load(studio, DAYS[0], 7, 1, "none")
    assert studio("routine", "add", "plain slots", "--like", "k1", "--on", "2026-03-08").status == 0
    load(studio, DAYS[1], 9, 2, "none")
    load(studio, DAYS[2], 11, 3, "none")
    load(studio, DAYS[3], 13, 4)
    return studio


def test_taken_from_a_strip_and_shown(studio: Tirage) -> None:
    load(studio, DAYS[0], 7, 1, "none")
    said = studio("routine", "add", "plain slots", "--like", "k1", "--on", "2026-03-08").out
    assert "begins on 8 March 2026" in said
    assert "fix 1 min in alkaline rapid fixer; no toner; wash 60 min in “slots1” after the last bath" in said
    assert "3 clean strips in a row; it holds for 180 days from the newest (the user's own figures; no" in said
    assert "not proved yet: 1 of 3 clean, the newest on 7 March 2026; test 2 more strips" in said


def test_print_rests_on_the_routine(proved: Tirage) -> None:
    said = proved("print show 13").out
    assert "Hypo left. By proven routine: not tested itself, but worked within a routine whose last 3 pieces" in said
    assert (
        "Of both it may be said that it was worked the same way as pieces that tested clean; it was not tested" in said
    )
    assert "Worked within your routine “plain slots”." in said
    (row,) = json.loads(proved("routine list --json").out)
    assert (row["name"], row["begun"]) == ("plain slots", "2026-03-08")
    assert [one["clean"] for one in json.loads(proved("routine", "show", "plain slots", "--json").out)] == [3, 3]


def test_print_says_why_it_does_not(proved: Tirage) -> None:
    assert proved("print make e1 1 --on 2026-03-11").status == 0
    assert proved("fix 15 45s --on 2026-03-11").status == 0
    assert proved("wash 15 60m --on 2026-03-11").status == 0
    said = proved("print show 15").out
    assert "Not within your routine “plain slots”: fixed 45 s; the routine wants 1 min." in said
    assert (
        "in one wash; the routine allows 2" in proved("print show 1").out
        and "Not within" in proved("print show 15").out
    )


def test_disproved_after_signing_is_found(proved: Tirage) -> None:
    assert proved("sign 13 --on 2026-03-10").status == 0
    assert "disproved" not in proved("check").out
    load(proved, "2026-03-11", 15, 5, "beige")
    said = proved("check").out
    assert "P-000013 is signed, and the routine that it was worked within was disproved on 11 March 2026" in said
    assert "A test of what was worked in the same way failed on 11 March 2026" in proved("print show 13").out


def test_said_in_full_and_over_a_strip(proved: Tirage) -> None:
    assert proved("bath", "mix", "toner", "selenium toner", "--dilution", "1+20", "--on", "2026-03-07").status == 0
    said = proved(
        "routine", "add", "toned", "--paper", "warm12", "--fixer", "b1", "--fix", "1m", "--second-fix", "1m",
        "--toner", "b2", "--washer", "slots1", "--wash", "60m", "--changes", "6", "--temperature", "18C",
        "--sheets", "12", "--tests", "2", "--lapses", "90d", "--basis", "a handbook",
    ).out  # fmt: skip
    assert "fix 1 min in alkaline rapid fixer, and 1 min in a second one; tone in selenium toner 1+20; wash 60" in said
    assert "6 changes of water or more, at 18 °C or warmer, 12 sheets at most" in said
    assert "2 clean strips in a row; it holds for 90 days from the newest (a handbook)" in said
    said = proved("routine", "add", "longer", "--like", "k1", "--wash", "90m").out
    assert "wash 1 h 30 min" in said and "3 of 3 clean, the newest on 9 March 2026" in said  # less wash proves more


REFUSED = {
    "nothing said": ("routine add x", "A routine names its paper, its fixer"),
    "a name taken": ("routine add plain --like k1", "There is a routine “plain” already"),
    "a plate": ("routine add x --like n1", "expected a control strip (k1) or a print (3)"),
    "not washed": ("routine add x --like k2", "its wash is not finished"),
    "not fixed": ("routine add x --like k3", "no fixing of it is recorded"),
    "a time without its bath": ("routine add x --like k1 --aid 3m", "Add --wash-aid b3"),
    "no days": ("routine add x --like k1 --lapses soon", "expected whole days, such as 180d"),
    "a day not exact": ("routine add x --like k1 --on 2026-03", "A routine begins and ends on one day"),
    "unknown": ("routine show x", "There is no routine “x”"),
    "ended before it began": ("routine end plain --on 2026-03-01", "began on 8 March 2026, after 1 March 2026"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_refused(studio: Tirage, case: str) -> None:
    line, why = REFUSED[case]
    load(studio, DAYS[0], 7, 1)
    assert studio("strip 2 --on 2026-03-08").status == 0
    assert studio("fix k2 1m --on 2026-03-08").status == 0
    assert studio("routine add plain --like k1 --on 2026-03-08").status == 0
    answer = studio(line)
    assert (answer.status, why in answer.err) == (1, True), answer.err
    assert studio("check").status == 0


def test_due_names_the_untested_strip(studio: Tirage) -> None:
    load(studio, DAYS[0], 7, 1)
    said = studio("due").out
    assert "K-0001 went with P-000007, P-000008 and is untested: test it." in said
    assert "tirage test k1 hypo READING silver READING" in said
    assert studio("test k1 hypo none silver none --on 2026-03-07").status == 0
    assert "untested" not in studio("due").out
