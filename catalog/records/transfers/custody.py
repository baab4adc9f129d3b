"""Consigning, lending, bringing back, keeping, losing, finding and destroying: what moves custody, or ends a thing."""

import sqlite3

from catalog.dates import Date, later_than, parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.money import Money
from catalog.records import catalogs
from catalog.records.items import Coded
from catalog.records.transfers.chain import State
from catalog.records.transfers.entering import BackDatedError, Plan, Step, enter
from catalog.records.transfers.record import (
    NONE_SAID,
    Draft,
    Giver,
    NotOursToGiveError,
    Said,
    Terms,
    Transfer,
    described,
    name_of,
    of_item,
)

ISSUED_AFTER = """SELECT code.code FROM certificate c JOIN code ON code.id = c.id
    WHERE c.print = ? AND c.earliest > ? AND NOT EXISTS (SELECT 1 FROM certificate_event v
    WHERE v.certificate = c.id AND v.event = 'revoked') ORDER BY c.id"""
WORDS = {"consignment": "consigned", "approval": "sent on approval", "loan": "lent", "exhibition": "lent"}


class KnownLaterError(TirageError):
    """Somebody who is said to have had a thing before the record says that it came to them."""

    def __init__(self, connection: sqlite3.Connection, thing: Coded, event: Event, came: Transfer) -> None:
        name = name_of(connection, came.to_party)
        super().__init__(
            f"{thing.code} came to {name} by {described(connection, came)}, which is recorded already and later than "
            f"“{event.moment.text()}”. If it was theirs earlier, that date is wrong: tirage correct {thing.code} "
            f"{came.kind}-date=DATE --why REASON."
        )


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
    terms: Terms | None = None,
    giver: int | Giver = Giver.STUDIO,
    said: Said = NONE_SAID,
    returned: Event | None = None,
) -> Transfer:
    """Consign or lend a thing the studio owns and has, or tell that who has it moved it on within that.

    With `returned` it came back then to the one who gave it out, which may both be told later.
    """
    terms = terms or Terms(until, commission, value)
    said = said._replace(their_number=their_number) if their_number else said

    def plan(state: State) -> Draft:
        custodian = _custodian(connection, thing, state, kind, giver)
        _refuse_terms(connection, thing, state, terms, custodian)
        if to == state.custodian:
            raise NotOursToGiveError(thing.code, f"{name_of(connection, to)} has it already")
        if custodian != state.owner and to == state.owner:
            raise NotOursToGiveError(
                thing.code, "that brings it back to its owner", f"Record it so: tirage return {thing.code}."
            )
        if terms.until and terms.until.latest and terms.until.latest < event.moment.earliest:
            raise NotOursToGiveError(thing.code, f"it would end on {terms.until.text()}, before it begins")
        return Draft(kind, custodian, to, title=False, custody=True, terms=terms, said=said)

    if returned is None:
        return enter(connection, thing, [Step(event, kind, plan)])[-1]

    def back(state: State) -> Draft:
        target = state.out[-1].from_party if state.out else state.owner
        ends = state.out[-1].id if state.out else None
        return Draft("return", to, target, title=False, custody=True, settles=ends)

    return enter(connection, thing, [Step(event, kind, plan), Step(returned, "return", back)])[0]


def give_back(connection: sqlite3.Connection, event: Event, thing: Coded, to: int | None = None) -> Transfer:
    """Record that a thing came back to its owner, or to somebody who had it within the same consignment or loan.

    What comes back to the studio is then not yet placed. What the studio sold and was not paid for comes back with its
    title: the sale was not completed.
    """

    def plan(state: State) -> Draft:
        sale = state.unpaid
        if sale and to in (None, state.artist) and not state.gone:
            return Draft("return", sale.to_party, state.artist, title=True, custody=True, settles=sale.id)
        target = state.owner if to is None else to
        _refuse_back(connection, thing, state, target)
        # What was sold on consignment, not paid, and comes back, ends the sale: title never passed.
        ended = state.sold
        if ended is None:
            after = [one for one in state.out if one.from_party == target] or list(state.out[:1])
            ended = after[0] if after else None
        return Draft("return", state.custodian, target, title=False, custody=True, settles=ended.id if ended else None)

    return enter(connection, thing, [Step(event, "return", plan)])[-1]


def keep(connection: sqlite3.Connection, event: Event, thing: Coded, party: int | None = None) -> Transfer:
    """Record that its owner kept a thing: the artist, or a later owner who is known to have had it then.

    Whose it was by the record is confirmed; somebody else comes between, in order of date, from a hand not known.
    """
    artist = catalogs.artist(connection).id
    who = artist if party is None else party

    def confirmed(state: State) -> Draft:
        _refuse_gone(thing, state, "kept")
        if who != state.owner:
            raise NotOursToGiveError(thing.code, f"it belongs to {name_of(connection, state.owner)}")
        return Draft("kept", who, who, title=False, custody=False)

    def known(state: State) -> Draft:
        _refuse_gone(thing, state, "kept")
        if state.owner == state.artist or who == state.artist:
            raise NotOursToGiveError(thing.code, f"it belongs to {name_of(connection, state.owner)}")
        return Draft("kept", None, who, title=True, custody=True)

    try:
        return enter(connection, thing, [Step(event, "kept", confirmed)])[-1]
    except (NotOursToGiveError, BackDatedError):
        if who == artist:
            raise
    try:
        return enter(connection, thing, [Step(event, "kept", known, in_order=True)])[-1]
    except BackDatedError:
        came = next((one for one in of_item(connection, thing.id) if one.title and one.to_party == who), None)
        if came and came.from_party is not None and later_than(came.moment, event.moment):
            raise KnownLaterError(connection, thing, event, came) from None
        raise


