"""The washing that counts: the same in whatever order it was told."""

from datetime import datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.dates import moment
from catalog.events import Event
from catalog.records import residuals, steps, washes
from catalog.records.loads import timelines
from tests.process_sample import NOON, Studio, event

# Of each item: when it was fixed (or not), when it came into the washer, how long it stayed, by which command.
LIVES = st.lists(
    st.tuples(st.booleans(), st.integers(1, 120), st.integers(1, 60), st.sampled_from(("in and out", "length"))),
    min_size=2,
    max_size=4,
)


def at(minutes: int) -> Event:
    """So many minutes after noon, told to the minute."""
    return Event(moment("2026-03-04", (NOON + timedelta(minutes=minutes)).strftime("%H:%M"), NOON), "Ada Renn")


def counted(folder, lives, order) -> list[list[tuple[int | None, str]]]:  # type: ignore[no-untyped-def]
    studio = Studio(folder)
    things = [residuals.make_strips(studio.connection, event(0), 1, None)[0] for _ in lives]
    told: list[list[tuple[str, int, int]]] = []
    for fixed, came, length, way in lives:
        ways = [("in", came, 0), ("out", came + length, 0)] if way == "in and out" else [("wash", came, length)]
        told.append([("fix", 0, 0)] * fixed + ways)
    for turn in order:
        verb, minute, length = told[turn].pop(0)
        if verb == "in":
            washes.join(studio.connection, at(minute), studio.siphon, [things[turn]])
        elif verb == "out":
            washes.leave(studio.connection, at(minute), [things[turn]])
        else:
            bath, washer = (studio.fixer, None) if verb == "fix" else (None, studio.siphon)
            seconds = length * 60 or 60
            steps.record(studio.connection, at(minute), verb, [things[turn]], bath=bath, washer=washer, seconds=seconds)
    lines = timelines(studio.connection, [thing.id for thing in things]).of
    found = [[(wet.seconds, wet.restarted) for wet in lines[thing.id] if wet.kind == "wash"] for thing in things]
    studio.connection.close()
    return found


@settings(max_examples=25, deadline=None)
@given(lives=LIVES, data=st.data())
def test_order_of_telling_does_not_matter(tmp_path_factory, lives, data) -> None:  # type: ignore[no-untyped-def]
    turns = [turn for turn, (fixed, *_, way) in enumerate(lives) for _ in range(fixed + 1 + (way == "in and out"))]
    orders = [turns, data.draw(st.permutations(turns))]
    found = [counted(tmp_path_factory.mktemp("order") / "catalog", lives, order) for order in orders]
    assert [[(s, _minute(r)) for s, r in one] for one in found[0]] == [
        [(s, _minute(r)) for s, r in one] for one in found[1]
    ]


def _minute(instant: str) -> str:
    return instant[:16]


def test_what_joins_in_the_hour_that_comes_twice_restarts_the_wash(tmp_path) -> None:  # type: ignore[no-untyped-def]
    """25 October 2026, 02:50 summer time; twenty minutes later, the clocks turned back (EU 2000/84), it is 02:10."""
    studio = Studio(tmp_path / "catalog")
    first, second = (residuals.make_strips(studio.connection, event(0), 1, None)[0] for _ in range(2))
    instants = [datetime.fromisoformat(f"2026-10-25T0{text}") for text in
                ("1:00+02:00", "2:50+02:00", "2:10+01:00", "2:30+01:00")]  # fmt: skip

    def when(now: datetime) -> Event:
        return Event(moment("2026-10-25", now.strftime("%H:%M"), now), "Ada Renn")

    fixed, came, joined, left = map(when, instants)
    for thing in (first, second):
        steps.record(studio.connection, fixed, "fix", [thing], bath=studio.fixer, seconds=60)
    washes.join(studio.connection, came, studio.siphon, [first])
    washes.join(studio.connection, joined, studio.siphon, [second])
    washes.leave(studio.connection, left, [first])
    wash = timelines(studio.connection, [first.id]).of[first.id][-1]
    studio.connection.close()
    assert (wash.seconds, wash.restarted[:16]) == (20 * 60, "2026-10-25T02:10")
