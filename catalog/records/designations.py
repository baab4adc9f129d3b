"""Designations: signing, what a print is called, and the one way a number passes to another print."""

import sqlite3

from catalog.dates import Moment, later_than
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import catalogs, editions, prints
from catalog.records.items import Coded
from catalog.vocabulary import PROOF_KINDS


class ReplacementError(TirageError):
    """A print that cannot take another's number."""

    def __init__(self, old: str, new: str, reason: str) -> None:
        super().__init__(f"{new} cannot replace {old}: {reason}")


def sign(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    *,
    edition: Coded | None = None,
    kind: str = "numbered",
    number: int | None = None,
    text: str = "",
    position: str = "verso",
    medium: str = "pencil",
) -> prints.Print:
    """Sign one print and give it the next number (or the one asked for); the print as it is then.

    Raises prints.DesignationError, EditionFullError, NumberRefusedError.
    """
    before = prints.read(connection, thing.id)
    if before.state != "living":
        raise prints.DesignationError(thing.code, f"it is {before.state}, and nothing is signed on it any more.")
    if before.signed:
        raise prints.DesignationError(thing.code, f"it was signed on {before.signed} as {before.designation} already.")
    printed = Moment(before.made, before.earliest, before.latest, before.clock)
    if later_than(printed, event.moment):
        raise prints.DesignationError(
            thing.code,
            f"it was printed on {printed.text()}, after {event.moment.text()}. Give the "
            f"day it was signed with --on DATE.",
        )
    if before.number is None and before.kind not in ("open", "unique"):
        designate(connection, event, thing, edition=edition, kind=kind, number=number)
    else:
        _refuse_other(before, edition, kind, number)
    connection.execute(
        "UPDATE print SET signed = ?, signed_earliest = ? WHERE id = ?",
        (event.moment.date, event.moment.earliest, thing.id),
    )
    after = prints.read(connection, thing.id)
    connection.execute(
        prints.INSCRIBE,
        (
            thing.id,
            text or f"signed and inscribed {after.designation}",
            position,
            medium,
            1,
            event.moment.date,
            event.by,
        ),
    )
    return after


def _refuse_other(before: prints.Print, edition: Coded | None, kind: str, number: int | None) -> None:
    """Raise prints.DesignationError when something else is asked of a print than what it was designated."""
    asked = kind != "numbered" or number is not None
    if (asked and (kind, number or before.number) != (before.kind, before.number)) or (
        edition is not None and edition.id != before.edition
    ):
        raise prints.DesignationError(
            before.code,
            f"it is {before.designation} already, and something else was asked. Sign it without saying what it is, "
            f"or correct it first: tirage correct {before.code} designation=NEW --why REASON.",
        )


def designate(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    *,
    edition: Coded | None = None,
    kind: str = "numbered",
    number: int | None = None,
) -> prints.Print:
    """Say what a print is, before or without signing it. A number comes from its edition's register."""
    before = prints.read(connection, thing.id)
    if before.state != "living":
        raise prints.DesignationError(thing.code, f"it is {before.state}.")
    if before.kind is not None and not before.is_trial:
        raise prints.DesignationError(
            thing.code,
            f"it is {before.designation} already. A mistyped number is corrected with: "
            f"tirage correct {thing.code} designation=NEW --why REASON.",
        )
    if kind in ("work", "reference", "unique"):
        connection.execute("UPDATE print SET kind = ? WHERE id = ?", (kind, thing.id))
        return prints.read(connection, thing.id)
    target = edition.id if edition else before.edition
    if target is None:
        raise prints.DesignationError(thing.code, "it belongs to no edition; name one with --edition CODE.")
    declared = editions.read(connection, target)
    if declared.negative != before.negative:
        raise prints.DesignationError(thing.code, f"it is a print of another negative than {declared.code}.")
    _refuse_after_death(connection, event, thing, declared)
    if declared.state == "cancelled" or (declared.size is None and declared.state != "declared"):
        raise prints.DesignationError(thing.code, f"{declared.code} is {declared.state}, and takes nothing more.")
    if before.edition is None and not _fits(before, declared):
        raise prints.DesignationError(
            thing.code,
            f"its size differs from that of {declared.code}; only a matching work print is signed into an edition.",
        )
    if declared.size is None and kind == "numbered":
        kind, number = "open", None
    elif number is None:
        number = editions.next_number(connection, declared, kind)
    else:
        _check_number(connection, declared, kind, number)
    connection.execute(
        "UPDATE print SET edition = ?, kind = ?, number = ? WHERE id = ?", (target, kind, number, thing.id)
    )
    if number is not None:
        connection.execute(
            "UPDATE promise SET ended = 'kept' WHERE edition = ? AND kind = ? AND number = ? AND ended = ''",
            (target, kind, number),
        )
    return prints.read(connection, thing.id)


