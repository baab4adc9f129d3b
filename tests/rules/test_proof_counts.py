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


# size, proofs -> what its sentence says, and what it must not say beside that
SENTENCES = {
    (25, 3): ("12 per cent", "there is no standard", "more than"),
    (12, 2): (
        "16.7 per cent",
        "more than most published customary figures (5 to 15 per cent); the highest is 20",
        "every",
    ),
    (8, 2): ("25 per cent", "more than every published customary figure (the highest is 20 per cent)", "most"),
    (100, 21): ("21 per cent", "Say so openly", "most"),
}


@pytest.mark.parametrize("band", SENTENCES)
def test_no_sentence_contradicts_itself(band: tuple[int, int]) -> None:
    share, words, never = SENTENCES[band]
    found = advice(band[0], {"AP": band[1]})
    assert found and share in found.sentence and words in found.sentence and "no standard" in found.sentence
    assert never not in found.sentence.replace("in most", "")


# proofs -> how they are counted: no kind is named of which there is none
COUNTS = (
    ({"AP": 1}, "1 proof (AP) beside"),
    ({"HC": 2}, "2 proofs (HC) beside"),
    ({"AP": 1, "HC": 1, "PP": 1}, "2 proofs (AP and HC) beside"),
)


@pytest.mark.parametrize(("proofs", "words"), COUNTS)
def test_only_kinds_that_there_are_get_named(proofs: dict[str, int], words: str) -> None:
    found = advice(5, proofs)
    assert found and found.sentence.startswith(words)
