"""A small catalog with at least one row in every table, made through the program's own commands."""

import os
import shutil
import sqlite3
from pathlib import Path

import pytest
from PIL import Image

from catalog.cli.main import run
from catalog.store import journal

LINES = (
    "negative add Pond --series Salt --size 8x10in --state ready --made 2026-01-02",
    "negative add Shed --series Rooms --state drying --on 2026-03-01 --at 09:00",
    "paper add warm 'a warm fibre paper'",
    "party add 'B. Buyer' --mail b@example.org",
    "edition declare n1 5 --ap 2 --price 900EUR --on 2026-03-01",
    "print make e1 4 --paper warm --on 2026-03-02",
    "print make n1 1 --paper warm --on 2026-03-02",
    "bath mix fixer 'rapid fixer' --on 2026-03-01",
    "bath mix toner 'selenium toner' --on 2026-03-01",
    "bath care b1 filtered --on 2026-03-02",
    "washer add siphon --kind siphon --volume 10l",
    "strip 1 --paper warm --on 2026-03-02",
    "fix 1-4,k1 1m --on 2026-03-03",
    "wash 1-4,k1 60m --on 2026-03-03",
    "test k1 hypo none --on 2026-03-03",
    "routine add plain --like k1 --washer siphon --on 2026-03-04",
    "sign 1-3 --on 2026-03-05",
    "promise e1:5 --to 'B. Buyer' --until 2027-01-01 --on 2026-03-06",
    "place add studio/shelf",
    "move 1-3 studio/shelf --on 2026-03-07",
    "certificate issue 1 --on 2026-03-08",
    "certificate issue 2 --on 2026-03-08",
    "certificate revoke c2 --why 'a slip' --on 2026-03-09",
    "sell 1 'B. Buyer' 900EUR --on 2026-03-10",
    "paper add matt 'a matt paper'",
    "washer add slots --kind slots",
    "routine add other --like k1 --washer slots --on 2026-03-10",
    "bath care b2 'gold added' --gold 10mg --on 2026-03-02",
    "party add 'C. Other' --telephone 1234",
    "place add store/shelf",
    "promise e1:ap1 --to 'B. Buyer'",
    "strip 1",
    "test k1 silver none --on 2026-03-04",
    "calibrate strips strips1 0=0 1=0.02 2=0.04 --paper warm --on 2026-03-04",
    "calibrate absorbance mb1 0=0.02 10=0.12 20=0.22 --on 2026-03-04",
    "calibrate wash trial1 5m=9ug/cm2 9m=6ug/cm2 20m=3ug/cm2 40m=1ug/cm2 --washer siphon --method laboratory",
    "test k1 hypo --stain 0.05 --untreated 0.03 --calibration strips1 --on 2026-03-04",
    "edition declare n2 4 --on 2026-03-10 --price 1EUR --pp 1",
    "print make e2 4 --on 2026-03-11",
    "sign 6-7 --on 2026-03-12 --anyway testing",
    "destroy 6-7 --why torn --on 2026-03-13",
    "replace 6 8 --on 2026-03-14",
    "replace 7 9 --on 2026-03-14",
    "sell 8-9 'C. Other' 5EUR --on 2026-03-15 --anyway testing",
    "paid 8-9 --on 2026-03-16",
    "certificate issue 2 --on 2026-03-17",
    "certificate issue 2 --supersedes c3 --on 2026-03-18",
    "certificate issue 2 --supersedes c4 --on 2026-03-19",
    "correct n2 title='Shed, noon' --why 'as on the sleeve' --on 2026-03-20",
    "correct n1 title='Pond, frost' --why 'as on the sleeve' --on 2026-03-11",
    "negative add Weir --made 2026-03-01",
    "edition declare n3 3 --process albumen --on 2026-03-20",
    "edition declare n3 3 --process carbon --on 2026-03-20",
    "edition close e3 --at-number 1 --on 2026-03-21",
    "edition close e4 --at-number 1 --on 2026-03-21",
    "density 1 highlight 0.12 shadow 2.05 --on 2026-03-21",
    "density n1 thin 0.2 dense 1.9 --on 2026-03-21",
    "recipe record 1 --expose 'soft 10s' --expose 'hard 6s' --burn 'sky hard +1/2' --on 2026-03-21",
    "recipe record 5 --expose 12s --dodge 'face 1/3' --on 2026-03-21",
    "session sheet n1 2 --strip --for 2026-03-22 --on 2026-03-21",
    "session sheet e1 1 --for 2026-03-23 --on 2026-03-21",
)


KEYS = """INSERT INTO artist_key (id, thumbprint, x, since) VALUES
    (-1, 'an earlier key', 'its public half', '2024-01-01'), (0, 'another earlier key', 'its half', '2025-01-01')"""
OTHER_ROWS = (
    KEYS,
    """INSERT INTO artist_key_end (key, why, happened, earliest, latest, by)
        SELECT id, 'lost', '2025-12-31', '2025-12-31', '2025-12-31', 'x' FROM artist_key WHERE id < 1""",
    """INSERT INTO edition_erratum (edition, text, happened, earliest, latest, by)
        SELECT id, 'the plate is of 1998', '2026-03-21', '2026-03-21', '2026-03-21', 'x' FROM edition""",
)


def tirage(folder: Path, line: str) -> int:
    """Run one line on the catalog in a folder."""
    import shlex

    return run(["--catalog", str(folder), *shlex.split(line)])


def plain(folder: Path) -> sqlite3.Connection:
    """The catalog as any other program would open it: foreign keys and recursive triggers off."""
    connection = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    connection.row_factory = sqlite3.Row
    assert connection.execute("PRAGMA foreign_keys").fetchone()[0] == 0
    assert connection.execute("PRAGMA recursive_triggers").fetchone()[0] == 0
    return connection


def dump(connection: sqlite3.Connection, without: tuple[str, ...] = ()) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table."""
    names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")]
    return {
        name: [tuple(row) for row in connection.execute(f"SELECT * FROM {name} ORDER BY 1, 2")]
        for name in names
        if name not in without and name != "undoing"
    }


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    os.environ["TIRAGE_BY"] = "tester"
    folder = tmp_path_factory.mktemp("store") / "catalog"
    assert run(["init", str(folder), "--artist", "A. Maker", "--on", "2026-01-01"]) == 0
    for line in LINES:
        assert tirage(folder, line) == 0, line
    picture = folder.parent / "pond.png"
    Image.new("L", (8, 8)).save(picture)
    for _ in range(2):
        assert tirage(folder, f"picture add n1 {picture}") == 0
    for name in ("Pool", "Reef"):
        table = folder.parent / f"{name}.csv"
        table.write_text(f"Title,Made,Old number\n{name},1998,7\n{name} II,c. 1999,8\n")
        assert tirage(folder, f"import negatives {table} --apply") == 0
    connection = plain(folder)
    for statement in OTHER_ROWS:
        connection.execute(statement)
    journal.seal(connection, sealed="2026-03-22T12:00:00+00:00", by="tester", command="other rows")
    connection.close()
    return folder


@pytest.fixture
def populated(built: Path, tmp_path: Path) -> Path:
    """A copy of the catalog that a test may spoil."""
    return Path(shutil.copytree(built, tmp_path / "catalog"))
