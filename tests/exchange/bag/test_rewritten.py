"""What a forger can make again and what not: a rewritten history against signed certificates; a view without an end."""

import json
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from catalog.exchange.bag.errors import DamagedCatalogError, NotProvedError
from catalog.exchange.bag.packing import Packing
from catalog.exchange.bag.rebuild import import_bag
from tests.exchange.bag.conftest import NOW, pack
from tests.forged_history import rewrite


def repacked(bag: Path, info: dict[str, str]) -> None:
    """Manifests anew over what lies in a bag now, as a forger makes them."""
    kept = bag.with_name("kept")
    (bag / "data").rename(kept)
    shutil.rmtree(bag)
    bag.mkdir()
    packing = Packing(bag)
    for path in sorted(path for path in kept.rglob("*") if path.is_file()):
        with path.open("rb") as file:
            packing.add_file(path.relative_to(kept).as_posix(), file)
    packing.seal(info)


def info_of(bag: Path) -> dict[str, str]:
    """The lines of bag-info.txt that this program reads."""
    lines = (bag / "bag-info.txt").read_text(encoding="utf-8").splitlines()
    return {name: said for name, _, said in (line.partition(": ") for line in lines) if name.startswith("Catalog-")}


@pytest.fixture
def forged(demo_folder: Path, tmp_path: Path) -> Path:
    """The demo with an owner renamed in every row and the whole journal, and every seal reckoned anew."""
    folder = Path(shutil.copytree(demo_folder, tmp_path / "studio"))
    assert rewrite(folder / "catalog.db", "Ingrið Þálefsen", "Eve Forger") > 0
    return folder


def test_a_rewritten_history_is_not_exported_as_whole(forged: Path, tmp_path: Path) -> None:
    with pytest.raises(DamagedCatalogError, match="The history was rewritten after C-0"):
        pack(forged, tmp_path / "bag")
    text = (pack(forged, tmp_path / "bag", anyway=True) / "data" / "READ ME FIRST.txt").read_text(encoding="utf-8")
    assert "The history was rewritten" in text.replace("\n", " ")


def test_a_rewritten_history_does_not_come_back(forged: Path, tmp_path: Path) -> None:
    bag = pack(forged, tmp_path / "bag", anyway=True)
    with pytest.raises(NotProvedError, match="The history was rewritten after C-0"):
        import_bag(bag, tmp_path / "back", NOW)
    assert not (tmp_path / "back").exists()


def test_the_script_in_the_bag_tells_it_too(forged: Path, packed: Path, tmp_path: Path) -> None:
    for bag, told in ((packed, False), (pack(forged, tmp_path / "bag", anyway=True), True)):
        text = (bag / "data" / "READ ME FIRST.txt").read_text(encoding="utf-8")
        script = text.partition("without anything else:\n\n")[2].partition("\n\n")[0]
        lines = "\n".join(line[6:] for line in script.splitlines())
        done = subprocess.run([sys.executable, "-c", lines], cwd=bag / "data", capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
        assert ("REWRITTEN SINCE C-0" in done.stdout) is told


def test_a_view_without_an_end_is_not_read(bag: Path, tmp_path: Path) -> None:
    info, path = info_of(bag), bag / "data" / "catalog.db"
    other = sqlite3.connect(path, isolation_level=None)
    columns = [row[1] for row in other.execute("PRAGMA table_info(artist_key)")]
    other.close()
    path.unlink()
    endless = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n)"
    other = sqlite3.connect(path, isolation_level=None)
    other.execute(f"CREATE VIEW artist_key AS {endless} SELECT {', '.join(f'i AS {name}' for name in columns)} FROM n")
    other.close()
    repacked(bag, info)
    with pytest.raises(NotProvedError, match="other tables, views or triggers"):
        import_bag(bag, tmp_path / "back", NOW)
    assert import_bag(bag, tmp_path / "back", NOW, anyway=True).findings != ()


def test_what_a_killed_import_left_is_swept(packed: Path, tmp_path: Path) -> None:
    import os

    left = tmp_path / ".tirage-0123456789abcdef.part"
    other = tmp_path / ".tirage-of-mine.part"
    for folder in (left, other):
        folder.mkdir()
        (folder / "catalog.db").write_text("private")
        os.utime(folder, (0, 0))
    import_bag(packed, tmp_path / "back", NOW)
    assert sorted(path.name for path in tmp_path.iterdir()) == [other.name, "back"]


def test_no_row_of_a_table_is_a_comment(packed: Path) -> None:
    # CSV on the Web takes a row that begins with # for a comment (tabular-metadata, 5.9, commentPrefix).
    group = json.loads((packed / "data" / "csv-metadata.json").read_text(encoding="utf-8"))
    first = {table["url"]: table["tableSchema"]["columns"][0] for table in group["tables"]}
    texts = {url for url, column in first.items() if column["datatype"] == {"base": "string"}}
    assert texts == {"tables/sqlite_sequence.csv", "tables/waiting.csv"}  # names of tables, and of four kinds
