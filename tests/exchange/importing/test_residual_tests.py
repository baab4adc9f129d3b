"""Residual tests brought in from a notebook, under the rules of the command."""

import json

import pytest

from tests.cli.conftest import Tirage
from tests.exchange.importing.conftest import Listed

WORK_PRINT = "P-000008"


def test_a_notebook_is_recorded(tested: Tirage) -> None:
    answer = tested("import tests studio_tests.csv --apply")
    assert answer.status == 0, answer.out + answer.err
    made = json.loads(tested("test", WORK_PRINT, "--json").out)
    assert [(one["question"], one["kept"], one["when"], one["by"]) for one in made] == [
        ("hypo", "none", "2001-03-04", "tester"),
        ("silver", "none", "2001-03-04", "tester"),
        ("hypo", "none", "2003-06-10", "K. Printer"),
        ("silver", "just visible", "2003-06-10", "K. Printer"),
    ]
    assert "failed" in tested("print show", WORK_PRINT).out or "stain" in tested("print show 8").out
    assert tested("check").status == 0
    assert "there already" in tested("import tests studio_tests.csv").out


HEADINGS = "Item|Edition|No|Question|Result|Unit|Salt|Method|Date|By"
CASES = (
    ("k1|||hypo|none||||2026-03-01|", 0, "none"),
    ("k1|||Silber|gelbbraun||||2026-03-01|", 0, "yellow-brown"),
    ("k1|||argent|à peine visible||||2026-03-01|", 0, "just visible"),
    ("k1|||hypo|0.9|ug/cm2||methylene blue|2026-03-01|", 0, "0.9 ug/cm2"),
    ("k1|||hypo|0.012mg/in2||crystals|Labor|2026-03-01|", 0, "0.012mg/in2"),
    ("k1|||hypo|keine||||2026-03-01|", 0, "none"),
    ("k1|||hypo|Clear.||||2026-03-01|", 0, "none"),
    ("k1|||hypo|sans tache||||2026-03-01|", 0, "none"),
    ("k1|||hypo|gerade noch sichtbar||||2026-03-01|", 0, "just visible"),
    ("k1|||hypo|ok||||2026-03-01|", 1, "“ok” is no reading of a drop"),
    ("k1|||hypo|stain||||2026-03-01|", 1, "keep it as a note of the print: tirage correct CODE note="),
    ("8|||pH|8.2||||2026-03-01|", 1, "a pH is no residual test. Leave the row out"),
    ("k1|||hypo|0.9||||2026-03-01|", 1, "how a value was measured is not said"),
    ("k1|||hypo|0.9|||methylene blue|2026-03-01|", 1, "0.9"),
    ("k1|||silver|0.9ug/cm2|||methylene blue|2026-03-01|", 1, "is no method for it"),
    ("k1|||iron|none||||2026-03-01|", 1, "“iron” is no question"),
    ("k1|||hypo|||||2026-03-01|", 1, "a test without a result"),
    ("k1|||hypo|none|||||", 1, "when it was tested is not said"),
    ("k1|||hypo|none||||2025-03-01|", 1, "was made on 1 February 2026"),
    ("k9|||hypo|none||||2026-03-01|", 1, "k9"),
    ("|||hypo|none||||2026-03-01|", 1, "what was tested is not said"),
    # a drop stays in the paper: prints of an edition are never spotted, but may have been measured
    ("3|||hypo|none||||2026-03-01|", 1, "is never spotted"),
    ("|Low water|1/25|hypo|none||||1999|", 1, "is never spotted"),
    ("|E-0001|1/25|hypo|0.4ug/cm2|||laboratory|1999|", 0, "P-000001"),
    ("|E-0001|4/25|hypo|0.4ug/cm2|||laboratory|1999|", 1, "No print bears 4 of E-0001"),
)


@pytest.mark.parametrize(("row", "status", "words"), CASES)
def test_rows_are_taken_or_refused(tested: Tirage, listed: Listed, row: str, status: int, words: str) -> None:
    answer = tested("import", "tests", listed(HEADINGS, row))
    assert answer.status == status and words in answer.out, answer.out + answer.err
