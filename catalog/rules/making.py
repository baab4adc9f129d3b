"""The making of a plate as a table of stages: what a step brought it to, and what comes next, from when on."""

import sqlite3
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from catalog.dates import Moment, later_than
from catalog.events import Event
from catalog.quantities import format_duration, parse_duration
from catalog.records import negatives, settings, steps
from catalog.records.items import Coded, shorten
from catalog.records.negatives import Negative, NegativeEvent
from catalog.records.steps import Step, StepOfItem
from catalog.rules.waiting import typed


class Stage(NamedTuple):
    """One stage of the making: its step, what to do, what the plate is then, and what may come next."""

    name: str
    kind: str  # of the step
    does: str  # {} stands for how long
    done: str  # of a plate: “was fixed”
    then: tuple[str, ...]  # names of what may follow, the usual one first
    takes: str = ""  # the setting that says how long it lasts
    waits: str = ""  # the setting that says how long the plate then waits


# The order is common practice, no source; that redevelopment may come before fixing: Estabrooke (public domain).
STAGES = (
    Stage("glass", "clean glass", "clean the glass and smooth its edges", "cleaned", ("sub", "collodion")),
    Stage("sub", "albumen sub", "sub it with albumen", "subbed", ("collodion",)),
    Stage("collodion", "collodion", "pour the collodion", "coated", ("sensitizing",)),
    Stage("sensitizing", "sensitize", "sensitize it in the silver bath", "sensitized", ("exposure",)),
    Stage("exposure", "expose", "expose it while it is wet", "exposed", ("development",)),
    Stage("development", "develop", "develop it", "developed", ("stop",)),
    Stage("stop", "rinse", "stop it with water", "stopped", ("fixing",)),
    Stage("fixing", "fix", "fix it until it is clear", "fixed", ("wash after fixing",)),
    Stage(
        "wash after fixing", "wash", "wash it for {}", "washed", ("iodine", "wetting agent"), "wash-after-fix"
    ),
    Stage("iodine", "iodine", "treat it with iodine for {}, if it needs density", "treated with iodine",
          ("rinse after iodine",), "iodine-for"),
    Stage("rinse after iodine", "rinse", "rinse off the iodine", "rinsed", ("ultraviolet",)),
    Stage("ultraviolet", "expose", "expose it to ultraviolet for {}", "exposed to ultraviolet", ("redevelopment",),
          "ultraviolet-for"),
    Stage("redevelopment", "redevelop", "redevelop it by inspection", "redeveloped", ("wash after redevelopment",)),
    Stage("wash after redevelopment", "wash", "wash it for {}", "washed after redevelopment",
          ("wetting agent", "iodine"), "wash-after-redevelopment"),
    Stage("wetting agent", "wetting agent", "bathe it in wetting agent and distilled water", "bathed in wetting agent",
          ("drying",)),
    Stage("drying", "dry", "lay it to dry", "drying", ("varnishing",), waits="varnish-after"),
    Stage("varnishing", "varnish", "varnish it", "varnished", ("printing",), waits="cure-for"),
    Stage("curing", "cure", "let it cure", "curing", ("printing",), waits="cure-for"),
    Stage("printing", "", "make prints of it", "ready", ()),
)  # fmt: skip
BY_NAME = {stage.name: stage for stage in STAGES}
RANK = {stage.name: rank for rank, stage in enumerate(STAGES)}
# A plate that is no wet collodion goes through these alone, and is ready when it is dry.
PLAIN = ("exposure", "development", "stop", "fixing", "wash after fixing", "wetting agent", "drying", "printing")
COLLODION_STEPS = ("collodion", "sensitize", "varnish")
STATE_OF_STEP = {"dry": "drying", "varnish": "varnished", "cure": "curing"}
STAGE_OF_STATE = {"drying": "drying", "varnished": "varnishing", "curing": "curing"}
ONWARD = ("in process", "drying", "varnished", "curing", "ready")  # the states that follow one another
SETTINGS = tuple(sorted({name for stage in STAGES for name in (stage.takes, stage.waits) if name}))
# After which of these a wash, a rinse or an exposure comes says which stage it is.
ANCHORS = ("exposure", "development", "stop", "fixing", "iodine", "redevelopment")
WASH_AFTER = {
    "exposure": "stop",
    "development": "stop",
    "stop": "stop",
    "iodine": "rinse after iodine",
    "redevelopment": "wash after redevelopment",
}
RINSE_AFTER = {"development": "stop", "stop": "stop", "iodine": "rinse after iodine"}
ONE_STAGE = {
    **{stage.kind: stage.name for stage in STAGES if stage.kind not in ("", "wash", "rinse", "expose")},
    "stop": "stop",
    "tone": "redevelopment",  # a plate that is toned is strengthened
    "wash aid": "fixing",
}


