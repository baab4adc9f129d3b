"""Designations: signing, what a print is called, and the one way a number passes to another print."""

import sqlite3

from catalog.dates import Moment, later_than, parse_date
from catalog.errors import NotUnderstood
from catalog.events import Event
from catalog.marks import parse_mark
from catalog.records import catalogs, editions, prints
from catalog.records.items import Coded
from catalog.records.lifetime import dead_at
from catalog.records.replacements import ReplacementError, refuse_replacement
from catalog.records.uniqueness import refuse_unique
from catalog.vocabulary import number_label

SIGN = "UPDATE print SET signed = ?, signed_earliest = ? WHERE id = ?"
DESIGNATE = "UPDATE print SET edition = ?, kind = ?, number = ? WHERE id = ?"
DESIGNATE_AND_SIGN = "UPDATE print SET edition = ?, kind = ?, number = ?, signed = ?, signed_earliest = ? WHERE id = ?"
REPLACE = """UPDATE print SET edition = ?, kind = ?, number = ?, replaces = ?, signed = ?, signed_earliest = ?
    WHERE id = ?"""


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

    Raises prints.SigningError, EditionFullError, NumberRefusedError, UniqueError.
    """
    try:
        _sign(connection, event, thing, edition, kind, number)
    except prints.DesignationError as refused:
        raise prints.SigningError(refused.code, refused.reason) from None
    return _inscribed(connection, event, thing, text, position, medium)


def _sign(
    connection: sqlite3.Connection, event: Event, thing: Coded, edition: Coded | None, kind: str, number: int | None
) -> None:
    """Sign one print, and say what it is where that was not said yet."""
    before = prints.read(connection, thing.id)
    _refuse_signing(event, before)
    if before.number is None and before.kind not in ("open", "unique"):
        _designate(connection, event, before, edition, kind, number, signing=True)
        return
    _refuse_other(before, edition, kind, number)
    own = editions.read(connection, before.edition) if before.edition else None
    _refuse_after_death(connection, event, thing, own)
    _refuse_misfit(connection, before, own)
    connection.execute(SIGN, (*_signature(event), thing.id))


def _signature(event: Event) -> tuple[str, str]:
    """The day of a signature, as the columns have it."""
    return event.moment.date, event.moment.earliest


def _inscribed(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    text: str = "",
    position: str = "verso",
    medium: str = "pencil",
) -> prints.Print:
    """Record what stands on a print that was just signed; the print."""
    after = prints.read(connection, thing.id)
    words = text or f"signed and inscribed {after.designation}"
    connection.execute(prints.INSCRIBE, (thing.id, words, position, medium, 1, event.moment.date, event.by))
    return after


def _refuse_signing(event: Event, before: prints.Print) -> None:
    """Raise prints.DesignationError for what is gone, signed already, or not yet printed on that day."""
    if before.state != "living":
        raise prints.DesignationError(before.code, f"it is {before.state}, and nothing is signed on it any more.")
    if before.signed:
        told = parse_date(before.signed).text()
        raise prints.DesignationError(before.code, f"it was signed {told} as {before.called} already.")
    printed = Moment(before.made, before.earliest, before.latest, before.clock)
    if later_than(printed, event.moment):
        raise prints.DesignationError(
            before.code,
            f"it was printed {printed.text()}, after {event.moment.text()}. Give the day it was signed with --on DATE.",
        )


def _refuse_misfit(connection: sqlite3.Connection, before: prints.Print, edition: editions.Edition | None) -> None:
    """Raise prints.DesignationError for a print of another size than its edition."""
    if edition and not prints.fits(connection, before, edition):
        raise prints.DesignationError(
            before.code,
            f"its size differs from that of {edition.code}, and an edition is of one size. If its size was mistyped: "
            f"tirage correct {before.code} image=SIZE --why REASON.",
        )


def _refuse_other(before: prints.Print, edition: Coded | None, kind: str, number: int | None) -> None:
    """Raise prints.DesignationError when something else is asked of a print than what it was designated."""
    asked = kind != "numbered" or number is not None
    if (asked and (kind, number or before.number) != (before.kind, before.number)) or (
        edition is not None and edition.id != before.edition
    ):
        raise prints.DesignationError(
            before.code,
            f"it is {before.called} already, and something else was asked. Sign it without saying what it is, "
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
    return _designate(connection, event, prints.read(connection, thing.id), edition, kind, number, signing=False)


def bear(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    *,
    edition: Coded | None = None,
    kind: str | None = None,
    number: int | None = None,
    signed: bool = False,
) -> prints.Print:
    """Say what a print has been since before the catalog, under the rules of today: its number, and its signature.

    The event has the day it was signed, as far as that is known. What stands on the print is not made up. Raises as
    `sign` and `designate` do.
    """
    if kind is not None and signed:
        _sign(connection, event, thing, edition, kind, number)
    elif kind is not None:
        designate(connection, event, thing, edition=edition, kind=kind, number=number)
    elif signed:
        before = prints.read(connection, thing.id)
        own = editions.read(connection, before.edition) if before.edition else None
        _refuse_signing(event, before)
        _refuse_after_death(connection, event, thing, own)
        _refuse_misfit(connection, before, own)
        connection.execute(SIGN, (*_signature(event), thing.id))
    return prints.read(connection, thing.id)


def _designate(
    connection: sqlite3.Connection,
    event: Event,
    before: prints.Print,
    edition: Coded | None,
    kind: str,
    number: int | None,
    *,
    signing: bool,
) -> prints.Print:
    """Designate a print, and sign it with the same stroke: one change of one row, one entry in the journal.

    A number that is promised to somebody goes to its print like any other: the promise is kept by who gets the print.
    """
    thing = Coded(before.id, before.code, "print")
    if before.state != "living":
        raise prints.DesignationError(thing.code, f"it is {before.state}.")
    if before.kind is not None and not before.is_trial:
        raise prints.DesignationError(
            thing.code,
            f"it is {before.called} already. "
            + ("What was a slip" if before.kind == "unique" else "A mistyped number")
            + f" is corrected with: tirage correct {thing.code} designation=NEW --why REASON.",
        )
    if kind in ("work", "reference", "unique"):
        if kind == "unique":
            refuse_unique(connection, before.code, before.negative)
        if signing:
            _refuse_after_death(connection, event, thing, None)
        return _written(connection, event, before, before.edition, kind, None, signing)
    declared = _taking_in(connection, before, edition)
    _refuse_after_death(connection, event, thing, declared, unsigned=not signing and kind != "CP")
    if declared.size is None and kind == "numbered":
        kind, number = "open", None
    elif number is None:
        number = editions.next_number(connection, declared, kind)
    else:
        _check_number(connection, declared, kind, number)
    return _written(connection, event, before, declared.id, kind, number, signing)


def _taking_in(connection: sqlite3.Connection, before: prints.Print, edition: Coded | None) -> editions.Edition:
    """The edition that takes a print in. Raises prints.DesignationError where none does."""
    target = edition.id if edition else before.edition
    if target is None:
        raise prints.DesignationError(before.code, "it belongs to no edition; name one with --edition CODE.")
    declared = editions.read(connection, target)
    if declared.negative != before.negative:
        raise prints.DesignationError(before.code, f"it is a print of another negative than {declared.code}.")
    if declared.state == "cancelled" or (declared.size is None and declared.state != "declared"):
        raise prints.DesignationError(before.code, f"{declared.code} is {declared.state}, and takes nothing more.")
    _refuse_misfit(connection, before, declared)
    return declared


def _written(
    connection: sqlite3.Connection,
    event: Event,
    before: prints.Print,
    edition: int | None,
    kind: str,
    number: int | None,
    signing: bool,
) -> prints.Print:
    named = (edition, kind, number)
    if signing:
        connection.execute(DESIGNATE_AND_SIGN, (*named, *_signature(event), before.id))
    else:
        connection.execute(DESIGNATE, (*named, before.id))
    return prints.read(connection, before.id)


def _refuse_after_death(
    connection: sqlite3.Connection,
    event: Event,
    thing: Coded,
    edition: editions.Edition | None,
    *,
    unsigned: bool = False,
) -> None:
    """Raise prints.DesignationError after the death; of what bears no signature, on whatever day it is said to be."""
    artist = catalogs.artist(connection) if unsigned else dead_at(connection, event)
    if artist and artist.died_latest and not (edition and edition.estate):
        what = f"no number of {edition.code} is given out or signed" if edition else "nothing is signed"
        raise prints.DesignationError(
            thing.code,
            f"{artist.name} died {parse_date(artist.died).text()}, and {what} after that. Estate "
            f"prints are an edition of their own: tirage edition declare NEGATIVE SIZE --estate.",
        )


def replace(connection: sqlite3.Connection, event: Event, old: Coded, new: Coded) -> prints.Print:
    """Give a destroyed print's number to another print of its edition, which then names it.

    Raises ReplacementError; a lost print is never replaced, it may be found.
    """
    first, second = prints.read(connection, old.id), prints.read(connection, new.id)
    refuse_replacement(connection, first, second, event.moment)
    try:
        _refuse_signing(event, second)
        declared = editions.read(connection, first.edition) if first.edition else None
        _refuse_after_death(connection, event, new, declared)
    except prints.DesignationError as refused:
        raise ReplacementError(old.code, new.code, refused.reason) from None
    connection.execute(REPLACE, (first.edition, first.kind, first.number, first.id, *_signature(event), new.id))
    return _inscribed(connection, event, new)


def parse_designation(text: str) -> tuple[str, int | None]:
    """“3”, “3/25”, “AP 1”, “AP II/V”, “BAT”, “reference”, “unique” as kind and number. Raises NotUnderstood."""
    word, _, rest = text.strip().partition(" ")
    if word.lower() in ("work", "reference", "unique") and rest.strip().lower() in ("", "print"):
        return word.lower(), None
    mark = parse_mark(text)
    if mark is None:
        raise NotUnderstood("a designation", text, "a number (3), a proof (AP1, AP II, BAT), reference, work or unique")
    return mark


def _check_number(connection: sqlite3.Connection, edition: editions.Edition, kind: str, number: int) -> None:
    most = editions.limit(connection, edition, kind)
    label = number_label(kind, number, edition.numerals)
    if not 1 <= number <= most:
        raise editions.NumberRefusedError(edition.code, label, f"it goes from 1 to {most}", "Name one of those.")
    standing = editions.standing_of(connection, edition, kind, number)
    if standing in ("given", "void"):
        raise editions.NumberRefusedError(
            edition.code, label, f"it is {standing} already, and stays so", "Leave the number out to take the next one."
        )
