"""Bringing a bag back, on the command line: `tirage import bag DIR --into DIR`."""

from pathlib import Path

import click

from catalog.cli.desk import Desk
from catalog.cli.export import counted, moving_bar


def bring_back(desk: Desk, bag: str, into: str | None, anyway: bool) -> None:
    """Rebuild a whole catalog from a bag, in a new folder, and say what came of it."""
    from catalog.exchange.bag.rebuild import import_bag

    if not into:
        raise click.UsageError("Missing --into DIR: a new or an empty folder, for the catalog that is in the bag.")
    with moving_bar("Looking through") as looked, moving_bar("Rebuilding") as loaded:
        rebuilt = import_bag(Path(bag), Path(into), desk.now, anyway=anyway, looked=looked, loaded=loaded)
    hold = (
        ""
        if rebuilt.findings
        else " Every digest, the journal, every row and every certificate hold; so do the seals that certificates name."
    )
    desk.say(
        f"Rebuilt in {into}: {counted(rebuilt.rows, 'row')}, {counted(rebuilt.pictures, 'picture')}, "
        f"{counted(rebuilt.papers, 'certificate paper')}.{hold}"
    )
    desk.mind(f"Made all the same: {finding}" for finding in rebuilt.findings)
    desk.warn(
        f"Mind: private keys are in no bag. Put keys/ back into {into} from where it is kept safe; until then nothing "
        f"can be signed. Labels, sheets and the public copy are drawn again when they are asked for."
    )
