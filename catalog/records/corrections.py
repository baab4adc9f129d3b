"""Corrections: one field set right, with a reason; what stood there before stays readable."""

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.measures import format_length, format_size, parse_length, parse_size
from catalog.quantities import (
    format_duration,
    format_temperature,
    format_volume,
    parse_duration,
    parse_temperature,
    parse_volume,
)
from catalog.records import catalogs, designations, editions, negatives, papers, prints
from catalog.records.items import TABLES, Coded
from catalog.store.rows import fetch_all
from catalog.vocabulary import TRIAL_KINDS, designation

ADD = "INSERT INTO correction (subject, field, before, after, why, by, happened) VALUES (?, ?, ?, ?, ?, ?, ?)"
OF_SUBJECT = """SELECT id, field, before, after, why, by, happened FROM correction WHERE subject = ? ORDER BY id"""
PRINT_BOUND = """SELECT EXISTS (SELECT 1 FROM certificate WHERE print = ?1)
    OR EXISTS (SELECT 1 FROM transfer WHERE item = ?1)"""
EDITION_BOUND = """SELECT EXISTS (SELECT 1 FROM print p WHERE p.edition = ?1 AND (
    EXISTS (SELECT 1 FROM certificate WHERE print = p.id) OR EXISTS (SELECT 1 FROM transfer WHERE item = p.id)))"""
EDITION_DESIGNATED = """SELECT EXISTS (SELECT 1 FROM print WHERE edition = ? AND kind IS NOT NULL
    AND kind NOT IN ('work', 'reference'))"""
HIGHEST_HELD = """SELECT coalesce(max(number), 0) FROM edition_number WHERE edition = ? AND kind = 'numbered'
    AND standing <> 'free'"""
STANDING = "SELECT standing FROM edition_number WHERE edition = ? AND kind = ? AND number = ?"
DESIGNATE = "UPDATE print SET kind = ?, number = ? WHERE id = ?"
REWORD_INSCRIPTION = "UPDATE inscription SET text = ? WHERE print = ? AND signature = 1 AND text = ?"
KEPT_PROMISE = """SELECT max(id) FROM promise WHERE edition = ? AND kind = ? AND number = ? AND ended = 'kept'"""
REOPEN_PROMISE = "UPDATE promise SET ended = '' WHERE id = ?"
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


Values = tuple[Any, ...]


@dataclass(frozen=True)
class Field:
    """One correctable field: its columns, how text is read into them, and how they are written out."""

    columns: tuple[str, ...]
    parse: Callable[[sqlite3.Connection, str], Values]
    show: Callable[[sqlite3.Connection, Values], str]
    lock: Callable[[sqlite3.Connection, Coded, Values], str] = lambda connection, thing, values: ""


