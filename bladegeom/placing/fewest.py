"""As few lightening holes as reach a goal.

Few holes are other holes than many: each must bring much where it stands, so a fill takes the hole that is worth most
first. One hole less is tried as long as a search finds it: a stretch of holes and at times one elsewhere are given up,
and no more than are allowed are filled in again, there or anywhere.
"""

from __future__ import annotations

import math

import numpy as np

from bladegeom.placing.search import (
    HoleSet,
    completed,
    drawn_cap,
    drawn_stretch,
    outside,
    search_holes,
    stretch_of,
    valued,
)
from bladegeom.placing.stretch import Stretch
from bladegeom.placing.task import Task

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


def fewest_holes(task: Task, goal: float) -> HoleSet:
    """A set of few holes that reaches a goal; where none does, the best there is."""
    ground, worth = task.ground, task.worth
    found = _filled(task)
    if found.value < goal:
        found = search_holes(task, rounds=ROUNDS)
    if found.value < goal:
        return found
    # No single hole brings more than the widest at the best place.
    size = np.searchsorted(ground.radii, ground.room, side="right") - 1
    low = math.ceil(goal / float((worth * ground.radii[size] ** 2).max()))
    found = _without_idle(task, found, goal)
    while len(found.holes) > low:
        fewer = _reaching(task, goal, len(found.holes) - 1)
        if fewer.value < goal:
            break
        found = _without_idle(task, fewer, goal)
    # What the same number elsewhere takes out in the end may be less.
    other = search_holes(task, most=len(found.holes), rounds=ROUNDS)
    reached = [hole_set for hole_set in (found, other) if hole_set.value >= goal]
    return min(reached, key=lambda hole_set: _needed(task, hole_set, goal))


def _needed(task: Task, found: HoleSet, goal: float) -> float:
    """Squared radii that reach a goal at the places of a set, the best places first, the last in part, mm2."""
    worth, radii = task.worth, task.ground.radii
    places, sizes = (np.array(numbers) for numbers in zip(*found.holes, strict=True))
    order = np.argsort(-worth[places], kind="stable")
    squared = radii[sizes[order]] ** 2
    gain = np.concatenate([[0.0], np.cumsum(squared * worth[places[order]])])
    return float(np.interp(goal, gain, np.concatenate([[0.0], np.cumsum(squared)])))


def _filled(task: Task, most: int = 10_000) -> HoleSet:
    """The whole tang filled, the hole that is worth most first."""
    whole = Stretch(task, 0, task.ground.columns, (), len(task.ground.radii) - 1)
    return valued(task, whole.fill_by_worth(whole.worth, most))


def _reaching(task: Task, goal: float, most: int) -> HoleSet:
    """A set of no more than so many holes that reaches a goal, or the best of those tried."""
    best = current = _filled(task, most)
    random = np.random.default_rng(_SEED)
    for i in range(_TRIES):
        if best.value >= goal:
            return best
        new = _changed(task, current, most, random)
        if new.value >= current.value - _WARMTH * best.value * (1 - i / _TRIES) * random.random() ** 4:
            current = new
        if current.value > best.value:
            best = current
    return completed(task, best, most=most)


def _changed(task: Task, current: HoleSet, most: int, random: np.random.Generator) -> HoleSet:
    """Another set: some holes given up, and as many filled in again as are allowed."""
    ground = task.ground
    first, last = drawn_stretch(ground, random)
    kept = outside(ground, current, first, last)
    if kept and random.random() < _GIVEN_UP:
        del kept[int(random.integers(len(kept)))]
    if random.random() < _ANYWHERE:
        first, last = 0, ground.columns
    stretch = stretch_of(task, first, last, kept, drawn_cap(ground, random))
    value = stretch.worth if random.random() >= _BY_SIZE else np.ones(len(stretch.open.x))
    a, b = random.uniform(-1.0, 1.0, 2).tolist()
    leaning = np.exp(10.0 ** random.uniform(*_LEANING) * (a * stretch.open.x + b * stretch.open.y))
    return valued(task, [*kept, *stretch.fill_by_worth(value * leaning, most - len(kept))])


def _without_idle(task: Task, found: HoleSet, goal: float) -> HoleSet:
    """The same without the least of its holes as long as the others reach the goal."""
    ground, worth = task.ground, task.worth
    holes = sorted(found.holes, key=lambda hole: float(worth[hole[0]] * ground.radii[hole[1]] ** 2))
    value = found.value
    while len(holes) > 1 and (less := value - float(worth[holes[0][0]] * ground.radii[holes[0][1]] ** 2)) >= goal:
        value = less
        del holes[0]
    return HoleSet(holes=tuple(holes), value=value)
