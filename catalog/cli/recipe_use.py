"""Recipes put to use: scaled, tried in strips, compared with, and drawn for the darkroom wall."""

import sqlite3
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple, TypeVar

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, output_options
from catalog.cli.out_files import path_of, shown
from catalog.errors import NotUnderstood
from catalog.records.recipes import Exposure, Recipe
from catalog.rules.recipes import Factor
from catalog.whole_numbers import whole_number

Function = TypeVar("Function", bound=Callable[..., Any])
OF = Operand("code", "--of", "CODE", "an edition (e1), a negative (n1) or a print of it (3)")
MOST_PATCHES = 30
KINDS = ("edition", "negative", "print")


def scale_options(function: Function) -> Function:
    """What may be different now."""
    for name, metavar, text in (
        ("reciprocity", "0.95", "The paper's exponent, measured; it counts where light or speed changes."),
        ("dry-down", "10%", "Of the new paper."),
        ("size", "30x40cm", "The picture, when enlarged."),
        ("lux", "1.8", "The light at the paper now."),
        ("distance", "75cm", "From a small bare lamp to the paper."),
    ):
        function = click.option(f"--{name}", default="", metavar=metavar, help=text)(function)
    several = "The new paper's speed; through a filter: soft=250."
    function = click.option("--speed", multiple=True, metavar="160", help=several)(function)
    return click.option("--stops", default="", metavar="+1/3", help="More or less, by eye.")(function)


class Scaled(NamedTuple):
    """A recipe with what changes it now."""

    recipe: Recipe
    exposures: list[Exposure]
    factors: list[Factor]

    @property
    def filters(self) -> list[str]:
        """The filters of its base exposures."""
        return [one.filter for one in self.exposures if one.kind == "base"]


def _scaled(
    connection: sqlite3.Connection, code: str, stops: str, speed: Sequence[str], told: dict[str, str]
) -> Scaled:
    from catalog.cli.recipe_words import asked
    from catalog.records import items, recipes
    from catalog.rules import recipes as rules

    recipe = recipes.of(connection, items.find_one(connection, code, *KINDS))[0]
    exposures = recipes.exposures_of(connection, recipe)
    return Scaled(recipe, exposures, rules.factors(connection, recipe, exposures, asked(stops, speed, told)))


@command("scale", OF)
@scale_options
@output_options
def scale(desk: Desk, code: str, stops: str, speed: tuple[str, ...], **told: str) -> None:
    """Work out the exposures for another paper, lamp, distance or size; the recipe itself stays as it is.

    \b
    tirage recipe scale e1 --speed 160                       a new box of paper
    tirage recipe scale e1 --speed soft=250 --speed hard=80  with a filter each
    """
    from catalog.cli.recipe_words import exposure_lines, factor_lines
    from catalog.dates import parse_date
    from catalog.records import items
    from catalog.rules import recipes as rules

    with desk.reading() as connection:
        found = _scaled(connection, code, stops, speed, told)
        name = items.code_of(connection, found.recipe.edition or found.recipe.negative)
        like = items.code_of(connection, found.recipe.print) if found.recipe.print else ""
    if desk.output:
        desk.show(
            [
                {
                    "filter": line.filter,
                    "recorded_ms": round(line.recorded),
                    "ms": round(line.milliseconds),
                    "factor": round(rules.product(found.factors, line.filter), 6),
                    "because": "; ".join(
                        f"{one.name}: {one.factor:.6g}" + (f" ({one.caveat})" if one.caveat else "")
                        for one in found.factors
                        if one.filter in ("", line.filter)
                    ),
                    "kind": part.kind if part else "base",
                    "area": part.area if part else "",
                    "stops": part.stops / 1000 if part else "",
                    "part_ms": round(part.milliseconds) if part else "",
                }
                for line in rules.lines(found.exposures, found.factors)
                for part in (None, *line.parts)
            ]
        )
        return
    if not found.factors:
        raise rules.ScaleError("nothing was said to be different now", "Say what is: --speed 160, --stops +1/3 ...")
    day = parse_date(found.recipe.happened).text()
    desk.say(f"{name}, like {like}, by the recipe of {day}:")
    desk.say("\n".join(factor_lines(found.factors, found.filters)))
    desk.say("Expose:\n" + "\n".join(exposure_lines(found.exposures, found.factors)))
    desk.say(f"Then read its patches and compare: tirage density PRINT ..., tirage recipe compare PRINT --with {like}")


