"""Checks over the whole catalog: small functions, each returning what it found, in sentences."""

import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Literal

from catalog.records import certificates, editions, negatives, papers, prints
from catalog.rules.evidence import evidence_many
from catalog.store import journal, migrations
from catalog.vocabulary import designation

UNPAID_DAYS = 60

STANDING_WRONG = """SELECT c.code, s.owner IS NOT coalesce_owner AS owner,
    s.custodian IS NOT coalesce_custodian AS custodian,
    s.place IS NOT NULL AND (s.place IS NOT last_place) AS place FROM (SELECT s.*,
      CASE WHEN EXISTS (SELECT 1 FROM transfer WHERE item = s.item AND title = 1)
        THEN (SELECT to_party FROM transfer WHERE item = s.item AND title = 1 ORDER BY sequence DESC LIMIT 1)
        ELSE (SELECT artist FROM catalog) END AS coalesce_owner,
      CASE WHEN EXISTS (SELECT 1 FROM transfer WHERE item = s.item AND custody = 1)
        THEN (SELECT to_party FROM transfer WHERE item = s.item AND custody = 1 ORDER BY sequence DESC LIMIT 1)
        ELSE (SELECT artist FROM catalog) END AS coalesce_custodian,
      (SELECT to_place FROM movement WHERE item = s.item ORDER BY id DESC LIMIT 1) AS last_place FROM standing s) s
    JOIN code c ON c.id = s.item WHERE s.owner IS NOT coalesce_owner OR s.custodian IS NOT coalesce_custodian
      OR (s.place IS NOT NULL AND s.place IS NOT last_place)
      OR (s.place IS NULL AND last_place IS NOT NULL AND s.custody_transfer IS NULL)"""
WITHOUT_STANDING = "SELECT c.code FROM item i JOIN code c ON c.id = i.id WHERE i.id NOT IN (SELECT item FROM standing)"
STATE_WRONG = """SELECT c.code FROM negative n JOIN code c ON c.id = n.id WHERE n.state IS NOT
    coalesce((SELECT state FROM negative_event WHERE negative = n.id ORDER BY id DESC LIMIT 1), 'in process')
    UNION ALL SELECT c.code FROM print p JOIN code c ON c.id = p.id WHERE p.state IS NOT
    coalesce((SELECT CASE kind WHEN 'destruction' THEN 'destroyed' WHEN 'finding' THEN 'living' ELSE 'lost' END
      FROM transfer WHERE item = p.id AND kind IN ('destruction', 'finding', 'loss', 'theft')
      ORDER BY sequence DESC LIMIT 1), 'living')"""
TOO_MANY = """SELECT c.code, n.kind, n.number, coalesce(CASE WHEN n.kind = 'numbered' THEN coalesce(e.closed_at, e.size)
    ELSE (SELECT count FROM edition_proofs WHERE edition = e.id AND kind = n.kind) END, 0) AS most
    FROM edition_number n JOIN edition e ON e.id = n.edition JOIN code c ON c.id = e.id WHERE n.number > most"""
GIVEN_TO_NOBODY = """SELECT c.code, n.kind, n.number FROM edition_number n JOIN code c ON c.id = n.edition
    WHERE n.standing = 'given' AND NOT EXISTS (SELECT 1 FROM print WHERE edition = n.edition AND kind = n.kind
    AND number = n.number)"""
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
TITLES = """SELECT c.code, t.item, t.sequence, t.from_party, t.to_party, t.happened FROM transfer t
    JOIN code c ON c.id = t.item WHERE t.title = 1 ORDER BY t.item, t.sequence"""
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
PICTURES = "SELECT c.code, p.path, p.sha256 FROM picture p JOIN code c ON c.id = p.item ORDER BY p.id"
UNPAID = """SELECT c.code, s.happened, party.name FROM transfer s JOIN code c ON c.id = s.item
    LEFT JOIN party ON party.id = s.to_party WHERE s.kind = 'sale' AND (s.price > 0 OR s.title = 0)
    AND s.latest <> '' AND s.latest < ? AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id)
    ORDER BY s.id"""


@dataclass(frozen=True)
class Finding:
    """One thing a check found."""

    severity: Literal["error", "warning", "note"]
    code: str
    sentence: str


@dataclass(frozen=True)
class Subject:
    """What the checks look at: the open catalog, its folder, and the day it is."""

    connection: sqlite3.Connection
    folder: Path
    today: datetime


