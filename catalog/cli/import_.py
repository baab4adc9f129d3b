"""Bringing in a table that was kept elsewhere, on the command line."""

import gc
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from catalog.cli.desk import Desk, Work
from catalog.cli.import_told import CODED, LAST_AT_MOST, SHOWN, counted, rows_of, tell, ways
from catalog.cli.options import Operand, command, event_options, output_options

if TYPE_CHECKING:
    from catalog.exchange.importing.frame import Importer, Importing, Layout
    from catalog.exchange.importing.mapping import MappingFile
    from catalog.exchange.importing.plan import Plan
    from catalog.exchange.importing.tables import Table

NOUNS = ("places", "parties", "negatives", "editions", "prints", "tests")


class _TakenBack(Exception):  # noqa: N818 - no error: it ends what was tried only
    """Everything that was added was tried, and does not stay."""


@command(
    "import",
    Operand("noun", "--noun", "NOUN", "what its rows are: " + ", ".join(NOUNS) + "; or bag"),
    Operand("file", "--file", "FILE", "a table, CSV or XLSX; or the folder of a bag"),
)
@click.option("--apply", "apply", is_flag=True, help="Add them; without it nothing is changed.")
@click.option("--leave-refused", is_flag=True, help="Add the others; refused rows go to FILE.refused.csv.")
@click.option(
    "--again", is_flag=True, help="Also add rows that were imported before with other cells, as further ones."
)
@click.option("--mapping", metavar="FILE", help="The mapping file (else FILE.mapping.toml).")
@click.option("--sheet", metavar="NAME", default="", help="Which sheet of a workbook.")
@click.option("--into", metavar="DIR", help="With bag: the new folder in which its catalog is rebuilt.")
@click.option("--anyway", is_flag=True, help="With bag: also a catalog that does not prove itself.")
@output_options
@event_options
def import_command(
    desk: Desk,
    noun: str,
    file: str,
    apply: bool,
    leave_refused: bool,
    again: bool,
    mapping: str | None,
    sheet: str,
    into: str | None,
    anyway: bool,
) -> int:
    """Bring in a list that was kept in a spreadsheet.

    First without --apply: it says what would be added, what is doubtful and what is refused, and writes down in
    FILE.mapping.toml what each heading was taken for, beside all fields there are, to be corrected. With --apply all of
    it is added or nothing. Columns that no field takes are kept as notes, but for telephones, mails and addresses: a
    note cannot be forgotten again.

    Begin with places and parties, then negatives, editions, prints and tests, for each names what came before it: a
    negative by its code, its number in its own list, the mark on the plate or its exact title.

    The same rows are never added twice. One that was changed since is refused: set its thing right with tirage
    correct, or add it as another with --again.

    \b
    tirage import negatives plates.xlsx
    tirage import negatives plates.xlsx --apply
    tirage import bag handed-over --into studio    a whole catalog, from: tirage export bag
    """
    if noun == "bag":
        from catalog.cli.import_bag import bring_back

        bring_back(desk, file, into, anyway)
        return 0
    if noun not in NOUNS:
        raise click.UsageError(f"“{noun}” is nothing that can be imported; expected one of {', '.join(NOUNS)}.")
    from catalog.exchange.importing import mapping as mappings
    from catalog.exchange.importing.importers import importer
    from catalog.exchange.importing.refused import write_refused
    from catalog.exchange.importing.tables import read_table

    path, kind = Path(file), importer(noun)
    table = read_table(path, sheet)
    beside = Path(mapping) if mapping else mappings.beside(path)
    there = beside.exists()
    if mapping and apply and not there:
        raise mappings.MappingFileError(mapping, "it is not there. Without --apply it is written, to be corrected.")
    found = mappings.read(beside, kind.fields, noun) if there else mappings.guessed(table.headings, kind.fields)
    written = f"What the headings were taken for is written down in {beside.name}; correct it there and run this again."
    try:
        layout, said = mappings.layout(table.headings, found, kind, beside.name)
    except (mappings.TwoColumnsError, mappings.NoFieldError):
        if not there:
            _write_mapping(desk, beside, mappings.text_of(path.name, noun, found, kind.fields))
        raise
    kept = ""
    with suppress(_TakenBack), desk.writing() as work:
        work.connection.execute("SAVEPOINT whole_import")
        plan, near = _brought_in(desk, kind(_importing(desk, work, found)), table, layout, said, again)
        adding = apply and (leave_refused or not plan.refused)
        if not adding:
            work.connection.execute("ROLLBACK TO whole_import")
            work.connection.execute("RELEASE whole_import")
            raise _TakenBack
        kept = write_refused(mappings.not_in_a_bag(path), table, plan.refused) if plan.refused else ""
        if len(plan.new) <= LAST_AT_MOST and noun in CODED:
            work.touched = list(dict.fromkeys(row.thing for row in plan.new))
        work.connection.execute("RELEASE whole_import")
    tell(desk, plan, adding)
    _end(desk, plan, path, beside, kept, apply, adding)
    if not apply and not there:
        _write_mapping(desk, beside, mappings.text_of(path.name, noun, found, kind.fields, near), written)
    return 1 if plan.refused else 0


