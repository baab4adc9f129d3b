"""What stands in a bag, and that it stands there whole or not at all."""

import csv
import json
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import bagit
import pytest

from catalog.cli.main import run
from catalog.exchange import cells
from catalog.exchange.bag.errors import DamagedCatalogError, FolderTakenError, NotWrittenError
from catalog.exchange.bag.layout import decoded, encoded
from catalog.exchange.bag.packing import Packing
from tests.exchange.bag.conftest import pack


def copied(demo_folder: Path, tmp_path: Path) -> Path:
    """The demo, to be spoiled."""
    return Path(shutil.copytree(demo_folder, tmp_path / "studio"))


def test_the_library_finds_it_valid(packed: Path) -> None:
    # The reference library of the Library of Congress for RFC 8493.
    found = bagit.Bag(str(packed))
    assert found.validate()
    assert set(found.algorithms) == {"sha256", "sha512"}
    assert found.info["Bagging-Date"] == "2026-06-01"
    assert found.info["Internal-Sender-Description"].startswith("PRIVATE")


def test_names_are_encoded_as_the_rfc_has_it() -> None:
    # RFC 8493, 2.1.3: line feed, carriage return and percent sign, and only those.
    for name, written in (("a%b", "a%25b"), ("a\nb", "a%0Ab"), ("a\rb", "a%0Db"), ("%0A", "%250A"), ("a b", "a b")):
        assert encoded(name) == written
        assert decoded(written) == name


def test_the_csv_files_are_what_their_metadata_says(packed: Path) -> None:
    """Read with nothing but csv-metadata.json: every value as the database has it."""
    csv.field_size_limit(2**31 - 1)
    data = packed / "data"
    group = json.loads((data / "csv-metadata.json").read_text(encoding="utf-8"))
    assert group["@context"][0] == "http://www.w3.org/ns/csvw"
    database = sqlite3.connect(f"file:{data / 'catalog.db'}?mode=ro&immutable=1", uri=True)
    tables = {table["url"]: table["tableSchema"] for table in group["tables"]}
    for url, schema in tables.items():
        with (data / url).open(encoding="utf-8", newline="") as file:
            head, *lines = csv.reader(file)
        assert head == [column["name"] for column in schema["columns"]]
        assert all(column["dc:description"] for column in schema["columns"])
        name, key = Path(url).stem, schema["primaryKey"]
        names = ", ".join(f'"{column}"' for column in head)
        order = ", ".join(f'"{column}"' for column in key)
        found = database.execute(f'SELECT {names} FROM "{name}" ORDER BY {order}').fetchall()
        assert [tuple(map(read, schema["columns"], line)) for line in lines] == found, name
        for foreign in schema.get("foreignKeys", []):
            theirs = tables[foreign["reference"]["resource"]]
            assert set(foreign["reference"]["columnReference"]) <= {column["name"] for column in theirs["columns"]}


def read(column: dict[str, object], cell: str) -> object:
    """A cell by what the metadata says of its column."""
    null = column["null"]
    if cell in (null if isinstance(null, list) else [null]):
        return None
    return int(cell) if column["datatype"] == {"base": "integer"} else cells.read(cell)


def test_json_holds_the_same(packed: Path) -> None:
    database = sqlite3.connect(f"file:{packed / 'data' / 'catalog.db'}?mode=ro&immutable=1", uri=True)
    database.row_factory = sqlite3.Row
    for name in ("print", "edition", "journal", "undoing"):
        found = json.loads((packed / "data" / "json" / f"{name}.json").read_text(encoding="utf-8"))
        assert found == [dict(row) for row in database.execute(f"SELECT * FROM {name} ORDER BY 1")]


