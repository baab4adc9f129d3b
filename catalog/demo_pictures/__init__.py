"""Demo pictures: the invented coast, ropewalk and quarry that fill the demo catalog."""

from __future__ import annotations

import random

from PIL import Image, ImageChops, ImageFilter, ImageOps

from catalog.demo_pictures.plate import Brush, Plate
from catalog.demo_pictures.scenes import SCENES

# A scene is drawn at this part of the asked size: lens softness comes free, and only the grain needs every pixel.
WORKING_SCALE = 0.5


def names() -> tuple[str, ...]:
    return tuple(SCENES)


def draw(name: str, size: tuple[int, int] = (1600, 1280)) -> Image.Image:
    """The picture of that name, in grey; `size` is its long and its short side."""
    scene, upright = SCENES[name]
    width, height = (min(size), max(size)) if upright else (max(size), min(size))
    plate = Plate(name, max(1, round(width * WORKING_SCALE)), max(1, round(height * WORKING_SCALE)))
    scene(plate)
    _pour(plate)
    return _grained(plate.image.resize((width, height), Image.Resampling.BICUBIC), plate.random)


def _pour(plate: Plate) -> None:
    """What hand-poured collodion leaves: a lens's glow and fall-off, faint swirls, a ragged rim, a held corner."""
    wide, tall = plate.wide, plate.tall
    plate.image = Image.blend(plate.image, ImageChops.screen(plate.image, plate.blurred(plate.image, 0.025)), 0.12)
    swirls = plate.noise(3, 9, 3, 0.35).rotate(plate.random.uniform(20, 70), Image.Resampling.BILINEAR, fillcolor=128)
    plate.texture(plate.blurred(swirls, 0.006), 0.05)
    field = plate.glow((wide / 2, tall / 2), wide * 0.98, tall * 0.98)
    plate.shade(ImageOps.invert(field), 0.42)
    inset = [plate.random.uniform(0.003, 0.012) for _ in range(64)]
    rim = plate.polygon([*((wide * step / 16, inset[step]) for step in range(16)),
                         *((wide - inset[16 + step], tall * step / 16) for step in range(16)),
                         *((wide - wide * step / 16, tall - inset[32 + step]) for step in range(16)),
                         *((inset[48 + step], tall - tall * step / 16) for step in range(16))], 0.0025)  # fmt: skip
    plate.shade(ImageOps.invert(plate.blurred(rim, 0.012)), 0.3)
    plate.shade(ImageOps.invert(rim), 0.5)
    corner = plate.random.choice([(0.0, 0.0), (wide, 0.0), (0.0, tall), (wide, tall)])
    reach = plate.random.uniform(0.05, 0.085)
    held = plate.mask(lambda brush: brush.oval(corner, reach, reach * 0.8), 0.007, 0.02, 20)
    plate.shade(plate.blurred(held, 0.03), 0.35)
    plate.shade(held, 0.42)
    # The pour runs off at one end and dries in a soft scalloped line there.
    ridge = [(x / 24 * wide, plate.random.uniform(0.02, 0.05)) for x in range(25)]
    if corner[1] == 0.0:
        ridge = [(x, tall - y) for x, y in ridge]
    plate.shade(plate.mask(lambda brush: brush.line(ridge, 0.012), 0.008), 0.12)

    def specks(brush: Brush) -> None:
        for _ in range(14):
            radius = plate.random.uniform(0.0008, 0.0022)
            brush.oval((plate.random.uniform(0, wide), plate.random.uniform(0, tall)), radius, radius)

    plate.shade(plate.mask(specks, 0.0006), 0.4)
    plate.shine(plate.mask(specks, 0.0006), 0.3)


def _grained(picture: Image.Image, chance: random.Random) -> Image.Image:
    """Fine grain at full size; it also hides the steps of an eight-bit gradient."""
    width, height = picture.size
    grain = Image.frombytes("L", picture.size, chance.randbytes(width * height))
    soft = grain.filter(ImageFilter.BoxBlur(0.8)).point([round(128 + (level - 128) * 0.16) for level in range(256)])
    return ImageChops.add(picture, soft, 1.0, -128)
