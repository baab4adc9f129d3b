"""Label sheet stock: the die-cut sheets that labels are printed on, named by page and grid."""

from dataclasses import dataclass

from labels.errors import UnknownStock
from labels.geometry import A4, LETTER, Grid, PageSize, centred_grid


@dataclass(frozen=True, slots=True)
class Stock:
    """A sheet of labels: its name (page-columns x rows), its page and its grid, in mm."""

    name: str
    page: PageSize
    grid: Grid

    @property
    def positions(self) -> int:
        """How many labels one sheet holds."""
        return self.grid.cells

    @property
    def description(self) -> str:
        """The sheet in words, for a list to choose from."""
        cell = f"{self.grid.cell_width:g} x {self.grid.cell_height:.4g} mm"
        return f"{self.page.name}, {self.grid.columns} across and {self.grid.rows} down, {cell}"


# Common die-cut formats. The sheets are cut symmetrically, so that margins follow from cells and gaps.
# columns, rows, cell width and height, gap across and down (mm)
_FORMATS: tuple[tuple[PageSize, int, int, float, float, float, float], ...] = (
    (A4, 3, 8, 70.0, 37.0, 0.0, 0.0),
    (A4, 3, 7, 63.5, 38.1, 2.5, 0.0),
    (A4, 3, 9, 70.0, 32.0, 0.0, 0.0),
    (A4, 2, 7, 99.1, 38.1, 2.5, 0.0),
    (A4, 2, 4, 99.1, 67.7, 2.5, 0.0),
    (LETTER, 3, 10, 66.675, 25.4, 3.175, 0.0),
    (LETTER, 2, 5, 101.6, 50.8, 4.7625, 0.0),
    (LETTER, 2, 3, 101.6, 254 / 3, 4.7625, 0.0),
)


def _stock(page: PageSize, columns: int, rows: int, *lengths: float) -> Stock:
    return Stock(f"{page.name.lower()}-{columns}x{rows}", page, centred_grid(page, columns, rows, *lengths))


_STOCKS = {made.name: made for made in (_stock(*format_) for format_ in _FORMATS)}


def stock(name: str) -> Stock:
    """The label sheet called `name`, such as `a4-3x8`. Raises `UnknownStock`."""
    try:
        return _STOCKS[name.strip().lower()]
    except KeyError:
        raise UnknownStock(name, tuple(_STOCKS)) from None


def stocks() -> tuple[Stock, ...]:
    """Every label sheet that is offered, A4 first."""
    return tuple(_STOCKS.values())
