"""Commissions: the share of a price that a gallery keeps, in hundredths of a per cent."""

from catalog.errors import NotUnderstood
from catalog.whole_numbers import whole_number

WHOLE = 10_000


def parse_commission(text: str) -> int:
    """Hundredths of a per cent. Raises NotUnderstood."""
    whole, point, part = text.strip().removesuffix("%").strip().partition(".")
    units, hundredths = whole_number(whole), whole_number((part + "00")[:2]) if point else 0
    if units is None or hundredths is None or len(part) > 2 or units * 100 + hundredths > WHOLE:
        raise NotUnderstood("a commission", text, "per cent from 0 to 100, such as 40 or 33.5")
    return units * 100 + hundredths


def per_cent(commission: int | None) -> str:
    """A commission in words: “40%”, “33.5%”."""
    return "" if commission is None else f"{commission / 100:.2f}".rstrip("0").rstrip(".") + "%"
