"""A studio with plates from before the catalog, and its old lists."""

import csv
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from catalog.cli.main import run
from tests.cli.conftest import Tirage, tirage

__all__ = ["Tirage", "tirage"]
HERE = Path(__file__).parent
PLATES = (("Low water", "1998"), ("Quarry, morning", "2003"), ("Ropewalk", "2009"), ("Harbour wall", "1975"))
STAGES = ("plates", "editions", "prints", "strip")
Listed = Callable[..., str]


@pytest.fixture(scope="session")
def stages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The studio as it was after each of its lists, one folder each, built once; a test works in a copy."""
    kept = tmp_path_factory.mktemp("studios")
    folder = kept / "plates"
    assert run(["init", str(folder), "--artist", "A. Example", "--born", "1941", "--place", "Port Example"]) == 0
    lines = [["paper", "add", "warm12", "warm-tone fibre-base paper, matt"]]
    for title, made in PLATES:
        lines.append(["negative", "add", title, "--made", made, "--size", "18x24cm", "--on", "2026-01-05"])
    for line in lines:
        assert run(["--catalog", str(folder), *line]) == 0
    for name in ("editions", "prints", "tests"):
        shutil.copy(HERE / f"studio_{name}.csv", folder)
    for before, after in zip(STAGES, STAGES[1:], strict=False):
        shutil.copytree(kept / before, kept / after)
        line = ["import", after, str(HERE / f"studio_{after}.csv"), "--apply"]
        if after == "strip":
            line = ["strip", "--paper", "warm12", "--on", "2026-02-01"]
        assert run(["--catalog", str(kept / after), *line]) == 0
    return kept


@pytest.fixture
def in_stage(stages: Path, tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Tirage]:
    """Go to a copy of the studio at a stage."""

    def gone(stage: str) -> Tirage:
        shutil.copytree(stages / stage, tmp_path / "studio")
        monkeypatch.chdir(tmp_path / "studio")
        return tirage

    return gone


@pytest.fixture
def old_studio(in_stage: Callable[[str], Tirage]) -> Tirage:
    """A begun catalog with four plates of long ago, its owner's lists of editions, prints and tests beside it."""
    return in_stage("plates")


@pytest.fixture
def with_editions(in_stage: Callable[[str], Tirage]) -> Tirage:
    """The same, with its editions brought in: E-0001 of 25 with proofs, E-0002 of 10, E-0003 open."""
    return in_stage("editions")


@pytest.fixture
def brought_in(in_stage: Callable[[str], Tirage]) -> Tirage:
    """The same, with its prints too, P-000001 to P-000012."""
    return in_stage("prints")


@pytest.fixture
def tested(in_stage: Callable[[str], Tirage]) -> Tirage:
    """The same, with a control strip, K-0001."""
    return in_stage("strip")


@pytest.fixture
def listed() -> Listed:
    """Write a table with these headings and rows where one stands; its name."""

    def written(headings: str, *rows: str | Sequence[str], name: str = "list.csv") -> str:
        with Path(name).open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(headings.split("|"))
            writer.writerows(row.split("|") if isinstance(row, str) else row for row in rows)
        return name

    return written
