"""Provenance text against the convention of museums and the statement form of the digital provenance standard.

Sources. Convention: Yeide, Akinsha and Walsh, The AAM Guide to Provenance Research (2001), as restated by the
museumprovenance.org standard, version 1, and by museums that print its key: earliest first; a semicolon for a known
direct transfer, a full stop for none or none known; dealers in round brackets; life dates in square brackets;
“private collection” for a name withheld. The full book was not read; the wording around the signs is our own.
Statement: Carnegie Museum of Art, Digital Provenance Standard, version 0.2 (2016, CC0), its example record, and the
test data of its parser library (MIT), which are inputs of a parser: here the records that mean them are built, and what
is written is compared. Not rendered, as no record means them: “via marriage”, text that cannot be parsed, amounts that
are no number.
"""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from catalog.money import Money
from catalog.records import editions, losses, prints, transfers
from catalog.records.transfers import Giver, Said
from catalog.rules.provenance import as_record, provenance
from tests.dealings_sample import Dealings, Party, euro, on

ADA = Party("Ada", place="Lyon", born="1950")
HARBOUR = Party("Gallery Harbour", "gallery", "Port Example")
HIDDEN = Party("Secret Buyer", place="Lyon, France", nameable=False)
HEAD = "Printed by A. Example [1960–], the artist, 6 March 2026"


@dataclass
class Teller:
    """Short words for what happens to the first print."""

    studio: Dealings

    def sell(
        self, to: Party, date: str, price: Money | None = None, giver: Party | Giver = Giver.STUDIO, **said: Any
    ) -> None:
        transfers.sell(
            self.studio.connection, on(date), self.studio.thing(), self.studio.party(to), price,
            giver=giver if isinstance(giver, Giver) else self.studio.party(giver), said=self.said(**said),
        )  # fmt: skip

    def consign(self, to: Party, date: str, giver: Party | None = None, kind: str = "consignment", **said: Any) -> None:
        transfers.hand_out(
            self.studio.connection, on(date), self.studio.thing(), kind, self.studio.party(to),
            giver=self.studio.party(giver) if giver else Giver.STUDIO, said=self.said(**said),
        )  # fmt: skip

    def said(self, agent: Party | None = None, **said: Any) -> Said:
        return Said(agent=self.studio.party(agent) if agent else None, **said)

    def pay(self, date: str) -> None:
        transfers.pay(self.studio.connection, on(date), self.studio.thing())

    def back(self, date: str, to: Party | None = None) -> None:
        target = self.studio.party(to) if to else None
        transfers.give_back(self.studio.connection, on(date), self.studio.thing(), target)

    def give(self, to: Party, date: str, kind: str = "gift", giver: Party | Giver = Giver.STUDIO, **said: Any) -> None:
        thing, party = self.studio.thing(), self.studio.party(to)
        source = giver if isinstance(giver, Giver) else self.studio.party(giver)
        transfers.give(self.studio.connection, on(date), thing, party, kind, giver=source, said=self.said(**said))

    def keep(self, date: str, by: Party | None = None) -> None:
        thing, party = self.studio.thing(), self.studio.party(by) if by else None
        transfers.keep(self.studio.connection, on(date), thing, party)

    def lose(self, date: str, found: str = "", stolen: bool = False) -> None:
        losses.lose(self.studio.connection, on(date), self.studio.thing(), stolen=stolen)
        if found:
            losses.find_again(self.studio.connection, on(found), self.studio.thing())


