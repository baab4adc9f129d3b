"""Taking the catalog out, on the command line: whole, as linked data, as a gallery's list, and how it is built."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, group
from catalog.errors import TirageError

export_command = group("export", "Take the catalog out: bag, linked-data, gallery, schema.")
FOLDER = Operand("target", "--to", "DIR", "a new folder")
FILE = Operand("target", "--to", "FILE", "the file to write")


class FileTakenError(TirageError):
    """An export onto a file that is there already."""

    def __init__(self, target: Path) -> None:
        super().__init__(f"{target} is there already, and was left as it is. Name another file, or move it away.")


@command("bag", FOLDER)
@click.option("--anyway", is_flag=True, help="Also a catalog that is not whole; the bag says so.")
def bag_command(desk: Desk, target: str, anyway: bool) -> None:
    """Write the whole catalog into a new folder that can be read without this program.

    Tables as CSV and JSON, the database, pictures, certificates, public keys, what every column means, and a page to
    read first; as a BagIt bag, so that anybody sees whether a file was altered or lost. It is private: it holds names,
    addresses, prices. Private keys are never in it. Bring it back with: tirage import bag DIR --into DIR
    """
    from catalog.exchange.bag.export import export_bag

    path = Path(target)
    with desk.reading(still=False) as connection, moving_bar("Exporting") as progress:
        packed = export_bag(connection, desk.folder, path, desk.now, anyway=anyway, progress=progress)
    size = int(packed.oxum.partition(".")[0])
    desk.say(
        f"Exported to {path}: {counted(packed.rows, 'row')} of {counted(packed.tables, 'table')}, "
        f"{counted(packed.pictures, 'picture')}, {counted(packed.certificates, 'certificate')}, {size / 1e6:,.1f} MB."
    )
    desk.say(f"Begin with {path}/data/READ ME FIRST.txt")
    desk.warn(
        "Mind: PRIVATE. It names buyers with addresses, and prices; do not publish it. Your private keys are not in "
        "it: keep a copy of keys/ apart."
    )
    desk.mind(f"{name} is a link to something else, and was left out." for name in packed.left_out)
    desk.mind(f"Exported as it is: {finding}" for finding in packed.findings)


@command("linked-data", FILE)
@click.option("--private", is_flag=True, help="Everything, shown or not, with whose hands each print went through.")
def linked_data_command(desk: Desk, target: str, private: bool) -> None:
    """Write what is public as linked data (JSON-LD), in the terms of schema.org.

    Public is what `tirage shown` marked, and of it only what the public copy tells.
    """
    from catalog.documents.presentation import presentation
    from catalog.exchange import linked_data
    from catalog.publish.projection import publish_facts
    from catalog.store.backup import snapshot

    address, day = presentation(desk.folder).address, desk.now.date().isoformat()
    with desk.reading(still=False) as connection, TemporaryDirectory(prefix="tirage-") as work:
        copy = snapshot(connection)
        if private:
            linked_data.show_everything(copy)
        public = publish_facts(copy, Path(work), day, address)
        try:
            write_new(Path(target), linked_data.text(public, copy, private=private))
        finally:
            public.close()
            copy.close()
    desk.say(f"Wrote {target}.")
    if private:
        desk.warn("Mind: PRIVATE. It names owners; do not publish it.")


@command("gallery", FILE)
@click.option("--editions", metavar="CODES", help="These editions alone, such as e1-3; also where they are not shown.")
def gallery_command(desk: Desk, target: str, editions: str | None) -> None:
    """Write a list of available works for a gallery, as a CSV file that any spreadsheet opens.

    Without --editions all that is shown. A price is the edition's own; where things are, and for whom they are held, is
    not told.
    """
    from catalog.exchange.gallery import gallery_list
    from catalog.records import editions as records
    from catalog.records import items, negatives

    with desk.reading() as connection:
        if editions:
            chosen = [records.read(connection, one.id) for one in items.find(connection, editions, "edition")]
        else:
            chosen = [
                one for one in records.listed(connection) if one.shown or negatives.read(connection, one.negative).shown
            ]
        found = gallery_list(connection, chosen, unique=not editions)
    write_new(Path(target), [found.text])
    desk.say(f"Wrote {target}: {counted(found.rows, 'line')}.")
    if found.left_out:
        desk.warn(f"Mind: left out, as a sale of them would be stopped: {', '.join(found.left_out)}.")
    if not chosen and not editions:
        desk.say("Nothing is marked as shown: tirage shown e1, or name editions: --editions e1")


@command("schema", FOLDER)
def schema_command(desk: Desk, target: str) -> None:
    """Write what every table and column means into a new folder: a page a table, made from the database itself."""
    from catalog.exchange.bag.errors import FolderTakenError, NotWrittenError
    from catalog.exchange.schema_pages import INDEX, pages
    from catalog.whole_files import growing_folder

    folder = Path(target)
    if folder.exists():
        raise FolderTakenError(folder)
    with desk.reading() as connection:
        found = pages(connection)
    try:
        with growing_folder(folder) as work:
            for name, text in found.items():
                (work / name).write_text(text, encoding="utf-8")
    except OSError as error:
        raise NotWrittenError(folder, error.strerror or str(error)) from error
    desk.say(f"Wrote {counted(len(found), 'page')}; begin with {folder / INDEX}")


def write_new(path: Path, parts: Iterator[str] | list[str]) -> None:
    """Write a file that is not there yet, whole or not at all. Raises FileTakenError, NotWrittenError."""
    from catalog.exchange.bag.errors import NotWrittenError
    from catalog.whole_files import growing

    try:
        with growing(path, over=False) as file:
            for part in parts:
                file.write(part.encode())
    except FileExistsError as error:
        raise FileTakenError(path) from error
    except OSError as error:
        raise NotWrittenError(path, error.strerror or str(error)) from error


@contextmanager
def moving_bar(label: str) -> Iterator[Callable[[int, int], None]]:
    """A progress bar on a terminal, none in a pipe; to be called with what is done, and all."""
    if not sys.stderr.isatty():
        yield lambda done, total: None
        return
    with click.progressbar(length=1, label=label, file=sys.stderr) as bar:

        def progress(done: int, total: int) -> None:
            bar.length = max(total, 1)
            bar.update(done - bar.pos)

        yield progress


def counted(number: int, noun: str) -> str:
    """“1 row”, “1,200 rows”."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


for _command in (bag_command, linked_data_command, gallery_command, schema_command):
    export_command.add_command(_command)
