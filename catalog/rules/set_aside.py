"""What a catalog gave that an older state of it, put back, does not know: codes, numbers and certificates."""

import sqlite3
from dataclasses import dataclass

from catalog.vocabulary import number_label

CODES = "SELECT code, kind, serial FROM code ORDER BY kind, id"
CERTIFICATES = """SELECT c.code, p.code FROM certificate JOIN code c ON c.id = certificate.id
    JOIN code p ON p.id = certificate.print ORDER BY c.id"""
NUMBERS = """SELECT p.code, e.code, print.kind, print.number, edition.size FROM print JOIN code p ON p.id = print.id
    JOIN code e ON e.id = print.edition JOIN edition ON edition.id = print.edition
    WHERE print.number IS NOT NULL ORDER BY print.edition, print.kind, print.number"""
KEEP_CODE = "INSERT INTO code (code, kind, serial) VALUES (?, ?, ?)"
NEWEST = """SELECT code FROM code WHERE id IN (SELECT max(id) FROM code WHERE serial IS NOT NULL GROUP BY kind)
    ORDER BY kind"""


@dataclass(frozen=True)
class Forgotten:
    """What was given since: automatic codes as (code, kind, serial); certificates and numbers in words."""

    codes: tuple[tuple[str, str, int], ...]
    certificates: tuple[str, ...]
    numbers: tuple[str, ...]


def forgotten(present: sqlite3.Connection, restored: sqlite3.Connection) -> Forgotten:
    """What the present catalog gave that a restored one does not know."""
    borne = {(row[0], row[1], row[2], row[3]) for row in restored.execute(NUMBERS)}
    known = {row[0] for row in restored.execute("SELECT code FROM code")}
    issued = {row[0] for row in restored.execute(CERTIFICATES)}
    return Forgotten(
        tuple((code, kind, serial) for code, kind, serial in present.execute(CODES) if serial and code not in known),
        tuple(f"{code} of {of}" for code, of in present.execute(CERTIFICATES) if code not in issued),
        tuple(
            f"{number_label(kind, number)}{f'/{size}' if kind == 'numbered' and size else ''} of {edition} ({code})"
            for code, edition, kind, number, size in present.execute(NUMBERS)
            if (code, edition, kind, number) not in borne
        ),
    )


def keep_void(connection: sqlite3.Connection, codes: tuple[tuple[str, str, int], ...]) -> None:
    """Take codes that are out in the world into a restored catalog as void, so that none is given a second time."""
    ordered = sorted(codes, key=lambda one: (one[1], one[2]))
    connection.executemany(KEEP_CODE, ordered)


def newest_codes(connection: sqlite3.Connection) -> list[str]:
    """The newest automatic code of each kind."""
    return [row[0] for row in connection.execute(NEWEST)]
