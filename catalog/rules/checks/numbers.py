"""Whether the numbers of editions and the prints agree, within what was declared and was still possible."""

from collections.abc import Iterator

from catalog.dates import Moment
from catalog.records import replacements
from catalog.rules.checks.findings import Finding, Subject, day

TOO_MANY = """SELECT c.code, n.kind, n.number, coalesce(CASE WHEN n.kind = 'numbered' THEN coalesce(e.closed_at, e.size)
    ELSE (SELECT count FROM edition_proofs WHERE edition = e.id AND kind = n.kind) END, 0) AS most
    FROM edition_number n JOIN edition e ON e.id = n.edition JOIN code c ON c.id = e.id WHERE n.number > most
    AND n.standing IN ('given', 'reserved')"""
GIVEN_TO_NOBODY = """SELECT c.code, n.kind, n.number FROM edition_number n JOIN code c ON c.id = n.edition
    WHERE n.standing = 'given' AND NOT EXISTS (SELECT 1 FROM print WHERE edition = n.edition AND kind = n.kind
    AND number = n.number)"""
VOID_WHILE_OPEN = """SELECT c.code, n.kind, n.number FROM edition_number n JOIN edition e ON e.id = n.edition
    JOIN code c ON c.id = e.id WHERE n.standing = 'void' AND e.state = 'declared'"""
NOT_IN_REGISTER = """SELECT c.code, p.kind, p.number FROM print p JOIN code c ON c.id = p.id WHERE p.number IS NOT NULL
    AND NOT EXISTS (SELECT 1 FROM edition_number n WHERE n.edition = p.edition AND n.kind = p.kind
    AND n.number = p.number AND n.standing = 'given')"""
SECOND_HOLDERS = """SELECT c.code, p.kind, p.number, count(*), group_concat(pc.code, ', ') FROM print p
    JOIN code c ON c.id = p.edition JOIN code pc ON pc.id = p.id WHERE p.number IS NOT NULL AND p.state <> 'destroyed'
    GROUP BY p.edition, p.kind, p.number HAVING count(*) > 1"""
PRINTED_TOO_LATE = """SELECT pc.code, nc.code, e.state, e.happened, p.made FROM print p
    JOIN negative_event e ON e.negative = p.negative AND e.state IN ('cancelled', 'broken', 'destroyed')
    JOIN code pc ON pc.id = p.id JOIN code nc ON nc.id = p.negative
    WHERE p.kind IS NOT 'CP' AND p.earliest <> '' AND e.latest <> '' AND p.earliest > e.latest GROUP BY p.id"""

DESTROYED_AND_REPLACED = """SELECT c.code, t.item, t.happened, t.earliest, t.latest, t.clock FROM transfer t
    JOIN code c ON c.id = t.item WHERE t.kind = 'destruction' AND t.item IN (SELECT replaces FROM print)
    ORDER BY t.id"""


def numbers_of_editions(subject: Subject) -> Iterator[Finding]:
    """Whether the register of numbers and the prints agree, within what was declared."""
    for code, kind, number, most in subject.connection.execute(TOO_MANY).fetchall():
        yield Finding("error", code, f"{code} holds {_number(kind, number)}, and declares {most} of that kind.")
    for code, kind, number in subject.connection.execute(GIVEN_TO_NOBODY).fetchall():
        yield Finding("error", code, f"{_number(kind, number)} of {code} is given, and no print bears it.")
    for code, kind, number in subject.connection.execute(VOID_WHILE_OPEN).fetchall():
        yield Finding("error", code, f"{_number(kind, number)} of {code} is void, and the edition has not ended.")
    for code, kind, number in subject.connection.execute(NOT_IN_REGISTER).fetchall():
        yield Finding("error", code, f"{code} bears {_number(kind, number)}, which its edition does not list as given.")
    for code, kind, number, _, holders in subject.connection.execute(SECOND_HOLDERS).fetchall():
        yield Finding("error", code, f"{_number(kind, number)} of {code} is borne by {holders} at the same time.")


def _number(kind: str, number: int) -> str:
    return f"number {number}" if kind == "numbered" else f"{kind} {number}"


def printed_after_the_end(subject: Subject) -> Iterator[Finding]:
    """Prints made of a negative that was gone by then."""
    for code, negative, state, happened, made in subject.connection.execute(PRINTED_TOO_LATE).fetchall():
        yield Finding(
            "error",
            code,
            f"{code} is dated {day(made)}, and {negative} is {state} since {day(happened)}; correct the "
            f"date that is wrong: tirage correct {code} made=DATE --why REASON.",
        )


def replaced_before_destroyed(subject: Subject) -> Iterator[Finding]:
    """Numbers that passed to another print before the one that bore it was destroyed."""
    for code, item, *gone in subject.connection.execute(DESTROYED_AND_REPLACED).fetchall():
        successor = replacements.replaced_before(subject.connection, item, Moment(*gone))
        if successor:
            yield Finding(
                "error",
                code,
                f"{successor[0]} was signed {successor[1]} with the number of {code}, before {code} was destroyed "
                f"({day(gone[0])}); correct the date that is wrong: tirage correct {code} destruction-date=DATE --why "
                f"REASON.",
            )
