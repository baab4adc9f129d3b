"""Height and width in columns of their own: a size where they stand alone, held against it where a column has both."""

from catalog.exchange.free_text.size_units import FRACTION
from catalog.exchange.importing.cells import comma_told, is_bare, length_in, length_of, mind_large, plain_number
from catalog.exchange.importing.frame import DOUBTFUL, Options, Row

SIDES = ("height", "width")
UNITS = ("cm", "mm", "in")  # that a bare number of a list may have
ROUNDED = 2_000  # micrometres by which one length written twice, in inches and in centimetres, may be apart


def sides_in(row: Row, options: Options) -> tuple[int | None, int | None]:
    """The size from its two columns; a side without the other is kept as note."""
    if not (row.get("height") or row.get("width")):
        return None, None
    height, width = (length_in(row, side, options, options.unit) for side in SIDES)
    if height is not None and width is not None:
        mind_large(row, "height" if height >= width else "width", height, width)
        return height, width
    for side, length in zip(SIDES, (height, width), strict=True):
        if length is not None:
            row.keep(side, "the other side is missing; a size has both")
    return None, None


def measured_in(row: Row, field: str, options: Options, size: tuple[int, int]) -> tuple[int, int] | None:
    """Height and width where their columns tell, in units that are said, the size that `field` only names or turns.

    They were measured, and say which is which: “8x10” beside 25.4 cm by 20.3 cm is upright. The words of the format are
    kept as note then, and nothing in them is doubtful any more. None where `field` says as much, or another size.
    """
    height, width = (_length(row, side, options, "") for side in SIDES)
    if height is None or width is None:
        return None
    alike = _fits(height, size[0]) and _fits(width, size[1])
    turned = _fits(height, size[1]) and _fits(width, size[0])
    heading = row.layout.heading(field)
    kept = [one for one in row.told if one.heading != heading or one.kind != DOUBTFUL]
    if not (alike or turned) or (alike and len(kept) == len(row.told)):
        return None
    row.told = kept
    row.note(field)
    return height, width


def mind_sides(row: Row, field: str, options: Options, size: tuple[int, int]) -> None:
    """Tell where the columns of height and width do not fit the size read from another, and keep them as notes.

    Where nothing says the unit of both, they fit if they do in any one unit.
    """
    sides = {side: length for side, length in zip(SIDES, size, strict=True) if row.get(side)}
    if not sides:
        return
    found = {unit: {side: _length(row, side, options, unit) for side in sides} for unit in UNITS}
    fitting = {unit: [side for side in sides if _fits(found[unit][side], sides[side])] for unit in UNITS}
    best = max(UNITS, key=lambda unit: len(fitting[unit]))
    taken = f"that of “{row.layout.heading(field)}” was taken"
    for side in sides:
        lengths = {found[unit][side] for unit in UNITS}
        if side in fitting[best]:
            continue
        row.note(side)
        if lengths == {None}:
            row.keep(side, f"it is not read as a length; {taken}.{comma_told(row.get(side), options)}")
        elif len(lengths) > 1:
            row.doubt(side, f"it has no unit and fits in none; {taken}, and this is kept as note")
        else:
            row.doubt(side, f"it is another length; {taken}, and this is kept as note")


def _fits(length: int | None, other: int) -> bool:
    return length is not None and abs(length - other) <= ROUNDED


def _length(row: Row, side: str, options: Options, unit: str) -> int | None:
    """The length in a cell, in `unit` where it, its heading and the mapping file say none."""
    number = plain_number(row.get(side), options).replace("⁄", "/")
    if is_bare(number):
        usual = "in" if options.unit and FRACTION.search(number) else options.unit
        number = f"{number} {row.layout.units.get(side) or usual or unit}"
    return length_of(number)
