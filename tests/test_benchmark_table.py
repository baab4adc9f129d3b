"""The README's table of benchmarks has a row for each that there is, in their order."""

import re
from pathlib import Path

import pytest

from tests.benchmarks.__main__ import GROUPS
from tests.benchmarks.pairs import HEADINGS, Row, kind_of, markdown, table

README = Path(__file__).parents[1] / "README.md"


def test_the_readme_names_every_benchmark() -> None:
    head = f"| {' | '.join(HEADINGS)} |"
    _, found, after = README.read_text(encoding="utf-8").partition(head)
    if not found:
        pytest.skip("the README has no table yet; python -m tests.benchmarks --markdown prints it")
    lines = re.match(r"(?:\n\|.*\|)+", after)
    assert lines is not None
    told = [kind_of(line.split("|")[1].strip()) for line in lines[0].strip().splitlines()[1:]]
    assert told == [name for group in GROUPS for name in group.rows]


def test_a_row_without_a_ratio_is_told_as_failed() -> None:
    rows = [Row("a", "b", 1.19, 1.2), Row("c", "d", 4, 5, at_least=True), Row("e", "-", 0, 0, failed="ImportError: x")]
    assert [row.cells[4] for row in rows] == ["holds", "MISSED", "FAILED: ImportError: x"]
    assert len(table(rows).splitlines()) == 4 and markdown(rows).splitlines()[2] == "| a | b | 1.19 | ≤ 1.2 | holds |"


def test_a_name_is_the_same_at_every_size() -> None:
    assert (
        kind_of("tirage where n1, 1,000 prints") == kind_of("tirage where n1, 20 prints") == "tirage where n#, # prints"
    )
