"""Salt scenes: pans, sluice and flats on the invented coast."""

from __future__ import annotations

import math

from PIL import Image, ImageDraw

from catalog.demo_pictures.parts import below, glints, on_ground, ridge_line, sky, turf, wood_grain
from catalog.demo_pictures.plate import Brush, Plate, above, join, meet, vein


def pans(plate: Plate) -> None:
    horizon = 0.33
    sky(plate, 196, 232, horizon, 0.3)
    for level, tone in ((0.0, 188), (0.012, 160)):
        crest = ridge_line(plate, horizon - 0.035 + level, horizon - 0.015 + level, 0.012)
        plate.lay(tone, plate.polygon([*crest, (2, horizon), (-1, horizon)], 0.003))
    water = plate.mirrored(horizon, 0.003, 0.8)
    plate.lay(plate.ramp([(horizon, 150), (1, 92)]), below(plate, horizon))
    plan = Image.new("L", (2400, 1600), 0)
    pans = ImageDraw.Draw(plan)
    tops = [0, 150, 330, 520, 720, 930, 1150, 1400, 1700]
    for row, (top, bottom) in enumerate(zip(tops, tops[1:], strict=False)):
        for column in range(16):
            left = column * 168 - 70 + (row % 2) * 26
            jitter = [plate.random.uniform(-5, 5) for _ in range(4)]
            pans.polygon([(left + 12 + jitter[0], top + 12), (left + 156 + jitter[1], top + 12 + jitter[3]),
                          (left + 156 + jitter[2], bottom - 6), (left + 12, bottom - 6 + jitter[3])],
                         fill=plate.random.choice([150, 190, 225, 255]))  # fmt: skip
    wet = on_ground(plate, plan, horizon, 3.6)
    turf(plate, horizon, 0.5, below(plate, horizon))
    plate.lay(meet(water, wet.point(above(-60, 1))),
              wet.point(above(0, 3)))  # fmt: skip
    bank = plate.rim(wet, 0, 0.009)
    plate.shade(bank, 0.7)
    for x, y, reach in ((0.28, 0.445, 0.05), (0.43, 0.43, 0.042), (0.56, 0.418, 0.035), (0.67, 0.408, 0.03)):
        _heap(plate, x, y, reach, reach * 0.7)
    plate.lay(225, plate.glow((0.7, horizon), 1.2, 0.09), 0.4)


def _heap(plate: Plate, x: float, base: float, reach: float, height: float) -> Image.Image:
    """A heap of raked salt, lit from the left."""
    outline = [(x + reach * step, base - height * (1 - abs(step) ** 1.25) + 0.05 * height * plate.random.random())
               for step in (index / 12 - 1 for index in range(25))]  # fmt: skip
    outline = [*outline, (x + reach * 0.6, base + height * 0.12), (x - reach * 0.6, base + height * 0.12)]
    shape = plate.polygon(outline, 0.0012)
    lean = plate.ramp([(x - reach, 250), (x - reach * 0.1, 240), (x + reach * 0.3, 168), (x + reach, 128)], across=True)
    plate.lay(lean, shape)
    crumbs = plate.relief(plate.noise(60, 60, 4, 0.6), strength=1.0)
    plate.texture(crumbs, min(0.6, reach * 4), shape)
    return shape


