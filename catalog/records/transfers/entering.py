"""Entering changes of hands: at the end of an item's chain, or told later in the place where they belong."""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from catalog.dates import Moment, later_than, parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records import catalogs
from catalog.records.items import Coded
from catalog.records.transfers.chain import BrokenChainError, State, end_is_kept, state_after
from catalog.records.transfers.record import (
    NOUNS,
    TITLE_KINDS,
    Draft,
    NotOursToGiveError,
    Transfer,
    described,
    name_of,
    of_item,
    pending,
    write,
)

MADE = """SELECT coalesce(p.made, n.made, ''), coalesce(p.earliest, n.earliest, ''), coalesce(p.latest, n.latest, ''),
    coalesce(p.clock, ''), coalesce(p.signed_earliest, ''), p.signed FROM item i LEFT JOIN print p ON p.id = i.id
    LEFT JOIN negative n ON n.id = i.id WHERE i.id = ?"""
LEAVING = (*TITLE_KINDS, "consignment", "approval", "destruction")  # never before the signature

Plan = Callable[[State], Draft]  # what would happen to a thing that stands so; raises NotOursToGiveError


class Step(NamedTuple):
    """A change of hands to be entered: when, of what kind, and how it follows from what was before.

    With `in_order` it stands before all that is dated later, also where the dates would allow another order. `told` is
    the kind and the event that a person told, where this one only follows from it.
    """

    event: Event
    kind: str
    plan: Plan
    in_order: bool = False
    told: tuple[str, Event] | None = None


class TooEarlyError(TirageError):
    """A change of hands before the thing could change hands."""

    def __init__(self, code: str, what: str, date: str, given: str) -> None:
        super().__init__(
            f"{code} was {what} {date}, after {given}. Give the day it really changed hands or was destroyed with "
            f"--on DATE."
        )


class TransferOrderError(TirageError):
    """A transfer that fits nowhere between those of its item, whatever it is."""

    def __init__(self, code: str, other: str, given: str) -> None:
        super().__init__(f"{code}: {given} fits no place beside {other}. Give the right date with --on DATE.")


class BackDatedError(TirageError):
    """A transfer told later that contradicts another."""

    def __init__(self, code: str, noun: str, given: str, other: str, reason: str) -> None:
        super().__init__(
            f"{code}: {noun} dated {given} contradicts {other}; at that point {reason}. Give the right date with "
            f"--on DATE; all of it: tirage history {code}."
        )


class BrokenRecordError(TirageError):
    """A record that contradicts itself already, so that nothing can be entered beside it."""

    def __init__(self, code: str, other: str, reason: str) -> None:
        super().__init__(
            f"{code}: its record contradicts itself at {other}; at that point {reason}. See: tirage check."
        )


class NoRoomError(TirageError):
    """Too many transfers told later between the same two."""

    def __init__(self, code: str, other: str) -> None:
        super().__init__(
            f"{code}: there is no room left just before {other}, as too many entries were told later there. Keep it "
            f"as a note: tirage correct {code} note=TEXT --why REASON."
        )


def enter(connection: sqlite3.Connection, thing: Coded, steps: Sequence[Step]) -> list[Transfer]:
    """Enter one or more changes of hands in their order. Nothing is written unless the whole chain holds.

    Raises NotOursToGiveError, BackDatedError, TransferOrderError, TooEarlyError, NoRoomError, BrokenRecordError.
    """
    artist = catalogs.artist(connection).id
    before = of_item(connection, thing.id)
    try:
        state_after(before, artist)
    except BrokenChainError as broken:
        reason = broken.reason.format(party=name_of(connection, broken.party))
        raise BrokenRecordError(thing.code, described(connection, broken.culprit), reason) from None
    chain = _Search(connection, thing, artist).arranged(before, steps)
    written = _written(connection, thing, chain)
    return [one for one in of_item(connection, thing.id) if one.id in written]


