"""Editions: a declared set of impressions of one image in one size and process, its numbers and its prices."""

import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.money import Money
from catalog.records.items import Coded, give_codes
from catalog.records.negatives import LONGEST_TITLE
from catalog.store.rows import fetch_all, fetch_one
from catalog.vocabulary import PROOF_KINDS, PROOF_PLURALS

COLUMNS = """e.id, code.code, e.negative, e.title, e.size, e.image_height, e.image_width, e.sheet_height, e.sheet_width,
    e.process, e.paper, e.toning, e.estate, e.declared, e.earliest, e.closed_at, e.state, e.note, e.shown"""
READ = f"SELECT {COLUMNS} FROM edition e JOIN code ON code.id = e.id"
ADD = """INSERT INTO edition (id, negative, title, size, image_height, image_width, sheet_height, sheet_width, process,
    paper, toning, estate, declared, earliest, latest, note) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_PROOFS = "INSERT INTO edition_proofs (edition, kind, count) VALUES (?, ?, ?)"
PROOFS = "SELECT kind, count FROM edition_proofs WHERE edition = ?"
NUMBERS = "SELECT kind, number, standing FROM edition_number WHERE edition = ?"
ADD_PRICE = """INSERT INTO edition_price (edition, from_sale, amount, currency, since, by) VALUES (?, ?, ?, ?, ?, ?)"""
PRICES = "SELECT from_sale, amount, currency, since, by FROM edition_price WHERE edition = ? ORDER BY id"
NEXT_FREE = """SELECT 1 WHERE NOT EXISTS (SELECT 1 FROM edition_number WHERE edition = ?1 AND kind = ?2 AND number = 1
        AND standing <> 'free')
    UNION ALL SELECT number + 1 FROM (SELECT t.number FROM edition_number t WHERE t.edition = ?1 AND t.kind = ?2
        AND t.number < ?3 AND t.standing <> 'free' AND NOT EXISTS (SELECT 1 FROM edition_number n WHERE n.edition = ?1
        AND n.kind = ?2 AND n.number = t.number + 1 AND n.standing <> 'free') ORDER BY t.number LIMIT 1)
    LIMIT 1"""


class NumberRefusedError(TirageError):
    """A number that the edition does not have, or that something holds already."""

    def __init__(self, edition: str, label: str, reason: str, remedy: str) -> None:
        super().__init__(f"{label} of {edition} cannot be given: {reason}. {remedy}")


class EditionFullError(TirageError):
    """One number more than was declared."""

    def __init__(self, edition: str, kind: str, limit: int) -> None:
        what = "numbers" if kind == "numbered" else PROOF_PLURALS[kind]
        has = f"has {limit} {what}, and all are given, reserved or void" if limit else f"has no {what}"
        super().__init__(
            f"{edition} {has}; what was declared never grows. Keep the print as a work print, or declare another "
            f"edition and disclose both."
        )


class ClosingError(TirageError):
    """An edition that cannot be closed so."""

    def __init__(self, edition: str, reason: str) -> None:
        super().__init__(f"{edition} was not closed: {reason}")


@dataclass(frozen=True)
class Edition:
    """One edition; `size` None means open, without numbers. Lengths in micrometres."""

    id: int
    code: str
    negative: int
    title: str
    size: int | None
    image_height: int | None
    image_width: int | None
    sheet_height: int | None
    sheet_width: int | None
    process: str
    paper: str
    toning: str
    estate: int
    declared: str
    earliest: str
    closed_at: int | None
    state: str
    note: str
    shown: int


@dataclass(frozen=True)
class Price:
    """A price that holds from a number of sales on."""

    from_sale: int
    amount: int
    currency: str
    since: str
    by: str

    def text(self) -> str:
        """“EUR 900.00”, or “EUR 1,200.00 from sale 11”."""
        money = Money(self.amount, self.currency).text()
        return money if self.from_sale == 1 else f"{money} from sale {self.from_sale}"


def read(connection: sqlite3.Connection, identity: int) -> Edition:
    """One edition by its identity."""
    found = fetch_one(connection, Edition, f"{READ} WHERE e.id = ?", (identity,))
    assert found is not None, identity
    return found


def listed(connection: sqlite3.Connection, negative: int | None = None) -> list[Edition]:
    """Editions in order, of one negative or of all."""
    return fetch_all(connection, Edition, f"{READ} WHERE ?1 IS NULL OR e.negative = ?1 ORDER BY e.id", (negative,))


def declare(
    connection: sqlite3.Connection,
    event: Event,
    negative: int,
    title: str,
    size: int | None,
    proofs: Mapping[str, int],
    *,
    own_code: str | None = None,
    image: tuple[int, int] | None = None,
    sheet: tuple[int, int] | None = None,
    process: str = "",
    paper: str = "",
    toning: str = "",
    estate: bool = False,
) -> Coded:
    """Declare an edition: numbered (`size`) or open (None), with so many proofs of each kind."""
    if size is not None and not 0 < size < 100_000:
        raise NotUnderstood("the size of an edition", str(size), "a whole number from 1 to 99999, or the word “open”")
    if not 0 < len(title.strip()) <= LONGEST_TITLE:
        raise NotUnderstood("a title", title[:60], f"1 to {LONGEST_TITLE} characters")
    thing = give_codes(connection, "edition", 1, own_code)[0]
    connection.execute(
        ADD,
        (
            thing.id,
            negative,
            title,
            size,
            *(image or (None, None)),
            *(sheet or (None, None)),
            process,
            paper,
            toning,
            int(estate),
            *event.columns[:3],
            event.note,
        ),
    )
    for kind, count in proofs.items():
        if kind not in PROOF_KINDS or count < 1:
            raise NotUnderstood(
                "a count of proofs",
                f"{kind} {count}",
                "a kind among " + ", ".join(PROOF_KINDS) + " and a number from 1 on",
            )
        connection.execute(ADD_PROOFS, (thing.id, kind, count))
    return thing


def proofs(connection: sqlite3.Connection, identity: int) -> dict[str, int]:
    """Kind of proof -> how many were declared, in the usual order."""
    found = {row[0]: row[1] for row in connection.execute(PROOFS, (identity,))}
    return {kind: found[kind] for kind in PROOF_KINDS if kind in found}


def limit(connection: sqlite3.Connection, edition: Edition, kind: str) -> int:
    """The highest number of a kind that can be given."""
    if kind == "numbered":
        return edition.closed_at or edition.size or 0
    return proofs(connection, edition.id).get(kind, 0)


def next_number(connection: sqlite3.Connection, edition: Edition, kind: str = "numbered") -> int:
    """The lowest number that is neither given, reserved nor void. Raises EditionFullError."""
    most = limit(connection, edition, kind)
    row = connection.execute(NEXT_FREE, (edition.id, kind, most)).fetchone() if most else None
    if row is None:
        raise EditionFullError(edition.code, kind, most)
    return int(row[0])


def statement(connection: sqlite3.Connection, edition: Edition) -> str:
    """The edition in words: “25 numbered, 3 artist's proofs, 1 printer's proof”."""
    if edition.size is None:
        parts = ["open edition, not numbered"]
    elif edition.closed_at:
        parts = [f"{edition.size} declared, closed early at {edition.closed_at}"]
    else:
        parts = [f"{edition.size} numbered"]
    parts += [
        f"{count} {PROOF_KINDS[kind] if count == 1 else PROOF_PLURALS[kind]}"
        for kind, count in proofs(connection, edition.id).items()
    ]
    return ", ".join(parts)


def set_price(connection: sqlite3.Connection, event: Event, identity: int, money: Money, from_sale: int = 1) -> None:
    """Add a price; the ones before stay readable."""
    connection.execute(ADD_PRICE, (identity, from_sale, money.minor, money.currency, event.moment.date, event.by))


def prices(connection: sqlite3.Connection, identity: int) -> list[Price]:
    """All prices ever set, oldest first."""
    return fetch_all(connection, Price, PRICES, (identity,))


def reserve(
    connection: sqlite3.Connection,
    event: Event,
    edition: Edition,
    kind: str,
    number: int,
    party: int,
    until: tuple[str, str],
) -> None:
    """Hold a number for someone; it is skipped when numbers are handed out. `until` is EDTF and latest day."""
    most = limit(connection, edition, kind)
    label = f"{number}" if kind == "numbered" else f"{kind} {number}"
    if not 1 <= number <= most:
        raise NumberRefusedError(
            edition.code, label, f"the edition has {kind} numbers from 1 to {most}", "Name one of those."
        )
    row = connection.execute(
        "SELECT standing FROM edition_number WHERE edition = ? AND kind = ? AND number = ?", (edition.id, kind, number)
    ).fetchone()
    if row and row[0] != "free":
        raise NumberRefusedError(edition.code, label, f"it is {row[0]} already", "Name a free number.")
    if row:
        connection.execute(
            "UPDATE edition_number SET standing = 'reserved' WHERE edition = ? AND kind = ? AND number = ?",
            (edition.id, kind, number),
        )
    else:
        connection.execute(
            "INSERT INTO edition_number (edition, kind, number, standing) VALUES (?, ?, ?, 'reserved')",
            (edition.id, kind, number),
        )
    connection.execute(
        "INSERT INTO promise (edition, kind, number, party, promised, until, until_latest, by, note) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (edition.id, kind, number, party, event.moment.date, *until, event.by, event.note),
    )


def withdraw(connection: sqlite3.Connection, edition: Edition, kind: str, number: int) -> None:
    """Give a promised number free again."""
    changed = connection.execute(
        "UPDATE promise SET ended = 'withdrawn' WHERE edition = ? AND kind = ? AND number = ? AND ended = ''",
        (edition.id, kind, number),
    ).rowcount
    if not changed:
        raise NumberRefusedError(edition.code, str(number), "it is not promised to anyone", "See: tirage edition show.")
    connection.execute(
        "UPDATE edition_number SET standing = 'free' WHERE edition = ? AND kind = ? AND number = ? "
        "AND standing = 'reserved'",
        (edition.id, kind, number),
    )


def close(connection: sqlite3.Connection, edition: Edition, at: int | None) -> int | None:
    """Close a numbered edition early, at or above the highest number given; or call it complete."""
    if edition.state != "declared":
        raise ClosingError(edition.code, f"it is {edition.state} already.")
    highest: int = connection.execute(
        "SELECT coalesce(max(number), 0) FROM edition_number WHERE edition = ? AND "
        "kind = 'numbered' AND standing IN ('given', 'reserved')",
        (edition.id,),
    ).fetchone()[0]
    if edition.size is None:
        connection.execute("UPDATE edition SET state = 'complete' WHERE id = ?", (edition.id,))
        return None
    at = highest if at is None else at
    if at < max(highest, 1) or at > edition.size:
        raise ClosingError(
            edition.code,
            f"it can close at {max(highest, 1)} (the highest number given or promised) "
            f"to {edition.size}; name one of these with --at-number.",
        )
    if at == edition.size:
        connection.execute("UPDATE edition SET state = 'complete' WHERE id = ?", (edition.id,))
    else:
        connection.execute("UPDATE edition SET closed_at = ?, state = 'closed early' WHERE id = ?", (at, edition.id))
    return at


def show(connection: sqlite3.Connection, identity: int, shown: bool) -> None:
    """Mark an edition as one that may be published, or not."""
    connection.execute("UPDATE edition SET shown = ? WHERE id = ?", (int(shown), identity))
