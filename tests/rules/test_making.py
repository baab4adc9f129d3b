"""The making of plates: the table of stages, states that follow from steps, what comes next and when it is due."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import settings as settled
from hypothesis import strategies as some

from catalog.dates import moment
from catalog.events import Event
from catalog.quantities import parse_duration
from catalog.records import negatives, settings, steps, washers, washes
from catalog.records.items import Coded
from catalog.records.negatives import Negative
from catalog.rules.due_plates import plates
from catalog.rules.making import RANK, SETTINGS, STAGES, follow, next_stage, waits
from catalog.rules.making_told import coming, coming_text, making
from catalog.vocabulary import STEP_KINDS
from tests.process_sample import begun

KINDS = [*sorted({stage.kind for stage in STAGES} - {""}), "stop", "tone", "spot"]
MORNING = datetime(2026, 3, 2, 10, 0, tzinfo=UTC)


def event(minutes: int | None = 0, on: str | None = None, at: str | None = None) -> Event:
    """So many minutes after ten o'clock on 2 March 2026, or the day and the time that are named."""
    if on is not None:
        return Event(moment(on, at, MORNING), "Ada Renn")
    return Event(moment(None, None, MORNING + timedelta(minutes=minutes or 0)), "Ada Renn")


class Bench:
    """A new catalog with one plate, and a short way to record its steps."""

    def __init__(self, folder: Path) -> None:
        self.connection = begun(folder)
        self.plate = self.add()
        self.trough = washers.add(self.connection, "trough", "tray", volume=3_000)
        self.minutes = 0

    def add(self, process: str = "wet-collodion negative", state: str = "in process") -> Coded:
        return negatives.add(self.connection, event(0), "Weir", process=process, state=state)

    def does(self, line: str, when: Event | None = None, plate: Coded | None = None) -> list[str]:
        """One step, a minute after the one before: "wash 5m", "expose light=ultraviolet"."""
        self.minutes += 1
        when, plate = when or event(self.minutes), plate or self.plate
        words = line.split()
        detail = dict(word.split("=") for word in words if "=" in word)
        words = [word for word in words if "=" not in word]
        seconds = parse_duration(words.pop()) if words[-1][0].isdigit() else None
        kind = " ".join(words)
        washer = self.trough if kind == "wash" else None
        step = steps.record(self.connection, when, kind, [plate], seconds=seconds, detail=detail, washer=washer)
        return follow(self.connection, when, step, [plate])

    def state(self, plate: Coded | None = None) -> str:
        return negatives.read(self.connection, (plate or self.plate).id).state

    def next(self, plate: Coded | None = None) -> str:
        return coming_text(coming(self.connection, (plate or self.plate).id))

    def due(self, now: datetime) -> tuple[str, str, str]:
        """Sentence, until and command of the one plate that waits."""
        [found] = list(plates(self.connection, now))
        return found.sentence, found.until, found.command


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(tmp_path / "studio")
    yield made
    made.connection.close()