def check(connection: sqlite3.Connection, folder: Path, now: datetime | None = None) -> list[Finding]:
    """Every finding, errors first. Without `now`, waits are counted up to the last command."""
    if now is None:
        seal = journal.last_seal(connection)
        now = datetime.fromisoformat(seal.sealed) if seal else datetime.min
    subject = Subject(connection, folder, now)
    found = [finding for look in CHECKS for finding in look(subject)]
    return sorted(found, key=lambda finding: ("error", "warning", "note").index(finding.severity))


def schema_as_shipped(subject: Subject) -> Iterator[Finding]:
    """Whether tables, indexes and triggers are those that this version ships."""
    shipped, found = migrations.shipped_schema(), migrations.schema(subject.connection)
    for name in sorted(shipped.keys() | found.keys()):
        ours, theirs = shipped.get(name), found.get(name)
        if ours == theirs or name.startswith("sqlite_"):
            continue
        words = (ours or theirs or "").upper().split()
        sort = next((word.lower() for word in words[:3] if word in ("TABLE", "INDEX", "TRIGGER", "VIEW")), "thing")
        what = "is missing" if theirs is None else "was added" if ours is None else "was altered"
        yield Finding(
            "error",
            "",
            f"In the file the {sort} {name} {what}: another program changed the schema, and "
            f"what it guards is no longer sure. Bring back a backup, or ask for help.",
        )


def file_whole(subject: Subject) -> Iterator[Finding]:
    """What SQLite itself finds wrong with the file."""
    for row in subject.connection.execute("PRAGMA integrity_check(20)").fetchall():
        if row[0] != "ok":
            yield Finding("error", "", f"The file is damaged: {row[0]}. Bring back a backup.")
    for row in subject.connection.execute("PRAGMA foreign_key_check").fetchall():
        yield Finding("error", "", f"Row {row[1]} of {row[0]} names a {row[2]} that does not exist.")


def journal_whole(subject: Subject) -> Iterator[Finding]:
    """Whether every change stands under a seal that agrees with it."""
    for problem in journal.prove(subject.connection):
        yield Finding("error", "", problem[0].upper() + problem[1:] + ".")
    count = journal.unsealed_rows(subject.connection)
    if count:
        seal = journal.last_seal(subject.connection)
        rows = subject.connection.execute(
            "SELECT DISTINCT tbl, key FROM journal WHERE id > ? ORDER BY id LIMIT 6", (seal.last if seal else 0,)
        ).fetchall()
        yield Finding(
            "error",
            "",
            f"{count} changes were written outside this program since the last command: "
            + ", ".join(f"{row[0]} {row[1]}" for row in rows)
            + ".",
        )


def standing_as_recorded(subject: Subject) -> Iterator[Finding]:
    """Whether place, custodian, owner and state agree with movements, transfers and events."""
    for code, owner, custodian, place in subject.connection.execute(STANDING_WRONG).fetchall():
        wrong = [name for name, is_wrong in (("owner", owner), ("custodian", custodian), ("place", place)) if is_wrong]
        yield Finding(
            "error",
            code,
            f"The {' and '.join(wrong) or 'place'} noted for {code} disagrees with its movements and transfers.",
        )
    for (code,) in subject.connection.execute(WITHOUT_STANDING).fetchall():
        yield Finding("error", code, f"Nothing is noted of who owns and has {code}.")
    for (code,) in subject.connection.execute(STATE_WRONG).fetchall():
        yield Finding("error", code, f"The state noted for {code} disagrees with what is recorded to have happened.")


def numbers_of_editions(subject: Subject) -> Iterator[Finding]:
    """Whether the register of numbers and the prints agree, within what was declared."""
    for code, kind, number, most in subject.connection.execute(TOO_MANY).fetchall():
        yield Finding("error", code, f"{code} holds {_number(kind, number)}, and declares {most} of that kind.")
    for code, kind, number in subject.connection.execute(GIVEN_TO_NOBODY).fetchall():
        yield Finding("error", code, f"{_number(kind, number)} of {code} is given, and no print bears it.")
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
            f"{code} is dated {made}, and {negative} was {state} on {happened}; correct the "
            f"date that is wrong: tirage correct {code} made=DATE --why REASON.",
        )


