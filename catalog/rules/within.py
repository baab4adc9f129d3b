"""Within a routine: whether something was worked as a routine says, and how long in each stage.

A print is **within** a routine when its paper is of the routine's stock; its chemistry, from its first fix on, is
exactly the routine's: one fix or two, then the wash aid and the toners that are named and no other, in any order
(several toners in theirs), each bath of the named name and dilution, fixing and wash aid at least as long; every wash
was in the routine's washer; and the washing after the last chemical step was at least as long, with at least the
changes, at least as warm and with no more sheets in it, where the routine names these. More rinses and washes are
welcome. Every day must be known, for a proof is of its days; only what speaks against a routine needs none.

A clean piece **vouches** for a print when it was not worked better: the chemical steps came in the same order, each
fixing and toning as long to a tenth (longer fixing loads the paper, and a toner takes silver out of it), the wash aid
and the water before each of them and after the last no more than a tenth longer than the print's; no more changes of
water; the water warmer by no more than 2 °C, where its temperature is recorded. These bounds have no source.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from catalog.quantities import format_duration, format_temperature
from catalog.records.loads import Wet
from catalog.records.routines import Manner, Routine, Terms
from catalog.rules.washing import step_word
from catalog.vocabulary import CHEMICAL_STEPS

MORE = 10  # a piece may have had one part in so many more of a stage than what it vouches for; no source
WARMER = 2_000  # thousandths of a degree by which its water may have been warmer; no source


class Bath(NamedTuple):
    """A chemical step: its kind, its seconds, and the seconds of washing since the one before it."""

    kind: str
    seconds: int
    water: int


class Stages(NamedTuple):
    """What decides what is left in a sheet: its baths in their order, its last wash, the changes and coldest of it."""

    baths: tuple[Bath, ...]
    wash: int
    changes: int = 0
    celsius: int | None = None


class Worked(NamedTuple):
    """How something was worked beside a routine: why not within it, or ""; its stages, its first and last day.

    `loose` says which day is not exact, or ""; `sheets` are the most in one wash after the last chemical step.
    """

    why_not: str
    stages: Stages
    first: str
    last: str
    loose: str = ""
    sheets: int = 0


NOTHING = Stages((), 0)


def least(terms: Terms | Routine, like: Stages) -> Stages:
    """The stages of what was worked like a piece, but no longer than a routine asks."""
    fixes = iter((terms.fix_seconds, terms.second_fix_seconds or 0))
    asked = {"wash aid": terms.wash_aid_seconds or 0}
    baths = (
        bath._replace(seconds=next(fixes) if bath.kind == "fix" else asked.get(bath.kind, bath.seconds))
        for bath in like.baths
    )
    return like._replace(baths=tuple(baths), wash=terms.wash_seconds)


def shortest(routine: Routine) -> Routine:
    """A routine that asks for the same chemistry and no least of anything: a clean piece that had less proves more."""
    return routine._replace(
        fix_seconds=1,
        second_fix_seconds=routine.second_fix_seconds and 1,
        wash_aid_seconds=routine.wash_aid_seconds and 1,
        wash_seconds=1,
        changes=None,
        celsius=None,
        sheets=None,
    )


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
    stages, sheets = _stages(ours, manners)
    return Worked(_not_washed(terms, ours, stages.wash, manners), stages, first, last, _days_unknown(ours), sheets)


def _stages(ours: list[Wet], manners: Mapping[int, Manner]) -> tuple[Stages, int]:
    """The stages of something from its fixing on, and the most sheets in its last wash."""
    baths: list[Bath] = []
    water, final = 0, list[Manner]()
    for wet in ours:
        if wet.kind == "wash":
            water += wet.seconds or 0
            final.append(manners[wet.step])
        elif wet.kind in CHEMICAL_STEPS:
            baths.append(Bath(wet.kind, wet.seconds or 0, water))
            water, final = 0, []
    warm = [one.celsius for one in final if one.celsius is not None]
    changes, sheets = sum(one.changes for one in final), max((one.sheets for one in final), default=0)
    return Stages(tuple(baths), water, changes, min(warm, default=None)), sheets


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
    """Whether a clean piece tells of another: it was not worked better, as the module says."""
    if len(piece.baths) != len(other.baths) or piece.changes > other.changes or _longer(piece.wash, other.wash):
        return False
    if piece.celsius is not None and (other.celsius is None or piece.celsius > other.celsius + WARMER):
        return False
    return all(
        ours.kind == theirs.kind
        and not _longer(ours.water, theirs.water)
        and not _longer(ours.seconds, theirs.seconds)
        and (ours.kind == "wash aid" or not _longer(theirs.seconds, ours.seconds))
        for ours, theirs in zip(piece.baths, other.baths, strict=True)
    )


def _longer(seconds: int, other: int) -> bool:
    return seconds * MORE > other * (MORE + 1)
