"""Residues: units, salts, titration and what a drop can bind, against worked tables."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.formulas.residue import FILM_LIMIT, LIMITS, MOLAR, as_ion, spread, titrated
from catalog.quantities import parse_residue

# One inch is 25.4 mm by definition, worked out independently: grams a square metre, micrograms a square centimetre,
# milligrams a square inch.
UNITS = [("0.014", 1.4, "0.009032"), ("0.020", 2.0, "0.012903"), ("0.030", 3.0, "0.019355"),
         ("0.00775", 0.7750, "0.005"), ("0.1240", 12.400, "0.080"), ("0.3875", 38.75, "0.25")]  # fmt: skip
# Molar masses 112.12, 158.11, 248.18 and 148.2: the ion in a gram of each salt, worked out independently.
SALTS = [("anhydrous", 0.7091), ("crystals", 0.4518), ("ammonium", 0.7566), ("ion", 1.0)]
# 1.4 µg of the ion as each salt, worked out independently.
AS_SALTS = [("anhydrous", "1.974"), ("crystals", "3.099")]
# mg = V N 112.12, stoichiometry of the textbooks, worked out independently: millilitres, normality, milligrams.
TITRATIONS = [("0.50", "0.001", 0.05606), ("2.35", "0.001", 0.26347), ("1.00", "0.010", 1.1212)]


@pytest.mark.parametrize(("metre", "centimetre", "inch"), UNITS)
def test_units(metre: str, centimetre: float, inch: str) -> None:
    assert parse_residue(f"{metre}g/m2") == parse_residue(f"{centimetre}ug/cm2") == round(centimetre * 1_000)
    assert parse_residue(f"{inch}mg/in2") == pytest.approx(centimetre * 1_000, abs=0.6)


@pytest.mark.parametrize(("salt", "part"), SALTS)
def test_ion_in_a_salt(salt: str, part: float) -> None:
    assert float(as_ion(1, salt)) == pytest.approx(part, abs=6e-5)  # the masses are told to five figures at most


@pytest.mark.parametrize(("salt", "amount"), AS_SALTS)
def test_film_limit_as_salts(salt: str, amount: str) -> None:
    assert float(as_ion(Fraction(amount), salt)) == pytest.approx(1.4, abs=5e-4)


@given(st.fractions(min_value=0, max_value=10**9), st.sampled_from(sorted(MOLAR)))
def test_a_salt_holds_no_more_ion_than_itself(amount: Fraction, salt: str) -> None:
    assert 0 <= as_ion(amount, salt) <= amount == as_ion(amount, "ion")


@pytest.mark.parametrize(("millilitres", "normality", "milligrams"), TITRATIONS)
def test_titration(millilitres: str, normality: str, milligrams: float) -> None:
    found = titrated(Fraction(millilitres), Fraction(normality))
    assert float(found) / 1_000 == pytest.approx(milligrams, rel=1e-4)  # worked out with 112.117


@given(
    st.fractions(min_value=0, max_value=100),
    st.fractions(min_value=0, max_value=100),
    st.fractions(min_value=Fraction(1, 10_000), max_value=1),
)
def test_a_blank_is_taken_off(volume: Fraction, blank: Fraction, normality: Fraction) -> None:
    both = titrated(volume + blank, normality, blank)
    assert both == titrated(volume, normality)
    assert both + titrated(blank, normality) == titrated(volume + blank, normality)


def test_an_aliquot_stands_for_its_extract() -> None:
    assert spread(Fraction(22), Fraction(11)) == 2
    assert spread(Fraction(22), Fraction(11), Fraction(100), Fraction(10)) == 20


@given(st.fractions(min_value=0, max_value=1_000), st.fractions(min_value=1, max_value=500), st.integers(1, 50))
def test_parts_of_an_extract_hold_the_whole(micrograms: Fraction, area: Fraction, parts: int) -> None:
    assert spread(micrograms / parts, area, Fraction(100), Fraction(100, parts)) * area == micrograms


def test_limits_are_told_as_they_are() -> None:
    # 36 CFR 1238.14(b): 0.014 grams of thiosulfate ion a square metre.
    assert FILM_LIMIT.value == parse_residue("0.014g/m2") == 1_400 and "36 CFR 1238.14" in FILM_LIMIT.source
    # Of these only the text of the regulation was read itself.
    assert {limit.source for limit in LIMITS if limit.mark == "published"} == {"36 CFR 1238.14(b) and (c)"}
    papers = [limit for limit in LIMITS if "paper" in limit.material]
    assert papers and all(limit.value is None for limit in papers), "no limit for paper is confirmed"


def test_nonsense_is_refused() -> None:
    one, nothing = Fraction(1), Fraction(0)
    for call in (
        lambda: as_ion(1, "borax"),
        lambda: titrated(one, one, Fraction(2)),
        lambda: titrated(one, nothing),
        lambda: titrated(one, one, Fraction(-1)),
        lambda: spread(one, nothing),
        lambda: spread(one, one, one),
        lambda: spread(one, one, one, Fraction(2)),
    ):
        with pytest.raises(ValueError, match=r"."):
            call()
