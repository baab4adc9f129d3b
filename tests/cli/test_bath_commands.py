"""Baths, two fixers, the advice of washers and old units, typed as at the sink."""

import json

import pytest

from tests.cli.conftest import Tirage
from tests.cli.test_flow import dump

MIX = ("bath", "mix", "fixer", "alkaline rapid fixer", "--dilution", "1+4", "--volume", "2l", "--on", "2026-03-07")
LIMITS = ("--capacity", "10 sheets 24x30cm", "--silver-limit", "2g/l", "--life", "7d", "--basis", "data sheet")


def day(number: int) -> tuple[str, str]:
    return "--on", f"2026-03-{number:02d}"


@pytest.fixture
def darkroom(studio: Tirage) -> Tirage:
    """The studio with a fixer of limits (B-0002) and a second one (B-0003) in their trays."""
    assert studio("bath", "discard", "b1", *day(7)).status == 0
    for line in ((*MIX, *LIMITS), (*MIX, "--second")):
        assert studio(*line).status == 0
    return studio


def test_is_this_fixer_still_good(darkroom: Tirage) -> None:
    assert darkroom("fix", "1-6", "1m", *day(8)).err == ""
    shown = darkroom("bath show fixer").out
    assert "past its life" in shown and "ended on 14 March 2026" in shown and "A clear look proves nothing" in shown
    assert darkroom("bath show b2").out == shown
    numbers = json.loads(darkroom("bath show b2 --json").out)[0]
    assert (numbers["area_cm2"], numbers["left_cm2"], numbers["left_sheets"]) == (6 * 720, 4 * 720, 4)
    assert numbers["silver_mg_l_estimate"] == 227 and numbers["kind"] == "fixer"  # 1.5 x 0.7 x 0.432 / 2
    assert "past its life" in darkroom("bath list").out


def test_past_its_capacity_it_is_recorded_and_said(darkroom: Tirage) -> None:
    warned = darkroom("fix", "1-6", "+5", "1m", *day(8))
    assert warned.status == 0 and "past the capacity" in warned.err and "tirage bath promote" in warned.err
    assert "P-000001 to P-000006 and 5 without a code" in warned.out
    late = darkroom("fix", "1", "1m", *day(20))
    assert late.status == 0 and "the capacity and the life" in late.err


def test_both_fixers_in_order(darkroom: Tirage) -> None:
    said = darkroom("fix", "1-6", "3m", "2m", *day(8))
    assert said.status == 0, said.err
    first, second = said.out.splitlines()
    assert "(B-0002), 3 min" in first and "(B-0003), 2 min" in second
    long = darkroom("fix", "--items", "1-6", "--duration", "3m", "--second", "2m", *day(8))
    assert [line.split(" (S-")[0] for line in long.out.splitlines()] == [
        line.split(" (S-")[0] for line in said.out.splitlines()
    ]
    assert "as the second fixer: 12 sheets" in darkroom("bath show b3").out
    assert "(B-0003)" in darkroom("print show 1").out


def test_hand_over(darkroom: Tirage) -> None:
    said = darkroom("bath", "promote", *day(9))
    assert said.status == 0 and "B-0002 is discarded" in said.out and "--second" in said.out
    assert "in the place of B-0002" in darkroom("bath show fixer").out
    assert "no authority" in darkroom("bath show b3").out
    assert darkroom("undo").status == 0
    assert json.loads(darkroom("bath show b2 --json").out)[0]["standing"] == "in the tray"
    assert darkroom("check").status == 0


def test_care_of_a_silver_bath(studio: Tirage) -> None:
    studio("bath", "mix", "silver bath", "silver bath", *day(7))
    said = studio("bath", "care", "b2", "sunned and filtered", "--strength", "40 gr/fl oz us", *day(8))
    assert "8.764 % w/v" in said.out
    shown = studio("bath", "show", "silver bath").out
    assert "Last cared for on 8 March 2026: sunned and filtered, measured 40 gr/fl oz us" in shown
    assert "cared for: sunned and filtered" in studio("history b2").out


def test_a_strength_in_old_units_names_its_ounce(studio: Tirage) -> None:
    refused = studio("bath", "mix", "silver bath", "silver bath", "--dilution", "40 gr/fl oz")
    assert refused.status == 1 and "40 gr/fl oz imp" in refused.err
    said = studio("bath", "mix", "silver bath", "silver bath", "--dilution", "40 gr/fl oz us")
    assert "silver bath 40 gr/fl oz us, in the tray" in said.out and "8.764 % w/v" in said.out


def test_the_bound_of_a_load_counts_from_the_last_unwashed_sheet(studio: Tirage) -> None:
    studio("print", "make", "e1", "1", *day(8))
    for line in (
        ("wash", "1-2", *day(9), "--at", "10:00"),
        ("fix", "7", "1m", *day(9), "--at", "10:20"),
        ("wash", "7", *day(9), "--at", "10:30"),
        ("out", "1-2,7", *day(9), "--at", "10:40"),
    ):
        assert studio(*line).status == 0
    assert "after 10 min at 4 l/min" in studio("step show s3").out


def test_figures_are_corrected_and_kept(studio: Tirage) -> None:
    said = studio("correct", "b1", "capacity=40 8x10in", "life=14d", "basis=data sheet", "--why", "was not told")
    assert said.status == 0 and "is now “2.06 m²”" in said.out
    assert "capacity" in studio("history b1").out


