"""Entering the sheet of a session: typed in answer to questions, or read from a day sheet."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from catalog.cli.desk import EVENT, Desk, Work
from catalog.cli.options import Operand, command, event_options
from catalog.errors import TirageError

if TYPE_CHECKING:
    from catalog.rules.sessions.day_sheet import Day
    from catalog.rules.sessions.work import Entered


class SheetFileError(TirageError):
    """A day sheet that is not where it should be, or would be written over."""

    def __init__(self, file: str, reason: str) -> None:
        super().__init__(f"{file} {reason}. Name another file with --file.")


class _Checked(Exception):  # noqa: N818 - no error: it ends a rehearsal
    """What was written was a rehearsal."""


def refuse_there(file: str) -> None:
    """Refuse the name of a file that is there, or ends as no day sheet does. Raises SheetFileError."""
    if not file.lower().endswith((".toml", ".csv")):
        raise SheetFileError(file, "has another ending than .toml or .csv, and would be neither")
    if Path(file).exists():
        raise SheetFileError(file, "is there already, and may be filled in; it was left as it is")


def write(file: str, text: str) -> None:
    """A new file, never over another one. Raises SheetFileError."""
    refuse_there(file)
    from catalog.whole_files import write_whole

    try:
        write_whole(Path(file), text.encode(), over=False)  # what is written beside a print is private
    except (OSError, ValueError) as problem:
        raise SheetFileError(file, f"cannot be written ({getattr(problem, 'strerror', None) or problem})") from None


@command("enter", Operand("session", "--session", "N", "the number on the sheet, such as 3", required=False))
@click.option("--file", metavar="FILE", help="From a day sheet, FILE.toml or FILE.csv.")
@event_options
def enter_command(desk: Desk, session: str | None, file: str | None) -> None:
    """Enter what was pencilled on a sheet: asks in its order; Enter takes what stands in [ ], and enters no load.

    With --file it is read from a day sheet. All of it is entered or none. A day sheet as TOML (tirage session sheet
    e1 8 --file day.toml writes one to fill in):

    \b
    session = 3                 left out for a day without codes given before
    on = 2026-03-14
    [[print]]                   each code of the sheet, once
    code = "12-15"
    kept = true                 false: not kept, its code is void for ever
    exposure = "14s"            words, as is note
    [[step]]                    a line a load, in the order of the work
    kind = "fix 1"              or fix 2, wash, final wash, wash aid, tone ...
    items = "kept"              codes; "kept": all kept and the strip; "strip"
    bath = "b1"                 left out: the one in the tray
    length = "1m"
    at = "15:10"                or "2026-03-15 00:10"; a wash also has out
    sheets = 2                  sheets without a code that went along
    [[test]]
    item = "strip"
    hypo = "none"
    silver = "none"

    More for a step: washer, changes, temperature, note; for a test: method, on, note. What has no time comes right
    after the line above it. As CSV, comma or semicolon, one line a stage under the columns

    \b
    line,items,bath,washer,length,at,out,sheets,changes,temperature,
    exposure,hypo,silver,method,on,note

    where "line" is session, day, kept, void, test, or the kind of step; take out a stage that was not done.
    """
    if file is None:
        _enter_typed(desk, session or "")
        return
    from catalog.rules.sessions.files import LARGEST, read
    from catalog.whole_files import read_plain

    try:
        data = read_plain(file, LARGEST)
    except (OSError, ValueError) as problem:
        raise SheetFileError(file, f"cannot be read ({getattr(problem, 'strerror', None) or problem})") from None
    _say(desk, _applied(desk, read(Path(file).name, data), session or ""), told=False)


def _enter_typed(desk: Desk, named: str) -> None:
    from catalog.cli.session_questions import ask
    from catalog.records import sessions
    from catalog.rules.sessions.day_sheet import Day, LineError
    from catalog.rules.sessions.kept import day_of

    with desk.reading(still=False) as connection:
        session = sessions.named(connection, named) if named else sessions.newest_open(connection)
        if session.entered:
            raise sessions.EnteredAlreadyError(session.id)
        day = ask(connection, session, day_of(Day(), session, _day_told(), desk.now), desk.now)
    try:
        entered = _rehearsed(desk, day, str(session.id))
    except LineError as refusal:
        raise LineError(refusal.where, refusal.reason, _kept_aside(desk, day)) from None
    desk.say("\nTo be entered:")
    _show(desk, entered)
    if not click.confirm("Enter it?", default=False):
        desk.say(f"Nothing was entered.{_kept_aside(desk, day)}")
        return
    _say(desk, _applied(desk, day, str(session.id)), told=True)


def _kept_aside(desk: Desk, day: "Day") -> str:
    """What was typed, put into a file, so that nobody types it again."""
    from catalog.rules.sessions.files import toml_of

    folder = desk.folder / "out"
    for number in range(1, 100):
        name = f"session-{day.session}{f'-{number}' if number > 1 else ''}.toml"
        if not (folder / name).exists():
            folder.mkdir(exist_ok=True)
            write(str(folder / name), toml_of(day))
            return f" What you typed is kept: mend out/{name}, then: tirage session enter --file out/{name}"
    return ""


def _day_told() -> str:
    return click.get_current_context().meta.get(EVENT, {}).get("on") or ""


def _rehearsed(desk: Desk, day: "Day", named: str) -> "Entered":
    """What entering would come to; nothing of it stays."""
    found: list[Entered] = []
    try:
        with desk.writing() as work:
            work.connection.execute("SAVEPOINT rehearsal")
            try:
                found.append(_entered(work, day, named))
            finally:
                work.connection.execute("ROLLBACK TO rehearsal")
                work.connection.execute("RELEASE rehearsal")
            raise _Checked
    except _Checked:
        return found[0]


def _applied(desk: Desk, day: "Day", named: str) -> "Entered":
    with desk.writing() as work:
        entered = _entered(work, day, named)
        work.touch(entered.touched)
    return entered


def _entered(work: Work, day: "Day", named: str) -> "Entered":
    from catalog.rules.sessions.entering import enter
    from catalog.rules.sessions.kept import day_of, session_of
    from catalog.rules.sessions.work import Entering

    session = session_of(work.connection, day, named)
    about = day_of(day, session, _day_told(), work.now)
    return enter(Entering(work.connection, work.event.by, about, work.now), day, session)


def _show(desk: Desk, entered: "Entered") -> None:
    """What the sheet comes to, and what to look at."""
    for said in entered.said:
        desk.say(said)
    desk.mind(entered.minds)


def _say(desk: Desk, entered: "Entered", told: bool) -> None:
    if not told:
        _show(desk, entered)
    for line in entered.cautions:
        desk.warn(line)
    desk.say("Entered. To take all of it back: tirage undo")
