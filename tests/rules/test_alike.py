"""What is worked out once for all that share a history is what each of them would get by itself."""

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.errors import TirageError
from catalog.rules.alike import alike
from catalog.rules.evidence import evidence, evidence_many
from catalog.rules.wash_record import wash_record, wash_records
from tests.process_sample import Studio

ITEMS = ("p1", "p2", "p3", "k", "p1,p2", "p1,k", "p2,p3,k", "p1,p2,p3,k")
VERBS = ("fix {} 1m", "wash {} 30m", "tone {} 2m", "join {}", "out {}", "fix {} 1m", "wash {} 60m")
TESTS = ("test k hypo none", "test k hypo beige", "test k silver none", "test p2 hypo 0.9ug/cm2", "test w silver none")
HAPPENINGS = st.lists(
    st.one_of(st.builds(str.format, st.sampled_from(VERBS), st.sampled_from(ITEMS)), st.sampled_from(TESTS)), max_size=9
)


def play(studio: Studio, happenings: list[str]) -> None:
    """One after the other, ten minutes apart; what the rules refuse does not happen."""
    for place, happening in enumerate(happenings):
        try:
            studio.play(f"{place * 10} {happening}")
        except TirageError:
            continue


def test_who_shares_a_history(tmp_path: Path) -> None:
    studio = Studio(tmp_path / "catalog")
    play(studio, ["fix p1,p2,p3,k 1m", "join p1,p2,k", "join p3", "out p1,p2,p3,k", "test p2 hypo 0.9ug/cm2"])
    p1, p2, p3, w, k = (thing.id for thing in (studio.p1, studio.p2, studio.p3, studio.w, studio.k))
    assert alike(studio.connection, [p1, p2, p3, w, k]) == {p1: p1, p2: p1, p3: p3, w: w, k: p1}
    found = evidence_many(studio.connection, [p1, p2, p3])
    assert [found[one].hypo.grade for one in (p1, p2, p3)] == ["recorded", "measured", "recorded"]
    studio.connection.close()


@settings(max_examples=40, deadline=None)
@given(HAPPENINGS)
def test_together_as_one_by_one(tmp_path_factory, happenings: list[str]) -> None:  # type: ignore[no-untyped-def]
    studio = Studio(tmp_path_factory.mktemp("alike") / "catalog")
    play(studio, happenings)
    ids = [thing.id for thing in (studio.p1, studio.p2, studio.p3, studio.w, studio.e)]
    assert evidence_many(studio.connection, ids) == {one: evidence(studio.connection, one) for one in ids}
    for public in (True, False):
        records = wash_records(studio.connection, ids, public=public)
        alone = {one: wash_record(studio.connection, one, public=public) for one in ids}
        assert {one: list(record.lines) for one, record in records.items()} == alone
    studio.connection.close()
