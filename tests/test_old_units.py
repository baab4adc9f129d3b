"""Old units, against tables of the definitions and of handbooks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import NotUnderstood, TirageError
from catalog.old_units import WhichMeasureError, convert, in_old_units, parse_strength

# Grains to the fluid ounce, from the definitions (1 gr = 64.79891 mg, 29.5735 ml, 28.4131 ml): % w/v US, imperial.
GRAINS_A_FLUID_OUNCE = [
    (1, 0.2191, 0.2281), (2, 0.4382, 0.4561), (15, 3.2867, 3.4209), (30, 6.5733, 6.8418), (40, 8.7644, 9.1224),
]  # fmt: skip
# Weights, from the definitions: as typed, grams.
WEIGHTS = [
    ("1 gr", 0.0648), ("1 scruple", 1.29598), ("1 dr", 3.888), ("1 oz ap", 31.10), ("1 oz av", 28.35),
    ("½ oz ap", 15.55),    ("1/2 oz ap", 15.55), ("437.5 grains", 28.35), ("1 troy ounce", 31.10),
    ("1 lb av", 453.59), ("28.35 g", 28.35),
]  # fmt: skip
# Volumes, from the definitions: as typed, millilitres.
VOLUMES = [
    ("1 fl oz us", 29.5735), ("1 fl oz imp", 28.4131), ("480 minims us", 29.5735), ("60 minims imp", 3.5516),
    ("1 pint us", 473.176), ("20 fluid ounces uk", 568.261), ("1 gal imp", 4546.09), ("2l", 2000),
]  # fmt: skip
# Recipes of handbooks: Towler, The Silver Sunbeam, chapter XVI (iron developer); Practical Photography, about 1909
# (cyanide 1 oz to 30 oz, hypo 5 oz to 30 oz); Hunt, A Manual of Photography (hypo 4 oz a pint): % w/v.
RECIPES = [
    ("3 dr/4 fl oz us", 9.86), ("1 oz av/30 fl oz us", 3.195), ("1 oz av/30 fl oz imp", 3.326),
    ("5 oz av/30 fl oz us", 15.98), ("4 oz av/pt imp", 19.96), ("4 oz av/pint us", 23.97),
]  # fmt: skip


@pytest.mark.parametrize(("grains", "us", "imperial"), GRAINS_A_FLUID_OUNCE)
def test_grains_to_the_fluid_ounce(grains: int, us: float, imperial: float) -> None:
    assert float(convert(f"{grains} gr/fl oz us").percent) == pytest.approx(us, abs=5e-5)
    assert float(convert(f"{grains} grains / fl oz imp").percent) == pytest.approx(imperial, abs=5e-5)


@pytest.mark.parametrize(("typed", "grams"), WEIGHTS)
def test_weights(typed: str, grams: float) -> None:
    assert float(convert(typed).value) / 1_000 == pytest.approx(grams, rel=3e-4)


@pytest.mark.parametrize(("typed", "millilitres"), VOLUMES)
def test_volumes(typed: str, millilitres: float) -> None:
    assert float(convert(typed).value) == pytest.approx(millilitres, rel=1e-5)


@pytest.mark.parametrize(("typed", "percent"), RECIPES)
def test_recipes(typed: str, percent: float) -> None:
    assert float(convert(typed).percent) == pytest.approx(percent, abs=5e-3)


# as typed -> what it may mean, each of which the refusal shows
AMBIGUOUS = [
    ("1 oz", ("1 oz ap", "31.1 g", "1 oz av", "28.35 g", "1 fl oz us", "1 fl oz imp")),
    ("8 fl oz", ("8 fl oz us", "236.6 ml", "8 fl oz imp", "227.3 ml")),
    ("30 gr/fl oz", ("30 gr/fl oz us", "6.573 %", "30 gr/fl oz imp", "6.842 %")),
    ("1 pint", ("1 pt us", "1 pt imp")),
    ("20 gr/l", ("“20 grains/l” = 0.1296 % w/v", "“20 g/l” = 2 % w/v")),
    ("2 Gr./100 ml", ("“2 grains/100 ml”", "“2 g/100 ml” = 2 % w/v")),
]


@pytest.mark.parametrize(("typed", "shown"), AMBIGUOUS)
def test_a_bare_ounce_is_refused_with_what_it_may_mean(typed: str, shown: tuple[str, ...]) -> None:
    with pytest.raises(WhichMeasureError) as refused:
        convert(typed)
    for words in shown:
        assert words in refused.value.sentence


@pytest.mark.parametrize("typed", ["", "oz ap", "9", "%", "0 %", "0 gr", "3 fish", "1 oz ap/1 oz ap", "g/l", "9,5 %"])
def test_what_is_no_quantity(typed: str) -> None:
    with pytest.raises((NotUnderstood, WhichMeasureError)):
        convert(typed)


def test_a_strength_is_weight_in_volume() -> None:
    assert parse_strength("9 %").percent == 9 and parse_strength("90 g/l").percent == 9
    with pytest.raises(TirageError, match="not a strength"):
        parse_strength("9 g")


# as typed -> in metric and in old units, four digits that count however small it is
SHOWN = [
    ("1 minim us", "0.06161 ml", "0.002083 fl oz us"), ("0.4 mg", "0.4 mg", "0.006173 gr"),
    ("0.03 gr/fl oz us", "0.006573 % w/v (0.06573 g/l)", "0.03 gr/fl oz us"), ("1 oz ap", "31.1 g", "480 gr"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "metric", "old"), SHOWN)
def test_four_digits_count(typed: str, metric: str, old: str) -> None:
    assert convert(typed).text() == metric and convert(typed).in_old_units()[0] == old


def test_which_words_are_old_units() -> None:
    for typed in ("40 gr/fl oz", "40 grains to the ounce", "1 oz/pint"):
        assert in_old_units(typed)
    for typed in ("1+4", "9 %", "90 g/l", "", "stock", "1:20", "1+9, 5 min"):
        assert not in_old_units(typed)


@given(st.integers(1, 10**5), st.sampled_from(["gr/fl oz us", "gr/fl oz imp", "gr", "fl oz us", "fl oz imp"]))
def test_round_trip_through_metric(number: int, unit: str) -> None:
    typed = f"{number / 100} {unit}"
    found = convert(typed)
    metric = {"weight": f"{float(found.value):.9f} mg", "volume": f"{float(found.value):.9f} ml"}.get(
        found.kind, f"{float(found.value):.9f} g/l"
    )
    again = convert(metric)
    assert float(again.value) == pytest.approx(float(found.value), rel=1e-6)
    back = [other for other in again.in_old_units() if other.endswith(unit)]
    assert back and float(back[0].split()[0]) == pytest.approx(number / 100, rel=5e-3)
