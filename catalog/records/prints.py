"""Prints: impressions on paper that were kept, and what they are called."""

import sqlite3
from collections.abc import Sequence
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import editions, negatives
from catalog.records.items import Coded, add_items, give_items
from catalog.records.second_editions import same_side
from catalog.store.rows import fetch_all, fetch_one
from catalog.vocabulary import designation

COLUMNS = """p.id, code.code, p.negative, p.edition, p.paper, p.made, p.earliest, p.latest, p.clock, p.printed_by,
    p.supervised_by, p.image_height, p.image_width, p.sheet_height, p.sheet_width, p.kind, p.number, p.replaces,
    p.signed, p.signed_earliest, p.presentation, p.state, p.note, e.size,
    (SELECT count FROM edition_proofs WHERE edition = p.edition AND kind = p.kind), coalesce(e.numerals, 'arabic')"""
READ = f"SELECT {COLUMNS} FROM print p JOIN code ON code.id = p.id LEFT JOIN edition e ON e.id = p.edition"
ADD = """INSERT INTO print (id, negative, edition, paper, made, earliest, latest, clock, printed_by, supervised_by,
    image_height, image_width, sheet_height, sheet_width, kind, number, note, presentation)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
FILTERS = ("p.negative = ?", "p.edition = ?", "coalesce(p.kind, 'undesignated') = ?", "p.state = ?")
INSCRIBE = """INSERT INTO inscription (print, text, position, medium, signature, happened, by)
    VALUES (?, ?, ?, ?, ?, ?, ?)"""
FROM_LIST = """SELECT 1 FROM import_row r JOIN import_file f ON f.id = r.file
    WHERE r.thing = ? AND f.noun = 'prints' LIMIT 1"""
INSCRIPTIONS = """SELECT id, text, position, medium, signature, happened, by FROM inscription WHERE print = ?
    ORDER BY id"""


Sides = tuple[int | None, int | None]


class PrintCountError(TirageError):
    """A number of impressions nobody makes."""

    def __init__(self, count: int) -> None:
        super().__init__(f"{count} prints cannot be made in one line; expected 1 to 1000.")


class MadeTooEarlyError(TirageError):
    """A print dated before its negative."""

    def __init__(self, negative: str, made: str, printed: str) -> None:
        super().__init__(
            f"{negative} was made {parse_date(made).text()}, and no print of it can be of "
            f"{parse_date(printed).text()}. Give the day it was "
            f"printed with --on DATE, or correct the negative: tirage correct {negative} made=DATE "
            f"--why REASON."
        )


class CancelledEditionError(TirageError):
    """A print for an edition that is cancelled."""

    def __init__(self, edition: str, negative: str) -> None:
        super().__init__(
            f"{edition} is cancelled, and no print is made for it any more; a declared cancellation proof alone is: "
            f"--cancellation. Work prints are made of the negative: tirage print make {negative}."
        )


class DesignationError(TirageError):
    """A print that cannot be called so."""

    verb = "designated"

    def __init__(self, code: str, reason: str) -> None:
        self.code, self.reason = code, reason
        super().__init__(f"{code} was not {self.verb}: {reason}")


class SigningError(DesignationError):
    """A print that cannot be signed, or not as that."""

    verb = "signed"


class Print(NamedTuple):
    """One impression. Lengths in micrometres; `kind` None is not yet designated."""

    id: int
    code: str
    negative: int
    edition: int | None
    paper: int | None
    made: str
    earliest: str
    latest: str
    clock: str
    printed_by: str
    supervised_by: str
    image_height: int | None
    image_width: int | None
    sheet_height: int | None
    sheet_width: int | None
    kind: str | None
    number: int | None
    replaces: int | None
    signed: str
    signed_earliest: str
    presentation: str
    state: str
    note: str
    edition_size: int | None
    proof_count: int | None
    numerals: str

    @property
    def designation(self) -> str:
        """“3/25”, “AP 1/3”, “AP I/III”, “work print”, “not yet designated”."""
        return designation(self.kind, self.number, self.edition_size, self.proof_count, self.numerals)

    @property
    def called(self) -> str:
        """What it is, as it stands in a sentence: “3/25”, “AP 1/3”, “a work print”, “a print of the open edition”."""
        if self.kind in ("work", "reference", "unique"):
            return f"a {self.designation}"
        return "a print of the open edition" if self.kind == "open" else self.designation

    @property
    def is_trial(self) -> bool:
        """Whether this is a work or reference print, outside every count."""
        return self.kind in ("work", "reference")


class Inscription(NamedTuple):
    """What stands on a print: text, where, with what."""

    id: int
    text: str
    position: str
    medium: str
    signature: int
    happened: str
    by: str


def read(connection: sqlite3.Connection, identity: int) -> Print:
    """One print by its identity."""
    found = fetch_one(connection, Print, f"{READ} WHERE p.id = ?", (identity,))
    assert found is not None, identity
    return found


def listed(
    connection: sqlite3.Connection,
    *,
    negative: int | None = None,
    edition: int | None = None,
    kind: str = "",
    state: str = "",
) -> list[Print]:
    """Prints in order, filtered by negative, edition, kind of designation or state."""
    asked = dict(zip(FILTERS, (negative, edition, kind, state), strict=True))
    asked = {condition: value for condition, value in asked.items() if value not in (None, "")}
    # Only what is asked for stands in the query: an index is not used for what may be anything.
    where = " AND ".join(asked) or "1"
    return fetch_all(connection, Print, f"{READ} WHERE {where} ORDER BY p.id", list(asked.values()))


def make(
    connection: sqlite3.Connection,
    event: Event,
    of: Coded,
    count: int,
    *,
    paper: int | None = None,
    own_code: str | None = None,
    printed_by: str = "",
    supervised_by: str = "",
    image: tuple[int, int] | None = None,
    sheet: tuple[int, int] | None = None,
    cancellation: bool = False,
    given: Sequence[Coded] = (),
    presentation: str = "",
    of_old: bool = False,
) -> list[Coded]:
    """Make `count` prints of an edition (to be signed later) or work prints of a negative.

    `given` are codes that were given to their sheets beforehand, as many as `count`. Prints `of_old`, from before the
    catalog, are no work prints unless that is said of them.

    A cancellation proof is the one print that a cancelled negative still makes; it takes its number at once.
    Raises NoNewPrintsError, CancelledEditionError, PrintCountError, EditionFullError.
    """
    if not 1 <= count <= 1000 or (own_code and count != 1):
        raise PrintCountError(count)
    edition = editions.read(connection, of.id) if of.kind == "edition" else None
    negative = edition.negative if edition else of.id
    plate = negatives.read(connection, negative)
    if plate.earliest and event.moment.latest and plate.earliest > event.moment.latest:
        raise MadeTooEarlyError(plate.code, plate.made, event.moment.date)
    if edition and edition.state == "cancelled" and not cancellation:
        raise CancelledEditionError(edition.code, plate.code)
    if not cancellation:
        negatives.refuse_if_gone(connection, negative, event.moment.latest)
    kind = None if edition or of_old else "work"
    number = None
    made = list(given) or give_items(connection, "print", count, own_code)
    add_items(connection, given)
    for thing in made:
        if cancellation:
            if edition is None:
                raise DesignationError(thing.code, "a cancellation proof is one of an edition; name the edition.")
            kind, number = "CP", editions.next_number(connection, edition, "CP")
        connection.execute(
            ADD,
            (
                thing.id,
                negative,
                edition.id if edition else None,
                paper,
                *event.columns,
                printed_by,
                supervised_by,
                *(image or (None, None)),
                *(sheet or (None, None)),
                kind,
                number,
                event.note,
                presentation,
            ),
        )
    return made


def inscribe(connection: sqlite3.Connection, event: Event, thing: Coded, text: str, position: str, medium: str) -> None:
    """Record what stands on a print."""
    if not text.strip():
        raise NotUnderstood("an inscription", text, "the words as they stand, with “/” at line breaks")
    connection.execute(INSCRIBE, (thing.id, text, position, medium, 0, event.moment.date, event.by))


def inscriptions(connection: sqlite3.Connection, identity: int) -> list[Inscription]:
    """What stands on a print, in order of entry."""
    return fetch_all(connection, Inscription, INSCRIPTIONS, (identity,))


def replaced_by(connection: sqlite3.Connection, identity: int) -> int | None:
    """The print that bears a destroyed print's number now."""
    row = connection.execute("SELECT id FROM print WHERE replaces = ?", (identity,)).fetchone()
    return int(row[0]) if row else None


