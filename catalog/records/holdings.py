"""Holdings: the codes of what a party has with it, and of what is its own."""

import sqlite3

MOST = 50  # codes named for one party; a list that long is read from an export
HELD = """SELECT code.code FROM standing s JOIN code ON code.id = s.item WHERE s.custodian = ?
    ORDER BY code.id LIMIT ?"""
OWNED = """SELECT code.code FROM standing s JOIN code ON code.id = s.item WHERE s.owner = ?
    ORDER BY code.id LIMIT ?"""


def held_by(connection: sqlite3.Connection, party: int) -> list[str]:
    """The codes of what a party has with it, the first of them."""
    return [row[0] for row in connection.execute(HELD, (party, MOST))]


def owned_by(connection: sqlite3.Connection, party: int) -> list[str]:
    """The codes of what a party owns, the first of them."""
    return [row[0] for row in connection.execute(OWNED, (party, MOST))]
