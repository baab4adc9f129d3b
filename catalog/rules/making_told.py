"""The making of a plate told: each step with its time, bath and what matters of it, and what comes next."""

import sqlite3
from collections.abc import Sequence
from datetime import date

from catalog.dates import Moment, later_than, parse_date
from catalog.quantities import format_duration, format_temperature
from catalog.records import baths, negatives, steps
from catalog.records.bath_events import events_of
from catalog.records.baths import Bath
from catalog.records.items import Coded, shorten
from catalog.records.steps import StepOfItem
from catalog.rules.making import BY_NAME, Next, next_stage, roughly, stages, waits
from catalog.rules.waiting import typed

AGEING = ("collodion", "develop", "redevelop")  # steps whose bath changes with its age


def making(connection: sqlite3.Connection, identity: int) -> list[str]:
    """The steps of a plate in order, one line each."""
    history = steps.history(connection, identity)
    width = max((len(step.moment.text()) for step in history), default=0)
    return [
        f"{step.code}  {step.moment.text():<{width}}  {', '.join(_words(connection, step, ultraviolet))}"
        for step, ultraviolet in zip(
            history, [stage is BY_NAME["ultraviolet"] for stage in stages(history)], strict=True
        )
    ]


def coming(connection: sqlite3.Connection, identity: int) -> Next | None:
    """What comes next for a plate, None when it is made, gone or put away."""
    newest = negatives.events(connection, identity)[-1]
    history = steps.history(connection, identity)
    return next_stage(negatives.read(connection, identity), newest.moment, history, waits(connection))


def minds(connection: sqlite3.Connection, at: Moment, things: Sequence[Coded], does: str) -> list[str]:
    """What to mind of plates before a step, or the state “ready”, is recorded of them: too early, or never fixed.

    Of a plate with no step recorded nothing is said: it was made before the catalog.
    """
    early: dict[str, list[str]] = {}
    unfixed = []
    for thing in things:
        if thing.kind != "negative" or does not in ("dry", "varnish", "cure", "ready"):
            continue
        history = steps.history(connection, thing.id)
        if does in ("dry", "ready") and history and not any(step.kind == "fix" for step in history):
            unfixed.append(thing.code)
        next_ = coming(connection, thing.id)
        if next_ is not None and next_.wait and does in (next_.stage.kind, "ready") and _too_early(next_, at):
            early.setdefault(f"{next_.stage.kind or 'printing'} was due {next_.when()}{_after(next_, at)}", []).append(
                thing.code
            )
    said = [f"{shorten(codes)}: {words}." for words, codes in early.items()]
    if unfixed:
        said.append(
            f"no fixing is recorded of {shorten(unfixed)}. Fixed and not told? tirage fix {typed(unfixed)} --on DATE"
        )
    return said


def _too_early(found: Next, at: Moment) -> bool:
    if found.at is not None and at.instant is not None:
        return at.instant < found.at
    on = found.on or (found.at.date() if found.at else None)
    return on is not None and bool(at.latest) and date.fromisoformat(at.latest) < on


def _after(found: Next, at: Moment) -> str:
    """How long after what went before it is, where both have a clock."""
    if found.since.instant is None or at.instant is None or found.done is None:
        return ""
    since = int((at.instant - found.since.instant).total_seconds())
    return f"; it is {roughly(since)} after {found.done.name}" if since >= 0 else ""


def coming_text(found: Next | None) -> str:
    """What comes next in words, and the line to type: “varnish it, from 3 March 2026, 18:00: tirage step add ...”."""
    if found is None:
        return ""
    when = f", {found.when()}" if found.wait else ""
    return f"{found.does}{when}: {found.command}"


def _words(connection: sqlite3.Connection, step: StepOfItem, ultraviolet: bool) -> list[str]:
    words = [f"{step.kind} (ultraviolet)" if ultraviolet else step.kind]
    if step.bath_text:
        words[0] += f": {step.bath_text} ({step.bath_code})"
    if step.washer:
        words[0] += f" in “{step.washer}”"
    if step.seconds:
        words.append(format_duration(step.seconds))
    elif step.joined:
        words.append(f"in at {step.joined[11:16]}" + (f", out at {step.left_at[11:16]}" if step.left_at else ""))
    if step.celsius is not None:
        words.append(format_temperature(step.celsius))
    words += [_detail(name, str(value)) for name, value in step.details.items() if name != "restarts"]
    if step.bath is not None and step.kind in (*AGEING, "sensitize"):
        bath = baths.read(connection, Coded(step.bath, step.bath_code, "bath"))
        words += _care(connection, bath, step) if step.kind == "sensitize" else _age(bath, step)
    return [*words, step.note] if step.note else words


def _detail(name: str, value: str) -> str:
    return f"{value} {name}" if name == "changes" else f"{name} {value}"


def _age(bath: Bath, step: StepOfItem) -> list[str]:
    """How old a bath was on the day of a step, where both days are known."""
    if not bath.mixed == bath.earliest == bath.latest or not step.happened == step.earliest == step.latest:
        return []
    days = (date.fromisoformat(step.happened) - date.fromisoformat(bath.mixed)).days
    return ["mixed that day"] if days == 0 else [f"{days} day{'' if days == 1 else 's'} old"] if days > 0 else []


def _care(connection: sqlite3.Connection, bath: Bath, step: StepOfItem) -> list[str]:
    """When the silver bath was last cared for before a step, and its strength as last measured."""
    done = [
        one
        for one in events_of(connection, bath.id)
        if one.kind != "promoted" and not later_than(one.moment, step.moment)
    ]
    strength = next((one.strength for one in reversed(done) if one.strength), "")
    words = [f"strength {strength}"] if strength else []
    if done:
        words.append(f"last cared for {parse_date(done[-1].happened).text()}: {done[-1].text}")
    return words
