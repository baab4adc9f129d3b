"""What whole columns leave open or contradict, and what one line of the mapping file did to them."""

from pathlib import Path

import pytest

from tests.cli.conftest import Tirage
from tests.exchange.importing.conftest import Listed


@pytest.fixture
def begun(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    """A begun catalog of an artist who lived from 1908 to 1955."""
    life = ("--born", "1908", "--died", "1955")
    assert tirage("init", "studio", "--artist", "A. Example", *life).status == 0
    monkeypatch.chdir(tmp_path / "studio")
    return tirage


def option(listed: Listed, begun: Tirage, rows: tuple[str, ...], **options: str) -> str:
    """What an import says of dates in a column with these options in the mapping file."""
    begun("import", "negatives", listed("Title|Made", *(f"Plate {place}|{row}" for place, row in enumerate(rows))))
    mapping = Path("list.csv.mapping.toml")
    text = mapping.read_text()
    for name, said in options.items():
        assert f'{name} = ""' in text
        text = text.replace(f'{name} = ""', f'{name} = "{said}"')
    mapping.write_text(text)
    return begun("import negatives list.csv").out


CONTRADICTED = (
    ("month first", ("3/4/1953", "31/12/53", "30/11/53"), "“31/12/53” in row 3 has the day first, and 1 more alike"),
    ("month first", ("3/4/1953", "31.12.1953"), "“31.12.1953” in row 3 has the day first; but date_order"),
    ("day first", ("12/31/1953", "3/4/1953"), "“12/31/1953” in row 2 has the month first; but date_order"),
    ("day first", ("3. 4. 1953", "12-31-53"), "“12-31-53” in row 3 has the month first"),
    ("month first", ("53-05-12", "31/12/53", "3/4/53"), "“31/12/53” in row 3 has the day first"),
    ("month first", ("53-05-12", "31-12-53", "30-05-12"), "“31-12-53” in row 3 has the day first; but"),
)


@pytest.mark.parametrize(("order", "rows", "told"), CONTRADICTED)
def test_a_column_that_has_another_order_than_was_said_is_told_once(
    begun: Tirage, listed: Listed, order: str, rows: tuple[str, ...], told: str
) -> None:
    out = option(listed, begun, rows, date_order=order, short_years="1900")
    assert out.count(f"Mind: under “Made” {told}") == 1, out
    assert f"says {order}, and every day that may be either was read so" in out


def test_what_a_heading_says_of_the_order_is_compared_too(begun: Tirage, listed: Listed) -> None:
    out = begun("import", "negatives", listed("Title|Date (mm/dd/yyyy)", "Pond|31/12/1953", "Shed|3/4/1953")).out
    assert "Mind: under “Date (mm/dd/yyyy)” “31/12/1953” in row 2 has the day first; but date_order" in out


AGREED = (
    ("day first", ("31/12/1953", "3/4/1953")),
    ("month first", ("12/31/1953", "3/4/1953", "53-05-12", "9.-25. June 1953")),
    ("month first", ("53-05-12", "30-05-12", "3/4/1953")),  # the year stands first in that column
    ("month first", ("1953-31-12", "1953-05-31")),
)


@pytest.mark.parametrize(("order", "rows"), AGREED)
def test_nothing_is_told_of_a_column_that_agrees(
    begun: Tirage, listed: Listed, order: str, rows: tuple[str, ...]
) -> None:
    assert "Mind: under" not in option(listed, begun, rows, date_order=order)


EVIDENCE = (
    (("3/4/1953", "53-05-12"), "with date_order."),
    (("3/4/1953", "53-05-12", "14/3/1953"), "with date_order: “14/3/1953” in row 4 has the day first."),
    (("3/4/1953", "3/14/53"), "with date_order: “3/14/53” in row 3 has the month first."),
    (
        ("3/4/1953", "14/3/53", "3/14/1953"),
        "the day first, “3/14/1953” in row 4 has the month first; the column has both",
    ),
)


@pytest.mark.parametrize(("rows", "told"), EVIDENCE)
def test_only_days_whose_year_stands_last_are_evidence(
    begun: Tirage, listed: Listed, rows: tuple[str, ...], told: str
) -> None:
    out = option(listed, begun, rows)
    assert told in out, out


def test_how_many_years_were_completed_is_told_once(begun: Tirage, listed: Listed) -> None:
    rows = ("May-43", "Oct-37", "12 May 1950", "c. 1948", "Mar-51", "")
    out = option(listed, begun, rows, short_years="1900")
    assert out.count("short_years made years of 3 cells under “Made”, from 1937 (Oct-37) to 1951 (Mar-51).") == 1, out
    out = option(lambda *rows: listed(*rows), begun, ("1950",))  # the mapping file of before stays
    assert "short_years made" not in out


def test_a_year_to_come_that_was_completed_points_at_the_mapping_file(begun: Tirage, listed: Listed) -> None:
    out = option(listed, begun, ("May-53", "June 2053"), short_years="2000")
    told = [line for line in out.splitlines() if "has not come yet" in line]
    assert "Its hundred is that of short_years in the mapping file" in told[0] and told[0].startswith("2 ")
    assert "Mend the cell." in told[1] and "short_years" not in told[1]


def test_a_plate_of_no_year_of_the_artist_is_doubted_and_checked(begun: Tirage, listed: Listed) -> None:
    rows = ("May-98", "1849", "1955", "c. 1908", "1900/1910", "", "1960")
    out = option(listed, begun, rows, short_years="1900")
    doubts = out.partition("Doubtful:")[2].partition("To be added")[0]
    assert "after A. Example died (1955); its hundred is that of short_years in the mapping file" in doubts
    assert "read as 1849, before A. Example was born (1908)" in doubts and "3 rows doubtful" in out
    assert "read as 1960, after A. Example died (1955)" in doubts
    assert begun("import negatives list.csv --apply").status == 0
    answer = begun("check")
    assert "N-0001 is dated May 1998, after A. Example died (1955)" in answer.out
    assert "N-0002 is dated 1849, before A. Example was born (1908)" in answer.out
    assert answer.out.count("is dated") == 3 and answer.status == 1
