"""Prices of an edition: one row a price, from a number of sales on; the ones before stay readable.

They are in order of their dates: a price of long ago, told late, is no news.
"""

import sqlite3
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.events import Event
from catalog.money import Money
from catalog.store.rows import fetch_all

ADD = "INSERT INTO edition_price (edition, from_sale, amount, currency, since, by) VALUES (?, ?, ?, ?, ?, ?)"
ALL = "SELECT from_sale, amount, currency, since, by FROM edition_price WHERE edition = ? ORDER BY id"


class Price(NamedTuple):
    """A price that holds from a number of sales on."""

    from_sale: int
    amount: int
    currency: str
    since: str
    by: str

    @property
    def money(self) -> Money:
        """The amount with its currency."""
        return Money(self.amount, self.currency)

    def text(self) -> str:
        """“EUR 900.00”, or “EUR 1,200.00 from sale 11”."""
        return self.money.text() if self.from_sale == 1 else f"{self.money.text()} from sale {self.from_sale}"


def set_price(connection: sqlite3.Connection, event: Event, edition: int, money: Money, from_sale: int = 1) -> None:
    """Add a price; the ones before stay readable."""
    connection.execute(ADD, (edition, from_sale, money.minor, money.currency, event.moment.date, event.by))


def prices(connection: sqlite3.Connection, edition: int) -> list[Price]:
    """All prices ever set, oldest first; of one day in order of entry."""
    return sorted(fetch_all(connection, Price, ALL, (edition,)), key=lambda price: parse_date(price.since).earliest)
