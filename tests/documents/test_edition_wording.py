"""What is printed with an edition: endings, disclosures, errata, both years; and certificates older than these."""

from typing import Any

import pytest

from catalog.documents import wording

PLATE = {"code": "N-0001", "made": "1998", "process": "", "support": "", "state": "kept", "state_since": ""}
# An edition and another one as certificates of the first version froze them, without what came later.
OLD_EDITION: dict[str, Any] = {
    "code": "E-0001",
    "title": "Pond",
    "size": 25,
    "closed_at": None,
    "proofs": {"AP": 3},
    "declared": "2026-03-01",
    "state": "declared",
    "estate": False,
}
OLD_OTHER: dict[str, Any] = {
    "code": "E-0002",
    "title": "Pond",
    "process": "salted paper print",
    "image": [400_000, 500_000],
    "statement": "5 numbered",
}
CANCELLED = {"ended": [{"state": "cancelled", "on": "2026-05-01", "fate": "marked"}], "state": "cancelled"}


def facts(edition: dict[str, Any] | None, *others: dict[str, Any], **printed: str) -> dict[str, Any]:
    return {
        "edition": edition,
        "other_editions": list(others),
        "negative": PLATE,
        "print": {"made": "2026-03-02", **printed},
    }


def test_a_certificate_of_the_first_version_still_reads() -> None:
    old = facts(OLD_EDITION, OLD_OTHER)
    assert wording.edition(old) == "E-0001: 25 numbered, 3 artist's proofs"
    assert wording.edition_notes(old) == []
    assert wording.others(old, "metric") == "E-0002, salted paper print, 40.0 × 50.0 cm, 5 numbered"
    assert wording.dates(old) == "negative 1998, printed 2026"


NOTES = {
    "closed early": (
        facts({**OLD_EDITION, "closed_at": 9, "ended": [{"state": "closed early", "on": "2026-05-01", "fate": ""}]}),
        ["The edition was closed early at 9 (1 May 2026)."],
    ),
    "complete": (
        facts({**OLD_EDITION, "ended": [{"state": "complete", "on": "2026-05", "fate": ""}]}),
        ["The edition was called complete (May 2026)."],
    ),
    "cancelled, with its negative": (
        facts({**OLD_EDITION, **CANCELLED}),
        ["The edition was cancelled (1 May 2026). Its negative was marked."],
    ),
    "another one cancelled": (
        facts(None, {**OLD_OTHER, **CANCELLED}),
        ["E-0002 was cancelled (1 May 2026). Its negative was marked."],
    ),
    "its own disclosure and erratum": (
        facts({**OLD_EDITION, "disclosure": "Toned otherwise.", "errata": ["The plate is of 1998."]}),
        ["Toned otherwise.", "Erratum: The plate is of 1998."],
    ),
    "those of another one": (
        facts(OLD_EDITION, {**OLD_OTHER, "disclosure": "Toned otherwise.", "errata": ["Six were printed."]}),
        ["E-0002: Toned otherwise.", "Erratum to E-0002: Six were printed."],
    ),
    "a disclosure that names its edition": (
        facts(OLD_EDITION, {**OLD_OTHER, "disclosure": "E-0002 is toned otherwise."}),
        ["E-0002 is toned otherwise."],
    ),
}


@pytest.mark.parametrize("name", NOTES)
def test_notes_of_an_edition(name: str) -> None:
    said, expected = NOTES[name]
    assert wording.edition_notes(said) == expected


def test_what_an_edition_holds_in_all() -> None:
    assert wording.edition(facts({**OLD_EDITION, "total": 28})) == "E-0001: 25 numbered, 3 artist's proofs; 28 in all"
    assert wording.edition(facts({**OLD_EDITION, "proofs": {}, "total": 25})) == "E-0001: 25 numbered"
    assert "cancelled" in wording.others(facts(None, {**OLD_OTHER, **CANCELLED}), "metric")


def test_the_word_stands_with_both_years() -> None:
    assert wording.dates(facts(None, word="later print")) == "negative 1998, printed 2026 (later print)"
