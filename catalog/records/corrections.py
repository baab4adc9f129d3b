"""Corrections: one field set right, with a reason; what stood there before stays readable."""

import sqlite3
from dataclasses import dataclass
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import catalogs, designations, editions, prints
from catalog.records.correction_fields import (
    BOUND_PRINT,
    FIELDS,
    MAKES_AN_EDITION,
    PRINT_BOUND,
    gone,
    is_bound,
)
from catalog.records.correction_words import noun, said
from catalog.records.items import TABLES, Coded
from catalog.records.second_editions import refuse_becoming_second
from catalog.store.rows import fetch_all
from catalog.vocabulary import TRIAL_KINDS, designation, number_label

ADD = "INSERT INTO correction (subject, field, before, after, why, by, happened) VALUES (?, ?, ?, ?, ?, ?, ?)"
OF_SUBJECT = """SELECT id, field, before, after, why, by, happened FROM correction WHERE subject = ? ORDER BY id"""
DESIGNATE = "UPDATE print SET kind = ?, number = ? WHERE id = ?"
FOLLOWING = """SELECT e.id, c.code, 'edition' FROM edition e JOIN code c ON c.id = e.id
    WHERE e.negative = ? AND e.title = ? ORDER BY e.id"""
RETITLE = "UPDATE edition SET title = ? WHERE id = ?"
BEARING = """SELECT code.code FROM certificate c JOIN code ON code.id = c.id JOIN print p ON p.id = c.print
    WHERE (p.edition = ?1 OR (p.negative = ?1 AND p.edition IS NULL))
    AND NOT EXISTS (SELECT 1 FROM certificate_event WHERE certificate = c.id) ORDER BY c.id"""
REWORD_INSCRIPTION = "UPDATE inscription SET text = ? WHERE print = ? AND signature = 1 AND text = ?"
REDATE_INSCRIPTION = "UPDATE inscription SET happened = ? WHERE print = ? AND signature = 1 AND happened = ?"
PROMISE = """SELECT max(id) FROM promise WHERE edition = ? AND kind = ? AND number = ? AND ended <> 'withdrawn'"""
REOPEN_PROMISE = "UPDATE promise SET ended = '' WHERE id = ? AND ended <> ''"
RESERVE_AGAIN = """UPDATE edition_number SET standing = 'reserved' WHERE edition = ? AND kind = ? AND number = ?
    AND standing = 'free'"""


# See dealing_corrections.
OF_HANDS = (
    "; of its newest change of hands price, commission, until, insured, condition, date, in, occasion, remark or "
    "their-number, each also with its kind before it, such as sale-price and sale-note"
)


class UnknownFieldError(TirageError):
    """A field that is not corrected so."""

    def __init__(self, code: str, kind: str, field: str) -> None:
        allowed = FIELDS.get(kind)
        remedy = (
            f"expected one of {', '.join(allowed)}{OF_HANDS if kind in ('print', 'negative') else ''}"
            if allowed
            else "what was issued is never edited; revoke it: tirage certificate revoke CODE --why REASON"
        )
        super().__init__(
            f"“{field}” of {code}, {'an' if kind[0] in 'aeiou' else 'a'} {kind}, is not corrected so; {remedy}."
        )


class NoReasonError(TirageError):
    """A correction without its reason."""

    def __init__(self, code: str) -> None:
        super().__init__(f"{code} was not corrected: a reason is missing, which the record keeps. Add --why REASON.")


class NothingToCorrectError(TirageError):
    """A correction to what stands there already."""

    def __init__(self, code: str, field: str, now: str) -> None:
        super().__init__(
            f"The {noun(field)} of {code} is “{said(field, now)}” already; a correction changes something. "
            f"See: tirage history {code}."
        )


class CorrectionRefusedError(TirageError):
    """A field that can no longer change, or not to that."""

    def __init__(self, code: str, field: str, reason: str) -> None:
        super().__init__(f"The {noun(field)} of {code} was not corrected: {reason}")


@dataclass(frozen=True)
class Correction:
    """One field that was set right."""

    id: int
    field: str
    before: str | None
    after: str | None
    why: str
    by: str
    happened: str


class Corrected(NamedTuple):
    """What was set right, in words: the field, what it was and what it is now; the editions that took it over.

    `bearing` are the valid certificates that name the thing by its old title.
    """

    field: str
    before: str
    after: str
    followed: tuple[str, ...] = ()
    bearing: tuple[str, ...] = ()


