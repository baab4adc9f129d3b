"""Looking after the catalog: what waits, what is wrong, what happened, what is set right and what is taken back."""

import sqlite3
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from catalog import codes
from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, output_options
from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import items
from catalog.records.items import Coded, TakenBackError

if TYPE_CHECKING:
    from catalog.rules.waiting import Due
    from catalog.store.journal import Seal

SHOWN = ("what", "code", "since", "until", "sentence", "command")
MOST_NAMED = 3  # commands and people, where one line tells of them


class AssignmentError(TirageError):
    """A correction that is not FIELD=VALUE."""

    def __init__(self, text: str) -> None:
        super().__init__(f"“{text}” is no correction; expected FIELD=VALUE, such as title=“Pond, first frost”.")


@command(
    "due",
    Operand("word", "--only", "WORD", "only some: plates, prints, promises, out, payments ...", required=False),
    short_help="What is waiting.",
)
@click.option(
    "--calendar",
    metavar="[FILE]",
    is_flag=False,
    flag_value="",
    help="Write all that has an end into a calendar file (iCalendar), however late; default out/due.ics.",
)
@output_options
def due_command(desk: Desk, word: str | None, calendar: str | None) -> None:
    """What is waiting: what can be done now, then what falls due soon.

    Plates in the making and what comes next, prints in the washer or unsigned, promises, loans and payments.

    \b
    tirage due plates
    tirage due plates --calendar
    """
    from catalog.rules.due import due, waiting
    from catalog.store import copies
    from catalog.store.connection import DATABASE

    with desk.reading() as connection:
        desk.mind_clock(connection)
        if calendar is not None:
            from catalog.records import catalogs

            artist = catalogs.artist(connection)
            _write_calendar(desk, calendar, waiting(connection, desk.now, word or ""), f"{artist.begun} {artist.name}")
            return
        found = due(connection, desk.now, word or "")
    desk.mind(copies.beside(desk.folder, DATABASE))
    if desk.output:
        desk.show([{name: value for name, value in asdict(one).items() if name in SHOWN} for one in found])
    elif not found:
        desk.say("Nothing of that is waiting." if word else "Nothing is waiting.")
    else:
        for one in found:
            desk.say(f"{one.sentence}\n    {one.command}")


def _write_calendar(desk: Desk, file: str, waiting: "Sequence[Due]", catalog: str) -> None:
    from catalog.documents import calendar
    from catalog.documents.filing import FOLDER

    path = Path(file) if file else desk.folder / FOLDER / calendar.NAME
    content = calendar.calendar(waiting, desk.now, catalog)
    calendar.keep(path, content)
    count = content.count(b"BEGIN:VEVENT")
    desk.say(f"{path if file else f'{FOLDER}/{calendar.NAME}'}: {count} {'entry' if count == 1 else 'entries'}.")


@command("check", short_help="Findings over the whole catalog.")
@click.option(
    "--against",
    metavar="FILE",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Another copy of this catalog whose history it must share; it is only read. Can be given more than once.",
)
@output_options
def check_command(desk: Desk, against: tuple[Path, ...]) -> int:
    """Look the whole catalog over; exit status 1 when there is an error or a warning.

    Proved are the file, its schema, the chain of seals, every row against the journal, every certificate against its
    key and the chain, and the history against every copy of this catalog that lies beside it.

    Who rewrites rows, journal and chain alike leaves nothing in the file itself that shows it: only a certificate that
    is out, or a copy that was kept elsewhere, does. Keep copies in another place, and name one now and then:

    \b
    tirage check --against /a/safe/place/catalog.db
    """
    from catalog.rules.checks import check
    from catalog.store.backup import snapshot

    with desk.reading(still=False) as connection:
        still = snapshot(connection)  # no command in between, and no writer waits
    try:
        findings = check(still, desk.folder, desk.now, against)
    finally:
        still.close()
    desk.show([asdict(finding) for finding in findings], empty="Everything agrees.")
    return int(any(finding.severity != "note" for finding in findings))


@command(
    "history",
    Operand("code", "--code", "CODE", "anything with a code: 3, n1, e1, b1, s1, k1, c1"),
    short_help="All that happened to one thing.",
)
@output_options
def history_command(desk: Desk, code: str) -> None:
    """All that happened to one thing, in time order; also of a code whose thing was taken back."""
    from catalog.rules.history import history

    with desk.reading() as connection:
        lines = history(connection, _found(connection, code).id)
    desk.show(
        [{"when": line.date if desk.output else line.when, "who": line.who, "what": line.sentence} for line in lines],
        empty="Nothing is recorded of it.",
    )


