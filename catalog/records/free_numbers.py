"""Free numbers: whether an edition has as many to give as are asked for at once."""

import sqlite3
from collections.abc import Sequence

from catalog.errors import TirageError
from catalog.records import editions, prints
from catalog.records.items import Coded
from catalog.vocabulary import PROOF_KINDS, PROOF_PLURALS

TAKEN = """SELECT count(*) FROM edition_number WHERE edition = ? AND kind = ? AND number <= ? AND standing <> 'free'"""


class TooFewFreeError(TirageError):
    """More numbers asked at once than are free."""

    def __init__(self, edition: str, kind: str, free: int, asked: int) -> None:
        what = "number" if kind == "numbered" else PROOF_KINDS[kind]
        what = what if free == 1 else "numbers" if kind == "numbered" else PROOF_PLURALS[kind]
        super().__init__(
            f"{edition} has {free} free {what}, and {asked} prints ask for one; what was declared never grows. Name "
            f"{free} of them, and keep the rest as work prints."
        )


def refuse_too_many(
    connection: sqlite3.Connection, things: Sequence[Coded], edition: Coded | None, kind: str = "numbered"
) -> None:
    """Raise TooFewFreeError where several prints ask for more numbers of one edition than it has to give."""
    if kind in ("work", "reference", "unique"):
        return
    asking: dict[int, int] = {}
    for thing in things:
        one = prints.read(connection, thing.id)
        target = edition.id if edition else one.edition
        if target is not None and (one.kind is None or one.is_trial) and not one.signed:
            asking[target] = asking.get(target, 0) + 1
    for identity, asked in asking.items():
        declared = editions.read(connection, identity)
        if declared.size is None and kind == "numbered":
            continue
        most = editions.limit(connection, declared, kind)
        free = most - int(connection.execute(TAKEN, (identity, kind, most)).fetchone()[0])
        if 0 < free < asked:
            raise TooFewFreeError(declared.code, kind, free, asked)
