"""Two fixers, their hand-over, and the care of baths."""

from pathlib import Path

import pytest

from catalog.capacities import Capacity
from catalog.errors import NotUnderstood, TirageError
from catalog.records import bath_events, bath_fields, baths, corrections
from catalog.records.baths import Bath
from catalog.records.items import Coded, UnknownCodeError
from tests.process_sample import Studio, event


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    return Studio(tmp_path / "catalog")


def coded(bath: Bath) -> Coded:
    return Coded(bath.id, bath.code, "bath")


def now(studio: Studio, bath: Bath) -> Bath:
    return baths.read(studio.connection, coded(bath))


def second(studio: Studio, minutes: int = 1) -> Bath:
    return baths.mix(studio.connection, event(minutes), "fixer", "fresh fixer", second=True)


def test_a_second_fixer_stands_beside_the_first(studio: Studio) -> None:
    assert studio.fixer.position == ""
    with pytest.raises(baths.NoSecondFixerError):
        baths.second_fixer(studio.connection)
    two = second(studio)
    assert two.position == "second" and now(studio, studio.fixer).in_tray
    assert now(studio, studio.fixer).position == "first"
    assert baths.in_tray(studio.connection, "fixer").code == studio.fixer.code
    assert baths.second_fixer(studio.connection) == two
    other = second(studio, 2)
    assert not now(studio, two).in_tray and now(studio, studio.fixer).in_tray
    third = baths.mix(studio.connection, event(3), "fixer", "another first")
    assert third.position == "first" and not now(studio, studio.fixer).in_tray and now(studio, other).in_tray
    assert baths.use(studio.connection, event(4), coded(two)).position == "second"
    assert not now(studio, other).in_tray and now(studio, third).in_tray


def test_a_second_fixer_needs_a_first(studio: Studio) -> None:
    baths.discard(studio.connection, event(1), coded(studio.fixer))
    with pytest.raises(baths.NoFirstFixerError):
        second(studio, 2)


def test_hand_over(studio: Studio) -> None:
    with pytest.raises(bath_events.NotSecondFixerError):
        bath_events.promote(studio.connection, event(1), coded(studio.fixer))
    last = studio.fixer
    for turn in (1, 2, 3):
        promoted, gone = bath_events.promote(studio.connection, event(turn), coded(second(studio, turn)))
        assert gone is not None and gone.code == last.code and now(studio, last).discarded
        assert promoted.position == "first" and promoted.in_tray
        assert bath_events.promotions(studio.connection, promoted) == turn
        assert baths.in_tray(studio.connection, "fixer") == promoted
        last = promoted
    fresh = baths.mix(studio.connection, event(9), "fixer", "fresh")
    assert bath_events.promotions(studio.connection, fresh) == 0
    with pytest.raises(bath_events.NotSecondFixerError):
        bath_events.promote(studio.connection, event(10), coded(last))


def test_limits_want_a_basis_and_their_kind_of_bath(studio: Studio) -> None:
    mix = baths.mix
    for limits in ({"capacity": Capacity(10, False)}, {"silver_limit": 5}, {"life": 60}):
        with pytest.raises(baths.NoBasisError):
            mix(studio.connection, event(1), "fixer", "x", **limits)  # type: ignore[arg-type]
    with pytest.raises(baths.NotForThisBathError, match="Gold is for"):
        mix(studio.connection, event(1), "fixer", "x", metal=5)
    with pytest.raises(baths.NotForThisBathError, match="A second place"):
        mix(studio.connection, event(1), "toner", "x", second=True)
    with pytest.raises(baths.NotForThisBathError, match="A silver limit"):
        mix(studio.connection, event(1), "toner", "x", silver_limit=5, basis="x")
    with pytest.raises(NotUnderstood, match="--volume"):
        mix(studio.connection, event(1), "fixer", "x", capacity=Capacity(10, True), basis="x")
    made = mix(studio.connection, event(1), "fixer", "x", capacity=Capacity(10, True), volume=2_000, basis=" a  b ")
    assert (made.capacity, made.basis) == (20, "a b")


