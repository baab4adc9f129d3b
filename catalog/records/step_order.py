"""The order of steps: what can go through which of them, with which bath, and when."""

import sqlite3
from collections.abc import Sequence
from datetime import datetime

from catalog.dates import Moment, later_than
from catalog.errors import TirageError
from catalog.events import Event
from catalog.quantities import format_temperature
from catalog.records import baths
from catalog.records.baths import Bath
from catalog.records.items import Coded
from catalog.vocabulary import BATH_OF_STEP, STEP_KINDS, WET_STEPS

IN_WASHER = """SELECT i.step, i.joined, w.name FROM step_item i JOIN step s ON s.id = i.step
    JOIN washer w ON w.id = s.washer WHERE i.item = ? AND i.joined <> '' AND i.left_at = ''"""
FIXES = """SELECT s.happened, s.earliest, s.latest, s.clock FROM step_item i JOIN step s ON s.id = i.step
    WHERE i.item = ? AND s.kind = 'fix'"""
GONE = """SELECT happened, earliest, latest, clock FROM transfer WHERE item = ? AND kind = 'destruction'
    UNION ALL SELECT happened, earliest, latest, clock FROM negative_event WHERE negative = ? AND state = 'destroyed'"""
ITEM_KINDS = ("negative", "print", "control strip")
HOTTEST_WATER = 60_000  # thousandths of a degree; hotter melts gelatin long before (common practice, no source)
PLATE_ONLY = frozenset(
    {"clean glass", "albumen sub", "collodion", "sensitize", "iodine", "redevelop", "varnish", "cure"}
)
PAPER_ONLY = frozenset({"flatten", "spot"})


class StepKindError(TirageError):
    """A kind of step that does not exist."""

    def __init__(self, kind: str) -> None:
        super().__init__(f"“{kind}” is no step; expected one of {', '.join(STEP_KINDS)}.")


class WrongItemError(TirageError):
    """An item that cannot go through a kind of step."""

    def __init__(self, item: Coded, kind: str) -> None:
        goes = "prints, plates or control strips"
        if kind in PLATE_ONLY | PAPER_ONLY:
            goes = "plates and films (n1)" if kind in PLATE_ONLY else "prints (3) or control strips (k1)"
        super().__init__(
            f"{item.code} is a {item.kind}, and “{kind}” is not for that; expected {goes}. Name one of those."
        )


class NothingInStepError(TirageError):
    """A step without items."""

    def __init__(self, kind: str) -> None:
        super().__init__(
            f"Nothing went through this “{kind}”; expected at least one print, plate or control strip. "
            f"Name them, such as 1-6."
        )


class WrongBathError(TirageError):
    """A bath of a kind that the step does not take."""

    def __init__(self, bath: Bath, kind: str) -> None:
        wanted = BATH_OF_STEP.get(kind)
        expected = f"expected a {wanted}" if wanted else "this step takes no bath"
        super().__init__(
            f"{bath.code} is a {bath.kind} ({bath.text()}), and the step is “{kind}”; {expected}. "
            f"See: tirage bath list."
        )


class AfterGoneError(TirageError):
    """A step dated after its item was destroyed."""

    def __init__(self, item: Coded, gone: Moment, moment: Moment) -> None:
        super().__init__(
            f"{item.code} was destroyed on {gone.text()}, and this step is dated {moment.text()}, after "
            f"that; what is destroyed goes through nothing more. Name another, or give the date "
            f"with --on."
        )


class WashBeforeFixError(TirageError):
    """A wash dated before the first fix of its item."""

    def __init__(self, item: Coded, wash: Moment, fix: Moment) -> None:
        super().__init__(
            f"{item.code} would be washed before it was fixed: the wash is dated {wash.text()}, its first "
            f"fix {fix.text()}; expected a wash after the fix. Give its date with --on, or correct the "
            f"fix."
        )


class WaterTemperatureError(TirageError):
    """A bath of water that would be ice or boil a print."""

    def __init__(self, kind: str, celsius: int) -> None:
        super().__init__(
            f"A “{kind}” at {format_temperature(celsius)} cannot be; expected 0 to 60 °C. Was another scale meant, "
            f"such as 68F or 20C?"
        )


class StillInWasherError(TirageError):
    """An item that is in a washer and would be elsewhere at the same time."""

    def __init__(self, item: Coded, washer: str, joined: str) -> None:
        self.item = item
        super().__init__(
            f"{item.code} is in the washer “{washer}” since {instant_text(joined)}; it leaves before "
            f"anything else happens to it. Take it out first: tirage out {item.code}."
        )


def check(connection: sqlite3.Connection, event: Event, kind: str, items: Sequence[Coded], bath: Bath | None) -> None:
    """Whether items can have gone through a kind of step at that moment."""
    check_kind(kind)
    if not items:
        raise NothingInStepError(kind)
    if bath is not None:
        if BATH_OF_STEP.get(kind) != bath.kind:
            raise WrongBathError(bath, kind)
        baths.check_usable(bath, event.moment)
    for item in items:
        plate = item.kind == "negative"
        if item.kind not in ITEM_KINDS or (kind in PLATE_ONLY and not plate) or (kind in PAPER_ONLY and plate):
            raise WrongItemError(item, kind)
        _check_order(connection, event.moment, kind, item)


def check_kind(kind: str) -> None:
    """Whether there is such a step. Raises StepKindError."""
    if kind not in STEP_KINDS:
        raise StepKindError(kind)


def check_water(kind: str, celsius: int | None) -> None:
    """Whether a wet step can have been so warm, in thousandths of a degree. Raises WaterTemperatureError."""
    if celsius is not None and kind in WET_STEPS and not 0 <= celsius <= HOTTEST_WATER:
        raise WaterTemperatureError(kind, celsius)


def instant_text(instant: str) -> str:
    """An instant as a person writes it: “4 March 2026, 15:40”."""
    day, clock = instant[:10], instant[11:16]
    return Moment(day, day, day, clock).text()


def _check_order(connection: sqlite3.Connection, moment: Moment, kind: str, item: Coded) -> None:
    from catalog.records.made import check_made  # only where a step is recorded: every grade reads this module

    if item.kind != "negative" and kind not in ("expose", "develop"):
        check_made(connection, item, moment, "step")
    for row in connection.execute(GONE, (item.id, item.id)):
        if later_than(moment, Moment(*row)):
            raise AfterGoneError(item, Moment(*row), moment)
    if kind == "wash":
        fixes = [Moment(*row) for row in connection.execute(FIXES, (item.id,))]
        if fixes and all(later_than(fix, moment) for fix in fixes):
            raise WashBeforeFixError(item, moment, min(fixes, key=lambda fix: fix.sort_key))
    if kind in WET_STEPS or kind in ("dry", "wetting agent", "flatten"):
        inside = connection.execute(IN_WASHER, (item.id,)).fetchone()
        if inside and not _before(moment, inside["joined"]):
            raise StillInWasherError(item, inside["name"], inside["joined"])


def _before(moment: Moment, joined: str) -> bool:
    if moment.instant is not None:
        return moment.instant < datetime.fromisoformat(joined)
    return bool(moment.earliest) and moment.earliest <= joined[:10]  # the same day may be before
