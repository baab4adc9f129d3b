"""The demo catalog, built once for all tests that read a full one."""

from pathlib import Path

import pytest

from catalog.cli.main import run


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A built demo catalog. Read it only; who writes copies it first."""
    folder = tmp_path_factory.mktemp("demo") / "demo"
    assert run(["demo", str(folder)]) == 0
    return folder
