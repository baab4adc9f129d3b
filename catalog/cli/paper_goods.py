"""Labels and provenance sheets on the command line."""

import sqlite3
from collections.abc import Sequence

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, output_options
from catalog.cli.out_files import path_of, shown
from catalog.errors import TirageError
from catalog.records import items

CODES = Operand("codes", "--items", "CODES", "prints (3, 1-6) or plates (n1)")
MOST_LINES = 12


class OneFileError(TirageError):
    """Several documents for one file name."""

    def __init__(self, count: int) -> None:
        super().__init__(
            f"These are {count} documents and --out names one file; ask for one at a time, or leave out --out."
        )


@command("label", CODES)
@click.option("--stock", metavar="NAME", help="The label sheet, such as a4-3x8 (else as in settings.toml).")
@click.option(
    "--start",
    metavar="N",
    type=click.IntRange(min=1),
    default=1,
    show_default=True,
    help="The first free label of the first sheet, counted from the top left along the rows.",
)
@click.option("--out", metavar="FILE", help="Where to write it (else in out/).")
def label_command(desk: Desk, codes: str, stock: str | None, start: int, out: str | None) -> None:
    """Draw labels for prints, or sleeve labels for plates, on a sheet of labels.

    \b
    tirage label 1-6
    tirage label n1 --stock a4-2x7 --start 4
    """
    from catalog.documents import filing, labels, wording
    from catalog.documents.presentation import presentation

    look = presentation(desk.folder)
    name = stock or look.label_stock
    with desk.reading() as connection:
        things = items.find(connection, codes, "print", "negative")
        prints = [thing for thing in things if thing.kind == "print"]
        plates = [thing for thing in things if thing.kind == "negative"]
        _refuse_two(out, bool(prints) + bool(plates))
        for chosen, make, note in (
            (prints, labels.print_labels, wording.LABEL_NOTE),
            (plates, labels.sleeve_labels, wording.SLEEVE_NOTE),
        ):
            if not chosen:
                continue
            made = make(connection, [thing.id for thing in chosen], look.address, look.units)
            title = f"Labels {items.shorten(chosen)}"
            path = path_of(desk, out, filing.name_of("labels", [thing.code for thing in chosen]))
            filing.keep(path, labels.sheet_of(made, name, start, title), title)
            desk.say(
                f"{len(made)} {'label' if len(made) == 1 else 'labels'} on {name}, {items.shorten(chosen)}: "
                f"{shown(desk, path)}\n{note}."
            )
        lines = [(thing.code, labels.pencil_line(connection, thing.id)) for thing in prints]
    _say_pencil(desk, lines)


@command("provenance", CODES)
@click.option("--private", is_flag=True, help="A studio copy: owners and prices by name.")
@click.option("--paper", type=click.Choice(["A4", "Letter"]), help="The page (else as in settings.toml).")
@click.option("--out", metavar="FILE", help="Where to write it (else in out/).")
@output_options
def provenance_command(desk: Desk, codes: str, private: bool, paper: str | None, out: str | None) -> None:
    """Draw the provenance sheet of prints, one file each, with the wash record and what was tested.

    Of plates the provenance is told as text. With --json or --csv it is told clause by clause, and nothing is drawn.

    \b
    tirage provenance 3
    tirage provenance 3 --json
    """
    with desk.reading() as connection:
        things = items.find(connection, codes, "print", "negative")
        if desk.output:
            _show_clauses(desk, connection, things, private)
            return
        sheets = [thing for thing in things if thing.kind == "print"]
        _refuse_two(out, len(sheets))
        for thing in things:
            if thing.kind == "negative":
                _say_provenance(desk, connection, thing, private)
        if sheets:
            _draw_provenance(desk, connection, sheets, private, paper, out)


def _draw_provenance(
    desk: Desk,
    connection: sqlite3.Connection,
    things: Sequence[items.Coded],
    private: bool,
    paper: str | None,
    out: str | None,
) -> None:
    from catalog.documents import filing
    from catalog.documents import provenance as document
    from catalog.documents.presentation import presentation

    look = presentation(desk.folder)
    kind = "provenance-private" if private else "provenance"
    for thing in things:
        content = document.provenance_sheet(
            connection, thing.id, look.address, private, desk.now.date().isoformat(), look.units
        )
        path = path_of(desk, out, filing.name_of(kind, [thing.code]))
        filing.keep(path, document.drawn(content, paper or look.paper), f"{content.kind} {content.code}")
        desk.say(
            f"{thing.code}: {shown(desk, path)}" + (" (studio copy: it names owners and prices)" if private else "")
        )


def _say_provenance(desk: Desk, connection: sqlite3.Connection, thing: items.Coded, private: bool) -> None:
    from catalog.rules.provenance import provenance

    found = provenance(connection, thing.id, private)
    desk.say("\n".join([f"{thing.code}: {found.text}", *found.notes, f"({found.key_line})"]))


def _show_clauses(desk: Desk, connection: sqlite3.Connection, things: Sequence[items.Coded], private: bool) -> None:
    """Provenances as JSON, one record a thing; as CSV one line a clause."""
    from catalog.rules.provenance import as_record

    records = [{"code": thing.code, **as_record(connection, thing.id, private)} for thing in things]
    if desk.output == "json":
        desk.show(records)
        return
    rows: list[dict[str, object]] = []
    for record in records:
        for clause in record["clauses"]:
            flat = {name: value for name, value in clause.items() if not isinstance(value, dict)}
            people = {name: (clause[name] or {}).get("name", "") for name in ("party", "agent", "sellers_agent")}
            rows.append({"code": record["code"], **flat, **people, **clause["dates"]})
    desk.show(rows)


def _say_pencil(desk: Desk, lines: Sequence[tuple[str, str]]) -> None:
    said = [line for _, line in lines if line]
    refused = [code for code, line in lines if not line]
    if said:
        more = [f"  … and {len(said) - MOST_LINES} more"] if len(said) > MOST_LINES else []
        desk.say(
            "\n".join(
                [
                    "On the back margin of a fibre print this may stand, in soft pencil, on a hard table:",
                    *(f"  {line}" for line in said[:MOST_LINES]),
                    *more,
                ]
            )
        )
    if refused:
        desk.say(f"{items.shorten(refused)}: resin-coated paper takes no pencil; write on the sleeve only.")


def _refuse_two(out: str | None, count: int) -> None:
    if out and count > 1:
        raise OneFileError(count)
