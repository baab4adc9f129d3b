"""Cyanide beside an acid or iodine: sequences that are loud, and those that are not."""

from pathlib import Path

import pytest

from catalog.records import baths, items, steps, washes
from catalog.rules.checks import cyanide_beside_acid
from catalog.rules.checks.findings import Subject
from catalog.rules.hazards import hazards_at
from catalog.rules.substances import is_cyanide, only_water
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
    ("NaCN", True),
    ("KCN3%", True),
    ("K.C.N.", True),
    ("fix_KCN_2", True),
    ("prussic salts", True),
    ("pot. cyan.", True),
    ("pot cyan 2%", True),
    ("KCN, no acid near", True),
    ("KSCN", False),
    ("K3Fe(CN)6", False),
    ("cyan toner", False),
    ("hypo, no cyanide", False),
    ("cyanide-free fixer", False),
    ("cyanidfreies Fixierbad, cyanidfrei", True),  # of two words one is not understood: it warns
    ("Fixierbad, cyanidfrei", False),
    ("fixer without potassium cyanide", False),
)


@pytest.mark.parametrize(("name", "cyanide"), NAMES)
def test_what_is_a_cyanide(name: str, cyanide: bool) -> None:
    assert is_cyanide(name) is cyanide


# name of a bath -> whether it is nothing but water
WATERS = (
    ("water", True),
    ("Plain tap water", True),
    ("running water 20 °C", False),  # a word that is not known: it is not taken for water
    ("cold water, still", True),
    ("stop bath 1+19 in water", False),
    ("water with 2 % acetic", False),
    ("water 1:50", False),
    ("stop bath", False),
    ("", False),
)


@pytest.mark.parametrize(("name", "water"), WATERS)
def test_what_is_nothing_but_water(name: str, water: bool) -> None:
    assert only_water(name) is water


KINDS = {"fix": "fixer", "develop": "developer", "redevelop": "redeveloper", "iodine": "iodine", "stop": "stop",
         "tone": "toner", "collodion": "collodion"}  # fmt: skip
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
    (("stop: stop bath 1+19 in water", "fix: KCN"), "an acid"),
    (("stop: water 1+19", "fix: KCN"), "an acid"),
    (("stop: stop for alkaline fixer", "fix: KCN"), "an acid"),
    (("develop: iron developer", "stop: water", "fix: KCN"), ""),
    (("develop: iron developer", "stop: plain cold water", "fix: KCN"), ""),
    (("develop: iron developer", "stop: alkaline stop", "fix: KCN"), "an acid"),
    (("fix: rapid hardening fixer", "fix: NaCN"), "an acid"),
    (("fix: hypo with bisulphite", "fix: KCN3%"), "an acid"),
    (("fix: hypo and potassium metabisulfite", "fix: K.C.N."), "an acid"),
    (("fix: hypo and chrome alum", "fix: prussic"), "an acid"),
    (("fix: KCN", "fix: ácido fixador"), "an acid"),
    (("fix: KCN", "stop: 1 % Zitronensäure"), "an acid"),
    (("fix: KCN", "fix: rapid fixer"), "a fixer that may be acid"),
    (("fix: cyanide-free fixer", "fix: KCN"), "a fixer that may be acid"),
    (("fix: fixer, no acid", "fix: KCN"), ""),
    (("fix: non-hardening alkaline fixer", "fix: KCN"), ""),
    (("fix: sodium thiosulphate", "fix: KCN"), ""),
    (("fix: hypo, no cyanide", "redevelop: pyro"), ""),
    (("fix: KCN", "redevelop: Lugol"), "iodine"),
    (("fix: KCN", "redevelop: Jodlösung"), "iodine"),
    (("fix: KCN", "redevelop: iodide of mercury"), "iodine"),
    (("collodion: iodized collodion", "fix: KCN"), ""),
    (("fix: KCN", "redevelop: copper bleach"), "an oxidiser"),
    (("fix: KCN", "redevelop: hypochlorite"), "an oxidiser"),
    (("fix: KCN", "tone: selenium toner"), "selenium or gold"),
    (("fix: KCN", "tone: gold toner"), "selenium or gold"),
    (("fix: KCN", "rinse", "tone: gold toner"), ""),
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
    assert [one.severity for one in found] == ["warning" if "may be" in beside else "error"] and beside in found[
        0
    ].sentence


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


def test_in_and_straight_out_again_is_no_wash(studio: Studio) -> None:
    record(studio, "develop: iron developer", 1, studio.n)
    washes.join(studio.connection, event(2), studio.siphon, [studio.n])
    washes.leave(studio.connection, event(2), [studio.n])
    fix = record(studio, "fix: KCN", 3, studio.n)
    assert "cyanide beside an acid" in hazards_at(studio.connection, fix)[0]
    assert len(list(cyanide_beside_acid(Subject(studio.connection, Path(), NOON)))) == 1


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
