"""Quarry scenes: stone, trees and weather above the town."""

from __future__ import annotations

import math

from PIL import Image, ImageOps

from catalog.demo_pictures.parts import blades, on_ground, ridge_line, sky, turf
from catalog.demo_pictures.plate import Brush, Plate, Point, above, meet


def terraces(plate: Plate) -> None:
    sky(plate, 206, 232, 0.3, 0.35)
    plate.lay(196, plate.polygon([*ridge_line(plate, 0.16, 0.1, 0.03), (2, 2), (-1, 2)], 0.004, 0.006, 50))
    rock = plate.relief(Image.blend(plate.noise(22, 9, 6, 0.66), plate.noise(9, 8, 6, 0.6), 0.5), (0.005, 0.005), 1.3)
    eye, turns = 0.5, [ImageOps.mirror(rock), rock, ImageOps.flip(rock)]
    for index, level in enumerate((0.2, 0.3, 0.41, 0.53, 0.67)):
        near, corner = index / 4, 0.56 - 0.035 * index
        # Two walls meet in a corner; their ledges run to it from both sides, steeper the further from our eye.
        line = _ledge(plate, (-0.1, eye + (level - eye) * 1.55), (corner, level), 0.005 + 0.003 * near)
        line += _ledge(plate, (corner, level), (1.35, eye + (level - eye) * 1.4), 0.005 + 0.003 * near)
        face = plate.polygon([*line, (2, 2), (-1, 2)], 0.001, 0.0018, 90)
        dim = plate.ramp([(corner - 0.03, 196 - 40 * near), (corner + 0.03, 142 - 72 * near)], across=True)
        plate.lay(dim, face)
        plate.texture(turns[index % 3], 0.3 + 0.6 * near, face)
        joints = [(plate.random.uniform(0, plate.wide), plate.random.uniform(0.06, 0.2)) for _ in range(9)]
        cracks = [
            [(x, level - 0.1), (x + 0.006, level + reach * 0.5), (x + 0.002, level + reach)] for x, reach in joints
        ]
        plate.shade(meet(plate.lines(cracks, 0.003, 0.001), face), 0.26)
        edge = plate.rim(face, 0, 0.007 + 0.014 * near)
        plate.shine(meet(plate.blurred(edge, 0.001), plate.noise(14, 6, 5, 0.6)), 0.5)
        under = meet(plate.shifted(edge, 0, 0.012 + 0.02 * near), ImageOps.invert(edge))
        plate.shade(plate.blurred(under, 0.006), 0.35)
    waterline = 0.845
    water = meet(plate.mirrored(waterline, 0.004, 1.2), plate.ramp([(waterline, 200), (1, 130)]))
    shore = ridge_line(plate, waterline + 0.01, waterline + 0.025, 0.012, 5)
    pool = plate.polygon([*shore, (2, 2), (-1, 2)], 0.002)
    plate.lay(water, pool)
    plate.texture(on_ground(plate, plate.noise(5, 40, 4, 0.6), waterline), 0.14, pool)
    plate.shade(plate.lines([shore], 0.008, 0.004), 0.5)


def _ledge(plate: Plate, start: Point, end: Point, jag: float) -> list[Point]:
    """A quarried edge: straight runs broken by square notches."""
    points, x = [start], start[0]
    while x < end[0] - 0.12:
        x += plate.random.uniform(0.04, 0.14)
        part = (x - start[0]) / (end[0] - start[0])
        level = start[1] + (end[1] - start[1]) * part
        points += [
            (x, level + plate.random.uniform(-jag, jag)),
            (x + 0.006, level + plate.random.uniform(-jag, jag) * 2),
        ]
    return [*points, end]


