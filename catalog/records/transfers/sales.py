"""Sales, payments, gifts, bequests and exchanges: what moves title."""

import sqlite3
from dataclasses import replace
from shlex import quote

from catalog.dates import Moment, later_than, parse_date
from catalog.events import Event
from catalog.money import Money
from catalog.records import catalogs, parties
from catalog.records.items import Coded
from catalog.records.transfers.chain import State
from catalog.records.transfers.entering import BackDatedError, Plan, Step, enter
from catalog.records.transfers.record import (
    NONE_SAID,
    NOUNS,
    Draft,
    Giver,
    NotOursToGiveError,
    Said,
    Transfer,
    described,
    name_of,
    of_item,
)


def sell(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    to: int,
    price: Money | None,
    their_number: str = "",
    *,
    giver: int | Giver = Giver.STUDIO,
    said: Said = NONE_SAID,
) -> Transfer:
    """Sell a thing, or tell a later sale of it. From the studio title passes at once; when consigned, once paid."""
    said = said._replace(their_number=their_number) if their_number else said

    def plan(state: State) -> Draft:
        owner = _owner(connection, thing, state, giver, to, "sold")
        direct = owner != state.artist or state.custodian == state.artist
        return Draft("sale", owner, to, title=direct, custody=True, price=price, said=said)

    return _enter(connection, event, thing, "sale", plan, giver)


def pay(connection: sqlite3.Connection, event: Event, thing: Coded) -> Transfer:
    """Record that the studio was paid for a sale; what was consigned changes its owner now."""

    def plan(state: State) -> Draft:
        if not state.debts:
            raise NotOursToGiveError(thing.code, "no sale of it waits to be paid")
        sale = state.debts[-1].sale
        title = state.owner is not None and not sale.title  # a debt can be paid for what is no more
        return Draft("payment", sale.from_party, sale.to_party, title=title, custody=False, settles=sale.id)

    return enter(connection, thing, [Step(event, "payment", plan)])[-1]


def give(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    to: int,
    kind: str = "gift",
    *,
    giver: int | Giver = Giver.STUDIO,
    said: Said = NONE_SAID,
) -> Transfer:
    """Give a thing away, leave it by will or exchange it (`kind`): gift, bequest or exchange."""
    words = {"gift": "given away", "bequest": "left to anybody", "exchange": "exchanged"}

    def plan(state: State) -> Draft:
        owner = _owner(connection, thing, state, giver, to, words[kind])
        if kind == "bequest" and owner is not None and (owner == state.artist or parties.read(connection, owner).died):
            _refuse_living(connection, event, thing, owner)
        return Draft(kind, owner, to, title=True, custody=True, said=said)

    return _enter(connection, event, thing, kind, plan, giver)


def _enter(
    connection: sqlite3.Connection, event: Event, thing: Coded, kind: str, plan: Plan, giver: int | Giver
) -> Transfer:
    """Enter a change of title; where its giver is not the owner recorded, after what makes the gap between them."""
    if isinstance(giver, Giver) or not _stranger(connection, event, thing, giver):
        return enter(connection, thing, [Step(event, kind, plan)])[-1]

    def known(state: State) -> Draft:
        _refuse_gone(connection, thing, state, "sold")
        if state.owner == state.artist:
            raise NotOursToGiveError(
                thing.code,
                f"it belongs to the artist, not to {name_of(connection, giver)}",
                f"First tell how it left the studio, such as: tirage sell {thing.code} unknown --on DATE.",
            )
        return Draft("kept", None, giver, title=True, custody=True)

    since = Step(replace(event, moment=_by(event.moment), note=""), "kept", known, told=(kind, event))
    try:
        return enter(connection, thing, [since, Step(event, kind, plan)])[-1]
    except BackDatedError:
        _refuse_not_theirs_yet(connection, event, thing, kind, giver)
        raise


