"""A large list in, read over, out, in and out again: nothing lost, nothing invented."""

import contextlib
import csv
import filecmp
import io
import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple
from unicodedata import normalize

import pytest

from catalog.cli.main import run
from catalog.exchange.free_text.dates import read_date
from catalog.exchange.free_text.processes import read_process
from catalog.exchange.free_text.sizes import read_size
from catalog.exchange.importing.cells import NOT_KNOWN, PRINTED, SILVER_GELATIN
from tests.exchange.bag.test_round_trip import files, rows
from tests.exchange.large_list import HEADINGS, TWICE, write_list
from tests.soaks import rounds

SHORT, LONG = 2_000, 60_000
MOST_DATES = {SHORT: 1_200, LONG: 5_000}  # different texts of dates that must be in it
FIELDS = """SELECT code.code, n.title, n.made, n.earliest, n.latest, n.process, n.height, n.width, n.made_where,
    coalesce(series.title, '') AS series, n.note, n.mark, n.description, n.thickness, n.weight, n.state, r.line,
    r.cells, r.notes FROM import_row r JOIN negative n ON n.id = r.thing JOIN code ON code.id = n.id
    LEFT JOIN series ON series.id = n.series ORDER BY r.line"""
OURS = "N-"


class Plate(NamedTuple):
    """One row of the file: its line, its cells by heading, and what the catalog has of it."""

    line: int
    written: dict[str, str]
    kept: sqlite3.Row

    def text(self, heading: str) -> str:
        """A cell on one line, as a field has it."""
        return " ".join(self.written[heading].split())


class Brought(NamedTuple):
    """A list that was tried and brought in: the catalog, the file, its rows, and what was told beforehand."""

    studio: Path
    table: Path
    plates: list[Plate]
    told: set[tuple[int, str, str, str]]  # row, outcome, column, sentence


def typed(*words: str) -> str:
    """What a command that must work prints."""
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        assert run(list(words)) == 0
    return said.getvalue()


