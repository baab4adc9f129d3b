"""Whether the steps of prints can have happened as they are dated, and what failed was not signed or sold."""

from collections.abc import Iterator

from catalog.rules.checks.findings import Finding, Subject, day
from catalog.rules.evidence import evidence_many

BOUND_PRINTS = """SELECT p.id, c.code, EXISTS (SELECT 1 FROM transfer WHERE item = p.id AND kind = 'sale') FROM print p
    JOIN code c ON c.id = p.id WHERE p.state = 'living' AND (p.signed <> '' OR EXISTS
    (SELECT 1 FROM transfer WHERE item = p.id AND kind = 'sale')) ORDER BY p.id"""
WASHED_TOO_EARLY = """SELECT c.code, max(w.latest), min(f.earliest) FROM step_item wi
    JOIN step w ON w.id = wi.step AND w.kind = 'wash' JOIN step_item fi ON fi.item = wi.item
    JOIN step f ON f.id = fi.step AND f.kind = 'fix' JOIN code c ON c.id = wi.item
    GROUP BY wi.item HAVING max(w.latest) < min(f.earliest) AND max(w.latest) <> ''"""
STEP_TOO_EARLY = """SELECT sc.code, s.kind, c.code, p.made FROM step_item i JOIN step s ON s.id = i.step
    JOIN print p ON p.id = i.item JOIN code sc ON sc.id = s.id JOIN code c ON c.id = p.id
    WHERE s.kind NOT IN ('expose', 'develop') AND s.latest <> '' AND p.earliest > s.latest"""
BATH_TOO_LATE = """SELECT sc.code, s.kind, bc.code, b.discarded, b.mixed FROM step s JOIN bath b ON b.id = s.bath
    JOIN code sc ON sc.id = s.id JOIN code bc ON bc.id = b.id
    WHERE (length(b.discarded) = 10 AND s.earliest > b.discarded) OR (s.latest <> '' AND b.earliest > s.latest)"""
LEFT_TOO_EARLY = """SELECT c.code, sc.code FROM step_item i JOIN code c ON c.id = i.item JOIN code sc ON sc.id = i.step
    WHERE i.left_at <> '' AND julianday(i.left_at) < julianday(i.joined)"""

# Only of a plate whose making was recorded at all.
NOT_FIXED = """SELECT c.code FROM negative n JOIN code c ON c.id = n.id WHERE n.state = 'ready'
    AND EXISTS (SELECT 1 FROM step_item i JOIN step s ON s.id = i.step WHERE i.item = n.id
        AND s.kind IN ('collodion', 'sensitize', 'expose', 'develop'))
    AND NOT EXISTS (SELECT 1 FROM step_item i JOIN step s ON s.id = i.step WHERE i.item = n.id AND s.kind = 'fix')
    ORDER BY n.id"""


def failed_and_signed(subject: Subject) -> Iterator[Finding]:
    """Prints that were signed or sold although a test failed, or on a routine that a later test disproved."""
    bound = {row[0]: (row[1], row[2]) for row in subject.connection.execute(BOUND_PRINTS).fetchall()}
    for identity, evidence in evidence_many(subject.connection, list(bound)).items():
        if evidence.grade == "failed":
            code, sold = bound[identity]
            yield Finding(
                "warning",
                code,
                f"{code} is {'sold' if sold else 'signed'}, and its last residual test "
                f"failed; wash it again and test anew: tirage history {code}.",
            )
        elif evidence.disproved:
            code, sold = bound[identity]
            yield Finding(
                "warning",
                code,
                f"{code} is {'sold' if sold else 'signed'}, and the routine that it was worked within was disproved on "
                f"{day(evidence.disproved)} by a test that failed; test it anew: tirage print show {code}.",
            )


def process_in_order(subject: Subject) -> Iterator[Finding]:
    """Steps whose dates cannot be right."""
    for code, washed, fixed in subject.connection.execute(WASHED_TOO_EARLY).fetchall():
        yield Finding("warning", code, f"{code} was last washed on {washed}, before its first fix on {fixed}.")
    for step, kind, code, made in subject.connection.execute(STEP_TOO_EARLY).fetchall():
        yield Finding("warning", step, f"{step} ({kind}) is dated before {code} was made ({made}).")
    for step, kind, bath, discarded, mixed in subject.connection.execute(BATH_TOO_LATE).fetchall():
        life = f"from {mixed}" + (f" to {discarded}" if discarded else " on")
        yield Finding("warning", step, f"{step} ({kind}) is dated outside the life of its bath {bath} ({life}).")
    for code, step in subject.connection.execute(LEFT_TOO_EARLY).fetchall():
        yield Finding("warning", code, f"{code} left its load {step} before it joined it.")


def ready_without_fixing(subject: Subject) -> Iterator[Finding]:
    """Plates that are ready, with steps of their making but no fixing."""
    for (code,) in subject.connection.execute(NOT_FIXED).fetchall():
        yield Finding(
            "note",
            code,
            f"{code} is ready, and of its making steps are recorded but no fixing; if it was fixed, record that with "
            f"its own date: tirage fix {code} --on DATE.",
        )
