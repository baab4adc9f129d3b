"""What is waiting: plates, prints, promises, loans and payments that somebody should look at next."""

import sqlite3
from collections.abc import Callable, Iterator
from datetime import datetime

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import catalogs
from catalog.records.items import shorten
from catalog.rules.due_baths import used_up
from catalog.rules.due_dealings import handed_out, promises, unpaid, unplaced
from catalog.rules.due_evidence import routines_lapsing, strips_untested
from catalog.rules.due_plates import plates
from catalog.rules.evidence import stops_many
from catalog.rules.tested import targets
from catalog.rules.waiting import Due, soon, typed

# A word that asks for some of what waits -> the kinds of waiting that it means; each kind is a word for itself too.
WORDS = {
    "plates": ("plate",),
    "prints": ("wash", "evidence", "signature", "place"),
    "promises": ("promise",),
    "out": ("consignment", "approval", "loan", "exhibition"),
    "consignments": ("consignment", "approval"),
    "loans": ("loan", "exhibition"),
    "payments": ("payment",),
    "editions": ("edition", "signature"),
    "routines": ("routine",),
    "baths": ("bath",),
    "sessions": ("session",),
}

IN_WASHERS = """SELECT w.name, c.code, i.joined FROM step_item i JOIN step s ON s.id = i.step
    JOIN washer w ON w.id = s.washer JOIN code c ON c.id = i.item WHERE i.joined <> '' AND i.left_at = ''
    ORDER BY w.name, i.item"""
# Prints in the studio that may be unwashed, or that failed a test, or went through a fixer with a strip that did. What
# stops one is worked out from its whole history; these are all that it can be.
IN_QUESTION = """WITH failed AS (
        SELECT item FROM residual_test WHERE reading IN ('beige', 'yellow-brown')
        UNION SELECT item FROM residual_test WHERE question = 'hypo' AND value > :hypo
        UNION SELECT item FROM residual_test WHERE question = 'silver' AND value > :silver)
    SELECT p.id, c.code FROM (SELECT id FROM waiting WHERE what = 'wash' UNION SELECT item FROM failed
        UNION SELECT i.item FROM failed f CROSS JOIN step_item k ON k.item = f.item
            JOIN step s ON s.id = k.step AND s.kind = 'fix' CROSS JOIN step_item i ON i.step = k.step) q
    CROSS JOIN print p ON p.id = q.id JOIN code c ON c.id = p.id JOIN standing s ON s.item = p.id
    WHERE p.state = 'living' AND s.custodian = (SELECT artist FROM catalog)
    AND NOT EXISTS (SELECT 1 FROM step_item i WHERE i.item = p.id AND i.joined <> '' AND i.left_at = '')
    ORDER BY p.id"""
UNSIGNED = """SELECT ec.code, e.title, c.code, p.made, p.id, p.kind, e.estate, p.latest
    FROM print p INDEXED BY print_unsigned
    CROSS JOIN edition e ON e.id = p.edition JOIN code ec ON ec.id = e.id JOIN code c ON c.id = p.id
    CROSS JOIN catalog a CROSS JOIN standing s ON s.item = p.id AND s.custodian = a.artist AND s.owner = a.artist
    WHERE p.state = 'living' AND p.signed = ''
    AND (p.kind IS NULL OR p.kind NOT IN ('work', 'reference', 'CP')) ORDER BY p.edition, p.id"""
# All numbers are given only where the last one is.
FULL = """SELECT c.code, e.title, e.size FROM waiting w JOIN edition e ON e.id = w.id JOIN code c ON c.id = e.id
    WHERE w.what = 'edition' AND e.state = 'declared' AND (SELECT count(*) FROM edition_number
        WHERE edition = e.id AND kind = 'numbered' AND standing IN ('given', 'void')) >= e.size ORDER BY e.id"""
OPEN_SESSIONS = """SELECT s.id, s.planned, (SELECT count(*) FROM session_sheet WHERE session = s.id), c.code
    FROM session s JOIN code c ON c.id = coalesce(s.edition, s.negative) WHERE s.entered = '' ORDER BY s.id"""


class UnknownWordError(TirageError):
    """A word that means no kind of waiting."""

    def __init__(self, word: str) -> None:
        super().__init__(f"Nothing of the name “{word}” ever waits; expected one of {', '.join(WORDS)}.")


def due(connection: sqlite3.Connection, now: datetime, word: str = "") -> list[Due]:
    """What waits: what can be done now, the darkroom first, then what falls due soon, by when.

    `word` asks for some of it: plates, prints, promises ... Raises UnknownWordError.
    """
    last = soon(now)
    found = [one for one in waiting(connection, now, word) if _order(one, now)[1] <= last]
    return sorted(found, key=lambda one: _order(one, now))


def waiting(connection: sqlite3.Connection, now: datetime, word: str = "") -> list[Due]:
    """All that waits, however late it falls due: what a calendar wants to know. Raises UnknownWordError."""
    kinds = kinds_of(word)
    return [
        found
        for look, tells in LOOKS
        if not kinds or kinds & tells
        for found in look(connection, now)
        if not kinds or found.what in kinds
    ]


def kinds_of(word: str) -> frozenset[str]:
    """The kinds of waiting that a word means, in one or many; all (an empty set) for none. Raises UnknownWordError."""
    asked = word.strip().casefold()
    if not asked:
        return frozenset()
    for name, kinds in WORDS.items():
        if asked in (name, name.removesuffix("s")):
            return frozenset(kinds)
    every = {kind for kinds in WORDS.values() for kind in kinds}
    if asked.removesuffix("s") not in every:
        raise UnknownWordError(word)
    return frozenset({asked.removesuffix("s")})


