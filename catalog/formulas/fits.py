"""Fits: a straight line by least squares, normal matrices, and Student's t, for calibrations made by hand.

Pure arithmetic, so that a command needs no numerical library. Readings are put in order before they are summed: the
order in which they were typed changes nothing, not even the last place.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

Vector = list[float]
Matrix = list[list[float]]

LEVEL = 0.95  # of the limits that are told: 95 of 100 further readings fall between them


class Line(NamedTuple):
    """y = intercept + slope x, with the residual standard deviation and what prediction needs."""

    slope: float
    intercept: float
    deviation: float
    size: int
    mean: float
    spread: float  # sum of squares of x about its mean

    def at(self, x: float) -> float:
        """The line's y at x."""
        return self.intercept + self.slope * x

    def margin(self, x: float, level: float = LEVEL) -> float:
        """Half the width of the prediction interval of one further y at x; exact under equal normal scatter."""
        leverage = 1 + 1 / self.size + (x - self.mean) ** 2 / self.spread
        return t_quantile((1 + level) / 2, self.size - 2) * self.deviation * math.sqrt(leverage)

    def inverse(self, y: float) -> float:
        """The x that a reading of y stands for."""
        return (y - self.intercept) / self.slope

    def inverse_margin(self, y: float, level: float = LEVEL) -> float:
        """Half the width of the interval of that x, to the first order (classical calibration)."""
        return self.margin(self.inverse(y), level) / abs(self.slope)


def line(points: Sequence[tuple[float, float]]) -> Line:
    """The straight line through (x, y) by ordinary least squares.

    Raises `ValueError` for fewer than three points, or for one x only. Source: normal equations, textbook.
    """
    ordered = sorted(points)
    count = len(ordered)
    if count < 3 or ordered[0][0] == ordered[-1][0]:
        raise ValueError("a line needs three points, at two x or more")
    mean = math.fsum(x for x, _ in ordered) / count
    middle = math.fsum(y for _, y in ordered) / count
    spread = math.fsum((x - mean) ** 2 for x, _ in ordered)
    slope = math.fsum((x - mean) * (y - middle) for x, y in ordered) / spread
    intercept = middle - slope * mean
    squares = math.fsum((y - intercept - slope * x) ** 2 for x, y in ordered)
    return Line(slope, intercept, math.sqrt(squares / (count - 2)), count, mean, spread)


def normal_matrix(slopes: Sequence[Vector]) -> Matrix:
    """The normal matrix of rows of slopes: the sum of their outer products."""
    size = len(slopes[0])
    return [[math.fsum(row[i] * row[j] for row in slopes) for j in range(size)] for i in range(size)]


def inverted(matrix: Matrix) -> Matrix | None:
    """The inverse, by elimination with the largest pivot; None where there is none to speak of."""
    size = len(matrix)
    rows = [[*row, *(1.0 if i == j else 0.0 for j in range(size))] for i, row in enumerate(matrix)]
    for k in range(size):
        pivot = max(range(k, size), key=lambda i: abs(rows[i][k]))
        if abs(rows[pivot][k]) < 1e-14 * max(1e-300, max(abs(value) for value in matrix[k])):
            return None
        rows[k], rows[pivot] = rows[pivot], rows[k]
        head = rows[k][k]
        rows[k] = [value / head for value in rows[k]]
        for i in range(size):
            if i != k and rows[i][k]:
                factor = rows[i][k]
                rows[i] = [a - factor * b for a, b in zip(rows[i], rows[k], strict=True)]
    return [row[size:] for row in rows]


@lru_cache(maxsize=256)
def t_quantile(probability: float, freedom: int) -> float:
    """The value that Student's t with `freedom` degrees of freedom stays under with this probability.

    Found by bisection of the distribution function, an incomplete beta function (Abramowitz and Stegun, 26.7.1, from
    memory, checked against an independent library). Raises `ValueError` outside 0 to 1 and under one degree.
    """
    if not 0 < probability < 1 or freedom < 1:
        raise ValueError("a probability between 0 and 1, and a degree of freedom")
    if probability < 0.5:
        return -t_quantile(1 - probability, freedom)
    low, high = 0.0, 1.0
    while _t_below(high, freedom) < probability:
        high *= 2
    for _ in range(200):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        low, high = (middle, high) if _t_below(middle, freedom) < probability else (low, middle)
    return (low + high) / 2


def _t_below(value: float, freedom: int) -> float:
    """The distribution function of Student's t at a value of 0 or more."""
    return 1 - 0.5 * _beta(freedom / 2, 0.5, freedom / (freedom + value * value))


def _beta(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function, by its continued fraction."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    front = math.exp(math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x))
    if x > (a + 1) / (a + b + 2):
        return 1 - front * _fraction(b, a, 1 - x) / b
    return front * _fraction(a, b, x) / a


def _fraction(a: float, b: float, x: float) -> float:
    """The continued fraction of the incomplete beta function, by Lentz's method."""
    tiny = 1e-300
    above, below = 1.0, 1 / _not_nothing(1 - (a + b) * x / (a + 1), tiny)
    result = below
    for m in range(1, 1_000):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            below = 1 / _not_nothing(1 + term * below, tiny)
            above = _not_nothing(1 + term / above, tiny)
            result *= above * below
        if abs(above * below - 1) < 1e-15:
            break
    return result


def _not_nothing(value: float, tiny: float) -> float:
    return value if abs(value) > tiny else tiny
