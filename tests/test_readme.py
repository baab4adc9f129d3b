"""The README cannot rot: its walk through one plate's life is typed, line by line, and its commands exist."""

import re
import shlex
from pathlib import Path

import pytest

from catalog.cli.main import COMMANDS, run

README = Path(__file__).parent.parent / "README.md"


def walk() -> list[str]:
    """The indented lines of four sections: pouring to sale, the years of an edition, the darkroom, in and out."""
    sections = README.read_text(encoding="utf-8").split("## One plate, from pouring to sale")[1].split("\n## ")[:4]
    lines = [line for section in sections for line in section.splitlines()]
    return [line.strip() for line in lines if line.startswith("    ") and line.strip()]


def lists() -> dict[str, str]:
    """Name -> text of the lists that the README shows."""
    return dict(re.findall(r"^```csv (\S+)\n(.*?)^```$", README.read_text(encoding="utf-8"), re.M | re.S))


def test_the_lines_of_the_walk_do_what_they_say(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("TIRAGE_CATALOG", raising=False)
    lines = walk()
    assert len(lines) > 45
    for line in lines:
        words = shlex.split(line, comments=True)
        if words[0] == "cd":
            monkeypatch.chdir(tmp_path / words[1])
            for name, text in lists().items():
                Path(name).write_text(text, encoding="utf-8")
        elif words[1] != "browse":  # serves until Ctrl-C; the browser tests serve
            assert words[0] == "tirage" and run(words[1:]) == 0, line
    kinds = {file.name.split("-")[0] for file in Path("out").iterdir()}
    assert kinds == {"labels", "certificate", "provenance", "key", "trials", "card", "session"}


def test_every_command_named_in_the_readme_exists() -> None:
    text = README.read_text(encoding="utf-8")
    for name in re.findall(r"`tirage ([a-z]+)", text):
        assert name in COMMANDS, name
