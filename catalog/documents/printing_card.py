"""The printing card: how one edition is exposed and developed, for the darkroom wall."""

import sqlite3
from collections.abc import Sequence

from catalog.dates import parse_date
from catalog.documents.presentation import square_address
from catalog.documents.wording import capital
from catalog.errors import TirageError
from catalog.records import editions, negatives
from catalog.records.items import code_of
from catalog.records.recipes import Exposure, Recipe
from catalog.rules.cautions import caution
from catalog.rules.recipe_facts import facts_of
from catalog.rules.recipes import Factor, Line, lines
from catalog.stops import format_stops, format_time
from labels.attachments import attach
from labels.errors import PaperError
from labels.printing_card import CardContent, CardExposure, CardPart, printing_card

STRIP_FIRST = "Rescaled from the recipe: make a strip before the first sheet."
# What a factor's name begins with, by the fact of the recipe that does not hold then.
SPEEDS = ("paper speed", "speed through")
CHANGED = {
    "paper": SPEEDS,
    "speed": SPEEDS,
    "lamp": ("lamp", "light"),
    "image": ("picture",),
    "dry-down": ("dry-down",),
}
VERBS = {"dodge": "hold back", "burn": "burn in"}


class CardNotDrawnError(TirageError):
    """A card that cannot be put on paper as it is."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"The printing card of {code} could not be drawn: {reason}")


def card(
    connection: sqlite3.Connection,
    recipe: Recipe,
    exposures: Sequence[Exposure],
    factors: Sequence[Factor],
    address: str,
    units: str = "metric",
) -> CardContent:
    """Everything the card says; with factors, of the exposures they lead to."""
    edition = editions.read(connection, recipe.edition) if recipe.edition else None
    plate = negatives.read(connection, recipe.negative)
    like = code_of(connection, recipe.print) if recipe.print else ""
    day = parse_date(recipe.happened).text()
    facts = facts_of(connection, recipe, units)
    return CardContent(
        code=edition.code if edition else plate.code,
        title=edition.title if edition else plate.title,
        subtitle=f"Plate {plate.code}" if edition else "",
        like=like,
        address=square_address(address, "P", like) if like else "",
        exposures=tuple(_exposure(line, bool(factors)) for line in lines(exposures, factors)),
        changes=(STRIP_FIRST, *map(_change, factors)) if factors else (),
        facts=tuple((_label(name, factors), value.replace(" °", "\u00a0°")) for name, value in facts.items() if value),
        cautions=tuple(filter(None, (caution("tone", recipe.toning) if recipe.toning else "",))),
        footer=f"Recipe of {day}" + (", rescaled" if factors else ""),
    )


def drawn(content: CardContent, page: str) -> bytes:
    """The card's PDF. Raises CardNotDrawnError."""
    try:
        return attach(printing_card(content, page), {}, title_of(content), "", "en")
    except PaperError as problem:
        raise CardNotDrawnError(content.code, problem.sentence) from None


def title_of(content: CardContent) -> str:
    """The title inside the file, by which an earlier printing of it is known."""
    return f"Printing card {content.code}"


def _exposure(line: Line, scaled: bool) -> CardExposure:
    parts = tuple(
        CardPart(VERBS[part.kind], part.area, format_stops(part.stops), format_time(part.milliseconds))
        for part in line.parts
    )
    note = f"recipe: {format_time(line.recorded)}" if scaled else ""
    return CardExposure(line.filter, format_time(line.milliseconds), note, parts)


def _change(factor: Factor) -> str:
    whole = f"{capital(factor.name)}: × {factor.factor:.3g}"
    return f"{whole}. {factor.caveat}" if factor.caveat else f"{whole}."


def _label(name: str, factors: Sequence[Factor]) -> str:
    """A fact's name; of what is different now, the fact is that of the recipe."""
    changed = any(factor.name.startswith(words) for factor in factors for words in CHANGED.get(name, ()))
    return f"{capital(name)} then" if changed else capital(name)