@command(
    "correct",
    Operand("code", "--code", "CODE", "the thing to correct, such as n1, e1 or 3"),
    Operand("values", "--set", "FIELD=VALUE", "what it should be, such as made=1998", many=True),
    short_help="Correct a field, keeping what stood there.",
)
@click.option("--why", metavar="REASON", default="", help="Why, which the record keeps (needed).")
@event_options
def correct_command(desk: Desk, code: str, values: tuple[str, ...], why: str) -> None:
    """Correct one or more fields; what stood there before stays readable in its history."""
    from catalog.cli.dealings import papers_too_late
    from catalog.records.bath_fields import in_turn
    from catalog.records.dealing_corrections import correct
    from catalog.rules import correction_effects

    told = []
    with desk.writing() as work:
        thing = items.find_one(work.connection, code)
        before = correction_effects.weighed(work.connection, thing)
        for value in in_turn(values):
            field, equals, text = value.partition("=")
            if not equals or not field.strip():
                raise AssignmentError(value)
            done = correct(work.connection, work.event, thing, field, text, why)
            told.append((f"{thing.code}: {done.field} was “{done.before}”, is now “{done.after}”.", done))
        work.touch(thing)
        minds = papers_too_late(work.connection, thing) if any("date of" in done.field for _, done in told) else []
        changed = correction_effects.changes(work.connection, before)
    for mind in minds:
        desk.warn(mind)
    for sentence, done in told:
        followers = f" So is that of {items.shorten(done.followed)}." if done.followed else ""
        desk.say(sentence + followers)
        if done.bearing:
            one = len(done.bearing) == 1
            desk.warn(
                f"Mind: {items.shorten(done.bearing)} {'bears' if one else 'bear'} the old title, and "
                f"{'stays' if one else 'stay'} as issued. Where the title matters, supersede "
                f"{'it' if one else 'them'}: tirage certificate issue PRINT --supersedes CODE."
            )
    desk.mind(changed)


@command("undo", short_help="Take back the last command.")
@event_options
@output_options
def undo_command(desk: Desk) -> None:
    """Take back the last command that stands; the journal keeps both. Codes it gave stay void.

    A command that only changed how somebody is reached, or forgot it, stays as it is: what stood there before is kept
    nowhere. The one before it is taken back.
    """
    from catalog.records import parties
    from catalog.rules.taken_back import taken_back
    from catalog.store import journal

    with desk.writing() as work:
        passed, newest = journal.undoable(work.connection)
        stays = list(dict.fromkeys(_staying(work.connection, seal) for seal in passed))
        told = taken_back(work.connection, newest)
        gone = parties.reached_since(work.connection, newest.first, newest.last)
        seal = journal.undo(work.connection)
        void = journal.void_codes(work.connection, seal)
        work.undoes = seal.id
    if desk.output:
        row: dict[str, object] = {"command": seal.command, "sealed": seal.sealed, "by": seal.by, "void": ",".join(void)}
        row["stays"] = "; ".join(stays)
        desk.show([row])
        return
    if stays:
        desk.say(_told_of_staying(stays))
    stay = f" {items.shorten(void)} stay{'s' if len(void) == 1 else ''} void." if void else ""
    when = f"{parse_date(seal.sealed[:10]).text()}, {seal.sealed[11:16]}"
    went = f" With {'; '.join(_first(gone))} went how they are reached." if gone else ""
    desk.say(f"Taken back: {told}, of {when}, by {seal.by}.{stay}{went}")


def _staying(connection: sqlite3.Connection, seal: "Seal") -> str:
    from catalog.records import parties

    names = parties.of_whom(connection, seal.first, seal.last)
    return f"{seal.command} ({'; '.join(_first(names))}), of {parse_date(seal.sealed[:10]).text()}"


def _told_of_staying(stays: list[str]) -> str:
    """Which commands stay, and why they do."""
    they = "It stays as it is" if len(stays) == 1 else "They stay as they are"
    return (
        f"Not taken back: {'; '.join(_first(stays))}. {they}, for how somebody was reached before is kept nowhere; to "
        f"say it anew: tirage party reach."
    )


def _first(names: list[str]) -> list[str]:
    more = len(names) - MOST_NAMED
    return names if more <= 0 else [*names[:MOST_NAMED], f"and {more} more"]


def _found(connection: sqlite3.Connection, text: str) -> Coded:
    """The thing of a code, even when it was taken back."""
    try:
        return items.find_one(connection, text)
    except TakenBackError:
        span = codes.span(codes.bare(text))
        name = codes.automatic(span.kind, span.first) if span else codes.bare(text)
        row = connection.execute(items.BY_CODE, (name,)).fetchone()
        if row is None:
            raise
        return Coded(row["id"], row["code"], row["kind"])
