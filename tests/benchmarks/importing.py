"""Importing a long list of negatives, against `sqlite-utils insert` of the same file by its default command.

Ours reads, checks and tells every cell, gives codes, writes plates, states, places, rows and the journal through all
guards, and seals; theirs finds out the types of the columns and inserts the texts into one table.
"""

import csv
import os
import random
import subprocess
import sys
from collections.abc import Callable
from itertools import count as counting
from pathlib import Path

from catalog.cli.main import run
from tests.benchmarks.pairs import Row, ratio

HEADINGS = (
    "Inventory no.", "Title", "Series", "Date", "Process", "Size", "Inscription", "Place taken", "Location", "Remarks",
    "Old number",
)  # fmt: skip
PLACES = ("Port Example", "Quarry Bay", "Upper Mill", "Salt Reach", "Ropewalk", "Lower Ferry")
SUBJECTS = (
    "Low water",
    "Boat shed",
    "Quay, evening",
    "Group at the weir",
    "Mill race",
    "Ropewalk, north end",
    "Portrait",
)
PROCESSES = ("wet collodion", "gelatin dry plate", "Gelatin silver negative on glass", "")
SIZES = ("8x10 in", "whole plate", "20.3 x 25.4 cm", "13 x 18 cm", "half plate", "")


def write_list(path: Path, count: int) -> Path:
    """A list as a collection keeps it: half the dates rough, one title in five of its kind alone."""
    chance = random.Random(1853)
    with open(path, "w", encoding="utf-8", newline="") as opened:
        writer = csv.writer(opened)
        writer.writerow(HEADINGS)
        for number in range(1, count + 1):
            year = chance.randint(1855, 1935)
            date = chance.choice((
                f"{year}", f"c. {year}", f"{year}-{chance.randint(1, 12):02d}-{chance.randint(1, 28):02d}",
                f"{chance.randint(1, 28)} June {year}", f"between {year} and {year + 5}", f"{year}s"[:3] + "0s", "",
            ))  # fmt: skip
            writer.writerow((
                f"LM-{number:06d}", f"{chance.choice(SUBJECTS)} {number}", chance.choice(("Salt", "Rooms", "")), date,
                chance.choice(PROCESSES), chance.choice(SIZES), chance.choice(("", "", str(number))),
                chance.choice(PLACES), f"store/rack {chance.randint(1, 9)}/box {chance.randint(1, 40)}",
                chance.choice(("", "", "chipped at the lower left", "emulsion lifting")), f"{chance.randint(1, 99_999)}"
            ))  # fmt: skip
    return path


def importing(folder: Path, table: Path) -> Callable[[], object]:
    """The whole of `tirage import --apply` as a command, each time into a new catalog that was begun beforehand."""
    os.environ["TIRAGE_BY"] = "bench"
    fresh = counting()
    ready: list[Path] = []

    def begin() -> None:
        catalog = folder / f"catalog{next(fresh)}"
        assert run(["init", str(catalog), "--artist", "A. Example"]) == 0
        ready.append(catalog)

    for _ in range(16):
        begin()
    script = "from catalog.cli.main import main; main()"

    def bring() -> object:
        words = ["--catalog", str(ready.pop()), "import", "negatives", str(table), "--apply"]
        done = subprocess.run(
            [sys.executable, "-c", script, *words], capture_output=True, cwd=Path(__file__).parents[2]
        )
        assert done.returncode == 0, done.stderr.decode()
        return done

    return bring


def plain_insert(folder: Path, table: Path) -> Callable[[], object]:
    """`sqlite-utils insert`, as anybody types it."""
    fresh = counting()
    command = [sys.executable, "-m", "sqlite_utils", "insert"]

    def insert() -> object:
        database = folder / f"plain{next(fresh)}.db"
        return subprocess.run([*command, str(database), "rows", str(table), "--csv"], capture_output=True, check=True)

    return insert


def rows(rounds: int, folder: Path, count: int) -> list[Row]:
    """Importing so many rows; `folder` is there."""
    folder.mkdir(exist_ok=True)
    table = write_list(folder / "negatives.csv", count)
    return [
        Row(
            f"importing {count:,} rows",
            "sqlite-utils insert of the same file",
            ratio(importing(folder, table), plain_insert(folder, table), min(rounds, 15)),
            0.8,
        )
    ]
