"""Transfers: changes of title and of custody, in order for each item."""

import sqlite3
from dataclasses import dataclass

from catalog.dates import Date, Moment, later_than
from catalog.errors import TirageError
from catalog.events import Event
from catalog.money import Money
from catalog.records import catalogs
from catalog.records.items import Coded, code_of
from catalog.store.rows import fetch_all, fetch_one

COLUMNS = """id, item, sequence, kind, from_party, to_party, title, custody, happened, earliest, latest, clock, price,
    currency, commission, until, until_latest, settles, their_number, note, by"""
OF_ITEM = f"SELECT {COLUMNS} FROM transfer WHERE item = ? ORDER BY sequence"
ADD = """INSERT INTO transfer (item, sequence, kind, from_party, to_party, title, custody, happened, earliest, latest,
    clock, price, currency, commission, until, until_latest, settles, their_number, note, by)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
MADE = """SELECT coalesce(p.made, n.made, ''), coalesce(p.earliest, n.earliest, ''), coalesce(p.latest, n.latest, ''),
    coalesce(p.clock, ''), coalesce(p.signed_earliest, '') FROM item i LEFT JOIN print p ON p.id = i.id
    LEFT JOIN negative n ON n.id = i.id WHERE i.id = ?"""
STANDING = """SELECT s.item, s.place, s.custodian, s.owner, s.movement, s.custody_transfer, s.title_transfer,
    owner.name, custodian.name FROM standing s LEFT JOIN party owner ON owner.id = s.owner
    LEFT JOIN party custodian ON custodian.id = s.custodian WHERE s.item = ?"""
UNPAID = f"""SELECT {COLUMNS} FROM transfer s WHERE s.kind = 'sale' AND s.item = ?
    AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id) ORDER BY sequence DESC LIMIT 1"""


class NotOursToGiveError(TirageError):
    """A thing sold, lent or given by someone who cannot."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"{code} cannot change hands so: {reason}")


class TooEarlyError(TirageError):
    """A change of hands before the thing could change hands."""

    def __init__(self, code: str, what: str, date: str, given: str) -> None:
        super().__init__(
            f"{code} was {what} {date}, after {given}. Give the day it really changed hands or was destroyed with "
            f"--on DATE."
        )


class TransferOrderError(TirageError):
    """A transfer dated before the one it follows."""

    def __init__(self, code: str, kind: str, before: str, given: str) -> None:
        super().__init__(
            f"{code}: this would be dated {given}, before its {kind} of {before}, which it follows. "
            f"Give the right date with --on DATE."
        )


@dataclass(frozen=True)
class Transfer:
    """One change of hands; prices in minor units, commission in hundredths of a per cent."""

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

    @property
    def money(self) -> Money | None:
        """The price, where there is one."""
        return None if self.price is None else Money(self.price, self.currency)


@dataclass(frozen=True)
class Standing:
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
    """An item's changes of hands, in order."""
    return fetch_all(connection, Transfer, OF_ITEM, (item,))


def standing(connection: sqlite3.Connection, item: int) -> Standing:
    """Where an item stands now."""
    found = fetch_one(connection, Standing, STANDING, (item,))
    assert found is not None, item
    return found


def unpaid_sale(connection: sqlite3.Connection, item: int) -> Transfer | None:
    """The sale of an item that is not paid yet."""
    return fetch_one(connection, Transfer, UNPAID, (item,))


def sell(
    connection: sqlite3.Connection, event: Event, thing: Coded, to: int, price: Money | None, their_number: str = ""
) -> Transfer:
    """Sell a thing. From the studio title passes at once; title of a consigned print stays until it is paid."""
    now = standing(connection, thing.id)
    artist = catalogs.artist(connection).id
    waiting = unpaid_sale(connection, thing.id)
    if waiting and not waiting.title:
        raise NotOursToGiveError(
            thing.code,
            f"it was sold on {waiting.happened} and waits to be paid; a thing is sold "
            f"once. See: tirage print show {thing.code}.",
        )
    if now.owner is None:
        raise NotOursToGiveError(thing.code, "nobody owns it any more: it was destroyed or lost.")
    if now.owner != artist:
        raise NotOursToGiveError(
            thing.code,
            f"it belongs to {now.owner_name}; only its owner sells it. A later sale "
            f"by them is not the studio's to record here.",
        )
    if to == artist:
        raise NotOursToGiveError(thing.code, "the buyer would be the artist, whose it is.")
    direct = now.custodian == artist
    return _add(
        connection, event, thing, "sale", artist, to, title=direct, custody=True, price=price, their_number=their_number
    )


def pay(connection: sqlite3.Connection, event: Event, thing: Coded) -> Transfer:
    """Record that a sale was paid; what was consigned changes its owner now."""
    sale = unpaid_sale(connection, thing.id)
    if sale is None:
        raise NotOursToGiveError(thing.code, "no sale of it waits to be paid.")
    exists = standing(connection, thing.id).owner is not None  # a debt can be paid for what is no more
    return _add(
        connection,
        event,
        thing,
        "payment",
        sale.from_party,
        sale.to_party,
        title=exists and not sale.title,
        custody=False,
        settles=sale.id,
    )


