"""One change of hands: what is kept of it, how it is read and written, and how an item stands after all of them."""

import sqlite3
from enum import Enum
from typing import NamedTuple

from catalog.dates import Date, Moment, parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.money import Money
from catalog.store.rows import fetch_all, fetch_one

COLUMNS = """id, item, sequence, kind, from_party, to_party, title, custody, happened, earliest, latest, clock, price,
    currency, commission, until, until_latest, settles, their_number, note, by, inserted, rank, insured,
    insured_currency, condition, agent, place, occasion, remark, uncertain, uncertain_party"""
OF_ITEM = f"SELECT {COLUMNS} FROM transfer WHERE item = ? ORDER BY rank"
ADD = """INSERT INTO transfer (item, sequence, kind, from_party, to_party, title, custody, happened, earliest, latest,
    clock, price, currency, commission, until, until_latest, settles, their_number, note, by, inserted, insured,
    insured_currency, condition, agent, place, occasion, remark, uncertain, uncertain_party)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
STANDING = """SELECT s.item, s.place, s.custodian, s.owner, s.movement, s.custody_transfer, s.title_transfer,
    owner.name, custodian.name FROM standing s LEFT JOIN party owner ON owner.id = s.owner
    LEFT JOIN party custodian ON custodian.id = s.custodian WHERE s.item = ?"""
TITLE_KINDS = ("sale", "gift", "bequest", "exchange")  # what an owner does to make another one the owner
NAME = "SELECT name FROM party WHERE id = ?"
# kind -> what such a change of hands is called
NOUNS = {
    "sale": "sale",
    "payment": "payment",
    "gift": "gift",
    "bequest": "bequest",
    "exchange": "exchange",
    "consignment": "consignment",
    "approval": "sending on approval",
    "loan": "loan",
    "exhibition": "loan for an exhibition",
    "return": "return",
    "loss": "loss",
    "theft": "theft",
    "finding": "finding",
    "destruction": "destruction",
    "kept": "keeping",
}


class NotOursToGiveError(TirageError):
    """A thing sold, lent or given by someone who cannot; `reason` is a clause without its full stop."""

    def __init__(self, code: str, reason: str, remedy: str = "") -> None:
        super().__init__(f"{code} cannot change hands so: {reason}." + (f" {remedy}" if remedy else ""))
        self.reason, self.remedy = reason, remedy


class Giver(Enum):
    """Who gives, where it is no party named: the studio, or somebody nobody knows."""

    STUDIO = "the studio"
    UNKNOWN = "unknown"


class Said(NamedTuple):
    """What is said of one change of hands beside who and when. All of it but their number may be printed."""

    their_number: str = ""
    agent: int | None = None  # who acted for the one who received
    place: str = ""
    occasion: str = ""
    remark: str = ""
    uncertain: bool = False  # whether it happened at all is not certain
    uncertain_party: bool = False  # whether it was this party is not certain


NONE_SAID = Said()


class Terms(NamedTuple):
    """On what terms a thing is handed out: until when, what share the other side keeps, value, state at delivery."""

    until: Date | None = None
    commission: int | None = None  # hundredths of a per cent
    price: Money | None = None
    insured: Money | None = None
    condition: str = ""

    @property
    def of_sale(self) -> bool:
        """Whether they say anything of a sale or an insurance."""
        return self.commission is not None or self.price is not None or self.insured is not None


class Draft(NamedTuple):
    """A change of hands before it has its place in the order."""

    kind: str
    giver: int | None
    to: int | None
    title: bool
    custody: bool
    price: Money | None = None
    terms: Terms = Terms()
    settles: int | None = None
    said: Said = NONE_SAID


class Transfer(NamedTuple):
    """One change of hands; amounts in minor units, commission in hundredths of a per cent."""

    id: int
    item: int
    sequence: int
    kind: str
    from_party: int | None
    to_party: int | None
    title: int
    custody: int
    happened: str
    earliest: str
    latest: str
    clock: str
    price: int | None
    currency: str
    commission: int | None
    until: str
    until_latest: str
    settles: int | None
    their_number: str
    note: str
    by: str
    inserted: int | None = None
    rank: int = 0
    insured: int | None = None
    insured_currency: str = ""
    condition: str = ""
    agent: int | None = None
    place: str = ""
    occasion: str = ""
    remark: str = ""
    uncertain: int = 0
    uncertain_party: int = 0

    @property
    def money(self) -> Money | None:
        """The price, where there is one."""
        return None if self.price is None else Money(self.price, self.currency)

    @property
    def insured_money(self) -> Money | None:
        """The insured value, where there is one."""
        return None if self.insured is None else Money(self.insured, self.insured_currency)

    @property
    def moment(self) -> Moment:
        """When it happened."""
        return Moment(self.happened, self.earliest, self.latest, self.clock)


class Standing(NamedTuple):
    """Where an item stands: place, custodian and owner, each with the record that made it so."""

    item: int
    place: int | None
    custodian: int | None
    owner: int | None
    movement: int | None
    custody_transfer: int | None
    title_transfer: int | None
    owner_name: str | None
    custodian_name: str | None


def of_item(connection: sqlite3.Connection, item: int) -> list[Transfer]:
    """An item's changes of hands, in the order they happened."""
    return fetch_all(connection, Transfer, OF_ITEM, (item,))