# step -> what comes after it, in the order of a making (common practice, no source)
WHOLE_MAKING = (
    ("clean glass", "sub it with albumen, or pour the collodion", 'tirage step add "albumen sub" n1'),
    ("albumen sub", "pour the collodion", "tirage step add collodion n1"),
    ("collodion", "sensitize it in the silver bath", "tirage step add sensitize n1"),
    ("sensitize 3m", "expose it while it is wet", "tirage step add expose n1"),
    ("expose 7s lens=meniscus", "develop it", "tirage step add develop n1"),
    ("develop 20s", "stop it with water", "tirage step add rinse n1"),
    ("rinse", "fix it until it is clear", "tirage fix n1"),
    ("fix 2m", "wash it for 5 min", "tirage wash n1 5m"),
    ("wash 5m", "treat it with iodine for 35 s, if it needs density, or bathe", "tirage step add iodine n1 35s"),
    ("iodine 35s", "rinse off the iodine", "tirage step add rinse n1"),
    ("rinse", "expose it to ultraviolet for 35 s", "tirage step add expose n1 35s"),
    ("expose 35s", "redevelop it by inspection", "tirage step add redevelop n1"),
    ("redevelop", "wash it for 5 min", "tirage wash n1 5m"),
    ("redevelop", "wash it for 5 min", "tirage wash n1 5m"),
    ("wash 5m", "or treat it with iodine for 35 s", 'tirage step add "wetting agent" n1'),
    ("iodine 30s", "rinse off the iodine", "tirage step add rinse n1"),
    ("rinse", "ultraviolet", "tirage step add expose n1 35s"),
    ("expose 35s light=ultraviolet", "redevelop", "tirage step add redevelop n1"),
    ("redevelop", "wash it for 5 min", "tirage wash n1 5m"),
    ("wash 2m", "wash it for 3 min more", "tirage wash n1 3m"),
    ("wash 3m", "bathe it in wetting agent and distilled water", 'tirage step add "wetting agent" n1'),
    ("wetting agent", "lay it to dry", "tirage dry n1"),
    ("dry", "varnish it, from 3 March 2026, 10:23: ", "tirage step add varnish n1"),
    ("varnish", "make prints of it, from 3 March 2026, 10:24: ", "tirage negative state n1 ready"),
    ("cure", "make prints of it, from 3 March 2026, 10:25: ", "tirage negative state n1 ready"),
)  # fmt: skip


def test_the_whole_making_leads_on_step_by_step(bench: Bench) -> None:
    assert "clean the glass" in bench.next()
    for step, words, line in WHOLE_MAKING:
        bench.does(step)
        assert words in bench.next(), step
        assert bench.next().endswith(line), step
    told = making(bench.connection, bench.plate.id)
    assert len(told) == len(WHOLE_MAKING)
    assert "expose, 7 s, lens meniscus" in told[4]
    assert "expose (ultraviolet), 35 s" in told[11]


def test_the_table_is_whole(bench: Bench) -> None:
    names = [stage.name for stage in STAGES]
    assert len(set(names)) == len(names)
    assert {stage.kind for stage in STAGES} - {""} <= set(STEP_KINDS)
    for stage in STAGES:
        assert set(stage.then) <= set(names)
        assert all(RANK[name] > RANK[stage.name] or name == "iodine" for name in stage.then)
    assert waits(bench.connection) == {
        "varnish-after": 86_400,
        "cure-for": 86_400,
        "wash-after-fix": 300,
        "iodine-for": 35,
        "ultraviolet-for": 35,
        "wash-after-redevelopment": 300,
    }  # common practice, no source: dry overnight, cure a full day, minutes of washing, about 30 to 40 s


@settled(max_examples=200, deadline=None)
@given(
    some.lists(some.tuples(some.sampled_from(KINDS), some.sampled_from([None, 1, 60, 600])), max_size=12),
    some.sampled_from(["wet-collodion negative", "gelatin dry plate", ""]),
)  # fmt: skip
def test_who_does_what_it_says_comes_to_a_dry_plate(before: list[tuple[str, int | None]], process: str) -> None:
    plate = Negative(1, "N-0001", "Weir", *[None] * 17)._replace(process=process, state="in process")  # type: ignore[arg-type]
    seconds = {name: parse_duration(text) for name, (text, _) in settings.DEFAULTS.items() if name in SETTINGS}
    history: list[steps.StepOfItem] = []
    for kind, length in [*before, *[("", None)] * 40]:
        coming_now = next_stage(plate, event(0).moment, history, seconds)
        assert coming_now is not None and coming_now.command.startswith("tirage ")
        if kind == "":
            if coming_now.stage.name in ("varnishing", "printing"):
                return
            kind, length = coming_now.stage.kind, seconds.get(coming_now.stage.takes)
        at = event(len(history)).columns
        history.append(
            steps.StepOfItem(len(history), "", kind, None, "", "", "", "", *at, length, None, 0, "{}", "", "", "", "")
        )
    raise AssertionError([step.kind for step in history])


