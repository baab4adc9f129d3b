"""The README cannot rot: its walk through one plate's life is typed, line by line, and its commands exist."""

import re
import shlex
from pathlib import Path

import pytest

from catalog.cli.main import COMMANDS, run

README = Path(__file__).parent.parent / "README.md"


def walk() -> list[str]:
    """The indented lines of the section that goes from pouring to sale."""
    section = README.read_text(encoding="utf-8").split("## One plate, from pouring to sale")[1].split("\n## ")[0]
    return [line.strip() for line in section.splitlines() if line.startswith("    ") and line.strip()]


def test_one_plate_from_pouring_to_sale(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("TIRAGE_CATALOG", raising=False)
    lines = walk()
    assert len(lines) > 25
    for line in lines:
        words = shlex.split(line, comments=True)
        if words[0] == "cd":
            monkeypatch.chdir(tmp_path / words[1])
        elif words[1] != "browse":  # serves until Ctrl-C; the browser tests serve
            assert words[0] == "tirage" and run(words[1:]) == 0, line
    kinds = {file.name.split("-")[0] for file in Path("out").iterdir()}
    assert kinds == {"labels", "certificate", "provenance"}


def test_every_command_named_in_the_readme_exists() -> None:
    text = README.read_text(encoding="utf-8")
    for name in re.findall(r"`tirage ([a-z]+)", text):
        assert name in COMMANDS, name
