"""Consignments: on what terms things are out, how each stands, and what is owed for what was sold."""

import sqlite3
from collections.abc import Iterator
from typing import NamedTuple

from catalog.money import Money
from catalog.records import catalogs
from catalog.records.transfers import State, Transfer, of_item, state_after
from catalog.records.transfers.chain import OUT_KINDS, BrokenChainError, Debt
from catalog.records.transfers.commission import WHOLE
from catalog.records.transfers.record import name_of

# What the studio owns and has not, by ranges of an index, for most of what it owns it has; and what is to be paid.
OUT = """SELECT s.item, c.code FROM standing s JOIN code c ON c.id = s.item WHERE s.owner = ?1 AND s.custodian < ?1
    UNION SELECT s.item, c.code FROM standing s JOIN code c ON c.id = s.item WHERE s.owner = ?1 AND s.custodian > ?1
    UNION SELECT s.item, c.code FROM standing s JOIN code c ON c.id = s.item
        WHERE s.owner = ?1 AND s.custodian IS NULL
    UNION SELECT t.item, c.code FROM waiting w JOIN transfer t ON t.id = w.id JOIN code c ON c.id = t.item
        WHERE w.what = 'payment' ORDER BY 1"""
WORDS = {"sold": "sold, not paid yet", "paid out": "sold and paid", "gone": "no longer the studio's"}


class Out(NamedTuple):
    """A thing handed out by the studio: to whom, who has it now, how it stands, on what terms."""

    item: int
    code: str
    kind: str  # of the first handing out
    party: int
    name: str
    holder: str
    state: str  # consigned, on approval, lent, sold
    since: str  # EDTF
    until: str
    until_latest: str
    commission: int | None
    retail: Money | None
    insured: Money | None
    condition: str
    their_number: str
    steps: tuple[Transfer, ...]


class Owed(NamedTuple):
    """What is owed to the studio for one sale: by whom, since when, the price less the commission."""

    item: int
    code: str
    party: int
    name: str
    buyer: str
    since: str  # EDTF of the sale
    price: Money | None
    commission: int | None
    amount: Money | None  # None where no price is recorded
    stays: bool  # title stays with the artist until it is paid


def standing_of(chain: list[Transfer], artist: int) -> str:
    """Where a thing stands: at studio, consigned, on approval, lent, sold, paid out, returned, lost, destroyed, gone.

    “Sold” opens what is owed; “paid out” says that a sale from a consignment was paid; “gone” is anybody else's.
    """
    state = state_after(chain, artist)
    if state.gone:
        return state.gone
    if state.sold or (state.owner != artist and not all(map(_for_nothing, state.debts))):
        return "sold"
    if state.owner != artist:
        return "paid out" if _paid_out(chain) else "gone"
    if state.custodian != artist:
        return _out_word(state)
    return "returned" if any(one.kind in OUT_KINDS for one in chain) else "at studio"


def standing_now(connection: sqlite3.Connection, item: int) -> str:
    """Where a thing stands now, as `standing_of` says; "" where its record contradicts itself, which is a finding."""
    try:
        return standing_of(of_item(connection, item), catalogs.artist(connection).id)
    except BrokenChainError:
        return ""


def out(connection: sqlite3.Connection, party: int | None = None) -> Iterator[Out]:
    """What the studio handed out and has not back, by item; of one party, or all."""
    for item, code, state in _states(connection):
        if not state.out or state.owner != state.artist or state.gone == "destroyed":
            continue
        first, last = state.out[0], state.out[-1]
        if party is not None and party not in (first.to_party, last.to_party):
            continue
        yield Out(
            item,
            code,
            first.kind,
            first.to_party or 0,
            name_of(connection, first.to_party),
            name_of(connection, state.custodian),
            "sold" if state.sold else "lost" if state.gone else _out_word(state),
            first.happened,
            first.until,
            first.until_latest,
            first.commission,
            first.money,
            first.insured_money,
            first.condition,
            first.their_number,
            state.out,
        )


def owed(connection: sqlite3.Connection, party: int | None = None) -> Iterator[Owed]:
    """What is owed for sales that are not paid, by item; by one party, or by all."""
    for item, code, state in _states(connection):
        for debt in state.debts:
            sale, terms = debt.sale, debt.consignment
            debtor = (terms.to_party if terms else sale.to_party) or 0
            price = _price(debt)
            if (party is not None and party != debtor) or _for_nothing(debt):
                continue
            share = terms.commission if terms else None
            yield Owed(
                item,
                code,
                debtor,
                name_of(connection, debtor),
                name_of(connection, sale.to_party),
                sale.happened,
                price,
                share,
                less(price, share),
                not sale.title,
            )


def _price(debt: Debt) -> Money | None:
    return debt.sale.money or (debt.consignment.money if debt.consignment else None)


def _for_nothing(debt: Debt) -> bool:
    """Whether a thing went for a price of nothing; one that nobody recorded is still owed."""
    price = _price(debt)
    return bool(debt.sale.title) and price is not None and not price.minor


def terms_now(connection: sqlite3.Connection, item: int) -> tuple[str, Money | None]:
    """Until when a thing is out (EDTF) and at what retail price: the first terms, but an end that a move on has."""
    try:
        state = state_after(of_item(connection, item), catalogs.artist(connection).id)
    except BrokenChainError:
        return "", None
    if not state.out or state.owner != state.artist:
        return "", None
    first, last = state.out[0], state.out[-1]
    return last.until or first.until, first.money if first.kind == "consignment" else None


def retail_price(connection: sqlite3.Connection, item: int) -> Money | None:
    """The retail price in the terms that a thing is consigned on, if it is."""
    try:
        state = state_after(of_item(connection, item), catalogs.artist(connection).id)
    except BrokenChainError:
        return None
    return state.out[0].money if state.out and state.out[0].kind == "consignment" else None


def totals(found: list[Owed]) -> list[Money]:
    """The sum of what is owed, one a currency."""
    sums: dict[str, int] = {}
    for one in found:
        if one.amount:
            sums[one.amount.currency] = sums.get(one.amount.currency, 0) + one.amount.minor
    return [Money(minor, currency) for currency, minor in sorted(sums.items())]


def less(price: Money | None, commission: int | None) -> Money | None:
    """A price less a commission in hundredths of a per cent; the commission is rounded to a whole minor unit."""
    if price is None:
        return None
    share = (price.minor * (commission or 0) + WHOLE // 2) // WHOLE
    return Money(price.minor - share, price.currency)


def _states(connection: sqlite3.Connection) -> Iterator[tuple[int, str, State]]:
    artist = catalogs.artist(connection).id
    for item, code in connection.execute(OUT, (artist,)).fetchall():
        try:
            yield item, code, state_after(of_item(connection, item), artist)
        except BrokenChainError:  # a finding, and nothing to count on
            continue


def _out_word(state: State) -> str:
    if not state.out:
        return "elsewhere"  # with who found it, say
    if state.out[-1].kind == "approval":
        return "on approval"
    return "consigned" if state.out[0].kind == "consignment" else "lent"


def _paid_out(chain: list[Transfer]) -> bool:
    return any(one.kind == "payment" and one.title for one in chain)
