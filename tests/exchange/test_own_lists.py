"""Our own lists come back as they went, and what is in a bag stays as it was packed."""

import csv
import json
import shutil
import sqlite3
from pathlib import Path

import bagit
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.cli.main import run
from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.exchange.bag.lists import LISTS
from catalog.exchange.free_text.dates import read_date
from catalog.exchange.free_text.sizes import read_size
from catalog.exchange.importing import mapping, mapping_errors
from catalog.exchange.importing.prints import Prints
from catalog.exchange.importing.tables import read_table
from catalog.exchange.own_lists import PLATES, PRINTS, date_text, size_text
from catalog.vocabulary import PROOF_KINDS
from tests.exchange.bag.conftest import pack

TITLES = ("=cmd|' /C calc'!A0", "'plain", "-12", "＝1", "(none)", "''Untitled''")


def test_the_headings_are_those_that_are_written(demo_folder: Path) -> None:
    opened = sqlite3.connect(demo_folder / "catalog.db")
    for own, name in ((PLATES, "plates"), (PRINTS, "prints")):
        assert own == tuple(column[0] for column in opened.execute(LISTS[name]).description)
    opened.close()


@pytest.fixture
def bag(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A bag of a catalog whose titles a spreadsheet would run."""
    folder = tmp_path / "studio"
    assert run(["init", str(folder), "--artist", "A. Example"]) == 0
    (tmp_path / "list.csv").write_text("title\n" + "\n".join(f'"{title}"' for title in TITLES), encoding="utf-8")
    assert run(["--catalog", str(folder), "import", "negatives", str(tmp_path / "list.csv"), "--apply"]) == 0
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    return pack(folder, tmp_path / "bag")


def test_titles_come_back_as_they_were_and_the_bag_stays_whole(bag: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    assert run(["init", str(other), "--artist", "A. Example"]) == 0
    plates = bag / "data" / "lists" / "plates.csv"
    for more in ((), ("--apply",)):
        assert run(["--catalog", str(other), "import", "negatives", str(plates), *more]) == 0
    opened = sqlite3.connect(other / "catalog.db")
    assert tuple(row[0] for row in opened.execute("SELECT title FROM negative ORDER BY id")) == TITLES
    opened.close()
    assert bagit.Bag(str(bag)).is_valid()
    assert [path.name for path in Path.cwd().iterdir()] == ["plates.csv.mapping.toml"]


def test_lists_of_others_are_read_as_they_stand(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("title,note\n'=1,''Untitled''\n", encoding="utf-8")
    assert read_table(tmp_path / "list.csv").lines[0].texts == ["'=1", "''Untitled''"]


def test_what_stands_in_the_bag_itself_writes_nothing(bag: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bag / "data" / "lists")
    with pytest.raises(mapping_errors.MappingFileError, match="Stand in another folder"):
        mapping.beside(Path("plates.csv"))


def test_a_list_of_prints_names_its_negative_once(demo_folder: Path, tmp_path: Path) -> None:
    bag = pack(demo_folder, tmp_path / "bag")
    table = read_table(Path(shutil.copy(bag / "data" / "lists" / "prints.csv", tmp_path)))
    columns = mapping.guessed(table.headings, Prints.fields).columns
    assert (columns["title"], columns["plate"]) == ("", "negative")
    assert mapping.guessed(("Title", "Picture", "Number"), Prints.fields).columns == {
        "Title": "negative", "Picture": "", "Number": "number",
    }  # fmt: skip
    with (tmp_path / "prints.csv").open(encoding="utf-8", newline="") as file:
        assert set(PRINTS) == set(next(csv.reader(file)))


DATES = {
    "1952-22": "summer 1952", "1952-05": "May 1952", "1952-11-03": "1952-11-03", "1952~": "c. 1952", "195X": "1950s",
    "1890/1910": "between 1890 and 1910", "../1952": "until 1952",
    "1952-21/1952-22": "between spring 1952 and summer 1952",
    "18XX": "18XX", "1952-XX-03": "1952-XX-03", "2004-06-~11": "2004-06-~11", "": "",
}  # fmt: skip
SINGLE = st.builds(
    lambda year, rest, mark: f"{year}{rest}{mark}",
    st.sampled_from(["1839", "1899", "1910", "1952", "2004"]),
    st.sampled_from(["", "-01", "-06", "-12", "-21", "-22", "-23", "-24", "-06-01", "-12-31", "-10-XX", "-XX-03"]),
    st.sampled_from(["", "~", "?", "%"]),
) | st.sampled_from(["18XX", "180X", "195X", "195X~", "19XX?"])
EDTF = SINGLE | st.builds(
    lambda form, first, last: form.format(first, last),
    st.sampled_from(
        ["{0}/{1}", "{0}/..", "../{1}", "{0}/", "/{1}", "[{0},{1}]", "{{{0},{1}}}", "[{0}..{1}]", "[..{1}]"]
    ),
    st.sampled_from(["1840", "1840~", "1841-03", "1842-22", "184X", "1843-05-06"]),
    st.sampled_from(["1850", "1850?", "1851-03", "1852-24", "185X", "1853-05-06"]),
)


@pytest.mark.parametrize("edtf", DATES)
def test_a_date_stands_in_words_where_these_are_read_back(edtf: str) -> None:
    assert date_text(edtf) == DATES[edtf]


@given(EDTF)
def test_every_date_is_read_back_as_it_is(edtf: str) -> None:
    try:
        date = parse_date(edtf)
    except NotUnderstood:
        return
    made, printed, doubts, why_not = read_date(date_text(date.edtf))
    assert (made, printed, why_not) == (date, None, "")
    assert all("day that computers write" in doubt for doubt in doubts)  # such as 1899-12-31, whatever list it is in


@given(st.integers(1, 2_000_000), st.integers(1, 2_000_000))
def test_every_size_is_read_back_to_the_micrometre(height: int, width: int) -> None:
    found = read_size(size_text(height, width))
    assert (found.height, found.width, found.doubts, found.why_not) == (height, width, (), "")


EDITIONS = """SELECT e.id, c.code, e.title, coalesce(e.size, 'open'), json_array(e.image_height, e.image_width),
    json_array(e.sheet_height, e.sheet_width), e.process, e.toning, e.declared, e.numerals, e.disclosure
    FROM edition e JOIN code c ON c.id = e.negative ORDER BY e.id"""
PAPERS = "SELECT name, description FROM paper ORDER BY id"


@pytest.fixture(scope="module")
def read_back(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The lists of the demo's bag, and those of a new catalog that was made out of them."""
    room = tmp_path_factory.mktemp("lists")
    lists = pack(demo_folder, room / "bag") / "data" / "lists"
    here = Path(shutil.copytree(lists, room / "here"))
    line = ["--catalog", str(room / "other")]
    artist = ["--artist", "Mirė Žalkővā"]
    assert run(["init", str(room / "other"), *artist]) == 0
    opened = sqlite3.connect(demo_folder / "catalog.db")
    for name, description in opened.execute(PAPERS):
        assert run([*line, "paper", "add", name, description]) == 0
    with (here / "editions.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["negative", "title", "edition", *PROOF_KINDS, "image size", "sheet size", "process", "toning",
                         "declared", "numerals", "disclosure"])  # fmt: skip
        for identity, code, title, size, image, sheet, *more in opened.execute(EDITIONS).fetchall():
            proofs = dict(opened.execute("SELECT kind, count FROM edition_proofs WHERE edition = ?", (identity,)))
            sizes = [size_text(*json.loads(sides)) for sides in (image, sheet)]
            writer.writerow([code, title, size, *(proofs.get(kind, "") for kind in PROOF_KINDS), *sizes, *more])
    opened.close()
    for noun, name in (("negatives", "plates"), ("editions", "editions")):
        assert run([*line, "import", noun, str(here / f"{name}.csv"), "--apply"]) == 0
    # One number is there twice: its print was destroyed, and replaced.
    assert run([*line, "import", "prints", str(here / "prints.csv"), "--apply", "--leave-refused"]) == 1
    return lists, pack(room / "other", room / "second") / "data" / "lists"


def lines_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_list_of_plates_is_read_back_field_by_field(read_back: tuple[Path, Path]) -> None:
    before, after = (lines_of(lists / "plates.csv") for lists in read_back)
    assert len(before) == len(after) > 20
    for one, other in zip(before, after, strict=True):
        # Who has and who owns a plate are histories, which one line does not tell; what is lost stands nowhere.
        apart = {"who has it", "owner", *(["place"] if one["state"] in ("lost", "destroyed", "deposited") else [])}
        assert {name: text for name, text in one.items() if name not in apart} == {
            name: text for name, text in other.items() if name not in apart
        }


def test_the_list_of_prints_is_read_back_field_by_field(read_back: tuple[Path, Path]) -> None:
    before, after = (lines_of(lists / "prints.csv") for lists in read_back)
    numbers = [(one["edition"], one["kind"], one["number"]) for one in before]
    before = [one for one, number in zip(before, numbers, strict=True) if not number[2] or numbers.count(number) == 1]
    assert len(before) == len(after) > 120
    for one, other in zip(before, after, strict=True):
        apart = {"code", "who has it"}
        assert {name: text for name, text in one.items() if name not in apart} == {
            name: text for name, text in other.items() if name not in apart
        }
