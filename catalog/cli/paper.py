"""Printing papers on the command line."""

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.dates import parse_date
from catalog.records import papers

paper_command = group("paper", "Printing papers: add, show, list.")
NAME = Operand("name", "--name", "NAME", "what you call it, such as warm12")


@command("add", NAME, Operand("description", "--description", "TEXT", "as documents will print it, in quotes"))
@click.option("--base", default="", metavar="TEXT", help="fibre, baryta ...")
@click.option("--surface", default="", metavar="TEXT", help="matt, gloss ...")
@click.option("--tone", default="", metavar="TEXT", help="warm, neutral, cold.")
@click.option("--weight", type=click.IntRange(1, 2000), metavar="GSM", help="Grams a square metre.")
@click.option("--batch", default="", metavar="TEXT", help="Batch or emulsion number.")
@click.option("--opened", default="", metavar="DATE", help="When the box was opened.")
@event_options
def add_command(
    desk: Desk,
    name: str,
    description: str,
    base: str,
    surface: str,
    tone: str,
    weight: int | None,
    batch: str,
    opened: str,
) -> None:
    """Describe a paper, without its maker's name.

    \b
    tirage paper add warm12 "warm-tone fibre-base paper, matt" --batch 12
    """
    with desk.writing() as work:
        papers.add(
            work.connection,
            name,
            description,
            base=base,
            surface=surface,
            tone=tone,
            weight=weight,
            batch=batch,
            opened=parse_date(opened).edtf if opened else "",
            note=work.event.note,
        )
    desk.say(f"Paper “{name}”: {description}.")


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List the papers."""
    with desk.reading() as connection:
        desk.show(
            [
                {"name": p.name, "description": p.description, "batch": p.batch, "opened": p.opened}
                for p in papers.listed(connection)
            ],
            "No paper yet. Describe one: tirage paper add NAME DESCRIPTION",
        )


@command("show", NAME)
@output_options
def show_command(desk: Desk, name: str) -> None:
    """Show one paper."""
    with desk.reading() as connection:
        p = papers.named(connection, name)
        desk.show(
            [
                {
                    "name": p.name,
                    "description": p.description,
                    "base": p.base,
                    "surface": p.surface,
                    "tone": p.tone,
                    "weight": p.weight,
                    "batch": p.batch,
                    "opened": p.opened,
                    "note": p.note,
                }
            ]
        )


for _command in (add_command, list_command, show_command):
    paper_command.add_command(_command)
