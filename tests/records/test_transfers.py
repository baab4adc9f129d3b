"""Changes of hands as they are entered: in turn, told later, out and back in one, refused with what they contradict."""

import sqlite3
from pathlib import Path

import pytest

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import deaths, losses, negatives, parties, places, transfers
from catalog.records.transfers import Giver, Terms
from catalog.rules.consignments import owed
from tests.dealings_sample import Dealings, Party, euro, on

ONE, TWO = Party("Gallery One", "gallery"), Party("Gallery Two", "gallery")


@pytest.fixture
def dealings(tmp_path: Path) -> Dealings:
    return Dealings(tmp_path / "catalog", made="2018-01-01")


def told(dealings: Dealings) -> list[tuple[str, str]]:
    return [(one.kind, one.happened) for one in transfers.of_item(dealings.connection, dealings.thing().id)]


def sold_in_2022(dealings: Dealings) -> None:
    buyer = dealings.party("B. Buyer")
    transfers.sell(dealings.connection, on("2022-01-01"), dealings.thing(), buyer, euro(900))


def lend(dealings: Dealings, date: str, returned: str = "", to: str = "Museum") -> transfers.Transfer:
    back = on(returned) if returned else None
    return transfers.hand_out(
        dealings.connection, on(date), dealings.thing(), "loan", dealings.party(to), returned=back
    )


def test_a_loan_told_later_goes_to_its_place(dealings: Dealings) -> None:
    sold_in_2022(dealings)
    before = transfers.standing(dealings.connection, dealings.thing().id)
    lend(dealings, "2020-03", "2020-09")
    lend(dealings, "2019", "2020-01")
    lend(dealings, "2021-03-01", "2021-03-02")
    assert [when for _, when in told(dealings)] == [
        "2019", "2020-01", "2020-03", "2020-09", "2021-03-01", "2021-03-02", "2022-01-01",
    ]  # fmt: skip
    assert transfers.standing(dealings.connection, dealings.thing().id) == before


def test_a_loan_of_the_past_and_the_present_is_entered_in_turn(dealings: Dealings) -> None:
    lend(dealings, "2020-03", "2020-09")
    assert told(dealings) == [("loan", "2020-03"), ("return", "2020-09")]
    assert all(one.inserted is None for one in transfers.of_item(dealings.connection, dealings.thing().id))


# date and return of a loan -> words of the refusal; the record holds a loan of March to September 2020, sold in 2022
REFUSED = {
    "within another loan": ("2020-05", "2020-06", ("the loan of March 2020 by A. Example to Museum", "Museum has it")),
    "never back before the sale": ("2021-05", "", ("the sale of 1 January 2022 by A. Example to B. Buyer",)),
    "back after the sale": ("2021-05", "2022-06", ("sale of 1 January 2022",)),
    "before it was made": ("2017-05", "2017-06", ("made", "2018")),
    "after the sale": ("2023", "", ("belongs to B. Buyer",)),
}


@pytest.mark.parametrize("name", REFUSED)
def test_a_back_dated_entry_is_refused_with_what_it_contradicts(dealings: Dealings, name: str) -> None:
    date, returned, words = REFUSED[name]
    lend(dealings, "2020-03", "2020-09")
    sold_in_2022(dealings)
    before = told(dealings)
    with pytest.raises(TirageError) as refusal:
        lend(dealings, date, returned, "Another Museum")
    assert all(word in refusal.value.sentence for word in words), refusal.value.sentence
    assert told(dealings) == before


def test_a_reason_is_whole_though_a_name_holds_a_full_stop(dealings: Dealings) -> None:
    buyer = dealings.party("A. B. Buyer")
    transfers.sell(dealings.connection, on("2020-01-01"), dealings.thing(), buyer, euro(900))
    transfers.sell(dealings.connection, on("2024"), dealings.thing(), dealings.party("C."), None, giver=buyer)
    with pytest.raises(TirageError, match=r"at that point it belongs to A\. B\. Buyer\. Give the right date"):
        lend(dealings, "2021", "2022")


