"""A plate: the sheet a demo scene is drawn on, with its noise, masks, light and perspective."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageOps

Point = tuple[float, float]
Stop = tuple[float, float]

LONG_SIDE = 1.25


class Plate:
    """A sheet being drawn. Lengths are in short sides of the plate: the long side is 1.25, whatever the pixels."""

    def __init__(self, name: str, width: int, height: int) -> None:
        self.random = random.Random(f"tirage demo {name}")
        self.size = (width, height)
        self.wide = LONG_SIDE if width >= height else 1.0
        self.tall = 1.0 if width >= height else LONG_SIDE
        self.image = Image.new("L", self.size, 128)
        self.frays: dict[int, Image.Image] = {}

    def pixels(self, length: float) -> float:
        return length * self.size[0] / self.wide

    # Raw material: noise, ramps and masks, all as large as the plate.

    def noise(self, columns: int, rows: int, octaves: int = 5, roughness: float = 0.45) -> Image.Image:
        """Fractal noise: the first octave has columns x rows cells; each next is twice as fine and fainter."""
        total, weight, sum_of_weights = self._cells(columns, rows), 1.0, 1.0
        for _ in range(octaves - 1):
            columns, rows, weight = columns * 2, rows * 2, weight * roughness
            if columns > self.size[0] * 2 or rows > self.size[1] * 2:
                break
            sum_of_weights += weight
            coarse = total.resize((columns, rows), Image.Resampling.BICUBIC)
            total = Image.blend(coarse, self._cells(columns, rows), weight / sum_of_weights)
        return ImageOps.autocontrast(total.resize(self.size, Image.Resampling.BICUBIC), cutoff=0.5)

    def _cells(self, columns: int, rows: int) -> Image.Image:
        return Image.frombytes("L", (columns, rows), self.random.randbytes(columns * rows))

    def ramp(self, stops: Sequence[Stop], across: bool = False) -> Image.Image:
        """A gradient through (position, tone) stops, downwards or across."""
        length = self.wide if across else self.tall
        tones = bytearray()
        for step in range(512):
            position = (step + 0.5) / 512 * length
            tones.append(max(0, min(255, round(between(stops, position)))))
        strip = Image.frombytes("L", (512, 1) if across else (1, 512), bytes(tones))
        return strip.resize(self.size, Image.Resampling.BILINEAR)

    def mask(
        self, paint: Callable[[Brush], None], soft: float = 0.0, rough: float = 0.0, grain: int = 24
    ) -> Image.Image:
        """White where painted. Drawn twice as large for clean edges; `rough` frays the edge by that length."""
        canvas = Image.new("L", (self.size[0] * 2, self.size[1] * 2), 0)
        paint(Brush(canvas, self.pixels(2.0)))
        shape = canvas.reduce(2)
        if rough:
            # Blur, then cut at a level that wanders with noise: the outline crumbles like earth, leaf or stone.
            shape = self.blurred(shape, rough)
            if grain not in self.frays:
                self.frays[grain] = self.noise(grain, round(grain * self.tall / self.wide), 4, 0.5)
            shape = Image.blend(shape, self.frays[grain], 0.4)
            shape = shape.point(above(110, 9))
        return self.blurred(shape, soft) if soft else shape

    def polygon(self, points: Sequence[Point], soft: float = 0.0, rough: float = 0.0, grain: int = 24) -> Image.Image:
        return self.mask(lambda brush: brush.polygon(points), soft, rough, grain)

    def lines(
        self, paths: Sequence[Sequence[Point]], width: float, soft: float = 0.0, rough: float = 0.0
    ) -> Image.Image:
        def paint(brush: Brush) -> None:
            for path in paths:
                brush.line(path, width)

        return self.mask(paint, soft, rough, 40)

    def polygons(self, shapes: Sequence[Sequence[Point]], soft: float = 0.0) -> Image.Image:
        def paint(brush: Brush) -> None:
            for shape in shapes:
                brush.polygon(shape)

        return self.mask(paint, soft)

    def oval(self, middle: Point, across: float, down: float, soft: float = 0.0) -> Image.Image:
        return self.mask(lambda brush: brush.oval(middle, across, down), soft)

    def blurred(self, image: Image.Image, radius: float) -> Image.Image:
        """Out of focus by that length; wide blurs are done on a smaller copy, where nothing sharp is lost."""
        pixels = self.pixels(radius)
        if pixels < 0.7:
            return image
        if pixels < 1.6:
            return image.filter(ImageFilter.BoxBlur(pixels * 1.3))
        if pixels > 7:
            small = image.reduce(4).filter(ImageFilter.GaussianBlur(pixels / 4))
            return small.resize(image.size, Image.Resampling.BICUBIC)
        return image.filter(ImageFilter.GaussianBlur(pixels))

    def shifted(self, image: Image.Image, right: float, down: float) -> Image.Image:
        return ImageChops.offset(image, round(self.pixels(right)), round(self.pixels(down)))

    def rim(self, mask: Image.Image, right: float, down: float) -> Image.Image:
        """The edge of a mask on the side the offset comes from: what catches the light, or lies in shade."""
        return ImageChops.subtract(mask, self.shifted(mask, right, down))

    def relief(self, height: Image.Image, toward: Point = (0.004, 0.003), strength: float = 2.0) -> Image.Image:
        """Light raking over a height map, from the upper left unless `toward` says otherwise; 128 is neutral."""
        step = [round(self.pixels(part)) or (1 if part > 0 else -1 if part < 0 else 0) for part in toward]
        return ImageChops.subtract(height, ImageChops.offset(height, -step[0], -step[1]), 1.0 / strength, 128)

    # Laying tone on the plate.

    def lay(self, tone: int | Image.Image, mask: Image.Image | None = None, strength: float = 1.0) -> None:
        layer = Image.new("L", self.size, tone) if isinstance(tone, int) else tone
        mask = mask or Image.new("L", self.size, 255)
        self.image = Image.composite(layer, self.image, scaled(mask, strength) if strength < 1 else mask)

    def texture(self, pattern: Image.Image, amount: float, mask: Image.Image | None = None) -> None:
        """Add a pattern whose middle grey is neutral."""
        quiet = pattern.point([max(0, min(255, round(128 + (level - 128) * amount))) for level in range(256)])
        textured = ImageChops.add(self.image, quiet, 1.0, -128)
        self.image = Image.composite(textured, self.image, mask) if mask else textured

    def shade(self, mask: Image.Image, amount: float) -> None:
        """Darken by a part of the tone, as a shadow does."""
        self.image = ImageChops.multiply(self.image, ImageOps.invert(scaled(mask, amount)))

    def cast(self, mask: Image.Image, right: float, down: float, soft: float, amount: float) -> None:
        """The shadow a shape throws behind itself."""
        self.shade(self.blurred(self.shifted(mask, right, down), soft), amount)

    def shine(self, mask: Image.Image, amount: float) -> None:
        self.image = ImageChops.screen(self.image, scaled(mask, amount))

    def glow(self, middle: Point, across: float, down: float) -> Image.Image:
        """A mask that falls off smoothly from its middle."""
        levels = [round(255 * (0.5 + 0.5 * math.cos(math.pi * level / 255)) ** 1.4) for level in range(256)]
        spot = Image.radial_gradient("L").point(levels)
        box = [round(self.pixels(part)) for part in (middle[0] - across, middle[1] - down, across * 2, down * 2)]
        mask = Image.new("L", self.size, 0)
        mask.paste(spot.resize((max(1, box[2]), max(1, box[3])), Image.Resampling.BILINEAR), (box[0], box[1]))
        return mask

    def project(self, flat: Image.Image, corners: Sequence[Point]) -> Image.Image:
        """A flat picture seen in perspective: its corners (from the upper left, clockwise) land on `corners`."""
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = [(self.pixels(x), self.pixels(y)) for x, y in corners]
        over = (x1 - x2) * (y3 - y2) - (x3 - x2) * (y1 - y2)
        gap_x, gap_y = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
        g = (gap_x * (y3 - y2) - (x3 - x2) * gap_y) / over
        h = ((x1 - x2) * gap_y - gap_x * (y1 - y2)) / over
        a, b, c = x1 - x0 + g * x1, x3 - x0 + h * x3, x0
        d, e, f = y1 - y0 + g * y1, y3 - y0 + h * y3, y0
        # Pillow asks where each drawn pixel comes from: the inverse of the matrix that carries the square there.
        last = a * e - b * d
        width, height = flat.size
        rows = [
            [(e - f * h) * width, (c * h - b) * width, (b * f - c * e) * width],
            [(f * g - d) * height, (a - c * g) * height, (c * d - a * f) * height],
            [d * h - e * g, b * g - a * h],
        ]
        numbers = [number / last for row in rows for number in row]
        return flat.transform(self.size, Image.Transform.PERSPECTIVE, numbers, Image.Resampling.BILINEAR)

    def mirrored(self, line: float, ripple: float = 0.004, squash: float = 1.0, slope: float = 0.0) -> Image.Image:
        """What stands above a waterline, upside down below it and broken by ripples that widen towards us."""
        highest = line + min(0.0, slope * self.wide)
        squash = min(squash, highest / (self.tall - highest))  # no further than there is picture to repeat
        matrix = (1, 0, 0, slope * (1 + squash), -squash, self.pixels(line) * (1 + squash))
        water = self.image.transform(self.size, Image.Transform.AFFINE, matrix, Image.Resampling.BILINEAR)
        start = max(0, round(self.pixels(line + min(0.0, slope * self.wide))))
        drift = 0.0
        for row in range(start, self.size[1]):
            drift = drift * 0.82 + self.random.gauss(0, 0.55)
            reach = round(self.pixels(ripple) * drift * (0.3 + (row - start) / max(1, self.size[1] - start)))
            if reach:
                strip = water.crop((0, row, self.size[0], row + 1))
                water.paste(ImageChops.offset(strip, reach, 0), (0, row))
        return water


class Brush:
    """Draws on a canvas in plate lengths."""

    def __init__(self, canvas: Image.Image, unit: float) -> None:
        self.drawing = ImageDraw.Draw(canvas)
        self.unit = unit

    def _at(self, points: Sequence[Point]) -> list[Point]:
        return [(x * self.unit, y * self.unit) for x, y in points]

    def polygon(self, points: Sequence[Point], tone: int = 255) -> None:
        self.drawing.polygon(self._at(points), fill=tone)

    def line(self, points: Sequence[Point], width: float) -> None:
        self.drawing.line(self._at(points), fill=255, width=max(1, round(width * self.unit)), joint="curve")

    def oval(self, middle: Point, across: float, down: float, tone: int = 255) -> None:
        (x, y), across, down = self._at([middle])[0], across * self.unit, down * self.unit
        self.drawing.ellipse((x - across, y - down, x + across, y + down), fill=tone)


def between(stops: Sequence[Stop], position: float) -> float:
    """The tone at a position, eased so that no stop shows as a crease."""
    if position <= stops[0][0]:
        return stops[0][1]
    for (start, first), (end, second) in zip(stops, stops[1:], strict=False):
        if position <= end:
            part = (position - start) / (end - start)
            return first + (second - first) * part * part * (3 - 2 * part)
    return stops[-1][1]


def scaled(mask: Image.Image, amount: float) -> Image.Image:
    return mask.point([min(255, round(level * amount)) for level in range(256)])


def meet(*masks: Image.Image) -> Image.Image:
    """Where all the masks are white; it also dims a layer by a mask."""
    together = masks[0]
    for mask in masks[1:]:
        together = ImageChops.multiply(together, mask)
    return together


def join(first: Image.Image, second: Image.Image) -> Image.Image:
    return ImageChops.lighter(first, second)


def above(floor: float, slope: float) -> list[int]:
    """Levels that cut a mask out of noise: nothing up to the floor, then steeply to white."""
    return [max(0, min(255, round((level - floor) * slope))) for level in range(256)]


def vein(middle: float, reach: float, slope: float) -> list[int]:
    """Levels that cut out a vein: white at the middle level, nothing beyond its reach."""
    return [max(0, min(255, round((reach - abs(level - middle)) * slope))) for level in range(256)]
