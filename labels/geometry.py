"""Page sizes, boxes and grids: where things are on a sheet, in millimetres from its top left corner."""

from dataclasses import dataclass

from labels.errors import UnknownPage

POINTS_PER_MM = 72 / 25.4


def points(millimetres: float) -> float:
    """Millimetres as PDF points (1/72 inch)."""
    return millimetres * POINTS_PER_MM


def millimetres(points_: float) -> float:
    """PDF points as millimetres."""
    return points_ / POINTS_PER_MM


@dataclass(frozen=True, slots=True)
class PageSize:
    """A sheet of paper: its name, width and height in mm."""

    name: str
    width: float
    height: float


# ISO 216 and the US letter sheet.
A4 = PageSize("A4", 210.0, 297.0)
LETTER = PageSize("Letter", 215.9, 279.4)
_PAGES = {page.name.lower(): page for page in (A4, LETTER)}


def page_size(name: str) -> PageSize:
    """The page called `name` ("A4" or "Letter", in any case). Raises `UnknownPage`."""
    try:
        return _PAGES[name.strip().lower()]
    except KeyError:
        raise UnknownPage(name, tuple(page.name for page in _PAGES.values())) from None


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle: left and top measured from the page's top left corner, then width and height."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.left + self.width

    @property
    def bottom(self) -> float:
        return self.top + self.height

    def contains(self, other: "Box", tolerance: float = 1e-6) -> bool:
        """Whether `other` lies wholly inside."""
        return (
            other.left >= self.left - tolerance
            and other.top >= self.top - tolerance
            and other.right <= self.right + tolerance
            and other.bottom <= self.bottom + tolerance
        )

    def overlaps(self, other: "Box", tolerance: float = 1e-6) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right - tolerance
            and other.left < self.right - tolerance
            and self.top < other.bottom - tolerance
            and other.top < self.bottom - tolerance
        )

    def in_points(self) -> "Box":
        """The same rectangle with mm turned into points."""
        return Box(points(self.left), points(self.top), points(self.width), points(self.height))


@dataclass(frozen=True, slots=True)
class Grid:
    """Equal cells in columns and rows; all lengths in mm, pitch from one cell's edge to the next one's."""

    columns: int
    rows: int
    cell_width: float
    cell_height: float
    left: float
    top: float
    pitch_across: float
    pitch_down: float

    @property
    def cells(self) -> int:
        return self.columns * self.rows

    def cell(self, position: int) -> Box:
        """The cell at `position`, counted from 1 at the top left along the rows."""
        if not 1 <= position <= self.cells:
            raise IndexError(f"position {position} of {self.cells}")
        row, column = divmod(position - 1, self.columns)
        return Box(
            self.left + column * self.pitch_across,
            self.top + row * self.pitch_down,
            self.cell_width,
            self.cell_height,
        )


def centred_grid(
    page: PageSize, columns: int, rows: int, width: float, height: float, across: float = 0.0, down: float = 0.0
) -> Grid:
    """Cells of `width` x `height` mm in the middle of the page, with gaps of `across` and `down` mm between them."""
    pitch_across, pitch_down = width + across, height + down
    return Grid(
        columns,
        rows,
        width,
        height,
        (page.width - columns * pitch_across + across) / 2,
        (page.height - rows * pitch_down + down) / 2,
        pitch_across,
        pitch_down,
    )
