"""Ropewalk scenes: the long hall and its tools."""

from __future__ import annotations

import math

from PIL import Image, ImageDraw

from catalog.demo_pictures.parts import below, curve, laid_rope, plaster, swung, wood_grain
from catalog.demo_pictures.plate import Brush, Plate, join, meet


def hall(plate: Plate) -> None:
    end_left, end_right, end_top, end_low = 0.56, 0.68, 0.4, 0.515
    far = [(end_left, end_top), (end_right, end_top), (end_right, end_low), (end_left, end_low)]
    plate.lay(60)
    windows, patches = Image.new("L", (1600, 400), 0), Image.new("L", (400, 1600), 0)
    panes, spill = ImageDraw.Draw(windows), ImageDraw.Draw(patches)
    for bay in range(12):
        x = 40 + bay * 132
        panes.rectangle((x, 110, x + 66, 250), fill=255)
        panes.line((x + 33, 110, x + 33, 250), fill=40, width=7)
        panes.line((x, 180, x + 66, 180), fill=40, width=6)
        spill.polygon([(70, x + 20), (230, x + 74), (230, x + 140), (70, x + 84)], fill=255)
    bricks, boarding = plate.noise(200, 40, 3, 0.7), plate.noise(60, 200, 3, 0.7)
    left_wall = [(-0.25, -0.36), far[0], far[3], (-0.25, 1.28)]
    right_wall = [far[1], (1.6, -0.36), (1.6, 1.28), far[2]]
    floor = [far[3], far[2], (1.6, 1.28), (-0.25, 1.28)]
    ceiling = [(-0.25, -0.36), (1.6, -0.36), far[1], far[0]]
    depth = plate.glow((0.62, 0.46), 0.85, 0.75)
    for quad, tone, skin in (
        (left_wall, 52, bricks),
        (right_wall, 108, bricks),
        (floor, 92, boarding),
        (ceiling, 40, boarding),
    ):
        face = plate.polygon(quad, 0.001)
        plate.lay(tone, face)
        plate.texture(plate.relief(plate.project(skin, quad), (0.003, 0.003), 0.7), 0.4, face)
    boards = Image.new("L", (1200, 400), 0)
    beams = Image.new("L", (400, 1600), 0)
    seams, bars = ImageDraw.Draw(boards), ImageDraw.Draw(beams)
    for board in range(15):
        seams.line((board * 84, 0, board * 84, 400), fill=255, width=7)
    for beam in range(13):
        bars.rectangle((0, beam * 128, 400, beam * 128 + 34), fill=255)
    plate.shade(plate.project(boards, floor), 0.4)
    plate.shade(meet(plate.project(beams, [far[0], far[1], ceiling[1], ceiling[0]]), plate.polygon(ceiling)), 0.6)
    glass = plate.project(windows, left_wall)
    plate.lay(248, glass)
    plate.shine(plate.blurred(plate.project(patches, [far[3], far[2], (1.6, 1.28), (-0.25, 1.28)]), 0.004), 0.55)
    plate.lay(226, plate.polygon([(0.595, 0.43), (0.645, 0.43), (0.645, end_low), (0.595, end_low)], 0.002))
    strands = [(0.5 + row * 0.115, 0.6 + row * 0.008) for row in range(6)]
    for step in range(7):
        nearness = 0.72 * 0.6**step
        y, middle, reach = 0.495 + nearness * 0.555, 0.62 + nearness * 0.17, nearness * 0.33
        thick, drop = nearness * 0.03 + 0.001, nearness * 0.24
        legs = [[(middle - reach, y), (middle + reach, y)],
                [(middle - reach * 0.85, y), (middle - reach * 0.95, y + drop)],
                [(middle + reach * 0.85, y), (middle + reach * 0.95, y + drop)]]  # fmt: skip
        trestle = plate.lines(legs, thick, 0.001)
        plate.lay(round(30 + 90 * (1 - nearness) ** 3), trestle)
    for foot, head in strands:
        rope = plate.polygon(
            [(foot - 0.011, 1.05), (foot + 0.011, 1.05), (head + 0.0008, 0.495), (head - 0.0008, 0.495)]
        )
        plate.shade(plate.shifted(rope, 0.008, 0), 0.5)
        plate.lay(196, rope)
    plate.shine(plate.blurred(glass, 0.045), 0.5)
    plate.lay(190, depth, 0.28)


def coils(plate: Plate) -> None:
    plate.lay(plate.ramp([(0, 92), (0.5, 74), (1.0, 46)], across=True))
    wood_grain(plate, below(plate, -0.1), 0.6, upright=True)
    for x in (0.2, 0.41, 0.63, 0.84):
        plate.shade(plate.lines([[(x, -1), (x + 0.004, 2)]], 0.008, 0.001), 0.75)
    plate.shine(plate.glow((0.1, 0.2), 0.9, 0.9), 0.22)
    for x, y, across, down, tone in ((0.3, 0.16, 0.17, 0.3, 214), (0.71, 0.24, 0.16, 0.36, 190)):
        loops = []
        for turn in range(13):
            wide = across * (0.72 + 0.34 * turn / 12) + plate.random.uniform(-0.008, 0.008)
            long = down * (0.8 + 0.24 * turn / 12) + plate.random.uniform(-0.02, 0.02)
            lean = plate.random.uniform(-0.012, 0.012)
            loop = []
            for step in range(49):
                angle = step / 48 * math.tau - math.pi / 2
                narrow = 0.58 + 0.42 * (0.5 + 0.5 * math.sin(angle)) ** 0.8
                loop.append(
                    (x + lean + wide * math.cos(angle) * narrow, y + long * (1 + math.sin(angle)) - 0.012 * turn / 12)
                )
            loops.append(loop)
        outline = plate.lines(loops, 0.03)
        shadow = plate.shifted(outline, 0.03, 0.03)
        plate.shade(plate.blurred(shadow, 0.014), 0.62)
        laid_rope(plate, loops, 0.023, tone)
        levels = [y + 0.13 + tie * 0.021 for tie in range(3)]
        ties = [[(x - across * 0.66, level), (x, level + 0.012), (x + across * 0.68, level)] for level in levels]
        plate.shade(plate.lines(ties, 0.03, 0.008), 0.5)
        laid_rope(plate, ties, 0.022, tone)
        peg = plate.oval((x, y + 0.012), 0.026, 0.026, 0.001)
        plate.lay(plate.ramp([(x - 0.026, 150), (x + 0.03, 34)], across=True), peg)
    plate.shade(plate.ramp([(0.85, 0), (1.25, 255)]), 0.5)


