"""Whose a print is by the record, and how it came to them: private facts, which stay in the studio."""

import sqlite3
from collections.abc import Sequence

from catalog.records import catalogs, parties
from catalog.records.transfers import TITLE_KINDS, Transfer, of_item

NOT_PASSED = "title not passed"
NONE = {"kind": "", "date": "", "price": "", "buyer": "", "seller": "", "standing": ""}


def owner_facts(connection: sqlite3.Connection, print_id: int) -> dict[str, str]:
    """The change of hands by which the owner of record has a print: who from, who to, when, for what price.

    `standing` says that a sale of what was consigned waits for its payment, so that title has not passed; a sale that
    a return ended is none. What is not certain is told so. All are "" while it is the artist's and not sold.
    """
    chain = of_item(connection, print_id)
    last = _last(chain)
    if last is None or last.to_party == catalogs.artist(connection).id:
        return dict(NONE)
    return {
        "kind": ("possibly " if last.uncertain else "")
        + ("kept by a later owner" if last.kind == "kept" else last.kind),
        "date": last.happened,
        "price": last.money.text() if last.money else "",
        "buyer": _name(connection, last.to_party) + ("?" if last.uncertain_party else ""),
        "seller": _name(connection, last.from_party),
        "standing": "" if last.title or _settled_by(chain, last) == "payment" else NOT_PASSED,
    }


def _last(chain: Sequence[Transfer]) -> Transfer | None:
    """The last change of owner, or the sale that waits to be paid and then is one."""
    changes = [
        one
        for one in chain
        if (one.kind in TITLE_KINDS and _settled_by(chain, one) != "return") or (one.kind == "kept" and one.title)
    ]
    return changes[-1] if changes else None


def _settled_by(chain: Sequence[Transfer], sale: Transfer) -> str:
    """What settled a sale whose title waited: its payment, or the return that ended it; "" while nothing has."""
    return next((one.kind for one in chain if one.settles == sale.id), "")


def _name(connection: sqlite3.Connection, party: int | None) -> str:
    return "" if party is None else parties.read(connection, party).name
