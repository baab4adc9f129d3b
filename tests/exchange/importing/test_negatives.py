"""Negatives out of a studio's own list, and lists brought in again."""

import csv
import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.cli.main import run
from catalog.plain_text import is_seen
from tests.cli.conftest import Tirage

HERE = Path(__file__).parent
LIST = "studio_negatives.csv"


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty catalog with the list beside it."""
    folder = tmp_path_factory.mktemp("begun") / "studio"
    assert run(["init", str(folder), "--artist", "A. Example"]) == 0
    shutil.copy(HERE / LIST, folder)
    return folder


@pytest.fixture(scope="module")
def filled(begun: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with the list brought in, but for the rows that are refused."""
    folder = Path(shutil.copytree(begun, tmp_path_factory.mktemp("filled") / "studio"))
    words = ["--catalog", str(folder), "import", "negatives", str(folder / LIST), "--apply", "--leave-refused"]
    assert run(words) == 1
    return folder


@pytest.fixture
def empty(begun: Path, tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    shutil.copytree(begun, tmp_path / "studio")
    monkeypatch.chdir(tmp_path / "studio")
    return tirage


@pytest.fixture
def full(filled: Path, tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    shutil.copytree(filled, tmp_path / "studio")
    monkeypatch.chdir(tmp_path / "studio")
    return tirage


def query(sql: str, *values: object) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect("catalog.db")) as connection:
        return connection.execute(sql, values).fetchall()


def told(tirage: Tirage, words: str) -> list[dict[str, object]]:
    found: list[dict[str, object]] = json.loads(tirage(f"{words} --json").out)
    return found


def test_a_dry_run_changes_nothing_and_names_row_and_column(empty: Tirage) -> None:
    before = Path("catalog.db").read_bytes()
    answer = empty(f"import negatives {LIST}")
    assert answer.status == 1
    assert Path("catalog.db").read_bytes() == before
    for line in (
        "64 rows below the headings, read as negatives",
        "was read as Windows-1252",
        "Row 3 was taken for the headings",
        "  Käufer d. Abzugs  kept as notes",
        "row 20 has this code already",
        "2031 has not come yet",
        "“3/4/2011” may be 2011-04-03 or 2011-03-04",
        "Nothing is changed yet.",
    ):
        assert line in answer.out, line


def test_refused_rows_stop_all_of_it_unless_they_are_left(empty: Tirage) -> None:
    answer = empty(f"import negatives {LIST} --apply")
    assert answer.status == 1
    assert "Nothing was added: 3 rows are refused" in answer.err
    assert query("SELECT count(*) FROM negative") == [(0,)]
    answer = empty(f"import negatives {LIST} --apply --leave-refused")
    assert answer.status == 1
    assert query("SELECT count(*) FROM negative") == [(61,)]
    with open(f"{LIST}.refused.csv", encoding="utf-8-sig", newline="") as opened:
        rows = list(csv.reader(opened))
    assert rows[0][0] == "Inv.-Nr."
    assert [row[0] for row in rows[1:]] == ["2009-03", "2010-07", "2031-01"]


# row of the sheet -> what it became: code, title, made, process, support, height and width in micrometres, state
BECAME = {
    5: ("2009-02", "Low water, second plate", "2009-03-14", "wet-collodion negative", 200_000, 250_000, "ready"),
    7: ("2009-04", "Quay; evening, long exposure", "2009-03", "wet-collodion negative", 200_000, 250_000, "varnished"),
    10: ("2009-07", "Ropewalk, the ropemaker", "2009~", "wet-collodion negative", 200_000, 250_000, "ready"),
    11: ("2009-08", "Boat shed", "2009?", "wet-collodion negative", 200_000, 250_000, "broken"),
    18: ("2010-05", "Sluice", "2010", "wet-collodion negative", 165_100, 215_900, "ready"),
    19: ("2010-06", "Sluice keeper", "2010-08-02", "wet-collodion negative", 165_000, 216_000, "ready"),
    20: ("2010-07", "Untitled", "2010-08-02", "wet-collodion negative", 165_000, 216_000, "ready"),
    26: ("2011-05", "Brine", "", "wet-collodion negative", 130_000, 180_000, "ready"),
    30: ("2011-09", "Scales", "2011~", "wet-collodion negative", 130_000, 180_000, "lost"),
    47: ("N-0001", "Test plate", "2014", "wet-collodion negative", None, None, "ready"),
    56: ("2015-04", "Cart, wheel", "2015", "wet-collodion negative", None, None, "ready"),
}


@pytest.mark.parametrize("line", BECAME)
def test_rows_became_what_they_say(full: Tirage, line: int) -> None:
    found = query(
        """SELECT c.code, n.title, n.made, n.process, n.height, n.width, n.state FROM import_row r
        JOIN negative n ON n.id = r.thing JOIN code c ON c.id = n.id WHERE r.line = ?""",
        line,
    )
    assert found == [BECAME[line]]


def test_every_cell_is_kept_as_written(full: Tirage) -> None:
    with open(LIST, encoding="cp1252", newline="") as opened:
        rows = dict(enumerate(csv.reader(opened, delimiter=";"), 1))
    kept = {line: json.loads(cells) for line, cells in query("SELECT line, cells FROM import_row")}
    assert len(kept) == 61
    for line, cells in kept.items():
        expected = {heading: text.strip() for heading, text in zip(rows[3], rows[line], strict=False) if text.strip()}
        assert cells == expected


def test_what_no_field_took_is_seen_and_not_public(full: Tirage) -> None:
    shown = full("negative show 2010-05").out
    assert "Alte Nr.: 15; Käufer d. Abzugs: B. Collector; Datum: 2010, printed 2014" in shown
    assert json.loads(full("negative show 2010-05 --json").out)[0]["from its list"].startswith("Alte Nr.: 15")
    assert "brought in from studio_negatives.csv, row 18: Alte Nr.: 15" in full("history 2010-05").out
    assert full("shown 2010-05").status == 0
    assert full("publish").status == 0
    public = b"".join(path.read_bytes() for path in Path("public").rglob("*") if path.is_file())
    assert b"B. Collector" not in public


def test_it_stands_where_the_list_says(full: Tirage) -> None:
    assert "Atelier/Regal 1/Fach 1" in full("where 2009-02").out
    assert "2009-09" in full("place", "show", "Atelier/Regal 1").out


def test_the_same_file_adds_nothing_and_ten_rows_more_add_ten(full: Tirage) -> None:
    outcomes = [row["outcome"] for row in told(full, f"import negatives {LIST} --apply")]
    assert (outcomes.count("there already"), outcomes.count("would be added")) == (61, 0)
    text = Path(LIST).read_bytes()
    more = "".join(f"2018-{n:02d};Tide pool;Tide;2018;wet collodion;20x25;;;gut;;{n};\r\n" for n in range(10))
    Path(LIST).write_bytes(text + more.encode("cp1252"))
    full(f"import negatives {LIST} --apply --leave-refused")
    assert query("SELECT count(*) FROM negative") == [(71,)]


def test_a_row_that_was_changed_since_is_no_second_negative(full: Tirage) -> None:
    text = Path(LIST).read_bytes()
    Path(LIST).write_bytes(
        text.replace(b"Low water, second plate", b"Low water II").replace(b";Test plate;;2014;", b";Trial;;2014;", 1)
    )
    rows = told(full, f"import negatives {LIST}")
    by_line = {row["row"]: row for row in rows if row["outcome"] in ("refused", "doubtful") and not row["column"]}
    taken = next(row for row in rows if row["row"] == 5)
    assert taken["outcome"] == "refused"
    assert "imported before as 2009-02, from row 5 of studio_negatives.csv, with other cells (Titel)" in str(
        taken["told"]
    )
    assert "imported before as N-0001, from row 47 of studio_negatives.csv, with other cells (Titel)" in str(
        by_line[47]["told"]
    )


def test_undo_takes_the_whole_import_back_and_it_can_be_brought_in_again(full: Tirage) -> None:
    assert full("check").status == 0
    before = query("SELECT digest FROM import_row ORDER BY digest")
    assert full("undo").status == 0
    for table in ("negative", "import_row", "import_file", "movement", "place", "series"):
        assert query(f"SELECT count(*) FROM {table}") == [(0,)]
    assert full("check").status == 0
    full(f"import negatives {LIST} --apply --leave-refused")
    assert query("SELECT digest FROM import_row ORDER BY digest") == before
    assert full("check").status == 0


def test_a_mapping_file_is_written_once_and_heeded(empty: Tirage) -> None:
    empty(f"import negatives {LIST}")
    mapping = Path(f"{LIST}.mapping.toml")
    text = mapping.read_text(encoding="utf-8")
    assert '"Käufer d. Abzugs" = ""' in text and 'unit = ""' in text
    text = text.replace('date_order = ""', 'date_order = "day first"').replace('"Serie" = "series"', '"Serie" = ""')
    text = text.replace("[places]\n", '[places]\n"Regal 4" = "Atelier/Regal 4"\n')
    mapping.write_text(text, encoding="utf-8")
    empty(f"import negatives {LIST} --apply --leave-refused")
    assert mapping.read_text(encoding="utf-8") == text
    assert query("SELECT made FROM negative n JOIN code USING (id) WHERE code = '2011-02'") == [("2011-04-03",)]
    assert query("SELECT count(*) FROM series") == [(0,)]
    assert query("SELECT count(*) FROM place WHERE name = 'Regal 4'") == [(1,)]


def test_two_columns_for_one_field_are_refused_until_the_mapping_says_which(empty: Tirage) -> None:
    Path("two.csv").write_text("Title,Date,Year\nPond,1950,1951\n")
    answer = empty("import negatives two.csv")
    assert answer.status == 1
    assert "“Date” and “Year” would both be the field “made” (when it was made)" in answer.err
    mapping = Path("two.csv.mapping.toml")
    mapping.write_text(mapping.read_text().replace('"Year" = "made"', '"Year" = ""'))
    assert empty("import negatives two.csv --apply").status == 0
    assert query("SELECT made, cells, notes FROM negative JOIN import_row ON thing = negative.id") == [
        ("1950", '{"Title":"Pond","Date":"1950","Year":"1951"}', '["Year"]')
    ]


WRONG_MAPPINGS = {
    "[columns]\nTitle = 3\n": '“columns” “Title”: expected text in quotes: Title = "3"',
    '[columns]\n"Neg no" = 3\n': 'expected text in quotes: "Neg no" = "3"',
    "[options]\nshort_years = 1900\n": '“short_years”: expected text in quotes: short_years = "1900"',
    "[options]\nshort_years = 19\n": 'expected "", "1800", "1900" or "2000"',
    "[options]\ndecimal = comma  # 20,3\n": 'the quotes are missing, write: decimal = "comma")',
    "[options]\nunit = “cm”\n": 'the quotes are missing, write: unit = "cm")',
    '[columns]\n"Title" = "tittle"\n': "“Title” = “tittle” is no field",
    '[options]\nunit = "ell"\n': '“options” “unit”: expected "", "mm", "cm" or "in"',
    "[colums]\n": "“colums”: this is not known here",
    "[columns\n": "it cannot be read",
}


@pytest.mark.parametrize("text", WRONG_MAPPINGS)
def test_a_wrong_mapping_file_is_a_sentence(empty: Tirage, text: str) -> None:
    Path("m.toml").write_text(text)
    answer = empty(f"import negatives {LIST} --mapping m.toml")
    assert answer.status == 1
    assert WRONG_MAPPINGS[text] in answer.err


def test_a_table_without_titles_is_told_what_is_missing(empty: Tirage) -> None:
    Path("odd.csv").write_text("Foo,Bar\n1,2\n")
    answer = empty("import negatives odd.csv")
    assert answer.status == 1
    assert "No column is the title or the code or the description, which negatives need" in answer.err


HEADINGS = ("Title", "Anything", "Else")
SEEN = st.text(st.characters(exclude_categories=["Cs"]).filter(is_seen), max_size=12)


@pytest.fixture(scope="module")
def shared(begun: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    yield Path(shutil.copytree(begun, tmp_path_factory.mktemp("shared") / "studio"))


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rows=st.lists(st.tuples(SEEN, SEEN, SEEN), min_size=1, max_size=4))
def test_any_table_of_text_goes_in_and_its_cells_come_out_unchanged(
    shared: Path, rows: list[tuple[str, str, str]]
) -> None:
    from unicodedata import normalize

    file = shared / "any.csv"
    with open(file, "w", encoding="utf-8", newline="") as opened:
        csv.writer(opened).writerows([HEADINGS, *rows])
    at = ["--catalog", str(shared)]
    expected = [
        {
            h: t
            for h, t in zip(("Title", "Anything", "Else"), (normalize("NFC", c).strip() for c in row), strict=True)
            if t
        }
        for row in rows
    ]
    expected = [row for row in expected if row]
    status = run([*at, "import", "negatives", str(file), "--apply"])
    assert status == (0 if expected else 1)
    with closing(sqlite3.connect(shared / "catalog.db")) as connection:
        found = [json.loads(row[0]) for row in connection.execute("SELECT cells FROM import_row ORDER BY id")]
    assert found == expected
    if expected:
        assert run([*at, "undo"]) == 0


SILVER = (
    # process and support as written, process as read
    ("Bromsilbergelatine", "Glas", "gelatin dry-plate negative"),
    ("Bromsilbergelatine auf Glas", "", "gelatin dry-plate negative"),
    ("Silbergelatine", "Film", "Silbergelatine"),
    ("gelatin silver print", "glass", "gelatin silver print"),
    ("albumen", "", "albumen"),
    ("Silbergelatine-Trockenplatte", "", "gelatin dry-plate negative"),
)


@pytest.mark.parametrize(("process", "support", "read"), SILVER)
def test_a_negative_is_no_print(empty: Tirage, process: str, support: str, read: str) -> None:
    Path("few.csv").write_text(f"Titel,Verfahren,Träger,Zustand\nPier,{process},{support},gut\n", encoding="utf-8")
    told = empty("import negatives few.csv --apply").out
    assert json.loads(empty("negative show n1 --json").out)[0]["process"] == read
    as_written = "The process of 1 row is not known here and stands as written" in told
    assert as_written is (support == "Film")
    assert ("Doubtful" in told) is not (as_written or process.endswith("platte"))
    assert "“gut” is none of" in told and "Zustand: gut" in empty("negative show n1").out


FILMS = (
    "colour reversal",
    "cellulose nitrate",
    "black and white: safety film",
    "photography",
    "koll. nass",
    "roll film 120",
)


def test_processes_that_are_not_known_are_told_once(empty: Tirage) -> None:
    rows = [f"Plate {number},{FILMS[number % len(FILMS)]}" for number in range(60)]
    Path("film.csv").write_text("\n".join(["Title,Medium", *rows]))
    out = empty("import negatives film.csv").out
    assert "Doubtful" not in out and "60 to be added." in out
    assert "The process of 60 rows is not known here and stands as written: " in out and " and 1 more. " in out
    mapping = Path("film.csv.mapping.toml")
    meant = '"koll. nass" = "wet-collodion negative"\n"colour reversal" = "colour slide"\n'
    mapping.write_text(mapping.read_text().replace("[processes]\n", f"[processes]\n{meant}"))
    out = empty("import negatives film.csv --apply").out
    assert "The process of 40 rows" in out and "Doubtful" not in out
    kept = {process for (process,) in query("SELECT process FROM negative")}
    assert {"wet-collodion negative", "colour slide"} < kept and not {"koll. nass", "colour reversal"} & kept


def test_a_process_that_is_misspelled_or_may_mean_another_is_doubtful(empty: Tirage) -> None:
    Path("few.csv").write_text("Title,Medium\nA,wet colodion negative\nB,copy of a plate\nC,gelatin silver print\n")
    out = empty("import negatives few.csv").out
    assert "may be wet-collodion negative, misspelled; it stands as written" in out
    assert "may turn the meaning" in out and "no process of a negative" in out and "3 rows doubtful" in out
    mapping = Path("few.csv.mapping.toml").read_text()
    assert '# "wet colodion negative" = "wet-collodion negative"    # one and the same?' in mapping
