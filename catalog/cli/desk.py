"""The desk a command works at: which catalog, who, when, and the one unit of work that opens, seals and commits."""

import os
import sqlite3
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from catalog.cli.explained import explained
from catalog.dates import Moment, moment, parse_date
from catalog.errors import TirageError
from catalog.events import Event, check_past
from catalog.plain_text import shown
from catalog.records.items import Coded
from catalog.store import connection as store

if TYPE_CHECKING:
    from catalog.store.journal import Seal

CLOCKS_APART = timedelta(hours=1)  # two machines in one studio differ by less
NEWEST_SEALED = "SELECT sealed FROM journal_seal ORDER BY id DESC LIMIT 1"
EVENT, OUTPUT = "tirage.event", "tirage.output"


def happened(on: str | None, at: str | None, now: datetime) -> Moment:
    """The moment of something that is recorded. Raises NotUnderstood, NotYetError."""
    return check_past(moment(on, at, now), now)


class Work:
    """One unit of work: an open transaction, the event that all its records carry, and what it was about."""

    def __init__(self, connection: sqlite3.Connection, event: Event, now: datetime) -> None:
        self.connection, self.event, self.now = connection, event, now
        self.touched: list[int] = []
        self.command = ""
        self.undoes: int | None = None

    def touch(self, things: Iterable[Coded] | Coded) -> None:
        """Note what the command was about: what `last` means afterwards."""
        for thing in [things] if isinstance(things, Coded) else things:
            if thing.id not in self.touched:
                self.touched.append(thing.id)