def give(connection: sqlite3.Connection, event: Event, thing: Coded, to: int) -> Transfer:
    """Give a thing away."""
    now = _owned_by_studio(connection, thing, "given away")
    if to == now.owner:
        raise NotOursToGiveError(thing.code, "it would be given to the artist, whose it is.")
    return _add(connection, event, thing, "gift", now.owner, to, title=True, custody=True)


def hand_out(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    kind: str,
    to: int,
    *,
    until: Date | None = None,
    commission: int | None = None,
    value: Money | None = None,
    their_number: str = "",
) -> Transfer:
    """Consign or lend a thing that the studio owns and has; or note that a consignee moved it on."""
    now = standing(connection, thing.id)
    artist = catalogs.artist(connection).id
    if now.owner is None:
        raise NotOursToGiveError(thing.code, "it was destroyed or lost.")
    if now.owner != artist:
        raise NotOursToGiveError(thing.code, f"it belongs to {now.owner_name}.")
    if now.custodian != artist:
        raise NotOursToGiveError(
            thing.code, f"{now.custodian_name} has it. First it comes back: tirage return {thing.code}."
        )
    if until and until.latest and until.latest < event.moment.earliest:
        raise NotOursToGiveError(thing.code, f"it would end on {until.text()}, before it begins.")
    return _add(
        connection,
        event,
        thing,
        kind,
        now.custodian,
        to,
        title=False,
        custody=True,
        price=value,
        commission=commission,
        until=until,
        their_number=their_number,
    )


def give_back(connection: sqlite3.Connection, event: Event, thing: Coded) -> Transfer:
    """Record that a thing came back to the studio; it is then not yet placed."""
    now = standing(connection, thing.id)
    artist = catalogs.artist(connection).id
    if now.custodian == artist:
        raise NotOursToGiveError(thing.code, "it is in the studio; nothing is out to come back.")
    if now.owner != artist:
        raise NotOursToGiveError(thing.code, f"it belongs to {now.owner_name}, and does not come back by a return.")
    # What was sold on consignment, not paid, and comes back, ends the sale: title never passed.
    sale = unpaid_sale(connection, thing.id)
    out = [t for t in of_item(connection, thing.id) if t.custody and t.kind in ("consignment", "loan")]
    ended = [sale] if sale else out
    return _add(
        connection,
        event,
        thing,
        "return",
        now.custodian,
        artist,
        title=False,
        custody=True,
        settles=ended[-1].id if ended else None,
    )


def destroy(connection: sqlite3.Connection, event: Event, thing: Coded) -> Transfer:
    """Record that a print was destroyed: its number is never given again, except to a recorded replacement."""
    now = standing(connection, thing.id)
    if now.owner is None:
        raise NotOursToGiveError(thing.code, "it was destroyed or lost already.")
    return _add(connection, event, thing, "destruction", now.owner, None, title=True, custody=True)


def _owned_by_studio(connection: sqlite3.Connection, thing: Coded, what: str) -> Standing:
    now = standing(connection, thing.id)
    if now.owner != catalogs.artist(connection).id:
        raise NotOursToGiveError(
            thing.code, f"it belongs to {now.owner_name or 'nobody any more'} and cannot be {what}."
        )
    waiting = unpaid_sale(connection, thing.id)
    if waiting:
        raise NotOursToGiveError(thing.code, f"it was sold on {waiting.happened} and waits to be paid.")
    return now


def _refuse_too_early(connection: sqlite3.Connection, event: Event, thing: Coded, kind: str) -> None:
    """Raise TooEarlyError before the thing was made, or, where it leaves the studio, before it was signed."""
    row = connection.execute(MADE, (thing.id,)).fetchone()
    made = Moment(row[0], row[1], row[2], row[3])
    if made.date and later_than(made, event.moment):
        raise TooEarlyError(thing.code, "made", made.text(), event.moment.text())
    if kind in ("sale", "consignment", "gift") and row[4] and event.moment.latest < row[4]:
        raise TooEarlyError(thing.code, "signed", row[4], event.moment.text())


def _add(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    kind: str,
    giver: int | None,
    to: int | None,
    *,
    title: bool,
    custody: bool,
    price: Money | None = None,
    commission: int | None = None,
    until: Date | None = None,
    settles: int | None = None,
    their_number: str = "",
) -> Transfer:
    before = of_item(connection, thing.id)
    _refuse_too_early(connection, event, thing, kind)
    if before:
        last = before[-1]
        moment = Moment(last.happened, last.earliest, last.latest, last.clock)
        if later_than(moment, event.moment):
            raise TransferOrderError(code_of(connection, thing.id), last.kind, last.happened, event.moment.date)
    connection.execute(
        ADD,
        (
            thing.id,
            len(before) + 1,
            kind,
            giver,
            to,
            int(title),
            int(custody),
            *event.columns,
            price.minor if price else None,
            price.currency if price else "",
            commission,
            until.edtf if until else "",
            until.latest if until else "",
            settles,
            their_number,
            event.note,
            event.by,
        ),
    )
    return of_item(connection, thing.id)[-1]
