"""The trial sheet: the work prints of one negative side by side, each with a box to tick."""

from dataclasses import dataclass

from labels.drawing import FAINT, HAIRLINE, SOFT, Frame, Image, Piece, Rule, capitals, paragraph, set_line
from labels.fitting import fit, wrap, wrap_evenly
from labels.geometry import Box, PageSize, page_size, points
from labels.page import Flow, Furniture, Margins, furnished, rendered
from labels.pictures import plate
from labels.typefaces import SANS, SANS_MEDIUM, SANS_SEMIBOLD, SERIF, SERIF_ITALIC, clean

_FEWEST, _MOST = 3, 4  # columns, so that one print alone does not take the whole width
_GUTTER = 7.0  # mm
_LOWEST, _HIGHEST = 24.0, 56.0  # mm, the height of a picture: what the rows leave of the page
_BOX = 11.0  # mm, the side of the box to tick


@dataclass(frozen=True, slots=True)
class TrialColumn:
    """One work print: code, (label, value) pairs, the line to type to choose it, and a JPEG or PNG of it."""

    code: str
    facts: tuple[tuple[str, str], ...]
    choose: str
    picture: bytes | None = None


@dataclass(frozen=True, slots=True)
class TrialContent:
    """Everything the sheet says, finished."""

    kind: str
    title: str
    subtitle: str
    trials: tuple[TrialColumn, ...]
    note: str
    footer: str


def trial_sheet(content: TrialContent, paper: str = "A4") -> bytes:
    """The sheet on `paper` ("A4" or "Letter") laid across, as the bytes of a PDF of one page or more.

    Raises `UnknownPage`, `PictureUnreadable`, `GlyphMissing`.
    """
    upright = page_size(paper)
    page = PageSize(upright.name, upright.height, upright.width)
    flow = Flow(page, Margins(16.0, 16.0, 23.0, 22.0))
    _put_head(flow, content)
    pictures = any(trial.picture for trial in content.trials)
    across = min(_MOST, max(_FEWEST, len(content.trials)))
    for first in range(0, len(content.trials), across):
        _put_row(flow, content.trials[first : first + across], across, pictures)
    pages = furnished(flow, Furniture(clean(content.title), clean(content.kind), content.footer))
    return rendered(pages, page, content.kind, subject=clean(content.title))


def _put_head(flow: Flow, content: TrialContent) -> None:
    flow.put([capitals(flow.left, flow.top, content.kind, 7.2)])
    flow.top += 6
    flow.put([Rule(flow.left, flow.top, flow.left + flow.width, flow.top, 0.9)])
    flow.top += 7
    lines = wrap_evenly(content.title, SERIF_ITALIC, 19.0, flow.width)
    flow.put(paragraph(flow.left, flow.top, lines, SERIF_ITALIC, 19.0, 22.0))
    flow.top += len(lines) * 22 + 2
    for text in filter(None, (content.subtitle, content.note)):
        lines = wrap(text, SERIF, 10.0, flow.width)
        flow.put(paragraph(flow.left, flow.top, lines, SERIF, 10.0, 12.6, grey=0.2))
        flow.top += len(lines) * 12.6
    flow.top += 10


def _put_row(flow: Flow, trials: tuple[TrialColumn, ...], across: int, pictures: bool) -> None:
    """Trials beside each other, as high as the highest of them."""
    gutter = points(_GUTTER)
    width = (flow.width - (across - 1) * gutter) / across
    names = list(dict.fromkeys(label for trial in trials for label, _ in trial.facts))
    rows = [(name, max(_lines(trial, name, width) for trial in trials)) for name in names]
    words = points(_BOX) + 8 + sum(_row_height(count) for _, count in rows) + 16
    flow.need(words + (points(_LOWEST) + 8 if pictures else 0))
    tall = min(max(flow.room - words - 8, points(_LOWEST)), points(_HIGHEST)) if pictures else 0.0
    for place, trial in enumerate(trials):
        flow.put(_trial(trial, flow.left + place * (width + gutter), flow.top, width, rows, tall))
    flow.top += words + (tall + 8 if pictures else 0) + points(6)


def _row_height(lines: int) -> float:
    return 10.5 + lines * 12.0 + 3.5


def _lines(trial: TrialColumn, name: str, width: float) -> int:
    return max(1, len(wrap(dict(trial.facts).get(name, ""), SERIF, 9.6, width)))


def _trial(
    trial: TrialColumn, left: float, top: float, width: float, rows: list[tuple[str, int]], tall: float
) -> list[Piece]:
    side = points(_BOX)
    code = fit(trial.code, SANS_SEMIBOLD, 15.0, 9.0, width - side - 8)
    pieces: list[Piece] = [Frame(Box(left + width - side, top, side, side), 1.2, 0.0)]
    pieces += paragraph(left, top + 6, code.lines, SANS_SEMIBOLD, code.size, code.size * 1.1)
    top += side + 8
    if tall:
        pieces += _picture(trial.picture, Box(left, top, width, tall))
        top += tall + 8
    values = dict(trial.facts)
    for name, count in rows:
        pieces.append(Rule(left, top, left + width, top, HAIRLINE, FAINT))
        pieces.append(set_line(left, top + 9.2, name, SANS, 6.6, grey=SOFT))
        lines = wrap(values.get(name, ""), SERIF, 9.6, width)
        pieces += paragraph(left, top + 10.5, lines, SERIF, 9.6, 12.0)
        top += _row_height(count)
    pieces.append(Rule(left, top, left + width, top, 0.6))
    command = fit(trial.choose, SANS_MEDIUM, 7.6, 5.5, width)
    pieces += paragraph(left, top + 4, command.lines, SANS_MEDIUM, command.size, 9.5)
    return pieces


def _picture(data: bytes | None, area: Box) -> list[Piece]:
    """A picture in the middle of its place, or an empty frame where there is none."""
    if data is None:
        return [Frame(area, HAIRLINE, FAINT)]
    ready = plate(data, area.width, area.height)
    across, down = ready.within(area.width, area.height)
    inner = Box(area.left + (area.width - across) / 2, area.top + (area.height - down) / 2, across, down)
    return [Image(inner, ready), Frame(inner, HAIRLINE, SOFT)]
