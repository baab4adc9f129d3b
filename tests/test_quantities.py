"""Durations, temperatures, volumes, flows, residues and weights."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import NotUnderstood
from catalog.quantities import (
    format_duration,
    format_flow,
    format_residue,
    format_temperature,
    format_volume,
    format_weight,
    looks_like_duration,
    parse_duration,
    parse_flow,
    parse_residue,
    parse_temperature,
    parse_volume,
    parse_weight,
)

Reader = Callable[[str], int]

# Common practice, no source, unless said.
READ: list[tuple[Reader, str, int]] = [
    *((parse_duration, text, value) for text, value in {
        "1m": 60, "90s": 90, "1h30m": 5_400, "2:30": 150, "60min": 3_600, "1.5m": 90, "1:30:00": 5_400, "1 h": 3_600,
        "2 min 30 s": 150, "1h90m": 9_000, "2d": 172_800, "45 SEC": 45}.items()),
    *((parse_temperature, text, value) for text, value in {
        "20C": 20_000, "68F": 20_000, "20.5 °C": 20_500, "-18C": -18_000, "−18 °C": -18_000, "212 F": 100_000,
        "-40F": -40_000, "20 celsius": 20_000}.items()),
    # US gallon: 231 cubic inches; imperial gallon: 4.54609 l (definitions, from memory)
    *((parse_volume, text, value) for text, value in {
        "2l": 2_000, "500ml": 500, "1.5 L": 1_500, "25cl": 250, "1 gal us": 3_785, "1 US gallon": 3_785,
        "16 fl oz us": 473, "20 fl oz imp": 568, "1 gal imp": 4_546, "1 pint uk": 568}.items()),
    *((parse_flow, text, value) for text, value in {"2l/min": 2_000, "500 ml/min": 500, "120l/h": 2_000}.items()),
    # exact conversion: 1 in = 25.4 mm, 1 in² = 6.4516 cm²
    *((parse_residue, text, value) for text, value in {
        "0.014 g/m²": 1_400, "0.014g/m2": 1_400, "0.020 g/m²": 2_000, "0.030 g/m²": 3_000, "0.005 mg/in²": 775,
        "0.080 mg/in2": 12_400, "0.25 mg/in²": 38_750, "1.4ug/cm2": 1_400, "1.4 µg/cm²": 1_400, "1.4 μg/cm^2": 1_400,
        "1 mg/in2": 155_000, "0.009032 mg/in²": 1_400, "0 µg/cm²": 0}.items()),
    # grain 64.79891 mg, avoirdupois ounce 437.5 grains
    *((parse_weight, text, value) for text, value in {
        "250g": 250_000, "1.2kg": 1_200_000, "500 mg": 500, "1 gr": 65, "1 oz ap": 31_103, "1 oz av": 28_350,
        "60 grains": 3_888, "1 lb": 453_592}.items()),
]  # fmt: skip

# reader, text, what the sentence has to offer
REFUSED: list[tuple[Reader, str, str]] = [
    *((parse_duration, text, offer) for text, offer in {
        "60": "90s", "": "90s", "0m": "at least one second", "30d": "less than 30 days", "1.33m": "whole seconds",
        "30m1h": "longest first", "1m1m": "each unit once", "2:75": "up to 59", "-1m": "", "b7": ""}.items()),
    *((parse_temperature, text, offer) for text, offer in {
        "20": "20C or 20F", "293K": "scale", "200C": "150 °C", "20,5C": "", "°C": ""}.items()),
    *((parse_volume, text, offer) for text, offer in {
        "2 gal": "2 gal us or 2 gal imp", "16oz": "16 fl oz us or 16 fl oz imp", "16 fl oz": "fl oz imp",
        "5": "2l", "2.5ml": "whole millilitres", "0ml": "at least 1 ml", "1,5l": "1.5l", "1 cup": ""}.items()),
    *((parse_flow, text, offer) for text, offer in {"2l": "2l/min", "2gal/min": "gal us", "1ml/h": "1 ml/min"}.items()),
    *((parse_residue, text, offer) for text, offer in {
        "1.4": "1.4ug/cm2", "<0.7ug/cm2": "", "1,4ug/cm2": "1.4ug/cm2", "2mg/cm2": "at most"}.items()),
    *((parse_weight, text, offer) for text, offer in {
        "1 oz": "437.5", "5": "250g", "0g": "at least 1 mg", "-1g": "", "1,2kg": "1.2kg"}.items()),
]  # fmt: skip


@pytest.mark.parametrize(("read", "text", "value"), READ)
def test_read(read: Reader, text: str, value: int) -> None:
    assert read(text) == value


@pytest.mark.parametrize(("read", "text", "offer"), REFUSED)
def test_refused_with_a_remedy(read: Reader, text: str, offer: str) -> None:
    with pytest.raises(NotUnderstood) as problem:
        read(text)
    assert offer in problem.value.expected


def test_written() -> None:
    assert [format_duration(value) for value in (45, 60, 150, 3_600, 5_400, 7_200, 183_600, 0)] == [
        "45 s", "1 min", "2 min 30 s", "60 min", "1 h 30 min", "2 h", "2 d 3 h", "0 s"]  # fmt: skip
    assert [format_temperature(value) for value in (20_000, 20_500, -18_000, -40)] == [
        "20 °C", "20.5 °C", "−18 °C", "0 °C"]  # fmt: skip
    assert format_temperature(20_000, units="imperial") == "68 °F"
    assert [format_volume(value) for value in (500, 2_000, 1_500)] == ["500 ml", "2 l", "1.5 l"]
    assert format_flow(2_000) == "2 l/min"
    assert [format_residue(value) for value in (1_400, 775, 0)] == ["1.4 µg/cm²", "0.775 µg/cm²", "0 µg/cm²"]
    assert [format_weight(value) for value in (500, 2_550, 178_200, 999_960, 1_161_300)] == [
        "500 mg", "2.55 g", "178.2 g", "1 kg", "1.161 kg"]  # fmt: skip


def test_words_that_look_like_a_duration() -> None:
    table = {"1m": True, "90s": True, "1h30m": True, "2:30": True, "0m": True, "60": False, "b7": False, "e1:3": False,
             "1-6": False, "": False, "k1": False, "٣m": False}  # fmt: skip
    assert {word: looks_like_duration(word) for word in table} == table


@given(st.integers(1, 30 * 86_400 - 1))
def test_durations_survive(seconds: int) -> None:
    assert parse_duration(format_duration(seconds)) == seconds


@given(st.integers(-600, 1_500))
def test_tenths_of_a_degree_survive(tenths: int) -> None:
    assert parse_temperature(format_temperature(tenths * 100)) == tenths * 100
    assert abs(parse_temperature(format_temperature(tenths * 90, units="imperial")) - tenths * 90) <= 28


@given(st.integers(1, 10_000_000))
def test_volumes_and_flows_survive(millilitres: int) -> None:
    assert parse_volume(format_volume(millilitres)) == millilitres
    assert parse_flow(format_flow(millilitres)) == millilitres


@given(st.integers(0, 10**6))
def test_residues_survive(nanograms: int) -> None:
    assert parse_residue(format_residue(nanograms)) == nanograms


@given(st.integers(1, 10**9))
def test_weights_come_back_to_the_last_figure_written(milligrams: int) -> None:
    allowed = 0 if milligrams < 10_000 else 50 if milligrams < 999_950 else 500
    assert abs(parse_weight(format_weight(milligrams)) - milligrams) <= allowed


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (parse_duration, parse_temperature, parse_volume, parse_flow, parse_residue, parse_weight):
        try:
            read(text)
        except NotUnderstood as problem:
            assert problem.sentence
