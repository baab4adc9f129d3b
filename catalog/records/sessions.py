"""Sessions: work in the darkroom planned on a sheet of paper, with codes given before there is a print."""

import sqlite3
from typing import NamedTuple

from catalog.dates import Date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import editions, negatives, prints, residuals
from catalog.records.items import Coded, add_items, give_codes
from catalog.records.prints import CancelledEditionError
from catalog.store.rows import fetch_all, fetch_one
from catalog.whole_numbers import whole_number

MOST = 60  # sheets of one session
COLUMNS = """SELECT s.id, s.negative, n.code, s.edition, coalesce(e.code, ''), coalesce(edition.title, negative.title),
    s.paper, coalesce(p.name, ''), s.planned, s.entered, s.by, s.note FROM session s JOIN code n ON n.id = s.negative
    JOIN negative ON negative.id = s.negative LEFT JOIN edition ON edition.id = s.edition
    LEFT JOIN code e ON e.id = s.edition LEFT JOIN paper p ON p.id = s.paper"""
READ = f"{COLUMNS} WHERE s.id = ?"
LIST = f"{COLUMNS} ORDER BY s.id"
NEWEST_OPEN = f"{COLUMNS} WHERE s.entered = '' ORDER BY s.id DESC LIMIT 1"
ADD = "INSERT INTO session (negative, edition, paper, planned, by, note) VALUES (?, ?, ?, ?, ?, ?)"
ADD_SHEET = "INSERT INTO session_sheet (code, session) VALUES (?, ?)"
SHEETS = """SELECT c.id, c.code, c.kind, s.standing, coalesce(p.note, k.note, s.note) FROM session_sheet s
    JOIN code c ON c.id = s.code LEFT JOIN print p ON p.id = c.id LEFT JOIN control_strip k ON k.id = c.id
    WHERE s.session = ? ORDER BY c.kind DESC, c.id"""
OF_CODE = """SELECT s.session FROM session_sheet s JOIN code c ON c.id = s.code WHERE c.code = ?"""
TELL = "UPDATE session_sheet SET standing = ?, note = ? WHERE code = ?"
ENTER = "UPDATE session SET entered = ? WHERE id = ?"


