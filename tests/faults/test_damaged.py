"""A catalog's file cut short, with pages of zeros or with a bit flipped: `check` tells of it, no command falls over."""

import os
import random
import shutil
import sqlite3
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from catalog.cli.main import run
from catalog.errors import TirageError
from catalog.rules.checks import Subject
from catalog.rules.checks.tampering import file_whole, journal_whole, rows_as_journalled
from catalog.store import connection as store
from catalog.store import migrations
from tests.faults.load import begun
from tests.rules.test_tampering import without_triggers
from tests.soaks import rounds

READERS = ("print show 1", "print list", "edition show e1", "negative show n1", "where 1", "due", "history 1", "owed")
WRITERS = ("move 1 studio/drawer", "sign 2 --anyway x", "undo", "print make e1 1", "certificate issue 1 --anyway x")
PAPERS = ("label 1", "provenance 1", "publish", "due --calendar")
LOOKS = (file_whole, rows_as_journalled, journal_whole)
PAGE = 4096
NOW = datetime(2026, 11, 1, tzinfo=UTC)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    os.environ["TIRAGE_BY"] = "tester"
    folder = begun(tmp_path_factory.mktemp("damaged") / "catalog")
    for line in (
        *("fix 1-4 1m", "wash 1-4 30m", "sign 1 --anyway x", "sell 1 Buyer 900EUR --anyway x"),
        *("certificate issue 1 --anyway x", "move 2-4 studio/shelf", "promise e1:9 --to Buyer", "negative add Weir"),
    ):
        assert run(["--catalog", str(folder), *line.split()]) == 0, line
    yield folder


class Damaged:
    """The built catalog with another file in the place of its own, written anew for each damage."""

    def __init__(self, built: Path, folder: Path) -> None:
        self.folder = Path(shutil.copytree(built, folder))
        self.path = self.folder / "catalog.db"
        self.whole = self.path.read_bytes()
        self.rows = dump(self.path)
        self.shipped = migrations.shipped_schema()  # worked out once: a check works it out each time

    def put(self, content: bytes) -> None:
        for left in self.folder.glob("catalog.db-*"):
            left.unlink()
        self.path.write_bytes(content)

    def flipped(self, place: int, bit: int) -> bytes:
        changed = bytearray(self.whole)
        changed[place] ^= 1 << bit
        return bytes(changed)

    def found(self) -> bool:
        """Whether opening or a check of the file says something."""
        try:
            connection = store.open_catalog(self.folder, writing=False)
        except (TirageError, sqlite3.DatabaseError):
            return True
        try:
            subject = Subject(connection, self.folder, NOW)
            return any(True for look in LOOKS for _ in look(subject)) or migrations.schema(connection) != self.shipped
        except (sqlite3.DatabaseError, ValueError, LookupError, TypeError, AttributeError, AssertionError):
            return True  # what `check` itself catches and tells
        finally:
            connection.close()

    def same(self) -> bool:
        """Whether every row and every definition is as it was."""
        return dump(self.path) == self.rows


def dump(path: Path) -> list[str] | None:
    connection = sqlite3.connect(path)
    try:
        return list(connection.iterdump())
    except (sqlite3.DatabaseError, UnicodeDecodeError):
        return None
    finally:
        connection.close()


@pytest.fixture
def damaged(built: Path, tmp_path: Path) -> Damaged:
    return Damaged(built, tmp_path / "catalog")


@pytest.fixture
def typed(damaged: Damaged, capsys: pytest.CaptureFixture[str]) -> "Typed":
    return Typed(damaged.folder, capsys)


