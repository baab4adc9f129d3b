"""What went through baths: areas, silver by estimate, limits passed, and what is said of a bath."""

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import settings as hypothesis
from hypothesis import strategies as st

from catalog.capacities import Capacity
from catalog.formulas.fixing import silver_added
from catalog.records import bath_events, baths, settings, steps
from catalog.records.baths import Bath
from catalog.records.items import Coded, give_items
from catalog.rules import bath_standing, bath_use
from catalog.rules.bath_limits import limits_passed
from tests.process_sample import Studio, event

SHEET = 240_000, 300_000  # 24 x 30 cm in micrometres: 720 cm²


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    """The sample, its edition on sheets of 24 x 30 cm and its plate of 8 x 10 in."""
    made = Studio(tmp_path / "catalog")
    made.connection.execute("UPDATE edition SET sheet_height = ?, sheet_width = ?", SHEET)
    made.connection.execute("UPDATE negative SET height = 203200, width = 254000")
    return made


def fixer(studio: Studio, minutes: int = 0, **limits: object) -> Bath:
    return baths.mix(studio.connection, event(minutes), "fixer", "rapid fixer", **limits)  # type: ignore[arg-type]


def fix(studio: Studio, bath: Bath, minutes: int | str, *things: Coded, sheets: int = 0) -> int:
    when = event(minutes) if isinstance(minutes, int) else event(on=minutes)
    return steps.record(studio.connection, when, "fix", things, bath=bath, seconds=60, sheets=sheets).id


def new_prints(studio: Studio, count: int) -> list[Coded]:
    things = give_items(studio.connection, "print", count)
    edition = studio.connection.execute("SELECT id FROM edition").fetchone()[0]
    studio.connection.executemany(
        "INSERT INTO print (id, negative, edition, made, earliest, latest) "
        "VALUES (?, ?, ?, '2026-03-04', '2026-03-04', '2026-03-04')",
        [(thing.id, studio.n.id, edition) for thing in things],
    )
    return things


def test_areas_of_prints_plates_strips_and_sheets_without_a_code(studio: Studio) -> None:
    bath = fixer(studio)
    studio.connection.execute(
        "UPDATE print SET sheet_height = 100000, sheet_width = 100000 WHERE id = ?", (studio.p2.id,)
    )
    for things, sheets, area, guessed in (
        ((studio.p1,), 0, 720, 0),  # its edition's sheet
        ((studio.p2,), 0, 100, 0),  # its own
        ((studio.n,), 0, 516, 0),  # glass
        ((studio.k,), 0, 50, 0),  # the setting strip-size
        ((studio.p1, studio.p2), 2, 820 + 820, 0),  # at the average of the others
        ((studio.p1, studio.k), 1, 720 + 50 + 720, 0),  # a strip is no sheet to go by
        ((studio.k,), 3, 50 + 3 * 720, 3),  # nothing to go by: the setting usual-sheet
        ((studio.w,), 0, 516, 0),  # a work print without a sheet: a contact of its plate
    ):
        step = fix(studio, bath, 10, *things, sheets=sheets)
        used = next(use for use in bath_use.uses(studio.connection, [bath.id])[bath.id] if use.step == step)
        assert (used.area, used.guessed, used.sheets) == (area, guessed, len(things) + sheets)


def test_prints_of_no_known_size_count_as_the_usual_sheet(studio: Studio) -> None:
    studio.connection.execute("UPDATE edition SET sheet_height = NULL, sheet_width = NULL")
    studio.connection.execute("UPDATE negative SET height = NULL, width = NULL")
    bath = fixer(studio)
    fix(studio, bath, 10, studio.p1, studio.p2)
    total = bath_use.total(bath_use.uses(studio.connection, [bath.id])[bath.id], second=False)
    assert (total.area, total.guessed) == (1_440, 2)
    said = bath_standing.said(bath_standing.standing(studio.connection, bath, "2026-03-04"), "24x30cm", "2026-03-04")
    assert any("2 without a known size, counted as 24.0 × 30.0 cm" in line for line in said)