def test_only_a_certainly_impossible_order_is_refused(dealings: Dealings) -> None:
    sold_in_2022(dealings)
    lend(dealings, "2021/2022", "2022")  # may have been over before the first of January 2022
    assert told(dealings)[-1] == ("sale", "2022-01-01")


def test_of_one_day_the_order_of_entry_decides(dealings: Dealings) -> None:
    transfers.destroy(dealings.connection, on("2022-01-01"), dealings.thing())
    with pytest.raises(TirageError, match="destroyed"):
        lend(dealings, "2022-01-01")


def test_no_room_is_one_sentence(dealings: Dealings) -> None:
    sold_in_2022(dealings)
    with pytest.raises(transfers.NoRoomError, match="no room left just before the sale of 1 January 2022"):
        for day in range(1, 29):
            lend(dealings, f"2021-02-{day:02d}", f"2021-02-{day:02d}")


def test_consigned_moved_on_and_brought_back(dealings: Dealings) -> None:
    first, second = dealings.party(ONE), dealings.party(TWO)
    thing, connection = dealings.thing(), dealings.connection
    terms = Terms(commission=4000, price=euro(1000), insured=euro(800), condition="fine")
    made = transfers.hand_out(connection, on("2020-01"), thing, "consignment", first, terms=terms)
    assert (made.insured_money, made.condition, made.commission) == (euro(800), "fine", 4000)
    with pytest.raises(TirageError, match="Gallery One has it"):
        transfers.hand_out(connection, on("2020-02"), thing, "consignment", second)
    with pytest.raises(TirageError, match="the terms stay"):
        transfers.hand_out(connection, on("2020-02"), thing, "consignment", second, giver=first, commission=1)
    transfers.hand_out(connection, on("2020-02"), thing, "consignment", second, giver=first)
    with pytest.raises(TirageError, match="Nobody Else did not have it"):
        transfers.give_back(connection, on("2020-03"), thing, dealings.party("Nobody Else"))
    back = transfers.give_back(connection, on("2020-03"), thing, first)
    assert back.settles == transfers.of_item(connection, thing.id)[1].id
    home = transfers.give_back(connection, on("2020-04"), thing)
    assert home.settles == made.id and home.to_party == dealings.artist


def test_a_later_sale_and_the_gap_before_it(dealings: Dealings) -> None:
    sold_in_2022(dealings)
    thing, connection, buyer = dealings.thing(), dealings.connection, dealings.party("B. Buyer")
    later, last = dealings.party("C. Collector"), dealings.party("D. Dealer")
    with pytest.raises(TirageError, match="--from “B. Buyer”"):
        transfers.sell(connection, on("2024"), thing, later, None)
    transfers.sell(connection, on("2024"), thing, later, None, giver=buyer)
    with pytest.raises(TirageError, match="belongs to C. Collector, not to B. Buyer"):
        transfers.sell(connection, on("2025"), thing, last, None, giver=buyer)
    transfers.give(connection, on("2025"), thing, last, "bequest", giver=Giver.UNKNOWN)
    transfers.sell(connection, on("2026-02-03"), thing, buyer, None, giver=dealings.party("E. Else"))
    chain = transfers.of_item(connection, thing.id)
    assert [(one.kind, one.happened, one.from_party is None) for one in chain][2:] == [
        ("bequest", "2025", True), ("kept", "/2026-02-03", True), ("sale", "2026-02-03", False),
    ]  # fmt: skip
    assert transfers.standing(connection, thing.id).owner_name == "B. Buyer"


def test_what_never_left_the_artist_has_no_gap(dealings: Dealings) -> None:
    later = dealings.party("C. Collector")
    for giver, words in ((Giver.UNKNOWN, "belongs to the artist"), (dealings.party("B. Buyer"), "left the studio")):
        with pytest.raises(TirageError, match=words):
            transfers.sell(dealings.connection, on("2024"), dealings.thing(), later, None, giver=giver)


