"""Residue: what a reading for thiosulfate says in micrograms, and the limits that are known.

Amounts are exact fractions, so that a conversion there and back gives what it began with. What is kept of them is
always the thiosulfate ion, a square centimetre of one side.
"""

from fractions import Fraction
from typing import NamedTuple

# Grams a mole, in hundredths (formula weights of the ion S2O3, Na2S2O3, Na2S2O3·5H2O, (NH4)2S2O3).
MOLAR = {"ion": 11_212, "anhydrous": 15_811, "crystals": 24_818, "ammonium": 14_820}
BASIS_WORDS = {
    "ion": "thiosulfate ion",
    "anhydrous": "anhydrous sodium thiosulfate",
    "crystals": "sodium thiosulfate crystals",
    "ammonium": "ammonium thiosulfate",
}


class Limit(NamedTuple):
    """A limit for thiosulfate left in a material: nanograms of the ion a square centimetre, None where there is none.

    `mark` is "published" where the text of the source was read, "secondary" where only what another told of it was.
    """

    material: str
    value: int | None
    source: str
    mark: str


# No limit for paper or for a collodion plate is among them: none was found.
LIMITS = (
    Limit("polyester silver-gelatin microfilm of permanent records", 1_400, "36 CFR 1238.14(b) and (c)", "published"),
    Limit(
        "microfilm and other films, to last 500 years",
        1_400,
        "ANSI IT9.1-1996, as told by D. Nishimura, Conservation DistList 1997",
        "secondary",
    ),
    Limit(
        "radiographic film, to last 500 years",
        2_000,
        "ANSI IT9.1-1996, as told by D. Nishimura, Conservation DistList 1997",
        "secondary",
    ),
    Limit(
        "photographic paper, fibre-base and resin-coated",
        None,
        "none set by ANSI as of 1997: D. Nishimura, Conservation DistList 1997",
        "secondary",
    ),
    Limit("coarse-grain radiographic film, a side", 2_000, "ANSI PH1.41, from a copied guide", "secondary"),
    Limit(
        "industrial radiographic film, a side, 50 years or more",
        5_000,
        "a study with methylene blue, from a copied guide",
        "secondary",
    ),
)
FILM_LIMIT = LIMITS[0]


def as_ion(amount: Fraction | int, basis: str) -> Fraction:
    """The thiosulfate ion in an amount of a salt of it, in the same unit, by formula weights.

    `basis` is one of `MOLAR`; raises `ValueError` for another. Source: molar masses, exact by stoichiometry.
    """
    if basis not in MOLAR:
        raise ValueError(f"no basis {basis!r}")
    return Fraction(amount) * MOLAR["ion"] / MOLAR[basis]


def titrated(millilitres: Fraction, normality: Fraction, blank: Fraction = Fraction(0)) -> Fraction:
    """Micrograms of thiosulfate ion that so much iodine solution took up, beyond what a blank took up.

    mg = (V - V0) N × 112.12: two thiosulfate ions take up one iodine molecule and give tetrathionate (textbook
    stoichiometry, from memory; titrating an extract against a water blank: JSMPE 42, 1944). Sulfite takes up
    iodine too, so a wash aid left in the extract counts as thiosulfate. Raises `ValueError` unless the blank is
    at least 0 and not above V, and N is more than 0.
    """
    if not 0 <= blank <= millilitres or normality <= 0:
        raise ValueError("the blank lies between 0 and the volume, the normality is more than 0")
    return (millilitres - blank) * normality * MOLAR["ion"] * 10


def spread(
    micrograms: Fraction, area: Fraction, extract: Fraction | None = None, aliquot: Fraction | None = None
) -> Fraction:
    """Micrograms a square centimetre of a sheet, of which all or a part (`aliquot` of `extract`) was measured.

    Area in square centimetres, both volumes in one unit. Source: mass balance. Raises `ValueError` for an area or
    volume that is not positive, or an aliquot larger than the extract.
    """
    if area <= 0 or (extract is None) != (aliquot is None):
        raise ValueError("the area is more than 0, and the aliquot goes with its extract")
    if extract is None or aliquot is None:
        return micrograms / area
    if not 0 < aliquot <= extract:
        raise ValueError("the aliquot is more than 0 and no more than its extract")
    return micrograms * extract / aliquot / area
