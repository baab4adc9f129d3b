"""Hands: every change of hands of a thing told in words, in the order of its chain."""

import sqlite3
from collections.abc import Iterator

from catalog.dates import Moment, parse_date
from catalog.money import Money

TRANSFERS = """SELECT t.happened, t.earliest, t.latest, t.clock, t.by, t.kind, f.name AS giver, o.name AS taker,
    t.price, t.currency, t.until, a.name AS agent, t.occasion, t.place, t.their_number, t.commission, t.insured,
    t.insured_currency, t.condition, t.uncertain, t.uncertain_party, t.title, t.remark, t.note FROM transfer t
    LEFT JOIN party f ON f.id = t.from_party LEFT JOIN party o ON o.id = t.to_party
    LEFT JOIN party a ON a.id = t.agent WHERE t.item = ? ORDER BY t.rank"""
WORDS = {
    "sale": "sold by {0} to {1}",
    "payment": "paid by {1}",
    "gift": "given by {0} to {1}",
    "bequest": "left by {0} to {1}",
    "exchange": "exchanged by {0} with {1}",
    "consignment": "consigned by {0} to {1}",
    "approval": "sent on approval by {0} to {1}",
    "loan": "lent by {0} to {1}",
    "exhibition": "lent for an exhibition by {0} to {1}",
    "return": "came back from {0} to {1}",
    "loss": "lost",
    "theft": "stolen",
    "finding": "found again",
    "destruction": "destroyed",
    "kept": "kept by {1}",
}
KNOWN_WITH = "known to be with {1}"  # who had it from a hand not known


def hands(connection: sqlite3.Connection, identity: int) -> Iterator[tuple[Moment, str, str]]:
    """Changes of hands, in the order of their chain."""
    for row in connection.execute(TRANSFERS, (identity,)):
        yield _hands(row)


def _hands(row: sqlite3.Row) -> tuple[Moment, str, str]:
    """A change of hands in words, with all that is known of it."""
    words = KNOWN_WITH if row["kind"] == "kept" and row["title"] else WORDS[row["kind"]]
    taker = (row["taker"] or "somebody not known") + ("?" if row["uncertain_party"] else "")
    told = [
        ("possibly " if row["uncertain"] else "") + words.format(row["giver"] or "somebody not known", taker),
        f"{row['agent']} acting for them" if row["agent"] else "",
        f"“{row['occasion']}”" if row["occasion"] else "",
        f"in {row['place']}" if row["place"] else "",
        ("retail " if row["kind"] in ("consignment", "approval") else "") + Money(row["price"], row["currency"]).text()
        if row["price"] is not None
        else "",
        f"{row['commission'] / 100:g}% commission" if row["commission"] is not None else "",
        f"until {parse_date(row['until']).text()}" if row["until"] else "",
        f"insured {Money(row['insured'], row['insured_currency']).text()}" if row["insured"] is not None else "",
        f"condition: {row['condition']}" if row["condition"] else "",
        f"their number {row['their_number']}" if row["their_number"] else "",
    ]
    notes = "; ".join(note for note in (row["remark"], row["note"]) if note)
    moment = Moment(row["happened"], row["earliest"], row["latest"], row["clock"])
    return moment, row["by"], ": ".join(filter(None, [", ".join(part for part in told if part), notes]))
