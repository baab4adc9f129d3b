"""What waits in the making of plates: what can be done to which, and when the next thing falls due."""

import sqlite3
from collections.abc import Iterator
from datetime import datetime

from catalog.dates import Moment
from catalog.records import negatives, steps
from catalog.records.items import shorten
from catalog.records.negatives import Negative
from catalog.rules.making import Next, Stage, command, next_stage, roughly, waits
from catalog.rules.waiting import Due, typed
from catalog.store.rows import fetch_all

STATES = "('in process', 'drying', 'varnished', 'curing')"
SINCE = f"""SELECT n.id, e.happened, e.earliest, e.latest, e.clock FROM negative n JOIN negative_event e ON e.id =
    (SELECT max(id) FROM negative_event WHERE negative = n.id)
    WHERE n.state IN {STATES}"""
IN_MAKING = f"{negatives.READ} WHERE n.state IN {STATES} ORDER BY n.id"


def plates(connection: sqlite3.Connection, now: datetime) -> Iterator[Due]:
    """Plates in the making, each with what comes next and when; those with nothing recorded in one line."""
    found = fetch_all(connection, Negative, IN_MAKING)
    since = {identity: Moment(*columns) for identity, *columns in connection.execute(SINCE).fetchall()}
    histories = steps.histories(connection, [plate.id for plate in found]) if found else {}
    seconds = waits(connection) if found else {}
    bare: dict[Stage, tuple[str, list[str]]] = {}
    for plate in found:
        coming = next_stage(plate, since[plate.id], histories.get(plate.id, []), seconds)
        if coming is None:
            continue
        if coming.done is None:
            bare.setdefault(coming.stage, (coming.does, []))[1].append(plate.code)
            continue
        yield Due(
            "plate",
            plate.code,
            coming.since.date,
            _until(coming),
            f"{plate.code} “{plate.title}” {told(coming, now)}.",
            coming.command,
            f"{plate.code} “{plate.title}”: {coming.does}",
        )
    for stage, (does, names) in bare.items():
        one = len(names) == 1
        yield Due(
            "plate",
            names[0] if one else "",
            "",
            "",
            f"{shorten(names)} {'is' if one else 'are'} in process with no step recorded; next: {does}. Made long ago? "
            f"tirage negative state {typed(names)} ready",
            command(stage, names, seconds),
        )


def told(coming: Next, now: datetime) -> str:
    """What a plate is since when, and what can be done to it from when on, seen from now."""
    assert coming.done is not None
    done = coming.done
    is_still = done.waits or done is coming.stage
    since = f"{'is' if is_still else 'was'} {_state(coming)}{' since' if is_still else ','} {coming.since.text()}"
    if not coming.wait:
        return f"{since}; next: {coming.does}"
    if coming.at is not None:
        left = int((coming.at - now).total_seconds())
        if left > 0:
            return f"{since}; {coming.does} from {_relative(coming.at, now)} ({roughly(left)} to go)"
        return f"{since} ({roughly(coming.wait - left)}): time to {coming.does}"
    if coming.on is not None and coming.on < now.date():
        return f"{since}: time to {coming.does}"
    return f"{since}; {coming.does} {'today' if coming.on == now.date() else coming.when()}"


def _state(coming: Next) -> str:
    assert coming.done is not None
    return "in the wash" if coming.command.startswith("tirage out") else coming.done.done


def _until(coming: Next) -> str:
    if coming.at is not None:
        return coming.at.isoformat(timespec="minutes")
    return coming.on.isoformat() if coming.on else ""


def _relative(at: datetime, now: datetime) -> str:
    """An instant as seen from now: “today, 18:00”, “tomorrow, 09:00”, “5 March 2026, 09:00”."""
    at = at.astimezone(now.tzinfo)
    days = (at.date() - now.date()).days
    if days in (0, 1):
        return f"{('today', 'tomorrow')[days]}, {at:%H:%M}"
    day = at.date().isoformat()
    return f"{Moment(day, day, day, '').text()}, {at:%H:%M}"