class _Search:
    """Looks for the latest place in a chain where some new changes of hands can stand."""

    def __init__(self, connection: sqlite3.Connection, thing: Coded, artist: int) -> None:
        self.connection, self.thing, self.artist = connection, thing, artist
        self.failure: TirageError | None = None

    def arranged(self, before: list[Transfer], steps: Sequence[Step]) -> list[Transfer]:
        """The chain with the new ones in their places, or the first failure raised."""
        chain = self._arrange(before, list(steps), 0)
        if chain is None:
            assert self.failure is not None
            raise self.failure
        return chain

    def _arrange(self, chain: list[Transfer], steps: list[Step], low: int) -> list[Transfer] | None:
        step, *rest = steps
        places = [
            place
            for place in _places(chain, step.event.moment, low)
            if not step.in_order or not any(_dated_after(one.moment, step.event.moment) for one in chain[:place])
        ]
        if not places:
            other = next((one for one in reversed(chain) if later_than(one.moment, step.event.moment)), chain[-1])
            self._fail(TransferOrderError(self.thing.code, self._described(other), step.event.moment.text()))
        for place in places:
            one = self._planned(chain, place, step)
            if one is None:
                continue
            longer = [*chain[:place], one, *chain[place:]]
            found = self._arrange(longer, rest, place + 1) if rest else longer
            if found is not None and (rest or self._holds(found, step)):
                return found
        return None

    def _planned(self, chain: list[Transfer], place: int, step: Step) -> Transfer | None:
        try:
            draft = step.plan(state_after(chain[:place], self.artist))
        except BrokenChainError as broken:
            self._contradicts(step, broken.culprit, self._reason(broken))
            return None
        except NotOursToGiveError as refusal:
            if all(one.id < 0 for one in chain[place:]):
                self._fail(refusal)
            else:
                self._contradicts(step, chain[max(place - 1, 0)], refusal.reason)
            return None
        _refuse_too_early(self.connection, step.event, self.thing, draft.kind)
        return pending(self.thing.id, step.event, draft, -1 - sum(one.id < 0 for one in chain))

    def _holds(self, chain: list[Transfer], step: Step) -> bool:
        try:
            state_after(chain, self.artist)
        except BrokenChainError as broken:
            reason = self._reason(broken)
            # What stood there before is told what it would be; what is new, what it is.
            self._contradicts(step, broken.culprit, reason.replace("it belongs", "it would belong", 1))
            return False
        if not end_is_kept(chain, [one for one in chain if one.id < 0]):
            last = [one for one in chain if one.id > 0][-1]
            self._contradicts(step, last, "who has or owns it today would change, which what is told later never does")
            return False
        return True

    def _contradicts(self, step: Step, other: Transfer, reason: str) -> None:
        kind, event = step.told or (step.kind, step.event)
        noun = NOUNS[kind]
        article = "an" if noun[0] in "aeiou" else "a"
        self._fail(
            BackDatedError(self.thing.code, f"{article} {noun}", event.moment.text(), self._described(other), reason)
        )

    def _fail(self, failure: TirageError) -> None:
        self.failure = self.failure or failure

    def _reason(self, broken: BrokenChainError) -> str:
        return broken.reason.format(party=name_of(self.connection, broken.party))

    def _described(self, one: Transfer) -> str:
        return described(self.connection, one)


def _places(chain: Sequence[Transfer], moment: Moment, low: int) -> Iterator[int]:
    """Every place in a chain that no certain date forbids, the last first."""
    for place in range(len(chain), low - 1, -1):
        if not any(later_than(one.moment, moment) for one in chain[:place]) and all(
            _may_precede(moment, one.moment) for one in chain[place:]
        ):
            yield place


def _dated_after(other: Moment, moment: Moment) -> bool:
    """Whether the other is dated later, by the last day that each may be."""
    return bool(other.latest and moment.latest) and other.latest > moment.latest


def _may_precede(moment: Moment, other: Moment) -> bool:
    """Whether what is entered now may have come before the other: of two known days the order of entry decides."""
    if moment.date == moment.earliest == moment.latest and other.date == other.earliest == other.latest:
        return later_than(other, moment)
    return not later_than(moment, other)


def _written(connection: sqlite3.Connection, thing: Coded, chain: list[Transfer]) -> set[int]:
    """Write the pending members of a chain; their identities."""
    ranks = _ranks(connection, thing, chain)
    known: dict[int, int] = {}
    # A finding goes before the loss it ends, so that the thing is never lost in between.
    for one in sorted(
        (one for one in chain if one.id < 0), key=lambda one: one.kind != "finding" or ranks[one.id] is None
    ):
        settles = known.get(one.settles, one.settles) if one.settles is not None else None
        known[one.id] = write(connection, one, ranks[one.id], settles)
    return set(known.values())


def _ranks(connection: sqlite3.Connection, thing: Coded, chain: list[Transfer]) -> dict[int, int | None]:
    """The rank of each pending member: between its neighbours, or None at the end of the chain."""
    last = max((place for place, one in enumerate(chain) if one.id > 0), default=-1)
    ranks: dict[int, int | None] = {}
    below = 0
    for place, one in enumerate(chain):
        if one.id > 0:
            below = one.rank
            continue
        if place > last:
            ranks[one.id] = None
            continue
        above = next(other for other in chain[place + 1 :] if other.id > 0)
        rank = (below + above.rank) // 2
        if not below < rank < above.rank:
            raise NoRoomError(thing.code, described(connection, above))
        ranks[one.id] = below = rank
    return ranks


def _refuse_too_early(connection: sqlite3.Connection, event: Event, thing: Coded, kind: str) -> None:
    """Raise TooEarlyError before the thing was made, or, where it leaves the studio or ends, before it was signed."""
    row = connection.execute(MADE, (thing.id,)).fetchone()
    made = Moment(row[0], row[1], row[2], row[3])
    if made.date and later_than(made, event.moment):
        raise TooEarlyError(thing.code, "made", made.text(), event.moment.text())
    if kind in LEAVING and row[4] and event.moment.latest and event.moment.latest < row[4]:
        raise TooEarlyError(thing.code, "signed", parse_date(row[5]).text(), event.moment.text())
