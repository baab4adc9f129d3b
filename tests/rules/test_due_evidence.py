"""What waits for a test: routines that lapse, strips that were never tested."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from catalog.records import routines
from catalog.rules.due_evidence import routines_lapsing
from tests.process_sample import event
from tests.rules.test_routines import Works


@pytest.fixture
def works(tmp_path: Path) -> Iterator[Works]:
    studio = Works(tmp_path / "catalog")
    studio.trial("2026-03-04")
    studio.trial("2026-03-10")
    studio.work(studio.printed(studio.one), "2026-03-20")
    yield studio
    studio.connection.close()


def waits(works: Works, day: str) -> list[tuple[str, str]]:
    now = datetime.fromisoformat(f"{day}T12:00").replace(tzinfo=UTC)
    return [(one.until, one.sentence) for one in routines_lapsing(works.connection, now)]


def test_when_a_proof_lapses(works: Works) -> None:
    ((until, said),) = waits(works, "2026-04-01")
    assert until == "2026-04-09"
    assert said == "The proof of “plain” on “one” lapses on 9 April 2026: test a strip of its next load."
    ((until, said),) = waits(works, "2026-04-20")
    assert "“plain” on “one” lapsed on 9 April 2026" in said


def test_what_is_not_used_or_ended_does_not_wait(works: Works) -> None:
    assert waits(works, "2026-08-01") == []
    routines.end(works.connection, event(on="2026-03-25"), "plain")
    assert waits(works, "2026-04-01") == []


def test_a_new_batch_in_use_waits_for_its_own_tests(works: Works) -> None:
    works.work(works.printed(works.two), "2026-03-21")
    assert [said for _, said in waits(works, "2026-04-01")][1:] == [
        "“plain” is in use on “two” and not proved there: 0 of 2 tests are clean; test a strip of its next load."
    ]
