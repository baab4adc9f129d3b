"""Recipes used: a recorded one turned into the exposures of another paper, lamp or size; a print beside its model."""

import sqlite3
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.formulas import exposure as formulas
from catalog.measures import format_length, format_size, trimmed
from catalog.records import densities, negatives, settings
from catalog.records.items import Coded, code_of
from catalog.records.recipes import Exposure, Recipe
from catalog.stops import exact_stops

ONE_SPEED_NOTE = "One factor for all filters keeps their balance only where the speed changed alike through each."
POINT_NOTE = "Only of a lamp that is small beside its distance (a fifth or less: from memory), and bare of optics."
LUX_NOTE = "Both measured at the paper, with one meter."
SIZE_NOTE = "One aperture, lamp and crop; the enlargement by the longer sides (derived from a thin lens)."
DRY_NOTE = "By a test of each paper and surface; from printers' practice, no standard."
UNDRY_NOTE = "The recorded exposures are taken as judged wet, since the recipe names no dry-down."
RECIPROCITY_NOTE = "A constant exponent holds near the times it was measured at; with a strip on this paper."
CONTACT = 0.02  # a picture within two per cent of its negative was printed in contact


class ScaleError(TirageError):
    """A recipe that cannot be rescaled so."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(f"Nothing was rescaled: {reason}. {remedy}")


class Asked(NamedTuple):
    """What is different now. Speeds by filter, "" for all, in thousandths; other units as in records.recipes."""

    stops: int = 0
    speeds: Mapping[str, int] = {}
    distance: int | None = None
    illuminance: int | None = None
    size: tuple[int, int] | None = None
    dry_down: int | None = None
    reciprocity: float = 1.0


class Factor(NamedTuple):
    """One reason why exposures change: by filter ("" for all), what a time is multiplied by, and what to mind."""

    name: str
    filter: str
    factor: float
    caveat: str


class Part(NamedTuple):
    """An area held back or given more, with how long that is."""

    kind: str
    area: str
    stops: int  # thousandths, with sign
    milliseconds: float


class Line(NamedTuple):
    """One exposure as it is to be given: milliseconds as recorded and now, and its parts."""

    filter: str
    recorded: float
    milliseconds: float
    parts: tuple[Part, ...]


class Compared(NamedTuple):
    """One patch of two prints, in thousandths of density."""

    patch: str
    reference: int | None
    value: int | None
    tolerance: int | None

    @property
    def difference(self) -> int | None:
        """How much darker it is than the reference."""
        return None if self.value is None or self.reference is None else self.value - self.reference

    @property
    def verdict(self) -> str:
        """The comparison in a few words."""
        if self.difference is None:
            return "not read on both"
        if self.tolerance is None:
            return "no tolerance set"
        if abs(self.difference) <= self.tolerance:
            return "within"
        return "too dark" if self.difference > 0 else "too light"


def lines(exposures: Sequence[Exposure], factors: Sequence[Factor] = ()) -> list[Line]:
    """The exposures to give, with every factor applied and dodges and burns worked out from their stops."""
    found = []
    for base in exposures:
        if base.milliseconds is None:
            continue
        now = base.milliseconds * product(factors, base.filter)
        parts = tuple(_part(one, now) for one in exposures if one.stops and one.filter == base.filter)
        found.append(Line(base.filter, base.milliseconds, now, parts))
    return found


def product(factors: Sequence[Factor], through: str) -> float:
    """What the time through a filter is multiplied by in all."""
    whole = 1.0
    for factor in factors:
        if factor.filter in ("", through):
            whole *= factor.factor
    return whole


def factors(
    connection: sqlite3.Connection, recipe: Recipe, exposures: Sequence[Exposure], asked: Asked
) -> list[Factor]:
    """Every reason for which exposures change. Raises ScaleError where the recipe lacks what it must start from."""
    found = []
    if asked.stops:
        found.append(Factor("stops", "", formulas.factor_of_stops(exact_stops(asked.stops)), ""))
    changing = [*_speeds(recipe, exposures, asked.speeds), *_light(connection, recipe, asked)]
    found += changing + _reciprocity(changing, asked.reciprocity)
    if asked.dry_down is not None:
        found.append(_dry_down(recipe, asked.dry_down))
    return found


def compared(connection: sqlite3.Connection, one: Coded, reference: Coded) -> list[Compared]:
    """Every patch that was read dry on a print or its reference; the tolerance is the user's setting."""
    allowed = densities.parse_tolerance(settings.value(connection, "density-tolerance"))
    values = densities.newest(densities.of_item(connection, one.id), "dry")
    wanted = densities.newest(densities.of_item(connection, reference.id), "dry")
    return [
        Compared(patch, wanted.get(patch), values.get(patch), allowed.get(patch, allowed.get("")))
        for patch in dict.fromkeys([*wanted, *values])
    ]


