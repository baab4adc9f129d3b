"""Workbooks: cells as a person sees them, merged cells, formulas, sheets."""

import datetime
from pathlib import Path

import pytest
from openpyxl import Workbook

from catalog.exchange.importing.tables import Table, TableFileError, read_table


def saved(folder: Path, book: Workbook) -> Path:
    book.save(folder / "list.xlsx")
    return folder / "list.xlsx"


def read(folder: Path, *rows: list[object]) -> Table:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    return read_table(saved(folder, book))


def test_cells_are_what_a_person_sees(tmp_path: Path) -> None:
    found = read(
        tmp_path,
        ["Title", "Made", "No", "Thick", "Seen", "At"],
        ["Pond", datetime.date(1952, 4, 3), 25.0, 0.1 + 0.2, True, datetime.datetime(2026, 3, 2, 14, 30)],
        [None, None, None, None, None, None],
        ["  Shed ", "c. 1950", 3, 2.5, False, datetime.time(9, 5)],
    )
    assert [(line.number, list(line.texts)) for line in found.lines] == [
        (2, ["Pond", "1952-04-03", "25", "0.3", "yes", "2026-03-02 14:30"]),
        (4, ["Shed", "c. 1950", "3", "2.5", "no", "09:05"]),
    ]


def dated(folder: Path, *forms: str, heading: str = "Made") -> Table:
    """A column of 25 March 1953, in each of these formats."""
    book = Workbook()
    book.active.append(["Title", heading])
    for row, form in enumerate(forms, 2):
        book.active.append(["Pond", datetime.date(1953, 3, 25)])
        book.active[f"B{row}"].number_format = form
    return read_table(saved(folder, book))


@pytest.mark.parametrize(
    "form, told, mark", [("d-mmm", "25 Mar", "3/25"), ("mmm-yy", "Mar 53", "3/53"), ("dd/mm", "25 Mar", "3/25")]
)
def test_a_mark_that_became_a_date_is_told(tmp_path: Path, form: str, told: str, mark: str) -> None:
    (one,) = dated(tmp_path, form, heading="Mark").told
    assert (one.line, one.heading, one.kind) == (2, "Mark", "doubtful")
    assert told in one.reason and mark in one.reason
    assert ("without its year (1953)" in one.reason) == ("y" not in form)


# ECMA-376-1, 18.8.30 (built-in: 14 to 17 and 22) and 18.8.31
SHOWN = {
    "mm-dd-yy": "1953-03-25", "d-mmm-yy": "1953-03-25", "mmm-yy": "March 1953", "m/d/yy h:mm": "1953-03-25",
    "yyyy": "1953", "YYYY": "1953", "yy": "1953", "mmmm yyyy": "March 1953", "MMM YYYY": "March 1953",
    "yyyy-mm": "March 1953", "m/yyyy": "March 1953", "mmmmm yy": "March 1953", r"[$-409]mmm\-yy;@": "March 1953",
    "[$-407]mmmm\\ yyyy": "March 1953", "[$-F800]dddd, mmmm dd, yyyy": "1953-03-25", "dd.mm.yyyy;@": "1953-03-25",
    'yyyy" (day and month unknown)"': "1953", '"dated "mmm yyyy': "March 1953", r"yyyy\d": "1953", "yyyy_d": "1953",
    "yyyy h:mm": "1953", "yyyy hh:mm AM/PM": "1953", "[Red]yyyy": "1953", "yyyy mm:ss": "1953",
}  # fmt: skip


@pytest.mark.parametrize("form", SHOWN)
def test_a_date_is_read_as_far_as_it_is_shown(tmp_path: Path, form: str) -> None:
    found = dated(tmp_path, form)
    assert found.lines[0].texts[1] == SHOWN[form]
    assert any("were read so" in said or "was read so" in said for said in found.said) == ("-" not in SHOWN[form])


def test_dates_shown_as_months_are_told_once_a_column(tmp_path: Path) -> None:
    said = dated(tmp_path, "mmm-yy", "mmmm yyyy", "yyyy", "yyyy-mm-dd").said
    assert said == [
        "Under “Made” 2 dates are shown as months and were read so (row 2: March 1953).",
        "Under “Made” one date is shown as a year and was read so (row 4: 1953).",
    ]


@pytest.mark.parametrize("form", ["yyyy-mm-dd", "dd.mm.yyyy", "m/d/yy", "d mmm yyyy"])
def test_a_whole_date_is_no_doubt(tmp_path: Path, form: str) -> None:
    book = Workbook()
    book.active.append(["Title", "Made"])
    book.active.append(["Pond", datetime.date(2026, 3, 25)])
    book.active["B2"].number_format = form
    assert read_table(saved(tmp_path, book)).told == []


def test_what_is_merged_downwards_holds_for_each_row(tmp_path: Path) -> None:
    book = Workbook()
    for row in (["Title", "Series"], ["a", "Salt"], ["b", None], ["c", None], ["d", "Pond"]):
        book.active.append(row)
    book.active.merge_cells("B2:B4")
    found = read_table(saved(tmp_path, book))
    assert [line.texts[1] for line in found.lines] == ["Salt", "Salt", "Salt", "Pond"]
    assert any("B2 to B4 are merged" in said for said in found.said)


def test_a_formula_without_its_value_is_refused_with_its_cell(tmp_path: Path) -> None:
    found = read(tmp_path, ["Title", "Size"], ["Pond", '="8x"&"10"'], ["Shed", "5x7"])
    (one,) = found.told
    assert (one.line, one.heading, one.kind) == (2, "Size", "refused")
    assert "a formula in B2 whose value is not in the file" in one.reason


def test_several_sheets_must_be_told_apart(tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["Title"])
    book.active.append(["Pond"])
    other = book.create_sheet("2019")
    other.append(["Title"])
    other.append(["Shed"])
    book.create_sheet("empty")
    path = saved(tmp_path, book)
    with pytest.raises(TableFileError, match="several sheets, “Sheet”, “2019”, “empty”; name one with --sheet"):
        read_table(path)
    assert [list(line.texts) for line in read_table(path, "2019").lines] == [["Shed"]]
    with pytest.raises(TableFileError, match="has no sheet “2020”"):
        read_table(path, "2020")


def test_a_cell_beside_the_headings_is_a_column_of_its_own(tmp_path: Path) -> None:
    found = read(tmp_path, ["Title", "Size"], ["Pond", "8x10", None, "scribble"], ["Shed", "5x7"])
    assert found.headings == ("Title", "Size", "column D")
    assert found.lines[0].texts[2] == "scribble"


@pytest.mark.parametrize("cut", [30, 400, 2000, -1, -30])
def test_a_damaged_workbook_is_a_sentence(tmp_path: Path, cut: int) -> None:
    book = Workbook()
    book.active.append(["Title"])
    path = saved(tmp_path, book)
    path.write_bytes(path.read_bytes()[:cut])
    with pytest.raises(TableFileError):
        read_table(path)


def test_a_flipped_byte_is_a_sentence_or_another_table(tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["Title", "Size"])
    book.active.append(["Pond", "8x10"])
    whole = saved(tmp_path, book).read_bytes()
    for place in range(4, len(whole), 97):
        (tmp_path / "flipped.xlsx").write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
        try:
            read_table(tmp_path / "flipped.xlsx")
        except TableFileError as refusal:
            assert refusal.sentence.startswith("flipped.xlsx ")
