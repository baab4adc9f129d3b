"""A clock set back, or far ahead and back again: the order of entry stands, and it is told of."""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.compiled import compiled, needs_compiler

pytestmark = needs_compiler
DAY = 86400
FAR = 27000 * DAY  # about the year 2100
NOTE = "a clock was wrong for one of them"


class Typed:
    """Lines typed in processes of their own whose clock is wrong by so many seconds."""

    def __init__(self, folder: Path, shim: Path) -> None:
        self.folder, self.shim = folder, shim

    def __call__(self, off: int, *words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-c", "from catalog.cli.main import main; main()", "--catalog", str(self.folder), *words],
            capture_output=True,
            text=True,
            cwd=Path(__file__).parents[2],
            env={**os.environ, "LD_PRELOAD": str(self.shim), "CLOCK_OFF": str(off), "TIRAGE_BY": "tester"},
        )


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Typed:
    folder = tmp_path_factory.mktemp("clock")
    typed = Typed(folder / "catalog", compiled("clock", folder))
    assert typed(0, "init", str(typed.folder), "--artist", "A. Example").returncode == 0
    for words in (["negative", "add", "Low water", "--state", "ready"], ["edition", "declare", "n1", "9"]):
        assert typed(0, *words).returncode == 0
    return typed


@pytest.fixture
def typed(first: Typed, tmp_path: Path) -> Typed:
    return Typed(Path(shutil.copytree(first.folder, tmp_path / "catalog")), first.shim)


def findings(typed: Typed) -> list[str]:
    done = typed(0, "check", "--json")
    told = json.loads(done.stdout)
    assert [one for one in told if one["severity"] == "error"] == []
    return [one["sentence"] for one in told if NOTE in one["sentence"]]


def order(typed: Typed) -> list[int]:
    with sqlite3.connect(typed.folder / "catalog.db") as opened:
        return [row[0] for row in opened.execute("SELECT last FROM journal_seal ORDER BY id")]


def test_a_clock_set_back_is_told_and_breaks_no_order(typed: Typed) -> None:
    done = typed(0, "print", "make", "e1", "3")
    assert done.returncode == 0 and "clock" not in done.stderr
    told = typed(-3 * DAY, "due")
    assert told.returncode == 0 and "the clock stands at" in told.stderr
    back = typed(-3 * DAY, "party", "add", "B. Buyer")
    assert back.returncode == 0 and "Mind: the clock stands at" in back.stderr and "before the last" in back.stderr
    refused = typed(-3 * DAY, "sign", "1", "--anyway", "x")  # before the print was made: an impossible order
    assert refused.returncode == 1 and "Traceback" not in refused.stderr
    assert findings(typed) and order(typed) == sorted(order(typed))
    later = typed(0, "sign", "1", "--anyway", "x")
    assert later.returncode == 0 and "clock" not in later.stderr


def test_a_clock_far_ahead_and_back_again(typed: Typed) -> None:
    assert typed(FAR, "print", "make", "e1", "2").returncode == 0
    back = typed(0, "negative", "add", "Sluice")
    assert back.returncode == 0 and "the clock stands at" in back.stderr
    assert len(findings(typed)) == 1
    assert typed(0, "negative", "add", "Weir").stderr == ""  # the last command is right again
    assert typed(0, "undo").returncode == 0 and typed(0, "undo").returncode == 0
    done = typed(0, "undo")  # the prints of the year 2100
    assert done.returncode == 0 and "print" in done.stdout
    assert typed(0, "print", "make", "e1", "2").returncode == 0


def test_minutes_between_two_machines_are_nothing(typed: Typed) -> None:
    assert typed(600, "negative", "add", "Sluice").returncode == 0
    done = typed(0, "negative", "add", "Weir")
    assert done.returncode == 0 and done.stderr == "" and findings(typed) == []