def dry_downs(readings: Sequence[densities.Density]) -> dict[str, int]:
    """How much darker each patch dried, in thousandths, where it was read wet and dry."""
    wet, dry = densities.newest(list(readings), "wet"), densities.newest(list(readings), "dry")
    return {patch: dry[patch] - value for patch, value in wet.items() if patch in dry}


def _part(one: Exposure, base: float) -> Part:
    stops = one.stops or 0
    if one.kind == "dodge":
        return Part("dodge", one.area, -stops, formulas.held_back(base, exact_stops(stops)))
    return Part("burn", one.area, stops, formulas.burned_in(base, exact_stops(stops)))


def _reciprocity(changing: Sequence[Factor], exponent: float) -> list[Factor]:
    """What the exponent adds where light or speed change: I t^p stays as it was, through each filter apart."""
    if exponent == 1:
        return []
    if not changing:
        raise ScaleError(
            "an exponent of reciprocity counts only where the light or the speed of the paper changes",
            "Say how it does: --lux 1.8, or --speed 160",
        )
    added = []
    for through in sorted({factor.filter for factor in changing if factor.filter} or {""}):
        whole = product(changing, through)
        more = formulas.reciprocity_factor(whole, exponent) / whole
        added.append(Factor(f"reciprocity, exponent {exponent:g}", through, more, RECIPROCITY_NOTE))
    return added


def _speeds(recipe: Recipe, exposures: Sequence[Exposure], new: Mapping[str, int]) -> list[Factor]:
    if not new:
        return []
    bases = [one for one in exposures if one.kind == "base"]
    own = {one.filter: one.speed for one in bases if one.speed}
    if "" in new:
        return [_one_speed(recipe, bases, own, new[""])]
    names = ", ".join(one.filter for one in bases if one.filter) or "none"
    for name in new:
        if name not in {one.filter for one in bases}:
            raise NotUnderstood("a filter of this recipe", name, f"one of {names}")
    missing = [one.filter for one in bases if one.filter not in new]
    if missing:
        raise ScaleError(
            f"the new paper's speed through {' and '.join(missing)} is not told",
            "Each filter has its own: --speed soft=250 --speed hard=80.",
        )
    unknown = [one.filter for one in bases if one.filter not in own]
    if unknown:
        raise ScaleError(
            f"the recipe holds no speed of its paper through {' and '.join(unknown)}",
            "Record it anew with them (--speed soft=200 --speed hard=100), or give --stops.",
        )
    return [_speed(f"speed through {name}", name, old, new[name], "") for name, old in own.items()]


