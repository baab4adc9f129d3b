"""Routines at the command line: ways of working that tests prove."""

import sqlite3
from typing import TYPE_CHECKING

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.cli.routine_words import proof_rows, row, told
from catalog.errors import TirageError

if TYPE_CHECKING:
    from catalog.records.routines import Terms
    from catalog.rules.routine_like import Way

NAME = Operand("name", "--name", "NAME", "what you call it, such as “selenium, slots”")

routine_command = group("routine", "Ways of working that tests prove: add, show, list, end.")


class NotSaidError(TirageError):
    """A routine without something that every routine names."""

    def __init__(self, missing: list[tuple[str, str]]) -> None:
        what, flags = zip(*missing, strict=True)
        super().__init__(
            f"A routine names {_listed(what)}, and this one does not. Say it ({' '.join(flags)}), or name a strip that "
            f"went the whole way with --like k1."
        )


class HalfSaidError(TirageError):
    """A second fixer without the first, or a time without a bath."""

    def __init__(self, what: str, flag: str) -> None:
        super().__init__(f"{what} was given without the other half; expected both. Add {flag}.")


@command("add", NAME, help="Begin a routine: how a strip or a print was worked (--like k1), or said in full.")
@click.option("--like", "like", metavar="CODE", help="Take over what this strip or print went through.")
@click.option("--paper", metavar="NAME", help="Its stock; each batch of it is proved by itself.")
@click.option("--fixer", metavar="BATH", help="A fixer of the name and dilution that it takes, such as b1.")
@click.option("--fix", "fix", metavar="DURATION", help="Least time in it.")
@click.option("--second-fix", metavar="DURATION", help="Least time in the second fixer.")
@click.option("--wash-aid", metavar="BATH", help="A wash aid of its kind, or “none”.")
@click.option("--aid", metavar="DURATION", help="Least time in it.")
@click.option("--toner", metavar="BATH", help="A toner of its kind, several with commas, or “none”.")
@click.option("--washer", metavar="NAME", help="Where all of it is washed.")
@click.option("--wash", metavar="DURATION", help="Least washing after the last chemical step.")
@click.option("--changes", type=click.IntRange(1, 1_000), help="Fewest changes of water in that wash.")
@click.option("--temperature", metavar="18C", help="Coldest water of that wash.")
@click.option("--sheets", type=click.IntRange(1, 1_000), help="Most sheets in that wash.")
@click.option("--tests", type=click.IntRange(1, 100), help="Strips on end that must be clean (default 3).")
@click.option("--lapses", metavar="180d", help="How long the newest clean one holds (default 180d).")
@click.option("--basis", metavar="TEXT", default="", help="Whose figures --tests and --lapses are.")
@event_options
def add(desk: Desk, name: str, like: str | None, **given: str | int | None) -> None:
    from catalog.records import items, routines
    from catalog.rules.routine_like import Way, way_of

    with desk.writing() as work:
        connection = work.connection
        way = way_of(connection, items.find_one(connection, like, "control strip", "print")) if like else Way()
        terms = _terms(_overridden(connection, way, given))
        routine = routines.add(
            connection,
            work.event,
            name,
            terms,
            tests=int(given["tests"] or routines.DEFAULT_TESTS),
            lapse_days=_days(given["lapses"]) if given["lapses"] else routines.DEFAULT_LAPSES,
            basis=" ".join(str(given["basis"]).split()),
        )
        said = [
            f"Routine “{routine.name}” begins on {desk.date(routine.begun)}.",
            *told(connection, routine, _today(desk)),
        ]
    desk.say("\n".join(said))


@command("show", NAME, help="Show a routine: what it is, what proves it, and what is missing.")
@output_options
def show(desk: Desk, name: str) -> None:
    from catalog.records import routines

    with desk.reading() as connection:
        routine = routines.by_name(connection, name)
        if desk.output:
            desk.show(proof_rows(connection, routine, _today(desk)))
        else:
            desk.say("\n".join(told(connection, routine, _today(desk))))


