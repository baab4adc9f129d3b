"""Pictures of items on the command line."""

from pathlib import Path

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.records import items, pictures

picture_command = group("picture", "Keep pictures of items.")
ITEM = Operand("code", "--item", "CODE", "a negative or a print")


@command("add", ITEM, Operand("file", "--file", "FILE", "a JPEG, PNG or TIFF file"))
@click.option("--caption", default="", metavar="TEXT", help="What it shows; published as the picture's description.")
@event_options
def add_command(desk: Desk, code: str, file: str, caption: str) -> None:
    """Copy a picture of an item into the catalog."""
    with desk.writing() as work:
        thing = items.find_one(work.connection, code, "negative", "print")
        picture = pictures.add(work.connection, work.event, thing, Path(file), desk.folder, caption)
        work.touch(thing)
    desk.say(f"{thing.code}: pictures/{picture.path}, {picture.width} × {picture.height}.")


@command("list", ITEM)
@output_options
def list_command(desk: Desk, code: str) -> None:
    """List the pictures of an item."""
    with desk.reading() as connection:
        thing = items.find_one(connection, code, "negative", "print")
        desk.show(
            [
                {"file": p.path, "size": f"{p.width} × {p.height}", "caption": p.caption, "sha256": p.sha256}
                for p in pictures.of_item(connection, thing.id)
            ],
            "No picture yet.",
        )


for _command in (add_command, list_command):
    picture_command.add_command(_command)
