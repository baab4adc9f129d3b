"""Wash trials: the curve through readings of what was left, and how long is long enough, within the readings."""

import math
import sqlite3
from typing import NamedTuple

from catalog.errors import TirageError
from catalog.formulas import decay, diffusion
from catalog.formulas.decay import Decay
from catalog.quantities import format_duration, format_residue
from catalog.records import calibrations
from catalog.records.calibrations import Calibration

HOLDS = "this paper, fixed and washed as these pieces were"


class TooFewToFitError(TirageError):
    """A wash trial whose readings give no falling curve."""

    def __init__(self, name: str, why: str) -> None:
        super().__init__(
            f"No curve goes through the readings of “{name}”: {why}; expected four readings above nothing, at three "
            f"times or more, falling as the wash goes on. Measure more pieces and give all of them a new name."
        )


class NotWithinReadingsError(TirageError):
    """A question that the readings do not reach."""


class Trial(NamedTuple):
    """A wash trial with its readings, as (minutes, micrograms a square centimetre), and its curve."""

    calibration: Calibration
    readings: tuple[tuple[float, float], ...]
    curve: Decay

    @property
    def fitted(self) -> tuple[tuple[float, float], ...]:
        """The readings that the curve goes through, in order of time."""
        return tuple(point for point in self.readings if point[1] > 0)[self.curve.left_out :]

    @property
    def early(self) -> tuple[tuple[float, float], ...]:
        """Earlier readings, which fall faster than the tail that was fitted."""
        return tuple(point for point in self.readings if point[1] > 0)[: self.curve.left_out]

    @property
    def nothing(self) -> tuple[float, ...]:
        """The minutes at which nothing was found."""
        return tuple(minutes for minutes, left in self.readings if not left)


class Answer(NamedTuple):
    """How long is enough, in seconds: surely, and as best estimated (None where that lies before the readings)."""

    sure: int
    best: int | None


def trial_of(connection: sqlite3.Connection, calibration: Calibration) -> Trial:
    """A wash trial with its curve. Raises TooFewToFitError."""
    points = calibrations.points_of(connection, calibration)
    readings = tuple(sorted((point.reading / 60, point.residue / 1_000) for point in points))
    try:
        curve = decay.fit([point for point in readings if point[1] > 0])
    except ValueError as problem:
        why = "what is left does not fall" if "fall" in str(problem) else "there are too few of them above nothing"
        raise TooFewToFitError(calibration.name, why) from None
    return Trial(calibration, readings, curve)


def answer(trial: Trial, target: int) -> Answer:
    """How long until under a target in nanograms a square centimetre. Raises NotWithinReadingsError."""
    curve = trial.curve
    found = decay.enough(curve, target / 1_000)
    goal, first, last = format_residue(target), _minutes(curve.first), _minutes(curve.last)
    if found.sure is not None:
        return Answer(_up(found.sure), None if found.best is None else _up(found.best))
    highest = {minutes: curve.limits(minutes)[1] for minutes in (curve.first, curve.last)}
    if max(highest.values()) <= target / 1_000:
        raise NotWithinReadingsError(
            f"Under {goal} already at {first}, the earliest reading that the curve goes through, with about "
            f"{_about(curve.at(curve.first))} left and at most {_about(highest[curve.first])} (95 %); how much sooner "
            f"is not worked out before it. Wash for {first}, or measure pieces washed for less and give all readings "
            f"a new name."
        )
    if curve.at(curve.last) > target / 1_000:
        raise NotWithinReadingsError(
            f"Not within these readings: at {last}, the last of them, about {_about(curve.at(curve.last))} is left, "
            f"still over {goal}, and nothing is worked out beyond it. Measure pieces washed for longer than {last}, "
            f"or after a wash aid, and give all readings a new name."
        )
    begun = first if found.best is None else _minutes(_up(found.best) / 60)
    best = f"lies before {first}, the first of them" if found.best is None else f"is {begun}"
    raise NotWithinReadingsError(
        f"Not surely within these readings: the best estimate {best}, but a reading at {last} may still be "
        f"{_about(highest[curve.last])} (95 %), over {goal}. Measure more pieces between {begun} and beyond {last}, "
        f"and give all readings a new name."
    )


