"""What is waiting: plates, prints, promises, loans and payments that somebody should look at next."""

import sqlite3
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from catalog.dates import Moment
from catalog.quantities import format_duration, parse_duration
from catalog.records import catalogs, settings
from catalog.records.items import shorten
from catalog.rules.due_dealings import handed_out, promises, unpaid, unplaced
from catalog.rules.evidence import evidence_many
from catalog.rules.waiting import Due, typed

# state of a plate -> (setting that says how long it waits, what comes next, state after it)
WAITS = {
    "drying": ("varnish-after", "varnish", "varnished"),
    "varnished": ("", "cure", "curing"),
    "curing": ("cure-for", "call ready", "ready"),
}

PLATES = """SELECT c.code, n.title, n.state, e.happened, e.earliest, e.latest, e.clock FROM negative n
    JOIN code c ON c.id = n.id JOIN negative_event e ON e.id =
    (SELECT max(id) FROM negative_event WHERE negative = n.id) WHERE n.state IN ('drying', 'varnished', 'curing')
    ORDER BY n.id"""
IN_WASHERS = """SELECT w.name, c.code, i.joined FROM step_item i JOIN step s ON s.id = i.step
    JOIN washer w ON w.id = s.washer JOIN code c ON c.id = i.item WHERE i.joined <> '' AND i.left_at = ''
    ORDER BY w.name, i.item"""
PRINTS_AT_HAND = """SELECT p.id, c.code FROM print p JOIN code c ON c.id = p.id JOIN standing s ON s.item = p.id
    WHERE p.state = 'living' AND s.custodian = (SELECT artist FROM catalog)
    AND NOT EXISTS (SELECT 1 FROM step_item i WHERE i.item = p.id AND i.joined <> '' AND i.left_at = '')
    ORDER BY p.id"""
UNSIGNED = """SELECT ec.code, e.title, c.code, p.made, p.id, p.kind, e.estate, p.latest FROM print p
    JOIN edition e ON e.id = p.edition JOIN code ec ON ec.id = e.id JOIN code c ON c.id = p.id
    WHERE p.state = 'living' AND p.signed = ''
    AND (p.kind IS NULL OR p.kind NOT IN ('work', 'reference', 'CP')) ORDER BY e.id, p.id"""
FULL = """SELECT c.code, e.title, e.size FROM edition e JOIN code c ON c.id = e.id WHERE e.state = 'declared'
    AND e.size IS NOT NULL AND (SELECT count(*) FROM edition_number WHERE edition = e.id AND kind = 'numbered'
    AND standing IN ('given', 'void')) >= e.size ORDER BY e.id"""


def due(connection: sqlite3.Connection, now: datetime) -> list[Due]:
    """Everything that waits, the darkroom first."""
    return [found for look in LOOKS for found in look(connection, now)]


def plates(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Plates that dry, are varnished or cure, with how long they waited."""
    for code, title, state, *columns in connection.execute(PLATES).fetchall():
        setting, action, following = WAITS[state]
        since = Moment(*columns)
        waited = _waited(since, now)
        wanted = parse_duration(settings.value(connection, setting)) if setting else 0
        until = ""
        if since.instant is not None and wanted:
            until = (since.instant + timedelta(seconds=wanted)).isoformat(timespec="minutes")
        if waited is None:
            ripe = f"; {action} after {format_duration(wanted)}" if wanted else f"; next: {action}"
        elif waited >= wanted:
            ripe = f" ({_roughly(waited)}): time to {action}"
        else:
            ripe = f" ({_roughly(waited)} of {format_duration(wanted)}): {_roughly(wanted - waited)} to go"
        yield Due(
            "plate",
            code,
            since.date,
            until,
            f"{code} “{title}” is {state} since {since.text()}{ripe}.",
            f"tirage negative state {typed([code])} {following}",
        )


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


def evidence_wanting(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Prints in the studio that are unwashed, failed, or await a retest."""
    known = {row[0]: row[1] for row in connection.execute(PRINTS_AT_HAND).fetchall()}
    alike: dict[tuple[str, ...], list[str]] = {}
    for identity, found in evidence_many(connection, list(known)).items():
        if found.stops:
            alike.setdefault(found.stops, []).append(known[identity])
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
    found = evidence_many(connection, [row[4] for row in waiting_prints])
    for edition, title, code, made, identity, *_ in waiting_prints:
        if identity in found and found[identity].stops:
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


def _waited(since: Moment, now: datetime) -> int | None:
    """Seconds since a moment; from the end of its last day when the clock is not known."""
    start = since.instant
    if start is None:
        if not since.latest:
            return None
        start = datetime.fromisoformat(since.latest).replace(tzinfo=now.tzinfo) + timedelta(days=1)
    return max(0, int((now - start).total_seconds()))


def _roughly(seconds: int) -> str:
    if seconds >= 172_800:
        return f"{seconds // 86_400} days"
    return f"{seconds // 3600} h" if seconds >= 3600 else f"{max(1, -(-seconds // 60))} min"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


LOOKS: tuple[Callable[[sqlite3.Connection, datetime], Iterator[Due]], ...] = (
    plates,
    washers,
    evidence_wanting,
    unsigned,
    never_signed,
    promises,
    handed_out,
    unpaid,
    unplaced,
    full_editions,
)