def standing(connection: sqlite3.Connection, item: int) -> Standing:
    """Where an item stands now."""
    found = fetch_one(connection, Standing, STANDING, (item,))
    assert found is not None, item
    return found


def pending(item: int, event: Event, draft: Draft, identity: int) -> Transfer:
    """A draft as the transfer it would be, under a passing identity below zero."""
    said, terms, money = draft.said, draft.terms, draft.price or draft.terms.price
    until = terms.until
    return Transfer(
        identity,
        item,
        0,
        draft.kind,
        draft.giver,
        draft.to,
        int(draft.title),
        int(draft.custody),
        *event.columns,
        money.minor if money else None,
        money.currency if money else "",
        terms.commission,
        until.edtf if until else "",
        until.latest if until else "",
        draft.settles,
        said.their_number,
        event.note,
        event.by,
        None,
        0,
        terms.insured.minor if terms.insured else None,
        terms.insured.currency if terms.insured else "",
        terms.condition,
        said.agent,
        said.place,
        said.occasion,
        said.remark,
        int(said.uncertain),
        int(said.uncertain_party),
    )


def write(connection: sqlite3.Connection, one: Transfer, inserted: int | None, settles: int | None) -> int:
    """Write a pending transfer: at the end of the order, or told later at the rank `inserted`; its identity."""
    sequence: int = connection.execute(
        "SELECT 1 + coalesce(max(sequence), 0) FROM transfer WHERE item = ?", (one.item,)
    ).fetchone()[0]
    cursor = connection.execute(
        ADD,
        (
            one.item,
            sequence,
            one.kind,
            one.from_party,
            one.to_party,
            one.title,
            one.custody,
            one.happened,
            one.earliest,
            one.latest,
            one.clock,
            one.price,
            one.currency,
            one.commission,
            one.until,
            one.until_latest,
            settles,
            one.their_number,
            one.note,
            one.by,
            inserted,
            one.insured,
            one.insured_currency,
            one.condition,
            one.agent,
            one.place,
            one.occasion,
            one.remark,
            one.uncertain,
            one.uncertain_party,
        ),
    )
    return int(cursor.lastrowid or 0)


def name_of(connection: sqlite3.Connection, party: int | None) -> str:
    """A party's name; of none, “somebody not known”."""
    return "somebody not known" if party is None else str(connection.execute(NAME, (party,)).fetchone()[0])


def described(connection: sqlite3.Connection, one: Transfer) -> str:
    """A change of hands in a sentence: “the loan of 3 May 2026 by A. Example to the Museum”."""
    giver = f" by {name_of(connection, one.from_party)}" if one.from_party is not None else ""
    taker = f" to {name_of(connection, one.to_party)}" if one.to_party is not None else ""
    if one.kind in ("loss", "theft", "finding", "destruction", "kept"):
        giver = taker = ""
    return f"the {NOUNS[one.kind]} of {parse_date(one.happened).text()}{giver}{taker}"