def _branches(
    plate: Plate, start: Point, angle: float, length: float, width: float, lean: float
) -> list[tuple[list[Point], float]]:
    """A tree's limbs as (path, width): each forks into two or three, bent by the wind."""
    x, y = start
    path = [start]
    for _ in range(4):
        angle += plate.random.uniform(-0.14, 0.14) + lean * 0.05
        x, y = x + math.cos(angle) * length / 4, y - math.sin(angle) * length / 4
        path.append((x, y))
    limbs = [(path, width)]
    if length > 0.018:
        for turn in (-0.42, 0.4, 0.04) if plate.random.random() < 0.45 else (-0.36, 0.38):
            limbs += _branches(plate, (x, y), angle + turn + plate.random.uniform(-0.2, 0.2),
                               length * plate.random.uniform(0.64, 0.82), width * 0.66, lean)  # fmt: skip
    return limbs


def lone_tree(plate: Plate) -> None:
    sky(plate, 172, 238, 0.75, 0.55, (5, 6))
    plate.lay(190, plate.polygon([*ridge_line(plate, 0.66, 0.6, 0.03), (2, 2), (-1, 2)], 0.006), 0.7)
    plate.shine(plate.glow((0.4, 0.6), 0.8, 0.35), 0.35)
    limbs = _branches(plate, (0.73, 0.76), 1.62, 0.15, 0.024, -0.55)

    def wood(brush: Brush) -> None:
        for path, width in limbs:
            brush.line(path, width)

    def crown(brush: Brush) -> None:
        for path, width in limbs:
            if width < 0.005:
                brush.oval(path[-1], 0.017, 0.012)

    leaves = plate.mask(crown, 0.002, 0.009, 90)
    gaps = plate.noise(56, 45, 4, 0.8).point(above(84, 5))
    leaves = meet(leaves, gaps)
    light = plate.relief(plate.blurred(leaves, 0.006), (0.01, 0.01), 0.8)
    plate.lay(46, plate.mask(wood, 0.0008))
    plate.lay(62, leaves, 0.86)
    plate.texture(light, 0.22, leaves)
    hill = [
        (-0.1, 0.86),
        (0.2, 0.835),
        (0.45, 0.785),
        (0.7, 0.752),
        (0.9, 0.762),
        (1.1, 0.8),
        (1.4, 0.84),
        (1.4, 2),
        (-0.1, 2),
    ]
    ridge = plate.polygon(hill, 0.001, 0.007, 90)
    plate.lay(plate.ramp([(0.75, 74), (1, 30)]), ridge)
    turf(plate, 0.72, 0.5, ridge)
    plate.shine(meet(ridge, plate.glow((0.35, 0.83), 0.5, 0.1)), 0.18)


def hills(plate: Plate) -> None:
    sky(plate, 212, 236, 0.5, 0.2)
    layers = 6
    for index in range(layers):
        near = index / (layers - 1)
        level = 0.3 + 0.115 * index
        crest = ridge_line(
            plate,
            level + plate.random.uniform(-0.07, 0.07),
            level + plate.random.uniform(-0.07, 0.07),
            0.09 - 0.045 * near,
        )
        hill = plate.polygon([*crest, (2, 2), (-1, 2)], 0.004 - 0.002 * near, 0.001 + 0.006 * near, 70)
        dark = 200 - 164 * near**0.85
        plate.lay(plate.ramp([(level - 0.08, dark), (level + 0.17, min(236, dark + 64))]), hill)
        if near > 0.3:
            woods = plate.relief(plate.noise(80, 90, 4, 0.7), (0.004, 0.005), 0.8)
            plate.texture(woods, 0.26 * near, hill)
    mist = plate.blurred(plate.noise(2, 7, 4, 0.4), 0.02)
    mist = mist.point(above(120, 3))
    plate.lay(232, meet(mist, plate.ramp([(0.3, 0), (0.55, 200), (0.72, 150), (0.9, 0)])), 0.6)


