"""The chain of an item's changes of hands: who owns it, who has it and what is owed after each of them. Pure."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from catalog.records.transfers.record import TITLE_KINDS, Transfer

OUT_KINDS = ("consignment", "approval", "loan", "exhibition")
FATE_KINDS = ("loss", "theft", "finding", "destruction")


class Debt(NamedTuple):
    """A sale of the studio's that is not settled, and the consignment it was sold from, if it was."""

    sale: Transfer
    consignment: Transfer | None


@dataclass(frozen=True)
class State:
    """How an item stands after some of its changes of hands."""

    artist: int
    owner: int | None
    custodian: int | None
    gone: str = ""  # "", "lost" or "destroyed"
    debts: tuple[Debt, ...] = ()
    out: tuple[Transfer, ...] = ()  # the handing out that still lasts, and the moves on within it
    had: int | None = None  # who had it when it was lost
    titled: Transfer | None = None  # the last change of hands that moved title

    @property
    def unpaid(self) -> Transfer | None:
        """The studio's sale to the one who owns and has the thing now, title with it, that is not paid yet."""
        owed = any(debt.sale is self.titled for debt in self.debts)
        return self.titled if owed and self.custodian == self.owner else None

    @property
    def sold(self) -> Transfer | None:
        """A sale whose title waits for its payment."""
        return next((debt.sale for debt in self.debts if not debt.sale.title), None)


class BrokenChainError(Exception):
    """A change of hands that cannot follow those before it; `reason` may name a {party}."""

    def __init__(self, culprit: Transfer, reason: str, party: int | None = None) -> None:
        super().__init__(reason)
        self.culprit, self.reason, self.party = culprit, reason, party


def state_after(chain: Sequence[Transfer], artist: int) -> State:
    """How an item stands after a chain. Raises BrokenChainError at the first change of hands that cannot be."""
    state = State(artist, artist, artist)
    for one in chain:
        state = _follow(state, one)
        if one.title:
            state = replace(state, titled=one)
    return state


def end_is_kept(chain: Sequence[Transfer], new: Sequence[Transfer]) -> bool:
    """Whether what is told later leaves the owner, the custodian and the fate of an item as they are now.

    `new` are the pending members of the chain; those behind all others are not told later but are its new end.
    """
    mine = {one.id for one in new}
    last = max((place for place, one in enumerate(chain) if one.id not in mine), default=-1)
    told = chain[: last + 1]
    for place, one in enumerate(told):
        after = [other for other in told[place + 1 :] if other.id not in mine]
        if one.id in mine and (
            one.kind == "destruction"
            or (one.title and not any(other.title for other in after))
            or (one.custody and not any(other.custody for other in after))
        ):
            return False
    return _fate_of(told) == _fate_of([one for one in told if one.id not in mine])


def _fate_of(chain: Sequence[Transfer]) -> str:
    fates = [one.kind for one in chain if one.kind in FATE_KINDS]
    return fates[-1] if fates and fates[-1] != "finding" else ""


def _follow(state: State, one: Transfer) -> State:
    _refuse_gone(state, one)
    if one.kind in TITLE_KINDS:
        return _title(state, one)
    if one.kind == "payment":
        return _payment(state, one)
    if one.kind in OUT_KINDS or one.kind == "return":
        return _custody(state, one)
    if one.kind == "kept":
        return _kept(state, one)
    return _fate(state, one)


def _refuse_gone(state: State, one: Transfer) -> None:
    if state.gone == "destroyed" and not (one.kind == "payment" and not one.title):
        raise BrokenChainError(one, "it is destroyed")
    if state.gone == "lost" and one.kind not in ("finding", "destruction", "payment"):
        raise BrokenChainError(one, "it is lost")


def _title(state: State, one: Transfer) -> State:
    if state.sold:
        raise BrokenChainError(one, "it is sold and waits to be paid")
    unknown_giver = one.from_party is None and state.owner not in (None, state.artist)
    if one.from_party != state.owner and not unknown_giver:
        raise BrokenChainError(one, "it belongs to {party}", state.owner)
    if one.kind == "sale" and one.title and one.from_party == state.artist != state.custodian:
        raise BrokenChainError(one, "{party} has it, and it was sold from the studio", state.custodian)
    debts = state.debts
    if one.kind == "sale" and one.from_party == state.artist:
        root = state.out[0] if state.out and state.out[0].kind == "consignment" else None
        debts = (*debts, Debt(one, root))
    state = replace(state, debts=debts, custodian=one.to_party if one.custody else state.custodian)
    return replace(state, owner=one.to_party, out=()) if one.title else state


def _payment(state: State, one: Transfer) -> State:
    if not any(debt.sale.id == one.settles for debt in state.debts):
        raise BrokenChainError(one, "the sale it pays is not made yet")
    debts = tuple(debt for debt in state.debts if debt.sale.id != one.settles)
    state = replace(state, debts=debts)
    return replace(state, owner=one.to_party, out=()) if one.title else state


def _custody(state: State, one: Transfer) -> State:
    if one.from_party != state.custodian:
        raise BrokenChainError(one, "{party} has it", state.custodian)
    if one.kind != "return":
        if one.from_party == state.artist != state.owner:
            raise BrokenChainError(one, "it belongs to {party}", state.owner)
        out = (one,) if one.from_party == state.owner else (*state.out, one)
        return replace(state, custodian=one.to_party, out=out)
    if one.title:
        return _fallen_through(state, one)
    debts = tuple(debt for debt in state.debts if debt.sale.id != one.settles)
    holders = [earlier.to_party for earlier in state.out]
    kept = holders.index(one.to_party) + 1 if one.to_party in holders else 0
    return replace(state, custodian=one.to_party, out=state.out[:kept], debts=debts)


def _fallen_through(state: State, one: Transfer) -> State:
    """After a sale whose title had passed was not completed: it is the studio's again, and nothing is owed."""
    debt = next((debt for debt in state.debts if debt.sale.id == one.settles), None)
    if debt is None or one.to_party != state.artist:
        raise BrokenChainError(one, "no sale of it waits to be paid")
    if one.from_party != state.owner or debt.sale is not state.titled:
        raise BrokenChainError(one, "it belongs to {party}", state.owner)
    debts = tuple(other for other in state.debts if other is not debt)
    return replace(state, owner=state.artist, custodian=state.artist, out=(), debts=debts)


def _kept(state: State, one: Transfer) -> State:
    if not one.title:
        if one.to_party != state.owner:
            raise BrokenChainError(one, "it belongs to {party}", state.owner)
        return state
    if state.owner in (None, state.artist) or one.from_party is not None or state.sold:
        raise BrokenChainError(one, "it belongs to {party}", state.owner)
    return replace(state, owner=one.to_party, custodian=one.to_party if one.custody else state.custodian, out=())


def _fate(state: State, one: Transfer) -> State:
    if one.kind == "destruction":
        return replace(state, owner=None, custodian=None, gone="destroyed", out=())
    if one.kind == "finding":
        if state.gone != "lost":
            raise BrokenChainError(one, "it is not lost")
        holders = [earlier.to_party for earlier in state.out]
        out = state.out[: holders.index(one.to_party) + 1] if one.to_party in holders else ()
        return replace(state, custodian=one.to_party, gone="", out=out)
    if one.from_party != state.custodian:
        raise BrokenChainError(one, "{party} has it", state.custodian)
    return replace(state, custodian=None, gone="lost", had=state.custodian)
