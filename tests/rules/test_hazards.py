"""Cyanide beside an acid or iodine: sequences that are loud, and those that are not."""

from pathlib import Path

import pytest

from catalog.records import baths, items, steps
from catalog.rules.checks import cyanide_beside_acid
from catalog.rules.checks.findings import Subject
from catalog.rules.hazards import hazards_at, is_cyanide
from tests.process_sample import NOON, Studio, event

# name of a bath -> whether it is a cyanide
NAMES = (
    ("potassium cyanide", True),
    ("KCN 3 %", True),
    ("Cyanide, weak", True),
    ("cyanure de potassium", True),
    ("Kaliumcyanid", True),
    ("Zyankali", True),
    ("cianuro di potassio", True),
    ("potassium ferricyanide bleach", False),
    ("ferri-cyanide reducer", False),
    ("ferrocyanide", False),
    ("ammonium sulphocyanide", False),
    ("ammonium thiocyanate", False),
    ("cyanotype sensitizer", False),
    ("plain hypo", False),
)


@pytest.mark.parametrize(("name", "cyanide"), NAMES)
def test_what_is_a_cyanide(name: str, cyanide: bool) -> None:
    assert is_cyanide(name) is cyanide


KINDS = {"fix": "fixer", "develop": "developer", "redevelop": "redeveloper", "iodine": "iodine", "stop": "stop"}
# steps of one plate, each “kind: bath” -> what is beside cyanide, "" for nothing
SEQUENCES = (
    (("develop: iron developer", "fix: potassium cyanide"), "an acid"),
    (("fix: potassium cyanide", "develop: iron developer"), "an acid"),
    (("develop: iron developer", "rinse", "fix: potassium cyanide"), ""),
    (("develop: iron developer", "wash", "fix: potassium cyanide"), ""),
    (("develop: iron developer", "dry", "fix: potassium cyanide"), "an acid"),
    (("develop: alkaline developer", "fix: potassium cyanide"), ""),
    (("develop: iron developer", "fix: plain hypo"), ""),
    (("stop", "fix: KCN"), "an acid"),
    (("stop: water", "fix: KCN"), ""),
    (("stop: weak vinegar", "fix: KCN"), "an acid"),
    (("fix: KCN", "redevelop: pyro and citric"), "an acid"),
    (("fix: KCN", "rinse", "redevelop: pyro and citric"), ""),
    (("fix: KCN", "iodine: iodine in iodide"), "iodine"),
    (("iodine: iodine in iodide", "fix: KCN"), "iodine"),
    (("iodine", "fix: KCN"), "iodine"),
    (("fix: KCN", "wash", "iodine"), ""),
    (("fix: acid fixer", "fix: KCN"), "an acid"),
    (("fix: KCN", "fix: acid fixer"), "an acid"),
    (("fix: KCN", "fix: acid-free rapid fixer"), ""),
    (("fix: KCN", "fix: plain hypo", "redevelop: pyro"), "an acid"),
    (("iodine", "redevelop: pyro"), ""),
    (("expose", "fix: KCN", "varnish"), ""),
)


def words_of(line: tuple[str, ...]) -> str:
    return " > ".join(line)


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    return Studio(tmp_path / "studio")


def record(studio: Studio, line: str, minutes: int, thing: items.Coded) -> steps.Step:
    kind, _, name = line.partition(": ")
    bath = baths.mix(studio.connection, event(0), KINDS[kind], name) if name else None
    return steps.record(studio.connection, event(minutes), kind, [thing], bath=bath)


@pytest.mark.parametrize(("sequence", "beside"), SEQUENCES, ids=map(words_of, [one for one, _ in SEQUENCES]))
def test_sequences(studio: Studio, sequence: tuple[str, ...], beside: str) -> None:
    said: list[str] = []
    for minutes, line in enumerate(sequence, 1):
        said += hazards_at(studio.connection, record(studio, line, minutes, studio.n))
    found = list(cyanide_beside_acid(Subject(studio.connection, Path(), NOON)))
    if not beside:
        assert said == [] and found == []
        return
    assert said[0].startswith(f"STOP: {studio.n.code} went from") and f"cyanide beside {beside}" in said[0]
    assert "running water" in said[1] and "safety data sheets" in said[1] and len(said) == 2
    assert [one.severity for one in found] == ["error"] and beside in found[0].sentence


def test_a_rinse_that_is_told_late_with_its_time_settles_it(studio: Studio) -> None:
    record(studio, "develop: iron developer", 1, studio.n)
    fix = record(studio, "fix: KCN", 3, studio.n)
    assert hazards_at(studio.connection, fix)
    record(studio, "rinse", 2, studio.n)
    assert hazards_at(studio.connection, fix) == []
    assert list(cyanide_beside_acid(Subject(studio.connection, Path(), NOON))) == []


@pytest.mark.parametrize("before", ["code", "short"])
def test_on_a_day_without_times_a_rinse_names_the_step_it_came_before(studio: Studio, before: str) -> None:
    develop = baths.mix(studio.connection, event(on="2026-03-01"), "developer", "iron developer")
    kcn = baths.mix(studio.connection, event(on="2026-03-01"), "fixer", "KCN")
    on = event(on="2026-03-02")
    steps.record(studio.connection, on, "develop", [studio.n], bath=develop)
    fix = steps.record(studio.connection, on, "fix", [studio.n], bath=kcn)
    line = hazards_at(studio.connection, fix)[0]
    assert line.endswith(f"tirage step add rinse n1 --on 2026-03-02 --detail before={fix.code}")
    named = fix.code if before == "code" else f"s{int(fix.code[2:])}"
    steps.record(studio.connection, on, "iodine", [studio.n])
    steps.record(studio.connection, on, "rinse", [studio.n], detail={"before": named})
    [left] = cyanide_beside_acid(Subject(studio.connection, Path(), NOON))
    assert "beside iodine" in left.sentence  # the other pair is as it was


def test_a_step_told_late_between_is_found_too(studio: Studio) -> None:
    record(studio, "fix: KCN", 5, studio.n)
    assert "iodine" in hazards_at(studio.connection, record(studio, "iodine", 2, studio.n))[0]


def test_other_items_are_not_beside(studio: Studio) -> None:
    other = items.give_items(studio.connection, "negative")[0]
    studio.connection.execute("INSERT INTO negative (id, title) VALUES (?, 'Dune')", (other.id,))
    record(studio, "develop: iron developer", 1, other)
    assert hazards_at(studio.connection, record(studio, "fix: KCN", 2, studio.n)) == []


def test_the_developer_of_a_print_is_no_acid(studio: Studio) -> None:
    record(studio, "develop: paper developer", 1, studio.p1)
    assert hazards_at(studio.connection, record(studio, "fix: KCN", 2, studio.p1)) == []
    record(studio, "rinse", 3, studio.p1)
    record(studio, "develop: amidol with citric acid", 4, studio.p1)
    assert hazards_at(studio.connection, record(studio, "fix: KCN", 5, studio.p1))


def test_plates_that_went_together_are_told_in_one_line(studio: Studio) -> None:
    other = items.give_items(studio.connection, "negative")[0]
    studio.connection.execute("INSERT INTO negative (id, title) VALUES (?, 'Dune')", (other.id,))
    kcn = baths.mix(studio.connection, event(0), "fixer", "KCN")
    steps.record(studio.connection, event(1), "iodine", [studio.n, other])
    step = steps.record(studio.connection, event(2), "fix", [studio.n, other], bath=kcn)
    lines = hazards_at(studio.connection, step)
    assert len(lines) == 2 and studio.n.code in lines[0] and other.code in lines[0]
