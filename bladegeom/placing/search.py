"""The search for the best set of lightening holes: fill the tang, then clear a stretch and fill it again, many times.

A fill puts the largest size that finds a place first, up to a cap, and of equal places takes the first along some
direction. A cap below the largest often leaves room for more; which cap and direction are best differs from stretch to
stretch, so they are drawn anew each time, from a generator with a fixed seed: the same tang gives the same holes.
Whatever is placed keeps the web to all others and the net width of every strip, so each set on the way is legal.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.placing.ground import Ground
from bladegeom.placing.stretch import Direction, Stretch
from bladegeom.placing.task import Placed, Task

ROUNDS = 600
"""Stretches cleared and filled again; own choice: ten times as many take out 1 % more."""

_NARROWEST, _WIDEST = 10.0, 45.0
"""Stretches that are cleared, mm; own choice by trial on 20 tangs."""

_CAPS = 5
"""The search starts from the best of fills with about so many caps."""

_WARMTH = 0.01
"""A set worse by this share may be taken at the start, less and less until the end."""

_SEED = 5

FROM_BUTT, FROM_FRONT = (1.0, 0.0), (-1.0, 0.0)
"""Directions of plain fills."""


@dataclass(frozen=True, kw_only=True)
class HoleSet:
    """Holes that stand together: places and sizes by their numbers, and what they are worth together."""

    holes: tuple[Placed, ...]
    value: float


def search_holes(
    task: Task, *, most: int = 10_000, rounds: int = ROUNDS, seed: int = _SEED, start: HoleSet | None = None
) -> HoleSet:
    """The best set found.

    Args:
        task: What is placed, and where.
        most: No more holes than these.
        rounds: Stretches cleared and filled again.
        seed: Another one searches other ways.
        start: Where to begin, of no more holes than that; the best plain fill if there is none.
    """
    ground = task.ground
    best = current = start or greedy(task, most=most)
    random = np.random.default_rng(seed)
    for i in range(rounds):
        first, last = drawn_stretch(ground, random)
        kept = outside(ground, current, first, last)
        stretch = stretch_of(task, first, last, kept, drawn_cap(ground, random))
        new = valued(task, [*kept, *stretch.fill(_direction(stretch, random), most - len(kept))])
        if new.value >= current.value - _WARMTH * best.value * (1 - i / rounds) * random.random() ** 4:
            current = new
        if current.value > best.value:
            best = current
    return completed(task, best, most=most)


def completed(task: Task, found: HoleSet, *, most: int = 10_000) -> HoleSet:
    """Each hole as wide as the others let it be where it stands, the widest first, and more holes where they fit."""
    ground = task.ground
    cap, holes = len(ground.radii) - 1, sorted(found.holes, key=lambda hole: (-hole[1], hole[0]))
    for i, (place, _) in enumerate(holes):
        column = ground.column.item(place)
        alone = Stretch(task, column, column + 1, [*holes[:i], *holes[i + 1 :]], cap)
        size = bisect_right(ground.sizes, alone.room_at(place)) - 1
        holes[i] = (place, size)
    whole = Stretch(task, 0, ground.columns, holes, cap)
    return valued(task, [*holes, *whole.fill(None, most - len(holes))])


def room_beside(ground: Ground, holes: Sequence[Placed]) -> FloatArray:
    """Largest legal radius at every place beside some holes, shape (n,), mm, at most the largest size.

    It is negative where none of the sizes fits.
    """
    task = Task(ground=ground, worth=np.ones(len(ground.xy)), least=np.full(len(ground.xy), ground.radii[0]))
    found, out = Stretch(task, 0, ground.columns, holes, len(ground.radii) - 1).open, np.full(len(ground.xy), -1.0)
    out[found.place] = found.room
    return out


def greedy(task: Task, *, most: int = 10_000) -> HoleSet:
    """The best plain fill: several caps, from the front, from the butt, and where a hole is worth most."""
    sizes = len(task.ground.radii)
    directions = (FROM_BUTT, FROM_FRONT, None) if task.varied else (FROM_BUTT, FROM_FRONT)
    caps = range(sizes - 1, -1, -max(1, sizes // _CAPS))
    return max(
        (single_fill(task, cap, direction, most=most) for cap in caps for direction in directions),
        key=lambda hole_set: hole_set.value,
    )


def single_fill(task: Task, cap: int, direction: Direction, *, most: int = 10_000) -> HoleSet:
    """One fill of the whole tang."""
    whole = Stretch(task, 0, task.ground.columns, (), cap)
    return valued(task, whole.fill(direction, most))


def drawn_stretch(ground: Ground, random: np.random.Generator) -> tuple[int, int]:
    """From which column to which a stretch is cleared; it may reach past the ends."""
    wide = ground.columns_in(random.uniform(_NARROWEST, _WIDEST))
    first = int(random.integers(-wide // 2, ground.columns - wide // 2))
    return first, first + wide


def drawn_cap(ground: Ground, random: np.random.Generator) -> int:
    """Number of the largest size that is put back, of the large ones more often."""
    return len(ground.radii) - 1 - int(len(ground.radii) * random.random() ** 2)


def outside(ground: Ground, current: HoleSet, first: int, last: int) -> list[Placed]:
    """The holes that no columns from one to another hold."""
    return [(place, size) for place, size in current.holes if not first <= ground.column.item(place) < last]


def stretch_of(task: Task, first: int, last: int, kept: list[Placed], cap: int) -> Stretch:
    """Some columns, and the two beside them at both ends, beside holes that are kept."""
    return Stretch(task, max(first - 2, 0), min(last + 2, task.ground.columns), kept, cap)


def _direction(stretch: Stretch, random: np.random.Generator) -> Direction:
    """In which order equal places are taken: along some direction, or where a hole is worth most."""
    a, b, by_worth = random.uniform(-1.0, 1.0, 3).tolist()
    return None if by_worth > 0.5 and stretch.varied else (a, b)


def valued(task: Task, holes: list[Placed]) -> HoleSet:
    """Holes that stand together, and what they are worth."""
    return HoleSet(holes=tuple(holes), value=task.value(holes))
