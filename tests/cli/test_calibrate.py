"""Calibrations as typed: kept, shown, asked how long is long enough, drawn; and refused beyond their readings."""

import json
import sqlite3
from pathlib import Path

import pypdf
import pytest

from tests.cli.conftest import Tirage

TRIAL = (
    "calibrate", "wash", "trial1", "5m=40ug/cm2", "10m=12ug/cm2", "20m=5ug/cm2", "40m=2.4ug/cm2", "60m=1.3ug/cm2",
    "90m=0.5ug/cm2", "--paper", "warm12", "--washer", "slots1", "--method", "methylene blue",
)  # fmt: skip
# Two phases, invented: minutes, µg/cm².
LONG = ((2, 23), (4, 14), (6, 8.1), (8, 5.7), (10, 4), (15, 2.6), (20, 1.75), (30, 1.5), (45, 0.85), (60, 0.51),
        (90, 0.16), (120, 0))  # fmt: skip


@pytest.fixture
def washed(studio: Tirage) -> Tirage:
    answer = studio(*TRIAL)
    assert answer.status == 0, answer.err
    assert "2 earlier readings fall faster and are left out" in answer.out and "calibrate ask trial1" in answer.out
    return studio


def test_how_long_is_enough(washed: Tirage) -> None:
    told = washed("calibrate ask trial1").out
    assert told.startswith("Under 1.4 µg/cm² after 1 h 5 min, by 95 % prediction limits (best estimate 58 min);")
    assert "measured between 20 min and 1 h 30 min on warm12 in slots1 by methylene blue; scatter 4 %." in told
    assert "the studio's own target" in told and "fixed and washed as these pieces were" in told
    assert washed("calibrate ask").out == told, "the only one need not be named"
    assert washed(*[word.replace("trial1", "trial2") for word in TRIAL]).status == 0
    assert "there are trial1, trial2" in washed("calibrate ask").err
    assert "as asked" in washed("calibrate ask trial1 --target 2ug/cm2").out


# asked -> words of the refusal
BEYOND = {
    "0.3ug/cm2": ("Not within these readings", "washed for longer than 1 h 30 min"),
    "0.6ug/cm2": ("Not surely within these readings: the best estimate is 1 h 24 min", "0.63 µg/cm² (95 %)"),
    "20ug/cm2": ("already at 20 min", "pieces washed for less"),
    "0ug/cm2": ("more than nothing",),
}


def test_nothing_beyond_the_readings(washed: Tirage) -> None:
    for target, told in BEYOND.items():
        answer = washed(f"calibrate ask trial1 --target {target}")
        assert answer.status == 1 and all(words in answer.err for words in told), answer.err
    assert washed("settings", "hypo-target", "", "--basis", "none of mine").status == 0
    assert "--target 1.4ug/cm2" in washed("calibrate ask trial1").err


SCATTERED = "calibrate wash bad 20m=1.3ug/cm2 30m=0.5ug/cm2 40m=1.5ug/cm2 60m=0.6ug/cm2 --method laboratory"


def test_never_under_while_a_reading_may_be_over(studio: Tirage) -> None:
    """The best estimate alone is under the target from the first reading on; its upper limit is not."""
    assert studio(SCATTERED).status == 0
    answer = studio("calibrate ask bad")
    assert answer.status == 1 and "already" not in answer.err and "Wash for" not in answer.err
    assert "Not surely within these readings: the best estimate lies before 20 min" in answer.err
    assert studio("calibrate draw bad").status == 0
    assert "and at most" in studio("calibrate ask bad --target 99ug/cm2").err


def test_answer_as_data(washed: Tirage) -> None:
    [row] = json.loads(washed("calibrate ask trial1 --json").out)
    assert (row["target"], row["sure_seconds"], row["best_seconds"]) == (1400, 3900, 3480)
    assert "the studio's own target" in row["target_basis"] and "fixed and washed" in row["holds_for"]
    assert "left out" in row["model"] and (row["from_seconds"], row["to_seconds"]) == (1200, 5400)


def test_shown_with_fit_limits_and_diffusion_alone(washed: Tirage) -> None:
    shown = washed("calibrate show trial1").out
    for words in ("one exponential through the late tail", "4 % of a reading", "between 20 min and 1 h 30 min"):
        assert words in shown
    for words in ("warm12", "1.31", "1.06 to 1.61", "12 µg/cm²"):
        assert words in shown
    told = washed("calibrate show trial1 --thickness 0.25mm --diffusion 1e-10").out
    assert "with your figures" in told and "halve what is left every 44 s: a lower bound" in told
    assert "it is not diffusion that holds back" in told
    assert "both your figures" in washed("calibrate show trial1 --thickness 0.25mm").err
    assert len(json.loads(washed("calibrate show trial1 --json").out)) == 6
    assert "trial1" in washed("calibrate list").out


def test_from_a_file_and_drawn(studio: Tirage) -> None:
    Path("readings.csv").write_text("time,reading\n" + "".join(f"{t},{y}\n" for t, y in LONG), encoding="utf-8")
    answer = studio("calibrate wash trial2 --file readings.csv --method laboratory --conditions 20C,full")
    assert answer.status == 0, answer.err
    assert "two exponentials" in answer.out and "1 reading of nothing found kept, not fitted" in answer.out
    assert "between 2 min and 1 h 30 min" in studio("calibrate ask trial2").out
    for _ in range(2):  # drawn again over its own earlier printing
        assert studio("calibrate draw trial2").status == 0
    text = " ".join(pypdf.PdfReader("out/wash-curve-trial2.pdf").pages[0].extract_text().split())
    for words in (
        "How long is long enough",
        "target 1.4 µg/cm²",
        "35 min",
        "minutes of wash",
        "nothing found",
        "20C,full",
    ):
        assert words in text
    assert "is there already" in studio("calibrate draw trial2 --out readings.csv").err