def hooks(plate: Plate) -> None:
    plaster(plate, 172)
    plate.lay(plate.ramp([(0, 232), (1.25, 90)], across=True), None, 0.5)
    beam = plate.polygon([(-0.1, 0.13), (1.4, 0.16), (1.4, 0.31), (-0.1, 0.29)], 0.001)
    plate.cast(beam, 0, 0.06, 0.02, 0.5)
    plate.lay(plate.ramp([(0.13, 128), (0.22, 84), (0.31, 44)]), beam)
    wood_grain(plate, beam, 0.5)
    for index, x in enumerate((0.17, 0.41, 0.65, 0.89, 1.12)):
        y = 0.22 + x * 0.02
        hook = [(x, y), (x, y + 0.1)]
        hook += [(x + 0.045 - 0.045 * math.cos(angle), y + 0.13 + 0.052 * math.sin(angle))
                 for angle in (step / 10 * math.pi * 1.15 for step in range(11))]  # fmt: skip
        shape = join(plate.lines([hook], 0.017, 0.001), plate.oval((x, y), 0.024, 0.024, 0.001))
        sag = (0.03, 0.08, 0.02, 0.055, 0.03)[index]
        length = (0.72, 0.5, 0.86, 0.62, 0.8)[index]
        splay = 0.03 + sag * 0.3
        strands = [
            swung((x + 0.045 + side * 0.008, y + 0.175), (x + 0.05 + side * splay, y + length + side * 0.015))
            for side in (-1, 0, 1)
        ]
        cords = plate.lines(strands, 0.016)
        both = join(shape, cords)
        plate.cast(both, 0.055, 0.04, 0.008, 0.42)
        laid_rope(plate, strands, 0.016, 205)
        plate.lay(34, shape)
        lit = plate.rim(shape, 0.006, 0.003)
        plate.shine(plate.blurred(lit, 0.0015), 0.5)
    plate.shade(plate.ramp([(0.6, 0), (1, 255)]), 0.4)


def wheel(plate: Plate) -> None:
    plaster(plate, 158, 0.2)
    plate.shine(plate.glow((0.2, 0.3), 0.8, 0.8), 0.4)
    floor = below(plate, 1.06, 0.002)
    plate.lay(plate.ramp([(1.06, 96), (1.25, 60)]), floor)
    wood_grain(plate, floor, 0.5)
    middle, radius = (0.5, 0.56), 0.39

    def ring(brush: Brush) -> None:
        brush.oval(middle, radius, radius)
        brush.oval(middle, radius - 0.042, radius - 0.042, 0)
        for spoke in range(12):
            angle = spoke / 12 * math.tau + 0.13
            brush.line(
                [
                    middle,
                    (middle[0] + (radius - 0.02) * math.cos(angle), middle[1] + (radius - 0.02) * math.sin(angle)),
                ],
                0.019,
            )
        brush.oval(middle, 0.06, 0.06)

    def stand(brush: Brush) -> None:
        brush.polygon([(0.47, 0.56), (0.53, 0.56), (0.74, 1.13), (0.68, 1.13)])
        brush.polygon([(0.47, 0.56), (0.53, 0.56), (0.32, 1.13), (0.26, 1.13)])
        brush.polygon([(0.3, 1.02), (0.7, 1.02), (0.7, 1.06), (0.3, 1.06)])

    wheel, legs = plate.mask(ring, 0.001), plate.mask(stand, 0.001)
    both = join(wheel, legs)
    plate.cast(both, 0.08, 0.05, 0.014, 0.45)
    wood = plate.relief(plate.noise(50, 60, 4, 0.7), strength=0.8)
    for shape, tone in ((legs, 62), (wheel, 88)):
        plate.cast(shape, 0.012, 0.01, 0.006, 0.5)
        plate.lay(tone, shape)
        plate.texture(wood, 0.2, shape)
        rim = plate.rim(shape, 0.006, 0.006)
        plate.shine(plate.blurred(rim, 0.002), 0.55)
    plate.lay(38, plate.oval(middle, 0.026, 0.026, 0.001))
    plate.shine(plate.glow((0.492, 0.552), 0.02, 0.02), 0.6)
    laid_rope(
        plate,
        [curve((0.5, 0.56 - radius), (1.1, 0.3), 0.02), curve((0.5, 0.56 + radius), (1.1, 0.72), 0.03)],
        0.013,
        200,
    )
    plate.shade(plate.ramp([(0.6, 0), (1.0, 255)], across=True), 0.35)
