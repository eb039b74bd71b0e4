"""Lightening holes that bring a knife to a wanted balance or mass: as few as do, and then no wider than need be."""

from __future__ import annotations

import dataclasses
import itertools
import math
from dataclasses import dataclass

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Made
from bladegeom.knife.knife import Knife
from bladegeom.mass.unweighed import require_weighed
from bladegeom.mass.weigh import weigh
from bladegeom.placing.fewest import fewest_holes
from bladegeom.placing.ground import Ground, ground_of, with_holes
from bladegeom.placing.lighten import grams_per_mm2
from bladegeom.placing.search import HoleSet, room_beside, search_holes
from bladegeom.placing.task import Task
from bladegeom.placing.what_binds import one_more
from bladegeom.quantities.balance_bands import from_front
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import ParameterError, PlacingError
from bladegeom.quantities.field_rules import Coordinate, Mass
from bladegeom.quantities.units import show_mass

NEAR_BALANCE = 0.02
"""A balance this much short of the wanted one is reached, mm; own choice: a fifth of what can be found by hand."""

NEAR_MASS = 0.02
"""And so is a mass this much over the wanted one, g."""

_AGAIN = 3
"""Searches for the closest to a balance out of reach; own choice: the third hardly gains anything."""

_RESERVE = 0.25
"""Part of what counts as reached that is kept in hand while holes are counted, for tapers over a hole."""


@dataclass(frozen=True, kw_only=True)
class _Target:
    """What is wanted. A hole of mass m at x brings m (a + b x) nearer to what is needed.

    For a balance B, from M (B - x_now) needed: taking m_i at x_i gives B where sum m_i (B - x_i) is just that.
    """

    wanted: float
    balance: bool
    start: float
    mass: float

    @property
    def needed(self) -> float:
        """In g mm for a balance, in g for a mass; >= 0."""
        return self.mass * abs(self.wanted - self.start) if self.balance else self.start - self.wanted

    @property
    def near(self) -> float:
        """What counts as reached, in the same units."""
        return self.mass * NEAR_BALANCE if self.balance else NEAR_MASS

    def arm(self, x: FloatArray) -> FloatArray:
        """What a gram at each x brings."""
        if not self.balance:
            return np.ones_like(x)
        return (self.wanted - x) * math.copysign(1.0, self.wanted - self.start)

    @property
    def helpful(self) -> tuple[float, float]:
        """Between which two x a hole brings the knife nearer to the target, mm."""
        if not self.balance:
            return -math.inf, math.inf
        return (-math.inf, self.wanted) if self.wanted > self.start else (self.wanted, math.inf)

    def short(self, knife: Knife) -> float:
        """What a finished knife, weighed, is short of; negative past the target."""
        total = weigh(knife).total
        if not self.balance:
            return total.amount - self.wanted
        return total.amount * (self.wanted - total.centre[0]) * math.copysign(1.0, self.wanted - self.start)


def add_lightening_to(
    knife: Knife,
    *,
    balance: float | None = None,
    mass: float | None = None,
    largest: float | None = None,
    made: Made = "cut",
) -> Knife:
    """The fewest lightening holes that bring the finished knife to a balance point or a mass, and the least removed.

    The result is weighed: no more than 0.02 mm or 0.02 g short of the target, and past it by as little wherever a
    mix of sizes, or a place a little nearer, can do that. How few holes do is found by a search:
    seldom fewer may do.

    Args:
        knife: To which they are added; fasteners first, lightening last.
        balance: Wanted balance point from the handle front at the spine, + towards the tip, mm; either this
        mass: or the wanted mass of the whole knife, g.
        largest: No hole wider than this, mm.
        made: When they are made.

    Raises:
        ParameterError: Both are wanted, or neither.
        PlacingError: A part of the knife is not weighed; or no legal set of holes reaches it: the closest is told.

    >>> import dataclasses
    >>> from bladegeom import weigh
    >>> bare = dataclasses.replace(knife, holes=())
    >>> wanted = weigh(bare).total.amount - 6.0
    >>> lighter = add_lightening_to(bare, mass=wanted)
    >>> abs(weigh(lighter).total.amount - wanted) < 0.02
    True
    """
    target = _target(knife, balance, mass)
    require_weighed(knife, "lightening to a wanted balance or mass")
    if target.needed <= target.near:
        return knife
    rear, front = target.helpful
    ground = ground_of(knife, largest=largest, made=made, rear=rear, front=front)
    weight, arm = grams_per_mm2(ground), target.arm(ground.xy[:, 0])
    worth, least = weight * arm, np.full(len(arm), ground.radii[0])
    goal = target.needed + _RESERVE * target.near
    while True:
        found = fewest_holes(Task(ground=ground, worth=worth, least=least), goal)
        if found.value < goal:
            nearest, count = _closest(target, ground, found)
            raise _unreachable(target, ground, nearest, count)
        done, short = _just(target, ground, weight, arm, found)
        if short <= target.near:
            return done
        # Where a taper bends under a hole, the hole takes out less than its centre tells: ask for so much more.
        goal += short


