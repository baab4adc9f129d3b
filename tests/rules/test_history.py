"""History: changes of hands in the order of their chain, the rest around them."""

from pathlib import Path

from catalog.records import losses, negatives, places, transfers
from catalog.rules.history import history
from tests.dealings_sample import Dealings, on


def test_roughly_dated_changes_keep_the_order_of_their_chain(tmp_path: Path) -> None:
    studio = Dealings(tmp_path / "catalog", made="1990")
    thing, connection = studio.thing(), studio.connection
    museum, buyer, later = (studio.party(name) for name in ("Museum", "B. Buyer", "C. Collector"))
    place, _ = places.add(connection, "studio/shelf", "", "")
    transfers.hand_out(connection, on("1998-05-04"), thing, "loan", museum)
    transfers.give_back(connection, on("1998"), thing)
    places.move(connection, on("1998-09"), [thing], place)
    transfers.sell(connection, on("199X"), thing, buyer, None)
    losses.lose(connection, on("1999"), thing)
    losses.find_again(connection, on("before 2001"), thing)
    transfers.sell(connection, on("between 1997 and 2003"), thing, later, None, giver=buyer)
    told = [line.sentence for line in history(connection, thing.id)]
    expected = ["printed", "lent", "came back", "sold by A.", "moved", "lost", "found again", "sold by B. Buyer"]
    assert len(told) == len(expected) and told[-1].startswith("sold by B. Buyer"), "though it may have been in 1997"
    chain = [
        next(at for at, line in enumerate(told) if line.startswith(words)) for words in expected if words != "moved"
    ]
    assert chain == sorted(chain)


def test_a_century_after_a_rough_year_keeps_its_place(tmp_path: Path) -> None:
    studio = Dealings(tmp_path / "catalog", made="1990")
    buyer, later = studio.party("B. Buyer"), studio.party("C. Collector")
    transfers.sell(studio.connection, on("c. 2018"), studio.thing(), buyer, None)
    transfers.sell(studio.connection, on("20XX"), studio.thing(), later, None, giver=buyer)
    assert [line.when for line in history(studio.connection, studio.thing().id)][-2:] == ["c. 2018", "2000–2099"]


def test_a_destroyed_plate_is_told_once(tmp_path: Path) -> None:
    studio = Dealings(tmp_path / "catalog", made="1990")
    negatives.enter_state(studio.connection, on("1999-05-04"), studio.plate, "destroyed")
    told = [line.sentence for line in history(studio.connection, studio.plate.id)]
    assert told.count("destroyed") == 1