def test_the_lists_say_each_thing_once(packed: Path) -> None:
    database = sqlite3.connect(f"file:{packed / 'data' / 'catalog.db'}?mode=ro&immutable=1", uri=True)
    for name, table in (("plates", "negative"), ("prints", "print")):
        with (packed / "data" / "lists" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            lines = list(csv.DictReader(file))
        query = f"SELECT code FROM code JOIN {table} USING (id) ORDER BY id"
        assert [line["code"] for line in lines] == [row[0] for row in database.execute(query)]
    one = next(line for line in lines if line["code"] == "P-000004")
    assert (one["edition"], one["kind"], one["number"], one["of"], one["image size"]) == (
        "E-0001", "numbered", "1", "25", "16.51 × 21.59 cm",
    )  # fmt: skip


def test_no_private_key_and_no_formula_is_in_it(packed: Path, demo_folder: Path) -> None:
    secret = next((demo_folder / "keys").glob("*.pem")).read_text().splitlines()[1]
    for path in packed.rglob("*"):
        if path.is_file():
            assert b"PRIVATE KEY" not in path.read_bytes() and secret.encode() not in path.read_bytes(), path
    for path in (packed / "data" / "tables").glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as file:
            for line in csv.reader(file):
                assert not any(cell.startswith(("=", "@", "+", "\t")) for cell in line), path


def test_only_its_owner_reads_it(packed: Path) -> None:
    assert packed.stat().st_mode & 0o077 == 0
    assert (packed / "data" / "catalog.db").stat().st_mode & 0o077 == 0


def test_the_page_in_plain_language(packed: Path) -> None:
    text = (packed / "data" / "READ ME FIRST.txt").read_text(encoding="utf-8")
    for words in (
        "PRIVATE",
        "micrometres",
        "milligrams",
        "nanograms",
        "EDTF",
        "sha256sum -c",
        "(none)",
        "schema/index.md",
    ):
        assert words in text
    assert "{artist}" not in text and "{script}" not in text and max(map(len, text.splitlines())) <= 80


def test_its_script_proves_the_journal(packed: Path) -> None:
    text = (packed / "data" / "READ ME FIRST.txt").read_text(encoding="utf-8")
    script = text.partition("without anything else:\n\n")[2].partition("\n\n")[0]
    lines = "\n".join(line[6:] for line in script.splitlines())
    done = subprocess.run([sys.executable, "-c", lines], cwd=packed / "data", capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    info = (packed / "bag-info.txt").read_text(encoding="utf-8")
    assert done.stdout.split()[-1] in info


@pytest.mark.skipif(shutil.which("openssl") is None or sys.platform == "win32", reason="needs openssl and a shell")
def test_its_recipe_verifies_a_certificate(packed: Path, tmp_path: Path) -> None:
    text = (packed / "data" / "READ ME FIRST.txt").read_text(encoding="utf-8")
    recipe = text.partition("With OpenSSL 3:\n\n")[2].partition("\n\n")[0]
    key = next((packed / "data" / "keys").glob("*.pem"))
    recipe = recipe.replace("../../keys/KEY.pem", str(key))
    statement = (packed / "data" / "certificates" / "C-0001" / "statement.jws").read_text()
    for text, good in (
        (statement, True),
        (statement[:80] + ("A" if statement[80] != "A" else "B") + statement[81:], False),
    ):
        (tmp_path / "statement.jws").write_text(text)
        done = subprocess.run(["sh", "-c", recipe], cwd=tmp_path, capture_output=True, text=True)
        assert (done.returncode == 0) is good, done.stderr


def test_certificates_keep_their_papers(packed: Path, demo_folder: Path) -> None:
    folder = packed / "data" / "certificates" / "C-0001"
    assert (folder / "certificate-C-0001.pdf").read_bytes() == (
        demo_folder / "out" / "certificate-C-0001.pdf"
    ).read_bytes()
    assert json.loads((folder / "facts.json").read_text(encoding="utf-8"))["certificate"] == "C-0001"


def test_nothing_is_written_over(demo_folder: Path, tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    with pytest.raises(FolderTakenError):
        pack(demo_folder, tmp_path / "there")
    assert [path.name for path in tmp_path.iterdir()] == ["there"]


def test_a_disk_that_fails_leaves_nothing(demo_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Packing, name: str, source: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Packing, "add_file", full)
    with pytest.raises(NotWrittenError, match="No space left"):
        pack(demo_folder, tmp_path / "bag")
    assert list(tmp_path.iterdir()) == []


def test_a_damaged_catalog_is_refused_unless_told(demo_folder: Path, tmp_path: Path) -> None:
    folder = copied(demo_folder, tmp_path)
    opened = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    trigger = opened.execute("SELECT sql FROM sqlite_master WHERE name = 'journal_update_series'").fetchone()[0]
    opened.execute("DROP TRIGGER journal_update_series")
    opened.execute("UPDATE series SET note = 'forged' WHERE id = 1")
    opened.execute(trigger)
    opened.close()
    with pytest.raises(DamagedCatalogError, match="changed without the journal"):
        pack(folder, tmp_path / "bag")
    assert not (tmp_path / "bag").exists()
    text = (pack(folder, tmp_path / "bag", anyway=True) / "data" / "READ ME FIRST.txt").read_text(encoding="utf-8")
    assert "changed without the journal" in " ".join(text.split())


def test_a_changed_picture_is_damage(demo_folder: Path, tmp_path: Path) -> None:
    folder = copied(demo_folder, tmp_path)
    next((folder / "pictures").glob("N-0001*")).write_bytes(b"another")
    with pytest.raises(DamagedCatalogError, match="was changed since it was recorded"):
        pack(folder, tmp_path / "bag")


def test_links_are_left_out(demo_folder: Path, tmp_path: Path) -> None:
    folder = copied(demo_folder, tmp_path)
    secret = tmp_path / "secret.txt"
    secret.write_text("private words")
    (folder / "pictures" / "link.jpg").symlink_to(secret)
    (folder / "pictures" / "elsewhere").symlink_to(tmp_path)
    bag = pack(folder, tmp_path / "bag")
    assert not {path.name for path in (bag / "data" / "pictures").iterdir()} & {"link.jpg", "elsewhere"}


def test_odd_names_of_pictures(demo_folder: Path, tmp_path: Path) -> None:
    from catalog.exchange.bag.validation import validate

    folder = copied(demo_folder, tmp_path)
    for name in ("100%25 sure.jpg", "two\nlines.jpg", "= 1.jpg", "Žofie 日本.jpg"):
        (folder / "pictures" / name).write_bytes(b"x")
    bag = pack(folder, tmp_path / "bag")
    assert "100%2525 sure.jpg" in (bag / "manifest-sha256.txt").read_text(encoding="utf-8")
    assert "data/pictures/two\nlines.jpg" in validate(bag).payload


def test_the_catalog_is_not_touched(demo_folder: Path, tmp_path: Path) -> None:
    before = (demo_folder / "catalog.db").read_bytes()
    pack(demo_folder, tmp_path / "bag")
    assert (demo_folder / "catalog.db").read_bytes() == before


def test_the_command_says_that_it_is_private(
    demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["--catalog", str(demo_folder), "export", "bag", str(tmp_path / "bag")]) == 0
    told = capsys.readouterr()
    assert "READ ME FIRST.txt" in told.out and "PRIVATE" in told.err
    assert run(["--catalog", str(demo_folder), "export", "bag", str(tmp_path / "bag")]) == 1
