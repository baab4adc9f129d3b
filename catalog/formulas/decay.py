"""Decay: one exponential or two through what was left after so many minutes of wash, with its prediction limits.

Fitted to the logarithm of what was left, because the scatter of such readings is in proportion to them. The model is
chosen by a rule, stated at `fit`, so that the same readings always give the same answer.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from catalog.formulas.diffusion import two_compartments
from catalog.formulas.fits import LEVEL, Vector, inverted, line, normal_matrix, t_quantile

FEWEST, FEWEST_TIMES = 4, 3  # readings above nothing, and different times of them
FEWEST_FOR_TWO = 8  # of seven the correction of the criterion outweighs all but an exact fit; under it is none
_BENT = 0.95  # level of the test for a bend: of twenty trials with one phase it finds a second in one
_BEND_RATE = 10.0  # of the bend that is looked for: it fades e^-10 from the first reading to the last
_GAIN = 2.0  # by how much the criterion must be better before two exponentials are believed
_SMALLEST = 1e-12  # mean square of the logarithms under which readings are exact


class Decay(NamedTuple):
    """A fitted curve. Times in minutes; `parts` are (amount at the beginning, rate a minute), the fast one first."""

    parts: tuple[tuple[float, float], ...]
    deviation: float  # residual standard deviation of the logarithm
    freedom: int
    covariance: tuple[tuple[float, ...], ...]  # of the parameters, before the scatter is multiplied in
    first: float  # the earliest and the latest reading that was fitted
    last: float
    size: int  # readings that were fitted
    left_out: int  # earlier readings that fall faster than the tail

    def at(self, minutes: float) -> float:
        """What is left after so many minutes, as best estimated."""
        (slow, slow_rate) = self.parts[-1]
        fast, fast_rate = self.parts[0] if len(self.parts) > 1 else (0.0, 0.0)
        return two_compartments(minutes, fast, fast_rate, slow, slow_rate)

    def limits(self, minutes: float, level: float = LEVEL) -> tuple[float, float]:
        """Between what a further reading is expected: exact t for one exponential, delta method for two."""
        slopes = _gradient(self.parts, minutes)
        spread = sum(a * b * c for a, row in zip(slopes, self.covariance, strict=True)
                     for b, c in zip(slopes, row, strict=True))  # fmt: skip
        margin = t_quantile((1 + level) / 2, self.freedom) * self.deviation * math.sqrt(1 + max(spread, 0.0))
        best = self.at(minutes)
        return best * math.exp(-margin), best * math.exp(margin)

    @property
    def scatter(self) -> float:
        """The residual standard deviation as a share of the reading."""
        return math.expm1(self.deviation)

    @property
    def late_half_time(self) -> float:
        """Minutes in which what is left halves, late in the wash."""
        return math.log(2) / self.parts[-1][1]


class Enough(NamedTuple):
    """Minutes until a target: as best estimated, and with a reading's upper limit; None where outside the readings."""

    best: float | None
    sure: float | None


def fit(points: Iterable[tuple[float, float]]) -> Decay:
    """The curve through (minutes, what was left), all above nothing.

    One exponential goes through all readings unless their logarithms bend: unless a part that fades early, added to
    their straight line, is more than nothing by Student's t, one-sided, at 95 %. That is exact under equal normal
    scatter, so of twenty trials with one phase one at most is taken to have two; the shape of the part was chosen here
    by simulation. Of readings that bend two exponentials are taken if there are eight or more, the criterion AICc
    (Hurvich and Tsai 1989, from memory) is better by more than 2, and both phases are seen: the fast part is the
    larger at two times or more, the slow part at three or more. Else one exponential goes through the late tail alone:
    the earliest readings are left out, time by time, until the rest do not bend. Raises `ValueError` for fewer than
    four readings or three times, and where what is left does not fall.
    """
    ordered = sorted(points)
    if len(ordered) < FEWEST or _times(ordered) < FEWEST_TIMES or ordered[0][1] <= 0 or min(p[1] for p in ordered) <= 0:
        raise ValueError("four readings above nothing at three times or more")
    one = _one(ordered)
    if not _bends(ordered, one):
        return _falling(one)
    if len(ordered) >= FEWEST_FOR_TWO:
        two = _two(ordered)
        if two and _criterion(one, 2) - _criterion(two, 4) > _GAIN and _both_seen(two, ordered):
            return two
    return _falling(_tail(ordered))


