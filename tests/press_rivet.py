"""A press rivet: a kind of fastener that only tests have, and all that a kind has to say.

Two halves with thin heads on round barrels, the one solid and the other hollow; pressed into each other they hold by
the tightness of the fit. The heads stand in counterbores and are ground flush. Sizes and limits are invented.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, Self

import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.fasteners.alike import grouped
from bladegeom.fasteners.hardware import Hardware, Hold, New, Stack
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.rod import bores_of, chosen_of
from bladegeom.fasteners.section_shapes import both, dimension_of, region_of
from bladegeom.fasteners.stack_fix import down, possible, up
from bladegeom.fasteners.stack_limits import FITS_TOGETHER, Limit, too_thin
from bladegeom.fasteners.stack_parts import ChosenHole, Counterbore, Cut, FastenerSection, Fitting, Solid, Wall
from bladegeom.fasteners.stack_words import COUNTERBORE_DEPTH, FLOOR, HEAD_LEFT, Numbers, key
from bladegeom.knife.finding import Finding
from bladegeom.knife.hardware.bore import GLUED, HEAD, Bore, HoleSize, hole_for, require_room
from bladegeom.knife.hole import Purpose
from bladegeom.quantities.declared import declared
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.interval import Interval, give_or_take
from bladegeom.quantities.materials import AnyMaterial, Material, material
from bladegeom.quantities.tolerances import SHOP
from bladegeom.quantities.units import show_length, show_mm
from bladegeom.solids.revolve import Ring

OVERLAP = key("overlap", "barrels in each other")

LEAST_OVERLAP = 2.0
"""Of the barrels, mm; made up for the tests."""


@declared("press rivet")
class PressRivet(Hardware):
    """A rivet of two halves, lengths in mm.

    Args:
        metal: Of both.
        barrel: Diameter outside the hollow half.
        post: Diameter of the solid half.
        barrel_length: Of either half, from under its head.
        head_diameter: Of either.
        head_height: Of either.
        head_left: Wanted of each head after contouring.
        scale_hole: Drill for the barrel in liners and scales; None takes one for a slip fit.
    """

    metal: AnyMaterial
    barrel: Length
    post: Length
    barrel_length: Length
    head_diameter: Length
    head_height: Length = 1.6
    head_left: Length = 1.2
    scale_hole: HoleSize = None

    def __post_init__(self) -> None:
        if not self.post < self.barrel < self.head_diameter or self.head_left > self.head_height:
            raise ParameterError(
                "press rivet", repr(self), "have a post in a barrel, and no more left of a head than is"
            )
        require_room(self, "press rivet", scale_hole=self.barrel)

    @property
    def kind(self) -> str:
        return "press rivet"

    @property
    def purpose(self) -> Purpose:
        return "fastener"

    @property
    def materials(self) -> tuple[tuple[str, Material], ...]:
        return (("press rivet", material(self.metal)),)

    @property
    def hold(self) -> Hold:
        return Hold.STAYS

    @property
    def without_scales(self) -> Literal["error"]:
        return "error"

    @property
    def passage(self) -> None:
        return None

    @property
    def walls(self) -> tuple[Wall, ...]:
        words = "of the hollow half round the post"
        return (Wall(field="barrel", outer=self.barrel, words=words, inner=self.post, other="take a thinner post"),)

    @property
    def chosen_holes(self) -> tuple[ChosenHole, ...]:
        return chosen_of(self.barrel, None, GLUED, self.scale_hole)

    def bores(self, index: Sequence[Drill]) -> tuple[Bore, ...]:
        over = hole_for(None, self.head_diameter, HEAD, index)
        return (
            *bores_of(self.barrel, None, GLUED, self.scale_hole, index),
            Bore(layer="scale", shape="counterbore", diameter=over.diameter, drill=over),
        )

    def of_metal(self, metal: str) -> Self:
        return dataclasses.replace(self, metal=metal)

    def at(self, layers: LayerStack) -> RivetStack:
        return RivetStack(layers, self)


@dataclass(frozen=True, eq=False)
class RivetStack(Stack):
    """A rivet in its place."""

    hardware: PressRivet

    @cached_property
    def surface(self) -> Interval:
        """The finished face where it is lowest over the head, above the scale's inside face, mm."""
        return self.layers.surface(self.hardware.head_diameter)[0]

    @cached_property
    def counterbore_depth(self) -> Interval:
        seat, tolerances = self.surface.nominal - self.hardware.head_left, self.layers.knife.shop.tolerances
        return give_or_take(tolerances.to_set(self.layers.slab.nominal - seat), tolerances.depth_stop)

    @cached_property
    def floor(self) -> Interval:
        return self.layers.slab - self.counterbore_depth

    @cached_property
    def head_left(self) -> Interval:
        return self.surface - self.floor

    @cached_property
    def overlap(self) -> Interval:
        barrel = give_or_take(self.hardware.barrel_length, self.layers.knife.shop.tolerances.sleeve)
        return 2 * barrel - 2 * (self.layers.inside + self.floor)

    @property
    def numbers(self) -> Numbers:
        heads = {COUNTERBORE_DEPTH: self.counterbore_depth, FLOOR: self.floor, HEAD_LEFT: self.head_left}
        return Numbers({**heads, OVERLAP: self.overlap})

    @property
    def screw(self) -> None:
        return None

    @property
    def cuts(self) -> tuple[Cut, ...]:
        sunk = Counterbore(depth=self.counterbore_depth, lets_in=self.hardware.head_diameter)
        return tuple(Cut(bore=b, sunk=sunk if b.shape == "counterbore" else None) for b in self.layers.bores)

    @property
    def seat(self) -> float:
        """Height of the head's seat over the middle plane, mm."""
        return (self.layers.inside + self.floor).nominal

    @property
    def removed(self) -> tuple[Ring, ...]:
        hole, over = self.layers.hole.diameter / 2, self.layers.widest_outside / 2
        return (
            Ring(inner=0.0, outer=hole, low=None, high=None),
            Ring(inner=hole, outer=over, low=(self.seat, self.seat), high=None),
        )

    @property
    def rings(self) -> tuple[Ring, ...]:
        """Head and barrel on one side; the solid half fills the hollow one, so that together they are a round bar."""
        top = self.seat + self.hardware.head_height
        return (
            Ring(inner=0.0, outer=self.hardware.barrel / 2, low=(0.0, 0.0), high=(self.seat, self.seat)),
            Ring(inner=0.0, outer=self.hardware.head_diameter / 2, low=(self.seat, self.seat), high=(top, top)),
        )

    @property
    def solids(self) -> tuple[Solid, ...]:
        return tuple(Solid(name=name, material=of, rings=self.rings) for name, of in self.hardware.materials)

    def section(self, finished: BaseGeometry) -> FastenerSection:
        half = shapely.union_all([region_of(ring) for ring in self.rings])
        inside, barrel, head = self.layers.inside.nominal, self.hardware.barrel / 2, self.hardware.head_diameter / 2
        end = self.hardware.barrel_length - self.seat
        slab, low = inside + self.layers.slab.nominal, inside + self.surface.nominal
        return FastenerSection(
            hatched=(),
            plain=both(half.intersection(finished)),
            dashed=both(half.boundary.difference(finished)),
            above=(
                dimension_of(FLOOR, inside, self.seat, barrel),
                dimension_of(COUNTERBORE_DEPTH, self.seat, slab, head),
                dimension_of(HEAD_LEFT, self.seat, low, head),
            ),
            below=(dimension_of(OVERLAP, -end, end, barrel),),
        )

    @property
    def limits(self) -> tuple[Limit, ...]:
        rules = self.layers.knife.handle_rules
        if self.floor.nominal < -SHOP:
            words = "the scale is thinner than what is to be left of the rivet's head: over the liners it"
            return (too_thin(rules, words, self.surface, self.hardware.head_left),)
        return (
            Limit(
                code="head-left",
                number=HEAD_LEFT,
                words="what is left of the head after contouring",
                below_nought="it is ground through",
                value=self.head_left,
                least=rules.head_left,
                source=rules.source("head_left"),
            ),
            Limit(
                code="rivet-overlap",
                number=OVERLAP,
                words="the length by which the barrels reach into each other",
                below_nought="they do not meet",
                value=self.overlap,
                least=LEAST_OVERLAP,
                source=FITS_TOGETHER,
            ),
        )

    def single_changes(self) -> Iterator[New]:
        for by in sorted({limit.missing for limit in self.limits if limit.severity}):
            for name, change in (("barrel_length", up(by)), ("head_left", up(by)), ("head_left", down(-by))):
                new = {name: getattr(self.hardware, name) + change}
                if possible(self, new):
                    yield new

    def whole_changes(self) -> Iterator[New]:
        yield from ()

    def change_words(self, new: New) -> str:
        return "take a rivet with " + ", ".join(f"{name}={value:g}" for name, value in new.items())

    def why_never(self, limit: Limit) -> str:
        longest = 2 * self.hardware.barrel_length
        return "the barrels are shorter than that" if limit.number == OVERLAP and longest < limit.least else ""

    @classmethod
    def compared(cls, at: Sequence[Self]) -> Iterator[Finding]:
        """Rivets that are not alike: a shop buys one size."""
        if len({stack.hardware for stack in at}) > 1:
            yield Finding(
                code="rivets-differ", severity="note", part=at[0].layers.name, message="rivets of several sizes"
            )

    @classmethod
    def to_buy(cls, at: Sequence[Self]) -> Iterator[str]:
        for rivet, group in grouped((stack.hardware, stack) for stack in at):
            (_, metal), heads = rivet.materials[0], show_length(rivet.head_diameter)
            yield f"Press rivets: {len(group)} pairs of {metal.name}, heads {heads}."

    @property
    def pieces(self) -> tuple[str, ...]:
        (_, metal), rivet = self.hardware.materials[0], self.hardware
        return (f"press rivet {metal.name}, {show_mm(rivet.barrel)} x {show_mm(rivet.barrel_length)} mm",)

    @property
    def rod(self) -> None:
        return None

    @classmethod
    def fitted(cls, at: Sequence[Self]) -> Iterator[Fitting]:
        yield Fitting(
            holes=[stack.layers.name for stack in at],
            part="rivets",
            operation="press the halves together, heads to their seats",
            tool="arbor press or vice, flat faces",
            note=f"{len(at)} to press, while the glue is wet; they cannot be drawn again.",
            when="at gluing",
        )

    @property
    def trial(self) -> str:
        return "heads seat in their counterbores; do not press yet"

    @property
    def gluing(self) -> str:
        return "Press rivets clamp the scales: press them while the glue is wet."

    @property
    def if_tang_thinner(self) -> str:
        return "face each barrel half as much shorter"
