"""A list that is kept on: new rows are added, changed ones are told and become no second thing."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Tirage

PLATES = "Nr;Title;Date;Format;Process\n1;Pier;1998;8x10;wet collodion\n2;Pier;1999;8x10;wet collodion\n"
LATER = "3;Barn;2001;8x10;wet collodion\n"


@pytest.fixture
def begun_in(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of a new catalog, in which one stands."""
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    return tmp_path / "studio"


@pytest.fixture
def first(tirage: Tirage, begun_in: Path) -> Tirage:
    """A catalog into which the first version of a list was brought."""
    Path("plates.csv").write_text(PLATES)
    assert tirage("import negatives plates.csv --apply").status == 0
    return tirage


def told(tirage: Tirage, text: str, name: str, more: str = "") -> dict[int, tuple[str, str]]:
    """Row -> outcome and sentence, of what holds for a whole row."""
    Path(name).write_text(text)
    rows: list[dict[str, Any]] = json.loads(tirage(f"import negatives {name} --json {more}").out)
    return {row["row"]: (row["outcome"], row["told"]) for row in reversed(rows) if not row["column"] and row["row"]}


@pytest.mark.parametrize("name", ["plates.csv", "plates-2026.csv"])
@pytest.mark.parametrize(
    ("before", "after", "column"),
    [("1998", "1997", "Date"), ("1;Pier;1998", "1;Pier at low water;1998", "Title"), (";8x10", ";18x24cm", "Format")],
)
def test_a_changed_row_is_found_in_any_file_and_at_any_line(
    first: Tirage, name: str, before: str, after: str, column: str
) -> None:
    head, body = PLATES.split("\n", 1)
    rows = told(first, f"{head}\n{LATER}{body.replace(before, after, 1)}", name)
    assert rows[2][0] == "would be added" and rows[4][0] == "there already"
    assert rows[3][0] == "refused" and "imported before as N-0001, from row 2 of plates.csv" in rows[3][1]
    assert f"with other cells ({column})" in rows[3][1] and "tirage correct N-0001" in rows[3][1]


def test_with_again_it_is_added_as_another(first: Tirage) -> None:
    rows = told(first, PLATES.replace("1998", "1997"), "v2.csv", "--again")
    assert rows[2][0] == "would be added"
    assert "added as another negative" in first("import negatives v2.csv --again --apply").out
    assert "N-0003" in first("negative list").out


def test_another_list_that_counts_from_one_too_is_no_version_of_it(first: Tirage) -> None:
    other = "Nr;Title;Date;Format;Process\n1;Mill;2004;4x5;dry plate\n2;Weir;2005;4x5;dry plate\n"
    assert {outcome for outcome, _ in told(first, other, "dry.csv").values()} == {"would be added"}


def test_alike_rows_that_were_never_there_are_new(first: Tirage) -> None:
    rows = told(first, PLATES + "3;Pier;2000;8x10;wet collodion\n4;Pier;1999;8x10;wet collodion\n", "v2.csv")
    assert [rows[line][0] for line in (4, 5)] == ["would be added"] * 2


def test_without_numbers_the_title_and_the_date_tell_it(first: Tirage) -> None:
    rows = told(first, "Title;Date;Process\nPier;1999;dry plate\nShed;1999;dry plate\n", "other.csv")
    assert (rows[2][0], rows[3][0]) == ("refused", "would be added")
    assert "imported before as N-0002" in rows[2][1]


def test_prints_of_other_numbers_are_other_prints(brought_in: Tirage) -> None:
    text = Path("studio_prints.csv").read_text(encoding="utf-8")
    head, one, *_ = text.splitlines()
    Path("v2.csv").write_text(f"{head}\n{one}\n" + one.replace("1/25", "4/25") + "\n", encoding="utf-8")
    assert "1 to be added; 1 row there already" in brought_in("import prints v2.csv").out


def test_a_changed_telephone_is_told_and_kept_nowhere(first: Tirage) -> None:
    Path("people.csv").write_text("Name,Telephone\nAda,030 1\nBea,030 7\n")
    assert first("import parties people.csv --apply").status == 0
    Path("people.csv").write_text("Name,Telephone\nAda,030 2\nBea,030 7\n")
    answer = first("import parties people.csv --apply")
    assert "030 2" in answer.out and "has another telephone already" in answer.out and answer.out.count("030 7") == 0
    assert b"030 2" not in Path("catalog.db").read_bytes()


def test_a_telephone_added_to_a_list_is_taken_until_it_was_forgotten(first: Tirage) -> None:
    Path("people.csv").write_text("Name,Town\nAda,Port Example\n")
    assert first("import parties people.csv --apply").status == 0
    Path("people.csv").write_text("Name,Town,Telephone\nAda,Port Example,030 2\n")
    assert "this one is added" in first("import parties people.csv").out
    assert "030 2" not in first("party show Ada").out
    assert first("import parties people.csv --apply").status == 0
    assert "030 2" in first("party show Ada").out
    assert first("undo").status == 0
    assert "030 2" not in first("party show Ada").out
    assert "this one is added" in first("import parties people.csv --apply").out
    assert "030 2" in first("party show Ada").out
    assert first("check").status == 0
    assert first("party forget Ada").status == 0
    again = first("import parties people.csv --apply")
    assert "was forgotten" in again.out
    assert "030 2" not in first("party show Ada").out


def test_rows_that_belong_to_what_is_there_are_not_counted_as_added(first: Tirage) -> None:
    assert first("party add Ada").status == 0
    Path("people.csv").write_text("Name,Town\nAda,Port Example\nBea,Quarry Bay\n")
    assert "1 to be added; 1 row of parties that are there" in first("import parties people.csv").out
    assert "Added 1 party; 1 row of parties that were there." in first("import parties people.csv --apply").out


SHORT = "Title,Date\nPier,1950\nHarbour,1951\nFerry,1952\n"


@pytest.mark.parametrize(
    "text",
    [
        "Title,Date,Found\nPier,1950,\nHarbour,1951,\nFerry,1952,\n",
        "Date,Title\n1950,Pier\n1951,Harbour\n1952,Ferry\n",
        "Title,Owner's e-mail,Date\nPier,a@example.org,1950\nHarbour,,1951\nFerry,,1952\n",
    ],
)
def test_a_column_moved_or_added_empty_makes_no_other_row(tirage: Tirage, begun_in: Path, text: str) -> None:
    Path("short.csv").write_text(SHORT)
    assert tirage("import negatives short.csv --apply").status == 0
    Path("short-2027.csv").write_text(text)
    found = tirage("import negatives short-2027.csv --apply")
    assert "Added no negative; 3 rows are there already" in found.out


def test_a_short_row_with_its_title_and_another_date_is_the_changed_one(tirage: Tirage, begun_in: Path) -> None:
    Path("short.csv").write_text(SHORT)
    assert tirage("import negatives short.csv --apply").status == 0
    found = told(tirage, SHORT.replace("1951", "1959").replace("Pier", "New,1949\nPier"), "short-2.csv")
    assert found[4][0] == "refused"
    assert "N-0002, from row 3 of short.csv, with other cells (Date)" in found[4][1]
    assert found[2][0] == "would be added"
