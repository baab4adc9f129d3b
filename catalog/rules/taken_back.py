"""What a command did that was taken back, in words: its name, what it was about, and whose hands changed."""

import json
import sqlite3

from catalog.money import Money
from catalog.records.items import shorten
from catalog.records.transfers.record import name_of
from catalog.rules.history_of_hands import WORDS
from catalog.rules.waiting import typed
from catalog.store.journal import Seal

ADDED = """SELECT after FROM journal WHERE id BETWEEN ? AND ? AND tbl = 'transfer' AND before IS NULL ORDER BY id"""
CODE = "SELECT code FROM code WHERE id = ?"
LONGEST = 60  # characters of the codes it was about
MOST = 3  # changes of hands told one by one


def taken_back(connection: sqlite3.Connection, seal: Seal) -> str:
    """“paid 36 (P-000036 paid by The Tidewall Rooms, EUR 900.00)”, from the journal of the command."""
    codes = [_code(connection, identity) for identity in json.loads(seal.touched)]
    about = typed(codes)
    if len(about) > LONGEST:
        about = f"{typed(codes[:1])} and {len(codes) - 1} more"
    hands = _hands(connection, seal)
    told = "; ".join(hands[:MOST]) + (f"; and {len(hands) - MOST} more" if len(hands) > MOST else "")
    return " ".join(part for part in (seal.command, about, f"({told})" if told else "") if part)


def _hands(connection: sqlite3.Connection, seal: Seal) -> list[str]:
    """The changes of hands of a command, one phrase for all that are alike."""
    alike: dict[tuple[str, str], list[str]] = {}
    for (after,) in connection.execute(ADDED, (seal.first, seal.last)).fetchall():
        row = json.loads(after)
        giver, taker = name_of(connection, row["from_party"]), name_of(connection, row["to_party"])
        price = Money(row["price"], row["currency"]).text() if row["price"] is not None else ""
        code = _code(connection, row["item"])
        alike.setdefault((WORDS[row["kind"]].format(giver, taker), price), []).append(code)
    return [
        f"{shorten(codes)} {words}" + (f", {price}" + (" each" if len(codes) > 1 else "") if price else "")
        for (words, price), codes in alike.items()
    ]


def _code(connection: sqlite3.Connection, identity: int) -> str:
    return str(connection.execute(CODE, (identity,)).fetchone()[0])
