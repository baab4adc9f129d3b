"""Prints from before the catalog: entered as they are now, with the number they bear, and what of it is not known.

A day that nobody wrote down is kept by its last possible one ("2012 or earlier"); none is made up.
"""

import re
import sqlite3
from collections.abc import Iterable
from typing import NamedTuple

from catalog.dates import Date, Moment, parse_date
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records import catalogs, designations, editions, negatives, prints
from catalog.records.items import Coded
from catalog.vocabulary import GONE_STATES, PROOF_KINDS

HELD = """SELECT kind, number FROM edition_number WHERE edition = ? AND standing <> 'free'"""
GIVEN = """SELECT kind, max(number) FROM edition_number WHERE edition = ? AND standing = 'given' GROUP BY kind"""
OPTION = re.compile(r"--[a-z]")


class NotTakenError(TirageError):
    """What the rules do not allow of a row of a list, said without the options of a command, which a list has not.

    `code` is that of a print that was never entered, so it stands in no sentence; "" where there is none.
    """

    def __init__(self, refusal: TirageError, code: str = "") -> None:
        parts = refusal.sentence.rstrip(".").split(". ")
        if code:  # what is corrected by its code is mended in the table instead
            parts = [part for part in parts if not re.search(rf"tirage [a-z ]+ {code}\b", part)] or parts
        first, *others = parts
        plain = [first if not OPTION.search(first) else first.rpartition("; ")[0] or first]
        plain += [part for part in others if not OPTION.search(part)]
        said = ". ".join([*plain, *(["Mend the row"] if plain != parts else [])])
        said = said.replace(code, "this print") if code else said
        super().__init__(said[:1].upper() + said[1:] + ".")


class Earlier(NamedTuple):
    """A print as it is told: of what, what it is called, when it was made and signed. Lengths in micrometres.

    `made` None is a day that is not known, `signed` None a print that is not signed, and with `signed_some_day` one
    that was, nobody knows when. `kind` None is not designated. `gone_by` are days by which all of it had happened.
    """

    of: Coded
    kind: str | None = None
    number: int | None = None
    made: Date | None = None
    signed: Date | None = None
    signed_some_day: bool = False
    gone_by: tuple[Date, ...] = ()
    own_code: str | None = None
    paper: int | None = None
    printed_by: str = ""
    supervised_by: str = ""
    image: tuple[int, int] | None = None
    sheet: tuple[int, int] | None = None
    presentation: str = ""


def enter(connection: sqlite3.Connection, event: Event, told: Earlier) -> Coded:
    """Enter one print that was made before the catalog, under the rules that hold for one made today.

    Raises NotTakenError.
    """
    try:
        thing = _make(connection, event, told)
    except TirageError as refusal:
        raise NotTakenError(refusal) from None
    signed = told.signed or (_signed_by(connection, event, told) if told.signed_some_day else None)
    when = Event(moment_of(signed), event.by) if signed else event
    try:
        designations.bear(connection, when, thing, kind=told.kind, number=told.number, signed=signed is not None)
    except TirageError as refusal:
        raise NotTakenError(refusal, thing.code) from None
    return thing


def _make(connection: sqlite3.Connection, event: Event, told: Earlier) -> Coded:
    made = told.made or _printed_by(connection, event, told)
    return prints.make(
        connection,
        Event(moment_of(made), event.by, event.note),
        told.of,
        1,
        paper=told.paper,
        own_code=told.own_code,
        printed_by=told.printed_by,
        supervised_by=told.supervised_by,
        image=told.image,
        sheet=told.sheet,
        presentation=told.presentation,
        of_old=True,
    )[0]


def unlisted(connection: sqlite3.Connection, edition: editions.Edition) -> dict[str, list[int]]:
    """Kind -> numbers below the highest given one that nothing is known of: they would be handed out next."""
    held = {(row[0], row[1]) for row in connection.execute(HELD, (edition.id,))}
    highest = dict(connection.execute(GIVEN, (edition.id,)).fetchall())
    found = {
        kind: [number for number in range(1, highest.get(kind, 0)) if (kind, number) not in held]
        for kind in ("numbered", *PROOF_KINDS)
    }
    return {kind: numbers for kind, numbers in found.items() if numbers}


def moment_of(date: Date) -> Moment:
    """A date as a moment whose clock is not known."""
    return Moment(date.edtf, date.earliest, date.latest, "")


def some_day_by(event: Event, dates: Iterable[Date | None]) -> Date:
    """A day that is not known, by the earliest of some others and by that of the event: “2012 or earlier”."""
    today = Date(event.moment.date, event.moment.earliest, event.moment.latest)
    first = min((date for date in (*dates, today) if date and date.latest), key=lambda date: date.latest)
    plain = first.edtf if first.edtf.replace("-", "").isdigit() else first.latest
    return parse_date(f"[..{plain}]")


def _printed_by(connection: sqlite3.Connection, event: Event, told: Earlier) -> Date:
    """The last day a print can be of: before it was signed, before it left, before its negative was gone."""
    negative = editions.read(connection, told.of.id).negative if told.of.kind == "edition" else told.of.id
    gone = [] if told.kind == "CP" else negatives.events(connection, negative)
    ends = [parse_date(one.happened) for one in gone if one.state in GONE_STATES]
    return some_day_by(event, (told.signed, *told.gone_by, *ends))


def _signed_by(connection: sqlite3.Connection, event: Event, told: Earlier) -> Date:
    """The last day a print can be signed: before it left, before the artist's death unless the estate signs."""
    estate = told.of.kind == "edition" and editions.read(connection, told.of.id).estate
    died = "" if estate else catalogs.artist(connection).died
    return some_day_by(event, (*told.gone_by, parse_date(died) if died else None))
