"""Washing: how far a print was fixed and washed, as its wet steps have it."""

from typing import NamedTuple

from catalog.dates import parse_date
from catalog.records.loads import Wet
from catalog.records.step_order import instant_text
from catalog.vocabulary import CHEMICAL_STEPS


class Washing(NamedTuple):
    """How far a print was fixed and washed."""

    fixed: bool
    washed: bool
    seconds: int | None
    inside: str  # since when it is in the washer, or ""
    after_wash: str  # the last chemical step with no wash after it, or ""
    stops: bool  # that step was a fix or a tone
    restarted: str


def washing_of(wets: list[Wet]) -> Washing:
    """The washing that counts: what came after the last chemical step."""
    fixed = any(wet.kind == "fix" for wet in wets)
    last = max((i for i, wet in enumerate(wets) if wet.kind in CHEMICAL_STEPS), default=-1)
    washes = [wet for wet in wets[last + 1 :] if _is_wash(wet)]
    inside = next((wet.joined for wet in wets if wet.inside), "")
    done = [wet for wet in washes if not wet.inside]
    known = [wet.seconds for wet in done if wet.seconds is not None]
    stopping = any(wet.kind in ("fix", "tone") for wet in wets[_last_wash(wets) + 1 :])
    after_wash = ""
    if last >= 0 and not washes:
        after_wash = f"the {step_word(wets[last].kind)} of {parse_date(wets[last].happened).text()}"
    return Washing(
        fixed,
        bool(done) and not inside,
        sum(known) if known and not inside else None,
        inside,
        after_wash,
        stopping,
        max((wet.restarted for wet in washes), default=""),
    )


def _last_wash(wets: list[Wet]) -> int:
    return max((i for i, wet in enumerate(wets) if _is_wash(wet)), default=-1)


def _is_wash(wet: Wet) -> bool:
    """Whether water had any time to work: in and straight out again is no wash."""
    return wet.kind == "wash" and (wet.inside or wet.seconds != 0)


def doubts_of(washing: Washing) -> list[str]:
    """What casts doubt on a washing, one sentence each."""
    doubts = []
    if washing.inside:
        doubts.append(f"It is still in the wash, since {instant_text(washing.inside)}.")
    if washing.after_wash:
        doubts.append(f"No wash is recorded after {washing.after_wash}.")
    if washing.restarted:
        doubts.append(
            f"An unwashed item joined its wash on {instant_text(washing.restarted)}; the washing counts from then."
        )
    return doubts


def step_word(kind: str) -> str:
    """A kind of step as a noun in a sentence."""
    return {"tone": "toning", "fix": "fixing", "develop": "development", "stop": "stop bath"}.get(kind, kind)
