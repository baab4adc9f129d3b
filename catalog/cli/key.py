"""The keys that sign, on the command line."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.passphrases import asker, key_ring, new_passphrase, passphrase_option
from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.records import artist_keys

key_command = group("key", "The keys that sign: show, sheet, renew, close, protect.")
KEY = Operand("key", "--key", "KEY", "artist, estate, or the first signs of a thumbprint", required=False)

# What is in keys/, by its look: whether it is the right key, only `check` compares.
PRIVATE_HALF = {
    "open": "a file is in keys/, no passphrase",
    "locked": "a file is in keys/, under a passphrase",
    "missing": "not in keys/",
    "no key": "not in keys/: the file of its name holds no key",
    "unreadable": "a file is in keys/, and not to be read by you",
}


@command("show", KEY)
@output_options
def show_command(desk: Desk, key: str | None) -> None:
    """Show the public keys: whose, since when, and how each stands.

    \b
    tirage key show
    tirage key show --json > studio-keys.json     for: certificate verify FILE --key studio-keys.json
    """
    import json

    from catalog.records.private_keys import seen

    with desk.reading() as connection:
        every = artist_keys.all_keys(connection)
        keys = [artist_keys.named(connection, key)] if key else every
    if desk.output == "json":
        desk.say(json.dumps({"keys": [one.jwk for one in keys]}, indent=1))
        return
    rows: list[dict[str, object]] = [
        {
            "thumbprint": one.thumbprint,
            "public key": one.x,
            "holder": one.holder,
            "since": parse_date(one.since).text(),
            "state": _state(one),
            "follows": _follows(one, first=one == every[0]),
            "private half": PRIVATE_HALF[seen(desk.folder, one)],
        }
        for one in keys
    ]
    if desk.output:
        desk.show(rows)
    else:
        desk.say("\n\n".join(facts(list(row.items())) for row in rows))


@command("sheet")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="The page (else as in settings.toml).")
@click.option("--out", metavar="FILE", type=click.Path(dir_okay=False), help="Where to (else out/key-sheet.pdf).")
def sheet_command(desk: Desk, paper: str | None, out: str | None) -> None:
    """Put the public keys on paper, for galleries, archives and heirs to keep apart from the certificates."""
    from catalog.documents import filing, key_sheet
    from catalog.documents.presentation import presentation

    look = presentation(desk.folder)
    path = Path(out) if out else desk.folder / filing.FOLDER / "key-sheet.pdf"
    with desk.reading() as connection:
        pdf = key_sheet.key_sheet(connection, desk.now.date().isoformat(), look, paper or look.paper)
    filing.keep(path, pdf, key_sheet.KIND)
    name = out or path.relative_to(desk.folder).as_posix()
    desk.say(f"{name}: print it, sign it, and give it to people who keep it apart from the certificates.")


@command("renew")
@click.option("--estate", is_flag=True, help="The estate's key, made in good time or after the artist's death.")
@click.option("--lost", is_flag=True, help="The private key is gone, so nothing can sign for the new one.")
@click.option("--why", metavar="REASON", default="", help="Why no key signs for it; printed on the key sheet.")
@click.option("--protect", is_flag=True, help="Ask for a passphrase for the new key.")
@click.option("--new-passphrase-file", metavar="FILE", help="Holds the new key's passphrase.")
@passphrase_option
@event_options
def renew_command(
    desk: Desk,
    estate: bool,
    lost: bool,
    why: str,
    protect: bool,
    new_passphrase_file: str | None,
    passphrase_file: str | None,
) -> None:
    """Make the next key; the one before signs for it, and then signs nothing more. Old public keys are kept for ever.

    \b
    tirage key renew
    tirage key renew --estate
    tirage key renew --lost --why "the disk failed and no copy was kept"
    """
    from catalog.records import private_keys

    holder: artist_keys.Holder = "estate" if estate else "artist"
    keys = key_ring(desk, passphrase_file)
    with desk.reading(still=False) as connection:
        before = artist_keys.signing_key(connection, holder)
        if before is None and estate and not private_keys.after_death(connection, desk.event):
            before = artist_keys.signing_key(connection, "artist")
        locked = bool(before and private_keys.is_protected(desk.folder, before))
        if before and not lost:
            keys.private(connection, before)
    fresh = new_passphrase(new_passphrase_file) if protect or new_passphrase_file else ""
    with _whole(desk) as work:
        made = private_keys.renew(work.connection, work.event, keys, holder, fresh, why, lost)
    word = f"{made.follows[:8]} signed for it." if made.succession else f"No other key signed for it: {made.why}."
    desk.say(
        f"The {holder}'s new key is {made.thumbprint[:8]}, since {parse_date(made.since).text()}. {word}\n"
        f"Copy keys/ to its safe place again, and give out a new key sheet: tirage key sheet"
    )
    if locked and not fresh:
        desk.warn("Mind: the key before was under a passphrase, and this one is not: tirage key protect")


@contextmanager
def _whole(desk: Desk) -> Iterator[Work]:
    """A unit of work that leaves no file in keys/ behind when it is refused.

    Only while it holds the catalog, so that no new key can be another command's; and never for a failure of the commit
    itself, which may have been recorded all the same: a key too many is told by the checks, a lost one is lost.
    """
    from catalog.records.private_keys import FOLDER

    folder = desk.folder / FOLDER
    with desk.writing() as work:
        before = set(folder.glob("*.pem"))
        try:
            yield work
        except BaseException:
            for path in set(folder.glob("*.pem")) - before:
                path.unlink(missing_ok=True)
            raise


@command("close", KEY)
@click.option("--why", metavar="REASON", default="", help="Why it signs nothing more; printed on the key sheet.")
@event_options
def close_command(desk: Desk, key: str | None, why: str) -> None:
    """End a key: nothing is signed with it from then on. What it signed stands, and its public half is kept.

    \b
    tirage key close --why "the computer was stolen"
    tirage key close estate --why "the estate is wound up"

    A death is recorded with tirage party died NAME DATE; the artist's key signs nothing after it, closed or not.
    """
    with desk.writing() as work:
        found = artist_keys.named(work.connection, key or "artist")
        found = artist_keys.end(work.connection, work.event, found, why)
    desk.say(
        f"The {found.holder}'s key {found.thumbprint[:8]} ended {parse_date(found.ended).text()}: {found.ended_why}. "
        f"Give out a new key sheet: tirage key sheet"
    )


@command("protect", KEY)
@click.option("--passphrase-file", metavar="FILE", help="Holds the new passphrase (else asked, twice).")
@click.option(
    "--old-passphrase-file",
    metavar="FILE",
    envvar="TIRAGE_PASSPHRASE_FILE",
    help="Holds the passphrase it is under now (else TIRAGE_PASSPHRASE_FILE, else asked).",
)
@click.option("--remove", is_flag=True, help="Keep the key without a passphrase.")
def protect_command(
    desk: Desk, key: str | None, passphrase_file: str | None, old_passphrase_file: str | None, remove: bool
) -> None:
    """Put a private key under a passphrase, change it, or remove it.

    \b
    tirage key protect
    tirage key protect --passphrase-file new.txt --old-passphrase-file old.txt
    tirage key protect --remove
    """
    from catalog.records import private_keys

    with desk.reading() as connection:
        found = artist_keys.named(connection, key or "artist")
    ask = asker(old_passphrase_file)
    if private_keys.is_protected(desk.folder, found):
        known = ask(f"{private_keys.FOLDER}/{private_keys.path_of(desk.folder, found.thumbprint).name}")
        ask = lambda _: known  # noqa: E731 - the old one is asked before the new one
    private_keys.protect(desk.folder, found, ask, "" if remove else new_passphrase(passphrase_file))
    desk.say(
        f"The {found.holder}'s key {found.thumbprint[:8]} is kept without a passphrase from now on."
        if remove
        else f"The {found.holder}'s key {found.thumbprint[:8]} is under this passphrase from now on. Copies of keys/ "
        f"that you keep elsewhere are as they were; make them anew. Nobody can open it without the passphrase."
    )


def _state(key: artist_keys.ArtistKey) -> str:
    return f"ended {parse_date(key.ended).text()}: {key.ended_why}" if key.ended else "signs"


def _follows(key: artist_keys.ArtistKey, first: bool) -> str:
    if key.succession:
        return f"{key.follows[:8]}, which signed for it"
    alone = artist_keys.standing_alone(key, first)
    return f"{key.follows[:8]}. {alone}" if key.follows else alone or "none; it is the first"


for _command in (show_command, sheet_command, renew_command, close_command, protect_command):
    key_command.add_command(_command)
