"""Density: from reflectance and transmittance, and what a printing process needs of a plate."""

from math import log10
from typing import NamedTuple

# Split of the span of grades by log exposure range, thousandths of density: from memory. The end points 0.50 and
# 1.70 are those of the Focal Encyclopedia of Photography, 4th edition, p. 679.
GRADES = ((0, 1400, 1700), (1, 1150, 1400), (2, 950, 1150), (3, 800, 950), (4, 650, 800), (5, 500, 650))
PRINTERS_LIST = "a specialist printer, in the alt-photo-process list, 1996; no standard"
ENCYCLOPEDIA = "Focal Encyclopedia of Photography, 4th edition, p. 679; the split into grades from memory"


class Needed(NamedTuple):
    """The density range that a process wants of a plate, in thousandths, with who says so."""

    process: str
    least: int
    most: int
    source: str


SALTED = Needed("salted or albumen paper, plain silver bath of 10 to 15 %", 2200, 2300, PRINTERS_LIST)
PRINTING_OUT = Needed("gelatin-chloride printing-out paper", 1800, 1800, PRINTERS_LIST)
PLATINUM = Needed("platinum without a contrast agent", 1800, 1800, PRINTERS_LIST)
SILVER_GELATIN = Needed("silver-gelatin paper, grades 0 to 5", 500, 1700, ENCYCLOPEDIA)
# Words of a process -> what it needs; a line whose words all stand in the name counts, the first that does.
PROCESSES = (
    (("albumen",), SALTED),
    (("salt",), SALTED),
    (("salted",), SALTED),
    (("printing-out",), PRINTING_OUT),
    (("pop",), PRINTING_OUT),
    (("gelatin-chloride",), PRINTING_OUT),
    (("platinum",), PLATINUM),
    (("gelatin", "silver"), SILVER_GELATIN),
    (("silver-gelatin",), SILVER_GELATIN),
    (("gelatin-silver",), SILVER_GELATIN),
)


def density(share: float) -> float:
    """D = −log10 R or −log10 T of a reflectance or transmittance. Raises ValueError outside (0, 1]."""
    if not 0 < share <= 1:
        raise ValueError("a reflectance or transmittance is more than 0 and at most 1")
    return -log10(share) + 0.0


def needed(process: str) -> Needed | None:
    """The density range that a printing process wants of a plate, None where none is known."""
    words = set(process.casefold().replace(",", " ").split())
    return next((found for names, found in PROCESSES if words.issuperset(names)), None)


def grade_for(density_range: int) -> int | None:
    """The grade of silver-gelatin paper whose range, in thousandths, holds that of a plate; None where none does.

    A satisfactory print comes where the log exposure range of the paper equals the effective density range of the
    negative (ISO 6846, introduction). On a border the softer grade.
    """
    return next((grade for grade, least, most in GRADES if least <= density_range <= most), None)
