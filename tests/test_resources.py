"""The program finds its folders from a wheel, from an editable install, and from a bare checkout."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parent.parent
ASK = "from catalog.resources import resource; print(resource('templates')); print(resource('demo_catalog'))"


def ask(python: str, folder: Path) -> list[Path]:
    """Where this interpreter finds the two folders, asked from another folder."""
    out = subprocess.run([python, "-c", ASK], cwd=folder, capture_output=True, text=True, check=True).stdout
    return [Path(line) for line in out.splitlines()]


def test_bare_checkout(tmp_path: Path) -> None:
    script = f"import sys; sys.path.insert(0, {str(CHECKOUT)!r}); {ASK}"
    out = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, capture_output=True, text=True, check=True
    ).stdout
    assert all((Path(line)).is_dir() for line in out.splitlines()) and len(out.splitlines()) == 2


@pytest.mark.parametrize("kind", ["wheel", "editable"])
def test_installed(kind: str, tmp_path: Path) -> None:
    environment = tmp_path / "env"
    subprocess.run([sys.executable, "-m", "venv", "--system-site-packages", str(environment)], check=True)
    python = str(environment / "bin" / "python")
    pip = [python, "-m", "pip", "-q", "install", "--no-deps", "--disable-pip-version-check", "--force-reinstall"]
    if kind == "wheel":
        subprocess.run(
            [sys.executable, "-m", "pip", "-q", "wheel", "--no-deps", "-w", str(tmp_path), str(CHECKOUT)], check=True
        )
        wheel = next(tmp_path.glob("tirage-*.whl"))
        names = zipfile.ZipFile(wheel).namelist()
        assert any(name.endswith("store/schema/0001/04_print.sql") for name in names)
        subprocess.run([*pip, str(wheel)], check=True)
    else:
        subprocess.run([*pip, "-e", str(CHECKOUT)], check=True)
    found = ask(python, tmp_path)
    assert all(folder.is_dir() for folder in found)
    inside = [environment in folder.parents for folder in found]
    assert all(inside) if kind == "wheel" else not any(inside)
    script = "from catalog.resources import resource; assert (resource('templates') / 'site').is_dir()"
    subprocess.run([python, "-c", script], cwd=tmp_path, check=True)