class Next(NamedTuple):
    """What can be done to a plate next, and from when on: an instant, or a day where no clock is known."""

    done: Stage | None  # the last stage; None when nothing is recorded
    since: Moment
    stage: Stage
    does: str
    wait: int  # seconds, 0: at once
    at: datetime | None
    on: date | None
    command: str

    def when(self) -> str:
        """From when on, for a sentence: “from 3 March 2026, 18:00”, “after 24 h”, “now”."""
        if self.at is not None:
            return f"from {_day(self.at.date())}, {self.at:%H:%M}"
        if self.on is not None:
            return f"from {_day(self.on)}"
        return f"after {roughly(self.wait)}" if self.wait else "now"


def roughly(seconds: int) -> str:
    """A length of time as a person says it: “3 days”, “18 h”, “5 min”."""
    if seconds >= 172_800:
        return f"{seconds // 86_400} days"
    return f"{seconds // 3600} h" if seconds >= 3600 else f"{max(1, -(-seconds // 60))} min"


def stages(history: Sequence[StepOfItem]) -> list[Stage | None]:
    """The stage of each step of a plate; None for one that moves it no further, such as spotting."""
    found: list[Stage | None] = []
    anchor = ""
    for step in history:
        name = _stage_name(step, anchor)
        if name in ANCHORS:
            anchor = name
        found.append(BY_NAME.get(name))
    return found


def waits(connection: sqlite3.Connection) -> dict[str, int]:
    """Seconds of every wait of the making, as the settings have them."""
    return {name: parse_duration(settings.value(connection, name)) for name in SETTINGS}


