"""Corrections of a sale or a handing out: what was said of it, its date, and what never changes."""

from pathlib import Path

import pytest

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import corrections, dealing_corrections, transfers
from catalog.records.transfers import Said, Terms
from tests.dealings_sample import Dealings, Party, euro, on

GALLERY = Party("Gallery One", "gallery")


@pytest.fixture
def dealings(tmp_path: Path) -> Dealings:
    """Two prints: the first consigned, moved on, sold and paid; the second sold."""
    made = Dealings(tmp_path / "catalog", made="2018-01-01")
    terms = Terms(parse_date("2023"), 4000, euro(1000), euro(800), "fine")
    one, two, buyer = made.thing(1), made.thing(2), made.party("B. Buyer")
    gallery = made.party(GALLERY)
    transfers.hand_out(made.connection, on("2020-03"), one, "consignment", gallery, terms=terms)
    moved = made.party("Gallery Two")
    transfers.hand_out(made.connection, on("2020-06"), one, "consignment", moved, giver=gallery)
    transfers.sell(made.connection, on("2021-05"), one, buyer, euro(900), said=Said("G-17", place="Lyon"))
    transfers.pay(made.connection, on("2021-08"), one)
    transfers.sell(made.connection, on("2021-05"), two, buyer, None)
    return made


# of which print, what is typed -> the field in words, what it was and is now
CORRECTED = {
    (1, "price", "450EUR"): ("price of the sale", "EUR 900.00", "EUR 450.00"),
    (1, "price", ""): ("price of the sale", "EUR 900.00", ""),
    (1, "consignment-price", "950EUR"): ("price of the consignment", "EUR 1,000.00", "EUR 950.00"),
    (1, "commission", "33.5%"): ("commission of the consignment", "40%", "33.5%"),
    (1, "until", "2024-03"): ("until of the consignment", "2023", "March 2024"),
    (1, "insured", ""): ("insured of the consignment", "EUR 800.00", ""),
    (1, "condition", "as new"): ("condition of the consignment", "fine", "as new"),
    (1, "their-number", "G-18"): ("their-number of the sale", "G-17", "G-18"),
    (1, "in", "Paris"): ("in of the sale", "Lyon", "Paris"),
    (1, "occasion", "the fair"): ("occasion of the sale", "", "the fair"),
    (1, "remark", "by letter"): ("remark of the sale", "", "by letter"),
    (1, "sale-note", "cash"): ("note of the sale", "", "cash"),
    (1, "sale-date", "2021-06-01"): ("date of the sale", "May 2021", "1 June 2021"),
    (1, "date", "2021-09"): ("date of the payment", "August 2021", "September 2021"),
    (2, "price", "450EUR"): ("price of the sale", "", "EUR 450.00"),
}


@pytest.mark.parametrize(("number", "field", "text"), CORRECTED)
def test_set_right_and_told(dealings: Dealings, number: int, field: str, text: str) -> None:
    thing = dealings.thing(number)
    before = transfers.of_item(dealings.connection, thing.id)
    done = dealing_corrections.correct(dealings.connection, on("2026"), thing, field, text, "typing")
    assert (done.field, done.before, done.after) == CORRECTED[number, field, text]
    last = corrections.of(dealings.connection, thing.id)[-1]
    assert (last.field, last.before, last.after, last.why) == (*CORRECTED[number, field, text], "typing")
    after = transfers.of_item(dealings.connection, thing.id)
    assert sum(one != other for one, other in zip(before, after, strict=True)) == 1


# of which print, what is typed -> words of the refusal
REFUSED = {
    (2, "commission", "40"): "no consignment or sending on approval of it is recorded",
    (3, "date", "2020"): "no change of hands of it is recorded",
    (2, "sale-until", "2030"): "one of price, date, their-number, in",
    (2, "price", ""): "already",
    (2, "price", "cheap"): "cheap",
    (1, "commission", "101"): "from 0 to 100",
    (1, "until", "2019"): "before it began",
    (1, "sale-date", "2020-01"): "follows the consignment of June 2020 by Gallery One to Gallery Two",
    (1, "sale-date", "2021-09"): "comes before the payment of August 2021",
    (1, "consignment-date", "2017"): "comes before|follows|was made",
    (2, "date", "2017"): "was made 1 January 2018",
    (2, "date", "2030"): "has not come yet",
}


@pytest.mark.parametrize(("number", "field", "text"), REFUSED)
def test_refused_with_a_reason(dealings: Dealings, number: int, field: str, text: str) -> None:
    thing = dealings.thing(number)
    before = transfers.of_item(dealings.connection, thing.id)
    with pytest.raises(TirageError, match=REFUSED[number, field, text]):
        dealing_corrections.correct(dealings.connection, on("2026"), thing, field, text, "typing")
    assert transfers.of_item(dealings.connection, thing.id) == before
    with pytest.raises(TirageError, match="--why"):
        dealing_corrections.correct(dealings.connection, on("2026"), thing, field, text, " ")


def test_a_note_alone_is_that_of_the_print(dealings: Dealings) -> None:
    done = dealing_corrections.correct(dealings.connection, on("2026"), dealings.thing(), "note", "creased", "seen")
    assert done.field == "note"
    row = dealings.connection.execute("SELECT note FROM print WHERE id = ?", (dealings.thing().id,)).fetchone()
    assert row[0] == "creased"