@command("list", help="List every routine, with its proof on the batch in use.")
@output_options
def list_routines(desk: Desk) -> None:
    from catalog.records import routines

    with desk.reading() as connection:
        rows = [row(desk, connection, routine) for routine in routines.listed(connection)]
    desk.show(rows, "No routine yet. Take one from a strip that went the whole way: tirage routine add NAME --like k1")


@command("end", NAME, help="End a routine: what is worked later is not within it.")
@event_options
def end(desk: Desk, name: str) -> None:
    from catalog.records import routines

    with desk.writing() as work:
        routine = routines.end(work.connection, work.event, name)
    desk.say(
        f"Routine “{routine.name}” ends on {desk.date(routine.ended)}; what was worked within it keeps what it proves."
    )


def _overridden(connection: sqlite3.Connection, way: "Way", given: dict[str, str | int | None]) -> "Way":
    """A way with what was said in options instead."""
    from catalog.quantities import parse_duration, parse_temperature
    from catalog.records import papers, washers

    def seconds(flag: str) -> int | None:
        return parse_duration(str(given[flag])) if given[flag] else None

    said: dict[str, object] = {
        "paper": papers.named(connection, str(given["paper"])).id if given["paper"] else None,
        "fixer": _baths(connection, given["fixer"], "fixer"),
        "fix_seconds": seconds("fix"),
        "second_fix_seconds": seconds("second_fix"),
        "wash_aid": _baths(connection, given["wash_aid"], "wash aid"),
        "wash_aid_seconds": seconds("aid"),
        "toner": _baths(connection, given["toner"], "toner"),
        "washer": washers.by_name(connection, str(given["washer"])).id if given["washer"] else None,
        "wash_seconds": seconds("wash"),
        "changes": given["changes"],
        "sheets": given["sheets"],
        "celsius": parse_temperature(str(given["temperature"])) if given["temperature"] else None,
    }
    way = way._replace(**{key: value for key, value in said.items() if value is not None})  # type: ignore[arg-type]
    return way._replace(wash_aid_seconds=None) if not way.wash_aid and given["wash_aid"] else way


def _terms(way: "Way") -> "Terms":
    """The terms of a routine. Raises NotSaidError, HalfSaidError."""
    from catalog.records.routines import Terms

    wanted = (
        ("its paper", "--paper NAME", way.paper),
        ("its fixer", "--fixer b1", way.fixer),
        ("the least time in it", "--fix 1m", way.fix_seconds),
        ("its washer", "--washer NAME", way.washer),
        ("the least washing", "--wash 60m", way.wash_seconds),
    )
    missing = [(what, flag) for what, flag, value in wanted if not value]
    if missing:
        raise NotSaidError(missing)
    if bool(way.wash_aid) != bool(way.wash_aid_seconds):
        raise HalfSaidError(*(("A wash aid", "--aid 3m") if way.wash_aid else ("Its time", "--wash-aid b3")))
    return Terms(**way._asdict())


def _baths(connection: sqlite3.Connection, text: str | int | None, kind: str) -> str | None:
    """The names and dilutions of baths of a kind; "" for none, None where nothing was said."""
    from catalog.errors import NotUnderstood
    from catalog.records import baths, items

    if text is None:
        return None
    if str(text).casefold() == "none" and kind != "fixer":
        return ""
    found = [baths.read(connection, thing) for thing in items.find(connection, str(text), "bath")]
    wrong = next((bath for bath in found if bath.kind != kind), None)
    if wrong or (kind != "toner" and len(found) > 1):
        raise NotUnderstood(f"the {kind} of a routine", str(text), f"the code of one {kind}, such as b1")
    return "; ".join(bath.text() for bath in found)


def _days(text: str | int | None) -> int:
    """Whole days of “180d”, “180 days” or “180”."""
    from catalog.errors import NotUnderstood
    from catalog.whole_numbers import whole_number

    typed = str(text).strip().casefold()
    for unit in ("days", "day", "d"):
        typed = typed.removesuffix(unit)
    days = whole_number(typed.strip())
    if not days or days > 36_525:
        raise NotUnderstood("how long a proof holds", str(text), "whole days, such as 180d")
    return days


def _today(desk: Desk) -> str:
    return desk.now.date().isoformat()


def _listed(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


for verb in (add, show, list_routines, end):
    routine_command.add_command(verb)
