"""As few lightening holes as reach a goal.

Few holes are other holes than many: each must bring much where it stands, so a fill takes the hole that is worth most
first. One hole less is tried as long as a search finds it: a stretch of holes and at times one elsewhere are given up,
and no more than are allowed are filled in again, there or anywhere.
"""

from __future__ import annotations

import math

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.placing.ground import Ground
from bladegeom.placing.search import (
    HoleSet,
    Stretch,
    completed,
    drawn_cap,
    drawn_stretch,
    outside,
    search_holes,
    stretch_of,
    valued,
)

ROUNDS = 250
"""Of the search by size; own choice."""

_TRIES = 1200
"""For each count of holes that is tried; own choice."""

_GIVEN_UP = 0.4
"""How often a hole elsewhere is given up besides a stretch of them; own choice by trial on 20 tangs."""

_ANYWHERE = 0.3
"""How often the whole tang is filled again in place of the stretch; own choice by trial on 20 tangs."""

_BY_SIZE = 0.25
"""How often the largest hole goes first in place of that which is worth most; own choice by trial on 20 tangs."""

_WARMTH = 0.03
"""A set worse by this share may be taken at the start, less and less until the end."""

_LEANING = -7.0, -2.0
"""Powers of ten by which worth is made to lean along some direction for each mm; own choice."""

_SEED = 1


def fewest_holes(ground: Ground, worth: FloatArray, least: FloatArray, goal: float) -> HoleSet:
    """A set of few holes that reaches a goal; where none does, the best there is."""
    found = _filled(ground, worth, least)
    if found.value < goal:
        found = search_holes(ground, worth, least, rounds=ROUNDS)
    if found.value < goal:
        return found
    # No single hole brings more than the widest at the best place.
    size = np.searchsorted(ground.radii, ground.room, side="right") - 1
    low = math.ceil(goal / float((worth * ground.radii[size] ** 2).max()))
    found = _without_idle(ground, worth, found, goal)
    while len(found.holes) > low:
        fewer = _reaching(ground, worth, least, goal, len(found.holes) - 1)
        if fewer.value < goal:
            break
        found = _without_idle(ground, worth, fewer, goal)
    # What the same number elsewhere takes out in the end may be less.
    other = search_holes(ground, worth, least, most=len(found.holes), rounds=ROUNDS)
    reached = [hole_set for hole_set in (found, other) if hole_set.value >= goal]
    return min(reached, key=lambda hole_set: _needed(ground, worth, hole_set, goal))


def _needed(ground: Ground, worth: FloatArray, found: HoleSet, goal: float) -> float:
    """Squared radii that reach a goal at the places of a set, the best places first, the last in part, mm2."""
    places, sizes = (np.array(numbers) for numbers in zip(*found.holes, strict=True))
    order = np.argsort(-worth[places], kind="stable")
    squared = ground.radii[sizes[order]] ** 2
    gain = np.concatenate([[0.0], np.cumsum(squared * worth[places[order]])])
    return float(np.interp(goal, gain, np.concatenate([[0.0], np.cumsum(squared)])))


def _filled(ground: Ground, worth: FloatArray, least: FloatArray, most: int = 10_000) -> HoleSet:
    """The whole tang filled, the hole that is worth most first."""
    whole = Stretch(ground, 0, ground.columns, (), least, len(ground.radii) - 1)
    return valued(ground, worth, whole.fill_by_worth(worth, most))


def _reaching(ground: Ground, worth: FloatArray, least: FloatArray, goal: float, most: int) -> HoleSet:
    """A set of no more than so many holes that reaches a goal, or the best of those tried."""
    best = current = _filled(ground, worth, least, most)
    random = np.random.default_rng(_SEED)
    for i in range(_TRIES):
        if best.value >= goal:
            return best
        new = _changed(ground, worth, least, current, most, random)
        if new.value >= current.value - _WARMTH * best.value * (1 - i / _TRIES) * random.random() ** 4:
            current = new
        if current.value > best.value:
            best = current
    return completed(ground, worth, least, best, most=most)


def _changed(
    ground: Ground, worth: FloatArray, least: FloatArray, current: HoleSet, most: int, random: np.random.Generator
) -> HoleSet:
    """Another set: some holes given up, and as many filled in again as are allowed."""
    first, last = drawn_stretch(ground, random)
    kept = outside(ground, current, first, last)
    if kept and random.random() < _GIVEN_UP:
        del kept[int(random.integers(len(kept)))]
    if random.random() < _ANYWHERE:
        first, last = 0, ground.columns
    stretch = stretch_of(ground, first, last, kept, least, drawn_cap(ground, random))
    value = stretch.own(worth) if random.random() >= _BY_SIZE else np.ones_like(stretch.x)
    a, b = random.uniform(-1.0, 1.0, 2).tolist()
    leaning = np.exp(10.0 ** random.uniform(*_LEANING) * (a * stretch.x + b * stretch.y))
    return valued(ground, worth, [*kept, *stretch.fill_by_worth(value * leaning, most - len(kept))])


def _without_idle(ground: Ground, worth: FloatArray, found: HoleSet, goal: float) -> HoleSet:
    """The same without the least of its holes as long as the others reach the goal."""
    holes = sorted(found.holes, key=lambda hole: float(worth[hole[0]] * ground.radii[hole[1]] ** 2))
    value = found.value
    while len(holes) > 1 and (less := value - float(worth[holes[0][0]] * ground.radii[holes[0][1]] ** 2)) >= goal:
        value = less
        del holes[0]
    return HoleSet(holes=tuple(holes), value=value)
