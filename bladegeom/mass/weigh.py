"""Volume, mass, centre and inertia of the steel at each stage, and of the whole knife."""

from __future__ import annotations

import dataclasses
import itertools
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal, NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.handle.parts import handle_parts
from bladegeom.knife.grind import STAGES, Flank, Stage
from bladegeom.knife.hole import Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo, memo_of
from bladegeom.knife.side import Side
from bladegeom.knife.stock import Stock
from bladegeom.mass.openings import area_together, area_within, opening_polygon, parts_together, stand_apart
from bladegeom.solids.columns import missing
from bladegeom.solids.moments import NOTHING, Moments, of_layers, of_slab
from bladegeom.solids.part import G_PER_MM3, Part

State = Literal["bar", "plate"] | Stage

_STATES: Final[tuple[State, ...]] = ("bar", "plate", *STAGES)


@dataclass(frozen=True, kw_only=True)
class Step:
    """What the steel loses between two stages.

    Args:
        before: The earlier stage.
        after: The later one.
        volume: That is taken off.
        mass: Of that, g.
        balance_shift: How far along x the centre of what is left moves, + towards the tip, mm.

    >>> [(step.after, round(step.mass, 1)) for step in weigh(knife).steps]
    [('plate', 44.1), ('blank', 15.2), ('rough', 0.0), ('finished', 20.1), ('sharp', 0.1)]
    """

    before: str
    after: str
    volume: Moments
    mass: float
    balance_shift: float


class _Region(NamedTuple):
    """A part of the side view, and whether faces are ground on it."""

    shape: BaseGeometry
    faced: bool


