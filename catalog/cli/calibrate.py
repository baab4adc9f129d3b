"""Calibrations at the command line: strips, absorbances and wash trials of one's own, and what can be asked of them."""

import sqlite3
from collections.abc import Callable, Sequence
from typing import Any

import click

from catalog.cli.calibration_points import from_file, known, washed
from catalog.cli.calibration_show import shown
from catalog.cli.desk import Desk
from catalog.cli.options import Operand, command, event_options, group, output_options
from catalog.records.calibrations import Calibration, Point

calibrate_command = group("calibrate", "Your own readings: wash trials, strips, absorbances; how long to wash.")
NAME = Operand("name", "--name", "NAME", "what you call it, such as trial1")
TRIAL = Operand("name", "--name", "NAME", "a wash trial (the only one, if not told)", required=False)
POINTS = Operand("points", "--points", "POINTS", "each as 1=0.02, the known amount first", many=True)
WASHED = Operand("points", "--points", "POINTS", "each as 10m=12ug/cm2, the time first", required=False, many=True)
BASIS = click.option(
    "--basis", metavar="SALT", default="ion", help="Amounts are of: ion, anhydrous, crystals, ammonium."
)
PAPER = click.option("--paper", metavar="NAME", default="", help="Of which paper.")
SAME = click.option("--conditions", metavar="TEXT", default="", help="What else was the same for all readings.")


@command("strips", NAME, POINTS)
@PAPER
@SAME
@BASIS
@event_options
def strips_command(desk: Desk, name: str, points: Sequence[str], paper: str, conditions: str, basis: str) -> None:
    """Keep strips of known residue of one paper.

    Each with its known thiosulfate, and the blue density that its silver stain gained over the untreated paper.

    \b
    tirage calibrate strips strips1 0=0.00 1=0.02 2=0.04 4=0.08 --paper warm12       µg/cm² = density gained
    tirage test k1 hypo --stain 0.12 --untreated 0.08 --calibration strips1
    """
    found = [known(point, basis, "µg/cm²", "1=0.02") for point in points]
    _keep(desk, name, "stain", found, paper=paper, text=conditions)


@command("absorbance", NAME, POINTS)
@SAME
@BASIS
@event_options
def absorbance_command(desk: Desk, name: str, points: Sequence[str], conditions: str, basis: str) -> None:
    """Keep a methylene blue series of your own.

    Known amounts and their absorbances; 0 is the blank, and is one of them.

    \b
    tirage calibrate absorbance mb1 0=0.020 10=0.120 20=0.220 40=0.420               µg = absorbance
    tirage test k1 hypo --absorbance 0.244 --calibration mb1 --area 16cm2
    """
    found = [known(point, basis, "µg", "10=0.120") for point in points]
    _keep(desk, name, "absorbance", found, text=conditions)


@command("wash", NAME, WASHED)
@click.option("--file", "path", metavar="FILE", help="A CSV file of time,reading (minutes and µg/cm² without a unit).")
@PAPER
@click.option("--washer", metavar="NAME", default="", help="In which washer.")
@click.option("--method", metavar="METHOD", default="", help="How what was left was measured.")
@SAME
@BASIS
@event_options
def wash_command(
    desk: Desk,
    name: str,
    points: Sequence[str],
    path: str | None,
    paper: str,
    washer: str,
    method: str,
    conditions: str,
    basis: str,
) -> None:
    """Keep a wash trial of one paper.

    Pieces fixed alike and washed for different times, and what was left in each as the ion on a cm² of one side.

    \b
    tirage calibrate wash trial1 5m=40ug/cm2 10m=12ug/cm2 20m=5ug/cm2 40m=2.4ug/cm2 60m=1.3ug/cm2 90m=0.5ug/cm2
        --paper warm12 --washer slots1 --method "methylene blue"
    tirage calibrate wash trial2 --file readings.csv --paper warm12 --washer slots1 --method "methylene blue"
    tirage calibrate ask trial1
    """
    from catalog.errors import NotUnderstood
    from catalog.vocabulary import QUANTITATIVE_METHODS

    if bool(points) == bool(path):
        raise NotUnderstood("the readings of a wash trial", " ".join(points), "5m=40ug/cm2 ... or --file readings.csv")
    if method not in QUANTITATIVE_METHODS:
        raise NotUnderstood("a method that measures", method, f"--method with one of {', '.join(QUANTITATIVE_METHODS)}")
    found = from_file(path, basis) if path else [washed(point, basis) for point in points]
    _keep(desk, name, "wash", found, paper=paper, washer=washer, method=method, text=conditions)


@command("list")
@output_options
def list_command(desk: Desk) -> None:
    """List every calibration."""
    from catalog.records import calibrations

    with desk.reading() as connection:
        rows: list[dict[str, object]] = [
            {
                "name": one.name,
                "what": calibrations.KINDS[one.kind],
                "paper": one.paper,
                "washer": one.washer,
                "method": one.method,
                "readings": len(calibrations.points_of(connection, one)),
                "when": desk.date(one.happened),
                "by": one.by,
            }
            for one in calibrations.listed(connection)
        ]
        desk.show(rows, "No calibration yet. A wash trial: tirage calibrate wash NAME 5m=40ug/cm2 10m=12ug/cm2 ...")