def _one_speed(recipe: Recipe, bases: Sequence[Exposure], own: Mapping[str, int | None], new: int) -> Factor:
    """One speed for all exposures, which is no good where the recipe has one for each filter."""
    different = len(set(own.values())) > 1 or (own and len(own) < len(bases))
    old = recipe.speed or next(iter(own.values()), None)
    if different:
        told = ", ".join(f"{name} {trimmed(speed or 0, 3)}" for name, speed in own.items())
        raise ScaleError(
            f"the recipe has speeds by filter ({told}), and one factor for all would change the contrast",
            "Give the new paper's through each: " + " ".join(f"--speed {name}=NUMBER" for name in own) + ".",
        )
    if not old:
        raise ScaleError(
            "the recipe holds no speed of its paper", "Record it anew with --speed NUMBER, or give --stops instead."
        )
    return _speed("paper speed", "", old, new, ONE_SPEED_NOTE if len(bases) > 1 else "")


def _speed(name: str, through: str, old: int, new: int, caveat: str) -> Factor:
    change = f"{name} {trimmed(old, 3)} → {trimmed(new, 3)}"
    return Factor(change, through, formulas.speed_factor(old, new), caveat)


def _light(connection: sqlite3.Connection, recipe: Recipe, asked: Asked) -> list[Factor]:
    """How the light at the paper changes, told in one way only."""
    ways = [
        name
        for name, given in (("--distance", asked.distance), ("--lux", asked.illuminance), ("--size", asked.size))
        if given
    ]
    if len(ways) > 1:
        raise ScaleError(
            f"{' and '.join(ways)} tell the same change of light twice", "Keep one; a measured --lux is the surest."
        )
    if asked.distance:
        if not recipe.distance:
            raise ScaleError("the recipe holds no distance of its lamp", "Give --lux or --stops instead.")
        change = f"lamp {format_length(recipe.distance)} → {format_length(asked.distance)}"
        return [Factor(change, "", formulas.distance_factor(recipe.distance, asked.distance), POINT_NOTE)]
    if asked.illuminance:
        if not recipe.illuminance:
            raise ScaleError("the recipe holds no light at the paper", "Give --distance or --stops instead.")
        change = f"light {trimmed(recipe.illuminance, 3)} → {trimmed(asked.illuminance, 3)} lux"
        return [Factor(change, "", formulas.light_factor(recipe.illuminance, asked.illuminance), LUX_NOTE)]
    return [_size(connection, recipe, asked.size)] if asked.size else []


def _size(connection: sqlite3.Connection, recipe: Recipe, size: tuple[int, int]) -> Factor:
    """The factor of another enlargement of the same negative."""
    plate = negatives.read(connection, recipe.negative)
    if not plate.height or not plate.width or not recipe.image_height or not recipe.image_width:
        raise ScaleError(
            "the size of the negative or of the recorded picture is not known",
            f"Record it: tirage correct {plate.code} size=SIZE --why REASON, or give --lux.",
        )
    longer = max(plate.height, plate.width)
    before, after = max(recipe.image_height, recipe.image_width) / longer, max(size) / longer
    if abs(before - 1) <= CONTACT:
        raise ScaleError(
            f"the recorded print is as large as {plate.code}, so it was printed in contact, where size changes nothing",
            "Leave --size out.",
        )
    change = f"picture {format_size(recipe.image_height, recipe.image_width)} → {format_size(*size)}"
    return Factor(change, "", formulas.size_factor(before, after), SIZE_NOTE)


def _dry_down(recipe: Recipe, new: int) -> Factor:
    """Less exposure for a paper that dries darker; what the recorded exposures hold of it already is taken out."""
    old = recipe.dry_down or 0
    factor = formulas.dry_down_factor(new / 1000) / formulas.dry_down_factor(old / 1000)
    if recipe.dry_down is None:
        return Factor(f"dry-down {trimmed(new, 3)} %", "", factor, f"{UNDRY_NOTE} {DRY_NOTE}")
    return Factor(f"dry-down {trimmed(old, 3)} % → {trimmed(new, 3)} %", "", factor, DRY_NOTE)


def reference_of(connection: sqlite3.Connection, recipe: Recipe) -> Coded:
    """The approved print of a recipe."""
    assert recipe.print is not None
    return Coded(recipe.print, code_of(connection, recipe.print), "print")
