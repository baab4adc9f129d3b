"""How an edition ended, in one sentence for papers and pages, whatever its date is."""

import pytest

from catalog.rules.edition_words import ended

ENDINGS = {
    ("", "closed early", "2024-06", "", 3): "Closed early at 3 (June 2024).",
    ("", "closed early", "2024-06-05", "", 3): "Closed early at 3 (5 June 2024).",
    ("E-0002", "complete", "1998~", "", None): "E-0002 was called complete (c. 1998).",
    ("", "cancelled", "2001/2006", "marked", 3): "Cancelled (between 2001 and 2006). Its negative was marked.",
    ("The edition", "cancelled", "2024", "kept", None): "The edition was cancelled (2024). Its negative was kept.",
}


@pytest.mark.parametrize("case", ENDINGS)
def test_the_sentence(case: tuple[str, str, str, str, int | None]) -> None:
    assert ended(*case) == ENDINGS[case]
