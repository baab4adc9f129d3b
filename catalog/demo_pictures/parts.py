"""Parts that several demo scenes share: sky, ground, water, grass, wood, plaster and rope."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PIL import Image, ImageDraw

from catalog.demo_pictures.plate import Plate, Point


def sky(
    plate: Plate, top: int, low: int, horizon: float, clouds: float = 0.25, cells: tuple[int, int] = (7, 9)
) -> None:
    """Collodion sees blue as white, so skies are pale; clouds flatten towards the horizon."""
    plate.lay(plate.ramp([(0, top), (horizon, low)]))
    corners = [(-1.2, -0.1), (plate.wide + 1.2, -0.1), (plate.wide + 0.1, horizon), (-0.1, horizon)]
    far = plate.project(plate.noise(cells[0], cells[1], 6, 0.56), corners)
    plate.texture(plate.blurred(far, 0.006), clouds, plate.ramp([(horizon * 0.3, 255), (horizon * 0.95, 0)]))


def ridge_line(plate: Plate, left: float, right: float, height: float, steps: int = 6) -> list[Point]:
    """A ridge line by midpoint displacement, from one side of the plate to the other."""
    levels = [left, right]
    for _ in range(steps):
        split: list[float] = [levels[0]]
        for first, second in zip(levels, levels[1:], strict=False):
            split += [(first + second) / 2 + plate.random.uniform(-height, height), second]
        levels, height = split, height * 0.48
    return [(-0.05 + (plate.wide + 0.1) * index / (len(levels) - 1), level) for index, level in enumerate(levels)]


def on_ground(plate: Plate, flat: Image.Image, horizon: float, spread: float = 3.0) -> Image.Image:
    """A flat plan laid out from our feet to the horizon."""
    middle, near = plate.wide / 2, plate.tall * 1.04
    return plate.project(flat, [(middle - 0.72, horizon - 0.002), (middle + 0.72, horizon - 0.002),
                                (middle + spread, near), (middle - spread, near)])  # fmt: skip


def turf(plate: Plate, horizon: float, amount: float, mask: Image.Image) -> None:
    """Rough grass: fine blades that shorten with distance, over slow patches of growth."""
    depth = plate.ramp([(horizon, 0), (plate.tall, 255)])
    far = plate.relief(plate.noise(260, 150, 2, 0.8), (0.002, 0.002), 0.5)
    near = plate.relief(plate.noise(110, 44, 4, 0.85), (0.003, 0.003), 0.7)
    plate.texture(Image.composite(near, far, depth), amount, mask)
    patches = on_ground(plate, plate.noise(9, 14, 5, 0.6), horizon, 2.2)
    plate.texture(patches, amount * 0.36, mask)


def below(plate: Plate, line: float, soft: float = 0.0) -> Image.Image:
    return plate.polygon([(-0.1, line), (plate.wide + 0.1, line), (plate.wide + 0.1, 2), (-0.1, 2)], soft)


def glints(plate: Plate, horizon: float, amount: float, cells: tuple[int, int] = (5, 60)) -> None:
    """Wind on water: streaks that lie flat and grow towards us."""
    wind = on_ground(plate, plate.noise(cells[0], cells[1], 5, 0.65), horizon)
    plate.texture(wind, amount, below(plate, horizon))


def laid_rope(
    plate: Plate, paths: Sequence[Sequence[Point]], width: float, tone: int, light: Point = (-0.7, -0.7)
) -> None:
    """Laid rope: a dark core with the strands' slanting, lit backs over it."""
    body = Image.new("L", (plate.size[0] * 2, plate.size[1] * 2), 0)
    cover = body.copy()
    unit = plate.pixels(2.0)
    ink, edge = ImageDraw.Draw(body), ImageDraw.Draw(cover)
    thick = max(1, round(width * unit))
    for path in paths:
        points = [(x * unit, y * unit) for x, y in path]
        edge.line(points, fill=255, width=round(thick * 1.3), joint="curve")
        # A darker rim parts each rope from the one it lies on.
        ink.line(points, fill=round(tone * 0.16), width=round(thick * 1.3), joint="curve")
        ink.line(points, fill=round(tone * 0.3), width=thick, joint="curve")
        carried = 0.0
        for (x0, y0), (x1, y1) in zip(points, points[1:], strict=False):
            length = math.hypot(x1 - x0, y1 - y0) or 1.0
            along_x, along_y = (x1 - x0) / length, (y1 - y0) / length
            pitch = max(2.0, thick * 0.52)
            while carried < length:
                middle_x, middle_y = x0 + along_x * carried, y0 + along_y * carried
                facing = 0.5 + 0.5 * abs(along_y * light[0] - along_x * light[1])
                half = thick * 0.46
                start = (
                    middle_x - along_y * half - along_x * half * 0.8,
                    middle_y + along_x * half - along_y * half * 0.8,
                )
                end = (
                    middle_x + along_y * half + along_x * half * 0.8,
                    middle_y - along_x * half + along_y * half * 0.8,
                )
                back = (middle_x, middle_y)
                lit, dim = (start, end) if (-along_y * light[0] + along_x * light[1]) > 0 else (end, start)
                ink.line([back, dim], fill=round(tone * 0.55 * facing), width=max(1, round(thick * 0.3)))
                ink.line([lit, back], fill=round(tone * facing), width=max(1, round(thick * 0.34)))
                carried += pitch
            carried -= length
    plate.lay(body.reduce(2), cover.reduce(2))


