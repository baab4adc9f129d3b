"""Residual tests as typed: drops, laboratory values in any unit and basis, titration, stain and absorbance."""

import json
import sqlite3

import pytest

from tests.cli.conftest import Answer, Tirage


@pytest.fixture
def sink(studio: Tirage) -> Tirage:
    """Six prints and a strip fixed and washed, with the user's own strips and absorbances."""
    for line in (
        "strip --paper warm12 --on 2026-03-06 --at 10:30",
        "print make n1 1 --paper warm12 --on 2026-03-06 --at 10:30",
        "fix 7,k1 1m --on 2026-03-06 --at 12:40",
        "wash 7,k1 60m --on 2026-03-06 --at 13:00",
        "calibrate strips strips1 0=0.00 1=0.02 2=0.04 4=0.08 --paper warm12",
        "calibrate absorbance mb1 0=0.020 10=0.120 20=0.220 40=0.420",
    ):
        answer = studio(line)
        assert answer.status == 0, answer.err
    return studio


def kept() -> tuple[object, ...]:
    """The newest test: method, value, what was given."""
    with sqlite3.connect("catalog.db") as plain:
        method, value, given = plain.execute(
            "SELECT method, value, given FROM residual_test ORDER BY id DESC LIMIT 1"
        ).fetchone()
        return method, value, json.loads(given)


def refused(answer: Answer, *words: str) -> None:
    assert answer.status == 1, answer
    assert all(word in answer.err for word in words), answer.err


# 100 µg/cm² to the g/m², 6.4516 cm² to the square inch, molar masses 112.12, 158.11, 248.18 and 148.2: typed after
# `test k1 hypo`, nanograms of the ion a square centimetre of a side.
VALUES = [
    ("0.9ug/cm2", 900),
    ("0.014g/m2", 1_400),
    ("0.005mg/in2", 775),
    ("3.099ug/cm2 --basis crystals", 1_400),
    ("1.974ug/cm2 --basis anhydrous", 1_400),
    ("1.85ug/cm2 --basis ammonium", 1_400),
    ("2.8ug/cm2 --sides both", 1_400),
    ("0.012mg/in2 --basis crystals --sides both", 420),
]


def test_value_is_kept_as_the_ion_of_one_side(sink: Tirage) -> None:
    for typed, value in VALUES:
        assert sink(f"test k1 hypo {typed} --method laboratory").status == 0
        method, found, given = kept()
        assert (method, found) == ("laboratory", value), typed
        words = typed.split()
        assert given == {"value": words[0], **dict(zip([w[2:] for w in words[1::2]], words[2::2], strict=True))}


# An invented calibration (density gained 0.02 for each µg/cm²; absorbance 0.01 for each µg over a blank of 0.02) and
# V N 112.12 for the titration, worked out independently: typed, method, nanograms a square centimetre.
WORKED_OUT = [
    ("--stain 0.108 --untreated 0.08 --calibration strips1", "silver densitometric", 1_400),
    ("--stain 0.05 --untreated 0 --calibration strips1", "silver densitometric", 2_500),
    ("--absorbance 0.244 --calibration mb1 --area 16cm2", "methylene blue", 1_400),
    ("--absorbance 0.340 --calibration mb1 --area 4x4cm", "methylene blue", 2_000),
    ("--absorbance 0.020 --calibration mb1 --area 16cm2", "methylene blue", 0),
    ("--absorbance 0.244 --calibration mb1 --area 16cm2 --aliquot 10ml --extract 50ml", "methylene blue", 7_000),
    ("--absorbance 0.244 --calibration mb1 --area 16cm2 --sides both", "methylene blue", 700),
    ("--titration 2.35ml --normality 0.001 --blank 0ml --area 50cm2", "iodine titration", 5_270),
    ("--titration 2.35ml --normality 0.001 --blank 0.10ml --area 50cm2", "iodine titration", 5_045),
]


def test_worked_out_from_a_reading(sink: Tirage) -> None:
    for typed, method, value in WORKED_OUT:
        answer = sink(f"test k1 hypo {typed}")
        assert answer.status == 0, answer.err
        assert kept()[:2] == (method, value), typed
        words = typed.split()
        told = dict(zip([word[2:] for word in words[::2]], words[1::2], strict=True))
        told.pop("calibration", None)
        assert kept()[2] == told


