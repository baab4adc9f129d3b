"""Any dealings in any order, many told later and many refused: the chain holds, and the database agrees with it."""

import tempfile
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.dates import later_than
from catalog.errors import TirageError
from catalog.records import losses, transfers
from catalog.records.transfers import Giver
from catalog.rules.provenance import as_record
from tests.dealings_sample import Dealings, euro, on
from tests.soaks import rounds

NAMES = ("Gallery One", "Gallery Two", "Ada", "Bea", "A. Example")
DATES = ("2019", "2020-01", "2020-01-15", "2020-02-01", "2020-02-01", "2021/2022", "/2021", "2023-05-06", "c. 2022")
Work = Callable[[Dealings, str, str, str, str], object]


def giver(studio: Dealings, name: str) -> int | Giver:
    return Giver.UNKNOWN if name == "Gallery Two" else Giver.STUDIO if name == "A. Example" else studio.party(name)


def out(kind: str, returned: bool) -> Work:
    def work(studio: Dealings, date: str, later: str, to: str, by: str) -> object:
        return transfers.hand_out(
            studio.connection, on(date), studio.thing(), kind, studio.party(to), giver=giver(studio, by),
            returned=on(later) if returned else None,
        )  # fmt: skip

    return work


WORKS: dict[str, Work] = {
    "sell": lambda s, date, later, to, by: transfers.sell(
        s.connection, on(date), s.thing(), s.party(to), euro(900), giver=giver(s, by)
    ),
    "give": lambda s, date, later, to, by: transfers.give(
        s.connection, on(date), s.thing(), s.party(to), "gift", giver=giver(s, by)
    ),
    "pay": lambda s, date, later, to, by: transfers.pay(s.connection, on(date), s.thing()),
    "consign": out("consignment", False),
    "approve": out("approval", False),
    "lend": out("loan", False),
    "lend and back": out("loan", True),
    "show and back": out("exhibition", True),
    "return": lambda s, date, later, to, by: transfers.give_back(s.connection, on(date), s.thing()),
    "return to": lambda s, date, later, to, by: transfers.give_back(s.connection, on(date), s.thing(), s.party(to)),
    "keep": lambda s, date, later, to, by: transfers.keep(s.connection, on(date), s.thing(), s.party(to)),
    "lose": lambda s, date, later, to, by: losses.lose(s.connection, on(date), s.thing()),
    "lose and find": lambda s, date, later, to, by: losses.lose(s.connection, on(date), s.thing(), found=on(later)),
    "find": lambda s, date, later, to, by: losses.find_again(s.connection, on(date), s.thing()),
    "destroy": lambda s, date, later, to, by: transfers.destroy(s.connection, on(date), s.thing()),
}
WEIGHTED = [name for name in WORKS for _ in range(1 if name == "destroy" else 4)]
COMMAND = st.tuples(
    st.sampled_from(WEIGHTED), st.sampled_from(DATES), st.sampled_from(DATES), st.sampled_from(NAMES),
    st.sampled_from(NAMES),
)  # fmt: skip


def attempt(studio: Dealings, command: tuple[str, str, str, str, str]) -> None:
    """One command: all of it, or nothing. Only a refusal in a sentence is expected, never the database's own."""
    name, *rest = command
    before = transfers.of_item(studio.connection, studio.thing().id)
    end = transfers.standing(studio.connection, studio.thing().id)
    studio.connection.execute("SAVEPOINT command")
    try:
        WORKS[name](studio, *rest)
    except TirageError as refusal:
        studio.connection.execute("ROLLBACK TO command")
        assert refusal.sentence.endswith((".", "NAME", "PLACE")), refusal.sentence
    studio.connection.execute("RELEASE command")
    chain = transfers.of_item(studio.connection, studio.thing().id)
    state = transfers.state_after(chain, studio.artist)
    now = transfers.standing(studio.connection, studio.thing().id)
    assert (now.owner, now.custodian) == (state.owner, state.custodian)
    word = {"": "living", "lost": "lost", "destroyed": "destroyed"}[state.gone]
    assert studio.connection.execute("SELECT state FROM print").fetchone()[0] == word
    assert not any(later_than(one.moment, other.moment) for one, other in combinations(chain, 2))
    assert [one for one in chain if one in before] == before  # nothing that stood changes or moves
    new = [one for one in chain if one not in before]
    if new and all(one.inserted is not None for one in new):
        assert now == end
    assert as_record(studio.connection, studio.thing().id, private=True)["text"].endswith(".")


def play(commands: list[tuple[str, str, str, str, str]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        studio = Dealings(Path(folder) / "catalog", made="2018", count=1)
        for name in NAMES[:-1]:
            studio.party(name)
        for command in commands:
            attempt(studio, command)
        studio.connection.close()


CALM = {"deadline": None, "suppress_health_check": list(HealthCheck)}


@settings(max_examples=20, **CALM)  # type: ignore[arg-type]
@given(st.lists(COMMAND, min_size=8, max_size=20))
def test_any_dealings(commands: list[tuple[str, str, str, str, str]]) -> None:
    play(commands)


@pytest.mark.soak
@settings(max_examples=rounds(400, 40), **CALM)  # type: ignore[arg-type]
@given(st.lists(COMMAND, min_size=10, max_size=40))
def test_any_dealings_for_long(commands: list[tuple[str, str, str, str, str]]) -> None:
    play(commands)
