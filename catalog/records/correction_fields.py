"""What can be corrected: every field of every kind of thing, how it is read, written out, and when it is fixed."""

import sqlite3

from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.marks import HIGHEST_ROMAN
from catalog.measures import format_length, parse_length
from catalog.quantities import format_duration, format_temperature, parse_duration, parse_temperature
from catalog.records import catalogs, editions, negatives, papers, prints
from catalog.records.bath_fields import BATH
from catalog.records.correction_field import Field, Lock, Values, date_field, quantity_field, size_field, text_field
from catalog.records.edition_errata import sentence
from catalog.records.items import Coded
from catalog.records.transfers.record import NOUNS as TRANSFER_NOUNS
from catalog.vocabulary import NUMERALS
from catalog.whole_numbers import whole_number

PRINT_BOUND = """SELECT EXISTS (SELECT 1 FROM certificate WHERE print = ?1)
    OR EXISTS (SELECT 1 FROM transfer WHERE item = ?1)"""
EDITION_BOUND = """SELECT EXISTS (SELECT 1 FROM print p WHERE p.edition = ?1 AND (
    EXISTS (SELECT 1 FROM certificate WHERE print = p.id) OR EXISTS (SELECT 1 FROM transfer WHERE item = p.id)))"""
EDITION_DESIGNATED = """SELECT EXISTS (SELECT 1 FROM print WHERE edition = ? AND kind IS NOT NULL
    AND kind NOT IN ('work', 'reference'))"""
HIGHEST_HELD = """SELECT coalesce(max(number), 0) FROM edition_number WHERE edition = ? AND kind = 'numbered'
    AND standing <> 'free'"""

STEP_BEFORE = """SELECT s.kind, c.code, s.happened FROM step_item i JOIN step s ON s.id = i.step
    JOIN code c ON c.id = s.id WHERE i.item = ? AND s.latest <> '' AND s.latest < ? ORDER BY s.earliest, s.id LIMIT 1"""
TRANSFER_BEFORE = """SELECT kind, happened FROM transfer WHERE item = ? AND latest <> '' AND latest < ?
    ORDER BY rank LIMIT 1"""
DESTROYED = """SELECT c.code, t.happened FROM print p JOIN transfer t ON t.item = p.replaces
    JOIN code c ON c.id = t.item WHERE p.id = ? AND t.kind = 'destruction' AND t.earliest > ?
    ORDER BY t.rank DESC LIMIT 1"""

BOUND_PRINT = (
    "a certificate was issued for it or it changed hands, so it stays. Supersede the certificate if its "
    "words are wrong."
)
BOUND_EDITION = (
    "it is frozen since the first certificate, sale or consignment of a print of it. Say it in an erratum, which "
    "is printed with it: tirage edition erratum CODE SENTENCE."
)


def is_bound(connection: sqlite3.Connection, sql: str, identity: int) -> bool:
    return bool(connection.execute(sql, (identity,)).fetchone()[0])


def _edition_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    return BOUND_EDITION if is_bound(connection, EDITION_BOUND, thing.id) else ""


def _size_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    if is_bound(connection, EDITION_DESIGNATED, thing.id):
        return "the declared size is fixed after the first signed print. It can close early: tirage edition close."
    highest: int = connection.execute(HIGHEST_HELD, (thing.id,)).fetchone()[0]
    if editions.read(connection, thing.id).closed_at or (highest and (values[0] is None or values[0] < highest)):
        return f"it was closed, or its number {highest} is promised; expected at least that many."
    return ""