def enough(decay: Decay, target: float, level: float = LEVEL) -> Enough:
    """After how many minutes what is left is at or under a target, within the readings that were fitted only.

    `sure` is the earliest minute from which on the upper prediction limit stays at or under the target. A time that
    would lie outside the readings is None: nothing is extrapolated.
    """
    steps = [decay.first + (decay.last - decay.first) * k / 400 for k in range(401)]
    return Enough(
        _crossing(decay.at, steps, target),
        _crossing(lambda minutes: decay.limits(minutes, level)[1], steps, target),
    )


def _crossing(height: Callable[[float], float], steps: Sequence[float], target: float) -> float | None:
    """The earliest time from which on a curve stays at or under the target; None if it never does or always did."""
    above = [k for k, minutes in enumerate(steps) if height(minutes) > target]
    if not above or above[-1] == len(steps) - 1:
        return steps[0] if not above and height(steps[0]) == target else None
    low, high = steps[above[-1]], steps[above[-1] + 1]
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if height(middle) > target else (low, middle)
    return high


def _one(ordered: Sequence[tuple[float, float]], left_out: int = 0) -> Decay:
    through = line([(minutes, math.log(left)) for minutes, left in ordered])
    mean, spread, count = through.mean, through.spread, through.size
    covariance = ((1 / count + mean * mean / spread, -mean / spread), (-mean / spread, 1 / spread))
    return Decay(
        ((math.exp(through.intercept), -through.slope),),
        through.deviation,
        count - 2,
        covariance,
        ordered[0][0],
        ordered[-1][0],
        count,
        left_out,
    )


def _falling(decay: Decay) -> Decay:
    if decay.parts[-1][1] <= 0:
        raise ValueError("what is left does not fall")
    return decay


def _bends(ordered: Sequence[tuple[float, float]], one: Decay) -> bool:
    """Whether early readings lie above the line of the others: the t of an added exp(-10 (t - t1) / (tn - t1))."""
    count, (first, last) = len(ordered), (ordered[0][0], ordered[-1][0])
    if count <= FEWEST:
        return False
    early = [math.exp(-_BEND_RATE * (minutes - first) / (last - first)) for minutes, _ in ordered]
    along = line([(minutes, share) for (minutes, _), share in zip(ordered, early, strict=True)])
    own = [share - along.at(minutes) for (minutes, _), share in zip(ordered, early, strict=True)]
    weight = math.fsum(share * share for share in own)
    if weight < _SMALLEST:  # the times are so few that a line takes it up
        return False
    part = math.fsum(share * math.log(left) for share, (_, left) in zip(own, ordered, strict=True)) / weight
    freedom = count - 3
    rest = max(one.deviation**2 * one.freedom - part * part * weight, _SMALLEST * count)
    return part * math.sqrt(weight) > t_quantile(_BENT, freedom) * math.sqrt(rest / freedom)


def _tail(ordered: Sequence[tuple[float, float]]) -> Decay:
    """One exponential through the late tail: the earliest time left out, and the next, until the rest do not bend."""
    start = 0
    while _bends(ordered[start:], _one(ordered[start:])):
        after = next(k for k, point in enumerate(ordered) if point[0] > ordered[start][0])
        if len(ordered) - after < FEWEST or _times(ordered[after:]) < FEWEST_TIMES:
            break
        start = after
    return _one(ordered[start:], start)


def _times(points: Sequence[tuple[float, float]]) -> int:
    return len({minutes for minutes, _ in points})


def _criterion(decay: Decay, parameters: int) -> float:
    """AICc, the scatter being one parameter more."""
    count, known = decay.size, parameters + 1
    square = max(decay.deviation**2 * decay.freedom / count, _SMALLEST)
    return count * math.log(square) + 2 * known + 2 * known * (known + 1) / (count - known - 1)


def _both_seen(two: Decay, ordered: Sequence[tuple[float, float]]) -> bool:
    (fast, fast_rate), (slow, slow_rate) = two.parts
    faster = {t for t, _ in ordered if fast * math.exp(-fast_rate * t) > slow * math.exp(-slow_rate * t)}
    return len(faster) >= 2 and len({t for t, _ in ordered} - faster) >= 3


def _two(ordered: Sequence[tuple[float, float]]) -> Decay | None:
    """Two exponentials by least squares of the logarithm, from several beginnings; None where they do not part."""
    best: tuple[float, Vector] | None = None
    for begun in _beginnings(ordered):
        squares, found = _descend(begun, ordered)
        if best is None or squares < best[0]:
            best = squares, found
    if best is None:
        return None
    squares, found = best
    parts = sorted(_parts(found), key=lambda part: -part[1])
    if any(not 0 < number < math.inf for part in parts for number in part) or parts[0][1] < 1.2 * parts[1][1]:
        return None
    covariance = inverted(normal_matrix([_gradient(parts, minutes) for minutes, _ in ordered]))
    if covariance is None:
        return None
    freedom = len(ordered) - 4
    return Decay(
        tuple(parts),
        math.sqrt(squares / freedom),
        freedom,
        tuple(map(tuple, covariance)),
        ordered[0][0],
        ordered[-1][0],
        len(ordered),
        0,
    )