def wood_grain(plate: Plate, mask: Image.Image, amount: float, upright: bool = False) -> None:
    """Old wood: long fibres with slower bands of weathering under them."""
    cells = (80, 5) if upright else (5, 80)
    fibre = plate.relief(plate.noise(cells[0], cells[1], 3, 0.7), (0.003, 0.001) if upright else (0.001, 0.003), 0.8)
    plate.texture(fibre, amount, mask)
    plate.texture(plate.noise(cells[0] // 4 + 1, cells[1] // 4 + 1, 4, 0.6), amount * 0.3, mask)


def plaster(plate: Plate, tone: int, amount: float = 0.16) -> None:
    plate.lay(tone)
    plate.texture(plate.noise(4, 4, 6, 0.5), amount)
    plate.texture(plate.relief(plate.noise(30, 30, 4, 0.55), strength=0.9), 0.35)


def curve(start: Point, end: Point, sag: float, steps: int = 24) -> list[Point]:
    return [(start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * t + sag * 4 * t * (1 - t))
            for t in (step / steps for step in range(steps + 1))]  # fmt: skip


def swung(start: Point, end: Point) -> list[Point]:
    """A cord that leaves its hook slantwise and then hangs straight."""
    return [
        (start[0] + (end[0] - start[0]) * (1 - (1 - t) ** 3), start[1] + (end[1] - start[1]) * t)
        for t in (n / 16 for n in range(17))
    ]


def rounded(points: Sequence[Point], times: int = 2) -> list[Point]:
    """The same open line with its corners cut, and cut again."""
    line = list(points)
    for _ in range(times):
        cut = [line[0]]
        for (x0, y0), (x1, y1) in zip(line, line[1:], strict=False):
            cut += [(x0 * 0.75 + x1 * 0.25, y0 * 0.75 + y1 * 0.25), (x0 * 0.25 + x1 * 0.75, y0 * 0.25 + y1 * 0.75)]
        line = [*cut, line[-1]]
    return line


def turned(x: float, profile: Sequence[Point]) -> list[Point]:
    """The outline of something thrown or blown round: a profile and its mirror image."""
    side = rounded(profile)
    return [(x + reach, y) for reach, y in side] + [(x - reach, y) for reach, y in reversed(side)]


def blades(plate: Plate, left: float, right: float, foot: float, tone: int) -> None:
    """Grass standing in front of whatever meets the ground here."""
    blades = []
    for blade in range(91):
        x = left + (right - left) * blade / 90
        bend, reach = plate.random.uniform(-0.02, 0.02), plate.random.uniform(0.0, 0.055)
        blades.append([(x, foot + 0.03), (x + bend, foot - reach)])
    plate.lay(tone, plate.lines(blades, 0.003, 0.001), 0.85)
