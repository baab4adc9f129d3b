"""Publishing a large catalog, against copying the rows of the finished public copy from one file into another."""

import os
import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from catalog.cli.main import run
from catalog.publish.projection import SCHEMA, publish
from catalog.publish.reading import DATABASE, TABLES
from catalog.store import connection as store
from catalog.store import journal
from tests.benchmarks.pairs import Row, ratio

IN_EDITION, IN_LOAD = 50, 10
TODAY = "2026-03-02"
# What ten prints and their strip go through together: kind, bath, seconds.
STAGES = (
    ("develop", None, 150), ("fix", "fixer", 60), ("wash aid", None, 600), ("wash", None, 600),
    ("tone", "toner", 120), ("wash", None, 3600),
)  # fmt: skip
ADD_CODE = "INSERT INTO code (id, code, kind, serial) VALUES (?, ?, ?, ?)"
ADD_ITEM = "INSERT INTO item (id, kind) VALUES (?, ?)"
ADD_NEGATIVE = "INSERT INTO negative (id, title, shown) VALUES (?, ?, 1)"
ADD_EDITION = f"""INSERT INTO edition (id, negative, title, size, process, declared, earliest, latest)
    VALUES (?, ?, ?, {IN_EDITION}, 'gelatin silver print', '{TODAY}', '{TODAY}', '{TODAY}')"""
ADD_PRINT = f"""INSERT INTO print (id, negative, edition, paper, made, earliest, latest, kind, number, signed,
    signed_earliest) VALUES (?, ?, ?, 1, '{TODAY}', '{TODAY}', '{TODAY}', 'numbered', ?, '{TODAY}', '{TODAY}')"""
ADD_MARK = f"""INSERT INTO inscription (print, text, signature, happened, by)
    VALUES (?, 'A. Example', 1, '{TODAY}', 'bench')"""
ADD_STRIP = f"INSERT INTO control_strip (id, paper, made) VALUES (?, 1, '{TODAY}')"
ADD_STEP = f"""INSERT INTO step (id, kind, bath, happened, earliest, latest, seconds, by)
    VALUES (?, ?, (SELECT id FROM bath WHERE kind = ?), '{TODAY}', '{TODAY}', '{TODAY}', ?, 'bench')"""
ADD_STEP_ITEM = "INSERT INTO step_item (step, item) VALUES (?, ?)"
ADD_TEST = f"""INSERT INTO residual_test (id, item, question, method, reading, happened, earliest, latest, by)
    VALUES (?, ?, ?, ?, 'none', '{TODAY}', '{TODAY}', '{TODAY}', 'bench')"""


def build(folder: Path, prints: int) -> Path:
    """A catalog in which everything is shown: editions of 50, each print processed in a load of ten with a strip."""
    os.environ["TIRAGE_BY"] = "bench"
    at = ["--catalog", str(folder)]
    for line in (
        ["init", str(folder), "--artist", "A. Example"],
        [*at, "paper", "add", "warm12", "warm-tone fibre-base paper, matt"],
        [*at, "bath", "mix", "fixer", "alkaline rapid fixer", "--dilution", "1+4", "--volume", "2l"],
        [*at, "bath", "mix", "toner", "selenium toner", "--dilution", "1+20", "--volume", "1l"],
    ):
        assert run(line) == 0
    opened = store.open_catalog(folder, writing=True)
    opened.execute("PRAGMA synchronous = OFF")  # building only; measured work opens the file anew
    opened.execute("BEGIN IMMEDIATE")
    given: dict[str, int] = {}
    upcoming = opened.execute("SELECT max(id) FROM code").fetchone()[0]

    def code(kind: str, letter: str) -> int:
        nonlocal upcoming
        upcoming += 1
        given[kind] = given.get(kind, 0) + 1
        opened.execute(ADD_CODE, (upcoming, f"{letter}-{given[kind]:06d}", kind, given[kind]))
        if kind in ("negative", "print", "control strip"):
            opened.execute(ADD_ITEM, (upcoming, kind))
        return int(upcoming)

    for _ in range(prints // IN_EDITION):
        negative, edition = code("negative", "N"), code("edition", "E")
        title = f"Low water {given['edition']}"
        opened.execute(ADD_NEGATIVE, (negative, title))
        opened.execute(ADD_EDITION, (edition, negative, title))
        made = [code("print", "P") for _ in range(IN_EDITION)]
        opened.executemany(ADD_PRINT, [(one, negative, edition, number) for number, one in enumerate(made, 1)])
        opened.executemany(ADD_MARK, [(one,) for one in made])
        for first in range(0, IN_EDITION, IN_LOAD):
            strip = code("control strip", "K")
            opened.execute(ADD_STRIP, (strip,))
            for kind, bath, seconds in STAGES:
                step = code("step", "S")
                opened.execute(ADD_STEP, (step, kind, bath, seconds))
                load = [*made[first : first + IN_LOAD], strip]
                opened.executemany(ADD_STEP_ITEM, [(step, item) for item in load])
            for place, (question, method) in enumerate(
                (("hypo", "acid silver nitrate drop"), ("silver", "sulfide drop"))
            ):
                opened.execute(ADD_TEST, (upcoming * 1_000_000 + place, strip, question, method))
    journal.seal(opened, sealed=datetime.now().astimezone().isoformat(), by="bench", command="print make")
    opened.execute("COMMIT")
    opened.close()
    return folder


def publishing(folder: Path) -> Callable[[], object]:
    """The whole of `publish`, the snapshot that it reads from included."""
    opened = store.open_catalog(folder, writing=False)
    return lambda: publish(opened, folder / "pictures", folder / "public", TODAY, "https://example.org")


def plain_copy(folder: Path) -> Callable[[], object]:
    """INSERT ... SELECT of the same columns into the same schema, the words indexed anew, then VACUUM INTO."""
    work, copied = folder / "copying.db", folder / "copied.db"

    def copy() -> object:
        for file in (work, copied):
            file.unlink(missing_ok=True)
        public = sqlite3.connect(work, isolation_level=None)
        public.execute("PRAGMA journal_mode = OFF")
        public.execute("PRAGMA synchronous = OFF")
        public.executescript(SCHEMA.read_text(encoding="utf-8"))
        public.execute("ATTACH ? AS done", (str(folder / "public" / DATABASE),))
        public.execute("BEGIN")
        for table in sorted(TABLES - {"search"}):
            public.execute(f"INSERT INTO main.{table} SELECT * FROM done.{table}")
        public.execute(
            "INSERT INTO main.search (code, kind, title, line, words) "
            "SELECT code, kind, title, line, words FROM done.search"
        )
        public.execute("INSERT INTO search (search) VALUES ('optimize')")
        public.execute("COMMIT")
        public.execute("DETACH done")
        public.execute("VACUUM INTO ?", (str(copied),))
        return public.close()

    return copy


def rows(rounds: int, folder: Path, prints: int) -> list[Row]:
    """Publishing so many prints; `folder` is made."""
    build(folder, prints)
    work = publishing(folder)
    work()
    return [
        Row(
            f"publishing {prints:,} prints",
            "INSERT ... SELECT, same indexes, VACUUM INTO",
            ratio(work, plain_copy(folder), rounds),
            2.5,
        )
    ]