# lines of a file -> words of the refusal
FILES = {
    "time,reading\n5,9\n10,x\n": "line 3: “x” is not a residue",
    "5m,9ug/cm2\n10m\n": "line 2: “10m” is not a reading",
    "5 g,9\n": "line 1: “5 g” is not a duration",
    "\n": "too few",
}


def test_file_is_taken_whole_or_not_at_all(studio: Tirage) -> None:
    for text, words in FILES.items():
        Path("r.csv").write_text(text, encoding="utf-8")
        answer = studio("calibrate wash t --file r.csv --method laboratory")
        assert answer.status == 1 and words in answer.err
    assert "No calibration yet" in studio("calibrate list").out


# typed -> words of the refusal
REFUSED = {
    "calibrate wash t --file nowhere.csv --method laboratory": "cannot be read as a CSV file",
    "calibrate wash t --method laboratory": "5m=40ug/cm2",
    "calibrate wash t 5m=4ug/cm2 10m=3ug/cm2 20m=2ug/cm2 40m=1ug/cm2": "--method with one of methylene blue",
    "calibrate wash t 5m=4ug/cm2 10m=3ug/cm2 20m=2ug/cm2 --method laboratory": "four readings above nothing",
    "calibrate wash t 5m=1ug/cm2 10m=2ug/cm2 20m=3ug/cm2 40m=4ug/cm2 --method laboratory": "what is left does not fall",
    "calibrate wash t 5m=4ug/cm2 5m=3ug/cm2 20m=2ug/cm2 20m=1ug/cm2 --method laboratory": "3 different times",
    "calibrate wash t 5m=4 10m=3ug/cm2 --method laboratory": "a residue such as 1.4ug/cm2",
    "calibrate wash t 5m --method laboratory": "two numbers with = between",
    "calibrate wash t 5=4ug/cm2 --method laboratory": "a length of time such as",
    "calibrate wash trial1 5m=4ug/cm2 9m=3ug/cm2 20m=2ug/cm2 40m=1ug/cm2 --method laboratory": "“trial1” already",
    "calibrate wash t 5m=4ug/cm2 9m=3ug/cm2 20m=2ug/cm2 40m=1ug/cm2 --method laboratory --washer x": "no washer “x”",
    "calibrate wash t 5m=4ug/cm2 9m=3ug/cm2 20m=2ug/cm2 40m=1ug/cm2 --method laboratory --paper x": "no paper “x”",
    "calibrate strips s 0=0 1=0.02": "3 different known amounts",
    "calibrate strips s 0=0.08 1=0.04 2=0.02": "do not rise",
    "calibrate strips s 0=0 1=0.02 2=-0.04": "not negative",
    "calibrate strips s 0=0 1=0.02 x=0.04": "a known amount",
    "calibrate strips s 0=0 1=0.02 2=0.04 --basis borax": "one of ion",
    "calibrate strips 0=0 1=0.02 2=0.04 4=0.08": "the name of a calibration",
    "calibrate show x": "no calibration “x”; known: trial1",
    "calibrate ask x": "no calibration “x”",
}


def test_refused(washed: Tirage) -> None:
    for line, words in REFUSED.items():
        answer = washed(line)
        assert answer.status == 1 and words in answer.err, answer
    assert len(json.loads(washed("calibrate list --json").out)) == 1


def test_asked_of_strips_and_the_other_way_round(washed: Tirage) -> None:
    assert washed("calibrate strips strips1 0=0 1ug/cm2=0.02 2=0.04 --paper warm12").status == 0
    assert (
        "“strips1” is strips for the density of a stain; expected a wash trial" in washed("calibrate ask strips1").err
    )
    assert "is no wash trial" in washed("calibrate show strips1 --thickness 1mm --diffusion 1e-10").err
    assert "reading = 0 + 0.02 for each µg/cm²" in washed("calibrate show strips1").out


def test_strips_weighed_as_crystals(studio: Tirage) -> None:
    assert studio("calibrate strips s 0=0 2.2135=0.02 4.427=0.04 --basis crystals").status == 0
    assert "from 0 to 2 µg/cm²" in studio("calibrate show s").out


def test_undo_takes_a_trial_back(washed: Tirage) -> None:
    assert washed("undo").status == 0
    assert "No calibration yet" in washed("calibrate list").out


def test_readings_stay_as_they_were_told(washed: Tirage) -> None:
    assert washed("calibrate strips s 0=0 1=0.02 2=0.04").status == 0
    assert washed("strip --paper warm12").status == 0
    assert washed("test k1 hypo --stain 0.02 --untreated 0 --calibration s").status == 0
    with sqlite3.connect("catalog.db") as plain:
        for statement, words in (
            ("UPDATE calibration SET paper = NULL", "never altered"),
            ("UPDATE calibration_point SET residue = 0", "never altered"),
            (
                "INSERT INTO calibration_point SELECT id, 9, 1, 1 FROM calibration WHERE name = 's'",
                "told at once",
            ),
        ):
            with pytest.raises(sqlite3.IntegrityError, match=words):
                plain.execute(statement)
