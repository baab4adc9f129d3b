"""Corrections of a sale or a handing out: what was said of it, its date, and what never changes."""

import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import corrections, dealing_corrections, deaths, designations, parties, transfers
from catalog.records.transfers import Said, Terms
from catalog.rules.checks.deaths import bequest_before_death
from catalog.rules.checks.findings import Finding, Subject
from catalog.rules.checks.numbers import replaced_before_destroyed
from tests.dealings_sample import Dealings, Party, euro, on

REDATE = "UPDATE transfer SET happened = '{0}', earliest = '{0}-01-01', latest = '{0}-12-31'"
GALLERY = Party("Gallery One", "gallery")


@pytest.fixture
def dealings(tmp_path: Path) -> Dealings:
    """Prints: the first consigned, moved on, sold and paid; the second sold."""
    made = Dealings(tmp_path / "catalog", made="2018-01-01", count=5)
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
    (1, "sale-in", "Paris"): ("in of the sale", "Lyon", "Paris"),
    (1, "occasion", "the fair"): ("occasion of the sale", "", "the fair"),
    (1, "remark", "by letter"): ("remark of the sale", "", "by letter"),
    (1, "sale-note", "cash"): ("note of the sale", "", "cash"),
    (1, "sale-date", "2021-06-01"): ("date of the sale", "May 2021", "1 June 2021"),
    (1, "payment-date", "2021-09"): ("date of the payment", "August 2021", "September 2021"),
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
    (3, "remark", "by letter"): "no change of hands of it is recorded",
    (2, "sale-until", "2030"): "one of price, date, their-number, in",
    (2, "price", ""): "already",
    (2, "price", "cheap"): "cheap",
    (1, "commission", "101"): "from 0 to 100",
    (1, "until", "2019"): "before it began",
    (1, "sale-date", "2020-01"): "follows the consignment of June 2020 by Gallery One to Gallery Two",
    (1, "sale-date", "2021-09"): "comes before the payment of August 2021",
    (1, "consignment-date", "2017"): "comes before|follows|was made",
    (2, "sale-date", "2017"): "was made 1 January 2018",
    (2, "sale-date", "2030"): "has not come yet",
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


# a field typed without its kind -> words of the refusal
BARE = {
    "date": "not one field of P-000002; expected made= for the date of the print, or the kind .*sale-date=",
    "in": "expected the kind of the change of hands before it, such as sale-in=",
}


@pytest.mark.parametrize("field", BARE)
def test_a_bare_date_or_place_is_of_nothing(dealings: Dealings, field: str) -> None:
    with pytest.raises(TirageError, match=BARE[field]):
        corrected(dealings, 2, field, "2020")


def corrected(made: Dealings, number: int, field: str, text: str) -> None:
    dealing_corrections.correct(made.connection, on("2026"), made.thing(number), field, text, "slip")


def found(made: Dealings, look: Callable[[Subject], Iterator[Finding]]) -> list[Finding]:
    return list(look(Subject(made.connection, Path("."), None)))  # type: ignore[arg-type]


def test_a_destruction_stays_before_its_replacement(dealings: Dealings) -> None:
    connection, old, new = dealings.connection, dealings.thing(3), dealings.thing(4)
    designations.sign(connection, on("2019-05"), old)
    with pytest.raises(TirageError, match="was signed May 2019"):
        transfers.destroy(connection, on("2018-05"), old)
    transfers.destroy(connection, on("2020-06"), old)
    designations.replace(connection, on("2020-07"), old, new)
    with pytest.raises(TirageError, match="P-000004 bears its number since July 2020"):
        corrected(dealings, 3, "destruction-date", "2021")
    with pytest.raises(TirageError, match="was signed May 2019"):
        corrected(dealings, 3, "destruction-date", "2018")
    corrected(dealings, 3, "destruction-date", "2020-07")
    assert not found(dealings, replaced_before_destroyed)
    late = f"{REDATE.format(2021)} WHERE kind = 'destruction'"
    allow(connection, old.id, "date of the destruction")
    with pytest.raises(sqlite3.IntegrityError, match="before another one bears its number"):
        connection.execute(late)
    connection.execute("DROP TRIGGER transfer_destroyed_again")
    connection.execute(late)
    (finding,) = found(dealings, replaced_before_destroyed)
    assert (
        finding.severity == "error" and "P-000004 was signed July 2020 with the number of P-000003" in finding.sentence
    )