def _block(plate: Plate, x: float, y: float, wide: float, high: float, deep: float, rock: Image.Image) -> None:
    """A sawn block: lit top, half-lit face, dark return, and the drill marks along its edge."""
    lift = deep * 0.42
    top = [(x, y), (x + wide, y), (x + wide + deep, y - lift), (x + deep, y - lift)]
    face = [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)]
    side = [(x + wide, y), (x + wide + deep, y - lift), (x + wide + deep, y + high - lift), (x + wide, y + high)]
    ground = [(x, y + high), (x + wide, y + high), (x + wide + deep, y + high - lift),
              (x + wide + deep * 2, y + high - lift * 0.2), (x + wide + 0.04, y + high + 0.03),
              (x, y + high + 0.012)]  # fmt: skip
    plate.shade(plate.polygon(ground, 0.012), 0.6)
    for quad, tone, amount in ((side, 58, 0.5), (face, 142, 0.7), (top, 218, 0.4)):
        shape = plate.polygon(quad, 0.001, 0.0025, 60)
        plate.lay(plate.ramp([(y - lift, tone + 10), (y + high, tone - 18)]), shape)
        plate.texture(rock, amount, shape)
        rock = ImageOps.mirror(ImageOps.flip(rock))
    holes = [x + 0.02 + step * 0.032 for step in range(int((wide - 0.02) / 0.032))]
    marks = plate.lines([[(at, y + 0.004), (at, y + min(high * 0.4, 0.07))] for at in holes], 0.005, 0.0012)
    plate.shade(marks, 0.3)


def blocks(plate: Plate) -> None:
    plate.lay(plate.ramp([(0, 214), (0.5, 196)]))
    plate.texture(plate.blurred(plate.noise(4, 4, 4), 0.01), 0.12)
    rock = plate.relief(plate.noise(26, 22, 6, 0.6), strength=1.2)
    back = plate.polygon([*ridge_line(plate, 0.16, 0.3, 0.07), (2, 2), (-1, 2)], 0.003, 0.008, 40)
    plate.lay(plate.ramp([(0.1, 176), (0.6, 140)]), back)
    plate.texture(plate.blurred(plate.relief(plate.noise(18, 14, 6, 0.6), (0.006, 0.004), 1.1), 0.003), 0.6, back)
    floor = plate.polygon([*ridge_line(plate, 0.6, 0.57, 0.01), (2, 2), (-1, 2)], 0.006)
    plate.lay(plate.ramp([(0.57, 172), (1, 116)]), floor)
    turf(plate, 0.54, 0.7, floor)
    _block(plate, 0.84, 0.5, 0.24, 0.13, 0.09, rock)
    _block(plate, 0.2, 0.57, 0.5, 0.17, 0.14, rock)
    _block(plate, 0.3, 0.405, 0.34, 0.15, 0.12, rock)
    _block(plate, 0.66, 0.72, 0.3, 0.13, 0.1, rock)
    _block(plate, 0.06, 0.8, 0.19, 0.085, 0.07, rock)


