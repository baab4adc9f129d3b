"""Whom a certificate is issued to: the owner of record, and never somebody whose sale came to nothing."""

from collections.abc import Callable
from pathlib import Path

import pytest

from catalog.records import transfers
from catalog.records.transfers import NONE_SAID, Giver, Said
from catalog.rules.owner_facts import NOT_PASSED, owner_facts
from tests.dealings_sample import Dealings, Party, euro, on

GALLERY = Party("Gallery", "gallery")
Deed = Callable[[Dealings], object]


def consign(date: str) -> Deed:
    return lambda s: transfers.hand_out(s.connection, on(date), s.thing(), "consignment", s.party(GALLERY))


def sell(date: str, to: str, giver: str = "", said: Said = NONE_SAID) -> Deed:
    return lambda s: transfers.sell(
        s.connection, on(date), s.thing(), s.party(to), euro(900), said=said,
        giver=Giver.UNKNOWN if giver == "unknown" else s.party(giver) if giver else Giver.STUDIO,
    )  # fmt: skip


def pay(date: str) -> Deed:
    return lambda s: transfers.pay(s.connection, on(date), s.thing())


def back(date: str) -> Deed:
    return lambda s: transfers.give_back(s.connection, on(date), s.thing())


def keep(date: str, who: str) -> Deed:
    return lambda s: transfers.keep(s.connection, on(date), s.thing(), s.party(who))


# name -> what happened, and then buyer, seller, kind and standing
TABLE: dict[str, tuple[tuple[Deed, ...], tuple[str, str, str, str]]] = {
    "nothing yet": ((), ("", "", "", "")),
    "sold from the studio": ((sell("2020", "B. Buyer"),), ("B. Buyer", "A. Example", "sale", "")),
    "consigned, sold, not paid": (
        (consign("2020"), sell("2021", "B. Buyer")), ("B. Buyer", "A. Example", "sale", NOT_PASSED),
    ),
    "consigned, sold, paid": (
        (consign("2020"), sell("2021", "B. Buyer"), pay("2022")), ("B. Buyer", "A. Example", "sale", ""),
    ),
    "consigned, sold, came back": ((consign("2020"), sell("2021", "B. Buyer"), back("2022")), ("", "", "", "")),
    "came back, then sold to another": (
        (consign("2020"), sell("2021", "B. Buyer"), back("2022"), sell("2023", "C. Collector")),
        ("C. Collector", "A. Example", "sale", ""),
    ),
    "sold on between others": (
        (sell("2020", "B. Buyer"), sell("2021", "C. Collector", "B. Buyer")), ("C. Collector", "B. Buyer", "sale", ""),
    ),
    "sold on by somebody not known, not certainly to them": (
        (sell("2020", "B. Buyer"), sell("2021", "D. Dealer", "unknown", Said(uncertain=True, uncertain_party=True))),
        ("D. Dealer?", "", "possibly sale", ""),
    ),
    "known to be with a later owner": (
        (sell("2020", "B. Buyer"), keep("2023", "C. Collector")), ("C. Collector", "", "kept by a later owner", ""),
    ),
    "bought back by the artist": ((sell("2020", "B. Buyer"), sell("2021", "A. Example", "B. Buyer")), ("", "", "", "")),
}  # fmt: skip


@pytest.mark.parametrize("name", TABLE)
def test_the_owner_of_record(name: str, tmp_path: Path) -> None:
    deeds, expected = TABLE[name]
    studio = Dealings(tmp_path / "catalog", made="2018")
    for deed in deeds:
        deed(studio)
    found = owner_facts(studio.connection, studio.thing().id)
    assert (found["buyer"], found["seller"], found["kind"], found["standing"]) == expected