def test_a_later_owner_lends_to_the_studio_and_sells_back(dealings: Dealings) -> None:
    sold_in_2022(dealings)
    thing, connection, buyer = dealings.thing(), dealings.connection, dealings.party("B. Buyer")
    transfers.hand_out(connection, on("2023-01"), thing, "loan", dealings.artist, giver=buyer)
    places.move(connection, on("2023-02"), [thing], places.add(connection, "studio")[0])
    with pytest.raises(TirageError, match="belongs to B. Buyer"):
        transfers.hand_out(connection, on("2023-03"), thing, "loan", dealings.party("Museum"))
    assert transfers.give_back(connection, on("2023-04"), thing).to_party == buyer
    transfers.sell(connection, on("2024"), thing, dealings.artist, euro(1500), giver=buyer)
    assert transfers.sell(connection, on("2025"), thing, dealings.party("Z. Last"), None).title


def test_lost_and_found(dealings: Dealings) -> None:
    thing, connection = dealings.thing(), dealings.connection
    losses.lose(connection, on("2020-01"), thing, stolen=True)
    now = transfers.standing(connection, thing.id)
    assert (now.owner, now.custodian) == (dealings.artist, None)
    with pytest.raises(TirageError, match="tirage found P-000001"):
        lend(dealings, "2020-02")
    losses.find_again(connection, on("2021"), thing)
    assert transfers.standing(connection, thing.id).custodian == dealings.artist
    with pytest.raises(TirageError, match="not lost"):
        losses.find_again(connection, on("2021"), thing)


def test_a_loss_and_a_finding_told_later(dealings: Dealings) -> None:
    sold_in_2022(dealings)
    losses.lose(dealings.connection, on("2019-01"), dealings.thing(), found=on("2019-03"))
    assert told(dealings) == [("loss", "2019-01"), ("finding", "2019-03"), ("sale", "2022-01-01")]
    assert {row[0] for row in dealings.connection.execute("SELECT state FROM print")} == {"living"}


def test_a_plate_that_is_found_is_as_it_was(dealings: Dealings) -> None:
    connection, plate = dealings.connection, dealings.plate
    negatives.enter_state(connection, on("2019"), plate, "retired")
    losses.lose(connection, on("2020"), plate)
    assert negatives.read(connection, plate.id).state == "lost"
    losses.find_again(connection, on("2021"), plate)
    assert negatives.read(connection, plate.id).state == "retired"
    negatives.enter_state(connection, on("2022"), plate, "lost")  # entered as a state alone
    losses.find_again(connection, on("2023"), plate)
    assert negatives.read(connection, plate.id).state == "retired"
    negatives.enter_state(connection, on("2024"), plate, "destroyed")
    with pytest.raises(TirageError, match="destroyed"):
        losses.lose(connection, on("2025"), plate)


def test_what_came_back_before_it_was_put_away_is_still_there(dealings: Dealings) -> None:
    drawer = places.add(dealings.connection, "drawer")[0]
    places.move(dealings.connection, on("2024-01-01"), [dealings.thing()], drawer)
    lend(dealings, "2020", "2021")
    assert transfers.standing(dealings.connection, dealings.thing().id).place == drawer.id


INSERT = """INSERT INTO transfer (item, sequence, kind, from_party, to_party, title, custody, happened, earliest,
    latest, by) VALUES ({item}, 1, '{kind}', {giver}, {taker}, {title}, {custody}, '2026', '', '', 'x')"""
# what plain SQL must not do either
FORBIDDEN = {
    "a loan that moves title": ("loan", "1", "1", 1, 1),
    "a loss that moves title": ("loss", "1", "NULL", 1, 1),
    "a keeping that moves title from the artist": ("kept", "NULL", "2", 1, 1),
    "a keeping by another": ("kept", "2", "2", 0, 0),
    "a sale by nobody out of the studio": ("sale", "NULL", "2", 1, 1),
}


@pytest.mark.parametrize("name", FORBIDDEN)
def test_plain_sql_cannot(dealings: Dealings, name: str) -> None:
    kind, giver, taker, title, custody = FORBIDDEN[name]
    dealings.party("B. Buyer")
    sql = INSERT.format(item=dealings.thing().id, kind=kind, giver=giver, taker=taker, title=title, custody=custody)
    with pytest.raises(sqlite3.IntegrityError, match="transfer:"):
        dealings.connection.execute(sql)


