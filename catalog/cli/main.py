"""The `tirage` command: which commands there are, and the one catcher of everything that goes wrong."""

import sys
from importlib import import_module
from pathlib import Path
from unicodedata import normalize

import click

from catalog import __version__
from catalog.errors import TirageError
from catalog.plain_text import named, shown, unseen

# Group heading -> command -> (module, one line of help). Kept here, so that --help imports no command.
GROUPS: dict[str, dict[str, tuple[str, str]]] = {
    "Start": {
        "init": ("start", "Begin a catalog in a new folder."),
        "demo": ("demo", "Build the demo catalog and all its papers."),
        "settings": ("start", "Show or change what records mean: targets, waits."),
    },
    "Make": {
        "negative": ("negative", "Plates and films: add, show, list, state."),
        "edition": ("edition", "Editions: declare, show, list, erratum, close, cancel."),
        "print": ("print_", "Prints: make, show, list, designate, inscribe."),
        "paper": ("paper", "Printing papers: add, show, list."),
        "density": ("density", "Densities of a print or plate: recorded with readings after its code, shown without."),
        "recipe": ("recipe", "How an approved print is made again: record, scale, compare, card."),
        "sign": ("sign", "Sign prints; hands out the next numbers."),
        "replace": ("sign", "Replace a destroyed print under its number."),
        "destroy": ("sign", "Record that a print or plate was destroyed."),
        "step": ("step", "One stage for one or many items: add, show."),
    },
    "Process": {
        "bath": ("bath", "Chemistry: mix, care, promote, discard, show, list."),
        "washer": ("washer", "Vessels that wash: add, show, list."),
        "fix": ("process", "Fix prints or plates."),
        "wash": ("process", "Wash: in now, or a time after the fact."),
        "out": ("process", "Take items out of the washer."),
        "tone": ("process", "Tone prints."),
        "dry": ("process", "Lay items to dry."),
        "convert": ("convert", "Old weights, volumes and strengths in metric units."),
        "strip": ("test", "Make control strips, to be tested in a print's stead."),
        "session": ("session", "Darkroom work on paper: a sheet for the sink, and entering it."),
        "test": ("test", "Record residual tests for hypo and silver."),
        "calibrate": ("calibrate", "Wash trials and strips of your own; how long to wash."),
        "routine": ("routine", "Ways of working that tests prove: add, show, list, end."),
    },
    "Keep": {
        "place": ("place", "Places: add, show, list."),
        "move": ("place", "Put items in a place."),
        "where": ("place", "Where something is, how it stands, since when, who moved it."),
        "keep": ("custody", "Record that its owner kept a thing."),
        "lost": ("custody", "Record that something was lost or stolen."),
        "found": ("custody", "Record that it was found again."),
        "picture": ("picture", "Keep pictures of items."),
    },
    "Sell": {
        "party": ("party", "People and bodies: add, show, list, correct, died, reach, forget."),
        "promise": ("promise", "Hold a number for someone."),
        "consign": ("custody", "Hand prints to a gallery to sell, or to a person on approval."),
        "lend": ("custody", "Lend prints or plates, also for an exhibition."),
        "return": ("custody", "Record what came back, or that a sale fell through."),
        "sell": ("sell", "Sell a print; or tell a later sale."),
        "paid": ("sell", "Record a payment."),
        "owed": ("sell", "What is owed for what was sold."),
        "give": ("sell", "Give, leave or exchange a print."),
        "certificate": ("certificate", "Certificates: issue, revoke, verify, show."),
        "key": ("key", "The keys that sign: show, sheet, renew, close, protect."),
        "price": ("offers", "Set an edition's price, or show all it had."),
        "unsold": ("offers", "What is unsold, where, at what price."),
    },
    "Paper": {
        "label": ("paper_goods", "Label sheets for prints, sleeve labels for plates."),
        "caption": ("offers", "A ready credit line of prints."),
        "provenance": ("paper_goods", "A provenance sheet with the wash record."),
    },
    "Share": {
        "shown": ("share", "Mark what may be published."),
        "publish": ("share", "Build the public copy."),
        "browse": ("share", "Look at the public copy in a browser."),
    },
    "Look after": {
        "due": ("look_after", "What is waiting."),
        "check": ("look_after", "Findings over the whole catalog."),
        "history": ("look_after", "All that happened to one thing."),
        "correct": ("look_after", "Correct a field, keeping what stood there."),
        "undo": ("look_after", "Take back the last command."),
        "import": ("import_", "Bring in a list from a spreadsheet, CSV or XLSX."),
        "backup": ("backup", "Keep the whole catalog in another place, proved."),
        "export": ("export", "Take the catalog out: bag, linked-data, gallery, schema."),
        "restore": ("restore", "Put a backup back; what is there is set aside."),
    },
}
COMMANDS = {name: entry for group in GROUPS.values() for name, entry in group.items()}