def birches(plate: Plate) -> None:
    plate.lay(plate.ramp([(0, 190), (0.6, 214), (0.95, 168), (1.25, 84)]))
    plate.texture(plate.blurred(plate.noise(5, 6, 4), 0.02), 0.25)
    floor = plate.polygon([*ridge_line(plate, 0.98, 0.95, 0.02), (2, 2), (-1, 2)], 0.02)
    plate.lay(plate.ramp([(0.95, 150), (1.25, 66)]), floor)
    turf(plate, 0.92, 0.8, floor)
    for depth, count in ((0, 11), (1, 7), (2, 4)):
        near = depth / 2
        for index in range(count):
            if depth == 2:
                x = (0.13, 0.36, 0.68, 0.9)[index] + plate.random.uniform(-0.02, 0.02)
            else:
                x = (index + 0.5) / count + plate.random.uniform(-0.05, 0.05)
            reach = (0.008, 0.017, 0.042)[depth] * plate.random.uniform(0.8, 1.2)
            base = (0.975, 1.03, 1.15)[depth] + plate.random.uniform(-0.015, 0.03)
            lean, bow = plate.random.uniform(-0.07, 0.07), plate.random.uniform(-0.02, 0.02)
            spine = [
                (x + lean * t + bow * 4 * t * (1 - t), base - (base + 0.1) * t) for t in (step / 8 for step in range(9))
            ]
            sides = [(at - reach * (1.25 - 0.45 * step / 8), y) for step, (at, y) in enumerate(spine)]
            sides += [(at + reach * (1.25 - 0.45 * step / 8), y) for step, (at, y) in reversed(list(enumerate(spine)))]
            trunk = plate.polygon(sides, 0.004 - 0.0016 * depth)
            if depth < 2:
                plate.lay((158, 112)[depth], trunk, 0.75)
                continue
            middle = spine[4][0]
            bark = plate.ramp(
                [
                    (middle - reach, 204),
                    (middle - reach * 0.4, 244),
                    (middle + reach * 0.4, 170),
                    (middle + reach * 1.1, 84),
                ],
                across=True,
            )
            plate.lay(bark, trunk)
            streaks = plate.noise(22, 110, 4, 0.7).point(above(176, 6))
            plate.shade(meet(streaks, trunk), 0.62)
            plate.shade(meet(trunk, plate.ramp([(base - 0.3, 0), (base, 255)])), 0.55)
            for knot in range(4):
                spot = spine[plate.random.randint(1, 7)]
                eye = plate.oval((spot[0] + reach * plate.random.uniform(-0.5, 0.3), spot[1]), 0.016, 0.008, 0.002)
                plate.shade(meet(eye, trunk), 0.7 - 0.05 * knot)
        if depth == 2:
            blades(plate, 0.0, 0.5, 1.15, 92)
            blades(plate, 0.5, 1.0, 1.16, 80)
        else:
            plate.lay(208, plate.ramp([(0.2, 150), (0.8, 190), (1.0, 40)]), 0.34 - 0.16 * near)


def path(plate: Plate) -> None:
    horizon = 0.42
    sky(plate, 200, 234, horizon, 0.34)
    plate.lay(178, plate.polygon([*ridge_line(plate, 0.36, 0.3, 0.03), (2, 2), (-1, 2)], 0.005))
    brow = [(-0.1, 0.5), (0.2, 0.452), (0.5, 0.418), (0.75, 0.43), (1.1, 0.47), (1.1, 2), (-0.1, 2)]
    hill = plate.polygon(brow, 0.001, 0.006, 60)
    plate.lay(plate.ramp([(horizon, 122), (1.25, 66)]), hill)
    spine = [(0.56, 0.42, 0.008), (0.6, 0.46, 0.013), (0.63, 0.5, 0.018), (0.58, 0.56, 0.027), (0.46, 0.63, 0.04),
             (0.37, 0.71, 0.055), (0.38, 0.81, 0.075), (0.48, 0.93, 0.1), (0.58, 1.07, 0.135),
             (0.62, 1.3, 0.18)]  # fmt: skip
    track = plate.polygon(
        [(x - w, y) for x, y, w in spine] + [(x + w, y) for x, y, w in reversed(spine)], 0.004, 0.016, 50
    )
    turf(plate, horizon - 0.04, 0.8, hill)
    plate.lay(plate.ramp([(horizon, 224), (1.25, 164)]), plate.blurred(track, 0.006), 0.85)
    turf(plate, horizon - 0.04, 0.35, track)
    ruts = [[(x + side * w * 0.42, y) for x, y, w in spine] for side in (-1, 1)]
    plate.shade(plate.lines(ruts, 0.012, 0.008), 0.2)

    def gate(brush: Brush) -> None:
        brush.line([(0.525, 0.43), (0.525, 0.36)], 0.008)
        brush.line([(0.605, 0.45), (0.605, 0.365)], 0.009)
        for step in range(9):
            brush.line([(0.66 + step * 0.05, 0.44 + step * 0.008), (0.66 + step * 0.05, 0.4 + step * 0.006)], 0.004)

    plate.lay(58, plate.mask(gate, 0.001))
    plate.shade(plate.polygon([(-0.1, 0.75), (0.3, 0.8), (0.2, 1.3), (-0.1, 1.3)], 0.12), 0.45)