class Typed:
    """Lines typed on a damaged catalog: done, or refused in a sentence."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self.capsys = folder, capsys

    def __call__(self, line: str) -> tuple[int, str]:
        self.capsys.readouterr()
        status = run(["--catalog", str(self.folder), *line.split()])
        out, err = self.capsys.readouterr()
        assert status in (0, 1) and "nobody foresaw" not in err and "Traceback" not in err, (line, out, err)
        assert status == 0 or len(err + out) > 40, (line, out, err)
        return status, out


def lengths(whole: bytes) -> list[int]:
    """Each page boundary, and odd sizes."""
    return [
        *range(0, len(whole), PAGE),
        1,
        15,
        16,
        99,
        100,
        511,
        PAGE - 1,
        PAGE + 1,
        len(whole) // 2 + 7,
        len(whole) - 1,
    ]


def test_cut_short_at_every_page(damaged: Damaged) -> None:
    for length in lengths(damaged.whole):
        damaged.put(damaged.whole[:length])
        assert damaged.found(), length


def test_cut_short_every_command_says_so(damaged: Damaged, typed: Typed) -> None:
    chance = random.Random(1)
    for length in (0, 1, 100, PAGE, 3 * PAGE, len(damaged.whole) // 2 + 7, len(damaged.whole) - PAGE):
        damaged.put(damaged.whole[:length])
        for line in (*chance.sample((*READERS, *WRITERS, *PAPERS), 3), "check"):
            assert typed(line)[0] == 1, (length, line)
        assert damaged.path.read_bytes() == damaged.whole[:length]


def test_a_page_of_zeros_is_found(damaged: Damaged, typed: Typed) -> None:
    pages = len(damaged.whole) // PAGE
    chance = random.Random(2)
    for page in [0, 1, *chance.sample(range(2, pages), 8)]:
        damaged.put(damaged.whole[: page * PAGE] + bytes(PAGE) + damaged.whole[(page + 1) * PAGE :])
        assert damaged.found() or damaged.same(), page
        if page % 8 == 0:
            for line in (chance.choice(READERS), chance.choice(WRITERS), chance.choice(PAPERS), "check"):
                typed(line)


def flip(damaged: Damaged, typed: Typed, count: int, seed: int) -> Counter[str]:
    """So many flips: each is found by the checks, or every row is as it was; and each meets some commands."""
    chance, met = random.Random(seed), Counter[str]()
    answers = {line: typed(line) for line in READERS}
    for number in range(count):
        place, bit = chance.randrange(len(damaged.whole)), chance.randrange(8)
        damaged.put(damaged.flipped(place, bit))
        found = damaged.found()
        assert found or damaged.same(), (place, bit)
        met["found" if found else "nothing is kept there"] += 1
        line = chance.choice(READERS)
        status, out = typed(line)
        if (status, out) != answers[line]:
            assert found, (place, bit, line)
            met["a reader refused" if status else "a reader answered otherwise"] += 1
        if number % 6 == 0:
            typed(chance.choice(WRITERS))
        if number % 30 == 0:
            damaged.put(damaged.flipped(place, bit))
            status, out = typed("check")
            assert status == found or "note" in out or "Everything" not in out, (place, bit, out)
            typed(chance.choice(PAPERS))
    return met


def test_a_flipped_bit_is_found_or_means_nothing(damaged: Damaged, typed: Typed) -> None:
    met = flip(damaged, typed, 24, 4)
    assert met["found"] > 2


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(rounds(4, 1)))
def test_thousands_of_flipped_bits(
    damaged: Damaged, typed: Typed, seed: int, capsys: pytest.CaptureFixture[str]
) -> None:
    met = flip(damaged, typed, rounds(1500, 120), 100 + seed)
    with capsys.disabled():
        print(dict(met))
    assert met["found"] > met.total() // 8


FLIPPED_ROWS = {
    "the title of the edition": "UPDATE edition SET title = 'Low wader'",
    "the year of the plate": "UPDATE negative SET made = '1926' WHERE title = 'Low water'",
    "the number of the print": "UPDATE print SET number = 301 WHERE number = 1",
    "the length of the wash": "UPDATE step SET seconds = seconds + 1024 WHERE kind = 'wash'",
    "the artist": "UPDATE party SET name = 'A. Exbmple' WHERE name = 'A. Example'",
    "what paper it is on": "UPDATE paper SET description = 'a warm papes'",
}


@pytest.mark.parametrize("what", FLIPPED_ROWS)
def test_what_was_changed_is_not_signed(damaged: Damaged, typed: Typed, what: str) -> None:
    """A certificate rests on rows; one of them changed without the journal, and none is issued."""
    connection = sqlite3.connect(damaged.path, isolation_level=None)
    connection.row_factory = sqlite3.Row
    without_triggers(connection, FLIPPED_ROWS[what])
    connection.close()
    before = sorted(path.name for path in (damaged.folder / "out").iterdir())
    for line in ("certificate issue 1 --supersedes c1 --anyway x", "sell 2 Buyer 5EUR --certificate --anyway x"):
        status = run(["--catalog", str(damaged.folder), *line.split()])
        err = typed.capsys.readouterr().err
        if line.startswith("certificate") or what != "the number of the print":
            assert status == 1, (line, err)
            assert "not as the journal has it" in err or "not signed" in err, (line, err)
    assert sorted(path.name for path in (damaged.folder / "out").iterdir()) == before


def test_what_cannot_be_read_is_told_as_damage(damaged: Damaged, typed: Typed) -> None:
    """A clock no time zone can have, changed without the journal: no fault of the program, and a sentence says so."""
    connection = sqlite3.connect(damaged.path, isolation_level=None)
    connection.row_factory = sqlite3.Row
    without_triggers(connection, "UPDATE step SET clock = '12:00+99:00' WHERE clock <> ''")
    connection.close()
    for line in ("print show 1", "sign 3 --anyway x"):
        status = run(["--catalog", str(damaged.folder), *line.split()])
        err = typed.capsys.readouterr().err
        assert status == 1 and "damaged or altered" in err and "tirage restore" in err, (line, err)
        log = (damaged.folder / "tirage.log").read_text()
        assert "Traceback" in log and "tirage.log" in err


def test_a_date_that_is_none_does_not_stop_a_check(damaged: Damaged, typed: Typed) -> None:
    connection = sqlite3.connect(damaged.path, isolation_level=None)
    connection.row_factory = sqlite3.Row
    without_triggers(connection, "UPDATE negative SET made = 'garbage'")
    connection.close()
    status = run(["--catalog", str(damaged.folder), "check"])
    told = typed.capsys.readouterr()
    assert status == 1 and "garbage" in told.out and "changed without the journal" in told.out, told