@command(
    "strip",
    Operand("first", "--first", "TIME", "what the first patch gets, such as 5s"),
    Operand("step", "--step", "STOPS", "from patch to patch, such as 1/3"),
    Operand("count", "--patches", "N", "how many patches", required=False),
)
@output_options
def strip(desk: Desk, first: str, step: str, count: str | None) -> None:
    """Work out a test strip: expose it all, then cover one patch more before each further exposure.

    \b
    tirage recipe strip 5s 1/3 5
    """
    from catalog.formulas.exposure import strip_times
    from catalog.stops import exact_stops, format_stops, format_time, parse_stops, parse_time

    stops, patches = parse_stops(step), 5 if count is None else whole_number(count) or 0
    if stops < 0:
        raise NotUnderstood("the step of a strip", step, "more from patch to patch, such as 1/3")
    if not 2 <= patches <= MOST_PATCHES:
        raise NotUnderstood("a number of patches", str(count), f"2 to {MOST_PATCHES}")
    if stops * (patches - 1) > 12_000:
        raise NotUnderstood(
            "a strip", f"{step}, {patches} patches", "12 stops at most from its first patch to its last"
        )
    times = strip_times(parse_time(first), exact_stops(stops), patches)
    desk.show(
        [
            {
                "patch": place + 1,
                "in all": format_time(time),
                "give": format_time(time - (times[place - 1] if place else 0)),
                "stops": format_stops(round(exact_stops(stops) * 1000 * place)) if place else "0",
            }
            for place, time in enumerate(times)
        ]
    )


@command("compare", Operand("code", "--print", "PRINT", "the print to compare, such as 12"))
@click.option("--with", "other", default="", metavar="PRINT", help="The model (default: the recipe's approved print).")
@output_options
def compare(desk: Desk, code: str, other: str) -> None:
    """Compare the dry densities of a print with those of its model, patch by patch.

    What may differ is yours to say: tirage settings density-tolerance "0.03; shadow 0.06" --basis TEXT
    """
    from catalog.records import items, recipes
    from catalog.rules import recipes as rules
    from catalog.stops import format_density

    def told(value: int | None, sign: bool = False) -> str:
        if value is None:
            return ""
        text = ("+" if sign and value > 0 else "") + format_density(value)
        return text.replace("−", "-") if desk.output else text  # a program reads the sign of ASCII

    with desk.reading() as connection:
        thing = items.find_one(connection, code, "print")
        model = (
            items.find_one(connection, other, "print")
            if other
            else rules.reference_of(connection, recipes.of(connection, thing)[0])
        )
        found = rules.compared(connection, thing, model)
    rows: list[dict[str, object]] = [
        {
            "patch": one.patch,
            # A program finds its columns by the same names whatever is compared.
            "reference" if desk.output else model.code: told(one.reference),
            "value" if desk.output else thing.code: told(one.value),
            "difference": told(one.difference, True),
            "tolerance": told(one.tolerance),
            "verdict": one.verdict,
        }
        for one in found
    ]
    desk.show(rows, f"No dry density of {thing.code} or {model.code}. Read some: tirage density {thing.code} mid 0.75")
    if desk.output or not found:
        return
    if not any(one.tolerance is not None for one in found):
        desk.say("Say how far prints may differ: tirage settings density-tolerance 0.03 --basis TEXT")
    off = [one.patch for one in found if one.verdict in ("too dark", "too light")]
    if off:
        desk.say(f"{thing.code} differs from {model.code} in {', '.join(off)} by more than your tolerance.")
    elif all(one.verdict == "within" for one in found):
        desk.say(f"{thing.code} is like {model.code} within your tolerance.")


@command("card", OF)
@scale_options
@click.option("--out", metavar="FILE", help="Where to write it (else in out/).")
def card(desk: Desk, code: str, stops: str, speed: tuple[str, ...], out: str | None, **told: str) -> None:
    """Draw the recipe on one page for the darkroom wall, as recorded or for what is different now.

    \b
    tirage recipe card e1
    tirage recipe card e1 --distance 75cm
    """
    from catalog.documents import filing, printing_card
    from catalog.documents.presentation import presentation

    look = presentation(desk.folder)
    with desk.reading() as connection:
        found = _scaled(connection, code, stops, speed, told)
        content = printing_card.card(connection, found.recipe, found.exposures, found.factors, look.address, look.units)
        kind = "card-scaled" if found.factors else "card"
        path = path_of(desk, out, filing.name_of(kind, [content.code]))
        filing.keep(path, printing_card.drawn(content, look.paper), printing_card.title_of(content))
    desk.say(f"{content.code}: {shown(desk, path)}")


@command("trials", Operand("code", "--negative", "CODE", "a negative, such as n1"))
@click.option("--out", metavar="FILE", help="Where to write it (else in out/).")
@output_options
def trials(desk: Desk, code: str, out: str | None) -> None:
    """Lay the work prints of a negative side by side, on a sheet and on the screen, to choose the reference."""
    from catalog.documents import filing, trial_sheet
    from catalog.documents.presentation import presentation
    from catalog.records import items

    look = presentation(desk.folder)
    with desk.reading() as connection:
        plate = items.find_one(connection, code, "negative")
        content = trial_sheet.trials(connection, plate.id, desk.folder / "pictures")
        desk.show([trial_sheet.row(one) for one in content.trials], f"No work print of {plate.code} is kept.")
        if desk.output or not content.trials:
            return
        path = path_of(desk, out, filing.name_of("trials", [plate.code]))
        filing.keep(path, trial_sheet.drawn(content, look.paper), content.kind)
    desk.say(f"{shown(desk, path)}\nTo name the reference: {content.trials[0].choose}")