class Tirage(click.Group):
    """The group of all commands, each imported when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"catalog.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, f"{cmd_name}_command")
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        for heading, commands in GROUPS.items():
            with formatter.section(heading):
                formatter.write_dl([(name, text) for name, (_, text) in commands.items()])


@click.command(cls=Tirage, invoke_without_command=True, no_args_is_help=False)
@click.option(
    "--catalog",
    "folder",
    metavar="DIR",
    envvar="TIRAGE_CATALOG",
    help="The catalog's folder (else TIRAGE_CATALOG, else the one you stand in or above).",
)
@click.version_option(__version__, prog_name="tirage")
@click.pass_context
def tirage(ctx: click.Context, folder: str | None) -> None:
    """The archival catalog and edition manager for glass negatives and hand-made prints.

    Alone, it shows what is waiting.
    """
    from catalog.cli.desk import Desk

    if ctx.obj is None:
        ctx.obj = Desk(Path(folder) if folder else None)
    if ctx.invoked_subcommand is None:
        if ctx.obj.find() is None:
            click.echo(ctx.get_help())
        else:
            command = tirage.get_command(ctx, "due")
            assert command is not None
            with command.make_context("due", [], parent=ctx) as due:
                command.invoke(due)


class UnreadableWordError(TirageError):
    """A word with bytes that are no text, or with signs that steer a terminal."""

    def __init__(self, argument: str, sign: str) -> None:
        where = argument.index(sign) + 1
        super().__init__(
            f"“{shown(argument[:60])}” holds a sign that is no text or is not seen ({named(sign)}, sign {where}); "
            f"expected plain text in UTF-8 on one line. Type it by hand."
        )


def _readable(argument: str) -> str:
    """An argument as NFC text. Raises UnreadableWordError for signs that steer or are not seen, and broken bytes."""
    sign = unseen(argument)
    if sign:
        raise UnreadableWordError(argument, sign)
    return argument if argument.isascii() else normalize("NFC", argument)


def _interrupted(error: BaseException | None) -> bool:
    """Whether Ctrl-C is behind an error, as when it falls into the loading of a library."""
    while error is not None:
        if isinstance(error, KeyboardInterrupt):
            return True
        error = error.__cause__ or error.__context__
    return False


def main() -> None:
    """Run the command line and exit: 0 done, 1 refused or findings, 2 usage, 3 unexpected, 130 Ctrl-C."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """Run one command line and return its exit status; every failure is one sentence on standard error."""
    try:
        if "verify" in arguments:  # what is pasted from a square or a paper may run over lines
            arguments = [" ".join(argument.splitlines()) for argument in arguments]
        result = tirage.main([_readable(argument) for argument in arguments], prog_name="tirage", standalone_mode=False)
        return result if isinstance(result, int) else 0
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except click.ClickException as usage:
        from io import StringIO

        usage.show(told := StringIO())
        click.echo("\n".join(shown(line) for line in told.getvalue().split("\n")), nl=False, err=True)
        return usage.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("\nStopped; nothing was changed.", err=True)
        return 130
    except TirageError as refusal:
        click.echo(f"tirage: {shown(refusal.sentence)}", err=True)
        return refusal.exit_code
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except Exception as unexpected:
        if _interrupted(unexpected):
            click.echo("\nStopped; nothing was changed.", err=True)
            return 130
        from catalog.cli.unexpected import report

        return report(unexpected)
