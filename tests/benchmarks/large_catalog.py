"""A studio's catalog of any size, built through the guards and triggers of the real schema.

Two parts. This month's work is typed as a printer types it, and is the same at every size: plates in the making, prints
to be signed, washed or tested again, a sale not paid, a consignment, a promise, a routine in use. Behind it lie the
years before: editions of 25 to 500, each print worked in a load of twelve with a strip: fixed, toned, washed, tested,
signed; three in five sold and paid, the rest in their box. One load in four thousand failed its test once, was washed
again and was then clean; `due` looks at those each time. Nothing of these years waits, so that `due` has the same to
say, of a thousand prints or of a million.
"""

import contextlib
import io
import os
import shlex
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from sqlite3 import Connection
from typing import Any

from catalog.cli.main import run
from catalog.store import connection as store
from catalog.store import journal

IN_LOAD, LOADS_THAT_FAILED = 12, 4_000
SIZES = (100, 25, 250, 50, 500)  # of editions, in turn: at a thousand prints all but the last are whole
FIRST, LOADS_A_DAY = date(1996, 1, 1), 9  # a million prints are made in 25 years; this month is later
TODAY = date.today()
MONTH = (
    "paper add warm12 'warm-tone fibre-base paper, matt'",
    "bath mix fixer 'alkaline rapid fixer' --dilution 1+4 --volume 2l --capacity '40 24x30cm' --life 90d --basis own",
    "bath mix toner 'selenium toner' --dilution 1+20 --volume 1l",
    "washer add slots1 --kind slots --volume 20l",
    "place add 'studio/shelf 1'",
    "party add 'A. Collector'",
    "party add 'North Gallery'",
    "negative add 'Low water' --size 8x10in --state ready",
    "negative add 'High water' --size 8x10in",
    "move n1 'studio/shelf 1'",
    "edition declare n1 25 --ap 3 --price 900EUR --paper warm12",
    "print make e1 20 --paper warm12",
    "strip 2 --paper warm12",
    "fix 1-10,k1 1m",
    "wash 1-10,k1 60m",
    "test k1 hypo none silver none",
    "routine add plain --like k1 --tests 1",
    "fix 11-14 1m",  # unwashed
    "fix 15-20,k2 1m",
    "wash 15-20,k2 60m",
    "test k2 hypo beige silver none",  # failed
    "sign 1-8",  # 9 and 10 wait
    "sell 1 'A. Collector' 900EUR",
    "paid 1",
    "sell 2 'A. Collector' 900EUR",  # not paid
    "consign 3-4 'North Gallery' --commission 40 --until {soon}",
    "consign 5 'North Gallery' --commission 40 --until {soon}",
    "return 5",  # no place yet
    "promise e1:20 'A. Collector' --until {soon}",
)
STOCK = "warm-tone fibre-base paper, matt"
EDITIONS_OF_A_PAPER, LOADS_OF_A_BATH = 2, 20
TABLES = {
    "paper": "id, name, description",
    "code": "id, code, kind, serial",
    "item": "id, kind",
    "negative": "id, title, state, shown",
    "edition": "id, negative, title, size, process, declared, earliest, latest",
    "control_strip": "id, paper, made",
    "print": "id, negative, edition, paper, made, earliest, latest, kind, number, signed, signed_earliest",
    "bath": "id, kind, name, dilution, volume, mixed, earliest, latest, in_tray, capacity, basis, discarded",
    "step": "id, kind, bath, washer, happened, earliest, latest, clock, seconds, by",
    "step_item": "step, item",
    "residual_test": "id, item, question, method, reading, happened, earliest, latest, clock, by",
    "edition_event": "edition, state, happened, earliest, latest, by",
    "movement": "item, to_place, happened, earliest, latest, by",
    "transfer": "item, sequence, kind, from_party, to_party, title, custody, happened, earliest, latest, price, "
    "currency, settles, id, by",
}
STAGES = (("fix", 60, "10:00:05"), ("tone", 120, "10:20:05"), ("wash", 3_600, "10:30:05"))
AGAIN = ("wash", 3_600, "15:00:05")