def _target(knife: Knife, balance: float | None, mass: float | None) -> _Target:
    checked("lightening holes: knife", knife, Knife)
    if (balance is None) == (mass is None):
        given = "not told" if balance is None else f"told twice, {balance:g} mm and {mass:g} g"
        raise ParameterError("lightening holes: goal", given, "be told by one of balance and mass")
    weighing = weigh(knife)
    total = weighing.total
    if balance is not None:
        checked("lightening holes: balance", balance, Coordinate)
        return _Target(wanted=balance, balance=True, start=total.centre[0], mass=total.amount)
    checked("lightening holes: mass", mass, Mass)
    if mass is not None and mass > total.amount + NEAR_MASS:
        raise PlacingError(
            f"the knife weighs {show_mass(total.amount)}, less than the {mass:g} g that are wanted: holes only take "
            "out; use thicker stock or heavier scales",
            value=total.amount,
            limit=mass,
        )
    return _Target(wanted=mass or 0.0, balance=False, start=total.amount, mass=total.amount)


def _just(target: _Target, ground: Ground, weight: FloatArray, arm: FloatArray, found: HoleSet) -> tuple[Knife, float]:
    """Holes at the places of a set, made smaller as far as the weighed knife still reaches the target.

    Returns:
        The knife, and what it is short of the target.
    """
    needed = target.needed
    while True:
        sizes = _smallest(ground, weight, arm, found, needed)
        smaller = [(place, size) for (place, _), size in zip(found.holes, sizes.tolist(), strict=True)]
        slid = _slid(target, ground, weight, arm, smaller, needed)
        knife = with_holes(ground.knife, [ground.hole(place, size) for place, size in slid])
        short = target.short(knife)
        if short <= target.near or sizes.tolist() == [size for _, size in found.holes]:
            return knife, short
        # Under a taper the middle of a hole is not quite its centre: ask for as much more as was missing.
        needed += short


def _slid(
    target: _Target, ground: Ground, weight: FloatArray, arm: FloatArray, holes: list[tuple[int, int]], needed: float
) -> list[tuple[int, int]]:
    """One hole put where all together bring what is needed and next to nothing more, if some place does that.

    Drills come in steps; places do not. Of all ways the one that takes out the least, and of those the shortest move.
    """
    gain = [float(weight[place] * arm[place] * ground.radii[size] ** 2) for place, size in holes]
    if sum(gain) < needed + target.near:
        return holes
    moves: list[tuple[float, float, int, int, int]] = []
    for i, (place, _) in enumerate(holes):
        room = room_beside(ground, [*holes[:i], *holes[i + 1 :]])
        away = ((ground.xy - ground.xy[place]) ** 2).sum(axis=1)
        for size, radius in enumerate(ground.radii.tolist()):
            over = sum(gain) - gain[i] + weight * arm * radius**2 - needed
            fine = np.flatnonzero((room >= radius) & (over >= 0) & (over < target.near))
            if len(fine):
                to = int(fine[away[fine].argmin()])
                moves.append((size - holes[i][1], float(away[to]), i, to, size))
    if not moves:
        return holes
    *_, i, to, size = min(moves)
    return [*holes[:i], (to, size), *holes[i + 1 :]]


