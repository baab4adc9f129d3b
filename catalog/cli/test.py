"""Control strips and residual tests at the command line."""

import sqlite3
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

import click

from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, output_options
from catalog.records.items import Coded

if TYPE_CHECKING:
    from catalog.rules.evidence import Evidence


@command(
    "strip",
    Operand("count", "--count", "COUNT", "how many (default 1), or “list”: all there are", required=False),
    help="Make control strips: the same paper, unexposed, last through the fixer, and tested in a print's stead.",
)
@click.option("--paper", metavar="NAME", help="Of which paper (default: the one last printed on).")
@event_options
def strip_command(desk: Desk, count: str | None, paper: str | None) -> None:
    from catalog.errors import NotUnderstood
    from catalog.records import items, papers, residuals
    from catalog.whole_numbers import whole_number

    if count == "list":
        with desk.reading() as connection:
            desk.show([strip._asdict() for strip in residuals.strips(connection)], "No control strip yet.")
        return
    many = 1 if count is None else whole_number(count)
    if many is None:
        raise NotUnderstood("a number of control strips", str(count), "1 to 1000")
    with desk.writing() as work:
        of = residuals.paper_named(work.connection, paper) if paper else papers.newest_printed_on(work.connection)
        made = residuals.make_strips(work.connection, work.event, many, of)
        work.touch(made)
        kind = f" of {papers.read(work.connection, of).name}" if of else ""
    desk.say(f"{items.shorten(made)}{kind}: mark the strip, and put it last through every bath its prints go through.")


@command(
    "test",
    Operand("item", "--item", "CODE", "a control strip (k1), a print (3), or for a measured value a plate (n1)"),
    Operand(
        "results",
        "--result",
        "QUESTION RESULT",
        "hypo or silver, then a reading (none, “just visible”, beige, yellow-brown) or a value (0.9ug/cm2)",
        required=False,
        many=True,
    ),
)
@click.option("--method", metavar="METHOD", default="", help="How a value was measured, such as “methylene blue”.")
@click.option(
    "--basis", metavar="SALT", default="ion", help="A value is of: ion (default), anhydrous, crystals, ammonium."
)
@click.option(
    "--sides", metavar="one|both", default="one", help="A value is of one side (default) or of both together."
)
@click.option("--titration", metavar="VOLUME", default="", help="Iodine solution that an extract took up, as 2.35ml.")
@click.option("--normality", metavar="N", default="", help="Of that solution, as 0.001.")
@click.option("--blank", metavar="VOLUME", default="", help="What the same without paper took up, as 0.10ml.")
@click.option("--absorbance", metavar="A", default="", help="Of an extract by methylene blue, as 0.244.")
@click.option("--stain", metavar="DENSITY", default="", help="Blue density of a silver sulfide stain, as 0.12.")
@click.option("--untreated", metavar="DENSITY", default="", help="The same beside the stain, as 0.08.")
@click.option("--calibration", metavar="NAME", default="", help="Your own, for a stain or an absorbance.")
@click.option("--area", metavar="AREA", default="", help="Of the piece that was extracted, as 50cm2 or 5x10cm.")
@click.option("--extract", metavar="VOLUME", default="", help="All of the extract, where only a part was measured.")
@click.option("--aliquot", metavar="VOLUME", default="", help="That part of it.")
@event_options
@output_options
def test_command(desk: Desk, item: str, results: Sequence[str], method: str, **measured: str) -> None:
    """Record residual tests, or show all that were made on a thing.

    A drop tells whether a stain is seen. A value is kept as the thiosulfate ion on a square centimetre of one side,
    with what was given beside it. Values are worked out from a reading only with your own calibration.

    \b
    tirage test k1 hypo none silver none
    tirage test k1 hypo 0.9ug/cm2 --method "methylene blue"
    tirage test k1 hypo 0.012mg/in2 --basis crystals --method laboratory
    tirage test k1 hypo --titration 2.35ml --normality 0.001 --blank 0.10ml --area 50cm2
    tirage test k1 hypo --stain 0.12 --untreated 0.08 --calibration strips1
    tirage test k1 hypo --absorbance 0.244 --calibration mb1 --area 16cm2
    tirage test k1                                       all its tests
    """
    from catalog.records import items, residuals
    from catalog.rules.claims import after_test

    if not results:
        _refuse_extra({"--method": method, **{f"--{name}": value for name, value in measured.items()}})
        _show_tests(desk, item)
        return
    told: list[str] = []
    with desk.writing() as work:
        thing = items.find_one(work.connection, item, "control strip", "print", "negative")
        made = [
            residuals.record_test(work.connection, work.event, thing, question, **result)
            for question, result in _results(work.connection, results, method, measured, told)
        ]
        work.touch(thing)
        every = residuals.tests_of(work.connection, thing)
        known = _known(work.connection, thing)
        lines = [*_grades(thing, known), *told, *after_test(work.connection, thing, made, every, known)]
    for line in lines:
        desk.say(line)


