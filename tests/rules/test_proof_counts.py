"""Bands of proof counts: advice by published customary figures, and never a refusal."""

import pytest

from catalog.rules.proof_counts import advice

# Info above 10 %, warning above 15 %, strong warning above 20 proofs or 20 %: customary figures of
# 5 to 20 % (cartage.org.lb; thurstonroyce; konstlistan.se; luxembourgartprize), none of them a standard.
BANDS = (
    (25, {"AP": 2}, ""),
    (25, {"AP": 3}, "note"),
    (25, {"AP": 2, "HC": 1}, "note"),
    (25, {"AP": 4}, "warning"),
    (8, {"AP": 1}, "note"),
    (10, {"AP": 1}, ""),
    (20, {"AP": 3}, "note"),
    (100, {"AP": 20}, "warning"),
    (100, {"AP": 21}, "strong warning"),
    (200, {"AP": 40}, "warning"),
    (200, {"AP": 41}, "strong warning"),
    (25, {"PP": 9, "BAT": 1, "EC": 4, "CP": 3}, ""),
    (None, {"AP": 9}, ""),
)


@pytest.mark.parametrize(("size", "proofs", "level"), BANDS)
def test_bands(size: int | None, proofs: dict[str, int], level: str) -> None:
    found = advice(size, proofs)
    assert (found.level if found else "") == level


def test_it_names_the_share_and_no_standard() -> None:
    found = advice(8, {"AP": 1})
    assert found and "12.5 per cent" in found.sentence and "there is no standard" in found.sentence
    found = advice(25, {"AP": 3})
    assert found and "12 per cent" in found.sentence
