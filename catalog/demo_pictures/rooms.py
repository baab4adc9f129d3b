"""Room scenes: the quiet rooms beside the ropewalk, and the light in them."""

from __future__ import annotations

import math

from PIL import ImageOps

from catalog.demo_pictures.parts import below, curve, plaster, ridge_line, rounded, turned, wood_grain
from catalog.demo_pictures.plate import Brush, Plate, above, meet


def window(plate: Plate) -> None:
    plaster(plate, 96, 0.2)
    plate.lay(plate.ramp([(0.0, 60), (0.35, 120), (1.0, 40)], across=True), None, 0.6)
    opening = plate.polygon([(0.09, 0.1), (0.46, 0.14), (0.46, 0.66), (0.09, 0.7)], 0.001)
    reveal = plate.polygon([(0.46, 0.14), (0.54, 0.11), (0.54, 0.69), (0.46, 0.66)], 0.001)
    plate.lay(plate.ramp([(0.46, 222), (0.54, 168)], across=True), reveal)
    plate.lay(
        plate.ramp([(0.64, 190), (0.7, 226)]),
        plate.polygon([(0.09, 0.7), (0.46, 0.66), (0.54, 0.69), (0.1, 0.75)], 0.001),
    )
    outside = plate.blurred(plate.noise(4, 5, 4, 0.5), 0.02)
    plate.lay(plate.ramp([(0.1, 250), (0.5, 238), (0.7, 196)]), opening)
    plate.texture(outside, 0.14, opening)

    def bars(brush: Brush) -> None:
        brush.line([(0.275, 0.12), (0.275, 0.68)], 0.016)
        for top_left, top_right in ((0.295, 0.312), (0.495, 0.488)):
            brush.line([(0.09, top_left), (0.46, top_right)], 0.012)
        brush.line([(0.09, 0.1), (0.46, 0.14), (0.46, 0.66), (0.09, 0.7), (0.09, 0.1)], 0.016)

    plate.lay(70, plate.mask(bars, 0.001))
    table = plate.polygon([(0.2, 0.885), (1.05, 0.83), (1.05, 1.1), (-0.05, 1.16), (-0.05, 0.99)], 0.001)
    plate.shade(below(plate, 0.8, 0.1), 0.55)
    plate.lay(plate.ramp([(0.1, 150), (0.5, 112), (1.0, 64)], across=True), table)
    plate.lay(34, plate.polygon([(-0.1, 1.16), (1.05, 1.1), (1.05, 1.15), (-0.1, 1.215)], 0.002))
    wood_grain(plate, table, 0.4)
    panes = [
        [(0.3, 0.935), (0.5, 0.918), (0.56, 1.0), (0.34, 1.025)],
        [(0.52, 0.916), (0.68, 0.9), (0.78, 0.975), (0.585, 0.998)],
    ]
    patch = plate.polygons(panes, 0.006)
    plate.shine(meet(patch, table), 0.62)
    jug = turned(0.74, [(0.052, 0.66), (0.036, 0.72), (0.085, 0.82), (0.1, 0.89), (0.07, 0.955), (0.0, 0.965)])
    bowl = turned(0.45, [(0.0, 0.89), (0.115, 0.89), (0.1, 0.93), (0.06, 0.968), (0.0, 0.972)])
    for outline, x, reach in ((jug, 0.74, 0.1), (bowl, 0.45, 0.115)):
        shape = plate.polygon(outline, 0.0012)
        plate.cast(shape, 0.09, 0.025, 0.02, 0.55)
        plate.lay(
            plate.ramp(
                [(x - reach, 190), (x - reach * 0.55, 236), (x, 128), (x + reach * 0.7, 46), (x + reach, 66)],
                across=True,
            ),
            shape,
        )
    plate.lay(84, plate.oval((0.74, 0.662), 0.046, 0.008, 0.001))
    plate.lay(62, plate.oval((0.45, 0.892), 0.108, 0.016, 0.001))
    plate.shine(plate.oval((0.47, 0.896), 0.07, 0.009, 0.004), 0.4)
    handle = plate.lines([rounded([(0.78, 0.7), (0.85, 0.7), (0.875, 0.77), (0.825, 0.84)], 3)], 0.016, 0.001)
    plate.lay(60, handle)
    shaft = plate.polygon([(0.3, 0.12), (0.46, 0.14), (0.95, 0.9), (0.4, 1.0)], 0.06)
    plate.shine(shaft, 0.13)
    plate.shine(plate.blurred(opening, 0.05), 0.35)


