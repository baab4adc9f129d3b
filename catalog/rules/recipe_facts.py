"""What a recipe holds beside its exposures, in words."""

import sqlite3
from collections.abc import Sequence

from catalog.measures import format_length, format_size, trimmed
from catalog.quantities import format_duration, format_temperature
from catalog.records import papers, recipes
from catalog.records.recipes import Exposure, Recipe


def facts_of(connection: sqlite3.Connection, one: Recipe, units: str = "metric") -> dict[str, str]:
    """Paper and its speed, image, developer, lamp, dry-down and toning by name; "" where not told."""
    paper = papers.read(connection, one.paper) if one.paper else None
    batch = f" (batch {paper.batch})" if paper and paper.batch else ""
    developed = [
        one.developer,
        format_duration(one.develop_seconds) if one.develop_seconds else "",
        format_temperature(one.celsius, units) if one.celsius is not None else "",
    ]
    lamp = [
        one.lamp,
        f"{format_length(one.distance, units)} from the paper" if one.distance else "",
        f"{trimmed(one.illuminance, 3)} lux at the paper" if one.illuminance else "",
    ]
    image = one.image_height and one.image_width
    return {
        "paper": f"{paper.description}{batch}" if paper else "",
        "speed": speeds_told(one.speed, recipes.exposures_of(connection, one)),
        "image": format_size(one.image_height or 0, one.image_width or 0, units) if image else "",
        "developer": ", ".join(filter(None, developed)),
        "lamp": ", ".join(filter(None, lamp)),
        "dry-down": f"{trimmed(one.dry_down, 3)} % less than what looks right wet" if one.dry_down else "",
        "toning": one.toning,
    }


def speeds_told(whole: int | None, exposures: Sequence[Exposure]) -> str:
    """The speed of a paper, in thousandths, and through each filter: “soft 200, hard 100”."""
    told = [trimmed(whole, 3)] if whole else []
    told += [f"{one.filter} {trimmed(one.speed, 3)}".strip() for one in exposures if one.speed]
    return ", ".join(dict.fromkeys(told))