def correct(
    connection: sqlite3.Connection, event: Event, thing: Coded, field: str, text: str, why: str
) -> tuple[str, str]:
    """Set one field right; what it was and what it is now, in words.

    Raises UnknownFieldError, NoReasonError, NothingToCorrectError, CorrectionRefusedError, NotUnderstood.
    """
    name = field.strip().lower().replace("_", "-").replace(" ", "-")
    if name not in FIELDS.get(thing.kind, {}):
        raise UnknownFieldError(thing.code, thing.kind, field)
    if not why.strip():
        raise NoReasonError(thing.code)
    text = " ".join(text.split()) if name not in ("note", "description") else text.strip()
    if (thing.kind, name) == ("print", "designation"):
        return _designation(connection, event, thing, text, why.strip())
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
    _record(connection, event, thing, name, before, after, why.strip())
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

    def refuse(reason: str) -> CorrectionRefusedError:
        return CorrectionRefusedError(thing.code, "designation", reason)

    if old.kind is None or old.kind in TRIAL_KINDS or old.edition is None:
        raise refuse(
            f"it is {old.designation}, and was given no number. Sign it, or say what it is: "
            f"tirage print designate {thing.code}."
        )
    if _bound(connection, PRINT_BOUND, thing.id):
        raise refuse(BOUND_PRINT)
    if old.replaces is not None or prints.replaced_by(connection, old.id) is not None:
        raise refuse("it shares its number with the print that it replaces, and keeps it.")
    edition = editions.read(connection, old.edition)
    kind, number = designations.parse_designation(text)
    if kind in ("work", "reference", "unique"):
        raise refuse(f"a print of an edition stays one; expected another number or proof of {edition.code}.")
    if number is None:
        number = editions.next_number(connection, edition, kind)
    if (kind, number) == (old.kind, old.number):
        raise NothingToCorrectError(thing.code, "designation", old.designation)
    most = editions.limit(connection, edition, kind)
    if not 1 <= number <= most:
        counted = "numbers" if kind == "numbered" else f"{kind} proofs"
        raise refuse(
            f"{edition.code} has {counted} 1 to {most}; expected one of those."
            if most
            else f"{edition.code} declares no {counted}; expected one that it declares."
        )
    held = connection.execute(STANDING, (edition.id, kind, number)).fetchone()
    if held and held[0] != "free":
        raise refuse(
            f"{number if kind == 'numbered' else f'{kind} {number}'} of {edition.code} is {held[0]} already; "
            f"expected a free one."
        )
    proofs = editions.proofs(connection, edition.id).get(kind)
    after = designation(kind, number, edition.size, proofs)
    _record(connection, event, thing, "designation", old.designation, after, why)
    connection.execute(DESIGNATE, (kind, number, thing.id))
    connection.execute(
        REWORD_INSCRIPTION, (f"signed and inscribed {after}", thing.id, f"signed and inscribed {old.designation}")
    )
    promise = connection.execute(KEPT_PROMISE, (edition.id, old.kind, old.number)).fetchone()[0]
    if promise is not None:
        connection.execute(REOPEN_PROMISE, (promise,))
        connection.execute(RESERVE_AGAIN, (edition.id, old.kind, old.number))
    return old.designation, after


BOUND_PRINT = (
    "a certificate was issued for it or it changed hands, so it stays. Supersede the certificate if its "
    "words are wrong."
)
BOUND_EDITION = (
    "it is frozen since the first certificate, sale or consignment of a print of it. Say it in its note: "
    "tirage correct CODE note=TEXT --why REASON."
)


def _bound(connection: sqlite3.Connection, sql: str, identity: int) -> bool:
    return bool(connection.execute(sql, (identity,)).fetchone()[0])


def _edition_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    return BOUND_EDITION if _bound(connection, EDITION_BOUND, thing.id) else ""


def _size_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    if _bound(connection, EDITION_DESIGNATED, thing.id):
        return "the declared size is fixed after the first signed print. It can close early: tirage edition close."
    highest: int = connection.execute(HIGHEST_HELD, (thing.id,)).fetchone()[0]
    if editions.read(connection, thing.id).closed_at or (highest and (values[0] is None or values[0] < highest)):
        return f"it was closed, or its number {highest} is promised; expected at least that many."
    return ""


def _print_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    if _bound(connection, PRINT_BOUND, thing.id):
        return BOUND_PRINT
    if not prints.read(connection, thing.id).signed:
        return "it is not signed yet. Sign it: tirage sign CODE."
    found, artist = prints.read(connection, thing.id), catalogs.artist(connection)
    if str(values[1]) < found.earliest:
        return f"it was printed {found.made}; expected a date from then on."
    estate = found.edition is not None and editions.read(connection, found.edition).estate
    if artist.died_latest and not estate and values[1] > artist.died_latest:
        return f"{artist.name} died {artist.died}; expected a date before that."
    return ""


def _made_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    found = prints.read(connection, thing.id)
    plate = negatives.read(connection, found.negative)
    if plate.earliest and values[2] and values[2] < plate.earliest:
        return f"its negative was made {plate.made}; expected a date from then on."
    if found.signed_earliest and values[1] > found.signed_earliest:
        return f"it was signed {found.signed}; expected a date up to then."
    if found.kind != "CP":
        negatives.refuse_if_gone(connection, found.negative, values[2])
    return ""


def _text(
    column: str, *, needed: bool = False, lock: Callable[[sqlite3.Connection, Coded, Values], str] | None = None
) -> Field:
    def parse(connection: sqlite3.Connection, text: str) -> Values:
        if needed and not text:
            raise NotUnderstood(f"a {column}", text, "some words; it cannot be empty")
        return (text,)

    made = Field((column,), parse, lambda connection, values: str(values[0]))
    return Field(made.columns, made.parse, made.show, lock) if lock else made