# typed -> words of the refusal
REFUSED = {
    "test k1 hypo --stain 0.18 --untreated 0.08 --calibration strips1": ("above all of “strips1”", "0 to 4 µg/cm²"),
    "test k1 hypo --stain 0.06 --untreated 0.08 --calibration strips1": (
        "below all of “strips1”",
        "less than a clean piece",
    ),
    "test k1 hypo --absorbance 0.5 --calibration mb1 --area 16cm2": ("above all of “mb1”", "smaller aliquot"),
    "test k1 hypo --absorbance 0.005 --calibration mb1 --area 16cm2": ("below all of “mb1”",),
    "test k1 hypo --absorbance 0.2 --calibration strips1 --area 16cm2": ("“strips1” is strips", "calibrate absorbance"),
    "test k1 hypo --stain 0.1 --untreated 0 --calibration none": ("no calibration “none”", "strips1"),
    "test k1 hypo --stain 0.1 --calibration strips1": ("--untreated must be told",),
    "test k1 hypo --titration 2.35ml --normality 0.001 --area 50cm2": ("--blank", "must be told"),
    "test k1 hypo --titration 1ml --normality 0.001 --blank 2ml --area 50cm2": ("“2ml” is not a blank",),
    "test k1 hypo --titration 1ml --normality 0 --blank 0ml --area 50cm2": ("normality", "more than 0"),
    "test k1 hypo --titration 99l --normality 1 --blank 0ml --area 1cm2": ("at most 1 mg/cm²",),
    "test k1 hypo --absorbance 0.2 --calibration mb1 --area 9cm2 --extract 9ml": ("--aliquot",),
    "test k1 hypo --absorbance 0.2 --calibration mb1 --area 9cm2 --extract 9ml --aliquot 10ml": (
        "no more than the 9ml",
    ),
    "test k1 silver --stain 0.1 --untreated 0 --calibration strips1": ("hypo alone",),
    "test k1 hypo --stain 0.1 --titration 1ml": ("hypo alone, with one of",),
    "test k1 hypo --stain 0.02 --untreated 0 --calibration strips1 --method laboratory": (
        "silver densitometric, or no",
    ),
    "test k1 hypo --stain 0.1 --untreated 0 --calibration strips1 --sides both": ("--sides means nothing beside",),
    "test k1 hypo none --basis crystals": ("--basis means nothing",),
    "test k1 hypo 1ug/cm2 --method laboratory --basis borax": ("one of ion, anhydrous, crystals, ammonium",),
    "test k1 hypo 1ug/cm2 --method laboratory --sides three": ("one or both",),
    "test k1 hypo 1ug/cm2": ("No method is named", "methylene blue"),
    "test k1 --method laboratory": ("--method means nothing",),
    "test n1 hypo none": ("a residual test is made on a control strip", "Of a plate only a measured value"),
}


def test_refused_and_nothing_kept(sink: Tirage) -> None:
    for line, words in REFUSED.items():
        refused(sink(line), *words)
    assert sink("test k1").out.startswith("K-0001: no test yet")


def test_what_may_be_said_of_drops(sink: Tirage) -> None:
    both = sink("test k1 hypo none silver none").out
    assert "It may be said that the processing of this load was in control; it does not show that each print" in both
    assert "it gives no amount and does not make the print archival" in sink("test k1 hypo none").out
    assert "which substance it was is not told" in sink("test k1 hypo beige silver none").out


def test_a_test_that_does_not_count_claims_nothing_of_the_load(sink: Tirage) -> None:
    assert sink("fix 7,k1 1m --on 2026-03-06 --at 15:00").status == 0
    told = sink("test k1 hypo none silver none --on 2026-03-06 --at 16:00").out
    assert "in control" not in told and "no stain was seen, on one spot" in told
    assert "It does not count for P-000007: wash first, and test again after that." in told
    assert sink("wash 7,k1 60m --on 2026-03-06 --at 17:00").status == 0
    counts = sink("test k1 hypo none silver none --on 2026-03-06 --at 19:00").out
    assert "in control" in counts and "does not count" not in counts


def test_a_strip_that_no_print_went_with_is_kept(sink: Tirage) -> None:
    assert sink("strip --paper warm12 --on 2026-03-06").status == 0
    told = sink("test k2 hypo none silver none --on 2026-03-07").out
    assert told.startswith("K-0002: kept; no print went through the baths with it yet.") and "in control" not in told


