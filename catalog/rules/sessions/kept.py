"""The sheets of a session as they are entered: whose they are, which were kept, which codes are void."""

import sqlite3
from datetime import datetime

from catalog import codes
from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.records import items, sessions
from catalog.records.items import shorten
from catalog.records.sessions import Session, Sheet
from catalog.rules.sessions.day_sheet import WHOLE, Day, LineError, PrintLine, at_line
from catalog.rules.sessions.work import Entering


class NotGivenError(TirageError):
    """A code in a list of sheets that was not given to a sheet beforehand."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{code} was not given to a sheet of a session beforehand; expected a code as it stands on the session's "
            f"sheet. What is a print already is named in the steps alone."
        )


def day_of(day: Day, session: Session | None, told: str, now: datetime) -> str:
    """The day a sheet is about: as told, else as on it, else the one planned if that has come, else today."""
    if told or day.on:
        return parse_date(told or day.on, now.date()).edtf
    planned = parse_date(session.planned) if session else None
    today = now.date().isoformat()
    return planned.edtf if planned and planned.latest and planned.latest <= today else today


def session_of(connection: sqlite3.Connection, day: Day, named: str) -> Session | None:
    """The session of a day sheet: as named, as it says, or the one its codes were given for.

    Raises NoSessionError, EnteredAlreadyError, LineError where the sheet is of another one.
    """
    says = [(int(day.session), WHOLE)] if day.session is not None else []
    for line in day.print:
        with at_line(line):
            for code in codes_of(line.code):
                found = sessions.session_of(connection, code)
                if found is None:
                    raise items.UnknownCodeError(code) if not _exists(connection, code) else NotGivenError(code)
                says.append((found, line.where))
    wanted = sessions.named(connection, named) if named else (sessions.read(connection, says[0][0]) if says else None)
    for number, where in says:
        if wanted and number != wanted.id:
            raise LineError(where, f"This is of session {number}, and not of session {wanted.id}.")
    if wanted and wanted.entered:
        raise sessions.EnteredAlreadyError(wanted.id)
    return wanted


def codes_of(text: str) -> list[str]:
    """The codes that a list of sheets names, spelled out: “12-14,17”, “k2”. Raises NotUnderstood."""
    found = []
    for part in codes.split(text):
        span = codes.span(part)
        if span is None or span.last - span.first >= sessions.MOST:
            raise NotUnderstood("a code of a sheet", part, "codes as they stand on the sheet, such as 12-15,17 or k2")
        found += [codes.automatic(span.kind, serial) for serial in range(span.first, span.last + 1)]
    return found


def _exists(connection: sqlite3.Connection, code: str) -> bool:
    return connection.execute(items.BY_CODE, (code,)).fetchone() is not None


def enter_sheets(work: Entering, day: Day, session: Session) -> None:
    """What was kept becomes prints, what was not is void; of each code it must be told, and once."""
    sheets = {sheet.code: sheet for sheet in sessions.sheets(work.connection, session)}
    told: dict[str, PrintLine] = {}
    for line in day.print:
        with at_line(line):
            for code in codes_of(line.code):
                if code in told:
                    raise LineError(line.where, f"{code} stands on the sheet twice; expected it once.")
                told[code] = line
    missing = [code for code in sheets if code not in told]
    if missing:
        raise LineError(
            WHOLE,
            f"{shorten(missing)} {'was' if len(missing) == 1 else 'were'} given to session {session.id}, and nothing "
            f"is said of {'it' if len(missing) == 1 else 'them'}; expected whether each was kept.",
        )
    at = work.moment_of("")
    void: list[Sheet] = []
    for code, sheet in sheets.items():
        line = told[code]
        if not line.kept:
            sessions.leave_void(work.connection, sheet, line.words)
            void.append(sheet)
            continue
        with at_line(line):
            made = sessions.keep(work.connection, work.event(at), session, sheet, line.words)
        (work.entered.kept if sheet.kind == "print" else work.entered.strips).append(made)
    _say_sheets(work, session, void)


def _say_sheets(work: Entering, session: Session, void: list[Sheet]) -> None:
    entered = work.entered
    kept = [*entered.kept, *entered.strips]
    entered.touched += kept
    of = f"of {session.edition_code or session.negative_code}"
    entered.said.append(f"Kept {of}: {shorten(kept)}." if kept else "Nothing was kept.")
    if void:
        entered.said.append(f"Not kept, so void for ever: {shorten([sheet.code for sheet in void])}.")
