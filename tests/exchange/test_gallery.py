"""A gallery's list: what can be had, opened right by any spreadsheet, and nothing that is the studio's own."""

import csv
import io
import sqlite3
from pathlib import Path

import pytest

from catalog.cli.main import run
from catalog.exchange import cells, gallery


@pytest.fixture(scope="module")
def raw(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    target = tmp_path_factory.mktemp("gallery") / "list.csv"
    assert run(["--catalog", str(demo_folder), "export", "gallery", str(target)]) == 0
    return target.read_bytes()


@pytest.fixture(scope="module")
def works(raw: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(raw.decode("utf-8-sig"), newline="")))


def test_a_spreadsheet_takes_it_for_utf_8(raw: bytes) -> None:
    assert raw.startswith(b"\xef\xbb\xbf") and raw.count(b"\r\n") == raw.count(b"\n")
    assert "Žalkővā" in raw.decode("utf-8-sig")


def test_no_number_turns_into_a_date(works: list[dict[str, str]]) -> None:
    assert not any(work["number"][:1].isdigit() for work in works)
    assert any(work["number"] == "no. 4/25" for work in works)
    assert any(work["number"] == "no. 14/25 to 25/25" and work["availability"] == "to be printed" for work in works)


def test_it_has_sizes_prices_and_pictures(works: list[dict[str, str]], demo_folder: Path) -> None:
    one = next(work for work in works if work["print"] == "P-000008")
    assert (one["image (h x w), cm"], one["image (h x w), in"]) == ("16.5 × 21.6", "6½ × 8½")
    assert (one["price"], one["currency"], one["availability"]) == ("800.00", "EUR", "in the studio")
    assert all((demo_folder / "pictures" / work["picture"]).is_file() for work in works if work["picture"])


def test_inches_are_fractions_or_decimals_and_never_both_in_a_cell() -> None:
    assert gallery._sizes((240_000, 300_000)) == ("24.0 × 30.0", "9.45 × 11.81")
    assert gallery._sizes((165_100, 215_900)) == ("16.5 × 21.6", "6½ × 8½")


GONE = "SELECT c.code FROM standing s JOIN code c ON c.id = s.item, catalog WHERE s.owner IS NOT catalog.artist"
PROMISED = """SELECT e.title, m.number, e.size FROM promise m JOIN edition e ON e.id = m.edition
    WHERE m.ended = '' AND m.kind = 'numbered'"""


def test_it_lists_what_can_be_had_and_nothing_else(works: list[dict[str, str]], demo_folder: Path) -> None:
    database = sqlite3.connect(f"file:{demo_folder / 'catalog.db'}?mode=ro", uri=True)
    gone = {row[0] for row in database.execute(GONE)}
    assert gone and not {work["print"] for work in works} & gone
    assert not {work["number"].split()[0] for work in works} & {"PP", "HC", "BAT", "EC", "CP"}


def test_a_promised_number_is_in_no_run_of_those_to_be_printed(works: list[dict[str, str]], demo_folder: Path) -> None:
    database = sqlite3.connect(f"file:{demo_folder / 'catalog.db'}?mode=ro", uri=True)
    promised = database.execute(PROMISED).fetchall()
    assert promised
    for title, number, size in promised:
        for work in works:
            if work["title"] == title and work["number"].endswith(f"/{size}"):
                first, _, last = work["number"].removeprefix("no. ").partition(" to ")
                assert not int(first.split("/")[0]) <= number <= int((last or first).split("/")[0])


def test_nothing_of_the_studio_is_in_it(raw: bytes, demo_folder: Path) -> None:
    text = raw.decode("utf-8-sig")
    database = sqlite3.connect(f"file:{demo_folder / 'catalog.db'}?mode=ro", uri=True)
    words = [
        row[0] for row in database.execute("SELECT name FROM party WHERE kind <> 'artist' UNION SELECT name FROM place")
    ]
    assert words and [word for word in words if len(word) > 6 and word in text] == []


def test_formulas_are_defused(demo_folder: Path, tmp_path: Path) -> None:
    import shutil

    folder = Path(shutil.copytree(demo_folder, tmp_path / "studio"))
    at = ["--catalog", str(folder)]
    evil = "=cmd|' /C calc'!A0"
    assert run([*at, "correct", "e2", f"title={evil}", "--why", "to test"]) == 0
    assert run([*at, "export", "gallery", str(tmp_path / "list.csv"), "--editions", "e2"]) == 0
    works = list(csv.DictReader(io.StringIO((tmp_path / "list.csv").read_text("utf-8-sig"), newline="")))
    assert {work["title"] for work in works} == {f"'{evil}"}
    assert cells.read(works[0]["title"]) == evil


def test_without_anything_shown_it_says_what_to_do(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["init", str(tmp_path / "c"), "--artist", "A. Example"]) == 0
    assert run(["--catalog", str(tmp_path / "c"), "export", "gallery", str(tmp_path / "list.csv")]) == 0
    assert "tirage shown e1" in capsys.readouterr().out
