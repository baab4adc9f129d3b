"""settings.toml is read in one place, also by a command that only reads."""

from pathlib import Path

import pytest

from catalog.documents.presentation import Presentation, presentation
from catalog.documents.settings_file import FIELDS, UNITS, PresentationError, units

TEXTS = {"": "metric", 'units = "imperial"': "imperial", 'address = "https://example.org"': "metric"}


@pytest.mark.parametrize("text", TEXTS)
def test_units(tmp_path: Path, text: str) -> None:
    (tmp_path / "settings.toml").write_text(text, encoding="utf-8")
    assert units(tmp_path) == TEXTS[text] == presentation(tmp_path).units


def test_units_without_the_file(tmp_path: Path) -> None:
    assert units(tmp_path) == "metric"


@pytest.mark.parametrize("text", ['units = "ells"', "units = 3", "units ="])
def test_what_cannot_be_read_is_told_alike(tmp_path: Path, text: str) -> None:
    (tmp_path / "settings.toml").write_text(text, encoding="utf-8")
    for read in (units, presentation):
        with pytest.raises(PresentationError, match="correct the file or take it away"):
            read(tmp_path)


def test_the_fields_are_those_that_are_checked() -> None:
    assert set(FIELDS) == set(Presentation.model_fields) and Presentation().units in UNITS
