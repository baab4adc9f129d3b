"""Baths, washers, steps, loads and residual tests: what they keep, and what they refuse."""

from pathlib import Path

import pytest

from catalog.errors import TirageError
from catalog.records import baths, residuals, step_order, steps, washers, washes
from catalog.records.items import Coded
from tests.process_sample import Studio, event


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    return Studio(tmp_path / "catalog")


def bath(found: baths.Bath) -> Coded:
    return Coded(found.id, found.code, "bath")


def test_new_bath_takes_the_tray(studio: Studio) -> None:
    second = baths.mix(studio.connection, event(5), "fixer", "plain hypo")
    assert baths.in_tray(studio.connection, "fixer") == second
    assert baths.use(studio.connection, event(6), bath(studio.fixer)).in_tray
    assert baths.in_tray(studio.connection, "fixer").code == studio.fixer.code
    baths.discard(studio.connection, event(7), bath(studio.fixer))
    with pytest.raises(baths.NoBathInTrayError, match="Mix one"):
        baths.in_tray(studio.connection, "fixer")


def test_toners_stand_side_by_side(studio: Studio) -> None:
    gold = baths.mix(studio.connection, event(5), "toner", "gold toner")
    assert baths.in_tray(studio.connection, "toner", "gold") == gold
    assert baths.in_tray(studio.connection, "toner", "Selenium").code == studio.selenium.code
    with pytest.raises(baths.SeveralBathsError, match="B-0002"):
        baths.in_tray(studio.connection, "toner")


def test_usual_washer(studio: Studio) -> None:
    assert washers.usual(studio.connection) == studio.siphon
    tray = washers.add(studio.connection, "tray", "tray")
    with pytest.raises(washers.WhichWasherError, match="siphon, tray"):
        washers.usual(studio.connection)
    studio.play("10 fix p1 1m")
    steps.record(studio.connection, event(20), "wash", [studio.p1], washer=tray, seconds=60)
    assert washers.usual(studio.connection) == tray


def test_history_is_in_time_order(studio: Studio) -> None:
    for line in ("10 fix p1 1m", "200 dry p1", "20 wash p1 60m", "2026-03-05 flatten p1"):
        studio.play(line)
    assert [step.kind for step in steps.history(studio.connection, studio.p1)] == ["fix", "wash", "dry", "flatten"]


def test_load_says_what_counts(studio: Studio) -> None:
    for line in ("10 fix p1,p2 1m", "20 join p1", "50 join p2"):
        studio.play(line)
    left = washes.leave(studio.connection, event(80), [studio.p1, studio.p2])
    assert [one.seconds for one in left] == [1800, 1800]
    assert left[0].restarted.startswith("2026-03-04T12:50") and not left[1].restarted


def test_sheets_without_a_code_restart_too(studio: Studio) -> None:
    for line in ("10 fix p1,p2 1m", "15 wash p2 5m", "20 join p1"):
        studio.play(line)
    step = washes.join(studio.connection, event(40), studio.siphon, [studio.p2], sheets=3)
    assert step.sheets == 3
    assert washes.leave(studio.connection, event(80), [studio.p1])[0].seconds == 40 * 60


# case -> (what happened before, what is refused, words of the sentence)
REFUSED = {
    "unknown step": ((), "10 bake p1", "“bake” is no step"),
    "plate step on a print": ((), "10 varnish p1", "plates and films"),
    "paper step on a plate": ((), "10 flatten n", "prints"),
    "before the print was made": ((), "2026-03-03 rinse p1 1m", "P-000001 was made on 4 March 2026"),
    "before the strip was made": ((), "2026-03-03 rinse k 1m", "K-0001 was made on 4 March 2026"),
    "wash before its fix": (
        ("10 fix p1 1m",),
        "5 wash p1 60m",
        "wash is dated 4 March 2026, 12:05, its first fix 4 March 2026, 12:10",
    ),
    "twice in a washer": (
        ("10 fix p1 1m", "20 join p1"),
        "30 join p1",
        "in the washer “siphon” since 4 March 2026, 12:20",
    ),
    "toned in the washer": (("10 fix p1 1m", "20 join p1"), "30 tone p1 2m", "tirage out P-000001"),
    "out of no washer": ((), "30 out p1", "P-000001 is in no washer"),
    "out before in": (("10 fix p1 1m", "20 join p1"), "15 out p1", "joined the washer at 4 March 2026, 12:20"),
    "in without a clock": ((), "2026-03-04 join p1", "needs a day and a time of day"),
    "drop on an edition print": ((), "10 test e hypo none", "never spotted"),
    "test of a plate": ((), "10 test n hypo none", "a residual test is made on a control strip"),
    "unknown reading": ((), "10 test k hypo purple", "one of none, just visible, beige, yellow-brown"),
    "unknown question": ((), "10 test k iron none", "hypo or silver"),
    "test before made": ((), "2026-03-03 test k hypo none", "dated 3 March 2026, before that"),
    "bath before it was mixed": ((), "2026-03-03 fix n 1m", "B-0001 was mixed on 4 March 2026"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_refused(studio: Studio, case: str) -> None:
    before, line, words = REFUSED[case]
    for earlier in before:
        studio.play(earlier)
    with pytest.raises(TirageError) as refusal:
        studio.play(line)
    assert words in refusal.value.sentence


def test_bath_must_fit_and_not_be_discarded(studio: Studio) -> None:
    with pytest.raises(step_order.WrongBathError, match="expected a fixer"):
        steps.record(studio.connection, event(5), "fix", [studio.p1], bath=studio.selenium)
    gone = baths.discard(studio.connection, event(5), bath(studio.fixer))
    with pytest.raises(baths.BathGoneError, match="discarded on 4 March 2026"):
        steps.record(studio.connection, event(on="2026-03-05"), "fix", [studio.p1], bath=gone)
    assert steps.record(studio.connection, event(on="2026-03-04"), "fix", [studio.p1], bath=gone).bath_code == gone.code


def test_destroyed_print_goes_through_nothing_more(studio: Studio) -> None:
    studio.connection.execute(
        "INSERT INTO transfer (item, sequence, kind, title, custody, happened, earliest, "
        "latest, by) VALUES (?, 1, 'destruction', 1, 1, '2026-03-05', '2026-03-05', "
        "'2026-03-05', 'A')",
        (studio.p1.id,),
    )
    studio.play("2026-03-05 rinse p1 1m")
    with pytest.raises(step_order.AfterGoneError, match="destroyed on 5 March 2026"):
        studio.play("2026-03-06 rinse p1 1m")


def test_measured_on_an_edition_print_by_a_laboratory(studio: Studio) -> None:
    test = residuals.record_test(studio.connection, event(9), studio.e, "hypo", method="laboratory", value=900)
    assert (test.value, test.reading) == (900, "")
    with pytest.raises(residuals.MethodError, match="methylene blue"):
        residuals.record_test(studio.connection, event(9), studio.e, "hypo", value=900)
