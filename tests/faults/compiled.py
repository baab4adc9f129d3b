"""Small C libraries that are put before the C library of a process (LD_PRELOAD): a failing disk, a wrong clock."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

COMPILER = shutil.which("gcc") or shutil.which("cc")
# A machine without a compiler tests all the rest; where everything is to be tested, install gcc and libc6-dev.
needs_compiler = [
    pytest.mark.skipif(not sys.platform.startswith("linux"), reason="LD_PRELOAD is for Linux"),
    pytest.mark.skipif(COMPILER is None, reason="no C compiler (apt-get install gcc libc6-dev)"),
]


def compiled(name: str, folder: Path) -> Path:
    """A C file of this folder as a shared library."""
    library = folder / f"{name}.so"
    source = Path(__file__).with_name(f"{name}.c")
    made = subprocess.run(
        [str(COMPILER), "-shared", "-fPIC", "-O1", "-o", str(library), str(source), "-ldl"],
        capture_output=True,
        text=True,
    )
    if made.returncode:
        pytest.skip(f"the compiler makes no shared library: {made.stderr[-200:]}")
    return library
