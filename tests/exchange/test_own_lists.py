"""Our own lists come back as they went, and what is in a bag stays as it was packed."""

import csv
import shutil
import sqlite3
from pathlib import Path

import bagit
import pytest

from catalog.cli.main import run
from catalog.exchange.bag.lists import LISTS
from catalog.exchange.importing import mapping
from catalog.exchange.importing.prints import Prints
from catalog.exchange.importing.tables import read_table
from catalog.exchange.own_lists import PLATES, PRINTS
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
    with pytest.raises(mapping.MappingFileError, match="Stand in another folder"):
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