def bottles(plate: Plate) -> None:
    plate.lay(plate.ramp([(0, 206), (0.5, 232), (0.8, 176)]))
    plate.texture(plate.blurred(plate.noise(4, 4, 4, 0.5), 0.02), 0.25)
    plate.lay(150, plate.polygon([*ridge_line(plate, 0.58, 0.5, 0.05), (2, 2), (-1, 2)], 0.03), 0.6)

    def bars(brush: Brush) -> None:
        for x in (0.2, 0.63, 1.06):
            brush.line([(x, -1), (x, 0.8)], 0.034)
        brush.line([(-1, 0.2), (2, 0.2)], 0.026)

    frame = plate.mask(bars, 0.004)
    plate.lay(74, frame)
    plate.shine(plate.rim(frame, -0.008, 0), 0.25)
    sill = below(plate, 0.79, 0.001)
    plate.lay(plate.ramp([(0.79, 206), (0.85, 150), (0.93, 96), (1, 50)]), sill)
    wood_grain(plate, sill, 0.35)
    kinds = [
        (0.17, 0.85, [(0.0, 0.33), (0.028, 0.33), (0.03, 0.352), (0.022, 0.358),
          (0.022, 0.47), (0.075, 0.53), (0.08, 0.84), (0.07, 0.85)], 0.62),
        (0.37, 0.868, [(0.0, 0.6), (0.04, 0.6), (0.042, 0.615), (0.03, 0.625),
          (0.03, 0.66), (0.068, 0.7), (0.068, 0.86), (0.06, 0.868)], 0.78),
        (0.575, 0.86, [(0.0, 0.41), (0.02, 0.41), (0.022, 0.43), (0.015, 0.44),
          (0.015, 0.52), (0.06, 0.6), (0.098, 0.72), (0.1, 0.8), (0.08, 0.855)], 0.7),
        (0.8, 0.852, [(0.0, 0.28), (0.026, 0.28), (0.028, 0.3), (0.02, 0.31),
          (0.021, 0.42), (0.055, 0.5), (0.058, 0.845), (0.05, 0.852)], 0.55),
        (1.0, 0.872, [(0.0, 0.56), (0.05, 0.56), (0.053, 0.58), (0.042, 0.59),
          (0.042, 0.61), (0.088, 0.65), (0.09, 0.865), (0.08, 0.872)], 0.73),
    ]  # fmt: skip
    for x, base, profile, level in kinds:
        outline = turned(x, [*profile, (0.0, base)])
        reach = max(part for part, _ in profile)
        glass = plate.polygon(outline, 0.001)
        foot = [(x - reach, base - 0.01), (x + reach, base - 0.01), (x + reach * 1.5, 1.02), (x - reach * 1.3, 1.02)]
        plate.shade(plate.polygon(foot, 0.013), 0.38)
        plate.shine(plate.glow((x, base + 0.06), reach * 0.6, 0.06), 0.3)
        core = plate.blurred(glass, 0.016)
        walls = meet(glass, ImageOps.invert(core.point(above(128, 2))))
        plate.shade(glass, 0.2)
        plate.shade(meet(glass, below(plate, level, 0.001)), 0.42)
        plate.shade(walls, 0.85)
        plate.shade(meet(glass, plate.oval((x, level), reach * 0.9, 0.006, 0.002)), 0.4)
        left, low = x - reach * 0.62, base - 0.06
        streak = [(left, level - 0.05), (left + reach * 0.17, level - 0.05), (left + reach * 0.17, low), (left, low)]
        spark = plate.polygon(streak, 0.003)
        plate.shine(meet(spark, glass), 0.6)
        lip = profile[1][1]
        cork = plate.polygon(
            [(x - 0.018, lip - 0.03), (x + 0.018, lip - 0.03), (x + 0.015, lip), (x - 0.015, lip)], 0.001
        )
        plate.lay(66, cork)
    plate.shine(plate.blurred(plate.image.point(above(200, 4)), 0.05), 0.18)


