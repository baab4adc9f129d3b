"""Measure, print one table, and exit 1 when a target is missed.

`--quick` takes few rounds and small catalogs, for continuous integration; its table is printed, its verdict not judged,
for a shared machine is too noisy for that.
"""

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from tests.benchmarks import certificates, large_catalog, publishing, regrading
from tests.benchmarks.pairs import Row, ratio, table

BARE_CLICK = """
import click
@click.group()
def main(): pass
@main.command()
def one(): "One command."
main()
"""
BARE_QUERY = "import click, sqlite3; print(sqlite3.connect({path!r}).execute('select count(*) from place').fetchone())"
TIRAGE = "import sys; sys.path.insert(0, {checkout!r}); from catalog.cli.main import main; main()"
CHECKOUT = Path(__file__).parents[2]


def process(script: str, *words: str) -> Callable[[], object]:
    """One whole Python process that runs a script."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}

    def start() -> object:
        return subprocess.run([sys.executable, "-c", script, *words], capture_output=True, check=True, env=environment)

    return start


def tirage(*words: str) -> Callable[[], object]:
    """One whole `tirage` process."""
    return process(TIRAGE.format(checkout=str(CHECKOUT)), *words)


def start_up(rounds: int, folder: Path) -> list[Row]:
    """--help against a bare click program; reading commands against bare imports and one query."""
    bare = process(BARE_QUERY.format(path=str(folder / "catalog.db")))
    at = ("--catalog", str(folder))
    return [
        Row(
            "tirage --help", "a bare click program", ratio(tirage("--help"), process(BARE_CLICK, "--help"), rounds), 1.2
        ),
        Row(
            "tirage where n1, 1,000 prints",
            "import click, sqlite3; one query",
            ratio(tirage(*at, "where", "n1"), bare, rounds),
            2,
        ),
        Row(
            "tirage print show 500, 1,000 prints",
            "import click, sqlite3; one query",
            ratio(tirage(*at, "print", "show", "500"), bare, rounds),
            2,
        ),
    ]


def growth(rounds: int, small: Path, large: Path, prints: int) -> list[Row]:
    """The same reading commands, and handing out a number, in a large catalog against a small one."""

    def pair(*words: str) -> float:
        return ratio(tirage("--catalog", str(large), *words), tirage("--catalog", str(small), *words), rounds)

    one, many = numbers(small, rounds * 20), numbers(large, rounds * 20)
    return [
        Row(f"tirage where n1, {prints:,} prints", "the same at 1,000", pair("where", "n1"), 1.2),
        Row(f"tirage print show 500, {prints:,} prints", "the same at 1,000", pair("print", "show", "500"), 1.2),
        Row(f"handing out a number, {prints:,} prints", "the same at 1,000", ratio(many, one, 20), 1.2),
    ]


def numbers(folder: Path, count: int) -> Callable[[], object]:
    """Sign one print, a sealed transaction each, in an open catalog."""
    from datetime import datetime

    from catalog.dates import moment
    from catalog.events import Event
    from catalog.records import designations, items
    from catalog.store import connection as store
    from catalog.store import journal

    opened = store.open_catalog(folder, writing=True)
    now = datetime.now().astimezone()
    event = Event(moment(None, None, now), "bench")
    upcoming = iter(range(1, count + 1))

    def sign() -> object:
        opened.execute("BEGIN IMMEDIATE")
        thing = items.find_one(opened, str(next(upcoming)), "print")
        designations.sign(opened, event, thing)
        journal.seal(opened, sealed=now.isoformat(), by="bench", command="sign", touched=[thing.id])
        return opened.execute("COMMIT")

    return sign


def bare_insert(folder: Path) -> Callable[[], object]:
    """Insert one row, a transaction each, with the same durability and on the same disk."""
    opened = sqlite3.connect(folder / "bare.db", isolation_level=None)
    opened.execute("CREATE TABLE number (id INTEGER PRIMARY KEY, edition INTEGER, number INTEGER, signed TEXT)")
    opened.execute("PRAGMA synchronous = FULL")

    def insert() -> object:
        opened.execute("BEGIN IMMEDIATE")
        opened.execute("INSERT INTO number (edition, number, signed) VALUES (1, 1, '2026-03-02')")
        return opened.execute("COMMIT")

    return insert


def paper(rounds: int) -> list[Row]:
    """Label sheets against one rectangle a module, and the size of 1,000 labels."""
    from tests.benchmarks import papers

    return [
        Row(
            "label sheets, 240 labels with codes",
            "one rectangle a module",
            ratio(papers.naive_labels, papers.our_labels, rounds),
            5,
            at_least=True,
        ),
        Row("size of 1,000 labels, KiB", "-", papers.size_of_labels() / 1024, 400),
    ]


def main() -> int:
    """Run everything; the exit status."""
    quick = "--quick" in sys.argv
    rounds, prints = (5, 20_000) if quick else (21, 1_000_000)
    folder = Path(tempfile.mkdtemp())
    try:
        small = large_catalog.build(folder / "small", 1_000)
        rows = start_up(rounds, small)
        rows.append(
            Row(
                "handing out a number, one transaction each",
                "a bare insert, the same durability",
                ratio(numbers(small, 400), bare_insert(folder), 50 if quick else 300),
                1.5,
            )
        )
        rows += paper(3 if quick else 9)
        rows += certificates.rows(folder / "certificates", 200 if quick else 1_000, rounds)
        shutil.rmtree(folder / "small")
        small = large_catalog.build(folder / "small", 1_000)
        rows += growth(rounds, small, large_catalog.build(folder / "large", prints), prints)
        rows += publishing.rows(3 if quick else 7, folder / "publishing", 20_000 if quick else 200_000)
        rows += regrading.rows(3 if quick else 7, folder / "regrading", 10_000 if quick else 100_000)
    finally:
        shutil.rmtree(folder)
    print(table(rows))
    return 0 if quick or all(row.holds for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
