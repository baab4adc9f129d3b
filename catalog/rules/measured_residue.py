"""Measured residues: from what a person read to nanograms of the ion a square centimetre of a side, and how."""

import sqlite3
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.formulas import fits, residue
from catalog.formulas.fits import Line
from catalog.quantities import parse_residue
from catalog.readings import parse_area, parse_millilitres, parse_plain
from catalog.records import calibrations
from catalog.records.calibrations import SCALE, Calibration

MOST = 10**6  # nanograms a square centimetre, as wherever a residue is typed
DENSITY = ("a density", "a number such as 0.12")
ABSORBANCE = ("an absorbance", "a number such as 0.244")
UNIT = {"stain": "µg/cm²", "absorbance": "µg"}


class NotRisingError(TirageError):
    """A calibration whose readings do not rise with what was known to be there."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"The readings of “{name}” do not rise with the known amounts, so nothing can be read from them; expected "
            f"a larger reading for a larger amount. Give each point as AMOUNT=READING."
        )


class OutOfRangeError(TirageError):
    """A reading outside what was calibrated."""

    def __init__(self, calibration: Calibration, amount: float, least: Fraction, most: Fraction) -> None:
        unit = UNIT[calibration.kind]
        over = amount > most
        what = "Make strips with more on them" if over else "Make strips with less on them"
        if not over and not least:
            what = "It reads less than a clean piece: look at the blank, or the place beside the stain"
        elif calibration.kind == "absorbance":
            what = "Take a smaller aliquot" if over else "Take a larger aliquot"
        super().__init__(
            f"That reading lies {'above' if over else 'below'} all of “{calibration.name}”, which was made from "
            f"{_number(least)} to {_number(most)} {unit}; nothing is worked out beyond it. {what}, and read again."
        )


class MissingReadingError(TirageError):
    """A measurement told in part only."""

    def __init__(self, way: str, missing: Sequence[str]) -> None:
        super().__init__(f"To work out a value from {way}, {' and '.join(missing)} must be told too. Give all of it.")


class Worked(NamedTuple):
    """A value for the record: by what method, nanograms a square centimetre, from what, and the working in words."""

    method: str
    value: int
    given: dict[str, str]
    calibration: int | None = None
    told: str = ""


class Piece(NamedTuple):
    """The piece that was extracted, as typed: its area, all of the extract, the part that was measured, its sides."""

    area: str = ""
    extract: str = ""
    aliquot: str = ""
    sides: str = "one"


def typed(text: str, question: str, basis: str = "ion", sides: str = "one") -> Worked:
    """A value as a laboratory gives it: of what salt, of which sides. Raises NotUnderstood."""
    if question != "hypo" and basis != "ion":
        raise NotUnderstood(f"a basis of {question}", basis, "none: only hypo is told as one salt or another")
    given = {"value": text.strip(), **_told({"basis": basis, "sides": sides}, {"basis": "ion", "sides": "one"})}
    amount = residue.as_ion(parse_residue(text), basis) / _sides(sides)
    words = []
    if basis != "ion":
        words.append(f"of {residue.BASIS_WORDS[basis]}, reckoned as the thiosulfate ion")
    if sides != "one":
        words.append("halved, for it was of both sides")
    return Worked("", _kept(amount, text), given, None, f"{text.strip()} {', '.join(words)}" if words else "")


def titrated(volume: str, normality: str, blank: str, piece: Piece) -> Worked:
    """An extract of a piece titrated with iodine, less its blank. Raises MissingReadingError, NotUnderstood."""
    _demand("a titration", {"--normality": normality, "--blank (0ml if none was run)": blank, "--area": piece.area})
    millilitres, before = parse_millilitres(volume), parse_millilitres(blank)
    strength = parse_plain(normality, "the normality of an iodine solution", "a number such as 0.001")
    if not strength:
        raise NotUnderstood("the normality of an iodine solution", normality, "more than 0, such as 0.001")
    if before > millilitres:
        raise NotUnderstood("a blank", blank, f"no more than the {volume} that the extract took up")
    found = residue.titrated(millilitres, strength, before)
    amount = _spread(found, piece)
    given = {"titration": volume, "normality": normality, "blank": blank, **_piece(piece)}
    told = f"{_number(found)} µg in what was titrated, the blank taken off"
    return Worked("iodine titration", _kept(amount * 1_000, volume), given, None, told)


def stained(connection: sqlite3.Connection, stain: str, untreated: str, name: str) -> Worked:
    """The density of a silver sulfide stain, read on one's own strips.

    Raises MissingReadingError, UnknownCalibrationError, WrongCalibrationError, NotRisingError, OutOfRangeError.
    """
    _demand("a stain", {"--untreated": untreated, "--calibration": name})
    gained = parse_plain(stain, *DENSITY) - parse_plain(untreated, *DENSITY)
    calibration = calibrations.named(connection, name, "stain")
    amount, told = _read_off(connection, calibration, gained)
    given = {"stain": stain, "untreated": untreated}
    return Worked("silver densitometric", _kept(amount * 1_000, stain), given, calibration.id, told)


def absorbed(connection: sqlite3.Connection, absorbance: str, name: str, piece: Piece) -> Worked:
    """An absorbance by methylene blue, read on one's own series, whose zero holds the blank. Raises as `stained`."""
    _demand("an absorbance", {"--calibration": name, "--area": piece.area})
    calibration = calibrations.named(connection, name, "absorbance")
    found, told = _read_off(connection, calibration, parse_plain(absorbance, *ABSORBANCE))
    amount = _spread(found, piece)
    given = {"absorbance": absorbance, **_piece(piece)}
    return Worked("methylene blue", _kept(amount * 1_000, absorbance), given, calibration.id, told)


