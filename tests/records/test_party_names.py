"""Which names are taken for slips, and which for other people."""

import pytest

from catalog.records.party_names import distance, misspelled

# typed, known -> whether the typed one is likely a slip; judged by hand, no source
SLIPS = {
    ("F. Buyer", "E. Buyer"): False,
    ("B. Byuer", "B. Buyer"): True,
    ("Buyer, B.", "B. Buyer"): True,
    ("Ada Lovelase", "Ada Lovelace"): True,
    ("Anna Meier", "Anne Meier"): False,
    ("Galery One", "Gallery One"): True,
    ("Gallery Two", "Gallery One"): False,
    ("North Gallery", "A. Example"): False,
    ("North Gallery", "South Gallery"): False,
    ("Harbour Museum", "Harbor Museum"): True,
    ("Museum Bern", "Museum Basel"): False,
    ("Bob", "Rob"): False,
    ("M. Li", "M. Lu"): False,
    ("Gallery 1", "Gallery 2"): False,
}


@pytest.mark.parametrize(("typed", "known"), SLIPS)
def test_what_is_a_slip(typed: str, known: str) -> None:
    assert misspelled(typed, known) is SLIPS[typed, known]


def test_distance() -> None:
    pairs = (("", "ab"), ("abc", "abc"), ("abc", "acb"), ("kitten", "sitting"))
    assert [distance(*pair) for pair in pairs] == [2, 0, 1, 3]
