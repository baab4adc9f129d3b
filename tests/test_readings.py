"""Laboratory readings as typed."""

from fractions import Fraction

import pytest

from catalog.errors import NotUnderstood
from catalog.readings import parse_area, parse_millilitres, parse_plain

# typed, square centimetres; one inch is 2.54 cm by definition
AREAS = [("50cm2", 50), ("50 cm²", 50), ("5x10cm", 50), ("1in2", Fraction("6.4516")), ("1x1in", Fraction("6.4516")),
         ("400mm2", 4)]  # fmt: skip
VOLUMES = [("2.35ml", Fraction("2.35")), ("0.10 ml", Fraction("0.1")), ("0.1l", 100), ("0ml", 0), ("2cc", 2)]


@pytest.mark.parametrize(("typed", "area"), AREAS)
def test_areas(typed: str, area: Fraction) -> None:
    assert parse_area(typed) == area


@pytest.mark.parametrize(("typed", "volume"), VOLUMES)
def test_volumes(typed: str, volume: Fraction) -> None:
    assert parse_millilitres(typed) == volume


@pytest.mark.parametrize("typed", ["", "50", "0cm2", "cm2", "5cm", "-4cm2", "200m2", "999999cm2"])
def test_no_area(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="50cm2 or 5x10cm|at most 10 m²"):
        parse_area(typed)


@pytest.mark.parametrize("typed", ["", "2.35", "ml", "-1ml", "2 g", "1,5ml"])
def test_no_volume(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="2.35ml"):
        parse_millilitres(typed)


@pytest.mark.parametrize("typed", ["", "x", "-0.1", "1e3", "1/2", "½", "0.1.2", "٣"])
def test_no_plain_number(typed: str) -> None:
    with pytest.raises(NotUnderstood):
        parse_plain(typed, "a density", "a number such as 0.12")