def test_care(studio: Studio) -> None:
    silver = baths.mix(studio.connection, event(0), "silver bath", "silver bath")
    bath_events.care(studio.connection, event(5), silver, " sunned  and filtered ", strength="9 %")
    bath_events.care(studio.connection, event(4), silver, "topped up")
    told = [done.told() for done in bath_events.events_of(studio.connection, silver.id)]
    assert told == ["cared for: topped up", "cared for: sunned and filtered, measured 9 %"]
    with pytest.raises(NotUnderstood, match="what was done"):
        bath_events.care(studio.connection, event(6), silver, " ")
    with pytest.raises(bath_events.NoCapacityError):
        bath_events.care(studio.connection, event(6), silver, "x", capacity=5)
    with pytest.raises(baths.NotForThisBathError):
        bath_events.care(studio.connection, event(6), silver, "x", metal=5)
    with pytest.raises(baths.BathNotMixedError):
        bath_events.care(studio.connection, event(on="2026-03-03"), silver, "x")


def test_a_bath_by_a_word(studio: Studio) -> None:
    assert baths.named(studio.connection, "fixer") == baths.in_tray(studio.connection, "fixer")
    assert baths.named(studio.connection, "b1").code == studio.fixer.code
    two = second(studio)
    assert baths.named(studio.connection, "fixer").code == studio.fixer.code
    assert baths.named(studio.connection, "fresh") == two
    baths.mix(studio.connection, event(2), "toner", "gold toner")
    with pytest.raises(baths.SeveralBathsError):
        baths.named(studio.connection, "toner")
    with pytest.raises(UnknownCodeError):
        baths.named(studio.connection, "varnish")


def test_what_leaves_its_tray(studio: Studio) -> None:
    left = baths.leaving(studio.connection, "fixer", "plain hypo", second=False)
    assert [bath.code for bath in left] == [studio.fixer.code]
    assert baths.leaving(studio.connection, "fixer", "plain hypo", second=True) == []
    assert baths.leaving(studio.connection, "toner", "gold", second=False) == []
    assert [bath.code for bath in baths.leaving(studio.connection, "toner", "Selenium  toner", second=False)]


def test_a_strength_and_a_name_have_their_bounds(studio: Studio) -> None:
    with pytest.raises(NotUnderstood, match="at most 100 %"):
        bath_events.care(studio.connection, event(5), studio.fixer, "x", strength="1300%")
    with pytest.raises(NotUnderstood, match="at most 120 signs"):
        baths.mix(studio.connection, event(5), "fixer", "x" * 121)


# assignments that mixing would refuse -> what is said
NOT_AS_MIXED = {
    "capacity=99m2": "Say whose it is",
    "life=7d": "Say whose it is",
    "gold=5mg": "for a toner",
    f"name={'x' * 121}": "at most 120 signs",
}


@pytest.mark.parametrize("assignment", NOT_AS_MIXED)
def test_a_correction_takes_what_mixing_takes(studio: Studio, assignment: str) -> None:
    field, _, text = assignment.partition("=")
    with pytest.raises(TirageError, match=NOT_AS_MIXED[assignment]):
        corrections.correct(studio.connection, event(5), coded(studio.fixer), field, text, "typo")
    with pytest.raises(baths.NotForThisBathError):
        corrections.correct(studio.connection, event(5), coded(studio.selenium), "silver-limit", "2g/l", "typo")


def test_a_basis_stays_while_a_limit_does(studio: Studio) -> None:
    for field, text in (("basis", "data sheet"), ("capacity", "2.5m2")):
        corrections.correct(studio.connection, event(5), coded(studio.fixer), field, text, "was not told")
    with pytest.raises(baths.NoBasisError):
        corrections.correct(studio.connection, event(6), coded(studio.fixer), "basis", "", "typo")
    assert bath_fields.in_turn(["basis=", "capacity="]) == ["capacity=", "basis="]
    assert bath_fields.in_turn(["capacity=1m2", "basis=mine"]) == ["basis=mine", "capacity=1m2"]


def test_a_bath_is_mixed_before_all_that_happened_to_it(studio: Studio) -> None:
    silver = baths.mix(studio.connection, event(on="2026-03-01"), "silver bath", "silver bath")
    bath_events.care(studio.connection, event(on="2026-03-03"), silver, "sunned")
    with pytest.raises(corrections.CorrectionRefusedError, match=r"there on 3 March 2026 \(cared for: sunned\)"):
        corrections.correct(studio.connection, event(5), coded(silver), "mixed", "2026-03-04", "typo")
    corrections.correct(studio.connection, event(5), coded(silver), "mixed", "2026-03-03", "typo")