def storm(plate: Plate) -> None:
    plate.lay(plate.ramp([(0, 60), (0.45, 128), (0.74, 222)]))
    mass = plate.noise(6, 6, 7, 0.56)
    body = plate.project(mass, [(-0.9, -0.25), (2.15, -0.25), (1.35, 0.8), (-0.1, 0.8)])
    plate.texture(body, 0.75, plate.ramp([(0.3, 255), (0.75, 60)]))
    plate.texture(
        plate.relief(plate.blurred(body, 0.006), (-0.014, 0.016), 1.4), 0.8, plate.ramp([(0.4, 255), (0.72, 0)])
    )
    for left, right, strength in ((0.28, 0.2, 0.3), (0.4, 0.42, 0.4), (0.5, 0.6, 0.24)):
        shaft = plate.polygon([(left + 0.06, 0.3), (left + 0.12, 0.3), (right + 0.16, 0.8), (right, 0.8)], 0.02)
        plate.shine(meet(shaft, plate.ramp([(0.3, 0), (0.5, 255), (0.8, 120)])), strength)
    rain = plate.noise(40, 2, 3, 0.4).rotate(-12, Image.Resampling.BILINEAR, fillcolor=128)
    plate.texture(plate.blurred(rain, 0.006), 0.3, plate.glow((1.0, 0.6), 0.5, 0.35))
    far = plate.polygon([*ridge_line(plate, 0.74, 0.68, 0.03), (2, 2), (-1, 2)], 0.004)
    plate.lay(plate.ramp([(0.66, 104), (0.8, 132)]), far)
    hill = plate.polygon(
        [(-0.1, 0.87), (0.3, 0.83), (0.6, 0.75), (0.86, 0.7), (1.0, 0.71), (1.4, 0.8), (1.4, 2), (-0.1, 2)],
        0.001,
        0.006,
        70,
    )
    plate.lay(plate.ramp([(0.7, 50), (1, 26)]), hill)
    turf(plate, 0.66, 0.5, hill)
    plate.shine(meet(hill, meet(plate.glow((0.3, 0.86), 0.42, 0.08), plate.noise(6, 16, 4))), 0.75)


def stone(plate: Plate) -> None:
    plate.lay(plate.ramp([(0, 150), (0.7, 196), (0.95, 150)]))
    plate.texture(plate.blurred(plate.noise(3, 4, 4), 0.03), 0.3)
    plate.lay(128, plate.polygon([*ridge_line(plate, 0.86, 0.8, 0.03), (2, 2), (-1, 2)], 0.02), 0.8)
    field = plate.polygon([*ridge_line(plate, 0.98, 1.0, 0.01), (2, 2), (-1, 2)], 0.006)
    plate.lay(plate.ramp([(0.97, 124), (1.25, 58)]), field)
    turf(plate, 0.94, 0.8, field)
    outline = [(0.33, 1.1), (0.29, 0.86), (0.31, 0.6), (0.35, 0.36), (0.41, 0.22), (0.49, 0.16), (0.56, 0.19),
               (0.63, 0.3), (0.67, 0.46), (0.69, 0.7), (0.71, 0.92), (0.69, 1.1)]  # fmt: skip
    stone = plate.polygon(outline, 0.001, 0.02, 14)
    plate.shade(plate.polygon([(0.4, 1.06), (0.7, 1.06), (1.2, 1.16), (1.2, 1.26), (0.55, 1.16)], 0.03), 0.6)
    plate.lay(plate.ramp([(0.28, 150), (0.4, 206), (0.5, 150), (0.58, 78), (0.7, 40)], across=True), stone)
    bulk = Image.blend(plate.noise(5, 7, 6, 0.52), plate.noise(24, 30, 5, 0.55), 0.3)
    plate.texture(plate.relief(bulk, (0.008, 0.006), 1.7), 1.0, stone)
    lichen = plate.noise(14, 18, 5, 0.55).point(above(176, 7))
    plate.lay(214, meet(lichen, meet(stone, plate.ramp([(0.3, 230), (0.62, 60)], across=True))), 0.5)
    plate.shade(meet(stone, plate.ramp([(0.8, 0), (1.1, 255)])), 0.4)
    blades(plate, 0.25, 0.75, 1.1, 74)
