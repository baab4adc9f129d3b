"""Routines: what proves one, and what a print may be graded by it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as effort
from hypothesis import strategies as st

from catalog.capacities import Capacity
from catalog.quantities import parse_duration
from catalog.records import baths, papers, residuals, routines, steps, washers
from catalog.records.items import Coded, give_items
from catalog.records.routines import Terms
from catalog.rules.evidence import Evidence, evidence, evidence_many
from catalog.vocabulary import GRADES
from tests.process_sample import Studio, event


class Works(Studio):
    """A studio with a routine of two tests on the paper “one”, lapsing after 30 days, begun on 1 March 2026."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self.one = papers.add(self.connection, "one", "warm-tone paper, matt").id
        self.two = papers.add(self.connection, "two", "Warm-tone paper, matt").id
        self.other = papers.add(self.connection, "three", "bromide paper").id
        mixed = event(on="2026-01-01")
        self.fixer = baths.mix(self.connection, mixed, "fixer", "alkaline rapid fixer", dilution="1+4")
        self.selenium = baths.mix(self.connection, mixed, "toner", "selenium toner", dilution="1+20")
        self.slots = washers.add(self.connection, "slots", "slots")
        terms = Terms(self.one, self.fixer.text(), 60, None, "", None, "", self.slots.id, 3600, None, 12, None)
        routines.add(self.connection, event(on="2026-03-01"), "plain", terms, tests=2, lapse_days=30, basis="")

    def printed(self, paper: int | None, kind: str | None = None) -> Coded:
        """A new print on a paper."""
        made = give_items(self.connection, "print", 1)[0]
        self.connection.execute(
            "INSERT INTO print (id, negative, edition, paper, kind, made, earliest, latest) VALUES (?1, ?2, "
            "(SELECT id FROM edition WHERE ?4 IS NULL), ?3, ?4, '2026-01-01', '2026-01-01', '2026-01-01')",
            (made.id, self.n.id, paper, kind),
        )
        return made

    def work(self, thing: Coded, day: str, fix: str = "1m", wash: str = "60m", then: str = "") -> Coded:
        """Fix and wash on a day."""
        self.step(thing, day, "fix", fix)
        if wash:
            self.step(thing, day, "wash", wash)
        if then:
            self.step(thing, day, then, "1m")
        return thing

    def step(self, thing: Coded, day: str, kind: str, length: str) -> None:
        """One step on a day."""
        bath = {"fix": self.fixer, "tone": self.selenium}.get(kind)
        steps.record(
            self.connection,
            event(on=day),
            kind,
            [thing],
            bath=bath,
            washer=self.slots if kind == "wash" else None,
            seconds=parse_duration(length),
            sheets=11 if kind == "wash" and thing.kind == "control strip" else 0,
        )

    def trial(self, day: str, seen: str = "none", *, paper: int | None = None, wash: str = "60m") -> Coded:
        """A strip worked and tested on a day, among eleven sheets; `seen` is what the drop of each question showed."""
        made = residuals.make_strips(self.connection, event(on="2026-01-01"), 1, paper or self.one)[0]
        self.work(made, day, wash=wash)
        self.tested(made, day, seen)
        return made

    def tested(self, thing: Coded, day: str, seen: str) -> None:
        """Both drops on a day."""
        for question in ("hypo", "silver"):
            residuals.record_test(self.connection, event(on=day), thing, question, reading=seen)

    def found(self, thing: Coded) -> Evidence:
        """The evidence of a print."""
        return evidence(self.connection, thing.id)


@pytest.fixture
def works(tmp_path: Path) -> Iterator[Works]:
    studio = Works(tmp_path / "catalog")
    yield studio
    studio.connection.close()


