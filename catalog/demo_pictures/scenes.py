"""Demo scenes: what each demo picture shows, and whether its plate stands upright."""

from __future__ import annotations

from collections.abc import Callable

from catalog.demo_pictures import quarry, rooms, ropewalk, salt
from catalog.demo_pictures.plate import Plate

Scene = Callable[[Plate], None]

SCENES: dict[str, tuple[Scene, bool]] = {
    "salt-pans": (salt.pans, False),
    "salt-sluice": (salt.sluice, True),
    "salt-horizon": (salt.horizon, False),
    "salt-tide-lines": (salt.tide_lines, True),
    "salt-heaps": (salt.heaps, False),
    "salt-rake": (salt.rake, True),
    "salt-moon": (salt.moon, False),
    "salt-posts": (salt.posts, False),
    "ropewalk-hall": (ropewalk.hall, False),
    "ropewalk-coils": (ropewalk.coils, True),
    "ropewalk-hooks": (ropewalk.hooks, False),
    "ropewalk-wheel": (ropewalk.wheel, True),
    "ropewalk-window": (rooms.window, True),
    "ropewalk-bottles": (rooms.bottles, False),
    "ropewalk-cloth": (rooms.cloth, True),
    "ropewalk-stair": (rooms.stair, True),
    "quarry-terraces": (quarry.terraces, False),
    "quarry-lone-tree": (quarry.lone_tree, False),
    "quarry-hills": (quarry.hills, False),
    "quarry-blocks": (quarry.blocks, False),
    "quarry-birches": (quarry.birches, True),
    "quarry-path": (quarry.path, True),
    "quarry-storm": (quarry.storm, False),
    "quarry-stone": (quarry.stone, True),
}