def correct(connection: sqlite3.Connection, event: Event, thing: Coded, field: str, text: str, why: str) -> Corrected:
    """Set one field right; what it was and what it is now, in words.

    An edition that was titled as its negative follows the negative's title.

    Raises UnknownFieldError, NoReasonError, NothingToCorrectError, CorrectionRefusedError, SecondEditionError,
    NotUnderstood; what was begun is then taken back with the unit of work.
    """
    name = field.strip().lower().replace("_", "-").replace(" ", "-")
    if name not in FIELDS.get(thing.kind, {}):
        raise UnknownFieldError(thing.code, thing.kind, field)
    if not why.strip():
        raise NoReasonError(thing.code)
    text = " ".join(text.split()) if name not in ("note", "description") else text.strip()
    if (thing.kind, name) == ("print", "designation"):
        return _designation(connection, event, thing, text, why.strip())
    return _set(connection, event, thing, name, text, why.strip())


def _set(connection: sqlite3.Connection, event: Event, thing: Coded, name: str, text: str, why: str) -> Corrected:
    """Write a field that is no designation; what it was and what it is now, in words."""
    kept = FIELDS[thing.kind][name]
    table, columns = TABLES[thing.kind], ", ".join(kept.columns)
    now = tuple(connection.execute(f"SELECT {columns} FROM {table} WHERE id = ?", (thing.id,)).fetchone())
    wanted = kept.parse(connection, text)
    before, after = kept.show(connection, now), kept.show(connection, wanted)
    if now == wanted or before == after:
        raise NothingToCorrectError(thing.code, name, before)
    reason = kept.lock(connection, thing, wanted)
    if {"earliest", "signed_earliest"} & set(kept.columns) and str(wanted[1]) > event.moment.latest:
        reason = "that day has not come yet; expected a date up to today."
    if reason:
        raise CorrectionRefusedError(thing.code, name, reason)
    if thing.kind == "edition" and name in MAKES_AN_EDITION:
        refuse_becoming_second(connection, thing.id, dict(zip(kept.columns, wanted, strict=True)))
    _record(connection, event, thing, name, before, after, why)
    assignments = ", ".join(f"{column} = ?" for column in kept.columns)
    try:
        connection.execute(f"UPDATE {table} SET {assignments} WHERE id = ?", (*wanted, thing.id))
    except sqlite3.IntegrityError as refused:
        raise CorrectionRefusedError(thing.code, name, f"{refused}.") from refused
    if name == "signed":
        connection.execute(REDATE_INSCRIPTION, (wanted[0], thing.id, now[0]))
    followed, bearing = _retitled(connection, event, thing, before, after, why) if name == "title" else ((), ())
    return Corrected(noun(name), said(name, before), said(name, after), followed, bearing)