def test_redevelopment_before_fixing_is_fixed_after(bench: Bench) -> None:
    """Estabrooke prefers it before fixing where the lack of density can be judged then."""
    for step in ("collodion", "sensitize", "expose", "develop", "rinse", "redevelop", "wash 5m"):
        bench.does(step)
    assert bench.next().endswith("tirage fix n1")


def test_a_plate_in_the_washer(bench: Bench) -> None:
    bench.does("fix 1m")
    washes.join(bench.connection, event(10), bench.trough, [bench.plate])
    assert bench.next() == "take it out of the wash, from 2 March 2026, 10:15: tirage out n1"
    sentence, until, _ = bench.due(MORNING + timedelta(minutes=12))
    assert (
        "is in the wash since 2 March 2026, 10:10; take it out of the wash from today, 10:15 (3 min to go)" in sentence
    )
    washes.leave(bench.connection, event(12), [bench.plate])
    assert "wash it for 3 min more" in bench.next()


def test_other_processes_are_ready_when_dry(bench: Bench) -> None:
    dry_plate = bench.add("gelatin dry plate")
    assert coming(bench.connection, dry_plate.id).stage.name == "exposure"  # type: ignore[union-attr]
    for step in ("expose", "develop", "rinse", "fix 5m"):
        bench.does(step, plate=dry_plate)
    bench.does("wash 20m", plate=dry_plate)
    assert "wetting agent" in bench.next(dry_plate) and "iodine" not in bench.next(dry_plate)
    said = bench.does("dry", event(0, "2026-03-02", "18:00"), dry_plate)
    assert said == ["N-0002 is drying; make prints of it from 3 March 2026, 18:00."]


def test_states_follow_from_steps_and_are_said(bench: Bench) -> None:
    assert bench.does("dry", event(0, "2026-03-02", "18:00")) == [
        "N-0001 is drying; varnish it from 3 March 2026, 18:00."
    ]
    assert bench.does("varnish", event(0, "2026-03-03", "19:00")) == [
        "N-0001 is varnished; make prints of it from 4 March 2026, 19:00."
    ]
    assert bench.does("cure", event(0, "2026-03-03", "20:00")) == [
        "N-0001 is curing; make prints of it from 4 March 2026, 20:00."
    ]
    assert bench.state() == "curing"
    assert bench.does("expose") == [] and bench.state() == "curing"


def test_several_plates_at_once(bench: Bench) -> None:
    both = [bench.plate, bench.add()]
    when = event(0, "2026-03-02", "18:00")
    step = steps.record(bench.connection, when, "dry", both)
    assert follow(bench.connection, when, step, both) == [
        "N-0001, N-0002 are drying; varnish them from 3 March 2026, 18:00."
    ]


# state it is in since 3 March noon -> step told, when -> state after it
FORWARD = (
    ("ready", "dry", "2026-03-04", "ready"),
    ("ready", "varnish", "2026-03-04", "ready"),
    ("retired", "dry", "2026-03-04", "retired"),
    ("broken", "varnish", "2026-03-04", "broken"),
    ("cancelled", "varnish", "2026-03-04", "cancelled"),
    ("lost", "dry", "2026-03-04", "lost"),
    ("varnished", "dry", "2026-03-04", "varnished"),
    ("curing", "varnish", "2026-03-04", "curing"),
    ("drying", "varnish", "2026-03-02", "drying"),  # told late
    ("drying", "varnish", "2026-03-03", "varnished"),  # the same day: not certainly before
    ("drying", "varnish", "2026-03-04", "varnished"),
    ("drying", "cure", "2026-03-04", "curing"),
    ("drying", "wash", "2026-03-04", "drying"),
    ("in process", "dry", "2026-03-04", "drying"),
)


@pytest.mark.parametrize(("state", "step", "day", "after"), FORWARD)
def test_a_state_only_goes_forward(bench: Bench, state: str, step: str, day: str, after: str) -> None:
    if state != "in process":
        negatives.enter_state(bench.connection, event(0, "2026-03-03", "12:00"), bench.plate, state)
    before = len(negatives.events(bench.connection, bench.plate.id))
    said = bench.does(step, event(0, day))
    assert bench.state() == after
    assert len(negatives.events(bench.connection, bench.plate.id)) - before == len(said) == (state != after)