class SheetCountError(TirageError):
    """A number of sheets nobody takes into a darkroom at once."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"“{text}” is no number of sheets for one session; expected 1 to {MOST}. For more, plan another session."
        )


class NoSessionError(TirageError):
    """A number that no session has."""

    def __init__(self, text: str) -> None:
        super().__init__(
            f"There is no session “{text}”; expected its number as it stands on the sheet, such as 3. "
            f"See: tirage session list."
        )


class NoOpenSessionError(TirageError):
    """Nothing to be entered."""

    def __init__(self) -> None:
        super().__init__(
            "No session is waiting to be entered. Plan one: tirage session sheet e1 8, or enter a day of work without "
            "codes given beforehand: tirage session enter --file day.toml."
        )


class EnteredAlreadyError(TirageError):
    """A session whose sheet was entered before."""

    def __init__(self, session: int) -> None:
        super().__init__(
            f"Session {session} was entered already, and a sheet is entered once. What was forgotten is told step by "
            f"step (tirage fix, wash, tone, test); right after it was entered, tirage undo takes it all back."
        )


class Session(NamedTuple):
    """One session; `entered` is "" while its sheet is out."""

    id: int
    negative: int
    negative_code: str
    edition: int | None
    edition_code: str
    title: str
    paper: int | None
    paper_name: str
    planned: str
    entered: str
    by: str
    note: str

    @property
    def of(self) -> Coded:
        """The edition that is printed, or the negative that work prints are made of."""
        if self.edition:
            return Coded(self.edition, self.edition_code, "edition")
        return Coded(self.negative, self.negative_code, "negative")


class Sheet(NamedTuple):
    """One code of a session: of a sheet, or of its control strip; open, kept or void."""

    id: int
    code: str
    kind: str
    standing: str
    note: str

    @property
    def coded(self) -> Coded:
        """It by its code."""
        return Coded(self.id, self.code, self.kind)


def plan(
    connection: sqlite3.Connection, event: Event, of: Coded, count: int, day: Date, *, paper: int | None, strip: bool
) -> Session:
    """A new session with `count` codes for prints, and one for a control strip. Raises NotUnderstood, and as making
    the prints would.
    """
    if not 1 <= count <= MOST:
        raise SheetCountError(str(count))
    if not day.is_exact_day:
        raise NotUnderstood("the day of a session", day.edtf, "one day, such as 2026-03-14")
    edition = editions.read(connection, of.id) if of.kind == "edition" else None
    negative = edition.negative if edition else of.id
    plate = negatives.read(connection, negative)
    if plate.earliest and day.latest and plate.earliest > day.latest:
        raise prints.MadeTooEarlyError(plate.code, plate.made, day.edtf)
    negatives.refuse_if_gone(connection, negative, day.latest)
    if edition and edition.state == "cancelled":
        raise CancelledEditionError(edition.code, plate.code)
    cursor = connection.execute(ADD, (negative, edition.id if edition else None, paper, day.edtf, event.by, event.note))
    session = int(cursor.lastrowid or 0)
    given = give_codes(connection, "print", count) + (give_codes(connection, "control strip") if strip else [])
    connection.executemany(ADD_SHEET, [(thing.id, session) for thing in given])
    return read(connection, session)


def read(connection: sqlite3.Connection, identity: int) -> Session:
    """One session by its number. Raises NoSessionError."""
    found = fetch_one(connection, Session, READ, (identity,))
    if found is None:
        raise NoSessionError(str(identity))
    return found


def named(connection: sqlite3.Connection, text: str) -> Session:
    """The session a person means: “3”, “session 3”. Raises NoSessionError."""
    number = whole_number(text.strip().lower().removeprefix("session").strip())
    if number is None or number > 2**31:
        raise NoSessionError(text)
    return read(connection, number)


def newest_open(connection: sqlite3.Connection) -> Session:
    """The newest session that is not entered. Raises NoOpenSessionError."""
    found = fetch_one(connection, Session, NEWEST_OPEN)
    if found is None:
        raise NoOpenSessionError
    return found


def listed(connection: sqlite3.Connection) -> list[Session]:
    """Every session, in the order they were planned."""
    return fetch_all(connection, Session, LIST)


def sheets(connection: sqlite3.Connection, session: Session) -> list[Sheet]:
    """The codes of a session: its prints in order, then its control strip."""
    return fetch_all(connection, Sheet, SHEETS, (session.id,))


def session_of(connection: sqlite3.Connection, code: str) -> int | None:
    """The session that a code was given for, None where there is none."""
    row = connection.execute(OF_CODE, (code,)).fetchone()
    return int(row[0]) if row else None


def keep(connection: sqlite3.Connection, event: Event, session: Session, sheet: Sheet, note: str) -> Coded:
    """A sheet was kept: it is a print from now on, or a control strip. Raises as making it would."""
    noted = event.noted(note)
    if sheet.kind == "print":
        prints.make(connection, noted, session.of, 1, paper=session.paper, given=[sheet.coded])
    else:
        add_items(connection, [sheet.coded])
        day = event.moment.earliest or event.moment.date
        connection.execute(residuals.ADD_STRIP, (sheet.id, session.paper, day, note))
    connection.execute(TELL, ("kept", "", sheet.id))
    return sheet.coded


def leave_void(connection: sqlite3.Connection, sheet: Sheet, note: str) -> None:
    """A sheet was not kept: its code is void for ever."""
    connection.execute(TELL, ("void", note, sheet.id))


def close(connection: sqlite3.Connection, session: Session, day: str) -> None:
    """The sheet of a session is entered, on a day. Of each of its codes it was told whether it was kept."""
    connection.execute(ENTER, (day, session.id))