class Desk:
    """Where commands find their catalog; one for a whole run, shared by all lines of the demo."""

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder
        self._fixed_now: datetime | None = None
        self._shared: sqlite3.Connection | None = None
        self.person = ""  # who works at it, for a whole run; "" is whoever is logged in
        self.quiet = False

    @property
    def now(self) -> datetime:
        """The time it is, with its zone; fixed while the demo is replayed."""
        return self._fixed_now or datetime.now().astimezone()

    def find(self) -> Path | None:
        """The catalog's folder, or None."""
        if self._folder is not None:
            return self._folder if (self._folder / store.DATABASE).exists() else None
        return store.find(Path.cwd())

    @property
    def folder(self) -> Path:
        """The catalog's folder. Raises NoCatalogError."""
        found = self.find()
        if found is None:
            raise store.NoCatalogError(self._folder or Path.cwd())
        return found

    @contextmanager
    def reading(self, *, still: bool = True) -> Iterator[sqlite3.Connection]:
        """An open catalog that can only be read, and stands still: no command of another process falls in between.

        `still` is False where a person is asked something meanwhile, or where it takes so long that a writer would
        have to wait; such a command reads what belongs together at once, or from a copy.
        """
        if self._shared is not None:
            yield self._shared
            return
        with explained(self.folder), closing(store.open_catalog(self.folder, writing=False)) as connection:
            if still:
                connection.execute("BEGIN")
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Work]:
        """One unit of work: all of it is sealed and committed at the end, or none of it happened."""
        if self._shared is not None:  # each line of a replay has its seal; the whole commits at its end
            work = Work(self._shared, self._event(), self.now)
            yield work
            self.seal(work)
            return
        opened = store.open_catalog(self.folder, writing=True, told=self._say_migrated)
        with explained(self.folder), closing(opened) as connection:
            try:
                connection.execute("BEGIN IMMEDIATE")
                self._seal_foreign_rows(connection)
                self.mind_clock(connection)
                work = Work(connection, self._event(), self.now)
                yield work
                self._finish(connection, work)
            except BaseException:
                _roll_back(connection)
                raise

    @contextmanager
    def beginning(self, folder: Path) -> Iterator[Work]:
        """A new catalog in an empty folder, as one unit of work; removed again when it fails."""
        existed = folder.exists()
        connection = store.create(folder)
        try:
            work = Work(connection, self._event(), self.now)
            yield work
            self.seal(work)
            connection.execute("COMMIT")
        except BaseException:
            _roll_back(connection)
            connection.close()
            with suppress(OSError):  # a disk that fails here too is told of by what failed first
                _clear(folder, existed)
            raise
        finally:
            connection.close()

    @contextmanager
    def replaying(self, folder: Path, connection: sqlite3.Connection) -> Iterator[None]:
        """Let every command inside work in this one open transaction."""
        self._folder, self._shared, self.quiet = folder, connection, True
        try:
            yield
        finally:
            self._shared, self.quiet, self._fixed_now = None, False, None

    def set_clock(self, now: datetime | None) -> None:
        """Fix the time for the lines of a replay."""
        self._fixed_now = now

    def say(self, text: str) -> None:
        """Tell the person what happened."""
        if not self.quiet:
            click.echo(_lines(text))

    def warn(self, text: str) -> None:
        """Tell the person what to mind, on standard error."""
        if not self.quiet:
            click.echo(_lines(text), err=True)

    def mind(self, lines: Iterable[str]) -> None:
        """Tell the person what to look at, one line each; what begins with STOP is loud enough."""
        for line in lines:
            self.warn(line if line.startswith("STOP") else f"Mind: {line}")

    def show(self, rows: Sequence[dict[str, object]], empty: str = "Nothing yet.") -> None:
        """Print records as a table, or as JSON or CSV when asked."""
        from catalog.cli.tables import print_rows

        if self.quiet:
            return
        print_rows(rows, click.get_current_context().meta.get(OUTPUT, ""), empty)

    def counted(self, things: Iterable[Any], label: str) -> Any:
        """Things one by one under a progress bar on a terminal, none in a pipe; to be used in a with."""
        return click.progressbar(things, label=label, file=sys.stderr, hidden=self.quiet or not sys.stderr.isatty())

    def date(self, edtf: str) -> str:
        """A date of a record: in English for a person, as EDTF for another program, "" where there is none."""
        return parse_date(edtf).text() if edtf and not self.output else edtf

    @property
    def event(self) -> Event:
        """The event of this command, for what must be known before its unit of work begins."""
        return self._event()

    @property
    def output(self) -> str:
        """ "json", "csv" or "" as asked for."""
        return str(click.get_current_context().meta.get(OUTPUT, ""))

    def _event(self) -> Event:
        given = click.get_current_context().meta.get(EVENT, {})
        by = given.get("by") or self.person or os.environ.get("TIRAGE_BY") or _login()
        return Event(happened(given.get("on"), given.get("at"), self.now), by, given.get("note") or "")

    def mind_clock(self, connection: sqlite3.Connection) -> None:
        """Say so when the clock stands before the last command: what is recorded takes its time from it."""
        newest = connection.execute(NEWEST_SEALED).fetchone()
        try:
            last = datetime.fromisoformat(newest[0]) if newest else None
        except ValueError:  # altered by another program, which the checks tell of
            return
        if last is not None and last.tzinfo is not None and last > self.now + CLOCKS_APART:
            self.warn(
                f"Mind: the clock stands at {_clock(self.now)}, before the last command ({_clock(last)}). One of the "
                f"two is wrong: set the clock right, or say when things happened with --on and --at."
            )

    def _say_migrated(self, version: int, kept: Path) -> None:
        self.warn(f"This catalog was of an older version (schema {version}) and is now of this one; kept: {kept.name}")

    def _seal_foreign_rows(self, connection: sqlite3.Connection) -> None:
        from catalog.store import journal

        count = journal.unsealed_rows(connection)
        if count:
            journal.seal(
                connection, sealed=self.now.isoformat(timespec="seconds"), by="unknown", command=journal.OUTSIDE
            )
            self.warn(
                f"Mind: {count} changes were written outside this program since the last command; see: tirage check"
            )

    def _finish(self, connection: sqlite3.Connection, work: Work) -> None:
        seal = self.seal(work)
        try:
            connection.execute("COMMIT")
        except sqlite3.DatabaseError as problem:
            if seal is None or (stands := self._stands(connection, seal)) is False:
                raise
            raise store.NotConfirmedError(str(problem), bool(stands)) from problem

    def _stands(self, connection: sqlite3.Connection, seal: "Seal") -> bool | None:
        """Whether what was being committed is in the file after all; None when it cannot be read."""
        from catalog.store import journal

        try:
            _roll_back(connection)
            connection.close()
            with closing(store.open_catalog(self.folder, writing=False)) as fresh:
                return journal.last_digest(fresh) == seal.digest
        except (sqlite3.DatabaseError, OSError, TirageError):
            return None

    def seal(self, work: Work) -> "Seal | None":
        """Seal what was changed so far as the command's own."""
        from catalog.store import journal  # here, so that commands that only read do not load it

        context = click.get_current_context()
        return journal.seal(
            work.connection,
            sealed=work.now.isoformat(timespec="seconds"),
            by=work.event.by,
            command=work.command or context.command_path.removeprefix("tirage "),
            why=work.event.note,
            touched=work.touched,
            undoes=work.undoes,
        )


def _roll_back(connection: sqlite3.Connection) -> None:
    """End a transaction that failed; where the disk fails here too, whoever opens the file next rolls it back."""
    with suppress(sqlite3.Error):
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def _clock(when: datetime) -> str:
    return f"{parse_date(when.date().isoformat()).text()}, {when.strftime('%H:%M')}"


def _login() -> str:
    import getpass

    try:
        return getpass.getuser()
    except (OSError, KeyError):  # a machine without a login name
        return "unknown"


def _clear(folder: Path, existed: bool) -> None:
    import shutil

    for entry in folder.iterdir():
        shutil.rmtree(entry) if entry.is_dir() else entry.unlink()
    if not existed:
        folder.rmdir()


def _lines(text: str) -> str:
    """Text for the terminal: what a record holds cannot steer it."""
    return "\n".join(shown(line) for line in text.split("\n"))
