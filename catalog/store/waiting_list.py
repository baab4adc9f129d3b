"""The list of what may wait: the triggers that keep it, made from one table; filled anew; compared with the records.

It follows from other rows, as the view waiting_now says, and is kept only so that a question need not read them all.
"""

import sqlite3
from collections.abc import Iterator
from typing import NamedTuple

TABLE, VIEW = "waiting", "waiting_now"
HAS_LIST = f"SELECT 1 FROM sqlite_schema WHERE type = 'view' AND name = '{VIEW}'"


class Kept(NamedTuple):
    """A change after which something may wait or waits no more: of which table, what, whose, what it does, and when.

    `ids` is one id as SQL, or a query of a column `id`.
    """

    table: str
    event: str
    what: str
    ids: str
    does: str = "changes"  # "begins" where it can only make it wait, "ends" where it can only end that
    when: str = ""


STEP = "(SELECT kind FROM step WHERE id = NEW.step)"
LAST = "NEW.kind = 'numbered' AND NEW.number = (SELECT size FROM edition WHERE id = NEW.edition)"
KEPT = (
    Kept("step_item", "INSERT", "wash", "NEW.item", "begins", f"{STEP} IN ('fix', 'tone')"),
    Kept("step_item", "INSERT", "wash", "NEW.item", "ends", f"{STEP} = 'wash'"),
    Kept("step_item", "UPDATE", "wash", "NEW.item"),
    Kept("step_item", "DELETE", "wash", "OLD.item"),
    Kept("step", "UPDATE OF kind, happened, earliest, latest, clock", "wash",
         "SELECT item AS id FROM step_item WHERE step = NEW.id"),
    Kept("control_strip", "INSERT", "test", "NEW.id", "begins"),
    Kept("control_strip", "DELETE", "test", "OLD.id", "ends"),
    Kept("residual_test", "INSERT", "test", "NEW.item", "ends"),
    Kept("residual_test", "DELETE", "test", "OLD.item", "begins"),
    Kept("transfer", "INSERT", "payment", "NEW.id", "begins", "NEW.kind = 'sale'"),
    Kept("transfer", "INSERT", "payment", "NEW.settles", "ends", "NEW.settles IS NOT NULL"),
    Kept("transfer", "UPDATE OF price", "payment", "NEW.id"),
    Kept("transfer", "DELETE", "payment", "OLD.settles", "begins", "OLD.settles IS NOT NULL"),
    Kept("transfer", "DELETE", "payment", "OLD.id", "ends"),
    Kept("edition_number", "INSERT", "edition", "NEW.edition", "begins", LAST),
    Kept("edition_number", "UPDATE OF standing", "edition", "NEW.edition", "changes", LAST),
    Kept("edition_number", "DELETE", "edition", "OLD.edition", "ends"),
    Kept("edition", "UPDATE OF state, size", "edition", "NEW.id"),
)  # fmt: skip

ENDED = f"""DELETE FROM {TABLE} WHERE what = '{{0}}' AND id IN ({{1}})
    AND NOT EXISTS (SELECT 1 FROM {VIEW} n WHERE n.what = '{{0}}' AND n.id = {TABLE}.id);"""
BEGUN = f"""INSERT INTO {TABLE} (what, id) SELECT '{{0}}', {{1}}
    WHERE NOT EXISTS (SELECT 1 FROM {TABLE} w WHERE w.what = '{{0}}' AND w.id = {{2}})
    AND EXISTS (SELECT 1 FROM {VIEW} n WHERE n.what = '{{0}}' AND n.id = {{2}});"""

DROP_WRONG = f"""DELETE FROM {TABLE} WHERE NOT EXISTS
    (SELECT 1 FROM {VIEW} n WHERE n.what = {TABLE}.what AND n.id = {TABLE}.id)"""
ADD_MISSING = f"""INSERT INTO {TABLE} (what, id) SELECT DISTINCT what, id FROM {VIEW} n WHERE NOT EXISTS
    (SELECT 1 FROM {TABLE} w WHERE w.what = n.what AND w.id = n.id)"""
NAMED = """coalesce((SELECT code FROM code WHERE id = CASE {0}.what WHEN 'payment'
    THEN (SELECT item FROM transfer WHERE id = {0}.id) ELSE {0}.id END), {0}.id)"""
WRONG = f"""SELECT DISTINCT what, {NAMED.format("n")}, 0 FROM {VIEW} n WHERE NOT EXISTS
    (SELECT 1 FROM {TABLE} w WHERE w.what = n.what AND w.id = n.id)
    UNION ALL SELECT what, {NAMED.format("w")}, 1 FROM {TABLE} w WHERE NOT EXISTS
    (SELECT 1 FROM {VIEW} n WHERE n.what = w.what AND n.id = w.id)"""


class Wrong(NamedTuple):
    """What is listed against the records, or is not listed that they say may wait: what for, and its code."""

    what: str
    code: str
    is_listed: bool


def trigger_statements(connection: sqlite3.Connection) -> list[str]:
    """The CREATE TRIGGER statements that keep the list; none in a catalog of a schema that has no list."""
    return [_trigger(kept) for kept in KEPT] if connection.execute(HAS_LIST).fetchone() else []


def refill(connection: sqlite3.Connection) -> None:
    """Make the list what the records say, inside the caller's transaction; the guards let exactly that pass."""
    connection.execute(DROP_WRONG)
    connection.execute(ADD_MISSING)


def wrong(connection: sqlite3.Connection) -> Iterator[Wrong]:
    """Where the list is not what the records say; nothing in a catalog of a schema that has no list."""
    if connection.execute(HAS_LIST).fetchone():
        for what, code, is_listed in connection.execute(WRONG):
            yield Wrong(what, str(code), bool(is_listed))


def _trigger(kept: Kept) -> str:
    event = kept.event.partition(" ")[0].lower()
    when = f"\nWHEN {kept.when}" if kept.when else ""
    many = kept.ids.startswith("SELECT")
    given = (f"c.id FROM ({kept.ids}) c", "c.id") if many else (kept.ids, kept.ids)
    does = [ENDED.format(kept.what, kept.ids)] if kept.does != "begins" else []
    does += [BEGUN.format(kept.what, *given)] if kept.does != "ends" else []
    body = "\n".join(does)
    return (
        f"CREATE TRIGGER {TABLE}_{kept.does}_{event}_{kept.table} AFTER {kept.event} ON {kept.table}{when}\n"
        f"BEGIN\n{body}\nEND"
    )
