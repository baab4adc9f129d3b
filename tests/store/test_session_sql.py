"""What plain SQL, its checks of keys off, cannot make of a session: each form with the words of its refusal.

The rule that a code belongs to one thing for ever is the catalog's own (derived here).
"""

import sqlite3
from pathlib import Path

import pytest

from .conftest import dump, plain
from .test_guards import refused

FIRST = "(SELECT min(code) FROM session_sheet)"
OPEN = "(SELECT session FROM session_sheet WHERE code = (SELECT min(code) FROM session_sheet))"
ITEM = f"INSERT INTO item (id, kind) VALUES ({FIRST}, 'print')"
VOID = f"UPDATE session_sheet SET standing = 'void' WHERE code = {FIRST}"
KEPT = f"UPDATE session_sheet SET standing = 'kept' WHERE code = {FIRST}"
NEW = "INSERT INTO session_sheet (code, session, standing) VALUES ((SELECT id FROM code WHERE code = '{}'), {}, '{}')"
CODE = "INSERT INTO code (code, kind, serial) VALUES ('{}', '{}', 99)"
ALL_VOID = "UPDATE session_sheet SET standing = 'void'"
ENTERED = f"UPDATE session SET entered = '2026-03-23' WHERE id = {OPEN}"

FORMS: dict[str, tuple[tuple[str, ...], str]] = {
    "a print of a void code": ((VOID, ITEM), "its code is void"),
    "a kept sheet without a print": ((KEPT,), "what was kept is an item"),
    "a void sheet with a print": ((ITEM, VOID), "what was kept is an item"),
    "a void sheet that is open again": ((VOID, VOID.replace("'void'", "'open'")), "kept or not, once"),
    "a sheet of another session": (
        (VOID, f"UPDATE session_sheet SET session = session + 1 WHERE code = {FIRST}"), "kept or not, once",
    ),
    "a code of a print that is there": ((NEW.format("P-000001", OPEN, "open"),), "before it is anything"),
    "a code of a bath": ((NEW.format("B-0001", OPEN, "open"),), "before it is anything"),
    "a sheet that is void from the start": (
        (CODE.format("P-000099", "print"), NEW.format("P-000099", OPEN, "void")), "before it is anything",
    ),
    "a sheet more, after it was entered": (
        (CODE.format("P-000099", "print"), ALL_VOID, ENTERED, NEW.format("P-000099", OPEN, "open")),
        "before it was entered",
    ),
    "a session entered with a sheet open": ((ENTERED,), "told whether it was kept"),
    "a session entered twice": ((ALL_VOID, ENTERED, ENTERED.replace("23", "24")), "entered once"),
    "a session of an edition of another negative": (
        ("""INSERT INTO session (negative, edition, planned, by) SELECT (SELECT id FROM code WHERE code = 'N-0002'),
            (SELECT id FROM code WHERE code = 'E-0001'), '2026-03-22', 'x'""",), "of another negative",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", FORMS)
def test_what_plain_sql_cannot_write(populated: Path, what: str) -> None:
    statements, words = FORMS[what]
    connection = plain(populated)
    for statement in statements[:-1]:
        connection.execute(statement)
    with pytest.raises(sqlite3.IntegrityError, match=words):
        connection.execute(statements[-1])
    refused(connection, statements[-1])
    connection.close()


def test_what_may_happen(populated: Path) -> None:
    connection = plain(populated)
    before = dump(connection)
    for statement in (VOID, ALL_VOID.replace("SET", "SET note = 'torn',") + " WHERE standing = 'open'", ENTERED):
        connection.execute(statement)
    assert dump(connection) != before
    connection.close()
