"""Things by the number that a list of the user's own gave them before it was brought in, where that is no code."""

import sqlite3

from catalog.cli.desk import Desk
from catalog.errors import TirageError
from catalog.records import items
from catalog.records.items import Coded


def find_listed(desk: Desk, connection: sqlite3.Connection, text: str, kind: str) -> Coded:
    """The negative, edition or print of a code, else of a number in its list, which is then told.

    Raises as items.find_one does, and SeveralNumbersError.
    """
    try:
        return items.find_one(connection, text, kind)
    except TirageError:
        from catalog.records import imports  # where it is a code, as it nearly always is, nothing of lists is loaded

        if not imports.any_file(connection, f"{kind}s"):
            raise
        from catalog.exchange.importing.own_codes import by_list_number

        found = by_list_number(connection, kind, text)
        if found is None:
            raise
    if not desk.output:
        desk.say(f"“{text}” is the number that its list gave to {found.code}.")
    return found