@command("show", NAME)
@click.option("--thickness", metavar="0.25mm", default="", help="Of the wet sheet, beside diffusion alone.")
@click.option("--diffusion", metavar="M2/S", default="", help="Your coefficient for it, as 1e-10.")
@output_options
def show_command(desk: Desk, name: str, thickness: str, diffusion: str) -> None:
    """Show its readings, fit, scatter and range."""
    from catalog.cli.tables import facts
    from catalog.records import calibrations

    with desk.reading() as connection:
        one = calibrations.named(connection, name)
        rows, fit = shown(connection, one, thickness, diffusion)
    if desk.output:
        desk.show(rows)
        return
    head = [
        ("name", one.name),
        ("what", calibrations.KINDS[one.kind]),
        ("paper", one.paper),
        ("washer", one.washer),
        ("method", one.method),
        ("the same for all", one.text),
        ("when", desk.date(one.happened)),
        ("by", one.by),
        ("note", one.note),
    ]
    desk.say(facts([*head, *fit]) + "\n")
    desk.show(rows)


@command("ask", TRIAL)
@click.option(
    "--target", metavar="RESIDUE", default="", help="Until under what (else the hypo-target of the settings)."
)
@output_options
def ask_command(desk: Desk, name: str | None, target: str) -> None:
    """Ask a wash trial how long is long enough. Nothing is worked out beyond its readings.

    \b
    tirage calibrate ask
    tirage calibrate ask trial1 --target 2ug/cm2
    """
    from catalog.rules import wash_trial

    with desk.reading() as connection:
        trial = wash_trial.trial_of(connection, _trial(connection, name))
        goal, basis = _target(connection, target)
    found = wash_trial.answer(trial, goal)
    if desk.output:
        desk.show([wash_trial.answer_row(trial, goal, basis, found)])
        return
    desk.say(wash_trial.answer_sentence(trial, goal, found))
    desk.say(f"{wash_trial.target_words(goal, basis)} It holds for {wash_trial.HOLDS}.")


@command("draw", TRIAL)
@click.option(
    "--target", metavar="RESIDUE", default="", help="The line to draw (else the hypo-target of the settings)."
)
@click.option("--page", type=click.Choice(["A4", "Letter"]), help="The page (else as in settings.toml).")
@click.option("--out", metavar="FILE", type=click.Path(dir_okay=False), help="Where to (else out/wash-curve-NAME.pdf).")
def draw_command(desk: Desk, name: str | None, target: str, page: str | None, out: str | None) -> None:
    """Draw a wash trial for the darkroom wall."""
    from pathlib import Path

    from catalog.documents import filing, wash_curve
    from catalog.documents.presentation import presentation
    from catalog.rules import wash_trial

    look = presentation(desk.folder)
    with desk.reading() as connection:
        trial = wash_trial.trial_of(connection, _trial(connection, name))
        goal, basis = _target(connection, target)
    pdf = wash_curve.wash_curve(trial, goal, basis, page or look.paper)
    path = Path(out) if out else desk.folder / filing.FOLDER / wash_curve.file_name(trial.calibration.name)
    filing.keep(path, pdf, wash_curve.title(trial.calibration.name))
    desk.say(f"{out or path.relative_to(desk.folder).as_posix()}: the wash trial “{trial.calibration.name}”.")


def _keep(
    desk: Desk, name: str, kind: str, points: Sequence[Point], paper: str = "", washer: str = "", **rest: str
) -> None:
    """Keep a calibration if a fit goes through it, and say what it is good for."""
    from catalog.records import calibrations, papers, washers

    with desk.writing() as work:
        one = calibrations.add(
            work.connection,
            work.event,
            name,
            kind,
            points,
            paper=papers.named(work.connection, paper).id if paper else None,
            washer=washers.by_name(work.connection, washer).id if washer else None,
            **rest,
        )
        _, fit = shown(work.connection, one, "", "")
    words = "; ".join(f"{name} {value}" for name, value in fit).removeprefix("fit ")
    desk.say(f"“{one.name}”, {len(points)} readings: {words}.")
    if kind == "wash":
        name = f'"{one.name}"' if " " in one.name else one.name
        desk.say(f"How long is enough: tirage calibrate ask {name}")


def _trial(connection: sqlite3.Connection, name: str | None) -> Calibration:
    from catalog.records import calibrations

    return calibrations.named(connection, name, "wash") if name else calibrations.usual_trial(connection)


def _target(connection: sqlite3.Connection, typed: str) -> tuple[int, str]:
    """The target in nanograms a square centimetre, and whose figure it is."""
    from catalog.errors import NotUnderstood
    from catalog.quantities import parse_residue
    from catalog.records import settings

    if typed:
        goal = parse_residue(typed)
        if not goal:
            raise NotUnderstood("a target to wash to", typed, "more than nothing, such as 1.4ug/cm2")
        return goal, "as asked"
    found = settings.residue_target(connection, "hypo")
    if not found:
        raise NotUnderstood("a target to wash to", "", "--target 1.4ug/cm2, for none is set as hypo-target")
    basis = next(one.basis for one in settings.settings(connection) if one.name == "hypo-target")
    return found, basis


VERBS: tuple[Callable[..., Any], ...] = (
    strips_command, absorbance_command, wash_command, list_command, show_command, ask_command, draw_command,
)  # fmt: skip
for verb in VERBS:
    calibrate_command.add_command(verb)  # type: ignore[arg-type]
