"""The bound on a wash: how far its water alone could dilute what a load carried in, at the very best, and no more."""

import sqlite3
from collections.abc import Sequence

from catalog.formulas.washing import changes_needed, dilution_bound, flow_bound, plate_bound, washing_factor
from catalog.quantities import format_duration, format_flow, format_temperature, format_volume, parse_volume
from catalog.records import settings, steps, washers
from catalog.records.items import Coded
from catalog.records.loads import timelines
from catalog.records.steps import Step
from catalog.records.washers import Washer

CARRIED = "carried-over"
WHY = (
    "That is the bound for perfect mixing and nothing held back. Paper holds back: its fibres and baryta give hypo up "
    "slowly, and the slower the less remains (Clerc, Photography, section 607). It is never evidence that a print is "
    "clean."
)
PLATE_LEAST = 20  # minutes, US Navy basic photography training course
A_THOUSANDTH = 1e-3
SOURCE = "US Army TM 11-2323"
NONE_PUBLISHED = "at 1.7 °C, the coldest it is published for, it is 4 times the usual time"
USUAL = 20_000  # thousandths of a degree, from which on the usual time holds
PUBLISHED_AT = (10_000, 1_667)  # 50 and 35 °F


def of_changes(washer: Washer, sheets: int, changes: int, carried: str) -> str:
    """What is left at best after so many changes of a tray that holds so many sheets. The volume must be known."""
    assert washer.volume is not None
    left = dilution_bound(parse_volume(carried) * sheets, washer.volume, changes)
    times = "1 change" if changes == 1 else f"{changes} changes"
    return (
        f"At the very best {part(left)} of the hypo carried in is left after {times} of "
        f"{format_volume(washer.volume)}, with {_sheets(sheets)} ({carried} carried over with each at every change)."
    )


def of_flow(washer: Washer, sheets: int, seconds: int, carried: str) -> str:
    """The same of running water, from what the sheets carried into the vessel. Volume and flow must be known."""
    assert washer.volume is not None and washer.flow is not None
    entered = dilution_bound(parse_volume(carried) * sheets, washer.volume, 1)
    left = entered * flow_bound(washer.flow, washer.volume, seconds / 60)
    return (
        f"At the very best {part(left)} of the hypo carried in is left after {format_duration(seconds)} at "
        f"{format_flow(washer.flow)} through {format_volume(washer.volume)}, with {_sheets(sheets)} ({carried} carried "
        f"in with each)."
    )


def fewest_changes(washer: Washer, sheets: int, carried: str) -> str:
    """How many changes a thousandth takes even at best. The volume must be known."""
    assert washer.volume is not None
    changes = changes_needed(parse_volume(carried) * sheets, washer.volume, A_THOUSANDTH)
    times = "1 change" if changes == 1 else f"{changes} changes"
    return (
        f"Fewer than {times} of {format_volume(washer.volume)} cannot bring {_sheets(sheets)} to a thousandth, even at "
        f"best."
    )


def of_step(connection: sqlite3.Connection, step: Step) -> list[str]:
    """The bound of one recorded wash, as far as its washer and its length are known, and why it is a bound only."""
    if step.kind != "wash" or not step.washer:
        return []
    washer = washers.by_name(connection, step.washer)
    carried = settings.value(connection, CARRIED)
    things = steps.items_of(connection, step)
    sheets = len(things) + step.sheets
    changes, seconds = step.details.get("changes"), step.seconds or _counted(connection, step, things)
    lines = []
    if washer.volume and isinstance(changes, int):
        lines.append(of_changes(washer, sheets, changes, carried))
    elif washer.volume and washer.flow and seconds:
        lines.append(of_flow(washer, sheets, seconds, carried))
    if lines and any(thing.kind != "negative" for thing in things):
        lines.append(WHY)
    if seconds and any(thing.kind == "negative" for thing in things):
        lines.append(_plate(seconds))
    if step.celsius is not None and (cold := colder(step.celsius)):
        lines.append(cold)
    return lines


def time_factor(celsius: int) -> float | None:
    """How many times as long a wash takes at thousandths of a degree; None where it is too cold for any figure."""
    try:
        return washing_factor(celsius / 1_000)
    except ValueError:
        return None


def colder(celsius: int, *, always: bool = False) -> str:
    """What cold water does to the time of a wash, in thousandths of a degree; "" for water warm enough."""
    shown, factor = format_temperature(celsius), time_factor(celsius)
    if factor is None:
        return f"At {shown} no figure is published; {NONE_PUBLISHED} ({SOURCE})."
    if factor == 1:
        return f"At {shown} the usual time holds." if always else ""
    return f"At {shown} multiply the usual time by {factor:.1f} ({_source(celsius)})."


def time_row(celsius: int) -> dict[str, object]:
    """The same as data: the factor, None where there is none, whose it is, and whether it was worked out here."""
    factor = time_factor(celsius)
    return {
        "time_factor": factor,
        "time_factor_source": SOURCE if factor is None else _source(celsius),
        "time_factor_derived": factor not in (None, 1) and celsius not in PUBLISHED_AT,
        "time_factor_note": f"no figure is published; {NONE_PUBLISHED}" if factor is None else "",
    }


def part(fraction: float) -> str:
    """A fraction as a person reads it: “2.5 %”, “1 part in 4,000”."""
    if fraction >= 0.01:
        return f"{float(f'{fraction * 100:.2g}'):g} %"
    if fraction < 1e-9:
        return "less than 1 part in 1,000,000,000"
    return f"1 part in {_two_digits(1 / fraction):,}"


def _source(celsius: int) -> str:
    return SOURCE + ("" if celsius >= USUAL or celsius in PUBLISHED_AT else ", derived here between its points")


def _plate(seconds: int) -> str:
    least = "" if seconds >= PLATE_LEAST * 60 else f"; {PLATE_LEAST} min with a full change every 3 min are its least"
    return (
        f"A plate or film in direct contact with running water loses half of its hypo each minute: at best "
        f"{part(plate_bound(seconds / 60))} is left (US Navy basic photography course){least}."
    )


def _counted(connection: sqlite3.Connection, step: Step, things: Sequence[Coded]) -> int | None:
    """The shortest washing in a load that counts, in seconds; None while something is in it still."""
    of = timelines(connection, [thing.id for thing in things]).of
    wets = [wet for wetted in of.values() for wet in wetted if wet.step == step.id]
    if any(wet.inside or wet.seconds is None for wet in wets):
        return None
    return min((wet.seconds or 0 for wet in wets), default=None)


def _sheets(count: int) -> str:
    return "1 sheet" if count == 1 else f"{count} sheets"


def _two_digits(number: float) -> int:
    scale = 10 ** max(0, len(str(int(number))) - 2)
    return round(number / scale) * scale
