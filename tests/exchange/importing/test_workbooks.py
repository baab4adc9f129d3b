"""Workbooks: cells as a person sees them, merged cells, formulas, sheets."""

import datetime
import json
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from openpyxl import Workbook

from catalog.exchange.importing.tables import Table, TableFileError, read_table
from tests.cli.conftest import Tirage


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


Cell = object | tuple[object, str]  # a value, or a value and its format


def formatted(folder: Path, headings: str, *rows: Sequence[Cell]) -> Path:
    book = Workbook()
    book.active.append(headings.split("|"))
    for number, row in enumerate(rows, 2):
        for column, cell in enumerate(row, 1):
            value, form = cell if isinstance(cell, tuple) else (cell, "General")
            book.active.cell(number, column, value).number_format = form
    return saved(folder, book)


EURO = r"#,##0.00\ [$€-407];[RED]\-#,##0.00\ [$€-407]"
ACCOUNT = r'_("$"* #,##0_);_("$"* \(#,##0\);_("$"* "-"??_);_(@_)'
# Value, format -> as read. ECMA-376-1, 18.8.31; that decimals have a point, that nothing stands between thousands and
# that what is rounded away is not lost was decided here.
NUMBERS: tuple[tuple[int | float | str, str, str], ...] = (
    (1.2, '0.0" kg"', "1.2 kg"), (12.34, '0.0" kg"', "12.34 kg"), (0.1 + 0.2, '0.0" cm"', "0.3 cm"),
    (200, '0" mm"', "200 mm"), (8, r"0\"", '8"'), (5, 'General" kg"', "5 kg"), (0.5, '#.##" kg"', "0.5 kg"),
    (5, '#.##" kg"', "5 kg"), (0.00001, '0" kg"', "0.00001 kg"), (0, '#" kg"', "0 kg"),
    (98.1, "0.00", "98.10"), (98, "0.00", "98.00"), (14, "0000", "0014"), (14.0, "0000", "0014"),
    (14.5, "0000", "14.5"), (-14, "0000", "-0014"), (12.34, "0.0", "12.34"), (12.5, "0", "12.5"), (25, "0", "25"),
    (25.0, "0", "25"), (1200, "#,##0", "1200"), (1200, "#,##0.00", "1200.00"), (1200, "# ##0", "1200"),
    (7, '"A-"000', "A-007"), (98101, "00-000", "98-101"), (123456, "00-000", "123-456"), (7, "00-000", "00-007"),
    (98101, r"00\.000", "98.101"), (53, '"19"00', "1953"), (1953, '"c. "0', "c. 1953"),
    (1931, r"\c\a\.\ 0", "ca. 1931"), (44, '0" AD";0" BC"', "44 AD"), (-44, '0" AD";0" BC"', "44 BC"),
    (-5, '0" kg"', "-5 kg"), (-5, '0" kg";0" kg"', "-5 kg"), (-5, "0.00_);(0.00)", "-5.00"), (-5, "0_);(0)", "-5"),
    (5, "+0;-0", "5"), (300, '0" EUR"', "300 EUR"), (300.5, "#,##0.00 €", "300.50 €"), (1300.5, EURO, "1300.50 €"),
    (-300.5, EURO, "-300.50 €"), (300, '"€ "0.00', "€ 300.00"), (300, "[$€-2] #,##0.00", "€ 300.00"),
    (300, "[$EUR-407] 0", "EUR 300"), (300, ACCOUNT, "$ 300"), (0, ACCOUNT, "$0"), (300, "[$-409]0", "300"),
    (300, "[Red]0", "300"), (0.4, "0%", "40%"), (0.125, "0%", "12.5%"), (500, '[<1000]0" g";0.0," kg"', "500 g"),
    (7, "@", "7"), (0, ";;;", "0"), (4.75, "# ?/?", "4.75"), (4.75, "# ??/16", "4.75"), (1200, "0.00E+00", "1200"),
    ("7", '"A-"@', "A-7"), ("7", "0;-0;;_(@_)", "7"), ("7", '0" kg"', "7"), ("7", "@", "7"),
)  # fmt: skip


def test_a_number_is_read_as_its_format_shows_it(tmp_path: Path) -> None:
    rows = [["Pond", (value, form)] for value, form, _ in NUMBERS]
    found = read_table(formatted(tmp_path, "Title|Cell", *rows))
    read = [(*case[:2], line.texts[1]) for case, line in zip(NUMBERS, found.lines, strict=True)]
    assert read == list(NUMBERS) and found.told == []


LOST = ((1200, '0.0," kg"', "kg"), (4.75, '# ?/?" in"', "in"), (0, '0;-0;"none"', "none"), (5, "0 EUR", "EUR"),
        (5000, '[<1000]0" g";0.0," kg"', "kg"), (12.5, '"A-"00-000', "A- -"), (1e20, '0" kg"', "kg"))  # fmt: skip


