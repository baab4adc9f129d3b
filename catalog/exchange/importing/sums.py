"""Amounts of money in cells: with their currency, or with that of the heading (“Price (EUR)”) or of a column."""

import re

from catalog.errors import NotUnderstood
from catalog.exchange.importing.frame import Options, Row
from catalog.money import SHARED_SIGNS, Money, parse_money

BARE = re.compile(r"[0-9][0-9 ,.'’]*")
CURRENCY = re.compile(r"\b[A-Z]{3}\b|[€£]")


def money_in(row: Row, field: str, options: Options, currency: str = "currency") -> Money | None:
    """The amount in a cell, None where it is empty or not understood (then it is kept as note)."""
    text = row.get(field)
    if not text:
        return None
    number = text
    if options.decimal_comma:
        number = re.sub(r"[.'’ ](?=[0-9]{3}(?![0-9]))", "", number).replace(",", ".")
    named = _currency(row, field, currency)
    bare = _without_shared(number, named)
    if BARE.fullmatch(bare):
        number = f"{bare} {named}".strip()
    try:
        return parse_money(number)
    except NotUnderstood as refusal:
        row.keep(field, refusal.sentence.replace(f"“{number}”", f"“{text}”", 1))
        return None


def _without_shared(number: str, named: str) -> str:
    """An amount without the sign of several currencies ($, kr) beside it where the named one is among them."""
    sign = number.strip("0123456789 ,.'’")
    if named.upper() not in SHARED_SIGNS.get(sign.lower(), "").split(", ") or not named:
        return number
    return number.replace(sign, "").strip(" .")


def _currency(row: Row, field: str, column: str) -> str:
    """The currency of a bare number: of its own column, else the one the heading names; "" where nobody says."""
    if row.get(column):
        return row.get(column)
    found = CURRENCY.findall(row.layout.heading(field))
    return str(found[0]) if len(found) == 1 else ""
