"""Cautions: each figure with its source, each said once a day, all deferring to the safety data sheet."""

from pathlib import Path

import pytest

from catalog.records import baths, steps
from catalog.rules.cautions import CAUTIONS, SHEET, caution, caution_today, cautions_for, disposal
from catalog.rules.hazards import ADVICE
from tests.process_sample import Studio, event

# step, bath -> figures that the line must hold; source: CDC/NIOSH pages on IDLH values (they quote OSHA's limits)
FIGURES = (
    ("fix", "potassium cyanide", ("5 mg/m³", "10 ppm")),  # cyanides; hydrogen cyanide 74-90-8
    ("collodion", "", ("400 ppm", "−45 °C")),  # ethyl ether 60-29-7
    ("varnish", "", ("1000 ppm", "12.8 °C")),  # ethanol 64-17-5; 55 °F
    ("sensitize", "", ("0.01 mg/m³",)),  # silver 7440-22-4
    ("tone", "selenium toner 1+20", ("0.2 mg/m³",)),  # selenium 7782-49-2
    ("develop", "hydroquinone developer", ("2 mg/m³",)),  # hydroquinone 123-31-9
    ("redevelop", "chromium intensifier", ("0.005 mg/m³",)),  # chromium(VI), quoted in PMC7490536
)
# from memory, so no figure may stand in them
NO_FIGURE = (("redevelop", "pyro redeveloper"), ("iodine", ""), ("tone", "sulfide toner"), ("tone", "sepia"),
             ("tone", "thiocarbamide toner"), ("tone", "liver of sulphur"), ("stop", "glacial acetic"))  # fmt: skip
NOTHING = (("fix", "plain hypo"), ("wash", ""), ("dry", ""), ("develop", "iron developer"), ("tone", "gold toner"),
           ("fix", "ammonium thiocyanate"), ("stop", "citric stop"))  # fmt: skip


@pytest.mark.parametrize(("step", "bath", "figures"), FIGURES)
def test_figures(step: str, bath: str, figures: tuple[str, ...]) -> None:
    line = caution(step, bath)
    assert line.startswith("Caution: ") and line.endswith(SHEET) and "\n" not in line
    assert all(figure in line for figure in figures)


@pytest.mark.parametrize(("step", "bath"), NO_FIGURE)
def test_what_is_from_memory_has_no_figure(step: str, bath: str) -> None:
    assert caution(step, bath) and not any(sign.isdigit() for sign in caution(step, bath))


@pytest.mark.parametrize(("step", "bath"), NOTHING)
def test_nothing_is_said_where_nothing_is_known_to_hurt(step: str, bath: str) -> None:
    assert caution(step, bath) == ""


def test_every_figure_names_its_source_and_mercury_is_nowhere() -> None:
    for one in CAUTIONS:
        figure = any(sign.isdigit() for sign in one.text.replace("mg/m³", ""))
        assert figure is ("OSHA" in one.text) and figure is not one.text.endswith("(from memory)."), one.text
        assert one.text.count("°C") == one.text.count("NIOSH") and "mercur" not in one.text.casefold()


def test_what_is_from_memory_says_so_where_it_is_printed() -> None:
    for words in ("alcohol (that from memory)", "explode (that from memory)"):
        assert any(words in one.text for one in CAUTIONS)
    assert "a poison too (that from memory)" in ADVICE


def test_once_a_day_for_each_danger(tmp_path: Path) -> None:
    studio = Studio(tmp_path / "studio")
    add = studio.connection
    silver = baths.mix(add, event(0), "silver bath", "silver nitrate bath")
    first = steps.record(add, event(1), "sensitize", [studio.n], bath=silver)
    assert "Silver nitrate" in caution_today(add, first)
    again = steps.record(add, event(9), "sensitize", [studio.n], bath=silver)
    assert caution_today(add, again) == ""
    assert "Iodine" in caution_today(add, steps.record(add, event(10), "iodine", [studio.n]))
    tomorrow = steps.record(add, event(24 * 60), "sensitize", [studio.n], bath=silver)
    assert "Silver nitrate" in caution_today(add, tomorrow)
    fixed = steps.record(add, event(11), "fix", [studio.n], bath=studio.fixer)
    assert caution_today(add, fixed) == ""
    kcn = baths.mix(add, event(0), "fixer", "potassium cyanide")
    assert "Cyanide" in caution_today(add, steps.record(add, event(12), "fix", [studio.n], bath=kcn))


def test_a_sheet_of_paper_says_each_once_and_ends_with_what_they_defer_to() -> None:
    lines = cautions_for([("fix", "hypo"), ("tone", "selenium"), ("tone", "selenium 1+9"), ("varnish", "sandarac")])
    assert len(lines) == 3 and "0.2 mg/m³" in lines[0] and "12.8 °C" in lines[1]
    assert lines[-1].startswith(SHEET) and "licensed" in lines[-1]
    assert cautions_for([("fix", "hypo"), ("wash", "")]) == []


# kind, name -> words that its disposal must hold, none where nothing is known
DISPOSALS = (
    ("fixer", "alkaline rapid fixer", ("5.0 mg/L", "D011", "40 CFR 261.24", "local authority")),
    ("fixer", "potassium cyanide", ("never to an acid", "D011", "licensed")),
    ("silver bath", "silver nitrate bath", ("D011",)),
    ("toner", "selenium toner", ("poisonous", "licensed")),
    ("varnish", "sandarac varnish", ("catches fire", "licensed")),
    ("wash aid", "wash aid", ()),
)


@pytest.mark.parametrize(("kind", "name", "words"), DISPOSALS)
def test_disposal(kind: str, name: str, words: tuple[str, ...]) -> None:
    said = disposal(kind, name)
    assert bool(said) is bool(words) and all(word in said for word in words)
