"""Control strips and residual tests at the command line."""

import sqlite3
from collections.abc import Sequence

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options
from catalog.records.items import Coded


@command(
    "strip",
    Operand("count", "--count", "COUNT", "how many (default 1)", required=False),
    help="Make control strips: the same paper, unexposed, last through the fixer, and tested in a print's stead.",
)
@click.option("--paper", metavar="NAME", help="Of which paper.")
@event_options
def strip_command(desk: Desk, count: str | None, paper: str | None) -> None:
    from catalog.errors import NotUnderstood
    from catalog.records import items, residuals
    from catalog.whole_numbers import whole_number

    many = 1 if count is None else whole_number(count)
    if many is None:
        raise NotUnderstood("a number of control strips", str(count), "1 to 1000")
    with desk.writing() as work:
        of = residuals.paper_named(work.connection, paper) if paper else None
        made = residuals.make_strips(work.connection, work.event, many, of)
        work.touch(made)
    desk.say(f"{items.shorten(made)}: mark the strip, and put it last through every bath its prints go through.")


@command(
    "test",
    Operand("item", "--item", "CODE", "a control strip (k1) or a work print"),
    Operand(
        "results",
        "--result",
        "QUESTION RESULT",
        "hypo or silver, then a reading (none, “just visible”, beige, yellow-brown) or a value (0.9ug/cm2)",
        many=True,
    ),
    help="Record residual tests: tirage test k1 hypo none silver none",
)
@click.option("--method", metavar="METHOD", default="", help="How a value was measured, such as “methylene blue”.")
@event_options
def test_command(desk: Desk, item: str, results: Sequence[str], method: str) -> None:
    from catalog.quantities import parse_residue
    from catalog.records import items, residuals
    from catalog.vocabulary import READINGS

    with desk.writing() as work:
        thing = items.find_one(work.connection, item, "control strip", "print", "negative")
        for question, result in _pairs(results):
            drop = result in READINGS or not result[:1].isdigit()
            residuals.record_test(
                work.connection,
                work.event,
                thing,
                question,
                method="" if drop else method,
                reading=result if drop else None,
                value=None if drop else parse_residue(result),
            )
        work.touch(thing)
        lines = _grades(work.connection, thing)
    for line in lines:
        desk.say(line)


def _pairs(results: Sequence[str]) -> list[tuple[str, str]]:
    from catalog.errors import NotUnderstood

    words = [
        word
        for result in results
        for word in (result.split(" ", 1) if result.startswith(("hypo ", "silver ")) else [result])
    ]
    if len(words) % 2:
        raise NotUnderstood(
            "a list of results", " ".join(words), "a question and its result each time: hypo none silver none"
        )
    return [(words[i].lower(), words[i + 1].strip()) for i in range(0, len(words), 2)]


def _grades(connection: sqlite3.Connection, thing: Coded) -> list[str]:
    from catalog.records import items
    from catalog.records.residuals import prints_beside
    from catalog.rules.evidence import evidence_many

    prints = [thing] if thing.kind == "print" else prints_beside(connection, thing)
    found = evidence_many(connection, [one.id for one in prints])
    grades: dict[tuple[str, str, str], list[Coded]] = {}
    for one in prints:
        seen = found[one.id]
        grades.setdefault((seen.grade, seen.hypo.grade, seen.silver.grade), []).append(one)
    if not grades:
        return [f"{thing.code}: recorded; no print went through the baths with it yet."]
    return [
        f"{items.shorten(group)}: {grade} (hypo {hypo}, silver {silver})."
        for (grade, hypo, silver), group in grades.items()
    ]
