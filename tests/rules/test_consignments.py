"""Consignments: states, terms and what is owed. Sums: price less commission, worked by hand; rounding half up."""

from collections.abc import Callable
from pathlib import Path

import pytest

from catalog.money import Money
from catalog.records import transfers
from catalog.records.transfers import Giver, Terms
from catalog.records.transfers.commission import per_cent
from catalog.rules.consignments import less, out, owed, retail_price, standing_of, totals
from tests.dealings_sample import Dealings, Party, euro, on

ONE, TWO = Party("Gallery One", "gallery"), Party("Gallery Two", "gallery")
BUYER = Party("B. Buyer")
TERMS = Terms(commission=4000, price=euro(1000), insured=euro(800), condition="fine")

# price in minor units, commission in hundredths of a per cent -> what is owed
SUMS = [
    (Money(100_000, "EUR"), 4000, 60_000), (Money(100_000, "EUR"), None, 100_000), (Money(100_000, "EUR"), 0, 100_000),
    (Money(100_000, "EUR"), 10_000, 0), (Money(99_999, "EUR"), 3350, 66_499), (Money(1, "EUR"), 5000, 0),
    (Money(333, "JPY"), 3333, 222),
]  # fmt: skip


@pytest.mark.parametrize(("price", "commission", "expected"), SUMS)
def test_price_less_commission(price: Money, commission: int | None, expected: int) -> None:
    assert less(price, commission) == Money(expected, price.currency)


def test_a_commission_in_words() -> None:
    assert [per_cent(one) for one in (4000, 3350, 3333, 0, None)] == ["40%", "33.5%", "33.33%", "0%", ""]


@pytest.fixture
def studio(tmp_path: Path) -> Dealings:
    return Dealings(tmp_path / "catalog", made="2018", count=3)


def consign(
    studio: Dealings, date: str, to: Party = ONE, giver: Party | None = None, kind: str = "consignment"
) -> None:
    transfers.hand_out(
        studio.connection, on(date), studio.thing(), kind, studio.party(to), terms=Terms() if giver else TERMS,
        giver=studio.party(giver) if giver else Giver.STUDIO,
    )  # fmt: skip


def sell(studio: Dealings, date: str) -> None:
    transfers.sell(studio.connection, on(date), studio.thing(), studio.party(BUYER), euro(1000))


def pay(studio: Dealings, date: str) -> None:
    transfers.pay(studio.connection, on(date), studio.thing())


def back(studio: Dealings, date: str) -> None:
    transfers.give_back(studio.connection, on(date), studio.thing())


# The states of a consignment: at studio, consigned, on approval, sold, paid out; or returned (common practice).
STEPS: tuple[Callable[[Dealings], None], ...] = (
    lambda s: consign(s, "2020-01"),
    lambda s: consign(s, "2020-02", BUYER, ONE, "approval"),
    lambda s: sell(s, "2020-03"),
    lambda s: pay(s, "2020-04"),
)
STATES = ("at studio", "consigned", "on approval", "sold", "paid out")


def test_the_states_of_a_consignment(studio: Dealings) -> None:
    found = [standing_of([], studio.artist)]
    for step in STEPS:
        step(studio)
        found.append(standing_of(transfers.of_item(studio.connection, studio.thing().id), studio.artist))
    assert tuple(found) == STATES


def test_or_returned(studio: Dealings) -> None:
    consign(studio, "2020-01")
    back(studio, "2020-02")
    assert standing_of(transfers.of_item(studio.connection, studio.thing().id), studio.artist) == "returned"
    assert not list(out(studio.connection)) and not list(owed(studio.connection))


def test_the_terms_of_the_first_stay(studio: Dealings) -> None:
    consign(studio, "2020-01")
    consign(studio, "2020-02", TWO, ONE)
    one = next(out(studio.connection))
    assert (one.name, one.holder, one.state, one.since) == ("Gallery One", "Gallery Two", "consigned", "2020-01")
    assert (one.commission, one.retail, one.insured, one.condition) == (4000, euro(1000), euro(800), "fine")
    assert [found.code for found in out(studio.connection, studio.party(TWO))] == [one.code]
    assert retail_price(studio.connection, one.item) == euro(1000)


def test_what_is_owed_and_by_whom(studio: Dealings) -> None:
    consign(studio, "2020-01")
    consign(studio, "2020-02", TWO, ONE)
    sell(studio, "2020-03")
    transfers.sell(studio.connection, on("2020-05"), studio.thing(2), studio.party(BUYER), euro(900))
    transfers.sell(studio.connection, on("2020-05"), studio.thing(3), studio.party(BUYER), None)
    first, second, third = owed(studio.connection)
    assert (first.name, first.buyer, first.since, first.stays) == ("Gallery One", "B. Buyer", "2020-03", True)
    assert (first.price, first.commission, first.amount) == (euro(1000), 4000, euro(600))
    assert (second.name, second.amount, second.stays) == ("B. Buyer", euro(900), False)
    assert (third.name, third.price, third.amount) == ("B. Buyer", None, None)  # how much nobody recorded
    assert totals([first, second, third]) == [euro(1500)]
    assert [one.code for one in owed(studio.connection, studio.party(ONE))] == [first.code]
    pay(studio, "2020-06")
    assert [one.code for one in owed(studio.connection)] == [second.code, third.code]


def test_a_later_sale_owes_the_studio_nothing(studio: Dealings) -> None:
    sell(studio, "2020-03")
    pay(studio, "2020-03")
    giver, later = studio.party(BUYER), studio.party("C. Collector")
    transfers.sell(studio.connection, on("2022"), studio.thing(), later, euro(5000), giver=giver)
    assert not list(owed(studio.connection))