def test_the_first_state_of_a_plate_that_is_added_late_holds_nothing_back(bench: Bench) -> None:
    assert bench.does("dry", event(0, "2026-03-01", "18:00"))  # the plate was added on 2 March
    assert bench.state() == "drying"


def test_dried_once_more_the_wait_begins_anew(bench: Bench) -> None:
    bench.does("dry", event(0, "2026-03-02", "18:00"))
    bench.does("iodine 35s", event(0, "2026-03-02", "20:00"))
    assert "rinse off the iodine" in bench.next()
    assert bench.does("dry", event(0, "2026-03-02", "21:00")) == [
        "N-0001 is drying; varnish it from 3 March 2026, 21:00."
    ]


# clock -> what is said of a plate laid to dry on 2 March at 18:00, and when it falls due
DRYING = (
    ("2026-03-02T19:30", "; varnish it from tomorrow, 18:00 (22 h to go)."),
    ("2026-03-03T17:50", "; varnish it from today, 18:00 (10 min to go)."),
    ("2026-03-03T18:00", " (24 h): time to varnish it."),
    ("2026-03-06T18:00", " (4 days): time to varnish it."),
)


@pytest.mark.parametrize(("now", "words"), DRYING)
def test_due_to_the_minute_where_the_clock_is_known(bench: Bench, now: str, words: str) -> None:
    bench.does("dry", event(0, "2026-03-02", "18:00"))
    sentence, until, line = bench.due(datetime.fromisoformat(now).replace(tzinfo=UTC))
    assert sentence == f"N-0001 “Weir” is drying since 2 March 2026, 18:00{words}"
    assert until == "2026-03-03T18:00+00:00" and line == "tirage step add varnish n1"


# day told of drying, setting, clock -> what is said, until: no more is claimed than a day allows
DAYS = (
    ("2026-03-02", "24 h", "2026-03-02T20:00", "; varnish it from 3 March 2026.", "2026-03-03"),
    ("2026-03-02", "24 h", "2026-03-03T08:00", "; varnish it today.", "2026-03-03"),
    ("2026-03-02", "24 h", "2026-03-04T08:00", ": time to varnish it.", "2026-03-03"),
    ("2026-03-02", "36 h", "2026-03-02T20:00", "; varnish it from 4 March 2026.", "2026-03-04"),
    ("2026-03", "24 h", "2026-03-31T20:00", "; varnish it from 1 April 2026.", "2026-04-01"),
    ("2026-03-02/..", "24 h", "2026-03-31T20:00", "; varnish it after 24 h.", ""),
)  # fmt: skip


@pytest.mark.parametrize(("day", "wait", "now", "words", "until"), DAYS)
def test_due_by_day_where_no_clock_is_known(
    bench: Bench, day: str, wait: str, now: str, words: str, until: str
) -> None:
    settings.change(bench.connection, "varnish-after", wait, "my own drying cupboard", "2026-03-01")
    negatives.enter_state(bench.connection, event(0, day), bench.plate, "drying")
    sentence, falls, _ = bench.due(datetime.fromisoformat(now).replace(tzinfo=UTC))
    assert sentence.endswith(words) and falls == until


def test_a_wait_is_a_length_of_time(bench: Bench) -> None:
    with pytest.raises(Exception, match="a length of time"):
        settings.change(bench.connection, "cure-for", "a while", "my own", "2026-03-01")


def test_plates_with_nothing_recorded_are_told_in_one_line(bench: Bench) -> None:
    bench.add()
    sentence, until, line = bench.due(MORNING)
    assert sentence.startswith("N-0001, N-0002 are in process with no step recorded; next: clean the glass")
    assert until == "" and line == 'tirage step add "clean glass" n1-2'


def test_no_plate_that_is_made_or_gone_waits(bench: Bench) -> None:
    for state in ("ready", "retired", "broken"):
        bench.add(state=state)
    negatives.enter_state(bench.connection, event(1), bench.plate, "lost")
    assert list(plates(bench.connection, MORNING)) == []