def test_words_of_a_format_that_is_not_followed_are_told(tmp_path: Path) -> None:
    rows = [["Pond", (value, form)] for value, form, _ in LOST]
    found = read_table(formatted(tmp_path, "Title|Weight", *rows))
    plain = ["1200", "4.75", "0", "5", "5000", "12.5", "1e+20"]
    assert [line.texts[1] for line in found.lines] == plain
    assert [(one.line, one.heading, one.kind) for one in found.told] == [
        (line, "Weight", "doubtful") for line in range(2, len(LOST) + 2)
    ]
    for one, (_, _, words), number in zip(found.told, LOST, plain, strict=True):
        assert f"shows “{words}” with the number" in one.reason and f"bare number {number}. " in one.reason


def test_a_currency_is_that_of_the_workbook_and_not_of_its_reader(tmp_path: Path) -> None:
    """Spreadsheets keep the accounts of their own country under numbers that are dollars elsewhere."""
    path = formatted(tmp_path, "Title|Price", ["Pond", (300, '#,##0.00" €"')])
    with zipfile.ZipFile(path) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    assert b'numFmtId="164"' in parts["xl/styles.xml"]
    parts["xl/styles.xml"] = parts["xl/styles.xml"].replace(b'numFmtId="164"', b'numFmtId="44"')
    with zipfile.ZipFile(path, "w") as book:
        for name, part in parts.items():
            book.writestr(name, part)
    assert read_table(path).lines[0].texts[1] == "300.00 €"


@pytest.fixture
def imported(with_editions: Tirage) -> Callable[..., str]:
    """Bring a workbook into a studio with four plates, N-0001 to N-0004, and its editions; what is said."""

    def said(noun: str, headings: str, *rows: Sequence[Cell], unit: str = "") -> str:
        name = formatted(Path(), headings, *rows).name
        first = with_editions("import", noun, name).out
        mapping = Path(f"{name}.mapping.toml")
        if unit:
            text = mapping.read_text(encoding="utf-8")
            mapping.write_text(text.replace('unit = ""', f'unit = "{unit}"', 1), encoding="utf-8")
        done = with_editions("import", noun, name, "--apply")
        assert done.status == 0, first + done.err
        return done.out

    return said


def test_plates_come_in_as_the_sheet_shows_them(imported: Callable[..., str], with_editions: Tirage) -> None:
    mm = '0" mm"'
    out = imported(
        "negatives", "Code|Title|Date|Weight|Thickness|Height|Width",
        [(98.1, "0.00"), "One", (1953, '"c. "0'), (1.2, '0.0" kg"'), (0.2, '0.0" cm"'), (200, mm), (250, mm)],
        [98.1, "Two", (1961, r"\c\a\.\ 0"), (12.34, '0.0" g"'), 2, 20, 25],
        [(7, '"A-"000'), "Three", 1953, 250, None, None, None],
        unit="cm",
    )  # fmt: skip
    assert "oubtful" not in out and "refused" not in out, out
    shown = {code: json.loads(with_editions(f"negative show {code} --json").out)[0] for code in ("98.10", "98.1")}
    one, two = shown["98.10"], shown["98.1"]
    assert (one["title"], one["made"], one["weight"]) == ("One", "c. 1953", "1.2 kg (weighed)")
    assert (one["thickness"], one["size"]) == ("2 mm", "20.0 × 25.0 cm")
    assert (two["title"], two["made"], two["weight"]) == ("Two", "c. 1961", "12.3 g (weighed)")
    assert (two["thickness"], two["size"]) == ("2 mm", "20.0 × 25.0 cm")
    assert json.loads(with_editions("negative show A-007 --json").out)[0]["title"] == "Three"


def test_a_number_with_its_zeros_is_found_by_it(imported: Callable[..., str], with_editions: Tirage) -> None:
    imported("negatives", "Number|Title", [(14, "0000"), "Fourteen"])
    assert json.loads(with_editions("negative show 0014 --json").out)[0]["title"] == "Fourteen"


def test_prices_come_in_with_their_currency(imported: Callable[..., str], with_editions: Tirage) -> None:
    out = imported(
        "prints", "Negative|Kind|Owner|Sold|Price",
        ["Ropewalk", "work", "Museum A", 2011, (300, '0" EUR"')],
        ["Ropewalk", "work", "Museum B", 2011, (300, '"€ "0.00')],
        ["Ropewalk", "work", "Museum C", 2011, (1300.5, EURO)],
        ["Ropewalk", "work", "Museum D", 2011, (300, "0")],
    )  # fmt: skip
    assert out.count("is not an amount of money") == 1 and "5    Price   300" in out
    for number, price in enumerate(("EUR 300.00", "EUR 300.00", "EUR 1,300.50"), 1):
        assert price in with_editions(f"history p{number}").out


@pytest.mark.parametrize(("currency", "refused"), [("USD", 0), ("cad", 0), ("EUR", 1), ("", 1)])
def test_a_dollar_is_that_of_the_currency_beside_it(
    imported: Callable[..., str], with_editions: Tirage, currency: str, refused: int
) -> None:
    row = ["Ropewalk", "work", "Museum A", 2011, (300, '"$"#,##0.00'), currency or None]
    out = imported("prints", "Negative|Kind|Owner|Sold|Price|Currency", row)
    assert out.count("“$300.00” is not an amount of money") == refused
    assert (f"{currency.upper()} 300.00" in with_editions("history p1").out) == (not refused)


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
