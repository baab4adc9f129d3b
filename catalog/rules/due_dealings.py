"""What waits in dealings: promises, what is out and should come back, what is owed, what came back unplaced."""

import re
import sqlite3
from collections.abc import Iterator
from datetime import datetime

from catalog.dates import parse_date
from catalog.records.items import shorten
from catalog.records.transfers.commission import per_cent
from catalog.records.transfers.record import name_of
from catalog.rules.consignments import Owed, out, owed
from catalog.rules.waiting import Due, typed
from catalog.vocabulary import number_label

PROMISES = """SELECT c.code, p.kind, p.number, e.numerals, party.name, p.promised, p.until, p.until_latest,
    (SELECT pc.code FROM print t JOIN code pc ON pc.id = t.id WHERE t.edition = p.edition AND t.kind = p.kind
     AND t.number = p.number AND t.state = 'living')
    FROM promise p JOIN edition e ON e.id = p.edition JOIN code c ON c.id = p.edition JOIN party ON party.id = p.party
    WHERE p.ended = '' ORDER BY p.until_latest = '', p.until_latest, p.id"""
UNPLACED = """SELECT c.code, t.happened FROM standing s JOIN transfer t ON t.id = s.custody_transfer
    JOIN code c ON c.id = s.item LEFT JOIN print p ON p.id = s.item WHERE s.place IS NULL
    AND s.custodian = (SELECT artist FROM catalog) AND coalesce(p.state, 'living') = 'living' ORDER BY s.item"""
IN_MONTH_OR_YEAR = re.compile(r"\d{4}(?:-\d{2})?")
NOUNS = {
    "consignment": "The consignment of {} to {}",
    "approval": "The time for {} on approval with {}",
    "loan": "The loan of {} to {}",
    "exhibition": "The loan of {} to {} for an exhibition",
}


def promises(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Promised numbers, until when; also where that was never told, or the print is there already."""
    for code, kind, number, numerals, party, since, until, latest, bearer in connection.execute(PROMISES).fetchall():
        label = number_label(kind, number, numerals)
        end = f"until {parse_date(until).text()}" if until else f"since {parse_date(since).text()}, without an end"
        over = ", which is past" if until and latest < now.date().isoformat() else ""
        yield Due(
            "promise",
            code,
            since,
            until,
            f"{label} of {code} is promised to {party} {end}{over}." + (f" {bearer} bears it." if bearer else ""),
            f'tirage sell {typed([bearer])} "{party}"' if bearer else f"tirage edition show {typed([code])}",
            f"{label} of {code}, promised to {party}",
            f"{code}:{label}",
        )


def handed_out(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Consignments, approvals and loans that have an end, one line for all that end alike."""
    alike: dict[tuple[str, str, str, str, str, str], list[str]] = {}
    for thing in out(connection):
        if thing.state in ("sold", "lost"):
            continue
        for place, step in enumerate(thing.steps):
            if not step.until_latest:
                continue
            back = name_of(connection, step.from_party) if place else ""
            key = (step.until_latest, step.until, step.kind, name_of(connection, step.to_party), step.happened, back)
            alike.setdefault(key, []).append(thing.code)
    for (latest, until, kind, party, since, back), names in sorted(alike.items()):
        verb = "ended" if latest < now.date().isoformat() else "ends"
        target = f' "{back}"' if back else ""
        yield Due(
            kind,
            names[0] if len(names) == 1 else "",
            since,
            until,
            f"{NOUNS[kind].format(shorten(names), party)} {verb} {parse_date(until).text()}.",
            f"tirage return {typed(names)}{target}",
            f"{NOUNS[kind].format(shorten(names), party)} ends",
            f"{typed(names) if len(names) == 1 else until} {party} {since}",
        )


def unpaid(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Sales that wait to be paid: what is owed, and by whom."""
    for one in owed(connection):
        stays = "; it stays yours until then" if one.stays else ""
        yield Due(
            "payment",
            one.code,
            one.since,
            "",
            f"{one.code} was sold to {one.buyer} {_when(one.since)} and is not paid{stays}{_amount(one)}.",
            f"tirage paid {typed([one.code])}",
        )


def unplaced(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """What came back and has no place yet."""
    for code, since in connection.execute(UNPLACED).fetchall():
        yield Due(
            "place",
            code,
            since,
            "",
            f"{code} is back since {parse_date(since).text()} and has no place yet.",
            f"tirage move {typed([code])} PLACE",
        )


def _when(edtf: str) -> str:
    """“on 3 May 2026”, “in June 2024”, and a date that takes neither word as it is: “c. 1998”."""
    date = parse_date(edtf)
    if date.is_exact_day:
        return f"on {date.text()}"
    return f"in {date.text()}" if IN_MONTH_OR_YEAR.fullmatch(edtf) else date.text()


def _amount(one: Owed) -> str:
    if one.amount is None:
        return ""
    if one.commission is None or one.price is None:
        return f". Owed: {one.amount.text()}" + ("" if one.name == one.buyer else f" by {one.name}")
    return f". Owed: {one.amount.text()} by {one.name} ({one.price.text()} less {per_cent(one.commission)})"
