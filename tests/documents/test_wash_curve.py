"""The wash curve: what its sheet says, with and without an answer."""

from pathlib import Path

import pytest

from catalog.documents.wash_curve import content, file_name, title
from catalog.records import calibrations
from catalog.records.calibrations import Point
from catalog.rules.wash_trial import Trial, trial_of
from tests.process_sample import Studio, event

READINGS = ((5, 40_000), (10, 12_000), (20, 5_000), (40, 2_400), (60, 1_300), (90, 500), (120, 0))


@pytest.fixture
def trial(tmp_path: Path) -> Trial:
    studio = Studio(tmp_path / "catalog")
    points = [Point(minutes * 60, left) for minutes, left in READINGS]
    made = calibrations.add(
        studio.connection,
        event(5),
        "trial 1/a",
        "wash",
        points,
        washer=studio.siphon.id,
        method="laboratory",
        text="20 °C, four sheets",
    )
    return trial_of(studio.connection, made)


def test_sheet_says_the_answer_whose_target_and_for_what_it_holds(trial: Trial) -> None:
    said = content(trial, 1_400, "my own figure; a handbook")
    words = " ".join(text for section in said.sections for text in (*section.paragraphs, *section.notes))
    for part in (
        "after 1 h 5 min, by 95 % prediction limits",
        "1.4 µg/cm² is the target here: my own figure; a handbook.",
        "It is no limit and no promise",
        "5\u00a0min:\u00a040; 10\u00a0min:\u00a012",
        "2\u00a0h:\u00a0nothing\u00a0found",
        "20 °C, four sheets",
        "late tail",
        "1 reading of nothing found kept, not fitted",
    ):
        assert part in words, part
    assert said.plot.answer == (65, "1 h 5 min")
    assert said.plot.target == (1.4, "target 1.4 µg/cm²: my own figure")
    assert (len(said.plot.readings), len(said.plot.others), said.plot.nothing) == (4, 2, (120,))
    assert said.plot.curve[0][0] == 20 and said.plot.curve[-1][0] == 90, "no curve beyond the readings"
    assert said.head.subtitle == "Washed in siphon, measured by laboratory, 4 March 2026, Ada Renn"


def test_sheet_without_an_answer_says_why(trial: Trial) -> None:
    said = content(trial, 100, "mine")
    assert said.plot.answer is None
    assert said.sections[0].paragraphs[0].startswith("Not within these readings")


def test_names() -> None:
    assert file_name("trial 1/a") == "wash-curve-trial-1-a.pdf" and file_name("…") == "wash-curve-trial.pdf"
    assert title("trial1") == "Wash trial trial1"
