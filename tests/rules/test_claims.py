"""What a test lets one say: every method has its row, and no row says more than its method shows."""

from catalog.records.residuals import Test
from catalog.rules.claims import (
    ALIKE,
    CLAIMS_OF_GRADE,
    CLAIMS_OF_METHOD,
    GRADES_MEAN,
    RETEST_DUE,
    claim,
    claim_lines,
)
from catalog.rules.tested import Tested as Counted
from catalog.vocabulary import GRADES, QUANTITATIVE_METHODS

# What may be concluded from each kind of evidence and what not; scopes of ISO 18917 where it covers the method, for
# drops and titration common practice, no standard: row, words of what may be said, words of what may not.
ROWS = {
    "clean drop": ("no stain was seen", "does not make the print archival"),
    "clean drops": ("in control", "alike"),
    "stained drop": ("refixing or rewashing", "which substance"),
    "methylene blue": ("this figure", "developing agent"),
    "iodine-amylose": ("this figure", "how many years"),
    "laboratory": ("this figure", "how many years"),
    "silver densitometric": ("polythionates", "thiosulfate alone"),
    "iodine titration": ("took up so much iodine", "sulfite"),
}


def test_every_method_has_its_row() -> None:
    assert set(QUANTITATIVE_METHODS) < set(CLAIMS_OF_METHOD) == set(ROWS)


def test_rows_say_and_do_not_say() -> None:
    for name, (may, limit) in ROWS.items():
        found = CLAIMS_OF_METHOD[name]
        assert may in found.may and limit in found.limit, name
    for found in (*CLAIMS_OF_METHOD.values(), *CLAIMS_OF_GRADE.values(), *RETEST_DUE.values()):
        for word in ("archival", "ISO", "permanent", "standard"):
            assert word not in found.may, found


def test_every_grade_is_explained() -> None:
    assert list(GRADES_MEAN) == list(GRADES)


def made(on_strip: bool, reading: str = "", value: int | None = None) -> Counted:
    test = Test(1, 1, "hypo", "methylene blue", reading, value, "2026", "2026-01-01", "2026-12-31", "", "me", "")
    return Counted(test, "K-0001", on_strip, 1, "", None)


def test_what_rests_on_a_strip_says_so_and_says_it_once() -> None:
    for one in (made(True, "none"), made(True, value=800)):
        said = claim("measured" if one.test.value else "spot-tested", one)
        assert "on the strip that went with it" in said.may
        lines = claim_lines(said, claim("recorded"))
        assert len(lines) == 3 and lines[-1] == f"What rests on a strip does not show {ALIKE}."
        assert len(claim_lines(said, said)) == 2
    for one in (made(False, "none"), made(False, value=800)):
        said = claim("measured" if one.test.value else "spot-tested", one)
        assert "strip" not in said.may and len(claim_lines(said, said)) == 1


def test_failed_and_a_retest_that_is_due_are_two_things() -> None:
    for one in (made(True, "beige"), made(False, value=9_000)):
        now, since = claim("failed", one), claim("failed", one, retest_due=True)
        assert "in doubt" in now.may and "not tested since" not in now.may
        assert "not tested since it was washed or treated again" in since.may and "needs" not in since.may
        assert ("strip" in since.may) is one.on_strip
    assert "{" not in "".join(claim(grade).may for grade in CLAIMS_OF_GRADE)