def test_a_second_fix_is_one_straight_after_a_fix_in_another_bath(studio: Studio) -> None:
    one, two = fixer(studio, volume=1_000), fixer(studio, volume=1_000, second=True)
    first = fix(studio, one, 10, studio.p1)
    second = fix(studio, two, 11, studio.p1)
    steps.record(studio.connection, event(12), "wash", [studio.p1], seconds=60)
    alone = fix(studio, two, 20, studio.p1)
    used = bath_use.uses(studio.connection, [two.id])[two.id]
    assert [(use.step, use.after) for use in used] == [(second, first), (alone, None)]
    # after a rinse it is a second fix still
    fix(studio, one, 30, studio.p2)
    steps.record(studio.connection, event(31), "rinse", [studio.p2], seconds=10)
    fix(studio, two, 32, studio.p2)
    assert bath_use.total(bath_use.uses(studio.connection, [two.id])[two.id], second=True).sheets == 2


def test_silver_is_what_the_formula_says(studio: Studio) -> None:
    one, two = fixer(studio, volume=2_000), fixer(studio, volume=2_000, second=True)
    step = fix(studio, one, 10, studio.p1, studio.p2)
    then = fix(studio, two, 11, studio.p1, studio.p2)
    # asked of the second alone, the first is read too
    held = bath_use.silver(studio.connection, bath_use.uses(studio.connection, [two.id]))
    assert held[step] == pytest.approx(silver_added(1.5, 0.7, 1_440, 2_000))
    share = 30 / 2_000
    carried = held[step] / 2 * share
    assert held[then] == pytest.approx(carried + share * (held[step] - carried))
    settings.change(studio.connection, "coated-silver", "0.75 g/m²", "data sheet", "2026-03-05")
    again = bath_use.silver(studio.connection, bath_use.uses(studio.connection, [two.id]))
    assert again[step] == pytest.approx(held[step] / 2)


def test_limits_passed(studio: Studio) -> None:
    bath = fixer(studio, capacity=Capacity(1_500, False), life=7 * 86_400, basis="a data sheet")
    good = fix(studio, bath, 10, studio.p1, studio.p2)
    past = fix(studio, bath, 20, studio.p3)
    old = fix(studio, bath, "2026-03-12", studio.w)
    found = limits_passed(studio.connection, [bath.id, studio.fixer.id])
    assert good not in found
    assert found[past] == f"Fixer {bath.code} was past the capacity set for it when this was fixed."
    assert found[old] == f"Fixer {bath.code} was past the capacity and the life set for it when this was fixed."


def test_the_last_day_of_a_life_is_within_it(studio: Studio) -> None:
    bath = fixer(studio, life=7 * 86_400, basis="x")
    within, after = fix(studio, bath, "2026-03-11", studio.p1), fix(studio, bath, "2026-03-12", studio.p2)
    assert list(limits_passed(studio.connection, [bath.id])) == [after] != [within]


def test_a_toner_past_its_capacity(studio: Studio) -> None:
    toner = baths.mix(
        studio.connection, event(0), "toner", "gold", capacity=Capacity(1_000, False), metal=100, basis="x"
    )
    step = steps.record(studio.connection, event(5), "tone", [studio.p1, studio.p2], bath=toner).id
    assert limits_passed(studio.connection, [toner.id]) == {
        step: f"Toner {toner.code} was past the capacity set for it when this was toned."
    }
    bath_events.care(studio.connection, event(6), toner, "gold added", capacity=1_000, metal=20)
    now = bath_standing.standing(studio.connection, toner, "2026-03-04")
    assert (now.capacity, now.left.area, now.gold, now.gold_per_area) == (2_000, 560, 120, 833)
    assert step in limits_passed(studio.connection, [toner.id])  # what was added later saves nothing done before
    later = steps.record(studio.connection, event(7), "tone", [studio.p3], bath=toner).id
    assert limits_passed(studio.connection, [toner.id]).keys() == {step, later}


def test_the_silver_limit_by_estimate(studio: Studio) -> None:
    bath = fixer(studio, volume=1_000, silver_limit=100, basis="x")
    one, two = fix(studio, bath, 10, studio.p1), fix(studio, bath, 11, studio.p2)
    assert list(limits_passed(studio.connection, [bath.id])) == [two] != [one]
    assert "the silver limit (by estimate)" in limits_passed(studio.connection, [bath.id])[two]


