"""Taking a whole catalog out: in bounded memory, and against writing the same files plainly."""

import csv
import hashlib
import json
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from catalog.exchange.bag.export import export_bag
from catalog.exchange.described import described
from catalog.store import connection as store
from tests.benchmarks.pairs import Row, ratio

CHECKOUT = Path(__file__).parents[2]
NOW = datetime.fromisoformat("2026-03-02T12:00:00+00:00")
# A process of its own: the peak of this one is that of everything measured before. Linux hands the peak in getrusage
# on from the process that started it, and counts anew only in /proc.
PEAK = """
import resource, sys
from pathlib import Path
from tests.benchmarks.exporting import export
export(Path(sys.argv[1]), Path(sys.argv[2]))
status = Path("/proc/self/status")
if status.exists():
    print(next(int(line.split()[1]) for line in status.read_text().splitlines() if line.startswith("VmHWM")))
else:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


def export(folder: Path, target: Path) -> None:
    """One bag of the catalog in a folder, checked and whole, as `tirage export bag` writes it."""
    shutil.rmtree(target, ignore_errors=True)
    opened = store.open_catalog(folder, writing=False)
    try:
        export_bag(opened, folder, target, NOW)
    finally:
        opened.close()


def exporting(folder: Path, target: Path) -> Callable[[], object]:
    """The whole export."""
    return lambda: export(folder, target)


def plainly(folder: Path, target: Path) -> Callable[[], object]:
    """The same tables as CSV and JSON by the standard library alone, the database copied, and both digests of all."""

    def write() -> None:
        shutil.rmtree(target, ignore_errors=True)
        target.mkdir()
        connection = sqlite3.connect(folder / store.DATABASE)
        connection.execute("VACUUM INTO ?", (str(target / store.DATABASE),))
        for table in described(connection):
            found = f'SELECT * FROM "{table.name}" ORDER BY {table.order}'
            names = [column[0] for column in connection.execute(found).description]
            with (target / f"{table.name}.csv").open("w", encoding="utf-8", newline="") as file:
                csv.writer(file).writerows(connection.execute(found))
            with (target / f"{table.name}.json").open("w", encoding="utf-8") as file:
                for row in connection.execute(found):
                    file.write(json.dumps(dict(zip(names, row, strict=True)), ensure_ascii=False) + "\n")
        connection.close()
        for path in sorted(target.iterdir()):
            for algorithm in ("sha256", "sha512"):
                with path.open("rb") as written:
                    hashlib.file_digest(written, algorithm)

    return write


def peak(folder: Path, target: Path) -> float:
    """The most memory that one export takes, MiB."""
    done = subprocess.run(
        [sys.executable, "-c", PEAK, str(folder), str(target)], cwd=CHECKOUT, capture_output=True, text=True, check=True
    )
    return int(done.stdout) / 1024


def prints_of(folder: Path) -> int:
    """How many prints a catalog holds."""
    connection = sqlite3.connect(folder / store.DATABASE)
    count = int(connection.execute("SELECT count(*) FROM print").fetchone()[0])
    connection.close()
    return count


def rows(rounds: int, folder: Path, small: Path, large: Path) -> list[Row]:
    """Exports of two catalogs that are there already; the bags go below `folder` and are taken away.

    The small one has 10,000 prints or more: below that, what an export always does outweighs the rows.
    """
    folder.mkdir(parents=True, exist_ok=True)
    little, much = peak(small, folder / "small"), peak(large, folder / "large")
    shutil.rmtree(folder / "large")
    few, many = prints_of(small), prints_of(large)
    return [
        Row(f"export of {many:,} prints: peak MiB", "-", much, 128),
        Row(f"export of {many:,} prints: memory", f"the same of {few:,}", much / little, 1.2),
        Row(
            f"export of {few:,} prints, checked",
            "CSV, JSON, copy and digests, plainly",
            ratio(exporting(small, folder / "bag"), plainly(small, folder / "plain"), rounds),
            2,
        ),
    ]
