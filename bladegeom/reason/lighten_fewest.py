"""As few lightening holes as reach a goal."""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.reason.lighten_ground import Ground
from bladegeom.reason.lighten_search import Set, search

ROUNDS = 250
"""For each count of holes that is tried; own choice."""


def fewest(ground: Ground, worth: FloatArray, least: FloatArray, goal: float) -> Set:
    """A set of few holes that reaches a goal; where none does, the best there is."""
    most = search(ground, worth, least, rounds=ROUNDS)
    if most.value < goal:
        return most
    # No single hole brings more than the widest at the best place.
    size = np.searchsorted(ground.radii, ground.room, side="right") - 1
    low, high = math.ceil(goal / float((worth * ground.radii[size] ** 2).max())), len(most.holes)
    while low < high:
        middle = (low + high) // 2
        few = search(ground, worth, least, most=middle, rounds=ROUNDS)
        if few.value >= goal:
            most, high = few, len(few.holes)
        else:
            low = middle + 1
    return _fewer(ground, worth, least, goal, _without_idle(ground, worth, most, goal))


def _fewer(ground: Ground, worth: FloatArray, least: FloatArray, goal: float, found: Set) -> Set:
    """The same, or sets of ever fewer holes as long as a search of other ways finds one that reaches the goal."""
    while len(found.holes) > 1:
        less = _without_least(ground, worth, found)
        fewer = (
            search(ground, worth, least, most=len(less.holes), rounds=ROUNDS, seed=seed, start=start)
            for seed, start in ((1, None), (2, None), (1, less))
        )
        reached = next((one for one in fewer if one.value >= goal), None)
        if reached is None:
            break
        found = _without_idle(ground, worth, reached, goal)
    return found


def _without_least(ground: Ground, worth: FloatArray, found: Set) -> Set:
    """The same without the hole that brings the least."""
    gain = [float(worth[place] * ground.radii[size] ** 2) for place, size in found.holes]
    i = gain.index(min(gain))
    return Set(holes=(*found.holes[:i], *found.holes[i + 1 :]), value=found.value - gain[i])


def _without_idle(ground: Ground, worth: FloatArray, found: Set, goal: float) -> Set:
    """The same without the least of its holes as long as the others reach the goal."""
    holes = sorted(found.holes, key=lambda one: float(worth[one[0]] * ground.radii[one[1]] ** 2))
    value = found.value
    while len(holes) > 1 and (less := value - float(worth[holes[0][0]] * ground.radii[holes[0][1]] ** 2)) >= goal:
        value = less
        del holes[0]
    return Set(holes=tuple(holes), value=value)