def test_value_beside_the_target(sink: Tirage) -> None:
    told = sink("test", "k1", "hypo", "0.9ug/cm2", "--method", "methylene blue").out
    assert "Hypo 0.9 µg/cm² (methylene blue): under the target set here, 1.4 µg/cm² (the studio's own target" in told
    assert "how many years the image lasts" in told
    assert ": over the target" in sink("test k1 hypo 2ug/cm2 --method laboratory").out
    assert ": at the target" in sink("test k1 hypo 1.4ug/cm2 --method laboratory").out
    assert "no target for silver is set" in sink("test k1 silver 1ug/cm2 --method laboratory").out


def test_other_methods_are_flagged(sink: Tirage) -> None:
    sink("test k1 hypo none silver none")
    assert "Mind" not in sink("test k1 hypo 0.9ug/cm2 --method laboratory").out
    assert "Mind" not in sink("test k1 hypo 0.8ug/cm2 --method laboratory").out
    told = sink("test k1 hypo 0.7ug/cm2 --method iodine-amylose").out
    assert "earlier values for hypo on it are by laboratory; methods do not measure the same" in told
    refused(sink("test k1 silver 1ug/cm2 --method iodine-amylose"), "for silver; expected laboratory")


def test_what_came_out_of_a_sheet_is_data(sink: Tirage) -> None:
    """A titration of an extract says nothing of what stayed in; over the target it is bad news all the same."""
    sink("test k1 hypo --titration 0.5ml --normality 0.001 --blank 0ml --area 500cm2")
    told = sink("print show 7").out
    assert "recorded" in told and "says nothing of what stayed in it, so it is kept as data" in told
    sink("test k1 hypo --titration 2.35ml --normality 0.001 --blank 0ml --area 50cm2")
    assert "evidence     failed" in sink("print show 7").out


def test_strips_of_another_paper_are_flagged(sink: Tirage) -> None:
    assert "Mind" not in sink("test k1 hypo --stain 0.02 --untreated 0 --calibration strips1").out
    sink("paper add cold3 cold-tone")
    sink("calibrate strips cold 0=0 1=0.02 2=0.04 --paper cold3")
    told = sink("test k1 hypo --stain 0.02 --untreated 0 --calibration cold").out
    assert "“cold” was made of cold3, and K-0001 is warm12" in told


def test_sulfite_is_named_beside_a_titration(sink: Tirage) -> None:
    told = sink("test k1 hypo --titration 0.5ml --normality 0.001 --blank 0.1ml --area 100cm2").out
    assert "44.848 µg in what was titrated, the blank taken off" in told and "sulfite of a wash aid" in told


def test_plate_is_told_beside_the_limit_for_film_and_graded_nothing(sink: Tirage) -> None:
    told = sink("test n1 hypo 0.9ug/cm2 --method laboratory").out
    assert "A test of a plate grades nothing" in told and "under the figure of 36 CFR 1238.14" in told
    assert "microfilm of permanent records to 1.4 µg/cm²; no limit for a collodion plate was found" in told
    shown = sink("test n1").out
    assert "0.9 µg/cm²" in shown and "no limit (none set by ANSI as of 1997" in shown
    assert "not confirmed at its source" in shown


def test_shown_as_given_and_as_kept(sink: Tirage) -> None:
    sink("test k1 hypo none silver none --on 2026-03-07")
    sink("test k1 hypo 0.012mg/in2 --basis crystals --sides both --method laboratory --on 2026-03-08 --by Mara")
    sink("test k1 hypo --stain 0.108 --untreated 0.08 --calibration strips1 --on 2026-03-09")
    shown = sink("test k1").out
    for words in ("acid silver nitrate drop", "0.012mg/in2, basis crystals, sides both", "0.42 µg/cm²", "Mara"):
        assert words in shown
    assert "strips1" in shown and "8 March 2026" in shown
    rows = json.loads(sink("test k1 --json").out)
    assert [row["nanograms a cm2"] for row in rows] == [None, None, 420, 1_400]
    assert sink("test --item k1 --csv").out.count("\n") == 5


def test_long_form_and_grade(sink: Tirage) -> None:
    told = sink(
        "test", "--item", "k1", "--result", "hypo 0.9ug/cm2", "--result", "silver none", "--method", "laboratory"
    )
    assert told.status == 0 and told.out.startswith("P-000007: spot-tested (hypo measured, silver spot-tested).")
    assert sink("undo").status == 0
    assert "no test yet" in sink("test k1").out
