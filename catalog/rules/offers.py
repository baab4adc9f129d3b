"""Offers: what an edition costs now, what it will cost next, and what of it is unsold."""

import sqlite3
from dataclasses import dataclass

from catalog.dates import parse_date
from catalog.money import Money
from catalog.records import catalogs, edition_prices, editions, negatives, places
from catalog.records.edition_prices import Price
from catalog.rules.consignments import terms_now
from catalog.rules.edition_map import Cell, Held, edition_map, held, held_outside
from catalog.vocabulary import GONE_STATES

# A sale that fell through was ended by a return; of a number that was replaced, one sale counts.
SOLD = """SELECT count(DISTINCT coalesce(p.number, p.id)) FROM print p WHERE p.edition = ?
    AND p.kind IN ('numbered', 'open') AND EXISTS (SELECT 1 FROM transfer t WHERE t.item = p.id AND t.kind = 'sale'
    AND t.from_party IS (SELECT artist FROM catalog) AND (?2 = '' OR t.earliest <= ?2)
    AND NOT EXISTS (SELECT 1 FROM transfer r WHERE r.settles = t.id AND r.kind = 'return'))"""
WHERE = """SELECT s.place, s.custodian, c.name FROM standing s LEFT JOIN party c ON c.id = s.custodian
    WHERE s.item = ?"""
PROMISED = """SELECT p.kind, p.number, party.name, p.until FROM promise p JOIN party ON party.id = p.party
    WHERE p.edition = ? AND p.ended = ''"""
NOT_GIVEN, UNIQUE = "not given yet", "unique print"
HERE = ("printed", "signed", "consigned", "lent", "elsewhere")


@dataclass(frozen=True)
class Unsold:
    """A number, a proof or a print that is not sold: how it stands, where, until when, at what price."""

    edition: str  # "" for a unique print outside every edition
    number: str
    code: str  # of the print, "" where it is not printed yet
    standing: str
    where: str
    until: str  # EDTF
    price: Money | None  # of proofs and unique prints: none unless one was agreed


def sold(connection: sqlite3.Connection, edition_id: int, day: str = "") -> int:
    """How many numbered prints (of an open edition: prints) the studio sold, up to a day; those not yet paid too."""
    return int(connection.execute(SOLD, (edition_id, day)).fetchone()[0])


def price_at(prices: list[Price], sale: int) -> Money | None:
    """The price of the `sale`-th sale: of the rungs it has reached the highest, and of that the newest price."""
    rung = rung_at(prices, sale)
    return rung.money if rung else None


def rung_at(prices: list[Price], sale: int) -> Price | None:
    """The price that holds at a sale, None where none does; `prices` are oldest first."""
    reached = [price for price in prices if price.from_sale <= sale]
    highest = max((price.from_sale for price in reached), default=0)
    return next((price for price in reversed(reached) if price.from_sale == highest), None)


def rung_told(connection: sqlite3.Connection, edition_id: int, day: str) -> int:
    """The sale from which a price told without one holds: that of the price now; the first, for one of before it."""
    now = rung_at(edition_prices.prices(connection, edition_id), sold(connection, edition_id) + 1)
    return now.from_sale if now and day >= parse_date(now.since).earliest else 1


def price_now(connection: sqlite3.Connection, edition_id: int, day: str = "") -> Money | None:
    """What the next numbered print of an edition costs now, or cost on a day; None where no price was set by then."""
    prices = edition_prices.prices(connection, edition_id)
    known = [price for price in prices if not day or parse_date(price.since).earliest <= day]
    return price_at(known, sold(connection, edition_id, day) + 1)


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
    """What of an edition can still be had: number by number, then its proofs and unique prints that are printed.

    What is kept is not to be had, nor a number that nobody gives any more: of a plate that is gone, or after the
    artist's death; see `never_given`.
    """
    now, promised = price_now(connection, edition.id), _promised(connection, edition.id)
    holders, ended = held(connection, edition.id), _ended_by_death(connection, edition)
    gone = negatives.read(connection, edition.negative).state in GONE_STATES  # what is printed already can be signed
    found = []
    for cell in edition_map(connection, edition, holders):
        if cell.print_id is not None and cell.standing in HERE:
            asked = now if cell.kind == "numbered" else None
            found.append(_printed(connection, edition.code, cell.label, cell, asked, promised.get(_key(cell))))
        elif cell.print_id is None and _is_ahead(cell) and not ended and not gone:
            found.append(_ahead(edition.code, cell, now, promised.get(_key(cell))))
    for one in holders:
        if one.kind in ("open", "unique") and one.standing in HERE:
            label, asked = ("", now) if one.kind == "open" else (UNIQUE, None)
            found.append(_printed(connection, edition.code, label, one, asked, None))
    return found


def never_given(connection: sqlite3.Connection, edition: editions.Edition) -> int:
    """How many numbers of a lifetime edition were not given when the artist died, and are given to nobody any more."""
    if not _ended_by_death(connection, edition):
        return 0
    return sum(cell.print_id is None and _is_ahead(cell) for cell in edition_map(connection, edition))


def _is_ahead(cell: Cell) -> bool:
    """Whether a number is still to come, where nothing hinders it."""
    return cell.kind == "numbered" and cell.standing in ("free", "reserved")


def _ended_by_death(connection: sqlite3.Connection, edition: editions.Edition) -> bool:
    return not edition.estate and bool(catalogs.artist(connection).died_latest)


def unsold_outside(connection: sqlite3.Connection) -> list[Unsold]:
    """Unique prints outside every edition that can still be had."""
    prints = [one for one in held_outside(connection) if one.standing in HERE]
    return [_printed(connection, "", UNIQUE, one, None, None) for one in prints]


def _key(cell: Cell) -> tuple[str, int]:
    return cell.kind, cell.number


def _promised(connection: sqlite3.Connection, edition_id: int) -> dict[tuple[str, int], tuple[str, str]]:
    """(Kind, number) -> for whom it is held, and until when."""
    return {(row[0], row[1]): (row[2], row[3]) for row in connection.execute(PROMISED, (edition_id,))}


def _ahead(edition: str, cell: Cell, now: Money | None, held_for: tuple[str, str] | None) -> Unsold:
    """A number that no print bears yet."""
    standing, until = (f"promised to {held_for[0]}", held_for[1]) if held_for else (NOT_GIVEN, "")
    return Unsold(edition, cell.label, "", standing, "", until, now)


def _printed(
    connection: sqlite3.Connection,
    edition: str,
    label: str,
    one: Cell | Held,
    now: Money | None,
    held_for: tuple[str, str] | None,
) -> Unsold:
    """A print that is not sold."""
    row = connection.execute(WHERE, (one.print_id,)).fetchone()
    artist = catalogs.artist(connection).id
    out = row["custodian"] != artist
    where = str(row["name"] or "") if out else places.path_of(connection, row["place"]) if row["place"] else ""
    ends, retail = terms_now(connection, one.print_id) if out and one.print_id else ("", None)
    standing, until = one.standing, ends
    if held_for:
        standing, until = f"{standing}, promised to {held_for[0]}", until or held_for[1]
    return Unsold(edition, label, one.code, standing, where or "not placed", until, retail or now)
