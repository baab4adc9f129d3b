"""Negatives: one matrix each, a glass plate or a film sheet, and the states it goes through."""

import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from catalog.dates import Date, Moment, parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import transfers
from catalog.records.items import Coded, code_of, give_many
from catalog.store.rows import fetch_all, fetch_one, insert_many
from catalog.vocabulary import GONE_STATES, NEGATIVE_STATES

COLUMNS = """n.id, code.code, n.title, n.series, coalesce(series.title, ''), n.made, n.earliest, n.latest, n.made_where,
    n.process, n.support, n.height, n.width, n.thickness, n.weight, n.mark, n.description, n.note, n.state, n.shown"""
READ = f"SELECT {COLUMNS} FROM negative n JOIN code ON code.id = n.id LEFT JOIN series ON series.id = n.series"
ADD = """INSERT INTO negative (id, title, series, made, earliest, latest, made_where, process, support, height, width,
    thickness, weight, mark, description, note, state) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_EVENT = """INSERT INTO negative_event (negative, state, happened, earliest, latest, clock, by, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?)"""
EVENTS = """SELECT state, happened, earliest, latest, clock, by, note FROM negative_event WHERE negative = ?
    ORDER BY id"""


LONGEST_TITLE = 300
UNDATED = Date("", "", "")


class StateRefusedError(TirageError):
    """A state that a negative cannot come to."""

    def __init__(self, code: str, now: str, wanted: str) -> None:
        super().__init__(
            f"{code} is {now} and cannot become {wanted}: what was cancelled, broken or destroyed does "
            f"not become whole again. If the earlier entry was a slip, take it back with: tirage undo."
        )


class NoNewPrintsError(TirageError):
    """A print of a negative that is gone."""

    def __init__(self, code: str, state: str, since: str) -> None:
        super().__init__(
            f"{code} is {state} since {parse_date(since).text()}; no print is made of it after that date. Give the "
            f"date it was printed with --on DATE if it was before, or name another negative."
        )


class Negative(NamedTuple):
    """One negative. Lengths in micrometres, weight in milligrams, dates as EDTF with earliest and latest day."""

    id: int
    code: str
    title: str
    series_id: int | None
    series: str
    made: str
    earliest: str
    latest: str
    made_where: str
    process: str
    support: str
    height: int | None
    width: int | None
    thickness: int | None
    weight: int | None
    mark: str
    description: str
    note: str
    state: str
    shown: int


class NewNegative(NamedTuple):
    """A negative that is to be added; its first state came at `moment`, or at that of the event where it is None."""

    title: str
    own_code: str | None = None
    series: str = ""
    made: Date = UNDATED
    made_where: str = ""
    process: str = ""
    support: str = ""
    size: tuple[int | None, int | None] = (None, None)
    thickness: int | None = None
    weight: int | None = None
    mark: str = ""
    description: str = ""
    note: str = ""
    state: str = "in process"
    moment: Moment | None = None


class NegativeEvent(NamedTuple):
    """A state a negative came to."""

    state: str
    happened: str
    earliest: str
    latest: str
    clock: str
    by: str
    note: str

    @property
    def moment(self) -> Moment:
        """When it came to it."""
        return Moment(self.happened, self.earliest, self.latest, self.clock)


def read(connection: sqlite3.Connection, identity: int) -> Negative:
    """One negative by its identity."""
    found = fetch_one(connection, Negative, f"{READ} WHERE n.id = ?", (identity,))
    assert found is not None, identity
    return found


def listed(
    connection: sqlite3.Connection, *, series: str = "", state: str = "", text: str = "", process: str = ""
) -> list[Negative]:
    """Negatives in order, filtered by series, state, process, or words in title, mark, place and notes.

    Notes are also what the list that it came from says and no field took. Of codes only the user's own are words.
    """
    return fetch_all(
        connection,
        Negative,
        f"""{READ} WHERE (?1 = '' OR series.title = ?1 COLLATE NOCASE)
        AND (?2 = '' OR n.state = ?2) AND (?3 = '' OR instr(lower(n.title || ' ' || n.mark || ' ' || n.made_where
        || ' ' || n.note || ' ' || n.description || ' ' || iif(code.serial IS NULL, code.code, '')), lower(?3)) > 0
        OR EXISTS (SELECT 1 FROM import_row r JOIN import_file f ON f.id = r.file, json_each(r.cells) cell
            WHERE r.thing = n.id AND f.noun = 'negatives' AND instr(lower(cell.value), lower(?3)) > 0
            AND cell.key IN (SELECT value FROM json_each(r.notes))))
        AND (?4 = '' OR instr(lower(n.process), lower(?4)) > 0) ORDER BY n.id""",
        (series, state, text, process),
    )


def add(
    connection: sqlite3.Connection,
    event: Event,
    title: str,
    *,
    own_code: str | None = None,
    series: str = "",
    made: Date | None = None,
    made_where: str = "",
    process: str = "",
    support: str = "",
    size: tuple[int, int] | None = None,
    thickness: int | None = None,
    weight: int | None = None,
    mark: str = "",
    description: str = "",
    state: str = "in process",
) -> Coded:
    """Add one negative in its first state. Raises CodeTakenError, OwnCodeError, NotUnderstood."""
    new = NewNegative(
        title, own_code, series, made or UNDATED, made_where, process, support, size or (None, None),
        thickness, weight, mark, description, event.note, state,
    )  # fmt: skip
    return add_many(connection, event, [new])[0]


def check_new(event: Event, new: NewNegative) -> None:
    """Whether a negative can be added as it is told. Raises NotUnderstood."""
    if not 0 < len(new.title.strip()) <= LONGEST_TITLE:
        raise NotUnderstood("a title", new.title[:60], f"1 to {LONGEST_TITLE} characters; “Untitled” will do")
    if new.made.earliest > event.moment.latest:
        raise NotUnderstood("when it was made", new.made.text(), "a date up to today")
    if new.state not in NEGATIVE_STATES:
        raise NotUnderstood("a state of a negative", new.state, "one of " + ", ".join(NEGATIVE_STATES))


def add_many(connection: sqlite3.Connection, event: Event, news: Sequence[NewNegative]) -> list[Coded]:
    """Add negatives in their first states, in order. Raises CodeTakenError, OwnCodeError, NotUnderstood."""
    for new in news:
        check_new(event, new)
    things = give_many(connection, "negative", [new.own_code for new in news])
    series = {title: series_id(connection, title) for title in dict.fromkeys(new.series for new in news) if title}
    insert_many(
        connection,
        ADD,
        (
            (
                thing.id, new.title.strip(), series.get(new.series), new.made.edtf, new.made.earliest, new.made.latest,
                new.made_where, new.process, new.support, *new.size, new.thickness, new.weight, new.mark,
                new.description, new.note, new.state,
            )
            for thing, new in zip(things, news, strict=True)
        ),
    )  # fmt: skip
    insert_many(
        connection,
        ADD_EVENT,
        (
            (thing.id, new.state, *_first(event, new), event.by, event.note)
            for thing, new in zip(things, news, strict=True)
        ),
    )
    for thing, new in zip(things, news, strict=True):
        if new.state == "destroyed":
            transfers.destroy(connection, replace(event, moment=new.moment or event.moment), thing)
    return things


def _first(event: Event, new: NewNegative) -> tuple[str, str, str, str]:
    """When a new negative came to its first state: happened, earliest, latest, clock."""
    moment = new.moment or event.moment
    return (moment.date, moment.earliest, moment.latest, moment.clock)


def enter_state(connection: sqlite3.Connection, event: Event, thing: Coded, state: str) -> None:
    """Record that a negative came to a state. Raises StateRefusedError, NotUnderstood."""
    if state not in NEGATIVE_STATES:
        raise NotUnderstood("a state of a negative", state, "one of " + ", ".join(NEGATIVE_STATES))
    before = {happening.state for happening in events(connection, thing.id)}
    now = read(connection, thing.id).state
    whole_again = state not in (*GONE_STATES, "lost", "deposited") and before & {"cancelled", "broken"}
    if "destroyed" in before or whole_again:
        raise StateRefusedError(thing.code, now, state)
    connection.execute(ADD_EVENT, (thing.id, state, *event.columns, event.by, event.note))
    if state == "destroyed":
        transfers.destroy(connection, event, thing)


def events(connection: sqlite3.Connection, identity: int) -> list[NegativeEvent]:
    """The states a negative went through, in order."""
    return fetch_all(connection, NegativeEvent, EVENTS, (identity,))


def refuse_if_gone(connection: sqlite3.Connection, identity: int, latest: str) -> None:
    """Raise NoNewPrintsError when the negative was cancelled, broken or destroyed before a print's date."""
    found = gone_before(connection, identity, latest)
    if found:
        raise NoNewPrintsError(code_of(connection, identity), found.state, found.happened)


def gone_before(connection: sqlite3.Connection, identity: int, latest: str) -> NegativeEvent | None:
    """How the negative was cancelled, broken or destroyed before a day, if it was."""
    return next((one for one in events(connection, identity) if one.state in GONE_STATES and latest > one.latest), None)


def series_id(connection: sqlite3.Connection, title: str) -> int:
    """The series of that title, begun when it is new."""
    row = connection.execute("SELECT id FROM series WHERE title = ?", (title,)).fetchone()
    if row:
        return int(row[0])
    return int(connection.execute("INSERT INTO series (title) VALUES (?)", (title,)).lastrowid or 0)


def show(connection: sqlite3.Connection, identity: int, shown: bool) -> None:
    """Mark a negative as one that may be published, with its editions, or not."""
    connection.execute("UPDATE negative SET shown = ? WHERE id = ?", (int(shown), identity))
