"""Beginning a catalog, and its settings."""

from pathlib import Path

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import Operand, command, event_options, output_options
from catalog.dates import Date, parse_date
from catalog.errors import NotUnderstood
from catalog.records import catalogs, settings

FOLDERS = ("pictures", "out")
SETTINGS_FILE = """# How things look. What changes the meaning of records is in the catalog itself: tirage settings
address = "https://example.org"   # where your public site will be; it stands in every code on every label
paper = "A4"                      # or "Letter"
label_stock = "a4-3x8"
"""
FOLDER = Operand("folder", "--folder", "DIR", "a new or empty folder")


def furnish(
    desk: Desk,
    work: Work,
    folder: Path,
    artist: str,
    born: str = "",
    died: str = "",
    place: str = "",
    address: str = "https://example.org",
    passphrase: str = "",
) -> None:
    """Write the first rows, the folders, the settings and the artist's key of a new catalog."""
    from catalog.documents.settings_file import FILE
    from catalog.records import private_keys
    from catalog.whole_files import write_whole

    day = work.now.date().isoformat()
    end = parse_date(died) if died else Date("", "", "")
    catalogs.begin(
        work.connection,
        " ".join(artist.split()),
        parse_date(born).edtf if born else "",
        end.edtf,
        end.latest,
        place,
        day,
    )
    settings.begin(work.connection, day)
    for name in FOLDERS:
        (folder / name).mkdir()
    write_whole(folder / FILE, SETTINGS_FILE.replace("https://example.org", address).encode(), over=False)
    private_keys.begin(work.connection, folder, day, passphrase)


@command("init", FOLDER)
@click.option("--artist", metavar="NAME", required=True, help="The photographer whose work it will hold.")
@click.option("--born", metavar="DATE", default="", help="Year or date of birth.")
@click.option("--died", metavar="DATE", default="", help="Year or date of death.")
@click.option("--place", metavar="TOWN", default="", help="Town and country, as printed in a provenance.")
@click.option("--passphrase", "asked", is_flag=True, help="Ask for a passphrase that locks the key.")
@click.option("--passphrase-file", metavar="FILE", help="Holds the passphrase that locks the key.")
@event_options
def init_command(
    desk: Desk,
    folder: str,
    artist: str,
    born: str,
    died: str,
    place: str,
    asked: bool,
    passphrase_file: str | None,
) -> None:
    """Begin a catalog in a new folder.

    \b
    tirage init my-catalog --artist "A. Example"
    """
    from catalog.cli.passphrases import new_passphrase
    from catalog.store import synced

    if not artist.strip():
        raise NotUnderstood("a name", artist, "the artist's name in quotes")
    path = Path(folder)
    passphrase = new_passphrase(passphrase_file) if asked or passphrase_file else ""
    with desk.beginning(path) as work:
        furnish(desk, work, path, artist, born, died, place, passphrase=passphrase)
    desk.mind(synced.sentences(path))
    desk.say(
        f"Began the catalog of {artist} in {folder}: catalog.db, settings.toml, pictures/, out/, keys/.\n"
        f"Keep a copy of keys/ in a safe place: with it your certificates are signed, and nobody can replace it.\n"
        + ("Keep its passphrase apart from it; without it the key is lost.\n" if passphrase else "")
        + f'Next: cd {folder}, then: tirage negative add "A title" --size "whole plate"'
    )


@command(
    "settings",
    Operand("name", "--name", "NAME", "the setting", required=False),
    Operand("value", "--value", "VALUE", "its new value", required=False),
)
@click.option("--basis", metavar="TEXT", default="", help="Where the figure comes from; required for a change.")
@event_options
@output_options
def settings_command(desk: Desk, name: str | None, value: str | None, basis: str) -> None:
    """Show or change what records mean: targets, waits, years.

    \b
    tirage settings
    tirage settings hypo-target "0.8 ug/cm2" --basis "the laboratory's advice of May 2026"
    """
    if name is None or value is None:
        with desk.reading() as connection:
            desk.show(
                [
                    {"setting": s.name, "value": s.value, "basis": s.basis, "since": s.since}
                    for s in settings.settings(connection)
                    if name in (None, s.name)
                ],
                f"There is no setting “{name}”.",
            )
        return
    with desk.writing() as work:
        settings.change(work.connection, name, value, basis, work.event.moment.date)
    desk.say(f"{name} is {value} from now on ({basis}).")
