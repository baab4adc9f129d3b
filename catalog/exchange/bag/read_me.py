"""The page in plain language for somebody who has a bag and not this program."""

import sqlite3
from collections.abc import Sequence
from textwrap import fill, indent

from catalog.exchange import cells
from catalog.records import catalogs
from catalog.resources import resource

WIDTH = 80
COUNTED = (
    ("negative", "plates and films"),
    ("edition", "editions"),
    ("print", "prints"),
    ("control_strip", "control strips"),
    ("certificate", "certificates"),
    ("transfer", "changes of hands"),
    ("party", "people and bodies"),
    ("journal", "changes in the journal"),
)
NOTHING_FOUND = (
    "Nothing: the file was whole, every row was as its journal has it, every seal held, every certificate was as it "
    "was signed and named the seal that stood when it was issued, and every picture was as it was when it was added."
)


def read_me(connection: sqlite3.Connection, findings: Sequence[str]) -> str:
    """The text of READ ME FIRST.txt; `findings` are what was wrong with the catalog, in sentences."""
    folder = resource("templates") / "exchange"
    template = (folder / "read-me-first.txt").read_text(encoding="utf-8")
    script = (folder / "check-journal.py.txt").read_text(encoding="utf-8").rstrip()
    artist = catalogs.artist(connection)
    said = {
        "artist": f"{artist.name} {artist.life}".strip(),
        "counts": _counts(connection),
        "nothing": cells.NOTHING,
        "script": indent(script, " " * 6),
        "findings": "\n\n".join(fill(one, WIDTH) for one in findings or (NOTHING_FOUND,)),
    }
    for name, text in said.items():
        template = template.replace(f"{{{name}}}", text)
    return template


def _counts(connection: sqlite3.Connection) -> str:
    lines = []
    for table, words in COUNTED:
        count = connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
        lines.append(f"{count:>11,}  {words}")
    return "In numbers:\n\n" + "\n".join(lines)
