"""What `key show` tells of the files in keys/, and what only `check` does."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from catalog import signing
from tests.cli.conftest import Tirage

ROOT = Path(__file__).parents[2]

# what lies in the place of the private key -> what is shown
SHOWN = {
    "plain": "a file is in keys/, no passphrase",
    "another's": "a file is in keys/, no passphrase",
    "none": "not in keys/: the file of its name holds no key",
    "missing": "not in keys/",
}


@pytest.mark.parametrize("kept", SHOWN)
def test_show_tells_what_lies_there_and_check_whose_it_is(studio: Tirage, kept: str) -> None:
    (file,) = Path("keys").glob("*.pem")
    if kept == "another's":
        file.write_bytes(signing.new_key()[0])
    elif kept == "none":
        file.write_text("a shopping list", encoding="utf-8")
    elif kept == "missing":
        file.unlink()
    assert f"{SHOWN[kept]}\n" in studio("key show").out
    checked = studio("check")
    assert (checked.status, "another key" in checked.out) == (int(kept in ("another's", "none")), kept == "another's")


def test_show_loads_nothing_that_signs(studio: Tirage) -> None:
    code = (
        "import sys; from catalog.cli.main import run; run(['key', 'show']); "
        "sys.exit(any(name.split('.')[0] == 'cryptography' for name in sys.modules))"
    )
    shown = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert shown.returncode == 0 and "a file is in keys/" in shown.stdout, shown.stderr