def _parts(logarithms: Vector) -> list[tuple[float, float]]:
    numbers = [math.exp(min(max(number, -200.0), 200.0)) for number in logarithms]
    return [(numbers[0], numbers[1]), (numbers[2], numbers[3])]


def _beginnings(ordered: Sequence[tuple[float, float]]) -> list[Vector]:
    """Where to begin: the slope of the later half and shares of it, with a fast part several times as fast."""
    late = line([(t, math.log(y)) for t, y in ordered[len(ordered) // 2 - 1 :]]).slope
    span = ordered[-1][0] - ordered[0][0]
    slow = max(-late, 0.1 / span)
    found = []
    for share in (1.0, 0.5, 0.2):
        for times in (3.0, 10.0, 30.0):
            amounts = _amounts(slow * share * times, slow * share, ordered)
            found.append([math.log(amounts[0]), math.log(slow * share * times), math.log(amounts[1]),
                          math.log(slow * share)])  # fmt: skip
    return sorted(found, key=lambda begun: _squares(begun, ordered))[:4]


def _amounts(fast_rate: float, slow_rate: float, ordered: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Both amounts for given rates, by least squares of the relative error, kept above nothing."""
    pairs = [(math.exp(-fast_rate * t) / y, math.exp(-slow_rate * t) / y) for t, y in ordered]
    aa, ab, bb = (math.fsum(p[i] * p[j] for p in pairs) for i, j in ((0, 0), (0, 1), (1, 1)))
    a, b = math.fsum(p[0] for p in pairs), math.fsum(p[1] for p in pairs)
    whole = aa * bb - ab * ab
    least = ordered[-1][1] * 1e-3
    if whole <= 0:
        return max(ordered[0][1], least), least
    return max((a * bb - b * ab) / whole, least), max((b * aa - a * ab) / whole, least)


def _logarithm(parts: Sequence[tuple[float, float]], minutes: float) -> float:
    logs = [math.log(amount) - rate * minutes for amount, rate in parts]
    top = max(logs)
    return top + math.log(math.fsum(math.exp(log - top) for log in logs))


def _gradient(parts: Sequence[tuple[float, float]], minutes: float) -> Vector:
    """How the logarithm of what is left answers to each parameter: of one, ln m and k; of two, all their logarithms."""
    if len(parts) == 1:
        return [1.0, minutes]
    whole = _logarithm(parts, minutes)
    slopes: Vector = []
    for amount, rate in parts:
        share = math.exp(math.log(amount) - rate * minutes - whole)
        slopes += [share, -share * rate * minutes]
    return slopes


def _squares(logarithms: Vector, ordered: Sequence[tuple[float, float]]) -> float:
    parts = _parts(logarithms)
    return math.fsum((math.log(left) - _logarithm(parts, minutes)) ** 2 for minutes, left in ordered)


def _descend(begun: Vector, ordered: Sequence[tuple[float, float]]) -> tuple[float, Vector]:
    """Levenberg and Marquardt's descent: the sum of squares reached, and where."""
    here, squares, damping = begun, _squares(begun, ordered), 1e-3
    for _ in range(120):
        parts = _parts(here)
        slopes = [_gradient(parts, minutes) for minutes, _ in ordered]
        gaps = [math.log(left) - _logarithm(parts, minutes) for minutes, left in ordered]
        normal = normal_matrix(slopes)
        downhill = [math.fsum(row[k] * gap for row, gap in zip(slopes, gaps, strict=True)) for k in range(4)]
        while damping < 1e12:
            damped = [
                [value + (damping * (value + 1e-12) if i == j else 0.0) for j, value in enumerate(row)]
                for i, row in enumerate(normal)
            ]
            inverse = inverted(damped)
            if inverse is not None:
                step = [math.fsum(a * b for a, b in zip(row, downhill, strict=True)) for row in inverse]
                there = [a + max(min(b, 2.0), -2.0) for a, b in zip(here, step, strict=True)]
                after = _squares(there, ordered)
                if after < squares:
                    break
            damping *= 4
        else:
            return squares, here
        gained, moved = squares - after, max(map(abs, step))
        here, squares, damping = there, after, max(damping / 8, 1e-12)
        if gained <= 1e-15 * squares and moved < 1e-9:
            return squares, here
    return squares, here