def certificates_agree(subject: Subject) -> Iterator[Finding]:
    """Certificates that say something else than the record by now, and those of destroyed prints."""
    for issued in certificates.listed(subject.connection):
        if issued.standing != "valid":
            continue
        print_ = prints.read(subject.connection, issued.print_id)
        if print_.state == "destroyed":
            yield Finding(
                "warning",
                issued.code,
                f"{print_.code} is destroyed and its certificate {issued.code} is "
                f"still valid; revoke it: tirage certificate revoke {issued.code} "
                f"--why REASON.",
            )
        differing = [
            f"{name} “{then}”, now “{now}”"
            for name, then, now in _compared(subject.connection, issued, print_)
            if then != now
        ]
        if differing:
            yield Finding(
                "warning",
                issued.code,
                f"{issued.code} for {print_.code} says {'; '.join(differing)}. It is "
                f"never edited: supersede it (tirage certificate issue {print_.code} "
                f"--supersedes {issued.code}) or revoke it.",
            )


def _compared(
    connection: sqlite3.Connection, issued: certificates.Certificate, print_: prints.Print
) -> list[tuple[str, Any, Any]]:
    """(name, as issued, as recorded now) of the facts that matter most; what was not stated is not compared."""
    edition = editions.read(connection, print_.edition) if print_.edition else None
    proofs = editions.proofs(connection, edition.id) if edition else {}
    now: dict[tuple[str, str], Any] = {
        ("", "title"): edition.title if edition else negatives.read(connection, print_.negative).title,
        ("print", "designation"): designation(
            print_.kind, print_.number, edition.size if edition else None, proofs.get(print_.kind or "")
        ),
        ("print", "paper"): papers.read(connection, print_.paper).description if print_.paper else "",
        ("edition", "size"): edition.size if edition else None,
        ("signed", "on"): print_.signed,
    }
    facts = json.loads(issued.facts)
    found = []
    for (part, name), value in now.items():
        stated = facts if not part else facts.get(part)
        if isinstance(stated, dict) and name in stated:
            label = {"size": "edition size", "on": "signed on"}.get(name, name)
            found.append((label, stated[name], value))
    return found


def gaps_between_owners(subject: Subject) -> Iterator[Finding]:
    """Owners in the past that do not follow each other: printed as a gap, and worth knowing."""
    artist = subject.connection.execute("SELECT artist FROM catalog").fetchone()[0]
    owner, item = artist, None
    for row in subject.connection.execute(TITLES).fetchall():
        if row["item"] != item:
            owner, item = artist, row["item"]
        if row["from_party"] != owner:
            yield Finding(
                "note",
                row["code"],
                f"Between its owners {row['code']} has a gap before {row['happened']}; a provenance prints it as one.",
            )
        owner = row["to_party"]


def failed_and_signed(subject: Subject) -> Iterator[Finding]:
    """Prints that were signed or sold although a test failed."""
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


def pictures_unchanged(subject: Subject) -> Iterator[Finding]:
    """Picture files that are gone or are no longer what was recorded."""
    for code, name, digest in subject.connection.execute(PICTURES).fetchall():
        path = subject.folder / "pictures" / name
        try:
            with path.open("rb") as file:
                now = hashlib.file_digest(file, "sha256").hexdigest()
        except OSError:
            yield Finding(
                "error", code, f"The picture pictures/{name} of {code} is missing; bring it back from a backup."
            )
            continue
        if now != digest:
            yield Finding(
                "error",
                code,
                f"The picture pictures/{name} of {code} was changed since it was recorded; "
                f"bring back the one from a backup, or add the new one beside it.",
            )


def sales_unpaid(subject: Subject) -> Iterator[Finding]:
    """Sales that wait for their payment for long."""
    if subject.today.year < 2:
        return
    since = (subject.today - timedelta(days=UNPAID_DAYS)).date().isoformat()
    for code, happened, buyer in subject.connection.execute(UNPAID, (since,)).fetchall():
        yield Finding(
            "note",
            code,
            f"{code} was sold to {buyer or 'nobody named'} on {happened} and is not paid after "
            f"more than {UNPAID_DAYS} days: tirage paid {code}.",
        )


CHECKS: tuple[Callable[[Subject], Iterator[Finding]], ...] = (
    schema_as_shipped,
    file_whole,
    journal_whole,
    standing_as_recorded,
    numbers_of_editions,
    printed_after_the_end,
    certificates_agree,
    gaps_between_owners,
    failed_and_signed,
    process_in_order,
    pictures_unchanged,
    sales_unpaid,
)
