"""Sessions in the darkroom on the command line: the sheet for the sink, and entering it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.session_enter import enter_command, refuse_there, write
from catalog.errors import TirageError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from catalog.records.sessions import Session, Sheet

session_command = group("session", "Work in the darkroom on paper: sheet, enter, show, list.")
SESSION = Operand("session", "--session", "N", "the number on the sheet, such as 3")


class SheetWordsError(TirageError):
    """Neither what is to be printed nor a session to print again, or both."""

    def __init__(self) -> None:
        super().__init__(
            "A sheet is for an edition or a negative and a number of sheets (tirage session sheet e1 8), or for a "
            "session again (tirage session sheet --again 3); expected one of the two."
        )


@command(
    "sheet",
    Operand("of", "--of", "CODE", "an edition (e1), or a negative (n1) for work prints", required=False),
    Operand("count", "--count", "N", "how many sheets of paper", required=False),
)
@click.option("--paper", metavar="NAME", default="", help="The paper (default: the last one used of this).")
@click.option("--for", "day", metavar="DATE", default="", help="The day it is for (default: today).")
@click.option("--strip", is_flag=True, help="With a control strip, that has its code beforehand too.")
@click.option("--again", metavar="N", default="", help="Draw the sheet of a session again.")
@click.option("--file", metavar="FILE", default="", help="Write a day sheet to fill in too: FILE.toml or FILE.csv.")
@click.option("--out", metavar="FILE", help="Where to write the PDF (else in out/).")
@event_options
def sheet_command(
    desk: Desk,
    of: str | None,
    count: str | None,
    paper: str,
    day: str,
    strip: bool,
    again: str,
    file: str,
    out: str | None,
) -> None:
    """Give codes beforehand, and draw the sheet for the sink.

    \b
    tirage session sheet e1 8 --strip
    tirage session sheet n1 4 --for 2026-03-14 --file day.toml
    tirage session sheet --again 3
    """
    from catalog.documents import filing, session_sheet
    from catalog.documents.presentation import presentation
    from catalog.records import sessions

    if bool(of) == bool(again) or (of and not count) or (again and (paper or day or strip or count)):
        raise SheetWordsError
    page = presentation(desk.folder).paper
    if file:
        refuse_there(file)
    if again:
        with desk.reading() as connection:
            session = sessions.named(connection, again)
            sheets, pdf = sessions.sheets(connection, session), session_sheet.drawn(connection, session, page)
    else:
        with desk.writing() as work:  # drawn in here: what cannot be drawn has given no codes
            session = _planned(work, str(of), str(count), paper, day, strip)
            sheets = sessions.sheets(work.connection, session)
            pdf = session_sheet.drawn(work.connection, session, page)
    path = Path(out) if out else desk.folder / "out" / f"session-{session.id}.pdf"
    try:
        filing.keep(path, pdf, session_sheet.title(session))
        desk.say(_planned_text(session, sheets, path, desk))
        if file:
            _write_day_sheet(desk, session, file)
    except TirageError:  # the codes are given all the same
        desk.warn(f"Session {session.id} is safe in the catalog; its papers: tirage session sheet --again {session.id}")
        raise


def _planned(work: Work, of: str, count: str, paper: str, day: str, strip: bool) -> "Session":
    from catalog.dates import parse_date
    from catalog.records import items, papers, sessions
    from catalog.whole_numbers import whole_number

    many = whole_number(count)
    if many is None:
        raise sessions.SheetCountError(count)
    source = items.find_one(work.connection, of, "edition", "negative")
    stock = papers.named(work.connection, paper).id if paper else papers.last_used(work.connection, source)
    planned = parse_date(day or work.event.moment.date, work.now.date())
    session = sessions.plan(work.connection, work.event, source, many, planned, paper=stock, strip=strip)
    work.touch(source)
    return session


def _planned_text(session: "Session", sheets: "Sequence[Sheet]", path: Path, desk: Desk) -> str:
    from catalog.dates import parse_date
    from catalog.records.items import shorten

    shown = path.relative_to(desk.folder).as_posix() if path.is_relative_to(desk.folder) else str(path)
    codes = shorten([sheet.code for sheet in sheets])
    paper = f" on {session.paper_name}" if session.paper_name else ""
    return (
        f"Session {session.id}, {parse_date(session.planned).text()}: {codes} for {session.of.code}{paper}. Pencil "
        f"each code on its sheet before exposure.\n{shown}\nAfterwards: tirage session enter {session.id}"
    )


def _write_day_sheet(desk: Desk, session: "Session", file: str) -> None:
    from catalog.rules.sessions.files import blank

    with desk.reading() as connection:
        text = blank(connection, session, file)
    write(file, text)
    desk.say(f"{file}: fill it in, then: tirage session enter --file {file}")


@command("show", SESSION)
@output_options
def show_command(desk: Desk, session: str) -> None:
    """Show a session: each code given for it, whether its sheet was kept, and what was written beside it."""
    from catalog.records import sessions

    with desk.reading() as connection:
        found = sessions.named(connection, session)
        sheets = sessions.sheets(connection, found)
    if not desk.output:
        paper = f", {found.paper_name}" if found.paper_name else ""
        entered = f"entered {desk.date(found.entered)}" if found.entered else "not entered yet"
        desk.say(f"Session {found.id}, {found.of.code} “{found.title}”{paper}, {desk.date(found.planned)}: {entered}.")
    desk.show([{"code": one.code, "what": one.kind, "standing": one.standing, "note": one.note} for one in sheets])


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List sessions."""
    from catalog.records import sessions

    with desk.reading() as connection:
        rows: list[dict[str, object]] = [
            {
                "session": one.id,
                "of": one.of.code,
                "title": one.title,
                "paper": one.paper_name,
                "planned": desk.date(one.planned),
                "standing": "entered" if one.entered else "open",
                "entered": desk.date(one.entered),
            }
            for one in sessions.listed(connection)
        ]
    desk.show(rows, "No session yet. Plan one: tirage session sheet e1 8")


for _command in (sheet_command, enter_command, show_command, list_command):
    session_command.add_command(_command)