def next_stage(
    plate: Negative, state_since: Moment, history: Sequence[StepOfItem], seconds: Mapping[str, int]
) -> Next | None:
    """What comes next for a plate, or None when it is made, gone or put away."""
    if plate.state not in ONWARD or plate.state == "ready":
        return None
    wet = "collodion" in plate.process.casefold() or any(step.kind in COLLODION_STEPS for step in history)
    found = stages(history)
    done, since = BY_NAME.get(STAGE_OF_STATE.get(plate.state, "")), state_since
    last = max((place for place, stage in enumerate(found) if stage), default=-1)
    if last >= 0 and _counts(plate.state, state_since, found[last], history[last].moment):
        done, since = found[last], history[last].moment
        more = _washed_too_little(plate.code, history[last], found, history, seconds)
        if more is not None:
            return more
    names = _following(done, wet, BY_NAME["fixing"] in found)
    stage = BY_NAME[names[0]]
    does = ", or ".join(_does(BY_NAME[name], seconds) for name in names)
    wait = seconds[done.waits] if done and done.waits else 0
    at = since.instant + timedelta(seconds=wait) if since.instant and wait else None
    on = None
    if at is None and wait and since.latest:
        on = date.fromisoformat(since.latest) + timedelta(days=-(-wait // 86_400))
    return Next(done, since, stage, does, wait, at, on, command(stage, [plate.code], seconds))


def command(stage: Stage, codes: Sequence[str], seconds: Mapping[str, int]) -> str:
    """The line that records a stage."""
    names = typed(codes)
    if stage.name == "printing":
        return f"tirage negative state {names} ready"
    kind = f'"{stage.kind}"' if " " in stage.kind else stage.kind
    verb = stage.kind if stage.kind in ("fix", "wash", "dry") else f"step add {kind}"
    length = f" {_typed_length(seconds[stage.takes])}" if stage.takes else ""
    return f"tirage {verb} {names}{length}"


def follow(connection: sqlite3.Connection, event: Event, step: Step, things: Sequence[Coded]) -> list[str]:
    """Let the state of plates follow from a step that was recorded, forward only; the sentences to say.

    What is told late, before the newest state, changes nothing; neither does a plate that is retired or gone.
    """
    state = STATE_OF_STEP.get(step.kind)
    if state is None:
        return []
    moved: dict[str, list[str]] = {}
    seconds = waits(connection)
    for thing in things:
        if thing.kind != "negative" or not _goes_on(negatives.events(connection, thing.id), state, step.moment):
            continue
        negatives.enter_state(connection, event.noted(), thing, state)
        plate = negatives.read(connection, thing.id)
        coming = next_stage(plate, step.moment, steps.history(connection, thing.id), seconds)
        assert coming is not None, state
        moved.setdefault(f"{coming.does} {coming.when()}", []).append(thing.code)
    return [
        f"{shorten(codes)} {'is' if len(codes) == 1 else 'are'} {state}; "
        f"{words if len(codes) == 1 else words.replace(' it', ' them', 1)}."
        for words, codes in moved.items()
    ]


def _goes_on(events: Sequence[NegativeEvent], state: str, moment: Moment) -> bool:
    newest = events[-1]
    if newest.state not in ONWARD:
        return False
    at = newest.moment
    if newest.state == state:
        return later_than(moment, at)  # dried once more: the wait begins anew
    late = later_than(at, moment) and not (len(events) == 1 and newest.state == "in process")
    return not late and ONWARD.index(state) > ONWARD.index(newest.state)


def _counts(state: str, state_since: Moment, stage: Stage | None, moment: Moment) -> bool:
    """Whether the last step tells more of a plate than its state: it came later, or as late and is further on."""
    if state not in STAGE_OF_STATE or later_than(moment, state_since):
        return True
    if later_than(state_since, moment) or stage is None:
        return False
    return RANK[stage.name] >= RANK[STAGE_OF_STATE[state]]


def _stage_name(step: StepOfItem, anchor: str) -> str:
    if "before" in step.details:
        return ""  # a rinse told late
    if step.kind == "wash":
        return WASH_AFTER.get(anchor, "wash after fixing")
    if step.kind == "rinse":
        return RINSE_AFTER.get(anchor, "")
    if step.kind == "expose":
        light = str(step.details.get("light", "")).casefold()
        return "ultraviolet" if anchor == "iodine" or light.startswith(("ultraviolet", "uv")) else "exposure"
    return ONE_STAGE.get(step.kind, "")


def _following(done: Stage | None, wet: bool, fixed: bool) -> tuple[str, ...]:
    """The names of what may follow a stage; where there is no collodion, neither iodine nor varnish does."""
    if done is None:
        return ("glass", "collodion") if wet else ("exposure",)
    if not wet:
        return (next((name for name in PLAIN if RANK[name] > RANK[done.name]), "printing"),)
    return done.then if fixed or done.name != "wash after redevelopment" else ("fixing",)


def _washed_too_little(
    code: str,
    step: StepOfItem,
    found: Sequence[Stage | None],
    history: Sequence[StepOfItem],
    seconds: Mapping[str, int],
) -> Next | None:
    """The rest of a wash that is shorter than its setting, or that goes on; None when it was long enough."""
    done = found[history.index(step)]
    if done is None or done.kind != "wash":
        return None
    wanted = seconds[done.takes]
    if step.joined and not step.left_at:
        at = datetime.fromisoformat(step.joined) + timedelta(seconds=wanted)
        day = step.joined[:10]
        since = Moment(day, day, day, step.joined[11:])
        return Next(done, since, done, "take it out of the wash", wanted, at, None, f"tirage out {typed([code])}")
    begun = max((place for place, stage in enumerate(found) if stage and stage.name in ANCHORS), default=0)
    washed = [_length(one) for stage, one in list(zip(found, history, strict=True))[begun:] if stage is done]
    if None in washed or sum(filter(None, washed)) >= wanted:
        return None
    left = wanted - sum(filter(None, washed))
    words = f"wash it for {format_duration(left)} more"
    line = f"tirage wash {typed([code])} {_typed_length(left)}"
    return Next(done, step.moment, done, words, 0, None, None, line)


def _does(stage: Stage, seconds: Mapping[str, int]) -> str:
    return stage.does.format(format_duration(seconds[stage.takes])) if stage.takes else stage.does


def _length(step: StepOfItem) -> int | None:
    if step.joined and step.left_at:
        return int((datetime.fromisoformat(step.left_at) - datetime.fromisoformat(step.joined)).total_seconds())
    return step.seconds


def _typed_length(seconds: int) -> str:
    return f"{seconds}s" if seconds % 60 else f"{seconds // 60}m"


def _day(day: date) -> str:
    return Moment(day.isoformat(), "", "", "").text()
