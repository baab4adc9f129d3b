"""Two people at once, each at a real process: a list that comes in twice, a list while somebody signs, a backup."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from catalog.rules.checks import check
from catalog.store import backup, backups, journal
from catalog.store import connection as store
from tests.faults.load import begun
from tests.soaks import rounds

ROWS = 60
PERSON = """
import io, json, os, sys
from catalog.cli.main import run
import catalog.cli.import_, catalog.exchange.importing.negatives, catalog.cli.sign, catalog.store.backing_up
folder, who, lines = json.loads(sys.argv[1])
os.environ["TIRAGE_BY"] = who
print("ready", flush=True)
sys.stdin.readline()
found, told = [], sys.stdout
for line in lines:
    sys.stdout, sys.stderr = io.StringIO(), io.StringIO()
    status = run(["--catalog", folder, *line])
    found.append([status, sys.stdout.getvalue(), sys.stderr.getvalue()])
told.write(json.dumps(found))
"""
Lines = list[list[str]]
Told = list[tuple[int, str, str]]


def at_once(folder: Path, *people: Lines) -> list[Told]:
    """What each was told who typed these lines, all beginning in the same moment."""
    typing = [
        subprocess.Popen(
            [sys.executable, "-c", PERSON, json.dumps([str(folder), f"person {number}", lines])],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=Path(__file__).parents[2],
        )
        for number, lines in enumerate(people)
    ]
    for one in typing:
        assert one.stdout is not None and one.stdout.readline() == "ready\n"
    for one in typing:
        assert one.stdin is not None
        one.stdin.write("go\n")
        one.stdin.flush()
    told = [json.loads(one.communicate(timeout=300)[0]) for one in typing]
    assert all(status == 0 for lines in told for status, _, _ in lines), told
    return told


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    os.environ["TIRAGE_BY"] = "setup"
    rows = "".join(f"Plate {number},c. {1900 + number}\n" for number in range(ROWS))
    (tmp_path / "plates.csv").write_text(f"Title,Made\n{rows}")
    return begun(tmp_path / "catalog")


def held(folder: Path) -> tuple[int, list[str]]:
    """How many plates of the list there are, and by whom each command was sealed, of a catalog in which all holds."""
    connection = store.open_catalog(folder, writing=False)
    try:
        assert [found for found in check(connection, folder) if found.severity == "error"] == []
        assert journal.prove(connection) == [] and journal.unsealed_rows(connection) == 0
        by = [row[0] for row in connection.execute("SELECT by FROM journal_seal WHERE by <> 'setup' ORDER BY id")]
        return connection.execute("SELECT count(*) FROM negative WHERE title LIKE 'Plate %'").fetchone()[0], by
    finally:
        connection.close()


def importing(folder: Path) -> list[str]:
    return ["import", "negatives", str(folder.parent / "plates.csv"), "--apply"]


def test_two_bring_the_same_list_in_and_one_adds_it(folder: Path) -> None:
    told = at_once(folder, [importing(folder)], [importing(folder)])
    added = [f"Added {ROWS} negatives" in lines[0][1] for lines in told]
    nothing = ["Added no negative" in lines[0][1] for lines in told]
    assert sorted(added) == [False, True] and nothing == [not one for one in added], told
    assert held(folder)[0] == ROWS


def signing(numbers: range) -> Lines:
    return [["sign", str(number), "--anyway", "x"] for number in numbers]


def test_a_list_comes_in_while_somebody_signs(folder: Path) -> None:
    told = at_once(folder, [importing(folder)], signing(range(1, 7)))
    assert f"Added {ROWS} negatives" in told[0][0][1]
    assert [line.split(",")[0] for _, out, _ in told[1] for line in out.splitlines()[:1]] == [
        f"P-{number:06}: {number}/400" for number in range(1, 7)
    ]
    count, by = held(folder)
    assert count == ROWS and sorted(by) == ["person 0"] + ["person 1"] * 6


def test_a_backup_while_somebody_signs(folder: Path, tmp_path: Path) -> None:
    times = rounds(20, 3) if os.environ.get("TIRAGE_SOAK") else 3
    told = at_once(folder, [["backup", str(tmp_path / "copies")]] * times, signing(range(1, 7)))
    assert len(told[0]) == times
    whole = held(folder)[1]
    made = backups.look(tmp_path / "copies").backups
    assert len(made) == min(times, 10)
    for one in made:
        assert backups.verify(one) == [] and not one.doubtful
        copy = backup.reopened(one.folder / store.DATABASE)
        by = [row[0] for row in copy.execute("SELECT by FROM journal_seal WHERE by <> 'setup' ORDER BY id")]
        copy.close()
        assert by == whole[: len(by)]