def _refuse_after_death(connection: sqlite3.Connection, event: Event, thing: Coded, edition: editions.Edition) -> None:
    artist = catalogs.artist(connection)
    if artist.died_latest and not edition.estate and event.moment.earliest > artist.died_latest:
        raise prints.DesignationError(
            thing.code,
            f"{artist.name} died {artist.died}, and no number of {edition.code} is given out after that. Estate "
            f"prints are an edition of their own: tirage edition declare NEGATIVE SIZE --estate.",
        )


def replace(connection: sqlite3.Connection, event: Event, old: Coded, new: Coded) -> prints.Print:
    """Give a destroyed print's number to another print of its edition, which then names it.

    Raises ReplacementError; a lost print is never replaced, it may be found.
    """
    first, second = prints.read(connection, old.id), prints.read(connection, new.id)
    if first.state != "destroyed":
        raise ReplacementError(
            old.code,
            new.code,
            f"{old.code} is {first.state}; first it is surrendered and recorded "
            f"as destroyed: tirage destroy {old.code} --why REASON. A lost print is never replaced.",
        )
    successor = prints.replaced_by(connection, first.id)
    if successor is not None:
        named = prints.read(connection, successor).code
        raise ReplacementError(old.code, new.code, f"{named} bears its number now. Replace {named} instead.")
    declared = editions.read(connection, first.edition) if first.edition else None
    if (second.edition is not None and second.edition != first.edition) or (declared and not _fits(second, declared)):
        raise ReplacementError(old.code, new.code, f"{new.code} is of another edition or another size.")
    if first.number is None:
        raise ReplacementError(old.code, new.code, f"{old.code} never had a number.")
    if (
        second.state != "living"
        or (second.kind is not None and not second.is_trial)
        or second.negative != first.negative
    ):
        raise ReplacementError(
            old.code,
            new.code,
            f"{new.code} is {second.designation} and {second.state}; expected "
            f"a living print of the same negative without a designation.",
        )
    connection.execute(
        "UPDATE print SET edition = ?, kind = ?, number = ?, replaces = ? WHERE id = ?",
        (first.edition, first.kind, first.number, first.id, new.id),
    )
    return sign(connection, event, new)


def parse_designation(text: str) -> tuple[str, int | None]:
    """“3”, “3/25”, “AP 1”, “AP 1/3”, “BAT”, “reference”, “unique” as kind and number."""
    word, _, rest = text.strip().replace("-", " ").partition(" ")
    if word.lower() in ("work", "reference", "unique") and rest.lower() in ("", "print"):
        return word.lower(), None
    letters = word.rstrip("0123456789/")
    digits = (word[len(letters) :] or rest).partition("/")[0].strip()
    kind = letters.upper() or "numbered"
    if (
        (kind != "numbered" and kind not in PROOF_KINDS)
        or (digits and not digits.isdigit())
        or (not digits and not letters)
    ):
        raise NotUnderstood("a designation", text, "a number (3), a proof (AP1, BAT), reference, work or unique")
    return kind, int(digits) if digits else None


def _fits(one: prints.Print, edition: editions.Edition) -> bool:
    pairs = (
        (one.image_height, edition.image_height),
        (one.image_width, edition.image_width),
        (one.sheet_height, edition.sheet_height),
        (one.sheet_width, edition.sheet_width),
    )
    return all(mine is None or theirs is None or mine == theirs for mine, theirs in pairs)


def _check_number(connection: sqlite3.Connection, edition: editions.Edition, kind: str, number: int) -> None:
    most = editions.limit(connection, edition, kind)
    label = f"{number}" if kind == "numbered" else f"{kind} {number}"
    if not 1 <= number <= most:
        raise editions.NumberRefusedError(edition.code, label, f"it goes from 1 to {most}", "Name one of those.")
    row = connection.execute(
        "SELECT standing FROM edition_number WHERE edition = ? AND kind = ? AND number = ?", (edition.id, kind, number)
    ).fetchone()
    if row and row[0] in ("given", "void"):
        raise editions.NumberRefusedError(
            edition.code, label, f"it is {row[0]} already, and stays so", "Leave the number out to take the next one."
        )