def lose(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    *,
    stolen: bool = False,
    said: Said = NONE_SAID,
    found: Event | None = None,
) -> Transfer:
    """Record that a thing was lost or stolen; its owner stays its owner. With `found` it was found again then."""

    def plan(state: State) -> Draft:
        _refuse_gone(thing, state, "lost again")
        return Draft("theft" if stolen else "loss", state.custodian, None, title=False, custody=True, said=said)

    steps = [Step(event, "theft" if stolen else "loss", plan)]
    if found is not None:
        steps.append(Step(found, "finding", _finding(connection, thing, None, NONE_SAID)))
    return enter(connection, thing, steps)[0]


def find_again(
    connection: sqlite3.Connection, event: Event, thing: Coded, to: int | None = None, said: Said = NONE_SAID
) -> Transfer:
    """Record that a lost thing was found; unless told who has it, it is with who had it when it was lost."""
    return enter(connection, thing, [Step(event, "finding", _finding(connection, thing, to, said))])[-1]


def destroy(connection: sqlite3.Connection, event: Event, thing: Coded) -> Transfer:
    """Record that a thing was destroyed: a print's number is never given again, except to a recorded replacement."""

    def plan(state: State) -> Draft:
        if state.gone == "destroyed":
            raise NotOursToGiveError(thing.code, "it was destroyed already")
        return Draft("destruction", state.owner, None, title=True, custody=True)

    return enter(connection, thing, [Step(event, "destruction", plan)])[-1]


def issued_after(connection: sqlite3.Connection, thing: Coded) -> list[str]:
    """The certificates of a thing that were issued, and not revoked, after the day it was destroyed."""
    gone = next((one for one in of_item(connection, thing.id) if one.kind == "destruction"), None)
    if gone is None or not gone.latest:
        return []
    return [row[0] for row in connection.execute(ISSUED_AFTER, (thing.id, gone.latest))]


def _finding(connection: sqlite3.Connection, thing: Coded, to: int | None, said: Said) -> Plan:
    def plan(state: State) -> Draft:
        if state.gone != "lost":
            raise NotOursToGiveError(thing.code, f"it {'was destroyed' if state.gone else 'is not lost'}")
        return Draft("finding", None, state.had if to is None else to, title=False, custody=True, said=said)

    return plan


def _refuse_gone(thing: Coded, state: State, what: str) -> None:
    if state.gone:
        raise NotOursToGiveError(
            thing.code,
            f"it was {state.gone} and cannot be {what}",
            f"Once it is found: tirage found {thing.code}." if state.gone == "lost" else "",
        )


def _custodian(connection: sqlite3.Connection, thing: Coded, state: State, kind: str, giver: int | Giver) -> int | None:
    """Who hands a thing out that stands so. Raises NotOursToGiveError."""
    _refuse_gone(thing, state, WORDS[kind])
    owner, custodian = name_of(connection, state.owner), name_of(connection, state.custodian)
    if giver is Giver.UNKNOWN:
        raise NotOursToGiveError(thing.code, f"{custodian} has it, so who handed it on is known")
    wanted = state.artist if isinstance(giver, Giver) else giver
    if wanted == state.artist != state.owner:
        raise NotOursToGiveError(thing.code, f"it belongs to {owner}")
    if wanted != state.custodian:
        moved = "" if state.sold or wanted != state.artist else f" If they moved it on, say so: --from “{custodian}”."
        raise NotOursToGiveError(
            thing.code, f"{custodian} has it", f"First it comes back: tirage return {thing.code}.{moved}"
        )
    if state.sold:
        raise NotOursToGiveError(thing.code, f"it was sold to {custodian} and waits to be paid")
    return wanted


def _refuse_terms(
    connection: sqlite3.Connection, thing: Coded, state: State, terms: Terms, custodian: int | None
) -> None:
    if custodian != state.owner and terms.of_sale and state.out:
        first = state.out[0]
        raise NotOursToGiveError(
            thing.code,
            f"the terms stay those of {parse_date(first.happened).text()} with {name_of(connection, first.to_party)}",
            "Leave out --commission, --price and --insured.",
        )


def _refuse_back(connection: sqlite3.Connection, thing: Coded, state: State, target: int | None) -> None:
    if state.gone == "lost":
        raise NotOursToGiveError(thing.code, "it was lost", f"Once it is found: tirage found {thing.code}.")
    if state.gone:
        raise NotOursToGiveError(thing.code, "it was destroyed")
    if target == state.custodian:
        where = "in the studio" if target == state.artist else f"with {name_of(connection, target)}"
        raise NotOursToGiveError(thing.code, f"it is {where}; nothing is out to come back")
    if target != state.owner and target not in [one.to_party for one in state.out]:
        raise NotOursToGiveError(
            thing.code,
            f"{name_of(connection, target)} did not have it before, so it does not go back there",
            f"A move on is told with consign or lend, and --from “{name_of(connection, state.custodian)}”.",
        )
