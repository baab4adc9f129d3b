"""Bags of the demo catalog, packed once for all tests that read them."""

import shutil
from datetime import datetime
from pathlib import Path

import pytest

from catalog.exchange.bag.export import export_bag
from catalog.store import connection as store

NOW = datetime.fromisoformat("2026-06-01T12:00:00+00:00")


def pack(folder: Path, target: Path, *, anyway: bool = False) -> Path:
    """A bag of the catalog in a folder."""
    connection = store.open_catalog(folder, writing=False)
    try:
        export_bag(connection, folder, target, NOW, anyway=anyway)
    finally:
        connection.close()
    return target


@pytest.fixture(scope="session")
def packed(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bag of the demo. Read it only."""
    return pack(demo_folder, tmp_path_factory.mktemp("bags") / "bag")


@pytest.fixture
def bag(packed: Path, tmp_path: Path) -> Path:
    """A copy of that bag that a test may spoil."""
    return Path(shutil.copytree(packed, tmp_path / "bag"))
