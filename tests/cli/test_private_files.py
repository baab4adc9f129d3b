"""What a command writes is its owner's alone, is never written through a link, and does nothing in a spreadsheet."""

import csv
import os
import stat
import tempfile
from io import StringIO
from pathlib import Path

import pytest

from catalog.cli import unexpected
from catalog.cli.tables import print_rows
from catalog.documents import filing

pytestmark = pytest.mark.skipif(os.name != "posix", reason="rights to files as POSIX has them")


def rights(path: Path) -> int:
    return stat.S_IMODE(path.lstat().st_mode)


@pytest.fixture(autouse=True)
def generous_umask():
    before = os.umask(0o022)
    yield
    os.umask(before)


def test_a_new_catalog_is_its_owners_alone(tirage, tmp_path: Path) -> None:
    assert tirage("init", "studio", "--artist", "Mara Example").status == 0
    folder = tmp_path / "studio"
    assert rights(folder) == 0o700
    assert {name: rights(folder / name) for name in ("catalog.db", "settings.toml")} == {
        "catalog.db": 0o600, "settings.toml": 0o600,
    }  # fmt: skip


def test_what_is_public_can_be_read(tirage, tmp_path: Path) -> None:
    assert tirage("init", "studio", "--artist", "Mara Example").status == 0
    assert tirage("--catalog", "studio", "publish", "out/site").status == 0
    assert rights(tmp_path / "out" / "site" / "public.db") & 0o444 == 0o444


def test_a_document_is_its_owners_alone(tmp_path: Path) -> None:
    path = tmp_path / "out" / "provenance-private-P-000001.pdf"
    filing.keep(path, b"%PDF-1.7", "Provenance P-000001")
    assert rights(path) == 0o600 and path.read_bytes() == b"%PDF-1.7"
    assert [found.name for found in path.parent.iterdir()] == [path.name]


def test_the_log_is_kept_in_the_catalog(tmp_path: Path) -> None:
    for _ in range(2):
        log = unexpected.keep(ValueError("first"), tmp_path)
    assert log == tmp_path / "tirage.log" and rights(log) == 0o600
    assert log.read_text(encoding="utf-8").count("ValueError: first") == 2


@pytest.mark.parametrize("make", [
    lambda log, other: log.symlink_to(other),
    lambda log, other: log.symlink_to(other.with_name("nowhere")),
    lambda log, other: os.mkfifo(log),
])  # fmt: skip
def test_the_log_is_not_written_through_a_link(make, tmp_path: Path, monkeypatch, capsys) -> None:
    catalog, other = tmp_path / "catalog", tmp_path / "other.txt"
    catalog.mkdir()
    (catalog / "catalog.db").write_bytes(b"")
    other.write_text("mine", encoding="utf-8")
    make(catalog / "tirage.log", other)
    monkeypatch.chdir(catalog)
    assert unexpected.report(ValueError("secret")) == 3
    assert "No log could be written: ValueError: secret" in capsys.readouterr().err
    assert other.read_text(encoding="utf-8") == "mine" and not other.with_name("nowhere").exists()


def test_outside_a_catalog_the_log_goes_to_the_temporary_folder(tmp_path: Path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    elsewhere = tmp_path / "temporary"
    elsewhere.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(elsewhere))
    assert unexpected.report(ValueError("secret")) == 3
    (log,) = elsewhere.iterdir()
    assert str(log) in capsys.readouterr().err and rights(log) == 0o600
    assert "ValueError: secret" in log.read_text(encoding="utf-8")
    assert [path.name for path in tmp_path.iterdir()] == ["temporary"]


CELLS = {
    "=1+1": "'=1+1",
    '=HYPERLINK("http://example.org")': '\'=HYPERLINK("http://example.org")',
    "+cmd|' /C calc'!A0": "'+cmd|' /C calc'!A0",
    "-2+3": "'-2+3",
    "@SUM(A1)": "'@SUM(A1)",
    "\t=1": "'\t=1",
    "\r=1": "'\r=1",
    "a\r=1": "a\r=1",  # quoted, so that it begins no line
    "-5": "-5",
    "+1.50": "+1.50",
    "Low water = ebb": "Low water = ebb",
    "": "",
}


def test_formulas_are_text_in_csv_and_exact_in_json(capsys) -> None:
    rows = [{"title": text, "count": -3, "nothing": None} for text in CELLS]
    print_rows(rows, "csv", "")
    written = capsys.readouterr().out
    read = list(csv.DictReader(StringIO(written, newline="")))
    assert [row["title"] for row in read] == list(CELLS.values())
    assert {row["count"] for row in read} == {"-3"} and {row["nothing"] for row in read} == {""}
    print_rows([{"title": "=1+1"}], "json", "")
    assert '"=1+1"' in capsys.readouterr().out
