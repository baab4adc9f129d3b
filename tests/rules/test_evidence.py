"""Evidence of permanence, as one table of what happened and what may be said."""

from pathlib import Path

import pytest

from catalog.records import papers, residuals, settings
from catalog.rules.evidence import evidence, evidence_many
from catalog.rules.toning import toning
from catalog.rules.wash_record import wash_record
from tests.process_sample import Studio, event

FIXED = ("10 fix p1,k 1m", "20 wash p1,k 60m")
CLEAN = (*FIXED, "100 test k hypo none", "101 test k silver none")
FAILED = (*FIXED, "100 test k hypo beige", "101 test k silver none")
# case -> (what happened, grade of hypo, grade of silver, grade, a word of each stop)
CASES: dict[str, tuple[tuple[str, ...], str, str, str, tuple[str, ...]]] = {
    "nothing recorded": ((), "unrecorded", "unrecorded", "unrecorded", ()),
    "fixed and washed": (FIXED, "recorded", "recorded", "recorded", ()),
    "fixed only": (("10 fix p1 1m",), "unrecorded", "unrecorded", "unrecorded", ("unwashed",)),
    "washed only": (("10 wash p1 60m",), "unrecorded", "unrecorded", "unrecorded", ()),
    "both spots clean": (CLEAN, "spot-tested", "spot-tested", "spot-tested", ()),
    "one question tested": ((*FIXED, "100 test k hypo none"), "spot-tested", "recorded", "recorded", ()),
    "hypo measured": ((*CLEAN, "110 test k hypo 0.9ug/cm2"), "measured", "spot-tested", "spot-tested", ()),
    "at the target": ((*FIXED, "110 test k hypo 1.4ug/cm2"), "measured", "recorded", "recorded", ()),
    "over the target": ((*FIXED, "110 test k hypo 1.401ug/cm2"), "failed", "recorded", "failed", ("It failed (hypo)",)),
    "silver measured, no target": ((*FIXED, "100 test k silver 0.9ug/cm2"), "recorded", "recorded", "recorded", ()),
    "stained": (FAILED, "failed", "spot-tested", "failed", ("It failed (hypo)",)),
    "worst of several": ((*FAILED, "110 test k hypo none"), "failed", "spot-tested", "failed", ("It failed (hypo)",)),
    "rewashed, retest due": ((*FAILED, "120 wash p1,k 30m"), "failed", "recorded", "failed", ("A retest is due",)),
    "strip out first, tested while the print is in": (
        ("10 fix p1,k 1m", "20 join p1,k", "50 out k", "55 test k hypo none", "56 test k silver none", "60 out p1"),
        "spot-tested",
        "spot-tested",
        "spot-tested",
        (),
    ),
    "rewashed and clean": (
        (*FAILED, "120 wash p1,k 30m", "160 test k hypo none", "160 test k silver none"),
        "spot-tested",
        "spot-tested",
        "spot-tested",
        (),
    ),
    "rewashed, just visible": (
        (*FAILED, "120 wash p1,k 30m", "160 test k hypo just visible"),
        "failed",
        "recorded",
        "failed",
        ("A retest is due",),
    ),
    "just visible": (
        (*FIXED, "100 test k hypo just visible", "101 test k silver none"),
        "recorded",
        "spot-tested",
        "recorded",
        (),
    ),
    "strip rewashed without the print": (
        (*FIXED, "90 wash k 30m", "130 test k hypo none"),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "strip fixed apart": (
        ("10 fix p1 1m", "11 fix k 1m", "20 wash p1,k 60m", "100 test k hypo none"),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "toned after the test": ((*CLEAN, "120 tone p1 2m", "130 wash p1 60m"), "recorded", "recorded", "recorded", ()),
    "toned, not washed": ((*CLEAN, "120 tone p1 2m"), "unrecorded", "unrecorded", "unrecorded", ("unwashed",)),
    "in the wash": (
        ("10 fix p1,k 1m", "20 join p1,k"),
        "unrecorded",
        "unrecorded",
        "unrecorded",
        ("still in the wash",),
    ),
    "out of the wash": (
        ("10 fix p1,k 1m", "20 join p1,k", "80 out p1,k", "90 test k hypo none", "90 test k silver none"),
        "spot-tested",
        "spot-tested",
        "spot-tested",
        (),
    ),
    "tested in the wash": (
        ("10 fix p1,k 1m", "20 join p1,k", "60 test k hypo none", "80 out p1,k"),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "strip washed longer": (
        ("10 fix p1,k 1m", "20 join p1,k", "30 out p1", "80 out k", "90 test k hypo none"),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "strip washed longer and stained": (
        ("10 fix p1,k 1m", "20 join p1,k", "30 out p1", "80 out k", "90 test k hypo beige"),
        "failed",
        "recorded",
        "failed",
        ("It failed (hypo)",),
    ),
    "wash aid after the wash": ((*FIXED, "90 wash_aid p1,k 3m"), "unrecorded", "unrecorded", "unrecorded", ()),
    "days without times": (
        (
            "2026-03-04 fix p1,k 1m",
            "2026-03-04 wash p1,k 60m",
            "2026-03-04 test k hypo none",
            "2026-03-04 test k silver none",
        ),
        "spot-tested",
        "spot-tested",
        "spot-tested",
        (),
    ),
    "toned later that day": (
        (
            "2026-03-04 fix p1,k 1m",
            "2026-03-04 wash p1,k 60m",
            "2026-03-04 test k hypo none",
            "2026-03-04 tone p1 2m",
            "2026-03-04 wash p1 60m",
        ),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "toned on a day not known": (
        (*CLEAN, "2026-03 tone p1,k 2m", "2026-03 wash p1,k 60m"),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "failed, then washed on a day not known": (
        (*FAILED, "2026-03 wash p1,k 30m"),
        "failed",
        "recorded",
        "failed",
        ("It failed (hypo)",),
    ),
    "tested after the last day it can have been": (
        ("2026-03 fix p1,k 1m", "2026-03 wash p1,k 60m", "2026-04-02 test k hypo none"),
        "spot-tested",
        "recorded",
        "recorded",
        (),
    ),
    "stained strip, the print washed once more": (
        (*FIXED, "90 wash p1 2m", "100 test k hypo beige"),
        "failed",
        "recorded",
        "failed",
        ("A retest is due",),
    ),
    "stained strip fixed apart": (
        ("10 fix p1 1m", "11 fix k 1m", "20 wash p1,k 60m", "100 test k hypo beige"),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "stained in a month not over": (
        (*FIXED, "2026-03 test k hypo beige"),
        "failed",
        "recorded",
        "failed",
        ("It failed (hypo)",),
    ),
    "clean about the day after": ((*FIXED, "2026-03-05~ test k hypo none"), "recorded", "recorded", "recorded", ()),
    "washed about the day of the test": (
        ("2026-03-04 fix p1,k 1m", "2026-03-05~ wash p1,k 60m", "2026-03-06 test k hypo none"),
        "recorded",
        "recorded",
        "recorded",
        (),
    ),
    "fixed but tested unwashed": (
        ("10 fix p1,k 1m", "20 test k hypo none", "20 test k silver none"),
        "unrecorded",
        "spot-tested",
        "unrecorded",
        ("unwashed",),
    ),
}


@pytest.fixture
def studio(tmp_path: Path) -> Studio:
    return Studio(tmp_path / "catalog")


def play(studio: Studio, lines: tuple[str, ...]) -> None:
    for line in lines:
        studio.play(line)


@pytest.mark.parametrize("case", CASES)
def test_grades_and_stops(studio: Studio, case: str) -> None:
    lines, hypo, silver, grade, stops = CASES[case]
    play(studio, lines)
    found = evidence(studio.connection, studio.p1.id)
    assert (found.hypo.grade, found.silver.grade, found.grade) == (hypo, silver, grade)
    assert len(found.stops) == len(stops)
    assert all(word in said for word, said in zip(stops, found.stops, strict=True))


def test_clean_sentence_claims_only_what_was_seen(studio: Studio) -> None:
    play(studio, CLEAN)
    assert evidence(studio.connection, studio.p1.id).hypo.sentence == (
        "Spot-tested: a drop of acid silver nitrate on control strip K-0001 showed no stain on 4 March 2026, after the "
        "last wet step (washed 60 min after the last bath); this proves only that no stain was seen."
    )


def test_measured_sentence_names_value_target_and_basis(studio: Studio) -> None:
    play(studio, (*FIXED, "100 test k hypo 0.9ug/cm2"))
    said = evidence(studio.connection, studio.p1.id).hypo.sentence
    assert "0.9 µg/cm²" in said and "no limit for paper" in said
    assert "at or under 1.4 µg/cm², the target set here (the studio's own target; " in said
    settings.change(studio.connection, "hypo-target", "1 ug/cm2", "a handbook, page 7", "2026-03-05")
    said = evidence(studio.connection, studio.p1.id).hypo.sentence
    assert "1 µg/cm², the target set here (a handbook, page 7)" in said and "ISO" not in said
    settings.change(studio.connection, "hypo-target", "1 ug/cm2", "a guess", "2026-03-05")
    said = evidence(studio.connection, studio.p1.id).hypo.sentence
    assert "the target set here (a guess)" in said and "handbook" not in said and "standard" not in said


def test_doubts_are_told(studio: Studio) -> None:
    play(studio, (*CLEAN, "120 tone p1 2m", "130 wash p1 60m"))
    assert any("before a later wet step" in doubt for doubt in evidence(studio.connection, studio.p1.id).hypo.doubts)
    play(studio, ("10 fix p2,w 1m", "20 wash p2,w 60m", "90 test w hypo just visible", "90 test w silver 1ug/cm2"))
    found = evidence(studio.connection, studio.w.id)
    assert any("wash more and test again" in doubt for doubt in found.hypo.doubts)
    assert any("kept as data" in doubt for doubt in found.silver.doubts)


def test_step_of_a_day_not_known_is_a_doubt(studio: Studio) -> None:
    play(studio, (*CLEAN, "2026-03 wash p1,k 60m"))
    assert evidence(studio.connection, studio.p1.id).hypo.doubts == (
        "The date of the wash of March 2026 is not exact, so it may be later than the test of 4 March 2026 on K-0001; "
        "test again.",
    )


def test_unwashed_item_restarts_the_wash_of_all(studio: Studio) -> None:
    play(studio, ("10 fix p1,p2 1m", "20 join p1", "50 join p2", "80 out p1,p2"))
    found = evidence(studio.connection, studio.p1.id)
    assert found.washed_seconds == 30 * 60
    assert any("4 March 2026, 12:50" in doubt for doubt in found.hypo.doubts)


def test_washed_item_restarts_nothing(studio: Studio) -> None:
    play(studio, ("10 fix p1,p2 1m", "15 wash p2 5m", "20 join p1", "50 join p2", "80 out p1,p2"))
    assert evidence(studio.connection, studio.p1.id).washed_seconds == 60 * 60


def test_item_back_in_the_load_it_left_restarts_the_others(studio: Studio) -> None:
    play(studio, ("10 fix p1,p2 1m", "20 join p1,p2", "40 out p2", "45 fix p2 1m", "50 join p2", "80 out p1,p2"))
    found = evidence_many(studio.connection, [studio.p1.id, studio.p2.id])
    assert [found[p.id].washed_seconds for p in (studio.p1, studio.p2)] == [30 * 60, 30 * 60]


def test_a_failed_print_casts_doubt_on_its_load(studio: Studio) -> None:
    play(studio, ("10 fix p1,p2,k 1m", "20 wash p1,p2,k 60m", "100 test p2 hypo 9ug/cm2"))
    found = evidence(studio.connection, studio.p1.id).hypo
    assert (found.grade, found.untested) == ("recorded", False)
    assert "P-000002 was fixed together with it" in found.doubts[0]
    play(studio, ("110 test p1 hypo 0.9ug/cm2",))
    assert evidence(studio.connection, studio.p1.id).hypo.doubts == ()


def test_a_strip_of_another_paper_does_not_count(studio: Studio) -> None:
    ours, other = (papers.add(studio.connection, name, "a fibre paper").id for name in ("ours", "other"))
    strips = [residuals.make_strips(studio.connection, event(0), 1, paper)[0] for paper in (ours, other, None)]
    studio.connection.execute("UPDATE print SET paper = ? WHERE id IN (?, ?, ?)", (ours, *_ids(studio)))
    for name, strip in zip(("p1", "p2", "p3"), strips, strict=True):
        studio.k = strip
        play(studio, (f"10 fix {name},k 1m", f"20 wash {name},k 60m", "100 test k hypo none"))
    found = [evidence_many(studio.connection, _ids(studio))[one].hypo for one in _ids(studio)]
    assert [one.grade for one in found] == ["spot-tested", "recorded", "spot-tested"]
    assert [bool(one.doubts) for one in found] == [False, True, True]


def _ids(studio: Studio) -> list[int]:
    return [studio.p1.id, studio.p2.id, studio.p3.id]


def test_many_at_once_agree_with_each(studio: Studio) -> None:
    play(studio, (*CLEAN, "20 fix p2 1m", "90 wash p2,p3 60m"))
    ids = [studio.p1.id, studio.p2.id, studio.p3.id, studio.w.id]
    assert evidence_many(studio.connection, ids) == {one: evidence(studio.connection, one) for one in ids}


def test_wash_record_and_toning_in_words(studio: Studio) -> None:
    play(studio, (*FIXED, "90 tone p1 2m", "100 join p1", "160 out p1"))
    assert [(line.kind, line.detail) for line in wash_record(studio.connection, studio.p1.id, public=False)] == [
        ("fix", "alkaline rapid fixer 1+4, 1 min (B-0001)"),
        ("wash", "60 min"),
        ("tone", "selenium toner 1+20, 2 min (B-0002)"),
        ("wash", "siphon, 60 min"),
    ]
    assert toning(studio.connection, studio.p1.id) == "selenium toner 1+20, 2 min"
    assert toning(studio.connection, studio.p2.id) == ""


NEAR = {
    "washed longer": (
        ("10 fix p1,k 1m", "20 join p1,k", "50 out p1", "60 out k", "70 test k hypo none", "71 test k silver none"),
        "does not count for it: it was washed 10 min longer.",
    ),
    "went its own way": (
        ("10 fix p1,k 1m", "20 wash p1 60m", "21 wash k 60m", "90 test k hypo none", "91 test k silver none"),
        "does not count for it: it did not go through every wet step with it.",
    ),
}


@pytest.mark.parametrize("case", NEAR)
def test_why_a_strip_of_the_same_fixing_does_not_count(studio: Studio, case: str) -> None:
    lines, why = NEAR[case]
    play(studio, lines)
    found = evidence(studio.connection, studio.p1.id)
    assert found.grade == "recorded"
    assert all(len(answer.doubts) == 1 and answer.doubts[0].endswith(why) for answer in (found.hypo, found.silver))