@pytest.fixture(
    scope="module",
    params=[SHORT, pytest.param(LONG, marks=pytest.mark.soak)],
    ids=["short", "long"],
)
def brought(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Brought:
    folder = tmp_path_factory.mktemp("large")
    count = rounds(request.param, min(request.param, 10_000))
    table, studio = write_list(folder / "list.csv", count), folder / "studio"
    typed("init", str(studio), "--artist", "A. Example")
    bring = ["--catalog", str(studio), "import", "negatives", str(table)]
    tried: list[dict[str, Any]] = json.loads(typed(*bring, "--json"))
    connection = sqlite3.connect(studio / "catalog.db")
    assert connection.execute("SELECT count(*) FROM negative").fetchone()[0] == 0  # a dry run
    assert f"Added {count:,} negatives" in typed(*bring, "--apply")
    with table.open(encoding="utf-8", newline="") as file:
        written = list(csv.reader(file))[1:]
    connection.row_factory = sqlite3.Row
    kept = connection.execute(FIELDS).fetchall()
    connection.close()
    assert len(written) == len(kept) == count
    plates = [
        Plate(line, {h: normalize("NFC", text).strip() for h, text in zip(HEADINGS, cells, strict=True)}, row)
        for line, (cells, row) in enumerate(zip(written, kept, strict=True), 2)
    ]
    assert [one.line for one in plates] == [one.kept["line"] for one in plates]
    assert len({one.text("Date") for one in plates}) >= min(MOST_DATES[request.param], count * 3 // 5)
    told = {(one["row"], one["outcome"], one["column"], one["told"]) for one in tried}
    return Brought(studio, table, plates, told)


def test_every_cell_is_kept_as_it_was_written(brought: Brought) -> None:
    for one in brought.plates:
        assert json.loads(one.kept["cells"]) == {heading: text for heading, text in one.written.items() if text}


def test_every_field_says_what_its_cell_says_and_nothing_else(brought: Brought) -> None:
    for one in brought.plates:
        kept, code = one.kept, one.text("Accession number")
        own = code if 0 < len(code) <= 24 else ""
        assert kept["code"] == own if own else kept["code"].startswith(OURS)
        assert kept["title"] == (one.text("Title") or "Untitled")
        assert (kept["made_where"], kept["series"]) == (one.text("Place made"), one.text("Series"))
        assert kept["note"] == one.text("Notes")
        assert (kept["mark"], kept["description"], kept["thickness"], kept["weight"]) == ("", "", None, None)
        assert kept["state"] == "ready"
        noted = set(json.loads(kept["notes"]))
        must = {heading for heading in ("Credit line", "Object URL") if one.written[heading]}
        must |= {"Accession number"} if code and not own else set()
        assert must <= noted <= must | {"Date", "Dimensions", "Medium"}


def test_every_date_is_what_was_read_and_what_was_not_read_is_told(brought: Brought) -> None:
    unread = 0
    for one in brought.plates:
        made = (one.kept["made"], one.kept["earliest"], one.kept["latest"])
        text, noted = one.text("Date"), "Date" in json.loads(one.kept["notes"])
        if not text:
            assert made == ("", "", "") and not noted
            continue
        reading = read_date(text)
        expected = (reading.made.edtf, reading.made.earliest, reading.made.latest) if reading.made else ("", "", "")
        assert made == expected, text
        assert noted == (reading.made is None or reading.printed is not None), text
        assert all((one.line, "doubtful", "Date", doubt) in brought.told for doubt in reading.doubts), text
        if reading.why_not:
            unread += 1
            assert (one.line, "kept as note", "Date", reading.why_not) in brought.told, text
    assert 0 < unread < len(brought.plates) // 20


def test_every_size_and_medium_is_what_was_read_and_what_was_not_read_is_told(brought: Brought) -> None:
    for one in brought.plates:
        noted = json.loads(one.kept["notes"])
        for heading, kept, reading, read in _sizes_and_mediums(one):
            assert kept == read, one.text(heading)
            if not one.text(heading):
                assert heading not in noted
            elif heading == "Dimensions" and reading.why_not:
                assert heading in noted and (one.line, "kept as note", heading, reading.why_not) in brought.told
            elif reading.why_not:
                as_written = f"{reading.why_not.rstrip('.')}; it stands as written"
                unknown = reading.why_not.endswith(NOT_KNOWN)  # told once, of the whole list
                assert ((one.line, "doubtful", heading, as_written) in brought.told) is not unknown
            else:
                outcome = "kept as note" if heading == "Medium" and reading.rest else "doubtful"
                assert all((one.line, outcome, heading, doubt) in brought.told for doubt in reading.doubts)


def _sizes_and_mediums(one: Plate) -> Iterator[tuple[str, Any, Any, Any]]:
    """Heading, what is kept, the reading, and what it must be."""
    size, medium = one.text("Dimensions"), one.text("Medium")
    reading = read_size(size)
    yield "Dimensions", (one.kept["height"], one.kept["width"]), reading, (reading.height, reading.width)
    process = read_process(medium)
    silver = SILVER_GELATIN.search(medium) or process.process.endswith("print")
    if silver and not process.process.endswith("negative"):  # of a print, and this is a list of negatives
        coated = SILVER_GELATIN.search(medium) and not PRINTED.search(medium)
        why_not = NOT_KNOWN if coated else "no process of a negative that is known here"
        process = process._replace(why_not=why_not, process="")
    yield "Medium", one.kept["process"], process, process.process or medium


def test_what_stands_there_twice_is_told_and_kept_twice(brought: Brought) -> None:
    first: dict[tuple[str, ...], int] = {}
    twice = 0
    for one in brought.plates:
        cells = tuple(one.written.values())
        before = first.setdefault(cells, one.line)
        if before != one.line:
            twice += 1
            assert (one.line, "doubtful", "", f"the same as row {before}; added as another negative") in brought.told
    assert twice >= len(brought.plates) // TWICE


def test_out_and_in_and_out_again_is_the_same_and_the_list_adds_nothing(brought: Brought, tmp_path: Path) -> None:
    first, second, back = tmp_path / "first", tmp_path / "second", tmp_path / "back"
    typed("--catalog", str(brought.studio), "export", "bag", str(first))
    typed("import", "bag", str(first), "--into", str(back))
    assert rows(back) == rows(brought.studio)
    typed("--catalog", str(back), "export", "bag", str(second))
    times = {"bag-info.txt", "tagmanifest-sha256.txt", "tagmanifest-sha512.txt"}  # another day, if it is midnight
    assert files(first) == files(second)
    assert {name for name in files(first) if not filecmp.cmp(first / name, second / name, shallow=False)} <= times
    again = typed("--catalog", str(back), "import", "negatives", str(brought.table), "--apply")
    assert f"Added no negative; {len(brought.plates):,} rows are there already." in again
    assert rows(back) == rows(brought.studio)
