"""kill -9 at random moments under a mixed load: nothing acknowledged is lost, nothing half-done is visible."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.soaks import rounds

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are forked, which this system cannot")


def killed(folder: Path, count: int, seed: int) -> dict[str, int]:
    """Rounds in a process of their own, where nothing else runs beside what is forked; its figures."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.faults.killed", "--rounds", str(count), "--seed", str(seed)]
        + ["--folder", str(folder)],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
    )
    assert done.returncode == 0, done.stderr[-4000:]
    figures: dict[str, int] = json.loads(done.stdout)
    print(figures)
    assert figures["rounds"] == count
    assert figures["acknowledged"] > count // 5  # it has teeth
    return figures


def test_killed_at_random(tmp_path: Path) -> None:
    killed(tmp_path, 10, 5)


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(rounds(4, 1)))
def test_killed_at_random_a_thousand_times(tmp_path: Path, seed: int) -> None:
    figures = killed(tmp_path, rounds(1000, 120), 1000 + seed)
    assert figures["killed with a journal there"] > 0  # some died within their commit
    assert figures["committed and not told"] > 0  # some died between their commit and their word
