"""Exposure as people type it: times to a tenth of a second, stops as fractions, densities with a decimal point."""

import re

from catalog.errors import NotUnderstood
from catalog.measures import parse_number, rounded, trimmed
from catalog.quantities import format_duration, looks_like_duration, parse_duration

LONGEST = 24 * 3_600_000
MOST_STOPS = 10_000
SECONDS = re.compile(r"(\d{1,5}(?:\.\d{1,3})?)\s*(?:s|sec|secs|second|seconds)", re.I | re.ASCII)
SIGNED = re.compile(r"([+−-]?)\s*(.*?)\s*(?:stops?)?", re.I | re.S)
# Thousandths of a stop that are written as a fraction, give or take two.
FRACTIONS = {83: "1/12", 125: "1/8", 167: "1/6", 250: "1/4", 333: "1/3", 375: "3/8", 500: "1/2", 625: "5/8",
             667: "2/3", 750: "3/4", 833: "5/6", 875: "7/8"}  # fmt: skip


def parse_time(text: str) -> int:
    """Milliseconds of an exposure: "10s", "12.5 s", "2m30s", "2:30". Raises NotUnderstood."""
    expected = "a time such as 10s, 12.5s, 2m30s or 2:30"
    if found := SECONDS.fullmatch(text.strip()):
        top, bottom = parse_number(found[1]) or (0, 1)
        milliseconds = rounded(top * 1000, bottom)
    elif looks_like_duration(text):
        milliseconds = parse_duration(text) * 1000
    else:
        raise NotUnderstood("an exposure", text, expected)
    if not 0 < milliseconds <= LONGEST:
        raise NotUnderstood("an exposure", text, "more than nothing and at most 24 hours")
    return milliseconds


def format_time(milliseconds: float) -> str:
    """An exposure as "5.2 s", from two minutes on as "2 min 30 s": what a darkroom timer is set to."""
    tenths = rounded(round(milliseconds), 100)
    return f"{trimmed(tenths, 1)} s" if tenths < 1200 else format_duration(rounded(tenths, 10))


def parse_stops(text: str) -> int:
    """Thousandths of a stop with sign: "+1/3", "-1/2", "1 1/2", "0.5", "⅓", "1/4 stop". Raises NotUnderstood."""
    expected = "stops such as 1/3, +1/2, -1/4 or 1 1/2"
    found = SIGNED.fullmatch(text.strip())
    value = parse_number(found[2]) if found else None
    if found is None or value is None:
        raise NotUnderstood("a number of stops", text, expected)
    thousandths = rounded(value[0] * 1000, value[1])
    if not 0 < thousandths <= MOST_STOPS:
        raise NotUnderstood("a number of stops", text, "more than nothing and at most 10")
    return -thousandths if found[1] in ("-", "−") else thousandths


def exact_stops(thousandths: int) -> float:
    """Stops of thousandths, where twelfths are meant as typed: 333 is a third."""
    twelfths = round(thousandths * 12 / 1000)
    return twelfths / 12 if abs(twelfths * 1000 / 12 - thousandths) <= 0.5 else thousandths / 1000


def format_stops(thousandths: int) -> str:
    """Stops as "+1/3", "−1/2", "+1 1/2", else in hundredths: "+0.32"."""
    whole, part = divmod(abs(thousandths), 1000)
    sign = "−" if thousandths < 0 else "+"
    fraction = next((text for value, text in FRACTIONS.items() if abs(value - part) <= 2), "")
    if fraction:
        return sign + (f"{whole} " if whole else "") + fraction
    hundredths = rounded(abs(thousandths), 10)
    return (sign if hundredths else "") + trimmed(hundredths, 2)


def parse_thousandths(text: str, what: str, expected: str, most: int) -> int:
    """A plain decimal as thousandths, more than nothing and at most `most`. Raises NotUnderstood."""
    value = parse_number(text) if "/" not in text else None
    thousandths = rounded(value[0] * 1000, value[1]) if value else 0
    if not 0 < thousandths <= most:
        raise NotUnderstood(what, text, expected)
    return thousandths


def format_density(thousandths: int) -> str:
    """A density as it is read: "0.12", "2.05", with a third place only where one was given: "0.125"."""
    whole, part = divmod(abs(thousandths), 1000)
    places = f"{part:03d}"[: 3 if part % 10 else 2]
    return f"{'−' if thousandths < 0 else ''}{whole}.{places}"
