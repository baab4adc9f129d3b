"""Two people at two machines on one catalog: whole processes whose commands fall between each other as they will."""

import multiprocessing
import os
import random
from pathlib import Path

import pytest

from catalog.cli.main import run
from catalog.rules.checks import check
from catalog.store import connection as store
from catalog.store import journal
from tests.soaks import rounds
from tests.test_any_sequence import BROKEN

PRINTS = 12
BEGIN = (
    ["negative", "add", "Low water", "--state", "ready"],
    ["party", "add", "Gallery", "--kind", "gallery"],
    ["party", "add", "Buyer"],
    ["party", "add", "Museum", "--kind", "institution"],
    ["edition", "declare", "n1", "4", "--ap", "1", "--cp", "1"],
    ["print", "make", "e1", str(PRINTS)],
    ["place", "add", "studio/shelf"],
)


def script(chance: random.Random, who: str, commands: int) -> list[list[str]]:
    """What one person types: many of it refused, for the other was there first."""
    lines = []
    for number in range(commands):
        some = str(chance.randint(1, PRINTS))
        lines.append(
            chance.choice(
                [
                    ["sign", some, "--anyway", "testing"],
                    ["sign", some, "--anyway", "testing"],
                    ["sign", f"{some}-{PRINTS}", "--anyway", "testing"],
                    ["sell", some, chance.choice(["Buyer", "Museum"]), "900EUR", "--anyway", "testing"],
                    ["consign", some, "Gallery", "--anyway", "testing"],
                    ["return", some],
                    ["paid", some],
                    ["move", some, "studio/shelf"],
                    ["destroy", some, "--why", "torn"],
                    ["promise", f"e1:{chance.randint(1, 4)}", "--to", "Buyer"],
                    ["certificate", "issue", some, "--anyway", "testing"],
                    ["print", "make", "e1", "1"],
                    ["party", "add", f"{who} {number}"],
                    ["undo"],
                ]
            )
        )
    return lines


def type_all(folder: str, who: str, seed: int, commands: int, told: "multiprocessing.Queue[tuple[str, int]]") -> None:
    """Type a script; tell how many commands were acknowledged, and fail at anything but done and refused."""
    os.environ["TIRAGE_BY"] = who
    done = 0
    for line in script(random.Random(seed), who, commands):
        status = run(["--catalog", folder, *line])
        assert status in (0, 1), line
        done += status == 0
    told.put((who, done))


def begun(folder: Path) -> Path:
    os.environ["TIRAGE_BY"] = "setup"
    assert run(["init", str(folder), "--artist", "A. Example"]) == 0
    for line in BEGIN:
        assert run(["--catalog", str(folder), *line]) == 0, line
    return folder


def play(folder: Path, seed: int, commands: int) -> None:
    """Both type at the same time; then every promise holds and nothing that was acknowledged is lost."""
    begun(folder)
    context = multiprocessing.get_context("spawn")
    told: multiprocessing.Queue[tuple[str, int]] = context.Queue()
    people = ("Anna", "Bela")
    both = [
        context.Process(target=type_all, args=(str(folder), who, seed * 2 + place, commands, told))
        for place, who in enumerate(people)
    ]
    for process in both:
        process.start()
    acknowledged = dict(told.get(timeout=300) for _ in both)
    for process in both:
        process.join(60)
    assert [process.exitcode for process in both] == [0, 0]
    connection = store.open_catalog(folder, writing=False)
    try:
        assert [found for found in check(connection, folder) if found.severity == "error"] == []
        for name, query in BROKEN.items():
            assert connection.execute(query).fetchone() is None, name
        assert journal.prove(connection) == []
        sealed = dict(connection.execute("SELECT by, count(*) FROM journal_seal GROUP BY by").fetchall())
        assert {who: sealed.get(who, 0) for who in people} == acknowledged
        assert all(count > 0 for count in acknowledged.values())
        turns = [row[0] for row in connection.execute("SELECT by FROM journal_seal WHERE by <> 'setup' ORDER BY id")]
        assert len({*zip(turns, turns[1:], strict=False)}) > 2  # they did fall between each other
    finally:
        connection.close()


def test_two_processes_interleave(tmp_path: Path) -> None:
    play(tmp_path / "c", 1, 14)


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(10, rounds(22, 12)))
def test_two_processes_interleave_for_long(tmp_path: Path, seed: int) -> None:
    play(tmp_path / "c", seed, rounds(120, 40))
