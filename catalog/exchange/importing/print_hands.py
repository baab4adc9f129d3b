"""Where a print of a table went: to a gallery, to an owner, to a place, or out of the world."""

from typing import NamedTuple

from catalog.dates import Date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.exchange.importing.cells import date_in
from catalog.exchange.importing.frame import Importing, Row
from catalog.exchange.importing.known import KnownParties
from catalog.exchange.importing.sums import money_in
from catalog.exchange.importing.words import FATES, OWN, UNKNOWN, WAYS, folded, given_to, is_no, is_remark, is_yes
from catalog.money import Money
from catalog.records import catalogs, parties, transfers
from catalog.records.given_before import moment_of, some_day_by
from catalog.records.items import Coded
from catalog.records.transfers import Said, Terms
from catalog.records.transfers.commission import parse_commission


class Side(NamedTuple):
    """Somebody who received a thing, by name; "" is nobody known."""

    name: str
    certain: bool = True


class Hands(NamedTuple):
    """What is told of a print's changes of hands; dates None are not known."""

    gallery: Side | None = None
    consigned: Date | None = None
    commission: int | None = None
    owner: Side | None = None
    how: str = "sale"
    sold: Date | None = None
    price: Money | None = None
    paid: Date | None = None
    unpaid: bool = False
    payment_said: bool = False
    fate: str = "living"
    since: Date | None = None

    @property
    def at_home(self) -> bool:
        """Whether the studio still has it."""
        return not (self.owner or self.gallery) and self.fate == "living"

    @property
    def taken_as_paid(self) -> bool:
        """Whether it is taken as paid, as nothing is said of that."""
        return self.owner is not None and self.how == "sale" and not self.payment_said

    def text(self) -> str:
        """Where it went, in a few words."""
        retail = f" at {self.price.text()}" if self.price and not self.owner else ""
        gallery = f"{self.gallery.name} on consignment{retail}" if self.gallery else ""
        price = f" for {self.price.text()}" if self.price else ""
        when = f", {self.sold.text()}" if self.sold else ""
        owner = f"{self.owner.name or parties.UNKNOWN}, {self.how}{price}{when}" if self.owner else ""
        return "; ".join(filter(None, (gallery, owner, self.fate if self.fate != "living" else "")))

    @property
    def dates(self) -> tuple[Date, ...]:
        """The days that are known by which the print was there."""
        return tuple(date for date in (self.consigned, self.sold, self.since) if date is not None)


def read_hands(row: Row, work: Importing, known: KnownParties) -> Hands | None:
    """What a row says of where a print went; None where it was refused."""
    today = work.today.isoformat()
    fate = _fate(row)
    owner, way = _owner(row, work, known)
    gallery = _side(row, "gallery", row.get("gallery"), work, known)
    sold = _sold(row, work)
    price = money_in(row, "price", work.options)
    if row.refused:
        return None
    if owner is not None and folded(row.get("sold")) in ("no", "non", "nein", "n"):
        row.refuse("sold", "it is not sold here, and an owner is named in the column beside. Mend one of the two.")
        return None
    if owner is None and sold is not None:
        owner = Side("")
        row.doubt("sold", "to whom is not said: entered as sold to an unknown party")
    if owner is None and gallery is None and price is not None:
        row.keep("price", "no owner is named, so this is no sale; the price of an edition is set with: tirage price")
    if gallery and owner and gallery.name == owner.name:
        gallery = None  # who bought it for good had it of itself
    if owner is None:
        for field in ("how", "paid"):
            if row.get(field) and not is_no(row.get(field)):
                row.keep(field, "no owner is named, so nothing changed hands")
    commission = _commission(row) if gallery else None
    hands = Hands(
        gallery,
        date_in(row, "consigned", work.options, today=today) if gallery else None,
        commission,
        owner,
        _how(row, way, price) if owner else "sale",
        sold[0] if sold else None,
        price if (owner or gallery) and (price is None or price.minor) else None,
        fate=fate,
        since=date_in(row, "since", work.options, today=today) if fate != "living" else None,
    )
    for field, used in (("consigned", gallery), ("commission", gallery), ("since", fate != "living")):
        if row.get(field) and not used:
            row.keep(field, "nothing in this row says what it is the date or the share of")
    return None if row.refused else _payment(row, work, hands) if owner else hands


