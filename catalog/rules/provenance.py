"""Provenance text in the convention of museum provenance: “;” a known direct transfer, “.” a gap or unknown.

Convention as restated from Yeide, Akinsha and Walsh, The AAM Guide to Provenance Research, 2001: earliest first,
dealers in round brackets, life dates in square brackets. Museums differ, so its key is printed with every text.
"""

import sqlite3
from dataclasses import dataclass

from catalog.dates import parse_date
from catalog.records import catalogs, negatives, parties, prints, transfers

KEY = (
    "Earliest first. A semicolon: passed directly from one to the next. A full stop: not directly, or not known to "
    "be. Round brackets: a dealer or agent. Square brackets: years of life."
)
PRIVATE = "private collection"


@dataclass(frozen=True)
class ProvenanceText:
    """A provenance, the key that explains its signs, and notes to it."""

    text: str
    key_line: str
    notes: tuple[str, ...]


def provenance(connection: sqlite3.Connection, item: int, private: bool) -> ProvenanceText:
    """The provenance of an item; without `private` nobody is named who may not be named in public."""
    artist = catalogs.artist(connection)
    life = f" {artist.life}" if artist.life else ""
    place = f", {artist.place}" if artist.place else ""
    stations = [f"{_made(connection, item)} {artist.name}{life}, the artist{place}{_year(connection, item)}"]
    history = transfers.of_item(connection, item)
    sales = {transfer.id: transfer for transfer in history}
    direct = [True]
    for transfer in history:
        text = _station(connection, transfer, sales, artist.id, private)
        if not text:
            continue
        holder = transfer.from_party
        # What the record before did not hand to this giver came from nowhere that is known.
        if len(stations) > 1 and holder is not None and holder not in (artist.id, _last_holder(history, transfer)):
            direct[-1] = False
        stations.append(text)
        direct.append(True)
    signs = ["; " if flag else ". " for flag in direct[:-1]] + ["."]
    text = "".join(station + sign for station, sign in zip(stations, signs, strict=True))
    return ProvenanceText(text, KEY, ())


def _last_holder(history: list[transfers.Transfer], transfer: transfers.Transfer) -> int | None:
    before = [t for t in history if t.sequence < transfer.sequence and (t.custody or t.title)]
    return before[-1].to_party if before else transfer.from_party


def _made(connection: sqlite3.Connection, item: int) -> str:
    return (
        "Printed by"
        if connection.execute("SELECT 1 FROM print WHERE id = ? AND printed_by = ''", (item,)).fetchone()
        else "Made by"
    )


def _year(connection: sqlite3.Connection, item: int) -> str:
    row = connection.execute("SELECT 1 FROM print WHERE id = ?", (item,)).fetchone()
    made = prints.read(connection, item).made if row else negatives.read(connection, item).made
    return f", {parse_date(made).text()}" if made else ""


def _station(
    connection: sqlite3.Connection,
    transfer: transfers.Transfer,
    all_transfers: dict[int, transfers.Transfer],
    artist: int,
    private: bool,
) -> str:
    date = parse_date(transfer.happened).text()
    name = _name(connection, transfer.to_party, private)
    if transfer.kind == "consignment":
        return _agent(connection, transfer.to_party, name, f"consigned {date}")
    if transfer.kind in ("loan", "exhibition", "approval"):
        return f"lent to {name}, {date}"
    if transfer.kind == "return":
        return f"returned to the artist, {date}" if transfer.to_party == artist else f"returned to {name}, {date}"
    if transfer.kind == "sale":
        if not transfer.title and not _was_paid(all_transfers, transfer.id):
            return f"sold to {name}, {date}, title not passed"
        price = f" (for {transfer.money.text()})" if private and transfer.money else ""
        return f"purchased by {name}, {date}{price}"
    if transfer.kind == "payment":
        return ""  # title is told by the sale; the date of payment is in the record
    if transfer.kind in ("gift", "bequest", "exchange"):
        word = {"gift": "gift to", "bequest": "bequest, to", "exchange": "by exchange, to"}[transfer.kind]
        return f"{word} {name}, {date}"
    if transfer.kind == "kept":
        return f"kept by the artist, {date}"
    return {"destruction": "destroyed", "loss": "lost", "theft": "stolen", "finding": "found"}[
        transfer.kind
    ] + f", {date}"


def _was_paid(history: dict[int, transfers.Transfer], sale: int) -> bool:
    return any(transfer.settles == sale and transfer.kind == "payment" for transfer in history.values())


def _name(connection: sqlite3.Connection, party: int | None, private: bool) -> str:
    if party is None:
        return "unknown"
    one = parties.read(connection, party)
    if not (private or one.nameable):
        return PRIVATE
    life = f" [{one.born[:4]}–{one.died[:4]}]" if one.born or one.died else ""
    return one.name + life + (f", {one.place}" if one.place else "")


def _agent(connection: sqlite3.Connection, party: int | None, name: str, what: str) -> str:
    dealer = party is not None and parties.read(connection, party).is_dealer
    return f"({name}, {what})" if dealer else f"{name}, {what}"