def line_of(connection: sqlite3.Connection, calibration: Calibration) -> Line:
    """The line through a calibration: readings over micrograms (a square centimetre). Raises NotRisingError."""
    found = fits.line(_points(connection, calibration))
    if found.slope <= 0:
        raise NotRisingError(calibration.name)
    return found


def _points(connection: sqlite3.Connection, calibration: Calibration) -> list[tuple[float, float]]:
    return [(point.residue / 1_000, point.reading / SCALE) for point in calibrations.points_of(connection, calibration)]


def _read_off(connection: sqlite3.Connection, calibration: Calibration, reading: Fraction) -> tuple[Fraction, str]:
    """The amount on the line, and in words; nothing beyond the strips, but what reads as none is none.

    A clean piece may read under the line's zero by as much as a further reading there is expected to (95 %).
    """
    through = line_of(connection, calibration)
    known = [Fraction(point.residue, 1_000) for point in calibrations.points_of(connection, calibration)]
    least, most = min(known), max(known)
    amount = through.inverse(float(reading))
    slack = 1e-9 * max(1.0, float(most))
    if not least and amount < 0 and float(reading) >= through.at(0) - through.margin(0) - slack:
        amount = 0.0
    if not float(least) - slack <= amount <= float(most) + slack:
        raise OutOfRangeError(calibration, amount, least, most)
    amount = min(max(amount, float(least)), float(most))
    margin = through.inverse_margin(float(reading))
    scatter = f" ± {margin:.2g}" if margin > slack else ""  # points on one line, as in an example, have none
    told = (
        f"on “{calibration.name}”: {amount:.3g}{scatter} {UNIT[calibration.kind]}{' (95 %)' if scatter else ''}, "
        f"made from {_number(least)} to {_number(most)}"
    )
    return Fraction(amount).limit_denominator(10**9), told


def _demand(way: str, needed: dict[str, str]) -> None:
    missing = [name for name, value in needed.items() if not value]
    if missing:
        raise MissingReadingError(way, missing)


def _spread(micrograms: Fraction, piece: Piece) -> Fraction:
    if bool(piece.extract) != bool(piece.aliquot):
        raise MissingReadingError("a part of an extract", ["--aliquot" if piece.extract else "--extract"])
    whole = parse_millilitres(piece.extract) if piece.extract else None
    part = parse_millilitres(piece.aliquot) if piece.aliquot else None
    if whole is not None and part is not None and not 0 < part <= whole:
        raise NotUnderstood("an aliquot", piece.aliquot, f"more than nothing and no more than the {piece.extract}")
    return residue.spread(micrograms, parse_area(piece.area), whole, part) / _sides(piece.sides)


def _piece(piece: Piece) -> dict[str, str]:
    return _told(piece._asdict(), {"sides": "one", "extract": "", "aliquot": ""})


def _told(values: dict[str, str], usual: dict[str, str]) -> dict[str, str]:
    return {name: value for name, value in values.items() if value != usual.get(name)}


def _sides(sides: str) -> int:
    if sides not in ("one", "both"):
        raise NotUnderstood("the sides that a value is of", sides, "one or both")
    return 2 if sides == "both" else 1


def _kept(nanograms: Fraction, text: str) -> int:
    """Whole nanograms, halves up. Raises NotUnderstood for more than a sheet holds."""
    whole = (2 * nanograms.numerator + nanograms.denominator) // (2 * nanograms.denominator)
    if whole > MOST:
        raise NotUnderstood("a residue", text, "a reading that comes to at most 1 mg/cm² (1000 µg/cm²)")
    return whole


def _number(value: Fraction) -> str:
    return f"{float(value):.6g}"