class _Ground(NamedTuple):
    """A side as it is integrated: where its faces cut through the steel, nothing takes over, as another law would."""

    side: Side

    def laws(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """Those of the side, and a further one that lies lower than all of them just where no steel is left."""
        laws = self.side.laws(x, y)
        nothing = -laws[0] if self.side.alone else 0.0
        return np.concatenate([laws, (2 * laws.min(axis=0) - nothing)[None]])

    def height(self, x: FloatArray, y: FloatArray) -> FloatArray:
        """See :class:`Side`."""
        return self.side.height(x, y)


@dataclass(frozen=True)
class Weighing:
    """What a knife weighs, and where. Each number is computed when it is first asked for.

    The plate, its holes and the scales are exact. What faces and tapers take off is integrated; against solids of a
    CAD kernel the steel is true to 1e-4 of its mass, nearly all of it the chord tolerance of outline and edge.

    >>> weighing = weigh(knife)
    >>> [round(weighing.stage(stage).amount) for stage in ("blank", "finished")]
    [17071, 14456]
    >>> round(weighing.lightening_mass.amount, 1)
    13.4
    """

    knife: Knife

    @cached_property
    def bar(self) -> Moments:
        """Volume of the piece of bar that just holds the outline, its sides along x and y."""
        return self._plate(_box_moments(self.knife.outline.bounds))

    @cached_property
    def plate(self) -> Moments:
        """Volume of the steel as a full plate of the outline, no holes."""
        return self._plate(self.knife.outline.moments)

    @cached_property
    def by_holes(self) -> Moments:
        """Volume that the holes take out of the plate; where they run into each other it counts once."""
        return self._plate(self._area(self.knife.openings))

    @cached_property
    def blank(self) -> Moments:
        """Volume of the steel before grinding: the plate with its holes."""
        return self.plate - self.by_holes

    @cached_property
    def rough(self) -> Moments:
        """Volume of the steel when it goes to hardening."""
        return self.blank - self._ground_off("rough")

    @cached_property
    def finished(self) -> Moments:
        """Volume of the steel ground to size."""
        return _finished(self.knife)

    @cached_property
    def sharp(self) -> Moments:
        """Volume of the steel when it is sharpened."""
        return self.blank - self._ground_off("sharp")

    def stage(self, name: State) -> Moments:
        """Volume of the steel at a stage, or of the bar or the plate."""
        moments: Moments = getattr(self, name)
        return moments

    @cached_property
    def by_lightening(self) -> Moments:
        """Volume of finished steel that the lightening holes take out."""
        holes = tuple(hole for hole in self.knife.openings if hole.purpose == "lightening")
        return self._plate(self._area(holes)) - self._ground("finished", self._openings(holes))

    @cached_property
    def blade(self) -> Part:
        """The finished steel."""
        return Part(name="blade", material=self.knife.stock.material, volume=self.finished)

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        """Of the finished knife, the blade first."""
        return (self.blade, *handle_parts(self.knife))

    @cached_property
    def total(self) -> Moments:
        """Moments of mass of the whole knife."""
        return sum((part.mass for part in self.parts), NOTHING)

    @cached_property
    def lightening_mass(self) -> Moments:
        """Moments of mass of the steel that the lightening holes take out."""
        return self.by_lightening.times(self.knife.stock.material.density_g_cm3 * G_PER_MM3)

    @cached_property
    def without_lightening(self) -> Moments:
        """Moments of mass of the knife as it were without its lightening holes."""
        return self.total + self.lightening_mass

    @property
    def balance_from_front(self) -> float:
        """Balance point along x from the handle front at the spine, + towards the tip, mm: as it is told everywhere.

        NaN where there is nothing.
        """
        return self.total.centre[0]

    @property
    def balance_from_middle(self) -> float:
        """The same from where the handle front crosses the tang's mid height, mm; another number if the front leans."""
        return self.total.centre[0] - self.knife.handle_front_middle[0]

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """What each step of the work takes off, from the bar to the sharp blade."""
        return tuple(self.between(before, after) for before, after in itertools.pairwise(_STATES))

    def between(self, before: State, after: State) -> Step:
        """What the steel loses between any two states of the work."""
        was, left = self.stage(before), self.stage(after)
        gone = was - left
        return Step(
            before=before,
            after=after,
            volume=gone,
            mass=gone.amount * self.knife.stock.material.density_g_cm3 * G_PER_MM3,
            balance_shift=left.centre[0] - was.centre[0],
        )

    @cached_property
    def _regions(self) -> tuple[_Region, ...]:
        """The steel ahead of the plunge line and, where a taper is ground on it, behind; holes filled."""
        ahead = self.knife.bevel_region
        if not self.knife.stock.taper:
            return (_Region(ahead, faced=True),)
        behind = shapely.difference(self.knife.outline.polygon, ahead)
        if behind.is_empty or not _is_thinned(self.knife.stock, *behind.bounds[::2]):
            return (_Region(ahead, faced=True),)
        return _Region(ahead, faced=True), _Region(behind, faced=False)

    @cached_property
    def _apart(self) -> bool:
        return stand_apart(self.knife)

    def _area(self, holes: tuple[Opening, ...]) -> FloatArray:
        return area_within(holes) if self._apart else area_together(self.knife, holes)

    def _openings(self, holes: tuple[Opening, ...]) -> tuple[_Region, ...]:
        """The parts of holes in those regions; each on its own, so that none falls between two columns."""
        if not self._apart:
            return tuple(
                _Region(part, faced=region.faced)
                for region in self._regions
                for part in parts_together(region.shape, holes)
            )
        return tuple(
            _Region(shapely.intersection(region.shape, opening_polygon(hole)), faced=region.faced)
            for region in self._regions
            for hole in holes
            if shapely.LineString(hole.axis).distance(region.shape) < hole.diameter / 2
        )

    def _ground_off(self, stage: Stage) -> Moments:
        """Volume of steel that is ground off the blank until a stage."""
        if self.blank.amount == 0:
            return NOTHING
        return _ground_off_plate(self.knife, stage) - self._ground(stage, self._openings(self.knife.openings))

    def _ground(self, stage: Stage, regions: tuple[_Region, ...]) -> Moments:
        """Volume that is ground off the plate until a stage, over some regions."""
        if self.knife.grind.only is None:
            right = self._ground_side(stage, "right", regions)
            return right + right.mirrored()
        return self._ground_side(stage, "right", regions) + self._ground_side(stage, "left", regions).mirrored()

    def _ground_side(self, stage: Stage, flank: Flank, regions: tuple[_Region, ...]) -> Moments:
        side = self.knife.side(stage, flank)
        bare = dataclasses.replace(side, faces=())
        full, breaks = self.knife.stock.thickness / 2, tuple(x for x, _ in side.stock.taper)
        total = NOTHING
        for region in regions:
            surface = side if region.faced else bare
            if surface.faces or surface.stock.taper:
                total += of_layers(missing(region.shape, _Ground(surface), full, breaks=breaks))
        return total

    def _plate(self, area: FloatArray) -> Moments:
        half = self.knife.stock.thickness / 2
        return of_slab(area, half) + of_slab(area, -half)


@memo
def weigh(knife: Knife) -> Weighing:
    """Weigh a knife: the steel with faces, tapers and holes, contoured scales, liners and hardware.

    Raises:
        ParameterError: It is no knife.

    >>> weighing = weigh(knife)
    >>> [(part.name, round(part.mass.amount, 1)) for part in weighing.parts][:3]
    [('blade', 111.3), ('right scale', 27.2), ('left scale', 27.2)]
    >>> round(weighing.total.amount, 1), round(weighing.balance_from_front, 1)
    (175.3, -31.9)
    """
    return Weighing(knife)


@memo_of(lambda knife: (knife.outline, knife.stock, knife.grind))
def _ground_off_plate(knife: Knife, stage: Stage) -> Moments:
    """Volume that is ground off until a stage, holes filled."""
    weighing = weigh(knife)
    return weighing._ground(stage, weighing._regions)


@memo_of(lambda knife: (knife.outline, knife.stock, knife.grind, knife.openings))
def _finished(knife: Knife) -> Moments:
    """Volume of the steel ground to size."""
    weighing = weigh(knife)
    return weighing.blank - weighing._ground_off("finished")


def _is_thinned(stock: Stock, first: float, last: float) -> bool:
    """Whether a taper takes anything off the bar between two x."""
    places = np.array([first, *(x for x, _ in stock.taper if first < x < last), last])
    return bool((stock.half_thickness(places) < stock.thickness / 2).any())


def _box_moments(bounds: tuple[float, float, float, float]) -> FloatArray:
    """Integrals of 1, x, y, x^2, x y, y^2 over a rectangle, shape (6,), mm."""
    x0, y0, x1, y1 = bounds
    (x, y), (w, h) = ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0, y1 - y0)
    return w * h * np.array([1.0, x, y, x * x + w * w / 12, x * y, y * y + h * h / 12])
