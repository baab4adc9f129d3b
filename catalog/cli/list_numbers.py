"""Things by the number that a list of the user's own gave them before it was brought in, where that is no code."""

import sqlite3

from catalog.cli.desk import Desk
from catalog.errors import TirageError
from catalog.records import items
from catalog.records.items import Coded


def find_listed(desk: Desk, connection: sqlite3.Connection, text: str, kind: str) -> Coded:
    """The negative, edition or print of a code, else of a number in its list, which is then told.

    “N-2” is this program's N-0002; where a list called another thing so, that is told too. Raises as items.find_one
    does, and SeveralNumbersError.
    """
    try:
        thing = items.find_one(connection, text, kind)
    except TirageError:
        found = _listed(connection, text, kind)
        if found is None:
            raise
        if not desk.output:
            desk.say(f"“{text}” is the number that its list gave to {found.code}.")
        return found
    # A person types n2; N-2 is how a list may write a number of its own.
    if "-" in text and text.casefold() != thing.code.casefold():
        other = _listed(connection, text, kind)
        if other and other.id != thing.id:
            desk.mind([f"“{text}” is read as {thing.code}; it is also the number that a list gave to {other.code}."])
    return thing


def _listed(connection: sqlite3.Connection, text: str, kind: str) -> Coded | None:
    from catalog.records import imports  # what is typed is a code, nearly always: then nothing of lists is loaded

    if not imports.any_file(connection, f"{kind}s"):
        return None
    from catalog.exchange.importing.own_codes import by_list_number

    return by_list_number(connection, kind, text)