ON = "2026-03-20"
# case -> (strips: day worked and tested, what was seen; the day of the print; its grade)
PROOF: dict[str, tuple[tuple[tuple[str, str], ...], str, str]] = {
    "two clean": ((("2026-03-04", "none"), ("2026-03-10", "none")), ON, "by proven routine"),
    "one clean": ((("2026-03-10", "none"),), ON, "recorded"),
    "the second on the very day": ((("2026-03-04", "none"), (ON, "none")), ON, "by proven routine"),
    "the second a day later": ((("2026-03-04", "none"), ("2026-03-21", "none")), ON, "recorded"),
    "on the last day": ((("2026-03-04", "none"), ("2026-03-10", "none")), "2026-04-09", "by proven routine"),
    "lapsed": ((("2026-03-04", "none"), ("2026-03-10", "none")), "2026-04-10", "recorded"),
    "an old one counts beside a new one": ((("2026-01-04", "none"), ("2026-03-10", "none")), ON, "by proven routine"),
    "before it began": ((("2026-02-01", "none"), ("2026-02-10", "none")), "2026-02-20", "recorded"),
    "one stained between": (
        (("2026-03-04", "none"), ("2026-03-06", "beige"), ("2026-03-10", "none")), ON, "recorded",
    ),
    "just visible between": (
        (("2026-03-04", "none"), ("2026-03-06", "just visible"), ("2026-03-10", "none")), ON, "recorded",
    ),
    "stained before both": (
        (("2026-03-02", "beige"), ("2026-03-04", "none"), ("2026-03-10", "none")), ON, "by proven routine",
    ),
    "stained on the day of the older": (
        (("2026-03-04", "beige"), ("2026-03-04", "none"), ("2026-03-10", "none")), ON, "recorded",
    ),
    "stained later": (
        (("2026-03-04", "none"), ("2026-03-10", "none"), ("2026-03-25", "beige")), ON, "recorded",
    ),
    "just visible later": (
        (("2026-03-04", "none"), ("2026-03-10", "none"), ("2026-03-25", "just visible")), ON, "by proven routine",
    ),
    "stained later, after a clean one": (
        (("2026-03-04", "none"), ("2026-03-10", "none"), ("2026-03-24", "none"), ("2026-03-25", "beige")),
        ON, "by proven routine",
    ),
    "stained later, on the day of a clean one": (
        (("2026-03-04", "none"), ("2026-03-10", "none"), ("2026-03-25", "none"), ("2026-03-25", "beige")),
        ON, "recorded",
    ),
    "stained after the proof had lapsed": (
        (("2026-03-04", "none"), ("2026-03-10", "none"), ("2026-05-25", "beige")), ON, "by proven routine",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", PROOF)
def test_what_proves(works: Works, case: str) -> None:
    strips, day, grade = PROOF[case]
    for worked_on, seen in strips:
        works.trial(worked_on, seen)
    found = works.found(works.work(works.printed(works.one), day))
    assert (found.hypo.grade, found.silver.grade, found.grade) == (grade, grade, grade)
    assert bool(found.routine) == (grade == "by proven routine")


@pytest.fixture
def proved(works: Works) -> Works:
    works.trial("2026-03-04")
    works.trial("2026-03-10")
    return works


def test_sentence_claims_no_test_of_the_print(proved: Works) -> None:
    found = proved.found(proved.work(proved.printed(proved.one), ON))
    assert found.hypo.sentence == (
        "By proven routine: not tested itself, but worked within a routine whose last 2 pieces on this paper "
        "(K-0002, K-0003) tested clean between 4 March 2026 and 10 March 2026, 2 by a drop that showed no stain; the "
        "studio lets the newest stand for 30 days."
    )
    assert found.routine == "plain" and "plain" not in "".join((found.hypo.sentence, *found.hypo.doubts))
    assert found.claims == [
        "Of both it may be said that it was worked the same way as pieces that tested clean; it was not tested itself, "
        "and this gives no amount and does not make the print archival."
    ]


def test_measured_strips_are_told_with_the_target(works: Works) -> None:
    for day in ("2026-03-04", "2026-03-10"):
        strip = residuals.make_strips(works.connection, event(on="2026-01-01"), 1, works.one)[0]
        works.work(strip, day)
        residuals.record_test(works.connection, event(on=day), strip, "hypo", method="methylene blue", value=900)
    found = works.found(works.work(works.printed(works.one), ON))
    assert (
        "tested clean between 4 March 2026 and 10 March 2026, 2 measured at or under 1.4 µg/cm², the target set here ("
        in found.hypo.sentence
    )
    assert (found.hypo.grade, found.silver.grade) == ("by proven routine", "recorded")


def test_strips_that_had_less_prove_more(works: Works) -> None:
    """A clean strip washed for less than the routine asks counts; a stained one of less says nothing of the routine."""
    works.trial("2026-03-04", wash="40m")
    works.trial("2026-03-05", "beige", wash="30m")
    works.trial("2026-03-10", wash="50m")
    assert works.found(works.work(works.printed(works.one), ON)).grade == "by proven routine"


def test_each_batch_is_proved_by_itself(proved: Works) -> None:
    prints = [proved.work(proved.printed(paper), ON) for paper in (proved.one, proved.two, proved.other, None)]
    grades = ["by proven routine", "recorded", "recorded", "recorded"]
    assert [proved.found(one).grade for one in prints] == grades
    many = evidence_many(proved.connection, [one.id for one in prints])
    assert [many[one.id].grade for one in prints] == grades
    proved.trial("2026-03-05", paper=proved.two)
    proved.trial("2026-03-06", paper=proved.two)
    assert proved.found(prints[1]).grade == "by proven routine"


def test_prints_of_one_load_on_two_papers_are_told_apart(proved: Works) -> None:
    prints = [proved.printed(paper) for paper in (proved.one, proved.two, proved.one)]
    for kind, length in (("fix", "1m"), ("wash", "60m")):
        bath = proved.fixer if kind == "fix" else None
        washer = proved.slots if kind == "wash" else None
        steps.record(
            proved.connection, event(on=ON), kind, prints, bath=bath, washer=washer, seconds=parse_duration(length)
        )
    ids = [one.id for one in prints]
    many = evidence_many(proved.connection, ids)
    assert [many[one].grade for one in ids] == ["by proven routine", "recorded", "by proven routine"]
    assert many == {one: evidence(proved.connection, one) for one in ids}


def test_work_prints_prove_and_strips_washed_much_longer_do_not(works: Works) -> None:
    work = works.work(works.printed(works.one, "work"), "2026-03-04")
    works.tested(work, "2026-03-05", "none")
    works.trial("2026-03-06", wash="2h")
    short, long = (works.work(works.printed(works.one), ON, wash=wash) for wash in ("60m", "2h"))
    assert [works.found(one).grade for one in (short, long)] == ["recorded", "by proven routine"]


def test_a_strip_washed_again_does_not_wipe_out_its_stain(works: Works) -> None:
    works.trial("2026-03-04")
    stained = works.trial("2026-03-08", "beige")
    works.step(stained, "2026-03-09", "wash", "60m")
    works.tested(stained, "2026-03-09", "none")
    works.trial("2026-03-10")
    assert works.found(works.work(works.printed(works.one), ON)).grade == "recorded"


def test_one_strip_tested_twice_is_one(works: Works) -> None:
    works.tested(works.trial("2026-03-04"), "2026-03-05", "none")
    assert works.found(works.work(works.printed(works.one), ON)).grade == "recorded"


def test_a_test_of_a_day_not_certain(works: Works) -> None:
    works.trial("2026-03-04")
    later = residuals.make_strips(works.connection, event(on="2026-01-01"), 1, works.one)[0]
    works.tested(works.work(later, "2026-03-06"), "2026-03", "none")
    assert works.found(works.work(works.printed(works.one), ON)).grade == "recorded"
    works.trial("2026-03-12")
    assert works.found(works.work(works.printed(works.one), ON)).grade == "by proven routine"
    stained = residuals.make_strips(works.connection, event(on="2026-01-01"), 1, works.one)[0]
    works.tested(works.work(stained, "2026-01-06"), "2026-03", "beige")
    assert works.found(works.work(works.printed(works.one), ON)).grade == "recorded"


def test_a_faint_stain_on_the_print_is_not_outdone(proved: Works) -> None:
    print_ = proved.work(proved.printed(proved.one, "work"), ON)
    proved.tested(print_, ON, "just visible")
    assert proved.found(print_).grade == "recorded"
    proved.step(print_, "2026-03-21", "rinse", "5m")
    assert proved.found(print_).grade == "recorded"
    proved.tested(print_, "2026-03-22", "none")
    proved.step(print_, "2026-03-23", "rinse", "5m")
    assert proved.found(print_).grade == "recorded"  # its faint stain speaks against the routine on that day


def test_what_fails_on_any_print_speaks_against_the_routine(proved: Works) -> None:
    one, failing = (proved.work(proved.printed(proved.one), ON) for _ in range(2))
    assert proved.found(one).grade == "by proven routine"
    moment = event(on="2026-03-22")
    residuals.record_test(proved.connection, moment, failing, "hypo", method="laboratory", value=9_000)
    assert (proved.found(one).hypo.grade, proved.found(one).silver.grade) == ("recorded", "by proven routine")


def test_a_fuller_wash_than_that_of_any_strip_is_not_proved(works: Works) -> None:
    terms = Terms(works.one, works.fixer.text(), 60, None, "", None, "", works.slots.id, 1800, None, None, None)
    routines.end(works.connection, event(on="2026-03-01"), "plain")
    routines.add(works.connection, event(on="2026-03-01"), "any crowd", terms, tests=1, lapse_days=30, basis="")
    works.trial("2026-03-04", wash="30m")
    alone, *many = (works.printed(works.one) for _ in range(14))  # the strip was washed among eleven others
    for load, bath in ((many, works.fixer), ([alone], works.fixer)):
        steps.record(works.connection, event(on=ON), "fix", load, bath=bath, seconds=60)
        steps.record(works.connection, event(on=ON), "wash", load, washer=works.slots, seconds=1800)
    assert [works.found(one).grade for one in (alone, *many)] == ["by proven routine", *["recorded"] * 13]


def test_both_the_first_and_the_last_day_must_be_proved(proved: Works) -> None:
    early = proved.work(proved.printed(proved.one), "2026-03-09", wash="")  # fixed a day before the second clean strip
    late = proved.work(proved.printed(proved.one), ON)
    proved.step(early, ON, "wash", "60m")
    assert [proved.found(one).grade for one in (early, late)] == ["recorded", "by proven routine"]
    proved.step(late, "2026-05-01", "wash", "60m")  # the proof had lapsed by then
    assert proved.found(late).grade == "recorded"


def test_a_routine_that_ended(proved: Works) -> None:
    before, after = (proved.work(proved.printed(proved.one), day) for day in ("2026-03-15", "2026-03-16"))
    routines.end(proved.connection, event(on="2026-03-15"), "PLAIN")
    assert [proved.found(one).grade for one in (before, after)] == ["by proven routine", "recorded"]
    with pytest.raises(routines.RoutineEndedError):
        routines.end(proved.connection, event(on="2026-03-16"), "plain")


def test_what_is_disproved_later_is_told(proved: Works) -> None:
    one = proved.work(proved.printed(proved.one), ON)
    proved.trial("2026-03-25", "yellow-brown")
    found = proved.found(one)
    assert (found.grade, found.routine, found.disproved) == ("recorded", "", "2026-03-25")
    assert found.hypo.doubts == (
        "A test of what was worked in the same way failed on 25 March 2026, before the next clean one; so that way "
        "of working proves nothing for this print. Test it.",
    )


def test_no_routine_answers_for_a_fixer_that_was_spent(proved: Works) -> None:
    """No strip that proved it went through that bath when it was past its limit; of hypo a routine may still speak."""
    mixed, little = event(on="2026-03-01"), Capacity(1, per_litre=False)
    proved.fixer = baths.mix(
        proved.connection, mixed, "fixer", "alkaline rapid fixer", dilution="1+4", capacity=little, basis="a guess"
    )
    found = proved.found(proved.work(proved.printed(proved.one), ON))
    assert (found.hypo.grade, found.silver.grade) == ("by proven routine", "recorded")
    assert "was past the capacity set for it" in found.silver.doubts[0]


def test_a_bath_past_its_capacity_is_a_doubt_until_a_clean_silver_test(works: Works) -> None:
    little = Capacity(1, per_litre=False)
    mixed = event(on="2026-03-01")
    tired = baths.mix(works.connection, mixed, "fixer", "tired fixer", capacity=little, basis="a guess")
    thing = works.printed(works.one, "work")
    steps.record(works.connection, event(on=ON), "fix", [thing], bath=tired, seconds=60)
    works.step(thing, ON, "wash", "60m")
    found = works.found(thing)
    assert found.silver.doubts == (f"Fixer {tired.code} was past the capacity set for it when this was fixed.",)
    assert (found.hypo.doubts, found.silver.grade) == ((), "recorded")
    residuals.record_test(works.connection, event(on=ON), thing, "hypo", reading="none")
    assert works.found(thing).silver.doubts
    residuals.record_test(works.connection, event(on=ON), thing, "silver", reading="none")
    assert works.found(thing).silver.doubts == ()
    works.step(thing, "2026-03-21", "wash", "5m")
    assert not any("capacity" in doubt for doubt in works.found(thing).silver.doubts)


DAYS = st.integers(1, 28).map(lambda day: f"2026-03-{day:02d}")
SEEN = st.sampled_from(("none", "none", "none", "just visible", "beige"))
TRIALS = st.lists(st.tuples(DAYS, SEEN), min_size=1, max_size=5)


@effort(max_examples=10, deadline=None)
@given(trials=TRIALS, day=DAYS, order=st.randoms(use_true_random=False))
def test_order_of_entry_does_not_matter(tmp_path_factory, trials, day, order) -> None:  # type: ignore[no-untyped-def]
    grades = []
    for shuffled in (False, True):
        works = Works(tmp_path_factory.mktemp("order") / "catalog")
        pieces = [residuals.make_strips(works.connection, event(on="2026-01-01"), 1, works.one)[0] for _ in trials]
        for piece, (worked_on, _) in zip(pieces, trials, strict=True):
            works.work(piece, worked_on)
        one = works.work(works.printed(works.one), day)
        tests = [(piece, *trial) for piece, trial in zip(pieces, trials, strict=True)]
        if shuffled:
            order.shuffle(tests)
        for piece, tested_on, seen in tests:
            works.tested(piece, tested_on, seen)
        grades.append(works.found(one).grade)
        works.connection.close()
    assert grades[0] == grades[1]


@effort(max_examples=15, deadline=None)
@given(
    trials=TRIALS, day=DAYS, kind=st.sampled_from(("rinse", "tone", "fix", "wash aid", "develop")),
    own=st.sampled_from(("", "", "none", "just visible", "beige")), washes=st.lists(st.integers(1, 130), max_size=2),
)  # fmt: skip
def test_what_moves_a_grade(tmp_path_factory, trials, day, kind, own, washes) -> None:  # type: ignore[no-untyped-def]
    """A longer wash never lowers a grade, a later step that is no wash never raises one, a failed test fails."""
    works = Works(tmp_path_factory.mktemp("moves") / "catalog")
    for worked_on, seen in trials:
        works.trial(worked_on, seen)
    grades = []
    for more in (0, 30):
        one = works.work(works.printed(works.one, "work"), day, wash="")
        for minutes in washes:
            works.step(one, day, "wash", f"{minutes + more}m")
        if own:
            works.tested(one, day, own)
        grades.append(GRADES.index(works.found(one).grade))
    assert grades[1] <= grades[0]
    works.step(one, "2026-03-29", kind, "1m")
    later = GRADES.index(works.found(one).grade)
    assert later >= grades[1]
    works.tested(one, "2026-03-30", "yellow-brown")
    assert works.found(one).grade == "failed"
    works.connection.close()