def test_washers_advise_with_a_bound_only(studio: Tirage) -> None:
    for line in ("washer show slots1 --minutes 30 --sheets 6", "washer show slots1 --changes 5"):
        said = studio(line).out
        assert "At the very best" in said and "Paper holds back" in said and "never evidence" in said
    assert "multiply the usual time by 2.0 (US Army TM 11-2323)." in studio("washer show slots1 --temperature 50F").out
    assert "derived here" in studio("washer show slots1 --temperature 5C").out
    assert "no figure is published" in studio("washer show slots1 --temperature 1C").out
    [colder] = json.loads(studio("washer show slots1 --temperature 5C --json").out)
    assert colder["time_factor_derived"] is True and "derived here" in colder["time_factor_source"]
    [coldest] = json.loads(studio("washer show slots1 --temperature 1C --json").out)
    assert coldest["time_factor"] is None and "no figure is published" in coldest["time_factor_note"]
    assert "Clerc" in studio("washer show slots1").out
    numbers = json.loads(studio("washer show slots1 --minutes 30 --sheets 6 --temperature 10C --json").out)[0]
    assert numbers["bound_flow"] == pytest.approx(180 / 20_180 * 0.00247875, rel=1e-4)
    assert numbers["time_factor"] == 2
    assert "At the very best" in studio("step show s2").out
    cold = studio("wash", "1-6", "60m", "--temperature", "10C", *day(8))
    assert "multiply the usual time by 2.0" in cold.out and "10 °C" in studio("step show last").out
    assert "2.0 times as long" in studio("fix", "1", "1m", "--temperature", "10C", *day(9)).out
    told = studio("fix", "1", "1m", "--temperature", "4C", *day(9)).out
    assert "no figure is published for fixing: none is below 5 °C" in told and "times as long" not in told


def test_old_units(studio: Tirage) -> None:
    assert studio("convert 30 gr/fl oz us").out == "30 gr/fl oz us = 6.573 % w/v (65.73 g/l) = 28.82 gr/fl oz imp\n"
    assert studio("convert 1 oz ap").out == "1 oz ap = 31.1 g = 480 gr\n"
    assert json.loads(studio("convert 8 fl oz imp --json").out)[0]["unit"] == "ml"


# words typed -> words its sentence must hold
REFUSED = (
    (("fix", "1-6", "3m", "3m"), "no second fixer in a tray"),
    (("bath", "mix", "fixer", "x", "--capacity", "2.5m2"), "--basis"),
    (("bath", "mix", "fixer", "x", "--capacity", "2.5", "--basis", "x"), "such as 2.5m2"),
    (("bath", "mix", "fixer", "x", "--capacity", "1m2/l", "--basis", "x"), "--volume"),
    (("bath", "mix", "fixer", "x", "--life", "2 months", "--basis", "x"), "7d"),
    (("bath", "mix", "toner", "x", "--second"), "fixer"),
    (("bath", "promote"), "no second fixer"),
    (("bath", "promote", "b1"), "is no second fixer"),
    (("bath", "care", "b1", "x", "--strength", "40 gr/fl oz"), "40 gr/fl oz imp"),
    (("bath", "care", "b1", "x", "--capacity", "+1m2"), "no capacity set"),
    (("bath", "show", "varnish"), "varnish"),
    (("correct", "b1", "capacity=1m2/l", "--why", "x"), "whole bath"),
    (("convert", "1", "oz"), "1 oz av"),
    (("convert", "8", "fl", "oz"), "227.3 ml"),
    (("settings", "usual-sheet", "big", "--basis", "x"), "size"),
    (("settings", "undeveloped-share", "170 %", "--basis", "x"), "100 %"),
    (("settings", "undeveloped-share", "0.7 %", "--basis", "x"), "at least 5 %"),
    (("settings", "gold-rate", "0 mg/m2", "--basis", "x"), "268.6 mg/m2"),
    (("washer", "show", "nowhere"), "nowhere"),
)


def test_bad_input_is_one_sentence_and_changes_nothing(studio: Tirage) -> None:
    before = dump()
    for words, holds in REFUSED:
        answer = studio(*words)
        assert answer.status in (1, 2) and holds in answer.err and "Traceback" not in answer.err, words
    assert dump() == before


def test_fixing_twice_begins_in_the_first(darkroom: Tirage) -> None:
    answer = darkroom("fix", "1", "3m", "3m", "--bath", "b3", *day(8))
    assert answer.status == 1 and "is the second fixer" in answer.err


def test_a_bound_needs_a_volume_and_a_flow(studio: Tirage) -> None:
    studio("washer add bare --kind tray")
    assert "volume of washer “bare”" in studio("washer show bare --changes 3").err
    studio("washer add still --kind tray --volume 5l")
    assert "flow of washer “still”" in studio("washer show still --minutes 3").err


def test_what_cannot_be_estimated_is_no_zero(studio: Tirage) -> None:
    """A second fixer takes what its sheets carry over: with no volume of the first nothing is said of its silver."""
    studio("bath", "mix", "fixer", "plain", *day(7))
    studio("bath", "mix", "fixer", "plain", "--volume", "1l", "--second", *day(7))
    assert studio("fix", "1-6", "3m", "3m", *day(8)).status == 0
    assert "By estimate" not in studio("bath show b3").out
    assert json.loads(studio("bath show b3 --json").out)[0]["silver_mg_l_estimate"] is None