def heaps(plate: Plate) -> None:
    horizon = 0.44
    sky(plate, 168, 222, horizon, 0.42)
    plate.lay(
        172, plate.polygon([*ridge_line(plate, horizon - 0.02, horizon - 0.04, 0.014), (2, 0.5), (-1, 0.5)], 0.004)
    )
    calm = plate.mirrored(horizon, 0.004, 0.8)
    plate.lay(plate.ramp([(horizon, 150), (0.66, 118)]), below(plate, horizon + 0.004))
    heaps = Image.new("L", plate.size, 0)
    for x, base, reach in ((1.13, 0.475, 0.05), (1.0, 0.49, 0.066), (0.83, 0.515, 0.09), (0.6, 0.55, 0.125)):
        heaps = join(heaps, _heap(plate, x, base, reach, reach * 0.8))
    heaps = join(heaps, _heap(plate, 0.25, 0.615, 0.23, 0.2))
    # Only the heaps stand near enough to be mirrored along the slanting bank; the sky mirrors at the horizon.
    upright, plate.image = plate.image, heaps
    plate.image, echo = upright, plate.mirrored(0.665, 0.004, 1.0, -0.158)
    water = Image.composite(plate.mirrored(0.665, 0.004, 1.0, -0.158), calm, plate.blurred(echo, 0.002))
    bank = [(-0.1, 0.689), (0.2, 0.64), (0.5, 0.594), (0.8, 0.546), (1.1, 0.499), (1.4, 0.452), (1.4, 2), (-0.1, 2)]
    pool = plate.polygon(bank, 0.001, 0.006, 50)
    deep = meet(water, plate.ramp([(0.5, 235), (1, 165)]))
    plate.lay(deep, pool)
    edge = plate.rim(pool, 0, 0.012)
    plate.shade(edge, 0.55)
    glints(plate, horizon, 0.13)


def moon(plate: Plate) -> None:
    horizon = 0.52
    plate.lay(plate.ramp([(0, 26), (0.3, 58), (horizon, 112)]))
    bars = plate.noise(2, 12, 5, 0.42)
    plate.texture(plate.blurred(bars, 0.006), 0.32)
    moon = (0.79, 0.25)
    plate.shine(plate.glow(moon, 0.75, 0.6), 0.33)
    plate.shine(plate.glow(moon, 0.2, 0.2), 0.4)
    plate.lay(243, plate.oval(moon, 0.043, 0.043, 0.002))
    plate.texture(plate.noise(20, 16, 3), 0.12, plate.oval(moon, 0.043, 0.043))
    veil = bars.point(above(150, 4))
    plate.lay(84, meet(plate.blurred(veil, 0.01), plate.glow(moon, 0.6, 0.3)), 0.55)
    plate.lay(
        30, plate.polygon([*ridge_line(plate, horizon - 0.012, horizon - 0.025, 0.008), (2, 0.6), (-1, 0.6)], 0.003)
    )
    plate.lay(plate.ramp([(horizon, 44), (1, 20)]), below(plate, horizon))
    flats = plate.noise(9, 20, 6, 0.5)
    channels = on_ground(plate, flats, horizon, 2.4)
    wet = channels.point(vein(132, 26, 14))
    wet = meet(wet, below(plate, horizon + 0.004))
    plate.lay(plate.ramp([(horizon, 150), (1, 74)]), wet)
    plate.shine(meet(wet, plate.glow((moon[0], 0.68), 0.22, 0.5)), 0.75)
    plate.shine(meet(plate.glow((moon[0], 0.6), 0.16, 0.3), below(plate, horizon)), 0.2)
    plate.texture(plate.relief(channels, (0.0, 0.004), 2.0), 0.5, below(plate, horizon))