def _end(desk: Desk, plan: "Plan", path: Path, beside: Path, kept: str, apply: bool, adding: bool) -> None:
    """What was done, or is to be done next."""
    if adding:
        belong = len(plan.added) - len(plan.new)
        others = f"; {rows_of(belong)} of {plan.noun} that were there" if belong else ""
        others += f"; {rows_of(len(plan.there), 'are')} there already" if plan.there else ""
        others += f"; {ways(plan.reached)} {plan.noun} that were there" if plan.reached else ""
        back = " To take all of it back: tirage undo" if plan.added or plan.reached else ""
        desk.say(f"Added {counted(plan)}{others}.{back}")
        if kept:
            desk.warn(
                f"Mind: {rows_of(len(plan.refused), 'are')} refused and left out; mend them in {kept}, import that."
            )
    elif apply:
        beginning = f"Nothing was added: {rows_of(len(plan.refused), 'are')} refused. Mend what is named above in"
        others = ", or add the others with --leave-refused" if plan.added else ""
        desk.warn(f"{beginning} {path.name} or in {beside.name}{others}.")
    elif not desk.output:
        left = " --leave-refused" if plan.refused else ""
        kinds = [
            counted(plan) if plan.new else "",
            f"{ways(plan.reached)} {plan.noun} that are there" if plan.reached else "",
            f"notes to {rows_of(plan.noting)} of {plan.noun} that are there" if plan.noting else "",
        ]
        adds = " and ".join(filter(None, kinds))
        next_step = f" To add {adds}, run it again with --apply{left}." if adds else ""
        desk.say(f"Nothing is changed yet.{next_step}" if adds else "Nothing is changed.")


def _importing(desk: Desk, work: Work, found: "MappingFile") -> "Importing":
    from catalog.exchange.importing.frame import Importing

    def watched(things: Sequence[Any], label: str) -> Iterable[Any]:
        with desk.counted(things, label) as counting:
            yield from counting

    return Importing(work.connection, work.event, work.now.date(), found.meaning, watched)


def _brought_in(
    desk: Desk, importer: "Importer[Any]", table: "Table", layout: "Layout", said: Sequence[str], again: bool
) -> "tuple[Plan, dict[str, dict[str, str]]]":
    from catalog.exchange.importing.plan import bring_in

    with _kept_in_memory():
        plan = bring_in(importer.work, importer, table, layout, said, len(table.lines) if desk.output else SHOWN, again)
    return plan, importer.near()


@contextmanager
def _kept_in_memory() -> Iterator[None]:
    """Rows by the ten thousand, none in a cycle, are not searched for cycles again and again: a fifth of the time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.freeze()  # nor afterwards; the command ends soon
        if was:
            gc.enable()


def _write_mapping(desk: Desk, path: Path, text: str, told: str = "") -> None:
    from catalog.exchange.importing import mapping as mappings

    try:
        mappings.write(path, text)
    except mappings.MappingFileError as refusal:
        desk.warn(f"Mind: {refusal.sentence}")
        return
    if told and not desk.output:
        desk.say(told)
