"""Diffusion and two compartments, against worked tables and against other ways to reckon them."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm
from scipy.special import erfc

from catalog.formulas.diffusion import (
    fraction_left,
    late_half_time,
    seconds_until,
    short_form,
    time_until,
    two_compartments,
)

# J. Crank, The Mathematics of Diffusion, plane sheet; worked out independently: T, series, short form.
SERIES = [
    (0.001, 0.964318, 0.964318), (0.01, 0.887162, 0.887162), (0.05, 0.747687, 0.747687),
    (0.1, 0.643177, 0.643175), (0.2, 0.495912, 0.495373), (0.5, 0.236050, None),
    (1.0, 0.0687403, None), (2.0, 0.00582952, None), (3.0, 4.9437e-4, None),
]  # fmt: skip
# The same the other way, worked out independently: fraction left, T.
INVERSE = [(0.5, 0.196731), (0.1, 0.848085), (0.01, 1.781288), (0.001, 2.714491), (1e-4, 3.647693)]
# A sheet open on both sides, L half its thickness, worked out independently: thickness in metres, m²/s, minutes, left.
SHEETS = [
    (0.25e-3, 1e-10, 1, 0.3143), (0.25e-3, 1e-10, 2, 0.1218), (0.25e-3, 1e-10, 5, 0.007102),
    (0.25e-3, 1e-10, 10, 6.222e-5), (0.40e-3, 1e-10, 1, 0.5631), (0.40e-3, 1e-10, 2, 0.3868),
    (0.40e-3, 1e-10, 5, 0.1274), (0.40e-3, 1e-10, 10, 0.02002),
    (0.25e-3, 3e-10, 1, 0.04724), (0.25e-3, 3e-10, 2, 0.002753), (0.25e-3, 3e-10, 5, 5.451e-7),
]  # fmt: skip
# Two exponentials, 0.95 halving every 2 minutes and 0.05 every 20, worked out independently: minutes, left.
COMPARTMENTS = [(0, 1.0), (5, 0.209983), (10, 0.0650428), (30, 0.0177067), (60, 0.0062500)]

times = st.floats(1e-6, 20)


def by_images(time: float) -> float:
    """The same layer by reflected sources (error functions) in place of the sine series."""

    def ierfc(x: float) -> float:
        return math.exp(-x * x) / math.sqrt(math.pi) - x * float(erfc(x))

    images = sum((-1) ** n * ierfc(n / math.sqrt(time)) for n in range(1, 60))
    return 1 - 2 * math.sqrt(time) * (1 / math.sqrt(math.pi) + 2 * images)


@pytest.mark.parametrize(("time", "left", "short"), SERIES)
def test_series(time: float, left: float, short: float | None) -> None:
    assert fraction_left(time) == pytest.approx(left, rel=1e-5, abs=6e-7 if left > 0.01 else 0)
    assert short is None or short_form(time) == pytest.approx(short, abs=6e-7)


@pytest.mark.parametrize(("left", "time"), INVERSE)
def test_inverse(left: float, time: float) -> None:
    assert time_until(left) == pytest.approx(time, abs=6e-7)


@pytest.mark.parametrize(("thickness", "diffusion", "minutes", "left"), SHEETS)
def test_sheets(thickness: float, diffusion: float, minutes: float, left: float) -> None:
    layer = thickness / 2
    assert fraction_left(diffusion * minutes * 60 / layer**2) == pytest.approx(left, rel=5e-4)
    assert seconds_until(left, layer, diffusion) == pytest.approx(minutes * 60, rel=5e-4)


def test_late_half_time_of_an_emulsion() -> None:
    # 40 µm open on one side, 4e-10 m²/s, worked out independently: 1.12 s.
    assert late_half_time(40e-6, 4e-10) == pytest.approx(1.12, abs=0.005)


@given(st.floats(1e-6, 3.0))
def test_series_by_images(time: float) -> None:
    assert fraction_left(time) == pytest.approx(by_images(time), abs=1e-12)


@pytest.mark.parametrize("time", [0.02, 0.1, 0.5, 1.0])
def test_series_by_cells(time: float) -> None:
    """Cut into 400 cells, with the exact exponential of the whole: a numerical solution of the equation itself."""
    cells = 400
    laplace = np.diag(np.full(cells, -2.0)) + np.diag(np.ones(cells - 1), 1) + np.diag(np.ones(cells - 1), -1)
    laplace[0, 0], laplace[-1, -1] = -3.0, -1.0  # clean water half a cell away; sealed
    left = expm(laplace * cells**2 * time) @ np.ones(cells)
    assert fraction_left(time) == pytest.approx(float(left.mean()), abs=2e-5)


@given(times, times)
def test_less_is_left_later(one: float, other: float) -> None:
    early, late = sorted((one, other))
    assert 0 <= fraction_left(late) <= fraction_left(early) <= 1


@given(st.floats(1e-8, 0.9999))
def test_there_and_back(left: float) -> None:
    assert fraction_left(time_until(left)) == pytest.approx(left, rel=1e-9)


@pytest.mark.parametrize(("minutes", "left"), COMPARTMENTS)
def test_two_compartments(minutes: float, left: float) -> None:
    half = math.log(2)
    assert two_compartments(minutes, 0.95, half / 2, 0.05, half / 20) == pytest.approx(left, rel=1e-5)


def test_beginning_and_nonsense() -> None:
    assert fraction_left(0) == fraction_left(-1) == 1
    for call in (
        lambda: time_until(0),
        lambda: time_until(1.1),
        lambda: late_half_time(0, 1),
        lambda: seconds_until(0.5, 1, 0),
    ):
        with pytest.raises(ValueError, match=r"."):
            call()