def _refuse_not_theirs_yet(connection: sqlite3.Connection, event: Event, thing: Coded, kind: str, giver: int) -> None:
    """Raise BackDatedError where a thing came to its giver only later, naming the change that brought it."""
    for one in of_item(connection, thing.id):
        if one.title and one.to_party == giver and later_than(one.moment, event.moment):
            told = f"{'an' if NOUNS[kind][0] in 'aeiou' else 'a'} {NOUNS[kind]} by {name_of(connection, giver)}"
            whose = f"it belongs to {name_of(connection, one.from_party)}"
            raise BackDatedError(thing.code, told, event.moment.text(), described(connection, one), whose) from None


def _stranger(connection: sqlite3.Connection, event: Event, thing: Coded, giver: int) -> bool:
    """Whether the record never says that a thing was this giver's at a date that may be before the event."""
    owners = {catalogs.artist(connection).id}
    owners |= {
        one.to_party or 0
        for one in of_item(connection, thing.id)
        if one.title and not later_than(one.moment, event.moment)
    }
    return giver not in owners


def living_then(connection: sqlite3.Connection, party: int, moment: Moment) -> str:
    """Why a party cannot have left a thing by will then, as far as it is recorded; "" where its death is."""
    name, died = parties.read(connection, party).name, parties.read(connection, party).died
    if not died:
        return f"no death of {name} is recorded"
    if moment.latest and parse_date(died).earliest > moment.latest:
        return f"{name} died {parse_date(died).text()}, after {moment.text()}"
    return ""


def _refuse_living(connection: sqlite3.Connection, event: Event, thing: Coded, party: int) -> None:
    reason = living_then(connection, party, event.moment)
    if reason:
        name = parties.read(connection, party).name
        right = "Give the right date with --on DATE"
        remedy = right if parties.read(connection, party).died else f"First: tirage party died {quote(name)} DATE"
        raise NotOursToGiveError(thing.code, reason, f"{remedy}; or give it without --bequest.")


def _by(moment: Moment) -> Moment:
    """The time up to a moment, its beginning not known."""
    last = moment.date if "/" not in moment.date and moment.date[:1] not in "[{" else moment.latest or moment.earliest
    date = parse_date(f"/{last}")
    return Moment(date.edtf, date.earliest, date.latest, "")


def _refuse_gone(connection: sqlite3.Connection, thing: Coded, state: State, what: str) -> None:
    if state.gone or state.owner is None:
        raise NotOursToGiveError(thing.code, f"it was {state.gone or 'destroyed'} and cannot be {what}")
    if state.sold:
        raise NotOursToGiveError(
            thing.code,
            f"it was sold to {name_of(connection, state.sold.to_party)} on {parse_date(state.sold.happened).text()} "
            "and waits to be paid; a thing is sold once",
            f"See: tirage print show {thing.code}.",
        )


def _owner(
    connection: sqlite3.Connection, thing: Coded, state: State, giver: int | Giver, to: int, what: str
) -> int | None:
    """Who gives a thing that stands so; None where that is not known. Raises NotOursToGiveError."""
    _refuse_gone(connection, thing, state, what)
    name = name_of(connection, state.owner)
    if giver is Giver.UNKNOWN:
        if state.owner == state.artist:
            raise NotOursToGiveError(thing.code, "it belongs to the artist, so who gives it is known")
        return None
    if giver is Giver.STUDIO and state.owner != state.artist:
        raise NotOursToGiveError(
            thing.code,
            f"it belongs to {name}; only its owner can give or sell it",
            f"What became of it later is told with --from “{name}” or --from unknown.",
        )
    if not isinstance(giver, Giver) and giver != state.owner:
        raise NotOursToGiveError(thing.code, f"it belongs to {name}, not to {name_of(connection, giver)}")
    if to == state.owner:
        raise NotOursToGiveError(thing.code, f"it would be {what} to {name}, whose it is")
    return state.owner