def test_a_sale_that_is_not_completed(dealings: Dealings) -> None:
    sold_in_2022(dealings)
    artist, buyer = dealings.artist, dealings.party("B. Buyer")
    back = transfers.give_back(dealings.connection, on("2022-03"), dealings.thing())
    assert (back.kind, back.title, back.from_party, back.to_party) == ("return", 1, buyer, artist)
    standing = transfers.standing(dealings.connection, dealings.thing().id)
    assert (standing.owner, standing.custodian) == (artist, artist)
    assert list(owed(dealings.connection)) == []
    sold_again = transfers.sell(dealings.connection, on("2023"), dealings.thing(), buyer, euro(900))
    assert sold_again.title == 1
    transfers.pay(dealings.connection, on("2023-02"), dealings.thing())
    with pytest.raises(TirageError, match="nothing is out to come back"):
        transfers.give_back(dealings.connection, on("2023-03"), dealings.thing())
    transfers.sell(dealings.connection, on("2024"), dealings.thing(), artist, euro(900), giver=buyer)
    assert transfers.standing(dealings.connection, back.item).owner == artist


def test_who_kept_a_thing_is_put_in_order(dealings: Dealings) -> None:
    buyer, later = dealings.party("B. Buyer"), dealings.party("C. Later")
    connection, thing = dealings.connection, dealings.thing()
    transfers.sell(connection, on("2019"), thing, buyer, None)
    transfers.sell(connection, on("by 2024"), thing, later, None, giver=Giver.UNKNOWN)
    assert transfers.keep(connection, on("2020"), thing, buyer).title == 0, "confirmed, no gap"
    between = transfers.keep(connection, on("2022"), thing, dealings.party("K. Between"))
    assert between.title == 1 and between.inserted is not None
    assert [when for _, when in told(dealings)] == ["2019", "2020", "2022", "[..2024]"]
    assert transfers.standing(connection, thing.id).owner == later


def test_who_kept_a_thing_before_it_came_to_them_is_told_so(dealings: Dealings) -> None:
    buyer, later = dealings.party("B. Buyer"), dealings.party("C. Later")
    transfers.sell(dealings.connection, on("2019"), dealings.thing(), buyer, None)
    transfers.sell(dealings.connection, on("c. 2025"), dealings.thing(), later, None, giver=buyer)
    with pytest.raises(TirageError, match="came to C. Later by the sale of c. 2025 by B. Buyer .*sale-date=DATE"):
        transfers.keep(dealings.connection, on("by 2024"), dealings.thing(), later)


def test_a_bequest_needs_a_death(dealings: Dealings) -> None:
    heir, connection = dealings.party("Y. Heir"), dealings.connection
    artist = parties.read(connection, dealings.artist)
    with pytest.raises(TirageError, match="no death of A. Example is recorded. First: tirage party died"):
        transfers.give(connection, on("2021"), dealings.thing(), heir, "bequest")
    deaths.record(connection, on("2026"), artist, parse_date("2022-05"))
    with pytest.raises(TirageError, match="died May 2022, after 2021"):
        transfers.give(connection, on("2021"), dealings.thing(), heir, "bequest")
    assert transfers.give(connection, on("2022-06"), dealings.thing(), heir, "bequest").title == 1
    assert "no death of Y. Heir" in transfers.living_then(connection, heir, on("2030").moment)


def test_a_sale_before_it_was_theirs_names_what_brought_it(dealings: Dealings) -> None:
    father, daughter = dealings.party("W. Father"), dealings.party("Y. Daughter")
    transfers.sell(dealings.connection, on("2018-05"), dealings.thing(), father, None)
    transfers.give(dealings.connection, on("2021"), dealings.thing(), daughter, "bequest", giver=father)
    with pytest.raises(TirageError) as refused:
        transfers.sell(dealings.connection, on("2020"), dealings.thing(), dealings.party("Z"), None, giver=daughter)
    assert (
        "a sale by Y. Daughter dated 2020 contradicts the bequest of 2021 by W. Father to Y. Daughter; at that point "
        "it belongs to W. Father." in refused.value.sentence
    )
