"""Certificates beside the record of now: every public fact, what moves on of itself and what is a contradiction."""

import copy
from collections.abc import Iterator
from typing import Any

import pytest

from catalog.rules.checks.drift import MOVES_ON, OTHER_MOVES_ON, TOLD_BY, changes

ANSWER = {"grade": "recorded", "sentence": "Washed for 60 min.", "doubts": ["The flow is not recorded."]}
OTHER = {
    "code": "E-0002", "title": "Weir", "process": "salt print", "image": [1, 2], "statement": "5 numbered",
    "state": "open", "estate": False, "disclosure": "", "errata": [], "ended": [],
}  # fmt: skip
FACTS: dict[str, Any] = {
    "artist": {"name": "A. Maker", "life": "[1971–]"},
    "title": "Pond",
    "negative": {
        "code": "N-0001", "made": "2026", "process": "wet collodion", "support": "glass", "state": "kept",
        "state_since": "2026-03",
    },
    "edition": {
        "code": "E-0001", "title": "Pond", "size": 5, "closed_at": None, "proofs": {"AP": 1}, "total": 6,
        "declared": "2026-03", "state": "open", "estate": False, "disclosure": "", "errata": [], "ended": [],
    },
    "other_editions": [OTHER],
    "print": {
        "code": "P-000001", "designation": "1/5", "made": "2026-03-02", "word": "vintage print",
        "process": "salt print", "paper": "warm", "toning": "", "image": [1, 2], "sheet": None,
        "printed_by": "", "supervised_by": "",
        "replaces": "",
    },
    "signed": {"on": "2026-03-03", "by": "the artist", "marks": [{"position": "verso", "medium": "pencil"}]},
    "evidence": {"grade": "recorded", "hypo": ANSWER, "silver": ANSWER},
    "differs": [],
}  # fmt: skip


def leaves() -> Iterator[tuple[str, str]]:
    """Every fact, as the part and its name; the name is "" where the part is a fact itself."""
    for part, value in FACTS.items():
        if isinstance(value, dict) and part != "evidence":
            yield from ((part, name) for name in value)
        elif part not in ("evidence", "other_editions"):
            yield part, ""


def changed(part: str, name: str, value: Any = "otherwise") -> list[tuple[bool, str]]:
    now = copy.deepcopy(FACTS)
    if name:
        now[part][name] = value
    else:
        now[part] = value
    return list(changes(FACTS, now))


@pytest.mark.parametrize(("part", "name"), list(leaves()))
def test_every_fact_is_compared(part: str, name: str) -> None:
    ((moves_on, said),) = changed(part, name)
    assert moves_on == ((part, name) in MOVES_ON) and "“otherwise”" in said


# years of life then and now -> whether these are true of their day still
LIVES = [
    ("[1971–]", "[1971–2031]", True), ("", "[–2031]", True), ("[1971–]", "[1917–]", False),
    ("[1971–]", "[1917–2031]", False), ("[1971–2031]", "[1971–2030]", False), ("[1971–2031]", "[1971–]", False),
    ("", "[1971–]", False), ("[1971–]", "", False), ("", "[1971–2031]", False),
]  # fmt: skip


@pytest.mark.parametrize(("then", "now", "moves_on"), LIVES)
def test_a_death_moves_on_and_a_birth_does_not(then: str, now: str, moves_on: bool) -> None:
    facts = {"artist": {"name": "A. Maker", "life": then}}
    assert [moves for moves, _ in changes(facts, {"artist": {"name": "A. Maker", "life": now}})] == [moves_on]


@pytest.mark.parametrize("name", TOLD_BY)
def test_what_follows_from_another_fact_is_told_once(name: str) -> None:
    part = next(part for part in ("edition", "negative") if name in FACTS[part])
    for other in TOLD_BY[name]:
        now = copy.deepcopy(FACTS)
        now[part] |= {name: "otherwise", other: "otherwise"}
        assert len(list(changes(FACTS, now))) == 1


def test_nothing_changed_and_older_facts() -> None:
    assert not list(changes(FACTS, copy.deepcopy(FACTS)))
    older = copy.deepcopy(FACTS)
    del older["differs"], older["print"]["word"], older["edition"]["ended"], older["other_editions"][0]["errata"]
    assert not list(changes(older, FACTS)), "what was not stated then is not compared"


# grade and doubts now -> whether it moves on of itself
EVIDENCE = [
    ("measured", [], True), ("recorded", [], True), ("recorded", ["Another doubt."], False), ("failed", [], False),
    ("unrecorded", [], False), ("measured", ["Another doubt."], True),
]  # fmt: skip


@pytest.mark.parametrize(("grade", "doubts", "moves_on"), EVIDENCE)
def test_evidence(grade: str, doubts: list[str], moves_on: bool) -> None:
    now = copy.deepcopy(FACTS)
    now["evidence"]["hypo"] = {"grade": grade, "sentence": "Something else.", "doubts": doubts}
    ((found, said),) = changes(FACTS, now)
    assert found is moves_on and said.startswith("hypo left “Washed for 60 min.”, now “Something else.")


@pytest.mark.parametrize("name", [name for name in OTHER if name != "code"])
def test_other_editions(name: str) -> None:
    now = copy.deepcopy(FACTS)
    now["other_editions"][0][name] = "otherwise"
    ((moves_on, said),) = changes(FACTS, now)
    assert moves_on == (name in OTHER_MOVES_ON) and said.startswith("of E-0002: ")
    now["other_editions"] = [OTHER, {**OTHER, "code": "E-0003"}]
    assert list(changes(FACTS, now)) == [(True, "nothing of E-0003, which was declared later")]
    now["other_editions"] = []
    assert [moves for moves, _ in changes(FACTS, now)] == [False]


def test_long_texts_are_told_from_where_they_differ() -> None:
    same = "Spot-tested: a drop of acid silver nitrate on control strip K-0004 showed no stain on "
    then = copy.deepcopy(FACTS) | {"title": same + "4 May 2026, and more is said of it after that day in May"}
    now = copy.deepcopy(FACTS) | {"title": same + "9 June 2027, and more is said of it after that day in June"}
    ((_, said),) = list(changes(then, now))
    assert said.startswith("title “…") and "4 May 2026" in said and "9 June 2027" in said and len(said) < 160