Story = Callable[[Teller], object]
# name of the rule -> what happened -> the studio's text
CONVENTION: dict[str, tuple[Story, str]] = {
    "the artist alone": (lambda t: None, f"{HEAD}."),
    "semicolon: direct sale": (
        lambda t: t.sell(ADA, "2026-03-10", euro(900)),
        f"{HEAD}; purchased by Ada [1950–], Lyon, 10 March 2026 (for EUR 900).",
    ),
    "round brackets: a dealer": (
        lambda t: (t.consign(HARBOUR, "2026-03-10"), t.sell(ADA, "2026-04-01", euro(900)), t.pay("2026-04-02")),
        f"{HEAD}; (Gallery Harbour, Port Example, consigned 10 March 2026); purchased by Ada [1950–], Lyon, "
        f"1 April 2026 (for EUR 900).",
    ),
    "a dealer who buys": (
        lambda t: t.sell(HARBOUR, "2026-04"),
        f"{HEAD}; (Gallery Harbour, Port Example, purchased April 2026).",
    ),
    "returned": (
        lambda t: (t.consign(HARBOUR, "2026-03-10"), t.back("2026-05-01"), t.give(ADA, "2026-06-01")),
        f"{HEAD}; (Gallery Harbour, Port Example, consigned 10 March 2026); returned to the artist, 1 May 2026; "
        f"gift to Ada [1950–], Lyon, 1 June 2026.",
    ),
    "moved on within a consignment": (
        lambda t: (
            t.consign(HARBOUR, "2026-03"), t.consign(ADA, "2026-04", HARBOUR, "approval"), t.back("2026-05", HARBOUR),
        ),
        f"{HEAD}; (Gallery Harbour, Port Example, consigned March 2026); on approval to Ada [1950–], Lyon, April 2026; "
        f"returned to (Gallery Harbour, Port Example), May 2026.",
    ),
    "custody alone claims no title": (
        lambda t: (t.consign(HARBOUR, "2026-03-10"), t.sell(ADA, "2026-04-01")),
        f"{HEAD}; (Gallery Harbour, Port Example, consigned 10 March 2026); sold to Ada [1950–], Lyon, 1 April 2026, "
        f"title not passed yet.",
    ),
    "a sale that fell through": (
        lambda t: (t.consign(HARBOUR, "2026-03"), t.sell(ADA, "2026-04"), t.back("2026-05")),
        f"{HEAD}; (Gallery Harbour, Port Example, consigned March 2026); sold to Ada [1950–], Lyon, April 2026, sale "
        f"not completed; returned to the artist, May 2026.",
    ),
    "an exhibition": (
        lambda t: t.consign(Party("Museum"), "2026-05", kind="exhibition", occasion="Tide Lines", place="Port Example"),
        f"{HEAD}; lent to Museum, for the exhibition “Tide Lines”, in Port Example, May 2026.",
    ),
    "a place told once": (
        lambda t: t.sell(HARBOUR, "2026-04", place="Port Example", occasion="Spring sale, lot 2"),
        f"{HEAD}; (Gallery Harbour, Port Example, at “Spring sale, lot 2”, purchased April 2026).",
    ),
    "full stop: a gap": (
        lambda t: (t.sell(ADA, "2026-04"), t.sell(Party("Bea"), "2031", giver=Giver.UNKNOWN)),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026. Purchased by Bea, 2031.",
    ),
    "full stop: a giver the record does not know": (
        lambda t: (t.sell(ADA, "2026-04"), t.sell(Party("Cy"), "2031", giver=Party("Bea"))),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026. Bea, by 2031; purchased by Cy, 2031.",
    ),
    "known to have had it, before a gap": (
        lambda t: (t.sell(ADA, "2026-04"), t.keep("2029", ADA), t.sell(Party("Bea"), "2031", giver=Giver.UNKNOWN)),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026 until sometime between 2029 and 2031. Purchased by Bea, "
        f"2031.",
    ),
    "known to have had it, and no more": (
        lambda t: (t.sell(ADA, "2026-04"), t.keep("2029", ADA)),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026 until at least 2029.",
    ),
    "seen with somebody": (
        lambda t: (t.sell(ADA, "2026-04"), t.keep("2031", Party("Bea"))),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026. Bea, in 2031.",
    ),
    "stolen and found: whereabouts unknown between": (
        lambda t: (t.sell(ADA, "2026-04"), t.lose("2027", "2029", stolen=True)),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026; stolen, 2027. Found, 2029.",
    ),
    "kept by the artist": (lambda t: t.keep("2026-05"), f"{HEAD}; kept by the artist, May 2026."),
    "left by will, exchanged": (
        lambda t: (
            t.sell(ADA, "2026-04"),
            t.give(Party("Museum", born="1880?", died="1955~"), "2027-05", "bequest", giver=ADA),
        ),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026; bequest, to Museum [1880?–c. 1955], May 2027.",
    ),
    "a sale that fell through is no purchase, and ends nothing": (
        lambda t: (t.sell(ADA, "2026-04"), t.back("2026-05"), t.sell(Party("Bea"), "2027")),
        f"{HEAD}; sold to Ada [1950–], Lyon, April 2026, sale not completed; returned to the artist, May 2026; "
        f"purchased by Bea, 2027.",
    ),
    "bought back by the artist": (
        lambda t: (t.sell(ADA, "2026-04"), t.pay("2026-05"), t.sell(Party("A. Example"), "2027", giver=ADA)),
        f"{HEAD}; purchased by Ada [1950–], Lyon, April 2026; purchased by the artist, 2027.",
    ),
    "a year in doubt before a gap is one stop": (
        lambda t: (t.sell(ADA, "2026?"), t.give(Party("Bea"), "2031", giver=Giver.UNKNOWN)),
        f"{HEAD}; purchased by Ada [1950–], Lyon, perhaps 2026. Gift to Bea, 2031.",
    ),
    "destroyed": (
        lambda t: transfers.destroy(t.studio.connection, on("2026-03-10"), t.studio.thing()),
        f"{HEAD}; destroyed, 10 March 2026.",
    ),
    "possibly, and a note that explains it": (
        lambda t: t.sell(ADA, "2026-04", uncertain=True, uncertain_party=True, remark="A letter of 1999 says so."),
        f"{HEAD}. Possibly purchased by Ada? [1950–], Lyon, April 2026 [1].",
    ),
    "unknown party, never empty": (
        lambda t: t.sell(Party("Unknown party"), "2026-04"),
        f"{HEAD}; purchased by Unknown party, April 2026.",
    ),
    "an agent who is a dealer": (
        lambda t: t.sell(ADA, "2026-04", agent=HARBOUR),
        f"{HEAD}; purchased by (Gallery Harbour, Port Example) for Ada [1950–], Lyon, April 2026.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CONVENTION)
def test_the_convention(tmp_path: Path, name: str) -> None:
    story, expected = CONVENTION[name]
    studio = Dealings(tmp_path / "catalog", made="2026-03-06", count=1)
    story(Teller(studio))
    assert provenance(studio.connection, studio.thing().id, private=True).text == expected


def cassatt(tmp_path: Path) -> Dealings:
    studio = Dealings(tmp_path / "catalog", "Mary Cassatt", "1844", "France", "1890~", "1926", count=1)
    paris = Party("Galeries Durand-Ruel", "gallery", "Paris, France")
    york = Party("Durand-Ruel Galleries", "gallery", "New York, NY")
    museum = Party("Department of Fine Arts, Carnegie Institute", "institution", "Pittsburgh, PA")
    tell = Teller(studio)
    tell.sell(paris, "[..1892-08]", remark="Source of the date.")
    tell.sell(york, "1895", giver=paris)
    tell.sell(museum, "1922-10", giver=york)
    return studio


def agents(tmp_path: Path) -> Dealings:
    studio = Dealings(tmp_path / "catalog", count=1)
    tell = Teller(studio)
    tell.consign(Party("Sally SellerAgent", "gallery"), "2026-05")
    tell.sell(Party("Owen Owner"), "2026-06", agent=Party("Paul PurchaserAgent"))
    tell.pay("2026-07")
    return studio


def gallery_one(tmp_path: Path) -> Dealings:
    studio = Dealings(tmp_path / "catalog", count=1)
    tell = Teller(studio)
    tell.consign(Party("Gallery One", "gallery", "Paris, France"), "2026-05")
    tell.sell(Party("B. Buyer", place="Lyon, France"), "2026-06-03", euro(1800), their_number="stock no. G-17")
    tell.pay("2026-06-04")
    tell.sell(
        Party("C. Collector"), "/2031", giver=Giver.UNKNOWN, uncertain=True, uncertain_party=True, remark="Hearsay.",
    )  # fmt: skip
    return studio


def one_sale(name: Party, date: str, price: Money | None = None, **said: Any) -> Callable[[Path], Dealings]:
    def build(tmp_path: Path) -> Dealings:
        studio = Dealings(tmp_path / "catalog", count=1)
        Teller(studio).sell(name, date, price, **said)
        return studio

    return build


ORIGIN = "Created by A. Example [1960-], the artist, 2026"
# what was given -> the records that mean it, the statement, which clauses pass directly to the next
STATEMENTS: dict[str, tuple[Callable[[Path], Dealings], str, list[bool]]] = {
    "CMOA 22.8 (CC0)": (
        cassatt,
        "Created by Mary Cassatt [1844-1926], the artist, France, c. 1890; purchased by Galeries Durand-Ruel, Paris, "
        "France, by August 1892 [1]; purchased by Durand-Ruel Galleries, New York, NY, 1895; purchased by Department "
        "of Fine Arts, Carnegie Institute, Pittsburgh, PA, October 1922.",
        [True, True, True, False],
    ),
    "John Doe, Boise, ID (for $100).": (
        one_sale(Party("John Doe", place="Boise, ID"), "2026", Money(10_000, "USD")),
        f"{ORIGIN}; purchased by John Doe, Boise, ID, 2026 (for USD 100).",
        [True, False],
    ),
    "Paul PurchaserAgent for Owen Owner from Sally SellerAgent.": (
        agents,
        f"{ORIGIN}; consigned to Sally SellerAgent, May 2026; purchased by Paul PurchaserAgent for Owen Owner, from "
        f"Sally SellerAgent, June 2026.",
        [True, True, False],
    ),
    "Carnegie Institute, in Pittsburgh, PA, November 5, 1934;": (
        one_sale(Party("Carnegie Institute"), "2034-11-05", place="Pittsburgh, PA"),
        f"{ORIGIN}; purchased by Carnegie Institute, in Pittsburgh, PA, 5 November 2034.",
        [True, False],
    ),
    "Possibly John Doe.": (
        one_sale(Party("John Doe"), "2026", uncertain=True),
        f"{ORIGIN}. Possibly purchased by John Doe, 2026.",
        [False, False],
    ),
    "(lot no. 1, for $100,000)": (
        one_sale(Party("John Doe"), "2026", Money(10_000_000, "USD"), their_number="lot no. 1", occasion="Spring sale"),
        f'{ORIGIN}; purchased by John Doe, at "Spring sale", 2026 (lot no. 1, for USD 100,000).',
        [True, False],
    ),
    "made for photographs": (
        gallery_one,
        f"{ORIGIN}; consigned to Gallery One, Paris, France, May 2026; purchased by B. Buyer, Lyon, France, from "
        f"Gallery One, 3 June 2026 (stock no. G-17, for EUR 1,800). Possibly purchased by C. Collector?, by 2031 [1].",
        [True, True, False, False],
    ),
}


@pytest.mark.parametrize("given", STATEMENTS)
def test_the_statement_form(tmp_path: Path, given: str) -> None:
    build, expected, direct = STATEMENTS[given]
    studio = build(tmp_path)
    found = as_record(studio.connection, studio.thing().id, private=True)
    assert found["statement"] == expected
    assert [clause["direct"] for clause in found["clauses"]] == direct


def test_the_same_as_records(tmp_path: Path) -> None:
    studio = gallery_one(tmp_path)
    found = as_record(studio.connection, studio.thing().id, private=True)
    origin, consigned, bought, last = found["clauses"]
    assert found["text"].split("; ")[1] == "(Gallery One, Paris, France, consigned May 2026)"
    assert (origin["party"]["name"], origin["method"]) == ("A. Example", "Printed by")
    assert (consigned["title"], consigned["party"]["dealer"]) == (False, True)
    assert (bought["title"], bought["sellers_agent"]["name"]) == (True, "Gallery One")
    assert (bought["number"], bought["price"]) == ("stock no. G-17", "EUR 1,800")
    assert bought["dates"] == {"botb": "2026-06-03", "eotb": "2026-06-03", "bote": "", "eote": "2031"}
    assert (last["certain"], last["party"]["certain"], last["note"]) == (False, False, "Hearsay.")
    assert last["dates"] == {"botb": "", "eotb": "2031", "bote": "", "eote": ""}
    assert found["notes"] == ["[1] Hearsay."] and "semicolon" in found["key"]


def test_nobody_and_nothing_private_is_told_in_public(tmp_path: Path) -> None:
    studio = Dealings(tmp_path / "catalog", made="2026-03-06", count=1)
    tell = Teller(studio)
    tell.consign(Party("Shy Dealer", "gallery", "Paris", nameable=False), "2026-03", their_number="SECRETNUMBER")
    tell.sell(HIDDEN, "2026-04", euro(4321), agent=Party("Hidden Agent", nameable=False))
    tell.pay("2026-05")
    private = as_record(studio.connection, studio.thing().id, private=True)
    public = as_record(studio.connection, studio.thing().id, private=False)
    for word in ("Secret Buyer", "Shy Dealer", "Hidden Agent", "SECRETNUMBER", "4,321"):
        assert word in str(private) and word not in str(public), word
    assert public["text"] == (
        f"{HEAD}; (Private dealer, Paris, consigned March 2026); purchased by Private collection, Lyon, France, "
        f"April 2026."
    )
    assert not any("price" in clause or "number" in clause for clause in public["clauses"])
    assert provenance(studio.connection, studio.thing().id, private=False).text == public["text"]


# how a print came to be -> its first clause: an estate's print is not said to be the artist's
ORIGINS = {
    (False, "", "1950"): "Printed by A. Example [1900–1990], the artist, 1950.",
    (False, "P. Printer", "1950"): "Made by A. Example [1900–1990], the artist, printed by P. Printer, 1950.",
    (True, "", "1995"): "Printed for the estate of A. Example [1900–1990], 1995.",
    (True, "P. Printer", "1995"): "Printed by P. Printer for the estate of A. Example [1900–1990], 1995.",
    (False, "P. Printer", "1995"): "Printed by P. Printer from a negative by A. Example [1900–1990], 1995.",
}


@pytest.mark.parametrize("how", ORIGINS)
def test_how_a_print_came_to_be(tmp_path: Path, how: tuple[bool, str, str]) -> None:
    estate, printer, made = how
    studio = Dealings(tmp_path / "catalog", born="1900", died="1990", made="1950", count=1)
    into = studio.plate
    if estate:
        into = editions.declare(
            studio.connection, on(made), studio.plate.id, "Estate", 5, {}, estate=True, process="salt"
        )
    one = prints.make(studio.connection, on(made), into, 1, printed_by=printer)[0]
    assert provenance(studio.connection, one.id, private=False).text == ORIGINS[how]


def test_a_plate_has_a_provenance_too(tmp_path: Path) -> None:
    studio = Dealings(tmp_path / "catalog", made="2026")
    transfers.sell(studio.connection, on("2027"), studio.plate, studio.party(HIDDEN), None)
    text = provenance(studio.connection, studio.plate.id, private=False).text
    assert text.endswith("; purchased by Private collection, Lyon, France, 2027.")