def horizon(plate: Plate) -> None:
    horizon = 0.8
    sky(plate, 158, 230, horizon, 0.66, (7, 8))
    plate.shine(plate.glow((0.42, 0.62), 0.7, 0.35), 0.4)
    towers = plate.noise(5, 8, 6, 0.5)
    banks = towers.point(above(138, 4))
    plate.lay(238, meet(plate.blurred(banks, 0.008), plate.ramp([(0.42, 0), (0.66, 255), (0.79, 40)])), 0.55)

    def mill(brush: Brush) -> None:
        brush.polygon([(0.876, horizon), (0.888, horizon - 0.085), (0.914, horizon - 0.085), (0.926, horizon)])
        brush.polygon([(0.886, horizon - 0.084), (0.901, horizon - 0.108), (0.916, horizon - 0.084)])
        for turn in range(4):
            angle = 0.38 + turn * math.pi / 2
            reach_x, reach_y = 0.088 * math.cos(angle), 0.088 * math.sin(angle)
            brush.line([(0.901, horizon - 0.088), (0.901 + reach_x, horizon - 0.088 + reach_y)], 0.0035)
            corners = ((0.22, 0.0), (1.0, 0.0), (1.0, 0.1), (0.22, 0.1))
            hub = (0.901, horizon - 0.088)
            sail = [(hub[0] + reach_x * a + reach_y * b, hub[1] + reach_y * a - reach_x * b) for a, b in corners]
            brush.polygon(sail)
        brush.polygon([(0.955, horizon), (0.955, horizon - 0.03), (0.945, horizon - 0.03), (0.97, horizon - 0.052),
                       (1.05, horizon - 0.052), (1.075, horizon - 0.03), (1.065, horizon - 0.03),
                       (1.065, horizon)])  # fmt: skip
        brush.polygon(
            [(1.028, horizon - 0.05), (1.028, horizon - 0.068), (1.04, horizon - 0.068), (1.04, horizon - 0.05)]
        )
        brush.polygon(
            [
                (0.7, horizon - 0.001),
                (0.86, horizon - 0.008),
                (1.2, horizon - 0.006),
                (1.3, horizon),
                (1.3, 0.82),
                (0.7, 0.82),
            ]
        )

    plate.lay(
        150, plate.polygon([*ridge_line(plate, horizon - 0.004, horizon - 0.016, 0.006), (2, 0.85), (-1, 0.85)], 0.002)
    )
    plate.lay(84, plate.mask(mill, 0.0012))
    shore = horizon + 0.008
    plate.lay(plate.mirrored(shore, 0.005, 1.0), below(plate, shore))
    plate.shade(meet(below(plate, horizon), plate.ramp([(horizon, 50), (1, 190)])), 0.6)
    glints(plate, horizon, 0.3, (4, 50))
    plate.shade(plate.lines([[(-1, horizon), (2, horizon)]], 0.004, 0.002), 0.4)


def posts(plate: Plate) -> None:
    horizon = 0.42
    plate.lay(plate.ramp([(0, 176), (horizon, 222), (0.62, 206), (1, 132)]))
    plate.texture(plate.blurred(plate.noise(3, 8, 4), 0.02), 0.14)
    glints(plate, horizon - 0.02, 0.16, (4, 44))
    count = 15
    for index in reversed(range(count)):
        depth = 1.0 + index * 0.62
        x = 0.52 + 0.52 / depth - 0.04 * math.sin(index * 0.5)
        base = horizon + 0.42 / depth
        height = (0.36 + plate.random.uniform(-0.03, 0.03)) / depth
        thick = 0.038 / depth
        tone = round(218 - 178 / depth**0.75)
        lean = plate.random.uniform(-0.02, 0.02) / depth
        post = plate.polygon([(x - thick / 2 + lean, base - height), (x + thick / 2 + lean, base - height - 0.004),
                              (x + thick / 2, base), (x - thick / 2, base)],
                             0.0008 + 0.0006 * index / count)  # fmt: skip
        plate.lay(
            plate.ramp([(x - thick / 2, tone + 46), (x, tone + 6), (x + thick / 2, tone - 16)], across=True), post
        )
        if index < 5:
            grain = plate.relief(plate.noise(70, 6, 4, 0.5), (0.004, 0.001), 1.2)
            plate.texture(grain, 0.8 / depth, post)
        wobble = []
        for step in range(11):
            down = step / 10
            sway = thick * 0.35 * math.sin(step * 1.9 + index) - lean
            wobble.append((x + sway * down, base + height * 0.92 * down))
        echo = plate.lines([wobble], thick, 0.002 + 0.003 / depth)
        plate.lay(tone + 14, meet(echo, plate.ramp([(base, 215), (base + height, 70)])))
        plate.lay(tone + 10, plate.oval((x, base), thick * 0.9, thick * 0.18, 0.002), 0.6)
    plate.lay(220, plate.glow((0.62, horizon + 0.02), 1.0, 0.13), 0.5)


