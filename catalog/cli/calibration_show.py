"""A calibration as it is shown: its readings beside what the fit gives there, and the fit in words."""

import sqlite3
from typing import Any

from catalog.records.calibrations import SCALE, Calibration


def shown(
    connection: sqlite3.Connection, one: Calibration, thickness: str, coefficient: str
) -> tuple[list[dict[str, object]], list[tuple[str, object]]]:
    """Readings beside what the fit gives there, and the fit in words."""
    from catalog.errors import TirageError

    if one.kind == "wash":
        return _wash_shown(connection, one, thickness, coefficient)
    if thickness or coefficient:
        raise TirageError(
            f"“{one.name}” is no wash trial; expected --thickness and --diffusion with one of those only."
        )
    return _line_shown(connection, one)


def _wash_shown(
    connection: sqlite3.Connection, one: Calibration, thickness: str, coefficient: str
) -> tuple[list[dict[str, object]], list[tuple[str, object]]]:
    from catalog.quantities import format_duration, format_residue
    from catalog.records import calibrations
    from catalog.rules import wash_trial

    trial = wash_trial.trial_of(connection, one)
    curve = trial.curve
    rows: list[dict[str, object]] = []
    for point in sorted(calibrations.points_of(connection, one)):
        minutes = point.reading / 60
        inside = curve.first <= minutes <= curve.last
        rows.append(
            {
                "washed": format_duration(point.reading),
                "left": format_residue(point.residue) if point.residue else "nothing found",
                "curve": _micrograms(curve.at(minutes)) if inside else "",
                "95 % limits": " to ".join(map(_micrograms, curve.limits(minutes))) if inside else "",
            }
        )
    fit: list[tuple[str, object]] = [
        ("fit", wash_trial.model_words(trial)),
        ("scatter", f"{wash_trial.share(curve.scatter)} of a reading"),
        ("range", f"between {format_duration(round(curve.first * 60))} and {format_duration(round(curve.last * 60))}"),
    ]
    if thickness or coefficient:
        fit.append(("diffusion", _diffusion(trial, thickness, coefficient)))
    return rows, fit


def _line_shown(
    connection: sqlite3.Connection, one: Calibration
) -> tuple[list[dict[str, object]], list[tuple[str, object]]]:
    from catalog.records import calibrations
    from catalog.rules import measured_residue

    through = measured_residue.line_of(connection, one)
    unit = measured_residue.UNIT[one.kind]
    points = calibrations.points_of(connection, one)
    rows: list[dict[str, object]] = [
        {
            "known": f"{point.residue / 1_000:g} {unit}",
            "reading": f"{point.reading / SCALE:g}",
            "line": f"{through.at(point.residue / 1_000):.4g}",
        }
        for point in points
    ]
    known = [point.residue / 1_000 for point in points]
    return rows, [
        ("fit", f"reading = {through.intercept:.4g} + {through.slope:.4g} for each {unit}"),
        ("scatter", f"residual s.d. {round(through.deviation, 9):.2g}"),
        ("range", f"from {min(known):g} to {max(known):g} {unit}"),
    ]


def _diffusion(trial: Any, thickness: str, coefficient: str) -> str:
    from catalog.errors import NotUnderstood
    from catalog.measures import parse_length
    from catalog.rules import wash_trial

    try:
        speed = float(coefficient)
    except ValueError:
        speed = 0.0
    if not thickness or not 1e-14 <= speed <= 1e-7:
        raise NotUnderstood(
            "a sheet and its diffusion coefficient",
            f"{thickness} {coefficient}",
            "both your figures: --thickness 0.25mm --diffusion 1e-10 (m²/s)",
        )
    return wash_trial.diffusion_words(trial, parse_length(thickness) / 1e6, speed)


def _micrograms(value: float) -> str:
    return f"{float(f'{value:.3g}'):g}"
