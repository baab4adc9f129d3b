"""A disk that fails at every call in turn: a sentence and nothing changed, or all of it; and then the catalog works."""

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faults.compiled import compiled, needs_compiler
from tests.faults.failing_disk import KINDS, LINES
from tests.soaks import rounds

pytestmark = needs_compiler


@pytest.fixture(scope="module")
def shim(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return compiled("failing_disk", tmp_path_factory.mktemp("shim"))


@pytest.fixture
def quick() -> Iterator[Path]:
    """A folder in memory where there is one: it fails as a disk does, and syncs in no time."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if os.access(memory, os.W_OK) else None) as folder:
        yield Path(folder)


def fail(shim: Path, folder: Path, names: list[str], kinds: list[str], step: int = 1) -> dict[str, dict[str, int]]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.faults.failing_disk", str(shim), str(folder), "|".join(names), "|".join(kinds)]
        + [str(step)],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        env={**os.environ, "LD_PRELOAD": str(shim)},
    )
    assert done.returncode == 0, done.stderr[-4000:]
    found: dict[str, dict[str, int]] = json.loads(done.stdout)
    print(json.dumps(found, indent=1))
    assert all(figures["failures"] > 5 // step for figures in found.values()), found  # the shim was there
    return found


def test_some_calls_fail_in_turn(shim: Path, quick: Path) -> None:
    """A thinned set: all of it is a soak."""
    fail(shim, quick, ["a restore", "an import"], ["full with half written"], 17)


@pytest.mark.soak
@pytest.mark.parametrize("name", LINES)
def test_each_call_of_each_command_fails_in_turn(shim: Path, quick: Path, name: str) -> None:
    step = rounds(5 if "bag" in name or "old" in name else 1, 23)
    fail(shim, quick, [name], list(KINDS)[: rounds(len(KINDS), 1)], step)