def enter_hands(work: Importing, thing: Coded, hands: Hands, known: KnownParties) -> None:
    """Enter it in its order: to the gallery, to the owner, and how it ended."""
    connection, by = work.connection, work.event.by
    left = hands.sold or (some_day_by(work.event, [hands.since]) if hands.owner else None)
    if hands.gallery:
        since = hands.consigned or some_day_by(work.event, [left, hands.since])
        to = known.id_of(hands.gallery.name, "gallery")
        terms = Terms(None, hands.commission, None if hands.owner else hands.price)
        event, said = Event(moment_of(since), by), _said(hands.gallery)
        transfers.hand_out(connection, event, thing, "consignment", to, terms=terms, said=said)
    if hands.owner and left:
        event = Event(moment_of(left), by)
        owner = known.id_of(hands.owner.name, "collector") if hands.owner.name else parties.unknown(connection).id
        said = _said(hands.owner)
        if hands.how == "sale":
            transfers.sell(connection, event, thing, owner, hands.price, said=said)
            if not hands.unpaid:
                transfers.pay(connection, Event(moment_of(hands.paid or left), by), thing)
        else:
            if hands.gallery:
                transfers.give_back(connection, event, thing)
            transfers.give(connection, event, thing, owner, hands.how, said=said)
    if hands.fate != "living":
        event = Event(moment_of(hands.since or some_day_by(work.event, [])), by)
        if hands.fate == "destroyed":
            transfers.destroy(connection, event, thing)
        else:
            transfers.lose(connection, event, thing, stolen=hands.fate == "stolen")


def _said(side: Side) -> Said:
    return Said(uncertain_party=not side.certain)


def _fate(row: Row) -> str:
    """Whether it is destroyed, lost or stolen, or sold, which `_sold` reads; other words are kept as note."""
    text = row.get("state")
    if not text:
        return "living"
    if folded(text) in WAYS:
        if is_no(row.get("sold")):
            row.refuse("state", f"it is {text} here, and not sold in the column beside. Mend one of the two.")
        return "living"
    found = FATES.get(folded(text))
    if found is None:
        row.keep("state", f"“{text}” is none of destroyed, lost, stolen; taken as still there")
    return found or "living"


def _owner(row: Row, work: Importing, known: KnownParties) -> tuple[Side | None, str]:
    """Who owns it, and how that came where the cell itself says so: “given to Eva”, “sold”."""
    text = row.get("owner")
    if folded(text) in WAYS:
        row.doubt("owner", "to whom is not said: entered as gone to an unknown party")
        return Side(""), WAYS[folded(text)]
    name, way = given_to(text) if known.meant(text) == " ".join(text.split()) else (text, "")
    if way:
        row.doubt("owner", f"read as {way}, {name}")
    return _side(row, "owner", name, work, known), way


def _side(row: Row, field: str, text: str, work: Importing, known: KnownParties) -> Side | None:
    """Who received it, None where it is the studio's own; a ? after a name is a doubt. Refused for a likely slip."""
    text = known.meant(text)
    if not text or is_no(text) or folded(text) in OWN or folded(text) == folded(catalogs.artist(work.connection).name):
        return None
    if folded(text) in UNKNOWN:
        return Side("") if field == "owner" else None
    name = text.rstrip("? ")
    try:
        if not known.check(name) and is_remark(text):
            row.doubt(
                field,
                "this reads like a remark and no name, and a party would be called so. Say who it is under [parties] "
                "in the mapping file, “unknown” where nobody knows",
            )
    except TirageError as refusal:
        row.refuse(field, refusal.sentence)
    return Side(name, name == text)


def _sold(row: Row, work: Importing) -> tuple[Date | None] | None:
    """When it was sold, in brackets as it may not be known; None where it was not, or nothing is said."""
    text = row.get("sold")
    if not text and folded(row.get("state")) in WAYS:
        return (None,)
    if not text or is_no(text):
        return None
    if is_yes(text) or folded(text) in WAYS:
        return (None,)
    date = date_in(row, "sold", work.options, today=work.today.isoformat())
    return (date,) if date is not None or row.get("owner") else None


def _how(row: Row, way: str, price: Money | None) -> str:
    """How it went, as its own column says, else the one of owners (`way`) or of states; for nothing is no sale."""
    text = row.get("how")
    found = WAYS.get(folded(text), "") if text else way or WAYS.get(folded(row.get("state")), "")
    if text and not found:
        row.keep("how", f"“{text}” is none of sale, gift, bequest, exchange; taken as a sale")
    if found in ("", "sale") and price is not None and not price.minor:
        row.doubt("price", "for nothing is no sale; entered as a gift")
        return "gift"
    return found or "sale"


def _payment(row: Row, work: Importing, hands: Hands) -> Hands:
    """Whether it is paid, by yes, no or a day; what else stands there leaves it unpaid, and is told."""
    text = row.get("paid")
    if not text or hands.how != "sale":
        return hands
    if is_yes(text):
        return hands._replace(payment_said=True)
    paid = None if is_no(text) else date_in(row, "paid", work.options, today=work.today.isoformat())
    if paid is None and not is_no(text):
        row.doubt("paid", "neither yes, no nor a day; taken as not paid yet. Mend the cell, or enter it: tirage paid")
    return hands._replace(paid=paid, unpaid=paid is None, payment_said=True)


def _commission(row: Row) -> int | None:
    text = row.get("commission")
    if not text:
        return None
    try:
        return parse_commission(text)
    except TirageError as refusal:
        row.keep("commission", refusal.sentence)
        return None
