"""Limits of baths between imprecise days, and what is told of baths: due, corrected, or the wrong one for paper."""

from datetime import datetime

import pytest

from catalog.capacities import Capacity
from catalog.records import bath_events, baths, corrections
from catalog.records.items import Coded
from catalog.rules import correction_effects, due_baths, evidence, plate_fixers
from catalog.rules.bath_limits import limits_passed
from tests.process_sample import Studio, event

from .test_bath_use import fix, fixer, studio

__all__ = ["studio"]  # the fixture: its edition is on sheets of 720 cm²

# when a capacity of 720 cm² was added on the day of the second sheet -> what is said of that one, if anything
ADDED = {
    "before it": (event(15), None),
    "after it": (event(25), "was past"),
    "some time that day": (event(on="2026-03-04"), "may have been past"),
    "the day after": (event(on="2026-03-05"), "was past"),
    "some day that month": (event(on="2026-03"), "may have been past"),
}


@pytest.mark.parametrize("when", ADDED)
def test_what_was_added_counts_from_when_it_was_certainly_there(studio: Studio, when: str) -> None:
    moment, words = ADDED[when]
    bath = baths.mix(studio.connection, event(on="2026-03-01"), "fixer", "x", capacity=Capacity(720, False), basis="x")
    fix(studio, bath, 10, studio.p1)
    step = fix(studio, bath, 20, studio.p2)
    bath_events.care(studio.connection, moment, bath, "more", capacity=720)
    said = limits_passed(studio.connection, [bath.id]).get(step)
    assert (said is None) if words is None else (said is not None and f" {words} the capacity" in said)


# the day of mixing and of fixing, of a bath that lasts a day -> what is said
LIVES = {
    ("2026-03-01", "2026-03-02"): None,
    ("2026-03-01", "2026-03-03"): "was past",
    ("2026-02", "2026-03-01"): "may have been past",
    ("2026-02", "2026-03-02"): "was past",
    ("2026-03-01", "2026-03"): "may have been past",
}


@pytest.mark.parametrize("days", LIVES)
def test_a_life_between_imprecise_days(studio: Studio, days: tuple[str, str]) -> None:
    studio.connection.execute("UPDATE print SET made = '2026-01-01', earliest = '2026-01-01', latest = '2026-01-01'")
    bath = baths.mix(studio.connection, event(on=days[0]), "fixer", "x", life=86_400, basis="x")
    step = fix(studio, bath, days[1], studio.p1)
    said = limits_passed(studio.connection, [bath.id]).get(step)
    words = LIVES[days]
    assert (said is None) if words is None else (said is not None and f" {words} the life" in said)


def test_used_up_baths_in_trays_are_due(studio: Studio) -> None:
    bath = fixer(studio, capacity=Capacity(700, False), basis="x")
    now = datetime.fromisoformat("2026-03-05T12:00:00+01:00")
    assert list(due_baths.used_up(studio.connection, now)) == []
    fix(studio, bath, 10, studio.p1)
    (one,) = due_baths.used_up(studio.connection, now)
    assert (one.code, one.command) == (bath.code, "tirage bath mix fixer 'rapid fixer'")
    assert "past its capacity" in one.sentence


def test_a_corrected_limit_tells_whose_doubt_goes(studio: Studio) -> None:
    bath = fixer(studio, capacity=Capacity(700, False), basis="x")
    fix(studio, bath, 10, studio.p1, studio.p2)
    thing = Coded(bath.id, bath.code, "bath")
    before = correction_effects.weighed(studio.connection, thing)
    corrections.correct(studio.connection, event(20), thing, "capacity", "2.5m2", "typo")
    (said,) = correction_effects.changes(studio.connection, before)
    assert said.startswith("2 prints (") and "are no longer in doubt: Fixer" in said


def test_paper_in_a_cyanide_fixer_is_minded(studio: Studio) -> None:
    kcn = baths.mix(studio.connection, event(0), "fixer", "KCN")
    assert plate_fixers.paper_in_cyanide(kcn, [studio.n]) == []
    assert plate_fixers.paper_in_cyanide(studio.fixer, [studio.p1]) == []
    (said,) = plate_fixers.paper_in_cyanide(kcn, [studio.n, studio.p1, studio.k])
    assert "are paper" in said and studio.n.code not in said


def test_a_limit_is_looked_for_by_its_index(studio: Studio) -> None:
    plan = studio.connection.execute(f"EXPLAIN QUERY PLAN {evidence.ANY_LIMIT}").fetchall()
    assert "bath_limited" in str([row[3] for row in plan])