def _smallest(
    ground: Ground, weight: FloatArray, arm: FloatArray, found: HoleSet, needed: float
) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Sizes, none above those of the set, that still bring what is needed and take out little; shape (n,).

    Holes that bring the least for a gram give way first; then every two are tried at all sizes against each other.
    """
    places = np.array([place for place, _ in found.holes])
    sizes = np.array([size for _, size in found.holes])
    mass = weight[places][:, None] * ground.radii**2
    mass[np.arange(len(ground.radii)) > sizes[:, None]] = np.inf
    gain = np.where(np.isfinite(mass), mass * arm[places][:, None], -np.inf)
    rows = np.arange(len(places))
    for i in np.argsort(arm[places], kind="stable"):
        others = gain[rows, sizes].sum() - gain[i, sizes[i]]
        enough = np.flatnonzero(others + gain[i] >= needed)
        sizes[i] = enough[0] if len(enough) else sizes[i]
    better = True
    while better:
        better = False
        for i, j in itertools.combinations(range(len(places)), 2):
            others = gain[rows, sizes].sum() - gain[i, sizes[i]] - gain[j, sizes[j]]
            both = np.where(others + gain[i][:, None] + gain[j] >= needed, mass[i][:, None] + mass[j], np.inf)
            k, m = np.unravel_index(int(both.argmin()), both.shape)
            if both[k, m] < mass[i, sizes[i]] + mass[j, sizes[j]] - 1e-9:
                sizes[i], sizes[j], better = k, m, True
    return sizes


def _closest(target: _Target, ground: Ground, found: HoleSet) -> tuple[Knife, int]:
    """The knife nearest to a target out of reach, and how many holes it has.

    What a hole brings towards a far balance is nearly its mass alone. The nearest balance is that of a set that brings
    most towards the balance that it has itself; the search goes from the balance reached to the next.

    Source:
        Dinkelbach, On nonlinear fractional programming, Management Science 13 (1967).
    """
    nearest, count = _drilled(ground, found), len(found.holes)
    for _ in range(_AGAIN if target.balance else 0):
        aim = dataclasses.replace(target, wanted=weigh(nearest).total.centre[0])
        there = aim.arm(ground.xy[:, 0])
        worth = grams_per_mm2(ground) * np.maximum(there, 0.0)
        least = np.where(there > 0, ground.radii[0], np.inf)
        again = search_holes(Task(ground=ground, worth=worth, least=least))
        drilled = _drilled(ground, again)
        gain = (weigh(drilled).total.centre[0] - aim.wanted) * math.copysign(1.0, target.wanted - target.start)
        if gain < NEAR_BALANCE:
            break
        nearest, count = drilled, len(again.holes)
    return nearest, count


def _drilled(ground: Ground, found: HoleSet) -> Knife:
    return with_holes(ground.knife, [ground.hole(place, size) for place, size in found.holes])


def _unreachable(target: _Target, ground: Ground, knife: Knife, holes: int) -> PlacingError:
    """The closest that can be reached, and what stops one more hole."""
    weighing = weigh(knife)
    # A hole ahead of the balance that is reached would bring it nearer to nothing but a lighter knife.
    there = dataclasses.replace(target, wanted=weighing.total.centre[0]) if target.balance else target
    rear, front = there.helpful
    why = one_more(knife, largest=2 * float(ground.radii[-1]), made=ground.made, rear=rear, front=front).words
    count = f"{holes} holes" if holes != 1 else "1 hole"
    wanted = target.wanted
    reached = weighing.balance_from_front if target.balance else weighing.total.amount
    told = (
        f"brings the balance to {from_front(wanted)}: the closest is {from_front(reached)}"
        if target.balance
        else f"brings the knife to {wanted:g} g: the closest is {show_mass(reached)}"
    )
    message = f"no legal set of lightening holes found {told}, with {count}. {why}"
    return PlacingError(message, value=wanted, limit=reached)
