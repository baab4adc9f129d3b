"""What a common question reads does not grow with the years behind it: counted in SQLite's instructions, not timed."""

import shlex
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalog.cli.main import run
from catalog.store import connection as store
from tests.benchmarks import large_catalog

FEW, MANY = 400, 2_000  # prints of the years before
QUESTIONS = (
    "due",
    "where n1",
    "where 100",
    "print show 100",
    "edition show e1",
    "edition show e3",
    "negative show n1",
    "unsold e1",
    "owed",
    "print list e1",
)
EVERY = 10  # instructions between two counts


@pytest.fixture(scope="module")
def catalogs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    folder = tmp_path_factory.mktemp("scale")
    return large_catalog.build(folder / "few", FEW), large_catalog.build(folder / "many", MANY)


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[int]]:
    """How often SQLite did so many instructions, of every catalog that a command opens."""
    count, opening = [0], store.open_catalog

    def tick() -> int:
        count[0] += 1
        return 0

    def opened(*given: object, **named: object) -> sqlite3.Connection:
        connection = opening(*given, **named)  # type: ignore[arg-type]
        connection.set_progress_handler(tick, EVERY)
        return connection

    monkeypatch.setattr(store, "open_catalog", opened)
    yield count


@pytest.mark.parametrize("question", QUESTIONS)
def test_a_question_reads_no_more_of_a_large_catalog(
    catalogs: tuple[Path, Path], counted: list[int], question: str, capsys: pytest.CaptureFixture[str]
) -> None:
    read, told = [], []
    for folder in catalogs:
        counted[0] = 0
        assert run(["--catalog", str(folder), *shlex.split(question)]) == 0
        read.append(counted[0])
        told.append(capsys.readouterr().out)
    assert told[0] == told[1] != ""
    assert 0 < read[1] <= read[0] * 1.1 + 20, read
