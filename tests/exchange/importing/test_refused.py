"""Rows that were refused: a file that holds them as they were, is read as its list was, and does not pile up."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.exchange.importing.frame import Layout, Row
from catalog.exchange.importing.refused import write_refused
from catalog.exchange.importing.tables import read_table
from tests.cli.conftest import Tirage

CELL = st.text(alphabet=st.sampled_from("ab1 =+-@';,|\t\"“ß\n"), min_size=1, max_size=8).map(str.strip)
HEADINGS = ("Title", "Size; in cm", "Note")


@given(st.lists(st.tuples(CELL, CELL, CELL).filter(any), min_size=1, max_size=5))
def test_every_cell_comes_back_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, cells: list[tuple[str, ...]]
) -> None:
    folder = tmp_path_factory.mktemp("refused")
    with (folder / "list.csv").open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, quoting=csv.QUOTE_ALL).writerows([HEADINGS, *cells])
    table = read_table(folder / "list.csv")
    layout = Layout(table.headings, {}, ())
    rows = [Row(number, texts, layout, table.raw.get(number)) for number, texts in table.lines]
    back = read_table(folder / write_refused(folder / "list.csv", table, rows))
    assert back.headings == table.headings
    assert [back.raw.get(line, texts) for line, texts in back.lines] == [row.raw for row in rows]


@pytest.fixture
def listed(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    """A catalog, a list whose second row has a code that is given twice, and its mapping."""
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    Path("list.csv").write_text("Code;Wovon\nA-1;Pond\nA-1;=B2&C2\n")
    Path("list.csv.mapping.toml").write_text('[columns]\n"Code" = "code"\n"Wovon" = "title"\n')
    return tirage


def test_it_is_read_by_the_mapping_of_its_list_and_written_once(listed: Tirage) -> None:
    for _ in range(2):
        assert listed("import negatives list.csv --apply --leave-refused").status == 1
    kept = Path("list.csv.refused.csv")
    assert kept.read_text(encoding="utf-8-sig") == '"Code","Wovon"\n"A-1","=B2&C2"\n'
    assert not Path("list.csv.refused-2.csv").exists()
    kept.write_text(kept.read_text(encoding="utf-8-sig").replace("A-1", "A-2"))
    assert "Wovon  title" in listed("import negatives list.csv.refused.csv").out
    assert listed("import negatives list.csv.refused.csv --apply").status == 0
    assert "=B2&C2" in listed("negative show A-2").out


def test_a_row_with_a_cell_too_many_keeps_it(listed: Tirage) -> None:
    Path("list.csv").write_text("Code;Wovon\nA-1;Pond\nA-2;Weir; and mill\nA-3;Barn\n")
    listed("import negatives list.csv --apply --leave-refused")
    assert '"A-2","Weir","and mill"' in Path("list.csv.refused.csv").read_text(encoding="utf-8-sig")


def test_a_formula_without_its_value_is_kept_as_it_is(listed: Tirage) -> None:
    from openpyxl import Workbook

    book = Workbook()
    book.active.append(["Code", "Title"])
    book.active.append(["A-1", '="Pond "&1'])
    book.save("list.xlsx")
    assert "whose value is not in the file" in listed("import negatives list.xlsx --apply --leave-refused").out
    kept = Path("list.xlsx.refused.csv").read_text(encoding="utf-8-sig")
    assert list(csv.reader(kept.splitlines())) == [["Code", "Title"], ["A-1", '="Pond "&1']]


@pytest.mark.parametrize("many", [1, 3])
def test_what_had_too_many_cells_is_refused_until_it_is_mended(listed: Tirage, many: int) -> None:
    rows = "".join(f"B-{number};Weir; and mill\n" for number in range(many))
    Path("list.csv").write_text(f"Code;Wovon\nA-1;Pond\n{rows}A-3;Barn\nA-4;Quay\nA-5;Shed\nA-6;Lane\n")
    assert listed("import negatives list.csv --apply --leave-refused").status == 1
    kept = Path("list.csv.refused.csv")
    text = kept.read_text(encoding="utf-8-sig")
    assert f"{many} row{'s' if many > 1 else ''} refused" in listed(f"import negatives {kept}").out
    # A spreadsheet that saves it writes an empty heading over the cell too many.
    kept.write_text(text.replace('"Wovon"', '"Wovon",""'))
    assert "0 to be added" in listed(f"import negatives {kept}").out
    kept.write_text(text.replace('"Weir","and mill"', '"Weir; and mill"'))
    assert f"{many} to be added" in listed(f"import negatives {kept}").out


def test_a_formula_is_refused_in_the_list_of_refused_rows_until_it_is_mended(listed: Tirage) -> None:
    from openpyxl import Workbook

    book = Workbook()
    for cells in (["Code", "Title", "Count"], ["A-1", "Pond", 3], ["A-2", "Weir", "=SUM(C2:C2)"], ["A-3", "=B2", 4]):
        book.active.append(cells)
    book.active.append(["Total", "=SUM(C2:C4)", 508, 2000])
    book.save("list.xlsx")
    assert listed("import negatives list.xlsx --apply --leave-refused").status == 1
    kept = Path("list.xlsx.refused.csv")
    text = kept.read_text(encoding="utf-8-sig")
    answer = listed(f"import negatives {kept}").out
    assert "3 rows refused" in answer and "a formula without its value (“=SUM(C2:C2)”)" in answer, answer
    assert "reads as the sum of a list (“Total; =SUM(C2:C4); 508; 2000”)" in answer
    kept.write_text(text.replace("=SUM(C2:C2)", "3").replace("=B2", "Pond, evening"))
    assert "2 to be added" in listed(f"import negatives {kept}").out


def test_what_is_refused_of_a_refused_list_takes_its_next_number(listed: Tirage) -> None:
    Path("list.csv").write_text("Code;Wovon\nA-1;Pond\nA-1;Weir\nA-1;Barn\n")
    assert listed("import negatives list.csv --apply --leave-refused").status == 1
    kept = Path("list.csv.refused.csv")
    kept.write_text(kept.read_text(encoding="utf-8-sig").replace('"A-1","Weir"', '"A-2","Weir"'))
    assert "mend them in list.csv.refused-2.csv" in listed(f"import negatives {kept} --apply --leave-refused").err
    second = Path("list.csv.refused-2.csv")
    assert second.read_text(encoding="utf-8-sig") == '"Code","Wovon"\n"A-1","Barn"\n'
    assert "Wovon  title" in listed(f"import negatives {second}").out
    assert not list(Path().glob("*.refused*.refused*"))
