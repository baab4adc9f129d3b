"""Points of a calibration as typed or as they stand in a file."""

from fractions import Fraction

from catalog.records.calibrations import SCALE, Point

LARGEST = 1_000_000  # bytes of a file of readings


def _split(point: str, example: str) -> tuple[str, str]:
    from catalog.errors import NotUnderstood

    first, equals, second = point.partition("=")
    if not equals or not first.strip() or not second.strip():
        raise NotUnderstood("a point of a calibration", point, f"two numbers with = between, such as {example}")
    return first.strip(), second.strip()


def known(point: str, basis: str, unit: str, example: str) -> Point:
    """A known amount and its reading."""
    from catalog.errors import NotUnderstood
    from catalog.readings import parse_plain

    amount, reading = _split(point, example)
    number = amount.lower().replace("µ", "u").replace("μ", "u").replace("²", "2")
    number = number.removesuffix("/cm2").removesuffix("ug") if unit == "µg/cm²" else number.removesuffix("ug")
    known = parse_plain(number, "a known amount", f"a number of {unit}, such as {example}") * 1_000
    read = parse_plain(reading, "a reading", f"a number that is not negative, such as {example}") * SCALE
    if known > 10**7 or read > 10 * SCALE:
        raise NotUnderstood("a point of a calibration", point, f"at most 10,000 {unit} and a reading of at most 10")
    return Point(round(read), _as_ion(known, basis))


def washed(point: str, basis: str) -> Point:
    """A time of wash and what was left after it."""
    from catalog.quantities import parse_duration

    time, left = _split(point, "10m=12ug/cm2")
    return Point(parse_duration(time), _left(left, basis))


def _left(text: str, basis: str) -> int:
    from catalog.quantities import parse_residue

    return _as_ion(parse_residue(text), basis)


def _as_ion(amount: Fraction | int, basis: str) -> int:
    from catalog.errors import NotUnderstood
    from catalog.formulas.residue import MOLAR, as_ion

    if basis.lower() not in MOLAR:
        raise NotUnderstood("a salt that hypo is told as", basis, f"one of {', '.join(MOLAR)}")
    return round(as_ion(amount, basis.lower()))


def from_file(path: str, basis: str) -> list[Point]:
    """The readings of a CSV file of time,reading; a first line of words is its head. Tells the line that is wrong."""
    import csv

    from catalog.errors import NotUnderstood, TirageError
    from catalog.quantities import parse_duration
    from catalog.whole_files import read_plain

    try:
        lines = list(csv.reader(read_plain(path, LARGEST).decode("utf-8-sig").splitlines()))
    except (OSError, ValueError, csv.Error) as problem:
        raise TirageError(f"{path} cannot be read as a CSV file of text ({problem}); expected lines such as "
                          f"10m,12ug/cm2. Save it as CSV in UTF-8.") from None  # fmt: skip
    found = []
    for number, cells in enumerate(lines, start=1):
        cells = [cell.strip() for cell in cells if cell.strip()]
        if not cells or (number == 1 and not cells[0][:1].isdigit()):
            continue
        try:
            if len(cells) != 2:
                raise NotUnderstood("a reading", ",".join(cells), "a time and what was left, such as 10m,12ug/cm2")
            time, left = (
                f"{cell}{unit}" if _bare(cell) else cell for cell, unit in zip(cells, ("m", "ug/cm2"), strict=True)
            )
            found.append(Point(parse_duration(time), _left(left, basis)))
        except NotUnderstood as problem:
            raise TirageError(f"{path}, line {number}: {problem.sentence}") from None
    return found


def _bare(cell: str) -> bool:
    return cell.isascii() and cell.replace(".", "", 1).isdigit()
