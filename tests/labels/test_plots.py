"""Plots: all that is drawn stands on the page, says what it is, and comes out the same each time."""

import math
from dataclasses import replace
from io import BytesIO

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.geometry import Box
from labels.plots import Plot, PlotSheetContent, _Field, _levels, plot_sheet
from labels.sheet import Section, SheetContent

HEAD = SheetContent("Wash trial", "trial1", "", "How long", "warm12", (), (), "", "")
PLOT = Plot(
    across="minutes of wash",
    up="left, µg/cm²",
    readings=((20, 5), (40, 2.4), (60, 1.3), (90, 0.5)),
    others=((5, 40), (10, 12)),
    nothing=(120,),
    curve=tuple((t, 9 * math.exp(-t / 30), 8 * math.exp(-t / 30), 11 * math.exp(-t / 30)) for t in range(20, 91, 5)),
    target=(1.4, "target 1.4 µg/cm²"),
    answer=(65, "1 h 5 min"),
    key=("reading", "earlier", "nothing found", "best estimate"),
)


def content(plot: Plot = PLOT) -> PlotSheetContent:
    return PlotSheetContent(HEAD, plot, (Section("What it says", ("Under it after an hour.",)),))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_everything_is_labelled_and_the_same_each_time(paper: str) -> None:
    pdf = plot_sheet(content(), paper)
    assert pdf == plot_sheet(content(), paper)
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    assert len(pages) == 1
    text = " ".join(pages[0].extract_text().split())
    for words in (
        "minutes of wash",
        "left, µg/cm²",
        "target 1.4 µg/cm²",
        "1 h 5 min",
        "earlier",
        "nothing found",
        "0.5",
    ):
        assert words in text


def test_signs_that_do_not_occur_are_not_explained() -> None:
    plain = replace(PLOT, others=(), nothing=(), answer=None)
    text = pypdf.PdfReader(BytesIO(plot_sheet(content(plain)))).pages[0].extract_text()
    assert "earlier" not in text and "nothing found" not in text and "1 h 5 min" not in text


def test_every_reading_is_drawn() -> None:
    """A dot is four curves of the page's drawing: one for each reading, and one for each kind in the key."""
    drawn = pypdf.PdfReader(BytesIO(plot_sheet(content()))).pages[0].get_contents()
    assert drawn is not None
    assert drawn.get_data().count(b" c ") + drawn.get_data().count(b" c\n") == 4 * (4 + 2 + 2)


@given(st.lists(st.tuples(st.floats(0.5, 2_000), st.floats(0.002, 900)), min_size=4, max_size=30), st.floats(0.01, 100))
def test_every_reading_and_the_target_are_within_the_field(readings: list[tuple[float, float]], target: float) -> None:
    area = Box(60, 100, 420, 290)
    curve = tuple((t, y, y / 50, y * 50) for t, y in sorted(readings))
    plot = replace(
        PLOT, readings=tuple(readings), others=(), nothing=(), curve=curve, target=(target, "t"), answer=None
    )
    field = _Field(plot, area)
    for across, up in readings:
        assert area.left <= field.x(across) <= area.right
        assert field.low <= up <= field.top
    assert field.low <= target <= field.top
    levels = _levels(field.low, field.top)
    assert 1 < len(levels) <= 13 and levels == sorted(levels)
