"""Lightening holes that take out the most mass the rules allow."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.hole import Hole, Made
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.mass.weigh import weigh
from bladegeom.placing.ground import Ground, ground_of, with_holes
from bladegeom.placing.search import FROM_FRONT, HoleSet, completed, search_holes, single_fill
from bladegeom.placing.task import Task
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.field_rules import Distance, NotNegative
from bladegeom.quantities.units import show_mass
from bladegeom.solids.part import G_PER_MM3

LEAST_SHIFT = 0.1
"""A hole that moves the balance by less is hardly worth drilling, mm; own choice: found no closer by hand."""

LEAST_MASS = 0.5
"""And so is one that takes out less, g; own choice: half of what a kitchen scale shows."""


def add_lightening(
    knife: Knife,
    *,
    largest: float | None = None,
    made: Made = "cut",
    least_shift: float = LEAST_SHIFT,
    least_mass: float = LEAST_MASS,
) -> Knife:
    """As much mass taken out of the tang as the rules allow, with round holes in any pattern.

    Found by a search: see :mod:`bladegeom.placing.search`. The same knife gives the same holes.

    Args:
        knife: To which they are added; fasteners first, lightening last.
        largest: No hole wider than this, mm.
        made: When they are made.
        least_shift: A hole is left out if it moves the balance by less than this, mm,
        least_mass: and takes out less than this, g. 0 for either keeps every hole.

    Raises:
        PlacingError: No size of the drill index can be used, none finds a place, or none is worth drilling.

    >>> import dataclasses
    >>> bare = dataclasses.replace(knife, holes=())
    >>> len(add_lightening(bare, largest=8.0).holes)
    16
    """
    checked("lightening holes: least_shift", least_shift, Distance)
    checked("lightening holes: least_mass", least_mass, NotNegative)
    ground = ground_of(knife, largest=largest, made=made)
    worth, total = grams_per_mm2(ground), weigh(knife).total
    least, usual = (
        _smallest(ground, worth, lightest(ground.xy[:, 0], total.amount, total.centre[0], *limits))
        for limits in ((least_shift, least_mass), (LEAST_SHIFT, LEAST_MASS))
    )
    task, made_before = Task(ground=ground, worth=worth, least=least), _searches(knife, largest, made)
    found = _searched(task, made_before)
    if (least < usual).any():
        # Small holes stand in the way of wide ones now and then: it must not take out less for being allowed more.
        wide = Task(ground=ground, worth=worth, least=np.maximum(least, usual))
        found = max(found, completed(task, _searched(wide, made_before)), key=lambda pattern: pattern.value)
    holes = [ground.hole(place, size) for place, size in found.holes]
    mass = [float(worth[place] * ground.radii[size] ** 2) for place, size in found.holes]
    kept = _worth_it(holes, mass, total.amount, total.centre[0], least_shift, least_mass)
    if not kept:
        raise PlacingError(_not_worth(ground, worth, least_shift, least_mass))
    return with_holes(knife, kept)


@memo
def _searches(knife: Knife, largest: float | None, made: Made) -> dict[bytes, HoleSet]:  # noqa: ARG001
    """What was searched for already on a knife, by the smallest radius at each place: patterns side by side share."""
    return {}


def _searched(task: Task, made_before: dict[bytes, HoleSet]) -> HoleSet:
    key = task.least.tobytes()
    if key not in made_before:
        made_before[key] = search_holes(task)
    return made_before[key]


def _smallest(ground: Ground, worth: FloatArray, light: FloatArray) -> FloatArray:
    """Radius of the smallest size that takes out some mass at each place, infinite where none does, shape (n,), mm."""
    return np.asarray(np.append(ground.radii, np.inf)[np.searchsorted(ground.radii, np.sqrt(light / worth))])


def plain_fill(knife: Knife, *, largest: float | None = None, made: Made = "cut") -> Knife:
    """The largest hole that fits, from the front, again and again: what :func:`add_lightening` is compared with.

    Raises:
        PlacingError: No size of the drill index can be used, or none finds a place.
    """
    ground = ground_of(knife, largest=largest, made=made)
    least = np.full(len(ground.xy), ground.radii[0])
    task = Task(ground=ground, worth=grams_per_mm2(ground), least=least)
    found = single_fill(task, len(ground.radii) - 1, FROM_FRONT)
    return with_holes(knife, [ground.hole(place, size) for place, size in found.holes])


def grams_per_mm2(ground: Ground) -> FloatArray:
    """Mass of the finished steel under a hole at each place for each mm2 of squared radius, shape (n,), g/mm2.

    The thickness at its centre counts: exact on plain stock and under a straight taper.
    """
    knife = ground.knife
    density = knife.stock.material.density_g_cm3 * G_PER_MM3
    return density * math.pi * thickness(knife, "finished", ground.xy[:, 0], ground.xy[:, 1])


def lightest(x: FloatArray, mass: float, balance: float, least_shift: float, least_mass: float) -> FloatArray:
    """Least mass that a hole at each x must take out of a knife to be worth drilling, shape (n,), g."""
    arm = np.maximum(np.abs(x - balance), 1e-9)
    # Without m at an arm the balance of M moves by m arm / (M - m).
    return np.minimum(least_mass, least_shift * mass / (arm + least_shift))


def _worth_it(
    holes: Sequence[Hole], mass: Sequence[float], total: float, balance: float, least_shift: float, least_mass: float
) -> list[Hole]:
    """Those without which the finished knife would be different enough; the least worth goes first."""
    kept, x, m = list(range(len(holes))), np.array([hole.x for hole in holes]), np.array(mass)
    while kept:
        with_all = total - m[kept].sum()
        at = (total * balance - (m[kept] * x[kept]).sum()) / with_all
        # Filled again, a hole brings m back at its x.
        shift = m[kept] * np.abs(x[kept] - at) / (with_all + m[kept])
        slight = (shift < least_shift) & (m[kept] < least_mass)
        if not slight.any():
            break
        del kept[int(np.where(slight, m[kept], np.inf).argmin())]
    return [holes[i] for i in kept]


def _not_worth(ground: Ground, worth: FloatArray, least_shift: float, least_mass: float) -> str:
    size = np.searchsorted(ground.radii, ground.room, side="right") - 1
    most = float((worth * ground.radii[size] ** 2).max())
    return (
        f"no lightening hole that fits takes out {least_mass:g} g or moves the balance by {least_shift:g} mm; the "
        f"widest takes out {show_mass(most)}: lower least_mass or least_shift, or leave the tang whole"
    )