def test_baths_without_limits_cost_one_query(studio: Studio) -> None:
    fix(studio, studio.fixer, 10, studio.p1)
    asked: list[str] = []
    studio.connection.set_trace_callback(asked.append)
    assert limits_passed(studio.connection, [studio.fixer.id, studio.selenium.id]) == {}
    studio.connection.set_trace_callback(None)
    assert len(asked) == 1


def test_what_is_nearer_counts(studio: Studio) -> None:
    bath = fixer(studio, volume=1_000, capacity=Capacity(7_200, False), silver_limit=300, basis="mine")
    now = bath_standing.standing(studio.connection, bath, "2026-03-04")
    assert now.left.area == pytest.approx(0.3 / 1.05 * 10_000, abs=1)
    answer = bath_standing.said(now, "24x30cm", "2026-03-04")[0]
    assert "the silver limit of 0.3 g/l, an estimate, set here (basis: mine)" in answer
    assert bath_standing.room(now) == [(3, *SHEET)]


def test_a_bath_without_figures_claims_nothing(studio: Studio) -> None:
    said = " ".join(
        bath_standing.said(
            bath_standing.standing(studio.connection, studio.fixer, "2026-03-04"), "24x30cm", "2026-03-04"
        )
    )
    assert "nobody can say" in said and "A clear look proves nothing" in said and "silver test" in said


def test_no_sentence_for_papers_holds_private_words(studio: Studio) -> None:
    bath = fixer(studio, capacity=Capacity(1, False), basis="a secret")
    fix(studio, bath, 10, studio.p1)
    assert "secret" not in json.dumps(limits_passed(studio.connection, [bath.id]))
    assert "rapid" not in json.dumps(limits_passed(studio.connection, [bath.id]))


LOADS = st.lists(st.tuples(st.integers(1, 4), st.integers(0, 3)), min_size=1, max_size=6)


@given(loads=LOADS)
@hypothesis(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_areas_add_up_and_what_is_left_never_grows(studio: Studio, loads: list[tuple[int, int]]) -> None:
    studio.connection.execute("SAVEPOINT one")
    bath = fixer(studio, volume=1_000, capacity=Capacity(5_000, False), silver_limit=400, basis="x")
    left, sheets = None, 0
    for minute, (count, more) in enumerate(loads):
        fix(studio, bath, 10 + minute, *new_prints(studio, count), sheets=more)
        sheets += count + more
        now = bath_standing.standing(studio.connection, bath, "2026-03-04")
        assert (now.used.sheets, now.used.area) == (sheets, sheets * 720)
        assert now.left.area is not None and (left is None or now.left.area <= left)
        left = now.left.area
        past = limits_passed(studio.connection, [bath.id])
        assert bool(past) == bool(now.left.past)
    studio.connection.execute("ROLLBACK TO one")


def test_a_first_fix_told_late_makes_the_other_the_second(studio: Studio) -> None:
    one, two = fixer(studio, volume=1_000), fixer(studio, volume=1_000, second=True)
    second = fix(studio, two, 15, studio.p1)
    first = fix(studio, one, 10, studio.p1)
    used = bath_use.uses(studio.connection, [one.id, two.id])
    assert [(use.step, use.after) for use in used[two.id]] == [(second, first)]
    assert [(use.step, use.after) for use in used[one.id]] == [(first, None)]


def test_a_mixed_load_is_told_apart_by_what_each_came_from(studio: Studio) -> None:
    one, two = fixer(studio, volume=1_000), fixer(studio, volume=1_000, second=True)
    first = fix(studio, one, 10, studio.p2)
    load = fix(studio, two, 12, studio.p1, studio.p2, studio.p3, sheets=1)
    used = bath_use.uses(studio.connection, [two.id])[two.id]
    assert [(use.step, use.after, use.sheets, use.area) for use in used] == [
        (load, None, 3, 3 * 720), (load, first, 1, 720),
    ]  # fmt: skip
    as_first, as_second = (bath_use.total(used, second=second) for second in (False, True))
    assert (as_first.steps, as_first.sheets, as_second.steps, as_second.sheets) == (1, 3, 1, 1)
    held = bath_use.silver(studio.connection, {two.id: used})
    own = silver_added(1.5, 0.7, 3 * 720, 1_000)
    assert held[load] == pytest.approx(own + 30 / 1_000 * (held[first] - own))  # one sheet carried 30 ml over
