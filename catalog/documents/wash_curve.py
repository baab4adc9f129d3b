"""The wash curve: a wash trial as a plot for the darkroom wall, with the answer in words and all its readings."""

import re

from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.quantities import format_duration, format_residue
from catalog.rules.wash_trial import Trial, answer, answer_sentence, model_words, share, target_words
from labels.plots import Plot, PlotSheetContent, plot_sheet
from labels.sheet import Section, SheetContent

KIND = "Wash trial"
STEPS = 160
CAUTION = (
    "The time holds for this paper, fixed and washed as these pieces were, and for no other. It is no limit and no "
    "promise: a strip of every load, tested, tells whether the load is clean."
)


def title(name: str) -> str:
    """The document's title, by which an earlier printing of it is known."""
    return f"{KIND} {name}"


def file_name(name: str) -> str:
    """Its file: letters and figures of the name, the rest as hyphens."""
    return f"wash-curve-{re.sub(r'[^0-9A-Za-z]+', '-', name).strip('-') or 'trial'}.pdf"


def wash_curve(trial: Trial, target: int, basis: str, page: str) -> bytes:
    """The sheet as a PDF, with the target in nanograms a square centimetre and whose figure it is."""
    return plot_sheet(content(trial, target, basis), page)


def content(trial: Trial, target: int, basis: str) -> PlotSheetContent:
    """What the sheet says."""
    one, curve = trial.calibration, trial.curve
    try:
        found = answer(trial, target)
        told = answer_sentence(trial, target, found)
        mark = (found.sure / 60, format_duration(found.sure))
    except TirageError as refusal:
        told, mark = refusal.sentence, None
    span = curve.last - curve.first
    times = [curve.first + span * step / STEPS for step in range(STEPS + 1)]
    washed = f"washed in {one.washer}" if one.washer else ""
    facts = ", ".join(filter(None, (washed, f"measured by {one.method}", parse_date(one.happened).text(), one.by)))
    head = SheetContent(
        kind=KIND,
        code=one.name,
        artist="",
        title="How long is long enough",
        subtitle=f"{one.paper}, {facts}" if one.paper else f"{facts[:1].upper()}{facts[1:]}",
        facts=(),
        sections=(),
        footer="",
        address="",
    )
    plot = Plot(
        across="minutes of wash",
        up="left in the sheet, µg/cm² of thiosulfate ion",
        readings=trial.fitted,
        others=trial.early,
        nothing=trial.nothing,
        curve=tuple((t, curve.at(t), *curve.limits(t)) for t in times),
        target=(target / 1_000, f"target {format_residue(target)}: {basis.split(';')[0]}"),
        answer=mark,
        key=("reading", "earlier reading, not fitted", "nothing found", "best estimate, and 95 % of further readings"),
    )
    model = model_words(trial)
    fit = f"{model[:1].upper()}{model[1:]}; scatter {share(curve.scatter)} of a reading."
    return PlotSheetContent(
        head,
        plot,
        (
            Section("What it says", (told, f"{target_words(target, basis)} {CAUTION}")),
            Section("The readings", tuple(filter(None, (_readings(trial), one.text))), None, (fit,)),
        ),
    )


def _readings(trial: Trial) -> str:
    """Every reading on one line: a table of them, beside the curve, is for the screen."""
    told = (
        f"{format_duration(round(minutes * 60))}: {f'{left:g}' if left else 'nothing found'}".replace(" ", "\u00a0")
        for minutes, left in trial.readings
    )
    return f"{'; '.join(told)} (µg/cm² of thiosulfate ion)."