def _results(
    connection: sqlite3.Connection, results: Sequence[str], method: str, measured: dict[str, str], told: list[str]
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Each question with its result as it is recorded; what was worked out is told in `told`."""
    from catalog.errors import NotUnderstood
    from catalog.formulas.residue import MOLAR
    from catalog.rules import measured_residue as worked_out

    given = {f"--{name}": value for name, value in measured.items()}
    basis, sides = measured["basis"].lower(), measured["sides"].lower()
    if basis not in MOLAR:
        raise NotUnderstood("a salt that hypo is told as", basis, f"one of {', '.join(MOLAR)}")
    ways = [name for name in ("titration", "absorbance", "stain") if measured[name]]
    if ways:
        worked = _worked(connection, results, ways, measured)
        if method and method != worked.method:
            raise NotUnderstood("the method of such a reading", method, f"{worked.method}, or no --method at all")
        told.append(f"{worked.told[:1].upper()}{worked.told[1:]}.")
        yield "hypo", _record(worked)
        return
    pairs = _pairs(results)
    values = [result for _, result in pairs if _is_value(result)]
    allowed = {"--basis", "--sides"} if values else set()
    _refuse_extra({name: value for name, value in given.items() if name not in allowed})
    for question, result in pairs:
        if not _is_value(result):
            yield question, {"reading": result}
            continue
        worked = worked_out.typed(result, question, basis if question == "hypo" else "ion", sides)
        if worked.told:
            told.append(f"{worked.told}: kept as {_residue(worked.value)}.")
        yield question, {**_record(worked), "method": method}


def _worked(connection: sqlite3.Connection, results: Sequence[str], ways: list[str], measured: dict[str, str]) -> Any:
    """A value from a titration, an absorbance or a stain."""
    from catalog.errors import NotUnderstood
    from catalog.rules import measured_residue as worked_out

    if list(results) != ["hypo"] or len(ways) > 1:
        typed = " ".join([*results, *(f"--{way}" for way in ways)])
        raise NotUnderstood("a result", typed, "hypo alone, with one of --titration, --absorbance and --stain")
    way = ways[0]
    uses = {
        "titration": ("normality", "blank", "area", "extract", "aliquot", "sides"),
        "absorbance": ("calibration", "area", "extract", "aliquot", "sides"),
        "stain": ("untreated", "calibration"),
    }[way]
    _refuse_extra({f"--{name}": value for name, value in measured.items() if name not in (way, *uses)}, f"--{way}")
    piece = worked_out.Piece(*(measured[name] for name in ("area", "extract", "aliquot", "sides")))
    if way == "titration":
        return worked_out.titrated(measured["titration"], measured["normality"], measured["blank"], piece)
    if way == "absorbance":
        return worked_out.absorbed(connection, measured["absorbance"], measured["calibration"], piece)
    return worked_out.stained(connection, measured["stain"], measured["untreated"], measured["calibration"])


def _record(worked: Any) -> dict[str, Any]:
    return {
        "method": worked.method,
        "value": worked.value,
        "given": worked.given,
        "calibration": worked.calibration,
    }


def _is_value(result: str) -> bool:
    from catalog.vocabulary import READINGS

    return result not in READINGS and result[:1].isdigit()


def _refuse_extra(options: dict[str, str], beside: str = "") -> None:
    """Refuse options that mean nothing here, so that none is dropped in silence."""
    from catalog.errors import TirageError

    usual = {"--basis": "ion", "--sides": "one"}
    extra = [name for name, value in options.items() if value and value != usual.get(name)]
    if extra:
        place = f"beside {beside}" if beside else "with what was given"
        raise TirageError(
            f"{' and '.join(extra)} mean{'' if extra[1:] else 's'} nothing {place}; expected what goes with the "
            f"reading. See: tirage test --help"
        )


def _residue(value: int) -> str:
    from catalog.quantities import format_residue

    return format_residue(value)


def _show_tests(desk: Desk, item: str) -> None:
    """All tests of a thing: what was given, and what is kept of it."""
    from catalog.records import calibrations, items, residuals

    with desk.reading() as connection:
        thing = items.find_one(connection, item, "control strip", "print", "negative")
        rows: list[dict[str, object]] = []
        for test in residuals.tests_of(connection, thing):
            name = calibrations.read(connection, test.calibration).name if test.calibration else ""
            rows.append(
                {
                    "question": test.question,
                    "method": test.method,
                    "given": _given(test.given) or test.reading,
                    "kept": test.reading or _residue(test.value or 0),
                    "calibration": name,
                    "when": desk.date(test.happened),
                    "by": test.by,
                    "note": test.note,
                    **({"nanograms a cm2": test.value} if desk.output else {}),
                }
            )
        desk.show(rows, f"{thing.code}: no test yet. Record one: tirage test {thing.code} hypo none silver none")
        if thing.kind == "negative" and rows and not desk.output:
            _show_limits(desk)


def _show_limits(desk: Desk) -> None:
    from catalog.formulas.residue import LIMITS

    desk.say("\nLimits that are known, for other materials than a plate (thiosulfate ion):")
    for limit in LIMITS:
        figure = _residue(limit.value) if limit.value is not None else "no limit"
        mark = "" if limit.mark == "published" else ", not confirmed at its source"
        desk.say(f"  {limit.material}: {figure} ({limit.source}{mark})")


def _given(text: str) -> str:
    """What was given, on one line: a value first, then name and value each."""
    import json

    given = json.loads(text)
    value = given.pop("value", "")
    return ", ".join(part for part in (value, *(f"{name} {told}" for name, told in given.items())) if part)


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


def _known(connection: sqlite3.Connection, thing: Coded) -> "dict[Coded, Evidence]":
    """What is known of each print that a test of a thing might count for."""
    from catalog.records.residuals import prints_beside
    from catalog.rules.evidence import evidence_many

    if thing.kind == "negative":
        return {}
    prints = [thing] if thing.kind == "print" else prints_beside(connection, thing)
    found = evidence_many(connection, [one.id for one in prints])
    return {one: found[one.id] for one in prints}


def _grades(thing: Coded, known: "dict[Coded, Evidence]") -> list[str]:
    from catalog.records import items
    from catalog.rules.waiting import typed

    if thing.kind == "negative":
        return [f"{thing.code}: kept. A test of a plate grades nothing."]
    grades: dict[tuple[str, str, str], list[Coded]] = {}
    for one, seen in known.items():
        grades.setdefault((seen.grade, seen.hypo.grade, seen.silver.grade), []).append(one)
    if not grades:
        return [
            f"{thing.code}: kept; no print went through the baths with it yet. A strip stands for the prints that are "
            f"named with it in each command: tirage fix 1-6,{typed([thing.code])} 1m"
        ]
    return [
        f"{items.shorten(group)}: {grade} (hypo {hypo}, silver {silver})."
        for (grade, hypo, silver), group in grades.items()
    ]
