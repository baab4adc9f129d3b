"""A catalog to type into, through the real command line in this process."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from catalog.cli.main import run


class Answer(NamedTuple):
    """What one command line gave: exit status, standard output, standard error."""

    status: int
    out: str
    err: str


Tirage = Callable[..., Answer]


@pytest.fixture
def tirage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Tirage:
    """Type `tirage ...` in a folder of its own; words are given apart or as one line without quotes."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("TIRAGE_BY", "tester")
    monkeypatch.delenv("TIRAGE_CATALOG", raising=False)

    def typed(*words: str) -> Answer:
        capsys.readouterr()
        status = run(words[0].split() if len(words) == 1 else list(words))
        captured = capsys.readouterr()
        return Answer(status, captured.out, captured.err)

    return typed


@pytest.fixture
def studio(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    """A begun catalog: one plate, an edition of 25 with 3 artist's proofs, six prints of it fixed and washed."""
    assert tirage("init", "studio", "--artist", "Žofie Đurđević", "--born", "1971").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    for line in (
        ["paper", "add", "warm12", "warm-tone fibre-base paper, matt"],
        [
            "negative",
            "add",
            "Low water",
            "--made",
            "2026-03-02",
            "--size",
            "whole plate",
            "--thickness",
            "2mm",
            "--on",
            "2026-03-02",
        ],
        [
            "edition",
            "declare",
            "n1",
            "25",
            "--ap",
            "3",
            "--sheet",
            "24x30cm",
            "--paper",
            "warm12",
            "--price",
            "900EUR",
            "--on",
            "2026-03-05",
        ],
        ["print", "make", "e1", "6", "--on", "2026-03-06", "--at", "10:00"],
        ["bath", "mix", "fixer", "alkaline rapid fixer", "--on", "2026-03-06"],
        ["washer", "add", "slots1", "--kind", "slots", "--volume", "20l", "--flow", "4l/min"],
        ["fix", "1-6", "1m", "--on", "2026-03-06", "--at", "11:00"],
        ["wash", "1-6", "60m", "--on", "2026-03-06", "--at", "11:30"],
    ):
        answer = tirage(*line)
        assert answer.status == 0, answer.err
    return tirage