def washers(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """What is still in a washer."""
    loads: dict[str, list[tuple[str, str]]] = {}
    for name, code, joined in connection.execute(IN_WASHERS).fetchall():
        loads.setdefault(name, []).append((code, joined))
    for name, load in loads.items():
        newest = max((joined for _, joined in load), key=datetime.fromisoformat)
        minutes = int((now - datetime.fromisoformat(newest)).total_seconds()) // 60
        inside = typed([code for code, _ in load])
        yield Due(
            "wash",
            load[0][0] if len(load) == 1 else "",
            min(joined for _, joined in load),
            "",
            f"{_count(len(load), 'item')} in the washer “{name}”, the last to join {minutes} min ago: {inside}.",
            f"tirage out {inside}",
        )


def open_sessions(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Sessions of today or before that are not entered: their codes are no prints yet."""
    for number, planned, count, of in connection.execute(OPEN_SESSIONS).fetchall():
        day = parse_date(planned)
        if day.earliest and day.earliest > now.date().isoformat():
            continue
        yield Due(
            "session",
            of,
            planned,
            "",
            f"Session {number} of {of}, {day.text()}, is not entered: {count} code{'' if count == 1 else 's'} given "
            f"beforehand.",
            f"tirage session enter {number}",
        )


def evidence_wanting(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Prints in the studio that are unwashed, failed, or await a retest."""
    limits = {question: target.value for question, target in targets(connection).items()}
    known = {row[0]: row[1] for row in connection.execute(IN_QUESTION, limits).fetchall()}
    alike: dict[tuple[str, ...], list[str]] = {}
    for identity, found in stops_many(connection, known).items():
        if found:
            alike.setdefault(found, []).append(known[identity])
    for stops, names in alike.items():
        wash = any("wash" in stop.lower() and "retest" not in stop.lower() for stop in stops)
        yield Due(
            "evidence",
            names[0] if len(names) == 1 else "",
            "",
            "",
            f"{shorten(names)}: {' '.join(stops)}",
            f"tirage wash {typed(names)}" if wash else f"tirage print show {typed(names[:1])}",
        )


def unsigned(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Prints of an edition that wait to be signed, one line an edition."""
    groups: dict[tuple[str, str], list[tuple[str, str]]] = {}
    died = catalogs.artist(connection).died_latest
    waiting_prints = [row for row in connection.execute(UNSIGNED).fetchall() if row["estate"] or not died]
    found = stops_many(connection, [row[4] for row in waiting_prints])
    for edition, title, code, made, identity, *_ in waiting_prints:
        if found.get(identity):
            continue  # told by the finding that stops it
        groups.setdefault((edition, title), []).append((code, made))
    for (edition, title), waiting in groups.items():
        names = typed([code for code, _ in waiting])
        yield Due(
            "signature",
            edition,
            min(made for _, made in waiting),
            "",
            f"{_count(len(waiting), 'print')} of {edition} “{title}” wait{'s' if len(waiting) == 1 else ''} to "
            f"be signed: {names}.",
            f"tirage sign {names}",
        )


def never_signed(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Prints of lifetime editions that the artist left unsigned and without a number, one line an edition."""
    died = catalogs.artist(connection).died_latest
    groups: dict[tuple[str, str, bool], list[tuple[str, str]]] = {}
    for edition, title, code, made, _, kind, estate, latest in connection.execute(UNSIGNED) if died else ():
        if not estate and kind is None:
            groups.setdefault((edition, title, latest <= died), []).append((code, made))
    for (edition, title, in_life), left in groups.items():
        names, one = typed([code for code, _ in left]), len(left) == 1
        when = "printed in the artist's life and never signed" if in_life else "not signed in the artist's life"
        yield Due(
            "signature",
            edition,
            min(made for _, made in left),
            "",
            f"{_count(len(left), 'print')} of {edition} “{title}” {'was' if one else 'were'} {when}; "
            f"{'it' if one else 'they'} cannot be signed any more: {names}. Keep {'it as a' if one else 'them as'} "
            f"reference {'print' if one else 'prints'}, outside the count.",
            f"tirage print designate {names} reference",
        )


def full_editions(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Editions whose last number is given, and that nobody called complete."""
    for code, title, size in connection.execute(FULL).fetchall():
        yield Due(
            "edition",
            code,
            "",
            "",
            f"All {size} numbers of {code} “{title}” are given; it can be called complete.",
            f"tirage edition close {typed([code])}",
        )


def _order(one: Due, now: datetime) -> tuple[bool, str, float]:
    """What can be done now first, all alike, then by day and, on a day, by instant."""
    falls = one.falls
    if falls is None or not one.comes(now):
        return False, "", 0.0
    if isinstance(falls, datetime):
        falls = falls.astimezone(now.tzinfo)
        return True, falls.date().isoformat(), falls.timestamp()
    return True, falls.isoformat(), 0.0


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


OUT = frozenset(WORDS["out"])
# Each look with the kinds of waiting that it may tell of, so that none is taken in vain.
LOOKS: tuple[tuple[Callable[[sqlite3.Connection, datetime], Iterator[Due]], frozenset[str]], ...] = (
    (plates, frozenset({"plate"})),
    (washers, frozenset({"wash"})),
    (used_up, frozenset({"bath"})),
    (open_sessions, frozenset({"session"})),
    (evidence_wanting, frozenset({"evidence"})),
    (strips_untested, frozenset({"evidence"})),
    (routines_lapsing, frozenset({"routine"})),
    (unsigned, frozenset({"signature"})),
    (never_signed, frozenset({"signature"})),
    (promises, frozenset({"promise"})),
    (handed_out, OUT),
    (unpaid, frozenset({"payment"})),
    (unplaced, frozenset({"place"})),
    (full_editions, frozenset({"edition"})),
)