def fits(connection: sqlite3.Connection, one: Print, edition: editions.Edition) -> bool:
    """Whether a print has the size of an edition; of a print made for another edition, that one's size counts."""
    image: Sides = (one.image_height, one.image_width)
    sheet: Sides = (one.sheet_height, one.sheet_width)
    if one.edition not in (None, edition.id):
        image = image_size(connection, one) or image
        sheet = sheet_size(connection, one) or sheet
    declared = (edition.image_height, edition.image_width, edition.sheet_height, edition.sheet_width)
    return all(same_side(mine, theirs) for mine, theirs in zip((*image, *sheet), declared, strict=True))


def image_size(connection: sqlite3.Connection, one: Print) -> tuple[int, int] | None:
    """Height and width of the image: the print's own, else its edition's, else of a contact print its negative's.

    A print is taken for a contact print where its edition says so, or where it was made here and nothing else is said;
    one from an old list may be an enlargement, so of it nothing is taken.
    """
    edition = editions.read(connection, one.edition) if one.edition else None
    sizes: list[tuple[int | None, int | None]] = [(one.image_height, one.image_width)]
    if edition:
        sizes.append((edition.image_height, edition.image_width))
    recorded = next(((height, width) for height, width in sizes if height and width), None)
    contact = edition is not None and "contact" in edition.process.casefold()
    if recorded or not (contact or connection.execute(FROM_LIST, (one.id,)).fetchone() is None):
        return recorded
    negative = negatives.read(connection, one.negative)
    return (negative.height, negative.width) if negative.height and negative.width else None


def sheet_size(connection: sqlite3.Connection, one: Print) -> tuple[int, int] | None:
    """Height and width of the sheet: the print's own, else its edition's."""
    if one.sheet_height and one.sheet_width:
        return one.sheet_height, one.sheet_width
    edition = editions.read(connection, one.edition) if one.edition else None
    if edition and edition.sheet_height and edition.sheet_width:
        return edition.sheet_height, edition.sheet_width
    return None
