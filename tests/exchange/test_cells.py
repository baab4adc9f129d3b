"""A value goes into a cell and comes back; no cell is taken for a formula."""

import csv
import io
import sqlite3

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from catalog.exchange import cells

TEXT = st.text(alphabet=st.characters(exclude_categories=["Cs"], exclude_characters="\0"))
# As OWASP lists them, “CSV Injection” (owasp.org/www-community/attacks/CSV_Injection); from memory, not confirmed.
DANGEROUS = ("=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠x")
CASES = (
    ("plain", "plain"),
    ("", ""),
    ("'tis", "''tis"),
    ("''", "'''"),
    ("(none)", "'(none)"),
    ("=1", "'=1"),
    ("-", "'-"),
    ("a=1", "a=1"),
)


@pytest.mark.parametrize(("text", "cell"), CASES)
def test_a_text_stands_in_its_cell(text: str, cell: str) -> None:
    assert cells.written(text) == cell
    assert cells.read(cell) == text


@pytest.mark.parametrize("text", DANGEROUS)
def test_no_cell_begins_as_a_formula(text: str) -> None:
    assert cells.written(text).startswith("'")


@given(TEXT)
@example("'=1")
def test_every_text_comes_back(text: str) -> None:
    assert cells.read(cells.written(text)) == text
    assert cells.text_or_none(cells.written(text)) == text
    assert not cells.written(text).startswith(cells.STARTS_FORMULA)


@given(st.one_of(st.none(), TEXT))
@example("＝1")
def test_the_database_writes_the_same_cell(text: str | None) -> None:
    connection = sqlite3.connect(":memory:")
    expression = cells.written_in_sql("?1", nullable=True)
    cell = connection.execute(f"SELECT {expression}", (text,)).fetchone()[0]
    assert cell == (cells.NOTHING if text is None else cells.written(text))
    assert cells.text_or_none(cell) == text


@given(st.lists(st.lists(TEXT, min_size=2, max_size=2), max_size=5))
def test_a_table_is_read_back_by_any_reader(rows: list[list[str]]) -> None:
    text = cells.table_text(["a", "b"], rows)
    found = list(csv.reader(io.StringIO(text, newline="")))
    assert [[cells.read(cell) for cell in row] for row in found[1:]] == rows


def test_lines_end_as_rfc_4180_has_them() -> None:
    # RFC 4180, 2: records end with CRLF; what holds a comma, a quote or a line end is quoted, quotes are doubled.
    assert cells.table_text(["a"], [['x"y'], ["p,q"], ["l1\nl2"]]) == 'a\r\n"x""y"\r\n"p,q"\r\n"l1\nl2"\r\n'