def cloth(plate: Plate) -> None:
    plaster(plate, 70, 0.2)
    plate.lay(plate.ramp([(0, 110), (1.0, 34)], across=True), None, 0.45)
    top = [*curve((0.14, 0.2), (0.5, 0.18), 0.05), *curve((0.5, 0.18), (0.86, 0.21), 0.055)]
    low = [
        (0.88 - step * 0.0175, 1.06 + 0.006 * math.sin(step * 0.9) + 0.014 * math.sin(step * 0.22))
        for step in range(45)
    ]
    cloth = plate.polygon([*top, *low], 0.001)
    line = plate.lines([curve((-0.1, 0.16), (1.1, 0.17), 0.035)], 0.008, 0.001)
    plate.cast(cloth, 0.06, 0.04, 0.025, 0.6)
    plate.lay(plate.ramp([(0.1, 218), (0.9, 158)], across=True), cloth)
    drawn = plate.blurred(plate.noise(11, 2, 3, 0.5), 0.006)
    fans = plate.project(drawn, [(0.12, -0.1), (0.88, -0.1), (1.15, 1.25), (-0.15, 1.25)])
    plate.texture(plate.relief(fans, (0.022, 0.002), 1.5), 1.0, cloth)
    plate.texture(fans, 0.3, cloth)
    weave = plate.relief(plate.noise(200, 250, 2, 0.9), (0.002, 0.002), 0.4)
    plate.texture(weave, 0.22, cloth)
    plate.lay(168, line)
    for x in (0.145, 0.5, 0.855):
        peg = plate.polygon([(x - 0.011, 0.14), (x + 0.011, 0.14), (x + 0.013, 0.235), (x - 0.013, 0.235)], 0.001)
        plate.lay(plate.ramp([(x - 0.012, 150), (x + 0.014, 60)], across=True), peg)
    plate.shade(plate.ramp([(0.7, 0), (1.25, 255)]), 0.3)


def stair(plate: Plate) -> None:
    plaster(plate, 74, 0.2)
    plate.lay(plate.ramp([(0.0, 40), (0.3, 88), (0.72, 132), (1.0, 96)], across=True), None, 0.6)
    plate.shade(plate.ramp([(0.2, 0), (1.25, 255)]), 0.45)
    door = plate.polygon([(0.4, 0.14), (0.6, 0.14), (0.6, 0.46), (0.4, 0.46)], 0.0015)
    plate.lay(plate.ramp([(0.14, 252), (0.46, 232)]), door)
    steps = 15
    spots = [
        (0.46 + 0.8 * (nearness**1.35), 0.105 + 0.3 * nearness**1.25)
        for nearness in (step / steps for step in range(steps + 1))
    ]
    for index, ((top, reach), (base, wider)) in enumerate(zip(spots, spots[1:], strict=False)):
        fade = index / steps
        rise = (base - top) * 0.6
        tread = plate.polygon(
            [
                (0.5 - reach, top),
                (0.5 + reach, top),
                (0.5 + wider, top + rise * 0.66),
                (0.5 - wider, top + rise * 0.66),
            ],
            0.0006,
        )
        riser = plate.polygon(
            [
                (0.5 - wider, top + rise * 0.66),
                (0.5 + wider, top + rise * 0.66),
                (0.5 + wider, base),
                (0.5 - wider, base),
            ],
            0.0006,
        )
        plate.lay(round(226 - 90 * fade), tread)
        plate.lay(round(82 - 48 * fade), riser)
    flight = plate.polygon([(0.395, 0.46), (0.605, 0.46), (0.905, 1.26), (0.095, 1.26)])
    wood_grain(plate, flight, 0.4)
    plate.shine(meet(plate.glow((0.5, 0.62), 0.26, 0.6), flight), 0.35)
    rail = plate.polygon([(0.615, 0.3), (0.625, 0.3), (1.06, 0.66), (1.06, 0.71)], 0.001)
    plate.cast(rail, 0.02, 0.05, 0.01, 0.5)
    plate.lay(46, rail)
    for post in range(5):
        part = (post / 4) ** 1.4
        x, top, base = 0.622 + 0.32 * part, 0.306 + 0.27 * part, 0.47 + 0.66 * part
        plate.lay(44, plate.lines([[(x, top), (x, base)]], 0.006 + 0.014 * part, 0.001))
    plate.shine(plate.blurred(door, 0.06), 0.5)
    plate.shine(plate.glow((0.5, 0.3), 0.5, 0.5), 0.2)