def _date(
    columns: tuple[str, ...],
    *,
    needed: bool = True,
    lock: Callable[[sqlite3.Connection, Coded, Values], str] | None = None,
) -> Field:
    """A date with its bounds; a fourth column is the clock, which a corrected date does not keep."""

    def parse(connection: sqlite3.Connection, text: str) -> Values:
        if not text and not needed:
            return ("",) * len(columns)
        date = parse_date(text)
        return (date.edtf, date.earliest, date.latest, "")[: len(columns)]

    made = Field(columns, parse, lambda connection, values: str(values[0]))
    return Field(made.columns, made.parse, made.show, lock) if lock else made


def _size(name: str, lock: Callable[[sqlite3.Connection, Coded, Values], str] | None = None) -> Field:
    columns = (f"{name}_height".lstrip("_"), f"{name}_width".lstrip("_"))
    made = Field(
        columns,
        lambda connection, text: parse_size(text) if text else (None, None),
        lambda connection, values: format_size(*values) if values[0] and values[1] else "",
    )
    return Field(made.columns, made.parse, made.show, lock) if lock else made


def _quantity(column: str, parse: Callable[[str], int], show: Callable[[int], str]) -> Field:
    return Field(
        (column,),
        lambda connection, text: (parse(text) if text else None,),
        lambda connection, values: "" if values[0] is None else show(values[0]),
    )


def _count(connection: sqlite3.Connection, text: str) -> Values:
    if text.lower() == "open":
        return (None,)
    if not text.isdigit() or not 0 < int(text) < 100_000:
        raise NotUnderstood("the size of an edition", text, "a whole number from 1 on, or open")
    return (int(text),)


def _paper(connection: sqlite3.Connection, text: str) -> Values:
    return (papers.named(connection, text).id if text else None,)


PAPER = Field(
    ("paper",), _paper, lambda connection, values: papers.read(connection, values[0]).name if values[0] else ""
)
SERIES = Field(
    ("series",),
    lambda connection, text: (negatives.series_id(connection, text) if text else None,),
    lambda connection, values: (
        ""
        if values[0] is None
        else str(connection.execute("SELECT title FROM series WHERE id = ?", values).fetchone()[0])
    ),
)

# kind of thing -> field as typed -> what it is; whatever is not named here is never corrected
FIELDS: dict[str, dict[str, Field]] = {
    "negative": {
        "title": _text("title", needed=True),
        "series": SERIES,
        "made": _date(("made", "earliest", "latest"), needed=False),
        "made-where": _text("made_where"),
        "process": _text("process"),
        "support": _text("support"),
        "size": _size(""),
        "thickness": _quantity("thickness", parse_length, format_length),
        "mark": _text("mark"),
        "description": _text("description"),
        "note": _text("note"),
    },
    "edition": {
        "title": _text("title", needed=True),
        "paper": _text("paper"),
        "toning": _text("toning"),
        "note": _text("note"),
        "image": _size("image", _edition_open),
        "sheet": _size("sheet", _edition_open),
        "process": _text("process", lock=_edition_open),
        "size": Field(("size",), _count, lambda connection, values: str(values[0] or "open"), _size_open),
    },
    "print": {
        "paper": PAPER,
        "made": _date(("made", "earliest", "latest", "clock"), lock=_made_open),
        "printed-by": _text("printed_by"),
        "supervised-by": _text("supervised_by"),
        "image": _size("image"),
        "sheet": _size("sheet"),
        "presentation": _text("presentation"),
        "note": _text("note"),
        "signed": _date(("signed", "signed_earliest"), lock=_print_open),
        "designation": _text("kind"),
    },
    "bath": {
        "name": _text("name", needed=True),
        "dilution": _text("dilution"),
        "volume": _quantity("volume", parse_volume, format_volume),
        "mixed": _date(("mixed", "earliest", "latest")),
        "note": _text("note"),
    },
    "step": {
        "seconds": _quantity("seconds", parse_duration, format_duration),
        "celsius": _quantity("celsius", parse_temperature, format_temperature),
        "note": _text("note"),
    },
    "control strip": {"paper": PAPER, "note": _text("note")},
}
