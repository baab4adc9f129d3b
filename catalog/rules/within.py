"""Within a routine: whether something was worked as a routine says, and how long in each stage.

A print is **within** a routine when its paper is of the routine's stock; its chemistry, from its first fix on, is
exactly the routine's: one fix or two, then the wash aid and the toners that are named and no other, in any order
(several toners in theirs), each bath of the named name and dilution, fixing and wash aid at least as long; every wash
was in the routine's washer; and the washing after the last chemical step was at least as long, with at least the
changes, at least as warm and with no more sheets in it, where the routine names these. More rinses and washes are
welcome. Every day must be known, for a proof is of its days.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from catalog.quantities import format_duration, format_temperature
from catalog.records.loads import Wet
from catalog.records.routines import Manner, Routine, Terms
from catalog.rules.washing import step_word, washing_of
from catalog.vocabulary import CHEMICAL_STEPS

MORE = 10  # a piece may have had one part in so many more of a stage than what it vouches for; no source


class Stages(NamedTuple):
    """The seconds of each stage that decides what is left in a sheet."""

    fix: int
    second_fix: int
    wash_aid: int
    wash: int


class Worked(NamedTuple):
    """How something was worked beside a routine: why not within it, or ""; its stages, its first and last day."""

    why_not: str
    stages: Stages
    first: str
    last: str


NOTHING = Stages(0, 0, 0, 0)


def least(terms: Terms | Routine) -> Stages:
    """The stages of what is worked within a routine and no longer than it asks."""
    return Stages(terms.fix_seconds, terms.second_fix_seconds or 0, terms.wash_aid_seconds or 0, terms.wash_seconds)


def worked(terms: Terms | Routine, wets: Sequence[Wet], manners: Mapping[int, Manner]) -> Worked:
    """How an item was worked beside a routine, its paper left aside; `wets` in time order."""
    start = next((place for place, wet in enumerate(wets) if wet.kind == "fix"), None)
    if start is None:
        return Worked("no fixing is recorded", NOTHING, "", "")
    ours = list(wets[start:])
    fixes = [wet for wet in ours if wet.kind == "fix"]
    aids = [wet for wet in ours if wet.kind == "wash aid"]
    first, last = ours[0].place.day, max(wet.place.day for wet in ours)
    why = _other_steps(ours) or _not_fixed(terms, fixes, manners) or _not_treated(terms, ours, aids, manners)
    if why:
        return Worked(why, NOTHING, first, last)
    stages = Stages(
        fixes[0].seconds or 0,
        (fixes[1].seconds or 0) if fixes[1:] else 0,
        sum(wet.seconds or 0 for wet in aids),
        washing_of(ours).seconds or 0,
    )
    return Worked(_not_washed(terms, ours, stages.wash, manners) or _days_unknown(ours), stages, first, last)


def _other_steps(ours: list[Wet]) -> str:
    other = next((wet for wet in ours if wet.kind in CHEMICAL_STEPS - {"fix", "wash aid", "tone"}), None)
    return f"a {step_word(other.kind)} came after the fixing" if other else ""


def _not_fixed(terms: Terms | Routine, fixes: list[Wet], manners: Mapping[int, Manner]) -> str:
    wanted = [terms.fix_seconds, *([terms.second_fix_seconds] if terms.second_fix_seconds else [])]
    if len(fixes) != len(wanted):
        return f"fixed {_times(len(fixes))}; the routine wants {_times(len(wanted))}"
    for name, fix, seconds in zip(("", "a second time "), fixes, wanted, strict=False):
        said = _other_bath("fixed", manners[fix.step].bath, terms.fixer)
        if said or (fix.seconds or 0) < seconds:
            return said or f"fixed {name}{_length(fix.seconds)}; the routine wants {format_duration(seconds)}"
    return ""


def _not_treated(terms: Terms | Routine, ours: list[Wet], aids: list[Wet], manners: Mapping[int, Manner]) -> str:
    chemical = [wet.kind for wet in ours if wet.kind in CHEMICAL_STEPS]
    if "fix" in chemical[sum(kind == "fix" for kind in chemical) :]:
        return "fixed again after another bath; the routine fixes first"
    if len(aids) != bool(terms.wash_aid):
        wanted = f"wants “{terms.wash_aid}” once" if terms.wash_aid else "has none"
        return f"{f'wash aid used {_times(len(aids))}' if aids else 'no wash aid'}; the routine {wanted}"
    for aid in aids:
        said = _other_bath("wash aid used", manners[aid.step].bath, terms.wash_aid)
        if said or (aid.seconds or 0) < (terms.wash_aid_seconds or 0):
            wanted = format_duration(terms.wash_aid_seconds or 0)
            return said or f"wash aid used {_length(aid.seconds)}; the routine wants {wanted}"
    toner = "; ".join(manners[wet.step].bath or "a toner not recorded" for wet in ours if wet.kind == "tone")
    if folded(toner) != folded(terms.toner):
        wanted = f"wants “{terms.toner}”" if terms.toner else "does not tone"
        return f"toned in “{toner}”; the routine {wanted}" if toner else f"not toned; the routine {wanted}"
    return ""


def _not_washed(terms: Terms | Routine, ours: list[Wet], seconds: int, manners: Mapping[int, Manner]) -> str:
    last = max(place for place, wet in enumerate(ours) if wet.kind in CHEMICAL_STEPS)
    washes = [wet for wet in ours if wet.kind == "wash"]
    final = [manners[wet.step] for wet in ours[last + 1 :] if wet.kind == "wash"]
    if not final or any(wet.inside for wet in washes):
        return "it is in the wash still" if final else "no wash is recorded after the last chemical step"
    if any(manners[wet.step].washer is None for wet in washes):
        return "the washer of a wash is not recorded"
    if any(manners[wet.step].washer != terms.washer for wet in washes):
        return "washed in another washer"
    if seconds < terms.wash_seconds:
        wanted = format_duration(terms.wash_seconds)
        return f"washed {_length(seconds or None)} after the last chemical step; the routine wants {wanted}"
    changes, warm = sum(one.changes for one in final), [one.celsius for one in final]
    if terms.changes and changes < terms.changes:
        return f"{changes or 'no'} changes of water are recorded; the routine wants {terms.changes}"
    if terms.celsius is not None and not all(one is not None and one >= terms.celsius for one in warm):
        known = [format_temperature(one) for one in warm if one is not None]
        said = f"washed at {', '.join(known)}" if len(known) == len(warm) else "the water's temperature is not recorded"
        return f"{said}; the routine wants at least {format_temperature(terms.celsius)}"
    most = max(one.sheets for one in final)
    if terms.sheets and most > terms.sheets:
        return f"{most} sheets in one wash; the routine allows {terms.sheets}"
    return ""


def _days_unknown(ours: list[Wet]) -> str:
    loose = next((wet for wet in ours if wet.latest), None)
    return f"the day of the {step_word(loose.kind)} is not exact" if loose else ""


def _other_bath(done: str, bath: str, wanted: str) -> str:
    if folded(bath) == folded(wanted):
        return ""
    return f"{done} in {f'“{bath}”' if bath else 'a bath that is not recorded'}; the routine wants “{wanted}”"


@lru_cache(maxsize=4096)
def folded(text: str) -> str:
    """A text as it is compared: in any case, blanks as one."""
    return " ".join(text.split()).casefold()


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _length(seconds: int | None) -> str:
    return format_duration(seconds) if seconds is not None else "for a time not recorded"


def vouches(piece: Stages, other: Stages) -> bool:
    """Whether a clean piece tells of another: no stage of it was more than a tenth longer."""
    return all(theirs * MORE <= ours * (MORE + 1) for theirs, ours in zip(piece, other, strict=True))