def _undesignated(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    """Numerals and disclosure stand on papers and prints from the first signed print on."""
    if is_bound(connection, EDITION_DESIGNATED, thing.id):
        return (
            "it is fixed after the first signed print. Say it in an erratum, which is printed with the edition: "
            "tirage edition erratum CODE SENTENCE."
        )
    most = max(editions.proofs(connection, thing.id).values(), default=0)
    return f"Roman numerals go to {HIGHEST_ROMAN}." if values[0] == "roman" and most > HIGHEST_ROMAN else ""


def _print_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    if is_bound(connection, PRINT_BOUND, thing.id):
        return BOUND_PRINT
    if not prints.read(connection, thing.id).signed:
        return "it is not signed yet. Sign it: tirage sign CODE."
    found, artist = prints.read(connection, thing.id), catalogs.artist(connection)
    if str(values[1]) < found.earliest:
        return f"it was printed {parse_date(found.made).text()}; expected a date from then on."
    replaced = connection.execute(DESTROYED, (thing.id, parse_date(values[0]).latest)).fetchone()
    if replaced:
        return (
            f"it replaces {replaced[0]}, which was destroyed {parse_date(replaced[1]).text()}; expected a date from "
            f"then on."
        )
    estate = found.edition is not None and editions.read(connection, found.edition).estate
    if artist.died_latest and not estate and values[1] > artist.died_latest:
        return f"{artist.name} died {parse_date(artist.died).text()}; expected a date before that."
    return ""


def _made_open(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
    found = prints.read(connection, thing.id)
    plate = negatives.read(connection, found.negative)
    if plate.earliest and values[2] and values[2] < plate.earliest:
        return f"its negative was made {parse_date(plate.made).text()}; expected a date from then on."
    last = parse_date(found.signed).latest if found.signed else ""
    if last and values[1] > last:
        return f"it was signed {parse_date(found.signed).text()}; expected a date up to then."
    step = connection.execute(STEP_BEFORE, (thing.id, values[1])).fetchone()
    if step:
        return f"its step “{step[0]}” ({step[1]}) was {parse_date(step[2]).text()}; expected a date up to then."
    hand = connection.execute(TRANSFER_BEFORE, (thing.id, values[1])).fetchone()
    if hand:
        what = TRANSFER_NOUNS[hand[0]]
        return f"its {what} was {parse_date(hand[1]).text()}; expected a date up to then."
    return "" if found.kind == "CP" else gone(connection, found, values[2])


def gone(connection: sqlite3.Connection, found: prints.Print, latest: str) -> str:
    """Why a print that is no cancellation proof cannot be of a day: its negative was gone by then. "" where it can."""
    event = negatives.gone_before(connection, found.negative, latest)
    if event is None:
        return ""
    plate = negatives.read(connection, found.negative).code
    return (
        f"{plate} is {event.state} since {parse_date(event.happened).text()}, and what is printed after that is a "
        f"cancellation proof alone."
    )


def _print_size_open(name: str) -> Lock:
    """Image and sheet of a print stay once it is certified or left, and are those of its edition before."""

    def lock(connection: sqlite3.Connection, thing: Coded, values: Values) -> str:
        if is_bound(connection, PRINT_BOUND, thing.id):
            return BOUND_PRINT
        found = prints.read(connection, thing.id)
        edition = editions.read(connection, found.edition) if found.edition else None
        wanted = found._replace(**{f"{name}_height": values[0], f"{name}_width": values[1]})
        if edition is None or found.is_trial or prints.fits(connection, wanted, edition):
            return ""
        return f"{edition.code} is an edition of one size, and that is another; expected the size of its {name}."

    return lock


def _count(connection: sqlite3.Connection, text: str) -> Values:
    if text.lower() == "open":
        return (None,)
    size = whole_number(text)
    if size is None or not 0 < size < editions.BEYOND_SIZE:
        raise NotUnderstood("the size of an edition", text, "a whole number from 1 to 99999, or open")
    return (size,)


def _numerals(connection: sqlite3.Connection, text: str) -> Values:
    if text.lower() not in NUMERALS:
        raise NotUnderstood("the numerals of proofs", text, " or ".join(NUMERALS))
    return (text.lower(),)


def _disclosure(connection: sqlite3.Connection, text: str) -> Values:
    return (sentence("a disclosure", text) if text else "",)


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

# Of an edition: what makes it the one it is, so that a correction of these can make it another one again.
MAKES_AN_EDITION = ("size", "image", "process", "paper", "toning", "disclosure")

# kind of thing -> field as typed -> what it is; whatever is not named here is never corrected
FIELDS: dict[str, dict[str, Field]] = {
    "negative": {
        "title": text_field("title", needed=True),
        "series": SERIES,
        "made": date_field(("made", "earliest", "latest"), needed=False),
        "made-where": text_field("made_where"),
        "process": text_field("process"),
        "support": text_field("support"),
        "size": size_field(""),
        "thickness": quantity_field("thickness", parse_length, format_length),
        "mark": text_field("mark"),
        "description": text_field("description"),
        "note": text_field("note"),
    },
    "edition": {
        "title": text_field("title", needed=True),
        "paper": text_field("paper"),
        "toning": text_field("toning"),
        "note": text_field("note"),
        "image": size_field("image", _edition_open),
        "sheet": size_field("sheet", _edition_open),
        "process": text_field("process", lock=_edition_open),
        "numerals": Field(("numerals",), _numerals, lambda connection, values: str(values[0]), _undesignated),
        "disclosure": Field(("disclosure",), _disclosure, lambda connection, values: str(values[0]), _undesignated),
        "size": Field(("size",), _count, lambda connection, values: str(values[0] or "open"), _size_open),
    },
    "print": {
        "paper": PAPER,
        "made": date_field(("made", "earliest", "latest", "clock"), lock=_made_open),
        "printed-by": text_field("printed_by"),
        "supervised-by": text_field("supervised_by"),
        "image": size_field("image", _print_size_open("image")),
        "sheet": size_field("sheet", _print_size_open("sheet")),
        "presentation": text_field("presentation"),
        "note": text_field("note"),
        "signed": date_field(("signed", "signed_earliest"), lock=_print_open),
        "designation": text_field("kind"),
    },
    "bath": BATH,
    "step": {
        "seconds": quantity_field("seconds", parse_duration, format_duration),
        "celsius": quantity_field("celsius", parse_temperature, format_temperature),
        "note": text_field("note"),
    },
    "control strip": {"paper": PAPER, "note": text_field("note")},
}