def answer_sentence(trial: Trial, target: int, found: Answer) -> str:
    """The answer for a person at the sink."""
    best = f" (best estimate {format_duration(found.best)})" if found.best is not None else ""
    return (
        f"Under {format_residue(target)} after {format_duration(found.sure)}, by 95 % prediction limits{best}; "
        f"measured between {_minutes(trial.curve.first)} and {_minutes(trial.curve.last)}{where(trial.calibration)}; "
        f"scatter {share(trial.curve.scatter)}."
    )


def answer_row(trial: Trial, target: int, basis: str, found: Answer) -> dict[str, object]:
    """The answer as data: nanograms a square centimetre and seconds, with what the sentence says of them."""
    curve, calibration = trial.curve, trial.calibration
    return {
        "trial": calibration.name,
        "target": target,
        "target_basis": basis,
        "sure_seconds": found.sure,
        "best_seconds": found.best,
        "limits": "95 % prediction",
        "from_seconds": round(curve.first * 60),
        "to_seconds": round(curve.last * 60),
        "scatter": round(curve.scatter, 4),
        "model": model_words(trial),
        "paper": calibration.paper,
        "washer": calibration.washer,
        "method": calibration.method,
        "holds_for": HOLDS,
    }


def target_words(target: int, basis: str) -> str:
    """Whose figure the target is."""
    return f"{format_residue(target)} is the target here: {basis}."


def share(part: float) -> str:
    """A share in per cent: “4 %”, under ten with a decimal where it is small."""
    return f"{part * 100:.0f} %" if part >= 0.0095 else "under 1 %"


def where(calibration: Calibration) -> str:
    """On which paper, in which washer, by which method: “ on warm12 in slots1 by methylene blue”."""
    parts = (("on", calibration.paper), ("in", calibration.washer), ("by", calibration.method))
    return "".join(f" {word} {name}" for word, name in parts if name)


def model_words(trial: Trial) -> str:
    """Which curve it is, and what was left out of it."""
    curve = trial.curve
    half = f"late in the wash the residue halves every {_minutes(curve.late_half_time)}"
    if len(curve.parts) > 1:
        fast = math.log(2) / curve.parts[0][1]
        words = f"two exponentials: the first part halves every {_minutes(fast)}; {half}"
    elif curve.left_out:
        many = "1 earlier reading falls" if curve.left_out == 1 else f"{curve.left_out} earlier readings fall"
        words = f"one exponential through the late tail; {many} faster and {'is' if curve.left_out == 1 else 'are'} "
        words += f"left out; {half}"
    else:
        words = f"one exponential; {half}"
    count = len(trial.nothing)
    if count:
        words += f"; {count} reading{'' if count == 1 else 's'} of nothing found kept, not fitted"
    return words


def diffusion_words(trial: Trial, thickness: float, coefficient: float) -> str:
    """What diffusion alone would take out of a sheet of so many metres open on both sides, at so many m²/s."""
    layer = thickness / 2
    half = diffusion.late_half_time(layer, coefficient) / 60
    hundredth = diffusion.seconds_until(0.01, layer, coefficient) / 60
    measured = trial.curve.late_half_time
    if measured > 2 * half:
        end = "so it is not diffusion that holds back what is left."
    else:
        end = "no slower than that: with these figures diffusion alone would explain it."
    return (
        f"Diffusion alone, with your figures (a wet sheet {thickness * 1e3:.3g} mm thick, both sides open, "
        f"{coefficient:.2g} m²/s), would leave 1 % after {_minutes(hundredth)} and then halve what is left every "
        f"{_minutes(half)}: a lower bound. These readings halve every {_minutes(measured)}, {end}"
    )


def _up(minutes: float) -> int:
    """Seconds, rounded up: to the minute, under ten minutes to five seconds."""
    step = 60 if minutes >= 10 else 5
    return math.ceil(round(minutes * 60 / step, 6)) * step


def _minutes(minutes: float) -> str:
    """Minutes in words, to the second under ten minutes."""
    seconds = minutes * 60
    if seconds < 1:
        return f"{seconds:.2g} s"
    return format_duration(round(seconds) if seconds < 600 else round(minutes) * 60)


def _about(micrograms: float) -> str:
    return f"{float(f'{micrograms:.2g}'):g} µg/cm²"
