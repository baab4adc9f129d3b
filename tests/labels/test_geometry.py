"""Pages, grids and label stock."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.errors import PaperError
from labels.geometry import A4, LETTER, Box, centred_grid, millimetres, page_size, points
from labels.stock import stock, stocks

lengths = st.floats(0, 2000, allow_nan=False)

# The formats that must be offered: name, cell width and height in mm.
FORMATS = (
    ("a4-3x8", 70.0, 37.0),
    ("a4-3x7", 63.5, 38.1),
    ("a4-2x7", 99.1, 38.1),
    ("a4-2x4", 99.1, 67.7),
    ("letter-3x10", 66.675, 25.4),
    ("letter-2x5", 101.6, 50.8),
    ("letter-2x3", 101.6, 84.67),
)


@given(lengths)
def test_millimetres_survive_the_way_to_points_and_back(length: float) -> None:
    assert millimetres(points(length)) == pytest.approx(length)


def test_an_inch_is_72_points() -> None:
    assert points(25.4) == pytest.approx(72)


@pytest.mark.parametrize("name", ["A4", "a4", " letter ", "Letter"])
def test_pages_are_known_in_any_case(name: str) -> None:
    assert page_size(name) in (A4, LETTER)


def test_an_unknown_page_is_refused_with_what_is_known() -> None:
    with pytest.raises(PaperError, match="A4, Letter"):
        page_size("foolscap")


@given(st.integers(1, 6), st.integers(1, 12), st.floats(5, 30), st.floats(5, 20), st.floats(0, 4), st.floats(0, 4))
def test_cells_of_a_centred_grid_stay_on_the_page_and_apart(
    columns: int, rows: int, width: float, height: float, across: float, down: float
) -> None:
    grid = centred_grid(A4, columns, rows, width, height, across, down)
    page = Box(0, 0, A4.width, A4.height)
    cells = [grid.cell(position) for position in range(1, grid.cells + 1)]
    assert all(page.contains(cell) for cell in cells)
    assert not any(one.overlaps(other) for n, one in enumerate(cells) for other in cells[n + 1 :][: columns + 1])
    assert grid.left == pytest.approx(A4.width - cells[columns - 1].right)


@pytest.mark.parametrize("offered", stocks(), ids=lambda offered: offered.name)
def test_every_stock_fits_its_page(offered) -> None:  # type: ignore[no-untyped-def]
    page = Box(0, 0, offered.page.width, offered.page.height)
    cells = [offered.grid.cell(position) for position in range(1, offered.positions + 1)]
    assert all(page.contains(cell) for cell in cells)
    assert not any(one.overlaps(other) for n, one in enumerate(cells) for other in cells[n + 1 :])
    assert offered.name == f"{offered.page.name.lower()}-{offered.grid.columns}x{offered.grid.rows}"


@pytest.mark.parametrize(("name", "width", "height"), FORMATS)
def test_the_usual_formats_are_offered(name: str, width: float, height: float) -> None:
    grid = stock(name).grid
    assert (grid.cell_width, grid.cell_height) == (pytest.approx(width), pytest.approx(height, abs=0.01))


def test_positions_run_along_the_rows() -> None:
    grid = stock("a4-3x8").grid
    assert grid.cell(2).left > grid.cell(1).left
    assert grid.cell(2).top == grid.cell(1).top
    assert grid.cell(4).top > grid.cell(1).top


def test_unknown_stock_names_what_there_is() -> None:
    with pytest.raises(PaperError, match="a4-3x8"):
        stock("a4-9x9")
