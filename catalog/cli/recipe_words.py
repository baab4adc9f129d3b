"""What is typed of a recipe, and how its exposures are told."""

import re
import sqlite3
from collections.abc import Mapping, Sequence

from catalog.errors import NotUnderstood
from catalog.formulas.exposure import dry_down_of_density, paper_speed
from catalog.measures import parse_length, parse_size
from catalog.quantities import parse_duration, parse_temperature
from catalog.records.recipes import Conditions, Exposure
from catalog.rules import recipes as rules
from catalog.rules.recipes import Asked, Factor, Line
from catalog.stops import format_stops, format_time, parse_stops, parse_thousandths

FASTEST, BRIGHTEST = 10**9, 10**9  # a million, in thousandths
LEAST_EXPONENT = 500
EXPOSED = re.compile(r"([\d.]+)\s*(?:lx|lux)[\s·]*s", re.I | re.ASCII)


def _speed(text: str) -> int:
    """Thousandths of “200”; of the exposure that gives a density of 0.60, “5 lux s”, by ISO 6846."""
    expected = "a number such as 200, soft=200, or the exposure for a density of 0.60, such as 5lxs"
    exposed = EXPOSED.fullmatch(text.strip())
    if exposed is None:
        return parse_thousandths(text.strip(), "a paper speed", expected, FASTEST)
    return round(paper_speed(parse_thousandths(exposed[1], "a paper speed", expected, FASTEST) / 1000) * 1000)


def speeds(texts: Sequence[str]) -> dict[str, int]:
    """“200”, “soft=250” as filter -> thousandths, "" for all. Raises NotUnderstood."""
    found: dict[str, int] = {}
    for text in texts:
        name, sign, number = text.rpartition("=")
        value = _speed(number)
        if (sign and not name.strip()) or name.strip() in found:
            raise NotUnderstood("a paper speed", text, "one for each filter, such as soft=200")
        found[name.strip()] = value
    if "" in found and len(found) > 1:
        raise NotUnderstood("paper speeds", ", ".join(texts), "one for all, or one for each filter")
    return found


def percent(text: str) -> int:
    """Thousandths of a per cent of “8%”, or of “0.03/0.6”: how much darker a patch dried, by its local contrast."""
    expected = "per cent of exposure below 100, such as 8%, or density by contrast, such as 0.03/0.6"
    darker, sign, contrast = text.partition("/")
    if not sign:
        return parse_thousandths(text.strip().removesuffix("%").strip(), "a dry-down", expected, 99_999)
    shares = [parse_thousandths(part.strip(), "a dry-down", expected, 9_999) for part in (darker, contrast)]
    return min(round((1 - dry_down_of_density(*shares)) * 100_000), 99_999)


def lux(text: str) -> int:
    """Thousandths of a lux of “2.5” or “2.5 lux”. Raises NotUnderstood."""
    number = text.strip().removesuffix("lux").removesuffix("lx").strip()
    return parse_thousandths(number, "a light", "lux at the paper, such as 2.5", BRIGHTEST)


def conditions(connection: sqlite3.Connection, told: Mapping[str, str], speed: int | None) -> Conditions:
    """What was the same for all exposures, as typed. Raises NotUnderstood."""
    return Conditions(
        speed,
        _developer(connection, told["developer"]),
        parse_duration(told["develop"]) if told["develop"] else None,
        parse_temperature(told["temperature"]) if told["temperature"] else None,
        told["lamp"],
        parse_length(told["distance"]) if told["distance"] else None,
        lux(told["lux"]) if told["lux"] else None,
        percent(told["dry_down"]) if told["dry_down"] else None,
        told["toning"],
    )


def asked(stops: str, speed: Sequence[str], told: Mapping[str, str]) -> Asked:
    """What is different now, as typed. Raises NotUnderstood."""
    exponent = told["reciprocity"]
    expected = "an exponent from 0.5 to 1, such as 0.95"
    thousandths = parse_thousandths(exponent, "an exponent of reciprocity", expected, 1000) if exponent else 1000
    if thousandths < LEAST_EXPONENT:
        raise NotUnderstood("an exponent of reciprocity", exponent, expected)
    return Asked(
        parse_stops(stops) if stops else 0,
        speeds(speed),
        parse_length(told["distance"]) if told["distance"] else None,
        lux(told["lux"]) if told["lux"] else None,
        parse_size(told["size"]) if told["size"] else None,
        percent(told["dry_down"]) if told["dry_down"] else None,
        thousandths / 1000,
    )


def exposure_lines(exposures: Sequence[Exposure], factors: Sequence[Factor] = ()) -> list[str]:
    """Each exposure, and below it what is held back or given more, one a line."""
    return [text for line in rules.lines(exposures, factors) for text in _told(line, bool(factors))]


def factor_lines(factors: Sequence[Factor], filters: Sequence[str]) -> list[str]:
    """Each reason for a change with its factor and what to mind, and the whole of it where there are several."""
    said = []
    for one in factors:
        said.append(f"  {one.name}: × {one.factor:.4g} ({_in_stops(one.factor)})")
        if one.caveat:
            said.append(f"    {one.caveat}")
    if len(factors) > 1:
        for name in filters:
            whole = rules.product(factors, name)
            said.append(f"  in all{f', {name}' if name else ''}: × {whole:.4g} ({_in_stops(whole)})")
    return said


def _in_stops(factor: float) -> str:
    from catalog.formulas.exposure import stops_between

    stops = round(stops_between(1, factor) * 1000)
    return f"{format_stops(stops)} stop{'s' if abs(stops) > 1000 else ''}" if stops else "no change"


def _told(line: Line, scaled: bool) -> list[str]:
    was = f" (was {format_time(line.recorded)})" if scaled else ""
    said = [f"  {f'{line.filter} ' if line.filter else ''}{format_time(line.milliseconds)}{was}"]
    for part in line.parts:
        what = "hold back" if part.kind == "dodge" else "burn"
        said.append(f"    {part.area} {format_stops(part.stops)}: {what} {format_time(part.milliseconds)}")
    return said


def _developer(connection: sqlite3.Connection, text: str) -> str:
    """A bath's own words where a code is given, else what was typed."""
    from catalog import codes
    from catalog.records import baths, items

    code = codes.AUTOMATIC.fullmatch(text.strip())
    if not code or code[1].upper() != "B":
        return text
    return baths.read(connection, items.find_one(connection, text, "bath")).text()