def sluice(plate: Plate) -> None:
    horizon = 0.47
    sky(plate, 200, 226, horizon, 0.3)
    plate.lay(
        165, plate.polygon([*ridge_line(plate, horizon - 0.03, horizon - 0.02, 0.02), (2, 0.6), (-1, 0.6)], 0.004)
    )
    banks = plate.polygon([*ridge_line(plate, horizon + 0.01, horizon + 0.0, 0.012), (2, 2), (-1, 2)], 0.002)
    plate.lay(plate.ramp([(horizon, 132), (1.25, 62)]), banks)
    turf(plate, horizon - 0.02, 0.8, banks)

    def gate(brush: Brush) -> None:
        for x in (0.3, 0.66):
            brush.polygon([(x, 0.3), (x + 0.042, 0.295), (x + 0.046, 0.86), (x - 0.004, 0.86)])

    def bars(brush: Brush) -> None:
        brush.polygon([(0.255, 0.325), (0.75, 0.32), (0.75, 0.362), (0.255, 0.368)])
        brush.polygon([(0.488, 0.2), (0.512, 0.2), (0.512, 0.5), (0.488, 0.5)])

    plate.lay(
        plate.ramp([(0.3, 46), (0.8, 24)]), plate.polygon([(0.34, 0.56), (0.67, 0.56), (0.67, 0.8), (0.34, 0.8)], 0.003)
    )
    board = plate.polygon([(0.338, 0.44), (0.668, 0.44), (0.668, 0.685), (0.338, 0.69)], 0.0015)
    plate.lay(plate.ramp([(0.34, 150), (0.67, 104)], across=True), board)
    wood_grain(plate, board, 0.5)
    for y in (0.5, 0.56, 0.625):
        plate.shade(plate.lines([[(0.338, y), (0.668, y + 0.002)]], 0.004, 0.001), 0.6)
    posts, bar = plate.mask(gate, 0.0012), plate.mask(bars, 0.0012)
    frame = join(posts, bar)
    cast = plate.blurred(plate.shifted(frame, 0.02, 0.012), 0.006)
    plate.shade(meet(cast, board), 0.5)
    plate.lay(plate.ramp([(0.25, 128), (0.32, 92), (0.345, 60), (0.6, 90), (0.68, 84), (0.72, 58)], across=True), frame)
    wood_grain(plate, posts, 0.45, upright=True)
    wood_grain(plate, bar, 0.4)
    line = 0.79
    water = meet(plate.mirrored(line, 0.007), plate.ramp([(line, 228), (1.25, 190)]))
    left = [(0.345, line), (0.31, 0.86), (0.2, 0.96), (0.06, 1.12), (-0.05, 1.3)]
    right = [(1.06, 1.3), (0.94, 1.12), (0.8, 0.96), (0.7, 0.86), (0.665, line)]
    channel = plate.polygon([*left, *right], 0.002, 0.012, 30)
    plate.lay(water, channel)
    rim = plate.rim(channel, 0, 0.014)
    plate.shade(plate.blurred(rim, 0.004), 0.7)
    ripples = on_ground(plate, plate.noise(8, 60, 4, 0.5), line - 0.06)
    plate.texture(ripples, 0.22, channel)


def tide_lines(plate: Plate) -> None:
    horizon = 0.2
    plate.lay(plate.ramp([(0, 212), (horizon, 236)]))
    plate.texture(plate.blurred(plate.noise(4, 14, 5, 0.55), 0.008), 0.16, plate.ramp([(0, 255), (horizon, 60)]))
    plate.lay(plate.ramp([(horizon, 222), (0.4, 186), (1.25, 118)]), below(plate, horizon, 0.002))
    lines = _waves(plate, 15, 0.085)
    sand = on_ground(plate, Image.blend(plate.blurred(lines, 0.005), plate.noise(60, 60, 5, 0.7), 0.3), horizon, 1.6)
    near = plate.ramp([(horizon + 0.03, 0), (0.5, 190), (1.0, 255)])
    plate.texture(plate.relief(sand, (0.003, 0.009), 1.2), 0.9, near)
    plate.texture(on_ground(plate, plate.noise(4, 9, 5, 0.55), horizon, 1.6), 0.3, near)
    film = plate.polygon([(-0.1, horizon), (1.1, horizon), (1.1, 0.41), (0.8, 0.45), (0.62, 0.53), (0.42, 0.58),
                          (0.2, 0.55), (-0.1, 0.62)], 0.004, 0.01, 20)  # fmt: skip
    plate.lay(plate.ramp([(horizon, 236), (0.6, 176)]), film, 0.62)
    rim = plate.rim(film, 0, -0.007)
    plate.shine(plate.blurred(rim, 0.002), 0.6)
    plate.cast(rim, 0, 0.012, 0.005, 0.4)
    glints(plate, horizon, 0.14, (5, 60))
    for level, width in ((0.235, 0.004), (0.27, 0.006), (0.325, 0.009)):
        path = [(x / 20 * 1.2 - 0.1, level + plate.random.uniform(-0.004, 0.004)) for x in range(21)]
        foam = plate.lines([path], width, 0.001, 0.003)
        plate.lay(250, foam, 0.85)
        plate.cast(foam, 0, 0.01, 0.004, 0.25)
    plate.lay(160, plate.lines([[(-1, horizon), (2, horizon)]], 0.005, 0.003), 0.6)


