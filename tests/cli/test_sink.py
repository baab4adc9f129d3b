"""At the sink: what is asked before, what is minded after, and what cannot have happened."""

import json

import pytest

from tests.cli.conftest import Tirage
from tests.cli.test_sessions import rows


def mixed(studio: Tirage, *toners: str) -> None:
    for name in toners:
        assert studio("bath", "mix", "toner", name, "--on", "2026-03-06").status == 0


def test_may_i_tone_now_records_nothing(studio: Tirage) -> None:
    mixed(studio, "selenium toner")
    studio("print make e1 1 --on 2026-03-06")
    studio("fix 7 1m --on 2026-03-07")
    before = rows()
    told = studio("tone 7 selenium --ask")
    assert told.status == 0 and "Mind: Before selenium, wash 10 min after the fixer" in told.err
    assert "nothing was recorded" in told.out and "nothing speaks against selenium toner" in studio("tone 3 --ask").out
    assert rows() == before


def test_a_duration_alone_means_the_toner_in_the_tray(studio: Tirage) -> None:
    mixed(studio, "selenium toner")
    assert "tone in selenium toner (B-0002), 3 min" in studio("tone 1-2 3m").out
    mixed(studio, "gold toner")
    told = studio("tone 3 3m")
    assert told.status == 1 and "gold toner (B-0003), selenium toner (B-0002)" in told.err
    assert "tone in gold toner" in studio("tone 3 gold 3m").out


@pytest.mark.parametrize("line", ["fix 1 +5 1m", "fix +5 1 1m", "fix 1 1m +5", "step add fix 1 1m +5"])
def test_sheets_without_a_code_stand_anywhere(studio: Tirage, line: str) -> None:
    told = studio(line)
    assert told.status == 0 and "P-000001 and 5 without a code: fix in alkaline rapid fixer (B-0001), 1 min" in told.out


def test_who_joins_unwashed_begins_the_wash_anew(studio: Tirage) -> None:
    studio("print make e1 1 --on 2026-03-06")
    studio("fix 7 1m --on 2026-03-07 --at 15:00")
    assert studio("wash 1-2 --on 2026-03-07 --at 15:10").status == 0
    told = studio("wash 7 --on 2026-03-07 --at 15:40")
    assert "P-000001, P-000002 now count from 15:40" in told.out, told.out
    shown = studio("washer show slots1").out
    assert "In it: P-000001, P-000002, washed" in shown and "counted from 15:40" in shown and "in at 15:40" in shown
    assert json.loads(studio("washer show slots1 --json").out)[0]["inside"] == "P-000001,P-000002,P-000007"


@pytest.mark.parametrize("warm", ["20F", "95C"])
def test_water_is_neither_ice_nor_boiling(studio: Tirage, warm: str) -> None:
    before = rows()
    for line in ("wash 1 20m", "wash 1", "fix 1 1m"):
        told = studio(*line.split(), "--temperature", warm)
        assert told.status == 1 and "expected 0 to 60 °C" in told.err
    assert rows() == before


def test_what_is_told_has_happened_by_the_clock(studio: Tirage) -> None:
    told = studio("fix 1 1m --at 23:59:59+00:00 --on 2099-01-01")
    assert told.status == 1 and "has not come yet" in told.err


def test_a_hurried_plate_and_one_that_was_never_fixed(studio: Tirage) -> None:
    at = "--on 2026-03-02 --at"
    studio(f"step add collodion n1 {at} 10:00")
    told = studio(f"dry n1 {at} 11:00")
    assert told.status == 0 and "Mind: no fixing is recorded of N-0001" in told.err
    told = studio(f"step add varnish n1 {at} 11:10")
    assert told.status == 0 and "Mind: N-0001: varnish was due from" in told.err
    assert "it is 10 min after drying" in told.err
    told = studio(f"negative state n1 ready {at} 11:20")
    assert told.status == 0 and "printing was due from" in told.err and "no fixing" in told.err


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("bath promote fix9", "expected a bath (b1). See: tirage bath list."),
        ("bath care b9 filtered", "expected a bath (b1). See: tirage bath list."),
        ("history plain", "Not by a code but by name go: a routine (tirage routine show NAME)"),
        ("step show s99", "expected a step (s1). See: tirage step list."),
    ],
)
def test_where_the_codes_of_a_kind_are_listed(studio: Tirage, line: str, words: str) -> None:
    told = studio(line)
    assert told.status == 1 and words in told.err, told.err


def test_strips_are_listed(studio: Tirage) -> None:
    assert "No control strip yet." in studio("strip list").out
    assert studio("strip 2").status == 0
    assert "K-0002" in studio("strip list").out
