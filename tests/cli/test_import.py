"""Importing on the command line: what is asked wrongly, what is shown, what happens when a file is in the way."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage

TABLE = "Title,Made,Size\nPond,1950,8x10 in\nShed,c. 1951,20x25cm\n"


@pytest.fixture
def listed(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    """A begun catalog with a list beside it."""
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    Path("list.csv").write_text(TABLE)
    return tirage


WRONG = {
    "import plates list.csv": (2, "is nothing that can be imported; expected one of places, parties, negatives"),
    "import negatives": (2, "Missing FILE"),
    "import negatives nothing.csv": (1, "nothing.csv is not there"),
    "import negatives .": (1, "is not there, or is no file"),
    "import negatives list.csv --sheet One": (1, "is no XLSX and has no sheets"),
    "import negatives catalog.db": (1, "is no text"),
}


@pytest.mark.parametrize("line", WRONG)
def test_what_is_typed_wrongly_is_told(listed: Tirage, line: str) -> None:
    status, said = WRONG[line]
    answer = listed(line)
    assert (answer.status, said in answer.err) == (status, True), answer.err


def test_the_long_form_is_the_same(listed: Tirage) -> None:
    short = listed("import negatives list.csv --mapping m.toml")
    long = listed("import --noun negatives --file list.csv --mapping m.toml")
    assert long.out in short.out and long.status == 0


def test_json_and_csv_tell_every_row(listed: Tirage) -> None:
    rows = json.loads(listed("import negatives list.csv --json").out)
    assert [(row["row"], row["outcome"], row["code"]) for row in rows[:2]] == [
        (2, "would be added", "N-0001"),
        (3, "would be added", "N-0002"),
    ]
    assert "made: c. 1951" in rows[1]["told"]
    assert listed("import negatives list.csv --csv").out.startswith("row,outcome,code,column,text,told\n")


def test_added_things_are_last_and_undone(listed: Tirage) -> None:
    answer = listed("import negatives list.csv --apply")
    assert answer.status == 0
    assert "Added 2 negatives (N-0001, N-0002). To take all of it back: tirage undo" in answer.out
    assert not Path("list.csv.mapping.toml").exists()
    assert listed("where last").status == 0
    assert "Added no negative; 2 rows are there already." in listed("import negatives list.csv --apply").out
    assert listed("undo").status == 0
    assert "No negative yet" in listed("negative list").out


def test_a_mapping_file_is_never_written_over(listed: Tirage) -> None:
    mapping = Path("list.csv.mapping.toml")
    listed("import negatives list.csv")
    mapping.write_text(mapping.read_text().replace('"Made" = "made"', '"Made" = ""'))
    before = mapping.read_bytes()
    assert "Made   kept as notes" in listed("import negatives list.csv").out
    assert mapping.read_bytes() == before
    assert (mapping.stat().st_mode & 0o077) == 0


def test_the_date_of_the_import_is_that_of_its_moves(listed: Tirage) -> None:
    Path("list.csv").write_text("Title,Place\nPond,studio/rack 1\n")
    assert listed("import negatives list.csv --apply --on 2026-01-05").status == 0
    assert "studio/rack 1 since 5 January 2026, by tester" in listed("where n1").out


def test_a_dry_run_shows_what_would_be_added_and_no_row_that_is_refused(listed: Tirage) -> None:
    rows = [f"A-{1 if number == 3 else number},Plate {number},1950" for number in range(1, 20)]
    Path("list.csv").write_text("\n".join(["Code,Title,Made", *rows]))
    answer = listed("import negatives list.csv")
    assert answer.status == 1 and "To be added, the first 12 of 18:" in answer.out and "Plate 13" in answer.out
    assert "18 to be added; 1 row refused." in answer.out and "run it again with --apply --leave-refused" in answer.out


def test_where_every_row_is_refused_nothing_is_offered(listed: Tirage) -> None:
    Path("list.csv").write_text("Title,Made\nPond,2999\n")
    answer = listed("import negatives list.csv")
    assert "1 row refused." in answer.out and "To add" not in answer.out
    assert "--leave-refused" not in listed("import negatives list.csv --apply").err


def test_a_mapping_that_is_named_has_to_be_there(listed: Tirage) -> None:
    answer = listed("import negatives list.csv --mapping typo.toml --apply")
    assert answer.status == 1 and "typo.toml: it is not there" in answer.err
    assert not Path("typo.toml").exists() and "No negative yet" in listed("negative list").out
    assert listed("import negatives list.csv --mapping typo.toml").status == 0 and Path("typo.toml").exists()


def test_a_mapping_of_another_noun_is_named(listed: Tirage) -> None:
    Path("list.csv").write_text("Name,Year\nAda,1950\n")
    listed("import negatives list.csv")
    answer = listed("import parties list.csv")
    assert answer.status == 1 and "was written when the table was read as negatives" in answer.err
    assert listed("import parties list.csv --mapping people.toml").status == 0


def test_the_same_of_many_rows_is_one_line(listed: Tirage) -> None:
    rows = [f"{number},Plate {number},{number}/{number + 1}/1952" for number in range(1, 9)]
    Path("list.csv").write_text("\n".join(["No,Title,Made", *rows, "20,Weir,14/3/1952"]))
    out = listed("import negatives list.csv").out
    assert out.count("not of the form of a code of your own") == 1 and "2 to 10" in out
    assert out.count("say whether the day or the month is first") == 1 and "2 to 9" in out
    assert "“14/3/1952” in row 10 has the day first" in out and "date_order" in out


def test_years_of_two_digits_are_read_once_their_hundred_is_said(listed: Tirage) -> None:
    Path("list.csv").write_text("No,Title,Made\n1,One,May-53\n2,Two,1961\n3,Three,'48\n")
    out = listed("import negatives list.csv").out
    assert "Under “Made” years have two digits" in out and "short_years" in out
    mapping = Path("list.csv.mapping.toml")
    mapping.write_text(mapping.read_text().replace('short_years = ""', 'short_years = "1900"'))
    out = listed("import negatives list.csv --apply").out
    assert "two digits" not in out
    assert "May 1953" in listed("negative show n1").out and "1948" in listed("negative show n3").out


def test_numbers_without_a_unit_are_read_once_it_is_said(listed: Tirage) -> None:
    Path("list.csv").write_text("Title,Height,Width\nOne,4.0,5.0\nTwo,8,10\n")
    assert "Under “Height” and “Width” numbers have no unit" in listed("import negatives list.csv").out
    mapping = Path("list.csv.mapping.toml")
    mapping.write_text(mapping.read_text().replace('unit = ""', 'unit = "in"'))
    out = listed("import negatives list.csv --apply").out
    assert "no unit" not in out and "as note" not in out
    assert "10.2 × 12.7 cm" in listed("negative show n1").out


def test_a_size_and_sides_that_disagree_are_told(listed: Tirage) -> None:
    Path("list.csv").write_text(
        "Title,Dimensions,Height (cm),Width (cm)\nOne,20 x 25 cm,20.3,25.4\nTwo,8 x 10 in,20.3,25.4\n"
    )
    out = listed("import negatives list.csv").out
    assert "it is another length; that of “Dimensions” was taken" in out and "1 row doubtful" in out
    assert "no unit" not in out


def test_a_date_is_doubted_where_a_mark_is_expected_and_under_dates_it_is_none(listed: Tirage) -> None:
    import datetime

    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["Title", "Made", "Inscription"])
    sheet.append(["Pond", datetime.date(1950, 3, 25), datetime.date(1950, 3, 25)])
    for cell in sheet[2][1:]:
        cell.number_format = "dd mmm"
    book.save("list.xlsx")
    told = json.loads(listed("import negatives list.xlsx --json").out)
    assert [row["column"] for row in told if "a spreadsheet makes such dates" in row["told"]] == ["Inscription"]


def test_a_place_is_found_by_its_name_in_the_list_or_in_the_catalog(listed: Tirage) -> None:
    listed("place add studio")
    Path("places.csv").write_text("Name,In\nFach 1,Regal 2\nRegal 2,studio\nBox 3,Fach 1\nregal 2,Studio\n")
    answer = listed("import places places.csv --apply")
    assert "By their names were taken “Regal 2” for “studio/Regal 2”" in answer.out
    assert "studio/Regal 2/Fach 1/Box 3" in listed("place list").out
    Path("places.csv").write_text("Name,In\nBox 4,Fach 1\n")
    assert listed("import places places.csv --apply").status == 0
    assert "studio/Regal 2/Fach 1/Box 4" in listed("place list").out
    Path("places.csv").write_text("Name,In\nTop,Rack 1\nTop,Rack 2\nBox 5,Top\n")
    assert "its whole path, for several places of this list are called so" in listed("import places places.csv").out


def test_the_size_of_an_edition_under_size_is_told(listed: Tirage) -> None:
    listed("negative add Pond --made 1950")
    Path("editions.csv").write_text("Negative,Size,Date\nPond,ed. of 10,1951\n")
    assert 'set "Size" = "edition" in the mapping file' in listed("import editions editions.csv").out


def test_where_names_the_command_for_a_party_or_a_place(listed: Tirage) -> None:
    listed("party", "add", "North Gallery", "--kind", "gallery")
    listed("place", "add", "Bank/Tresor")
    assert "North Gallery is a party and has no code. What is there: tirage party show 'North Gallery'" in (
        listed("where", "north gallery").err
    )
    assert "tirage place show Bank/Tresor" in listed("where", "Tresor").err
    assert "Nothing here has the code" in listed("where", "nobody").err


def test_a_second_state_of_the_catalog_is_told_by_due_and_by_backup(listed: Tirage, tmp_path: Path) -> None:
    Path("catalog (conflicted copy).db").write_bytes(Path("catalog.db").read_bytes())
    for line in ("due", f"backup {tmp_path / 'kept'}"):
        assert "“catalog (conflicted copy).db” lies beside catalog.db" in listed(line).err


def test_a_mapping_in_another_encoding_is_told(listed: Tirage) -> None:
    Path("list.csv.mapping.toml").write_bytes(b'[columns]\n"\xe9" = ""\n')
    assert "it is no text in UTF-8" in listed("import negatives list.csv").err


def test_a_row_with_a_code_given_twice_is_refused_and_nothing_else(listed: Tirage) -> None:
    Path("twice.csv").write_text("Code,Title,Made\nA-1,Pond,1950\nA-1,Pond,1950\n")
    rows = json.loads(listed("import negatives twice.csv --json").out)
    assert [row["outcome"] for row in rows if row["row"] == 3] == ["refused"]
    assert listed("import negatives twice.csv --apply --leave-refused").status == 1
    again = listed("import negatives twice.csv").out
    assert "row 2 of twice.csv was imported before as A-1 with the same cells" in again
    assert "other cells" not in again


@pytest.mark.parametrize(
    "last",
    [
        "Total,,,571",
        "Summe:,,,12.5",
        "Somme,,,1 200 €",
        "TOTAL,,,",
        ",Total,,571",
        "Total: 571 plates,,,",
        "Sous-total,,,3",
    ],
)
@pytest.mark.parametrize("noun", ["negatives", "parties"])
def test_the_sum_below_a_list_is_no_thing(listed: Tirage, noun: str, last: str) -> None:
    head = "Code,Title,Made,Found" if noun == "negatives" else "Name,Born,Kind,Found"
    Path("sums.csv").write_text(f"{head}\nA-1,Pond,1950,2\n{last}\n")
    answer = listed(f"import {noun} sums.csv")
    assert "reads as the sum of a list" in answer.out and "\n1 to be added" in answer.out, answer.out
    assert "1 row refused" in answer.out


def test_a_sum_of_many_columns_is_no_thing(listed: Tirage) -> None:
    rows = (
        ";Total;;200;2;100",
        ";Total;;40;50;200;4",
        ";Grand total;;1;2;3;4",
        ";Summe;;9;8;7",
        "Total;;;252.0;336.0;9",
        "Summe;;1;2;3;4",
        "Gesamt;–;1 200 €;25 kg;=SUM(D2:D9);4",
    )
    head = "Code;Title;Made;Height (cm);Width (cm);Weight (g);Count"
    lines = [f"{row}{';' * (6 - row.count(';'))}" for row in rows]
    Path("sums.csv").write_text("\n".join((head, "A-1;Pond;1950;20;25;300;1", *lines)) + "\n")
    answer = listed("import negatives sums.csv")
    assert answer.out.count("reads as the sum of a list") == len(rows) and "\n1 to be added" in answer.out, answer.out


def test_the_sum_of_a_workbook_is_no_thing(listed: Tirage) -> None:
    from openpyxl import Workbook

    book = Workbook()
    for cells in (["Titel", "Höhe (cm)", "Breite (cm)", "Dicke", "Gewicht"], ["Pond", 20, 25, 2, 300]):
        book.active.append(cells)
    book.active.append(["Summe", 252.0, 336.0, 24, 3600])
    book.save("sums.xlsx")
    assert "reads as the sum of a list (“Summe; 252; 336; 24; 3600”)" in listed("import negatives sums.xlsx").out


@pytest.mark.parametrize(
    "row",
    [
        "A-2,Total,,3",
        ",Total eclipse,,",
        ",Total,1950,c. 8x10",
        ",Sum of parts,,2",
        ",Sommer,,2",
        ",Somme,1916,",
        ",Somme 1916,,",
        ",Somme,,",
    ],
)
def test_what_is_called_alike_is_no_sum(listed: Tirage, row: str) -> None:
    Path("sums.csv").write_text(f"Code,Title,Made,Found\nA-1,Pond,1950,2\n{row}\n")
    assert "2 to be added" in listed("import negatives sums.csv").out


def test_nothing_to_add_invites_to_nothing(listed: Tirage) -> None:
    assert "run it again with --apply" in listed("import negatives list.csv").out
    listed("import negatives list.csv --apply")
    answer = listed("import negatives list.csv").out
    assert "0 to be added" in answer and "--apply" not in answer
    assert listed("party add Ada").status == 0
    Path("people.csv").write_text("Name\nAda\n")
    assert "--apply" not in listed("import parties people.csv").out
    Path("people.csv").write_text("Name,Remark\nAda,met in 2004\n")
    assert (
        "To add notes to 1 row of parties that are there, run it again with --apply"
        in listed("import parties people.csv").out
    )


def test_a_mapping_corrected_after_the_import_is_told(listed: Tirage) -> None:
    Path("list.csv").write_text("Title,Made,Size\nPond,6/15/49,8x10 in\nShed,,\n")
    mapping = Path("list.csv.mapping.toml")
    listed("import negatives list.csv")
    mapping.write_text(mapping.read_text().replace('short_years = ""', 'short_years = "1800"'))
    assert listed("import negatives list.csv --apply").status == 0
    assert "read otherwise" not in listed("import negatives list.csv --apply").out
    mapping.write_text(mapping.read_text().replace('short_years = "1800"', 'short_years = "1900"'))
    answer = listed("import negatives list.csv --apply").out
    assert "read otherwise when they were imported (row 2: made 15 June 1849, now 15 June 1949)" in answer
    assert "tirage undo takes that import back" in answer or "tirage undo takes it back" in answer
    mapping.write_text(mapping.read_text().replace('"Made" = "made"', '"Made" = "note"'))
    assert "“Made” was taken for made, now for note" in listed("import negatives list.csv").out


def test_what_was_corrected_by_hand_is_not_read_otherwise(listed: Tirage) -> None:
    assert listed("import negatives list.csv --apply").status == 0
    assert listed("correct N-0001 made=1951 --why misread").status == 0
    assert "read otherwise" not in listed("import negatives list.csv").out


def test_dates_of_a_workbook_are_as_exact_as_they_are_shown(listed: Tirage) -> None:
    import datetime

    from openpyxl import Workbook

    book = Workbook()
    book.active.append(["Title", "Made"])
    for row, form in enumerate(("mmm-yy", "yyyy", "d-mmm", "d mmm yyyy"), 2):
        book.active.append([f"Pond {row}", datetime.date(1905, 6, 1)])
        book.active[f"B{row}"].number_format = form
    book.save("list.xlsx")
    rows = json.loads(listed("import negatives list.xlsx --json").out)
    read = {row["row"]: row["told"] for row in rows if row["outcome"] == "would be added"}
    assert [read[row].split("made: ")[1].split(";")[0] for row in (2, 3, 4, 5)] == [
        "June 1905", "1905", "1 June 1905", "1 June 1905",
    ]  # fmt: skip
    assert [row["row"] for row in rows if row["outcome"] == "doubtful"] == [4]  # shown without its year