def _retitled(
    connection: sqlite3.Connection, event: Event, thing: Coded, before: str, after: str, why: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Take a negative's new title over to its editions that bore the old one; these, and certificates that bear it."""
    found = connection.execute(FOLLOWING, (thing.id, before)).fetchall() if thing.kind == "negative" else []
    editions_of_it = [Coded(*row) for row in found]
    for edition in editions_of_it:
        _record(connection, event, edition, "title", before, after, why)
        connection.execute(RETITLE, (after, edition.id))
    bearing = [row[0] for one in (thing, *editions_of_it) for row in connection.execute(BEARING, (one.id,))]
    return tuple(edition.code for edition in editions_of_it), tuple(sorted(bearing))


def of(connection: sqlite3.Connection, identity: int) -> list[Correction]:
    """What was set right on one thing, in order."""
    return fetch_all(connection, Correction, OF_SUBJECT, (identity,))


def _record(
    connection: sqlite3.Connection, event: Event, thing: Coded, field: str, before: str, after: str, why: str
) -> None:
    connection.execute(ADD, (thing.id, field, before, after, why, event.by, event.moment.date))


def _designation(connection: sqlite3.Connection, event: Event, thing: Coded, text: str, why: str) -> Corrected:
    """Give a print the number it really bears; the mistyped one is free again, or promised as it was."""
    old = prints.read(connection, thing.id)
    if old.kind == "unique":
        return _no_longer_unique(connection, event, old, text, why)
    edition = _numbered_in(connection, old)
    kind, number = _asked_for(connection, edition, text)
    if (kind, number) == (old.kind, old.number):
        raise NothingToCorrectError(thing.code, "designation", old.designation)
    reason = _not_free(connection, edition, kind, number)
    if old.kind == "CP" and kind != "CP":
        reason = reason or gone(connection, old, old.latest)
    if not old.signed and kind != "CP" and not edition.estate:
        reason = reason or _after_death(connection, edition)
    if reason:
        raise CorrectionRefusedError(thing.code, "designation", reason)
    proofs = editions.proofs(connection, edition.id).get(kind)
    after = designation(kind, number, edition.size, proofs, edition.numerals)
    _record(connection, event, thing, "designation", old.designation, after, why)
    connection.execute(DESIGNATE, (kind, number, thing.id))
    connection.execute(
        REWORD_INSCRIPTION, (f"signed and inscribed {after}", thing.id, f"signed and inscribed {old.designation}")
    )
    held = (edition.id, old.kind, old.number)
    promise = connection.execute(PROMISE, held).fetchone()[0]
    if promise is not None:
        connection.execute(REOPEN_PROMISE, (promise,))
        connection.execute(RESERVE_AGAIN, held)
    return Corrected("designation", old.designation, after)


def _no_longer_unique(
    connection: sqlite3.Connection, event: Event, old: prints.Print, text: str, why: str
) -> Corrected:
    """Make of a print that was called unique a work or reference print, as long as nobody relies on the word."""
    kind, _ = designations.parse_designation(text)
    if kind == "unique":
        raise NothingToCorrectError(old.code, "designation", old.designation)
    if kind not in TRIAL_KINDS:
        raise NotUnderstood("what it is instead of unique", text, "work or reference; from there it joins an edition")
    if is_bound(connection, PRINT_BOUND, old.id):
        raise CorrectionRefusedError(old.code, "designation", BOUND_PRINT)
    thing = Coded(old.id, old.code, "print")
    _record(connection, event, thing, "designation", old.designation, f"{kind} print", why)
    connection.execute(DESIGNATE, (kind, None, old.id))
    after = prints.read(connection, old.id).designation
    connection.execute(
        REWORD_INSCRIPTION, (f"signed and inscribed {after}", old.id, f"signed and inscribed {old.designation}")
    )
    return Corrected("designation", old.designation, after)


def _after_death(connection: sqlite3.Connection, edition: editions.Edition) -> str:
    """Why what bears no signature gets no number of a lifetime edition, "" while the artist lives."""
    artist = catalogs.artist(connection)
    if not artist.died_latest:
        return ""
    return f"{artist.name} died, and no number of {edition.code} goes to what the artist never signed."


def _numbered_in(connection: sqlite3.Connection, old: prints.Print) -> editions.Edition:
    """The edition whose number a print bears, where that can still change. Raises CorrectionRefusedError."""
    reason = ""
    if old.kind is None or old.kind in TRIAL_KINDS or old.edition is None:
        reason = (
            f"it is {old.called}, and was given no number. Sign it, or say what it is: "
            f"tirage print designate {old.code}."
        )
    elif is_bound(connection, PRINT_BOUND, old.id):
        reason = BOUND_PRINT
    elif old.replaces is not None or prints.replaced_by(connection, old.id) is not None:
        reason = "it shares its number with the print that it replaces, and keeps it."
    if reason or old.edition is None:
        raise CorrectionRefusedError(old.code, "designation", reason)
    return editions.read(connection, old.edition)


def _asked_for(connection: sqlite3.Connection, edition: editions.Edition, text: str) -> tuple[str, int]:
    """What was typed as a kind and a number of an edition. Raises NotUnderstood, EditionFullError."""
    kind, number = designations.parse_designation(text)
    if kind in ("work", "reference", "unique"):
        raise NotUnderstood("a number of an edition", text, f"another number or proof of {edition.code}")
    return kind, editions.next_number(connection, edition, kind) if number is None else number


def _not_free(connection: sqlite3.Connection, edition: editions.Edition, kind: str, number: int) -> str:
    """Why a number cannot be given, "" where it is free."""
    most = editions.limit(connection, edition, kind)
    if not 1 <= number <= most:
        counted = "numbers" if kind == "numbered" else f"{kind} proofs"
        return (
            f"{edition.code} has {counted} 1 to {most}; expected one of those."
            if most
            else f"{edition.code} declares no {counted}; expected one that it declares."
        )
    held = editions.standing_of(connection, edition, kind, number)
    if held not in ("", "free"):
        label = number_label(kind, number, edition.numerals)
        return f"{label} of {edition.code} is {held} already; expected a free one."
    return ""
