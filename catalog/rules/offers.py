"""Offers: what an edition costs now, what it will cost next, and what of it is unsold."""

import sqlite3
from dataclasses import dataclass

from catalog.money import Money
from catalog.records import edition_prices, editions, places
from catalog.records.edition_prices import Price
from catalog.rules.edition_map import edition_map, held

# A sale that fell through was ended by a return; of a number that was replaced, one sale counts.
SOLD = """SELECT count(DISTINCT coalesce(p.number, p.id)) FROM print p WHERE p.edition = ?
    AND p.kind IN ('numbered', 'open') AND EXISTS (SELECT 1 FROM transfer t WHERE t.item = p.id AND t.kind = 'sale'
    AND t.from_party IS (SELECT artist FROM catalog)
    AND NOT EXISTS (SELECT 1 FROM transfer r WHERE r.settles = t.id AND r.kind = 'return'))"""
WHERE = """SELECT s.place, s.custodian, c.name, t.until, t.kind, t.price, t.currency FROM standing s
    LEFT JOIN party c ON c.id = s.custodian LEFT JOIN transfer t ON t.id = s.custody_transfer WHERE s.item = ?"""
PROMISED = """SELECT p.number, party.name, p.until FROM promise p JOIN party ON party.id = p.party
    WHERE p.edition = ? AND p.kind = 'numbered' AND p.ended = ''"""
ARTIST = "SELECT artist FROM catalog"
NOT_GIVEN = "not given yet"
HERE = ("printed", "signed", "consigned", "lent", "kept")


@dataclass(frozen=True)
class Unsold:
    """A number, or a print of an open edition, that is not sold: how it stands, where, until when, at what price."""

    edition: str
    number: str
    code: str  # of the print, "" where it is not printed yet
    standing: str
    where: str
    until: str  # EDTF
    price: Money | None


def sold(connection: sqlite3.Connection, edition_id: int) -> int:
    """How many numbered prints (of an open edition: prints) the studio sold, the ones not yet paid among them."""
    return int(connection.execute(SOLD, (edition_id,)).fetchone()[0])


def price_at(prices: list[Price], sale: int) -> Money | None:
    """The price of the `sale`-th sale: the newest of those that hold from that sale or one before it."""
    holding = [price for price in prices if price.from_sale <= sale]
    return holding[-1].money if holding else None


def price_now(connection: sqlite3.Connection, edition_id: int) -> Money | None:
    """What the next numbered print of an edition costs, or None where no price is set."""
    return price_at(edition_prices.prices(connection, edition_id), sold(connection, edition_id) + 1)


def price_next(connection: sqlite3.Connection, edition_id: int) -> tuple[int, Money] | None:
    """The sale from which another price holds, and that price; None where none is to come."""
    prices, now = edition_prices.prices(connection, edition_id), sold(connection, edition_id) + 1
    current = price_at(prices, now)
    for sale in sorted({price.from_sale for price in prices if price.from_sale > now}):
        later = price_at(prices, sale)
        if later is not None and later != current:
            return sale, later
    return None


def unsold(connection: sqlite3.Connection, edition: editions.Edition) -> list[Unsold]:
    """What of an edition can still be had, number by number; of an open edition its prints."""
    now, promised = price_now(connection, edition.id), _promised(connection, edition.id)
    found = []
    if edition.size is None:
        for one in held(connection, edition.id):
            if one.kind == "open" and one.standing in HERE:
                found.append(_printed(connection, edition.code, "", one.code, one.print_id, one.standing, now))
        return found
    for cell in edition_map(connection, edition):
        if cell.kind != "numbered":
            continue
        if cell.print_id is not None and cell.standing in HERE:
            found.append(_printed(connection, edition.code, cell.label, cell.code, cell.print_id, cell.standing, now))
        elif cell.print_id is None and cell.standing in ("free", "reserved"):
            name, until = promised.get(cell.number, ("", ""))
            standing = f"promised to {name}" if name else NOT_GIVEN
            found.append(Unsold(edition.code, cell.label, "", standing, "", until, now))
    return found


def _promised(connection: sqlite3.Connection, edition_id: int) -> dict[int, tuple[str, str]]:
    return {row[0]: (row[1], row[2]) for row in connection.execute(PROMISED, (edition_id,))}


def _printed(
    connection: sqlite3.Connection, edition: str, label: str, code: str, identity: int, standing: str, now: Money | None
) -> Unsold:
    row = connection.execute(WHERE, (identity,)).fetchone()
    artist: int = connection.execute(ARTIST).fetchone()[0]
    out = row["custodian"] != artist
    where = str(row["name"] or "") if out else places.path_of(connection, row["place"]) if row["place"] else ""
    asked = Money(row["price"], row["currency"]) if out and row["kind"] == "consignment" and row["price"] else now
    return Unsold(edition, label, code, standing, where or "not placed", str(row["until"] or "") if out else "", asked)
