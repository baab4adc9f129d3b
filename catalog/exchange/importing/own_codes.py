"""Codes of the user's own in a column, and the numbers that a list of theirs gave what was brought in from it."""

import json
import re
import sqlite3
from collections.abc import Sequence

from catalog import codes
from catalog.errors import TirageError
from catalog.exchange.importing.frame import Row
from catalog.records.items import Coded

NO_CODE = (
    "not of the form of a code of your own: {why}. The next automatic code is given instead; lists that name this "
    "number find it by that, and so does: tirage {kind} show NUMBER"
)
NOT_OURS = (
    "“{text}” is how {code} can be typed, a {kind} of this program, and that is what it means in every command. The "
    "next automatic code is given instead; lists that name this number find it by that"
)
OURS = (
    f"{', '.join([*codes.LETTERS][:-1])} and {[*codes.LETTERS][-1]} with a number are codes that this program gives "
    f"({', '.join(codes.LETTERS.values())})"
)
DIGITS = "digits alone are the number of a print here"
RANGE = "it reads as a range of codes, as 1-6 does"
LONG = "it has more than 24 signs"
SIGNS = "only the letters a to z without accents, digits, “-” and “.” can stand in one, a letter or a digit first"
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
MOST_DIGITS = 12


def own_code_in(row: Row, field: str, kind: str = "negative") -> str | None:
    """The user's own code in a cell, None where there is none or it can be none (then it is kept as note).

    `kind` is what it would be the code of: a negative, an edition or a print.
    """
    text = row.get(field)
    if not text:
        return None
    try:
        return codes.own(text)
    except codes.OwnCodeError:
        ours = typed_short(text, kind)
        row.keep(
            field,
            NOT_OURS.format(text=text, code=ours, kind=kind) if ours else NO_CODE.format(why=why_none(text), kind=kind),
        )
        return None


def typed_short(text: str, kind: str) -> str:
    """The code of this program and kind that a text means in a command: “N-2” is N-0002; "" where it means none."""
    if kind == "print" and text.isascii() and text.isdigit() and len(text) <= MOST_DIGITS:
        return codes.automatic(kind, int(text))
    found = codes.AUTOMATIC.fullmatch(text)
    ours = found is not None and codes.LETTERS[found[1].upper()] == kind
    return codes.automatic(kind, int(found[2])) if found and ours else ""


def why_none(text: str) -> str:
    """Why a text that `codes.own` refuses can be no code of a person's own."""
    if codes.AUTOMATIC.fullmatch(text):
        return OURS
    if text.isascii() and text.isdigit():
        return DIGITS
    if not codes.OWN.fullmatch(text):
        return LONG if codes.OWN.fullmatch(text[:24]) else SIGNS
    return "“last” means what the last command was about" if text.lower() == "last" else RANGE


class SeveralNumbersError(TirageError):
    """A number that several lists gave to different things."""

    def __init__(self, text: str, kind: str, found: Sequence[Coded]) -> None:
        super().__init__(
            f"“{text}” is the number of {len(found)} {kind}s in the lists that were brought in: "
            f"{', '.join(one.code for one in found[:MOST_NAMED])}. Name one by its code."
        )


def by_list_number(connection: sqlite3.Connection, kind: str, text: str) -> Coded | None:
    """The one thing of a kind that a list which was brought in calls so, or None. Raises SeveralNumbersError."""
    found = ListNumbers(connection).find(kind, text)
    if len(found) > 1:
        raise SeveralNumbersError(text, kind, found)
    return found[0] if found else None


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
