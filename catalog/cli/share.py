"""Sharing: what is shown, the public copy, and a look at it in a browser."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options

if TYPE_CHECKING:
    from catalog.publish.projection import Progress, Published

FOLDER = "public"
CODES = Operand("things", "--items", "CODES", "negatives (n1, n1-3) or editions (e1)", many=True)
TARGET = Operand(
    "target", "--to", "DIR", "the folder of the public copy (default: public/ in the catalog)", required=False
)
LOOKED_AT = Operand(
    "target", "--from", "DIR", "a public copy to look at (default: the catalog's, made afresh)", required=False
)


@command("shown", CODES)
@click.option("--off", is_flag=True, help="Take the mark away: no longer published.")
@event_options
def shown_command(desk: Desk, things: tuple[str, ...], off: bool) -> None:
    """Mark negatives or editions as what may be published.

    A negative is published with all its editions; an edition alone with only title, date, size and picture of its
    negative. Nothing leaves the studio before `publish`.
    """
    from catalog.records import editions, negatives
    from catalog.records.items import find, shorten

    with desk.writing() as work:
        found = find(work.connection, ",".join(things), "negative", "edition")
        for thing in found:
            noun = negatives if thing.kind == "negative" else editions
            noun.show(work.connection, thing.id, not off)
        work.touch(found)
    names = shorten(found)
    desk.say(
        f"{names}: not shown any more. Until the next `tirage publish` the public copy still holds it."
        if off
        else f"{names}: may be published. Build the public copy with: tirage publish"
    )


@command("publish", TARGET)
def publish_command(desk: Desk, target: str | None) -> None:
    """Build the public copy: what is shown, and nothing else."""
    folder = Path(target) if target else desk.folder / FOLDER
    published = _publish(desk, folder)
    counts = (
        (published.negatives, "negative"),
        (published.editions, "edition"),
        (published.prints, "print"),
        (published.certificates, "certificate"),
        (published.pictures, "picture"),
    )
    desk.say(f"Published to {folder}: " + ", ".join(_count(*pair) for pair in counts) + ".")
    if not (published.negatives or published.editions):
        desk.say("Nothing is marked as shown yet: tirage shown n1")
    else:
        desk.say("Look at it with: tirage browse" + (f" {target}" if target else ""))


@command("browse", LOOKED_AT)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8765,
    show_default=True,
    metavar="PORT",
    help="Where to listen on this machine; 0 takes any free port.",
)
@click.option("--open", "opened", is_flag=True, help="Open the browser as well.")
def browse_command(desk: Desk, target: str | None, port: int, opened: bool) -> None:
    """Look at the public copy in a browser, on this machine only, until Ctrl-C."""
    from catalog.publish.site import serve
    from catalog.resources import resource

    folder = Path(target) if target else desk.folder / FOLDER
    if not target:
        _publish(desk, folder)

    def ready(url: str) -> None:
        desk.say(f"The public copy in {folder} is at {url} - stop with Ctrl-C.")
        if opened:
            click.launch(url)

    try:
        serve(folder, resource("templates") / "site", port, ready=ready)
    except KeyboardInterrupt:
        desk.say("")  # the shell's prompt begins a line of its own


def _publish(desk: Desk, folder: Path) -> "Published":
    from catalog.documents.presentation import presentation
    from catalog.publish.projection import publish

    address = presentation(desk.folder).address
    with desk.reading(still=False) as connection, _bar() as progress:
        day = desk.now.date().isoformat()
        published = publish(connection, desk.folder / "pictures", folder, day, address, progress)
    if published.unreadable:
        desk.warn(
            f"Mind: left out, as they cannot be read or are not what was recorded: {', '.join(published.unreadable)}. "
            f"See: tirage check; put them back in {desk.folder / 'pictures'} and publish again."
        )
    return published


@contextmanager
def _bar() -> "Iterator[Progress | None]":
    """A progress bar on a terminal, none in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=1, label="Publishing", file=sys.stderr) as bar:

        def progress(done: int, total: int) -> None:
            bar.length = total
            bar.update(done - bar.pos)

        yield progress


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
