"""What is put back: not a forged history, not an older state for a clock's sake; what else is there is told."""

import json
import os
import shutil
from pathlib import Path

import pytest

from catalog.cli.main import run
from tests.forged_history import rewrite

from .conftest import Tirage


def kept(folder: Path, place: Path) -> int:
    return run(["--catalog", str(folder), "backup", str(place)])


def test_a_rewritten_history_is_no_backup_and_is_not_put_back(
    demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, place, fresh = Path(shutil.copytree(demo_folder, tmp_path / "studio")), tmp_path / "kept", tmp_path / "new"
    assert kept(folder, place) == 0
    assert rewrite(folder / "catalog.db", "Ingrið Þálefsen", "Eve Forger") > 0
    capsys.readouterr()
    assert kept(folder, tmp_path / "forged") == 1
    assert "The history was rewritten" in capsys.readouterr().err
    (doubtful,) = (tmp_path / "forged").glob("backup-2*")
    assert doubtful.name.endswith("-doubtful")
    assert run(["restore", str(doubtful), "--into", str(fresh)]) == 1
    assert "The history was rewritten" in capsys.readouterr().err and not fresh.exists()
    assert run(["backup", str(tmp_path / "forged"), "--check"]) == 1
    capsys.readouterr()
    # The good one is put back, and it is known where it came from.
    assert run(["restore", str(place), "--into", str(fresh)]) == 0
    (went,) = json.loads((fresh / "backups.json").read_text(encoding="utf-8"))["backups"]
    assert went["place"] == str(place)


def test_a_damaged_newest_names_another(studio: Tirage, tmp_path: Path) -> None:
    assert studio("backup ../kept").status == 0
    assert studio("party add Later").status == 0
    assert studio("backup").status == 0
    first, newest = sorted((tmp_path / "kept").glob("backup-2*"))
    os.truncate(newest / "catalog.db", 8192)
    refused = studio("restore ../kept --into ../new")
    assert refused.status == 1 and f"such as {first}" in refused.err


def test_a_fork_with_more_work_is_named(studio: Tirage, tmp_path: Path) -> None:
    earlier = Path(shutil.copytree(Path.cwd(), tmp_path / "earlier"))
    for name in ("One", "Two"):
        assert studio(f"party add {name}").status == 0
    assert studio("backup ../kept").status == 0
    (path,) = (tmp_path / "kept").glob("backup-2*/manifest.json")
    said = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps({**said, "made": "2026-01-01T00:00:00+00:00"}), encoding="utf-8")
    assert run(["--catalog", str(earlier), "party", "add", "D. Other"]) == 0
    assert kept(earlier, tmp_path / "kept") == 0
    restored = studio("restore ../kept --into ../new")
    assert restored.status == 0 and "holds more" in restored.err and "and another history than" in restored.err


def test_a_code_in_a_files_place_is_understood(studio: Tirage) -> None:
    refused = studio("certificate verify C-0001")
    assert refused.status == 1 and "tirage certificate show C-0001" in refused.err