def _waves(plate: Plate, count: int, swing: float) -> Image.Image:
    """Lines that run beside one another across the plate, each drifting a little from the last."""
    height = plate.tall / count
    phases = [plate.random.uniform(0, math.tau) for _ in range(4)]
    paths = []
    for row in range(-1, count + 2):
        phases = [phase + plate.random.uniform(-0.3, 0.42) for phase in phases]
        shift = plate.random.uniform(-0.25, 0.25) * height
        path = []
        for step in range(-1, 42):
            along = step / 40
            wave = math.sin(along * 4.1 + phases[0]) + 0.5 * math.sin(along * 9.7 + phases[1])
            path.append(
                (along * plate.wide, row * height + shift + swing * (wave + 0.22 * math.sin(along * 19 + phases[2])))
            )
        paths.append(path)
    return plate.lines(paths, height * 0.5)


def rake(plate: Plate) -> None:
    bed = Image.blend(plate.blurred(_combed(plate), 0.005), plate.noise(110, 137, 4, 0.8), 0.26)
    whole = [(-0.2, -0.05), (1.2, -0.05), (1.6, 1.3), (-0.6, 1.3)]
    plate.lay(plate.ramp([(0, 222), (1.25, 186)]))
    plate.texture(plate.relief(plate.project(bed, whole), (0.004, 0.003), 1.1), 0.95)
    plate.texture(plate.blurred(plate.noise(4, 5, 5, 0.5), 0.008), 0.22)
    head, butt = (0.34, 0.86), (0.74, -0.06)

    def rake(brush: Brush) -> None:
        brush.line([head, butt], 0.021)
        brush.polygon([(0.12, 0.80), (0.55, 0.935), (0.54, 0.975), (0.108, 0.838)])
        for tooth in range(11):
            x, y = 0.128 + tooth * 0.0405, 0.835 + tooth * 0.0128
            brush.polygon([(x, y), (x + 0.014, y + 0.004), (x + 0.002, y + 0.075), (x - 0.005, y + 0.073)])

    shape = plate.mask(rake, 0.001)
    shadow = plate.shifted(shape, 0.035, 0.028)
    plate.shade(plate.blurred(shadow, 0.006), 0.6)
    plate.lay(66, shape)
    lit = plate.rim(shape, 0.007, 0.005)
    plate.shine(plate.blurred(lit, 0.0015), 0.42)
    plate.texture(plate.relief(plate.noise(14, 60, 5, 0.6), (0.002, 0.003), 1.0), 0.5, shape)
    plate.shine(plate.glow((0.1, 0.1), 0.8, 0.9), 0.3)


def _combed(plate: Plate) -> Image.Image:
    """Furrows a rake leaves: close lines that bend together, pulled the length of the plate."""
    bends = [plate.random.uniform(0, math.tau) for _ in range(3)]
    furrows = []
    for number in range(-6, 48):
        turn = number // 9 * 0.8
        left = []
        for step in range(-1, 52):
            along = step / 50
            bend = 0.05 * math.sin(along * 3.1 + bends[0] + turn * 0.3) + 0.012 * math.sin(along * 9 + bends[1] + turn)
            left.append((number / 38 + bend, along * plate.tall))
        furrows.append(left + [(x + 0.012, y) for x, y in reversed(left)])
    return plate.polygons(furrows)
