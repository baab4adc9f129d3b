"""Exposures as people type them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import NotUnderstood
from catalog.stops import exact_stops, format_density, format_stops, format_time, parse_stops, parse_time

TIMES = {"10s": 10_000, "12.5 s": 12_500, "1m": 60_000, "2m30s": 150_000, "2:30": 150_000, "0.1s": 100, "5sec": 5_000}
STOPS = {"+1/3": 333, "-1/2": -500, "−1/4": -250, "1 1/2": 1_500, "0.5": 500, "⅓": 333, "1/4 stop": 250, "+2": 2_000}
FORMS = {333: "+1/3", -500: "−1/2", 1_500: "+1 1/2", 322: "+0.32", 999: "+1", 1_332: "+1 1/3", 4: "0", -2_000: "−2"}


@pytest.mark.parametrize(("text", "milliseconds"), TIMES.items())
def test_times(text: str, milliseconds: int) -> None:
    assert parse_time(text) == milliseconds


@pytest.mark.parametrize("text", ["", "10", "s", "-1s", "0s", "10 x", "1e3s", "25h", "１s"])
def test_no_time(text: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_time(text)


@pytest.mark.parametrize(("text", "thousandths"), STOPS.items())
def test_stops(text: str, thousandths: int) -> None:
    assert parse_stops(text) == thousandths


@pytest.mark.parametrize("text", ["", "0", "+", "1/0", "11", "third", "1/3/3", "1.5.2"])
def test_no_stops(text: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_stops(text)


@pytest.mark.parametrize(("thousandths", "text"), FORMS.items())
def test_stops_are_written(thousandths: int, text: str) -> None:
    assert format_stops(thousandths) == text


@given(st.integers(10, 10_000), st.booleans())
def test_stops_survive_being_written(thousandths: int, less: bool) -> None:
    value = -thousandths if less else thousandths
    assert abs(parse_stops(format_stops(value)) - value) <= 5


@given(st.integers(100, 119_900))
def test_times_survive_being_written(milliseconds: int) -> None:
    assert abs(parse_time(format_time(milliseconds)) - milliseconds) <= 50


def test_densities_are_written() -> None:
    assert [format_density(value) for value in (120, 2050, 125, -30, 0)] == ["0.12", "2.05", "0.125", "−0.03", "0.00"]


def test_a_third_is_a_third() -> None:
    assert exact_stops(333) == 1 / 3 and exact_stops(-667) == -2 / 3 and exact_stops(83) == 1 / 12
    assert exact_stops(125) == 0.125 and exact_stops(322) == 0.322 and exact_stops(1500) == 1.5
