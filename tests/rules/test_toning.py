"""What a print was toned with, after whole words of its bath, and what is said before it is toned."""

from pathlib import Path
from typing import Any, NamedTuple, cast

import pytest

from catalog.records import baths, settings, steps
from catalog.rules.toning import advice, protection_words, toned_of, toning_of
from tests.process_sample import Studio, event


class Step(NamedTuple):
    """What the words are taken from, of a step."""

    kind: str
    bath_text: str
    seconds: int | None


TONED = {
    (): "",
    ("selenium toner 1+20",): "selenium-toned",
    ("Selenium toner", "gold toner", "selenium toner"): "selenium- and gold-toned",
    ("environmental toner",): "toned",
    ("marigold toner",): "toned",
    ("iron toner, blue",): "iron-toned",
    ("",): "toned",
}


@pytest.mark.parametrize("baths", TONED)
def test_toned(baths: tuple[str, ...]) -> None:
    steps = [Step("fix", "rapid fixer with iron", 60), *(Step("tone", bath, None) for bath in baths)]
    assert toned_of(cast(Any, steps)) == TONED[baths]


def test_the_whole_toning() -> None:
    steps = [Step("tone", "selenium toner 1+20", 120), Step("tone", "", None)]
    assert toning_of(cast(Any, steps)) == "selenium toner 1+20, 2 min; toner not recorded"


# What is recorded before, the toner, and what is said of it; wash lengths by R. Lambrecht, in a forum: selenium 10 min,
# direct sulfide 30 min, bleach and redevelop 60 min.
ADVISED = [
    (["0 fix p1 1m", "2 wash p1 9m"], "selenium toner", ["wash 10 min after the fixer", "washed 9 min"]),
    (["0 fix p1 1m", "2 wash p1 10m"], "selenium toner", []),
    (["0 fix p1 1m"], "selenium toner", ["no timed wash recorded"]),
    (["0 wash p1 60m", "61 fix p1 1m"], "selenium toner", ["no timed wash recorded"]),
    (["0 fix p1 1m", "2 wash p1 20m"], "direct sulfide toner", ["wash 30 min after the fixer", "washed 20 min"]),
    (["0 fix p1 1m", "2 wash p1 30m"], "polysulfide toner", []),
    (["0 fix p1 1m", "2 wash p1 30m"], "sepia bleach", ["wash 60 min after the fixer", "bleached highlights"]),
    (["0 fix p1 1m", "2 wash p1 60m"], "sepia toner", []),
    (["0 fix p1 1m"], "iron toner", []),
    (["0 fix p1 1m", "2 join p1", "30 out p1"], "polysulfide toner", ["washed 28 min"]),
    (["0 fix p1 1m", "2 wash p1 20m", "2026-03-06 fix p1 1m"], "selenium toner", []),  # what came later
]


@pytest.mark.parametrize(("before", "toner", "wanted"), ADVISED)
def test_washing_before_a_toner(tmp_path: Path, before: list[str], toner: str, wanted: list[str]) -> None:
    studio = Studio(tmp_path)
    for line in before:
        studio.play(line)
    said = advice(studio.connection, studio.pick("p1"), bath(studio, toner), event(300).moment)
    assert bool(said) == bool(wanted), said
    assert all(words in said[0] for words in wanted)
    assert not wanted or "no standard" in said[0]


def bath(studio: Studio, name: str) -> baths.Bath:
    return baths.mix(studio.connection, event(0), "toner", name)


def test_a_split_toning(tmp_path: Path) -> None:
    studio = Studio(tmp_path)
    for line in ("0 fix p1,p2 1m", "2 wash p1,p2 30m", "40 tone p1 2m"):
        studio.play(line)
    gold = bath(studio, "gold toner")
    said = " ".join(advice(studio.connection, studio.pick("p1,p2"), gold))
    assert "P-000001: no wash is recorded since the first toner" in said and "stays unprotected" in said
    assert "gold chloride" not in said  # no size is known
    studio.play("45 wash p1 10m")
    said = " ".join(advice(studio.connection, studio.pick("p1,p2"), gold))
    assert "since the first toner" not in said and "stays unprotected" in said


def test_gold_before_selenium(tmp_path: Path) -> None:
    studio = Studio(tmp_path)
    gold = bath(studio, "gold toner")
    steps.record(studio.connection, event(10), "tone", studio.pick("p1"), bath=gold)
    studio.play("20 wash p1 20m")
    said = " ".join(advice(studio.connection, studio.pick("p1"), studio.selenium))
    assert "P-000001: in gold already, and a split toning goes the other way" in said and "not confirmed" in said


def test_gold_by_area(tmp_path: Path) -> None:
    studio = Studio(tmp_path)
    add = studio.connection.execute
    add("UPDATE print SET sheet_height = 558800, sheet_width = 431800 WHERE id = ?", (studio.p1.id,))
    said = advice(studio.connection, studio.pick("p1,p2,k"), bath(studio, "gold toner"))
    # Elementary Photography: a grain, 64.8 mg, for one sheet, taken as 22 x 17 in.
    assert said == [
        "About 65 mg of gold chloride for these 0.24 m², at 268.6 mg/m² (setting “gold-rate”: an old handbook "
        "(Elementary Photography): a grain of gold chloride to a sheet of albumen paper, whose size, 22 x 17 in, is "
        "assumed); P-000002 not counted, of unknown size."
    ]
    settings.change(studio.connection, "gold-rate", "", "not used", "2026-03-05")
    assert advice(studio.connection, studio.pick("p1"), bath(studio, "gold toner")) == []


def test_what_protection_is_claimed() -> None:
    steps_of = [Step("tone", "selenium toner 1+20", 120)]
    assert protection_words(cast(Any, steps_of)) == ("Selenium-toned; how far the silver was converted was not tested.")
    assert protection_words(cast(Any, [Step("fix", "fixer", 60)])) == ""
