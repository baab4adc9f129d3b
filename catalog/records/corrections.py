"""Corrections: one field set right, with a reason; what stood there before stays readable."""

import sqlite3
from dataclasses import dataclass

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import catalogs, designations, editions, prints
from catalog.records.correction_fields import BOUND_PRINT, FIELDS, MAKES_AN_EDITION, PRINT_BOUND, gone, is_bound
from catalog.records.items import TABLES, Coded
from catalog.records.second_editions import refuse_becoming_second
from catalog.store.rows import fetch_all
from catalog.vocabulary import TRIAL_KINDS, designation, number_label

ADD = "INSERT INTO correction (subject, field, before, after, why, by, happened) VALUES (?, ?, ?, ?, ?, ?, ?)"
OF_SUBJECT = """SELECT id, field, before, after, why, by, happened FROM correction WHERE subject = ? ORDER BY id"""
STANDING = "SELECT standing FROM edition_number WHERE edition = ? AND kind = ? AND number = ?"
DESIGNATE = "UPDATE print SET kind = ?, number = ? WHERE id = ?"
REWORD_INSCRIPTION = "UPDATE inscription SET text = ? WHERE print = ? AND signature = 1 AND text = ?"
PROMISE = """SELECT max(id) FROM promise WHERE edition = ? AND kind = ? AND number = ? AND ended <> 'withdrawn'"""
REOPEN_PROMISE = "UPDATE promise SET ended = '' WHERE id = ? AND ended <> ''"
RESERVE_AGAIN = """UPDATE edition_number SET standing = 'reserved' WHERE edition = ? AND kind = ? AND number = ?
    AND standing = 'free'"""


class UnknownFieldError(TirageError):
    """A field that is not corrected so."""

    def __init__(self, code: str, kind: str, field: str) -> None:
        allowed = FIELDS.get(kind)
        remedy = (
            f"expected one of {', '.join(allowed)}"
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
            f"The {field} of {code} is “{now}” already; a correction changes something. See: tirage history {code}."
        )


class CorrectionRefusedError(TirageError):
    """A field that can no longer change, or not to that."""

    def __init__(self, code: str, field: str, reason: str) -> None:
        super().__init__(f"The {field} of {code} was not corrected: {reason}")


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


def correct(
    connection: sqlite3.Connection, event: Event, thing: Coded, field: str, text: str, why: str
) -> tuple[str, str]:
    """Set one field right; what it was and what it is now, in words.

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


def _set(connection: sqlite3.Connection, event: Event, thing: Coded, name: str, text: str, why: str) -> tuple[str, str]:
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
    return before, after


def of(connection: sqlite3.Connection, identity: int) -> list[Correction]:
    """What was set right on one thing, in order."""
    return fetch_all(connection, Correction, OF_SUBJECT, (identity,))


def _record(
    connection: sqlite3.Connection, event: Event, thing: Coded, field: str, before: str, after: str, why: str
) -> None:
    connection.execute(ADD, (thing.id, field, before, after, why, event.by, event.moment.date))


def _designation(connection: sqlite3.Connection, event: Event, thing: Coded, text: str, why: str) -> tuple[str, str]:
    """Give a print the number it really bears; the mistyped one is free again, or promised as it was."""
    old = prints.read(connection, thing.id)
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
    return old.designation, after


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
            f"it is {old.designation}, and was given no number. Sign it, or say what it is: "
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
    held = connection.execute(STANDING, (edition.id, kind, number)).fetchone()
    if held and held[0] != "free":
        label = number_label(kind, number, edition.numerals)
        return f"{label} of {edition.code} is {held[0]} already; expected a free one."
    return ""
