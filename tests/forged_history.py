"""A history rewritten as one would who knows how it is sealed: a name changed everywhere, every digest made anew."""

import sqlite3
from pathlib import Path

from catalog.store import journal, migrations


def rewrite(path: Path, old: str, new: str) -> int:
    """Put `new` for `old` in parties and journal, and reckon the chain anew; how many digests changed."""
    connection = sqlite3.connect(path, isolation_level=None)
    for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    connection.execute("UPDATE party SET name = replace(name, ?, ?)", (old, new))
    connection.execute("UPDATE journal SET before = replace(before, ?, ?), after = replace(after, ?, ?)",
                       (old, new, old, new))  # fmt: skip
    changed, digest = 0, journal.START_DIGEST
    for seal in [journal.Seal(*row) for row in connection.execute("SELECT * FROM journal_seal ORDER BY id").fetchall()]:
        rows = connection.execute(journal.ROWS_BETWEEN, (seal.first, seal.last)).fetchall()
        head = (seal.first, seal.last, seal.sealed, seal.by, seal.command, seal.why, seal.touched, seal.undoes)
        digest = journal.digest(digest, head, rows)
        changed += digest != seal.digest
        connection.execute("UPDATE journal_seal SET digest = ? WHERE id = ?", (digest, seal.id))
    shipped = sqlite3.connect(":memory:", isolation_level=None)
    migrations.migrate(shipped)
    for (sql,) in shipped.execute("SELECT sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY rowid"):
        connection.execute(sql)
    shipped.close()
    connection.close()
    return changed