class Years:
    """The years before, an edition at a time: the rows of every table, in the order in which they depend on others."""

    def __init__(self, opened: Connection, prints: int) -> None:
        self.free = opened.execute("SELECT max(id) FROM code").fetchone()[0]
        self.serials = dict(opened.execute("SELECT kind, max(serial) FROM code GROUP BY kind").fetchall())
        self.transfers = opened.execute("SELECT max(id) FROM transfer").fetchone()[0]
        self.tests = self.turn = 0
        self.baths: dict[str, int] = {}
        self.artist = opened.execute("SELECT artist FROM catalog").fetchone()[0]
        self.loads = 0
        self.rows: dict[str, list[tuple[Any, ...]]] = {}

    def editions(self, prints: int) -> Iterator[dict[str, list[tuple[Any, ...]]]]:
        """The rows of so many prints, an edition at a time."""
        while prints > 0:
            count = min(SIZES[self.turn % len(SIZES)], prints)
            self.rows = {name: [] for name in TABLES}
            self.edition(count, whole=self.turn % 2 == 1)
            yield self.rows
            prints, self.turn = prints - count, self.turn + 1

    @property
    def paper(self) -> int:
        """The batch that is being used up; the first is this month's."""
        return 2 + self.turn // EDITIONS_OF_A_PAPER

    def edition(self, count: int, whole: bool) -> None:
        """A plate, its edition, given out to the last number or four fifths of it, and its prints."""
        day = self.day()
        if self.turn % EDITIONS_OF_A_PAPER == 0:
            self.rows["paper"].append((self.paper, f"warm {self.paper}", STOCK))
        negative, edition = self.code("negative", "N"), self.code("edition", "E")
        title = f"Low water {self.serials['edition']}"
        size = count if whole else count * 5 // 4
        self.rows["negative"].append((negative, title, "in process", 1))
        self.rows["edition"].append((edition, negative, title, size, "gelatin silver print", day, day, day))
        for first in range(0, count, IN_LOAD):
            self.load(negative, edition, range(first + 1, min(first + IN_LOAD, count) + 1))
        if whole:
            self.rows["edition_event"].append((edition, "complete", *[self.day()] * 3, "bench"))

    def load(self, negative: int, edition: int, numbers: range) -> None:
        """Prints of one load with its strip, through everything that happened to them."""
        day = self.day()
        if self.loads % LOADS_OF_A_BATH == 0:
            self.mix(day)
        made = [self.code("print", "P") for _ in numbers]
        self.rows["print"].extend(
            (one, negative, edition, self.paper, day, day, day, "numbered", number, day, day)
            for one, number in zip(made, numbers, strict=True)
        )
        strip = self.code("control strip", "K")
        self.rows["control_strip"].append((strip, self.paper, day))
        for stage in STAGES:
            self.step(stage, [*made, strip], day)
        if self.loads % LOADS_THAT_FAILED == LOADS_THAT_FAILED // 2:
            self.test(strip, day, "14:00:05", "beige")
            self.step(AGAIN, [*made, strip], day)
        self.test(strip, day, "18:00:05", "none")
        for place, one in enumerate(made):
            if place % 5 < 3:
                self.sell(one, day)
            else:
                self.rows["movement"].append((one, 1, day, day, day, "bench"))
        self.loads += 1

    def mix(self, day: str) -> None:
        """A fresh fixer and toner; what was in the tray before is gone."""
        for kind, name, capacity in (("fixer", "alkaline rapid fixer", 60_000), ("toner", "selenium toner", None)):
            self.baths[kind] = bath = self.code("bath", "B")
            self.rows["bath"].append(
                (bath, kind, name, "1+4", 2_000, day, day, day, 0, capacity, "the user's own", TODAY.isoformat())
            )

    def step(self, stage: tuple[str, int, str], load: list[int], day: str) -> None:
        kind, seconds, clock = stage
        step = self.code("step", "S")
        bath, washer = self.baths.get({"fix": "fixer", "tone": "toner"}.get(kind, "")), 1 if kind == "wash" else None
        self.rows["step"].append((step, kind, bath, washer, day, day, day, f"{clock}+00:00", seconds, "bench"))
        self.rows["step_item"].extend((step, item) for item in load)

    def test(self, strip: int, day: str, clock: str, reading: str) -> None:
        for question, method in (("hypo", "acid silver nitrate drop"), ("silver", "sulfide drop")):
            self.tests += 1
            seen = reading if question == "hypo" else "none"
            number = 1_000_000 * self.free + self.tests % 1_000_000
            self.rows["residual_test"].append(
                (number, strip, question, method, seen, day, day, day, f"{clock}+00:00", "bench")
            )

    def sell(self, item: int, day: str) -> None:
        """Sold out of the studio, and paid."""
        sale = self.transfers + 1
        self.transfers += 2
        at = (day, day, day)
        self.rows["transfer"] += [
            (item, 1, "sale", self.artist, self.artist + 1, 1, 1, *at, 90_000, "EUR", None, sale, "bench"),
            (item, 2, "payment", self.artist, self.artist + 1, 0, 0, *at, 90_000, "EUR", sale, sale + 1, "bench"),
        ]

    def code(self, kind: str, letter: str) -> int:
        """A new code of a kind."""
        self.free += 1
        self.serials[kind] = serial = self.serials.get(kind, 0) + 1
        self.rows["code"].append(
            (self.free, f"{letter}-{serial:0{6 if kind in ('print', 'step') else 4}d}", kind, serial)
        )
        if kind in ("negative", "print", "control strip"):
            self.rows["item"].append((self.free, kind))
        return self.free

    def day(self) -> str:
        return (FIRST + timedelta(days=self.loads // LOADS_A_DAY)).isoformat()


def build(folder: Path, prints: int) -> Path:
    """A catalog in `folder` of this month's twenty prints and so many before them, all sealed."""
    os.environ["TIRAGE_BY"] = "bench"
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        assert run(["init", str(folder), "--artist", "A. Example"]) == 0
        for line in MONTH:
            typed = line.format(soon=(TODAY + timedelta(days=5)).isoformat())
            assert run(["--catalog", str(folder), *shlex.split(typed)]) == 0, typed
    opened = store.open_catalog(folder, writing=True)
    for setting in ("synchronous = OFF", "foreign_keys = OFF", "cache_size = -400000"):
        opened.execute(
            f"PRAGMA {setting}"
        )  # building only, and the guards look themselves; measured work opens it anew
    years = Years(opened, prints)
    statements = {
        name: f"INSERT INTO {name} ({columns}) VALUES ({', '.join('?' * len(columns.split(',')))})"
        for name, columns in TABLES.items()
    }
    for rows in years.editions(prints):
        opened.execute("BEGIN IMMEDIATE")
        for name, statement in statements.items():
            opened.executemany(statement, rows[name])
        ready = rows["negative"][0][0]
        opened.execute(
            "INSERT INTO negative_event (negative, state, happened, earliest, latest, by) "
            "VALUES (?, 'ready', '1996-01-01', '1996-01-01', '1996-01-01', 'bench')",
            (ready,),
        )
        journal.seal(opened, sealed=datetime.now().astimezone().isoformat(), by="bench", command="sign")
        opened.execute("COMMIT")
    opened.close()
    return folder
