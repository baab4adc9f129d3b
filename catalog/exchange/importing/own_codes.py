"""Codes of the user's own in a column, and the numbers that a list of theirs gave what was brought in from it."""

import json
import re
import sqlite3

from catalog import codes
from catalog.exchange.importing.frame import Row
from catalog.records.items import Coded

NO_CODE = (
    "not of the form of a code of your own (letters and digits, not digits alone, not like N-0001 or 1-6). The next "
    "automatic code is given instead; lists that name this number find it by that"
)
# Words before a number: “Neg 13” is 13.
BEFORE = re.compile(
    r"(?:(?:negative?s?|negativ|négatif|neg|nég|plate|platte|plaque|print|abzug|épreuve|edition|édition|auflage|number|"
    r"nummer|numéro|nr|no|n°|№|#)[\s.:]*)+(?=[0-9])"
)
FILES = "SELECT id, headings FROM import_file WHERE noun = ? ORDER BY id"
ROWS = """SELECT r.thing, c.code, r.cells FROM import_row r JOIN code c ON c.id = r.thing
    JOIN {table} t ON t.id = r.thing WHERE r.file = ? ORDER BY r.id"""  # what was taken back is in no table
FIELD = "code"  # the field of every noun in which its own number stands
MOST_NAMED = 4


def own_code_in(row: Row, field: str) -> str | None:
    """The user's own code in a cell, None where there is none or it can be none (then it is kept as note)."""
    text = row.get(field)
    if not text:
        return None
    try:
        return codes.own(text)
    except codes.OwnCodeError:
        row.keep(field, NO_CODE)
        return None


class ListNumbers:
    """What was brought in, by the number that its own list gave it: “Neg 13” is row Nr. 13, whatever its code here."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection
        self._known: dict[str, dict[str, list[Coded]]] = {}  # kind -> number -> what has it
        self._used: dict[str, str] = {}

    def find(self, kind: str, text: str) -> list[Coded]:
        """The negatives, editions or prints (`kind`, in the singular) that a list calls so."""
        if kind not in self._known:
            self._known[kind] = self._read(kind)
        found = list(dict.fromkeys(self._known[kind].get(_number(text), [])))
        if len(found) == 1 and text.casefold() != found[0].code.casefold():
            self._used[text] = found[0].code
        return found

    def said(self) -> list[str]:
        """Which numbers were looked up, for a person to compare."""
        told = [f"“{text}” is {code}" for text, code in self._used.items()]
        more = f" and {len(told) - MOST_NAMED:,} more" if len(told) > MOST_NAMED else ""
        return [f"By the numbers of the lists brought in before: {', '.join(told[:MOST_NAMED])}{more}."] if told else []

    def _read(self, kind: str) -> dict[str, list[Coded]]:
        known: dict[str, list[Coded]] = {}
        for file, headings in self.connection.execute(FILES, (f"{kind}s",)).fetchall():
            for heading in (name for name, field in json.loads(headings).items() if field == FIELD):
                for thing, code, cells in self.connection.execute(ROWS.format(table=kind), (file,)):
                    text = json.loads(cells).get(heading)
                    if text:
                        known.setdefault(_number(text), []).append(Coded(thing, code, kind))
        return known


def _number(text: str) -> str:
    plain = " ".join(text.split()).casefold()
    return BEFORE.sub("", plain) if BEFORE.match(plain) else plain
