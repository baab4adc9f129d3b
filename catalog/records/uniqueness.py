"""Unique prints: the only impression of an image that is given out. Beside an edition of it the word would be false."""

import sqlite3

from catalog.errors import TirageError

# A cancelled edition of which nothing was ever given out does not count; a cancellation proof gives nothing out.
EDITION = """SELECT c.code FROM edition e JOIN code c ON c.id = e.id WHERE e.negative = ? AND (e.state <> 'cancelled'
    OR EXISTS (SELECT 1 FROM print p WHERE p.edition = e.id AND p.kind IS NOT NULL
    AND p.kind NOT IN ('work', 'reference', 'CP'))) ORDER BY e.id LIMIT 1"""
UNIQUE = """SELECT c.code FROM print p JOIN code c ON c.id = p.id WHERE p.negative = ? AND p.kind = 'unique'
    AND p.state <> 'destroyed' ORDER BY p.id LIMIT 1"""


class UniqueError(TirageError):
    """A print called unique of an image that has an edition."""

    def __init__(self, code: str, edition: str) -> None:
        super().__init__(
            f"{code} is not unique: {edition} is an edition of the same image. Give it a number or a proof of that "
            f"edition, or keep it as a work or a reference print: tirage print designate {code} reference."
        )


class SecondUniqueError(TirageError):
    """A second print of one image called unique."""

    def __init__(self, code: str, first: str) -> None:
        super().__init__(
            f"{code} is not unique: {first} of the same image is called so. Keep it as a work or a reference print: "
            f"tirage print designate {code} reference. Or declare an edition, once {first} is no longer called unique."
        )


class UniqueExistsError(TirageError):
    """An edition of an image of which one print was called unique."""

    def __init__(self, negative: str, unique: str) -> None:
        super().__init__(
            f"No edition of {negative} was declared: {unique} is called unique, and would not be unique any more. "
            f"Where that was a slip and it has no certificate and has not changed hands: tirage correct {unique} "
            f"designation=work --why REASON. Else the image keeps its one print."
        )


def refuse_unique(connection: sqlite3.Connection, code: str, negative: int) -> None:
    """Raise UniqueError for a print whose image has an edition, SecondUniqueError where another print is unique."""
    row = connection.execute(EDITION, (negative,)).fetchone()
    if row:
        raise UniqueError(code, row[0])
    first = unique_of(connection, negative)
    if first and first != code:
        raise SecondUniqueError(code, first)


def unique_of(connection: sqlite3.Connection, negative: int) -> str:
    """The code of a print of a negative that is called unique and is not destroyed, "" where there is none."""
    row = connection.execute(UNIQUE, (negative,)).fetchone()
    return str(row[0]) if row else ""
