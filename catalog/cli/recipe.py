"""Recipes on the command line: recorded, shown, listed."""

import sqlite3

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.recipe_use import KINDS, OF, card, compare, scale, strip, trials
from catalog.records.recipes import Conditions, Recipe

recipe_command = group(
    "recipe", "How an approved print is made again: record, show, list, scale, strip, compare, card, trials."
)
PRINT = Operand("code", "--print", "PRINT", "the approved print, such as 3")


@command("record", PRINT)
@click.option("--expose", multiple=True, metavar="TEXT", help="“soft 10s”: filter or grade, and time; each its own.")
@click.option("--dodge", multiple=True, metavar="TEXT", help="“face soft -1/3”: where, of which exposure, stops.")
@click.option("--burn", multiple=True, metavar="TEXT", help="“sky hard +1/2”: where, of which exposure, stops.")
@click.option("--developer", default="", metavar="BATH", help="A bath (b4), or in words.")
@click.option("--develop", default="", metavar="2m", help="How long it was developed.")
@click.option("--temperature", default="", metavar="20C", help="Of the developer.")
@click.option("--lamp", default="", metavar="TEXT", help="The lamp or enlarger, with its aperture.")
@click.option("--distance", default="", metavar="60cm", help="From the lamp to the paper.")
@click.option("--lux", default="", metavar="2.5", help="The light at the paper, without a negative.")
@click.option("--speed", multiple=True, metavar="200", help="The paper's speed (soft=200 through a filter), or 5lxs.")
@click.option("--dry-down", default="", metavar="8%", help="How much less exposure a print judged wet needs.")
@click.option("--toning", default="", metavar="TEXT", help="In words (default: as the print was toned).")
@event_options
def record_command(
    desk: Desk,
    code: str,
    expose: tuple[str, ...],
    dodge: tuple[str, ...],
    burn: tuple[str, ...],
    speed: tuple[str, ...],
    **told: str,
) -> None:
    """Record how an approved print was made; its paper, image size and edition are taken from it.

    A newer recipe takes the place of the one before, which stays readable. Dodges and burns are kept in stops, so
    that they hold when the time of the base changes.

    \b
    tirage recipe record 3 --expose "soft 10s" --expose "hard 6s" --burn "sky hard +1/2" --dodge "face soft -1/3"
    """
    from catalog.cli.recipe_words import conditions, exposure_lines, speeds
    from catalog.records import items, prints, recipes
    from catalog.rules.recipe_facts import speeds_told
    from catalog.rules.toning import toning

    by_filter = speeds(speed)
    exposures = recipes.parse_exposures(expose, dodge, burn, by_filter)
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "print")
        words: Conditions = conditions(work.connection, told, by_filter.get(""))
        if not words.toning:
            words = words._replace(toning=toning(work.connection, thing.id))
        recipe = recipes.record(work.connection, work.event, thing, exposures, words)
        work.touch(thing)
        for_code = items.code_of(work.connection, recipe.edition or recipe.negative)
        kind = prints.read(work.connection, thing.id).kind
        in_use = recipes.of(work.connection, thing)[0]
    if in_use.id == recipe.id:
        desk.say(f"{for_code} is printed like {thing.code} from now on:")
    else:
        desk.say(f"Kept for {for_code}; in use stays the newer recipe, of {desk.date(in_use.happened)}:")
    desk.say("\n".join(exposure_lines(exposures)))
    if told_speed := speeds_told(recipe.speed, exposures):
        desk.say(f"  speed: {told_speed}")
    if kind == "work":
        desk.say(f"To name it the one that others are compared with: tirage print designate {thing.code} reference")


@command("show", OF)
@click.option("--all", "every", is_flag=True, help="Also the earlier ones, the newest first.")
@output_options
def show_command(desk: Desk, code: str, every: bool) -> None:
    """Show the recipe in use, with the seconds of every dodge and burn."""
    from catalog.cli.recipe_words import exposure_lines
    from catalog.cli.tables import facts
    from catalog.records import items, recipes

    with desk.reading() as connection:
        found = recipes.of(connection, items.find_one(connection, code, *KINDS))
        shown = found if every else found[:1]
        rows = [_row(desk, connection, one) for one in shown]
        said = [exposure_lines(recipes.exposures_of(connection, one)) for one in shown]
    if desk.output:
        desk.show([{**row, "exposures": _joined(lines)} for row, lines in zip(rows, said, strict=True)])
        return
    for row, lines in zip(rows, said, strict=True):
        desk.say(facts(list(row.items())) + "\n" + "\n".join(lines))


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List every recipe, the newest first."""
    from catalog.cli.recipe_words import exposure_lines
    from catalog.records import recipes

    with desk.reading() as connection:
        rows = []
        for one in recipes.listed(connection):
            row = _row(desk, connection, one)
            said = _joined(exposure_lines(recipes.exposures_of(connection, one)))
            rows.append({name: row[name] for name in ("of", "like", "date", "paper")} | {"exposures": said})
        desk.show(rows, "No recipe yet. Record one: tirage recipe record PRINT --expose 'soft 10s'")


def _joined(lines: list[str]) -> str:
    return "; ".join(map(str.strip, lines))


def _row(desk: Desk, connection: sqlite3.Connection, one: Recipe) -> dict[str, object]:
    """A recipe as it is shown."""
    from catalog.records import items
    from catalog.rules.recipe_facts import facts_of

    return {
        "of": items.code_of(connection, one.edition or one.negative),
        "like": items.code_of(connection, one.print) if one.print else "",
        "date": desk.date(one.happened),
        **facts_of(connection, one),
        "by": one.by,
        "note": one.note,
    }


for _command in (record_command, show_command, list_command, scale, strip, compare, card, trials):
    recipe_command.add_command(_command)
