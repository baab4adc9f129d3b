"""What a test lets one say: every method has its row, and no row says more than its method shows."""

from catalog.rules.method_claims import CLAIMS_OF_METHOD
from catalog.vocabulary import QUANTITATIVE_METHODS

# What may be concluded from each kind of evidence and what not; scopes of ISO 18917 where it covers the method, for
# drops and titration common practice, no standard: row, words of what may be said, words of what may not.
ROWS = {
    "clean drop": ("no stain was seen", "archival"),
    "clean drops": ("in control", "alike"),
    "stained drop": ("refixing or rewashing", "one substance"),
    "methylene blue": ("so much", "developing agent"),
    "iodine-amylose": ("so much", "oxidants"),
    "laboratory": ("so much", "oxidants"),
    "silver densitometric": ("polythionates", "thiosulfate alone"),
    "iodine titration": ("took up so much iodine", "sulfite"),
}


def test_every_method_has_its_row() -> None:
    assert set(QUANTITATIVE_METHODS) < set(CLAIMS_OF_METHOD) == set(ROWS)


def test_rows_say_and_do_not_say() -> None:
    for name, (may, may_not) in ROWS.items():
        claim = CLAIMS_OF_METHOD[name]
        assert may in claim.may and may_not in claim.may_not, name
        for word in ("archival", "ISO", "permanent", "standard"):
            assert word not in claim.may, name
