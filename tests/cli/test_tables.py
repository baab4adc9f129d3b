"""Tables on a terminal: sentences whole, codes whole, and no line wider than the window."""

from hypothesis import given
from hypothesis import strategies as st

from catalog.cli.tables import table_lines

SENTENCE = "This catalog and catalog (conflicted copy).db parted after 3 commands; look at both before you go on."
CELL = st.text(alphabet=st.sampled_from("abc d"), max_size=60)


def test_a_pipe_gets_it_as_wide_as_it_is() -> None:
    assert table_lines([{"code": "N-0001", "why": SENTENCE}], 0)[1] == f"N-0001  {SENTENCE}"


def test_a_sentence_wraps_beside_the_other_columns_and_is_never_cut() -> None:
    lines = table_lines([{"code": "N-0001", "why": SENTENCE}, {"code": "N-0002", "why": "short"}], 60)
    assert max(map(len, lines)) <= 60 and len(lines) == 4
    assert lines[1].startswith("N-0001  This catalog") and lines[2].startswith("        ")
    assert " ".join(" ".join(line[8:] for line in lines[1:3]).split()) == SENTENCE
    assert lines[3] == "N-0002  short"


def test_of_short_values_the_widest_column_is_cut_and_the_last_stays() -> None:
    row = {"code": "N-0001", "made": "1998 or 1999, on a day between May and September", "size": "18.0 × 24.0 cm"}
    lines = table_lines([row], 50)
    assert lines[1].startswith("N-0001  1998 or") and lines[1].endswith("…  18.0 × 24.0 cm") and len(lines[1]) <= 50


@given(st.lists(st.tuples(CELL, CELL, CELL), min_size=1, max_size=4), st.integers(80, 140))
def test_whatever_is_told_fits_and_every_sentence_is_whole(cells: list[tuple[str, str, str]], room: int) -> None:
    rows = [dict(zip(("code", "text", "why"), ("P-000001", first, said), strict=True)) for first, _, said in cells]
    lines = table_lines(rows, room)
    assert all(len(line) <= room for line in lines)
    if not any("…" in line for line in lines):
        words = " ".join(lines).split()
        assert all(word in words for _, _, said in cells for word in said.split())