def test_a_bequest_stays_after_its_death(dealings: Dealings) -> None:
    connection = dealings.connection
    buyer, heir = parties.named(connection, "B. Buyer"), dealings.party("Heir")
    deaths.record(connection, on("2026"), buyer, parse_date("2022"))
    with pytest.raises(TirageError, match="B. Buyer died 2022, after 2021-06|B. Buyer died 2022, after June 2021"):
        transfers.give(connection, on("2021-06"), dealings.thing(2), heir, "bequest", giver=buyer.id)
    transfers.give(connection, on("2023"), dealings.thing(2), heir, "bequest", giver=buyer.id)
    with pytest.raises(TirageError, match="B. Buyer died 2022, after June 2021"):
        corrected(dealings, 2, "bequest-date", "2021-06")
    buyer = parties.named(connection, "B. Buyer")
    with pytest.raises(deaths.AliveThenError, match="P-000002 was left by will 2023.*bequest-date=DATE"):
        deaths.record(connection, on("2026"), buyer, parse_date("2024"), "slip")
    deaths.record(connection, on("2026"), buyer, parse_date("2023"), "slip")
    assert not found(dealings, bequest_before_death)
    connection.execute("UPDATE party SET died = '2024', died_latest = '2024-12-31' WHERE name = 'B. Buyer'")
    (finding,) = found(dealings, bequest_before_death)
    assert (
        finding.severity == "error"
        and "P-000002 was left by will 2023, before B. Buyer died (2024)" in finding.sentence
    )
    allow(connection, dealings.thing(2).id, "date of the bequest")
    with pytest.raises(sqlite3.IntegrityError, match="a bequest follows a death"):
        connection.execute(f"{REDATE.format(2022)} WHERE kind = 'bequest'")


def allow(connection: sqlite3.Connection, item: int, field: str) -> None:
    """A correction by plain SQL, as it must stand before a change of hands is altered."""
    connection.execute(corrections.ADD, (item, field, "a", "b", "slip", "x", "2026-01-01"))


# what a correction is of -> what it does not open
CLOSED = {
    "date of the sale": "price = 1",
    "price of the sale": "remark = 'x'",
    "price of the payment": "price = 1",
    "price": "price = 1",
    "note of the sale": "until = '2030'",
}


@pytest.mark.parametrize("field", CLOSED)
def test_a_correction_opens_its_own_field_alone(dealings: Dealings, field: str) -> None:
    item = dealings.thing(2).id
    allow(dealings.connection, item, field)
    with pytest.raises(sqlite3.IntegrityError, match="by a recorded correction only"):
        dealings.connection.execute(f"UPDATE transfer SET {CLOSED[field]} WHERE item = ?", (item,))
    allow(dealings.connection, item, "price of the sale")
    dealings.connection.execute("UPDATE transfer SET price = 1, currency = 'EUR' WHERE item = ?", (item,))


def test_plain_sql_sells_nothing_unmade_nor_to_its_seller(dealings: Dealings) -> None:
    connection, thing = dealings.connection, dealings.thing(5)
    sale = """INSERT INTO transfer (item, sequence, kind, from_party, to_party, title, custody, happened,
        earliest, latest, by) VALUES (?, 1, 'sale', ?, ?, 1, 1, ?, ?, ?, 'x')"""
    buyer = dealings.party("B. Buyer")
    with pytest.raises(sqlite3.IntegrityError, match="before it was made"):
        connection.execute(sale, (thing.id, dealings.artist, buyer, *["2017-01-01"] * 3))
    with pytest.raises(sqlite3.IntegrityError, match="to themselves"):
        connection.execute(sale, (thing.id, dealings.artist, dealings.artist, *["2019-01-01"] * 3))
    connection.execute(sale, (thing.id, dealings.artist, buyer, *["2019-01-01"] * 3))
    allow(connection, thing.id, "date of the sale")
    with pytest.raises(sqlite3.IntegrityError, match="before it was made"):
        connection.execute(
            "UPDATE transfer SET happened = '2017', earliest = '2017-01-01', latest = '2017-12-31' WHERE item = ?",
            (thing.id,),
        )
