"""What pins and tubes have in common: they go right through and are ground flush with both scales."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.fasteners.alike import close, grouped
from bladegeom.fasteners.hardware import Hardware, Hold, New, Stack
from bladegeom.fasteners.layer_stack import LayerStack
from bladegeom.fasteners.section_shapes import FAR, dimension_of
from bladegeom.fasteners.stack_limits import Limit
from bladegeom.fasteners.stack_parts import SAW_CUT, ChosenHole, Cut, FastenerSection, Fitting, RodPiece, Solid
from bladegeom.fasteners.stack_words import Numbers, key
from bladegeom.knife.finding import Finding
from bladegeom.knife.hardware.bore import SLIP, Bore, HoleSize, Layer, Play, broken_rims, hole_for
from bladegeom.quantities.drills import Drill
from bladegeom.quantities.interval import Interval
from bladegeom.quantities.shown import room_to_buy, sawn_length
from bladegeom.quantities.units import show_length
from bladegeom.solids.revolve import Ring

OVER_GLUED = 2.5
"""Added to the stack when a glued rod is cut to length, both ends together, mm.

Source: common practice, no source: 2 to 3 mm.
"""

OVER_PEENED = 0.5
"""Added at each end of a rod that is peened, in its diameters.

Source: from memory of riveting practice, unconfirmed.
"""

ROD_LENGTH = key("length", "finished rod")
CUT_LENGTH = key("cut_length", "rod as sawn")


@dataclass(frozen=True, kw_only=True)
class Rod(Hardware):
    """A rod or a tube as it is declared."""

    @property
    @abstractmethod
    def width(self) -> float:
        """Outside diameter, mm."""

    @property
    @abstractmethod
    def is_peened(self) -> bool:
        """Whether its ends are hammered wide."""

    @property
    @abstractmethod
    def stock_words(self) -> str:
        """What is bought: "Rod of 304, 4.00 mm (0.157 in) in diameter"."""

    @property
    def hold(self) -> Hold:
        """It is glued or peened."""
        return Hold.STAYS

    def at(self, layers: LayerStack) -> Stack:
        """Its stack at a place."""
        return RodStack(layers, self)


def bores_of(
    diameter: float, tang: HoleSize, tang_play: Play, scale: HoleSize, index: Sequence[Drill]
) -> tuple[Bore, ...]:
    """Through holes in all layers; liners are drilled with their scale."""
    in_tang = hole_for(tang, diameter, tang_play, index)
    in_scale = hole_for(scale, diameter, SLIP, index)
    return (
        Bore(layer="tang", shape="through hole", diameter=in_tang.diameter, drill=in_tang),
        Bore(layer="liner", shape="through hole", diameter=in_scale.diameter, drill=in_scale),
        Bore(layer="scale", shape="through hole", diameter=in_scale.diameter, drill=in_scale),
    )


def chosen_of(diameter: float, tang: HoleSize, tang_play: Play, scale: HoleSize) -> tuple[ChosenHole, ...]:
    """Of the two holes those that are declared."""
    holes: tuple[tuple[Layer, HoleSize, Play], ...] = (("tang", tang, tang_play), ("scale", scale, SLIP))
    return tuple(
        ChosenHole(layer=layer, drill=drill, goes_through=diameter, play=play)
        for layer, drill, play in holes
        if isinstance(drill, Drill)
    )


@dataclass(frozen=True, eq=False)
class RodStack(Stack):
    """A rod or tube in its place."""

    hardware: Rod

    @cached_property
    def surface(self) -> tuple[Interval, Interval]:
        """Lowest and highest of the finished face over the rod, above the scale's inside face, mm."""
        return self.layers.surface(self.hardware.width)

    @cached_property
    def flush(self) -> Interval:
        """Length of the finished rod: from face to face where the scales are highest over it, mm."""
        return 2 * (self.layers.inside + self.surface[1])

    @cached_property
    def cut_length(self) -> Interval:
        """To which the rod is sawn, mm: glued in flat slabs and ground with them, or peened on the finished scales."""
        if self.hardware.is_peened:
            return self.flush + 2 * OVER_PEENED * self.hardware.width
        return 2 * (self.layers.inside + self.layers.slab) + OVER_GLUED

    @property
    def numbers(self) -> Numbers:
        """All that the papers tell of it, mm."""
        return Numbers({ROD_LENGTH: self.flush, CUT_LENGTH: self.cut_length})

    @property
    def screw(self) -> None:
        """It has none."""

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Through holes in all layers."""
        return tuple(Cut(bore=bore) for bore in self.layers.bores)

    @property
    def removed(self) -> tuple[Ring, ...]:
        """From each scale."""
        return (Ring(inner=0.0, outer=self.layers.hole.diameter / 2, low=None, high=None),)

    @property
    def solids(self) -> tuple[Solid, ...]:
        """Its metal on each side."""
        ring = Ring(inner=(self.hardware.passage or 0.0) / 2, outer=self.hardware.width / 2, low=(0.0, 0.0), high=None)
        return tuple(Solid(name=name, material=made_of, rings=(ring,)) for name, made_of in self.hardware.materials)

    def section(self, finished: BaseGeometry) -> FastenerSection:
        """A rod is drawn whole, a tube cut; dashed as it is sawn."""
        inside, r, half = (self.hardware.passage or 0.0) / 2, self.hardware.width / 2, self.cut_length.nominal / 2
        walls = [shapely.box(-FAR, low, FAR, high) for low, high in ((-r, -inside), (inside, r))]
        metal = shapely.union_all(walls) if inside else shapely.box(-FAR, -r, FAR, r)
        metal = metal.intersection(finished)
        top = self.layers.inside.nominal + self.surface[1].nominal
        return FastenerSection(
            hatched=(metal,) if inside else (),
            plain=() if inside else (metal,),
            dashed=(shapely.box(-half, -r, half, r).boundary.difference(finished),),
            above=(
                dimension_of(ROD_LENGTH, -top, top, r),
                dimension_of(CUT_LENGTH, -half, half, r),
            ),
            below=(),
        )

    @property
    def limits(self) -> tuple[Limit, ...]:
        """None: it is sawn to whatever the layers are."""
        return ()

    def single_changes(self) -> Iterator[New]:
        """None, as it misses nothing."""
        yield from ()

    def whole_changes(self) -> Iterator[New]:
        """None, as it misses nothing."""
        yield from ()

    def change_words(self, new: New) -> str:
        """Its fields as a maker writes them."""
        return ", ".join(f"{name}={value!r}" for name, value in new.items())

    def why_never(self, limit: Limit) -> str:  # noqa: ARG002  # it has none
        """Nothing."""
        return ""

    @classmethod
    def compared(cls, at: Sequence[RodStack]) -> Iterator[Finding]:  # noqa: ARG003  # each is sawn to its own length
        """Nothing."""
        yield from ()

    @classmethod
    def to_buy(cls, at: Sequence[RodStack]) -> Iterator[str]:
        """Rod by its whole length, with the pieces."""
        for words, group in grouped((stack.hardware.stock_words, stack) for stack in at):
            sawn = [(len(alike), _sawn_length(alike)) for alike in _sawn_alike(group)]
            pieces = ", ".join(f"{count} of {sawn_length(long)}" for count, long in sawn)
            whole = sum(count * (long + SAW_CUT) for count, long in sawn)
            yield f"{words}: {room_to_buy(whole)} in all for {pieces}, {show_length(SAW_CUT)} a saw cut."

    @property
    def pieces(self) -> tuple[str, ...]:
        """None: it is bought by the length."""
        return ()

    @property
    def rod(self) -> RodPiece:
        """As it is sawn."""
        return RodPiece(
            metal=self.hardware.materials[0][1],
            diameter=self.hardware.width,
            inside=self.hardware.passage,
            length=self.cut_length.nominal,
        )

    @classmethod
    def fitted(cls, at: Sequence[RodStack]) -> Iterator[Fitting]:
        """Glued ones are sawn for the slabs; peened ones are the last of all."""
        for group in _sawn_alike([stack for stack in at if not stack.hardware.is_peened]):
            slab = 2 * (group[0].layers.inside + group[0].layers.slab).nominal
            over = (_sawn_length(group) - slab) / 2
            note = "After the trial: roughen, degrease, glue in; grind flush when it has set."
            yield _sawn(group, f"stands out {show_length(over)} on each side of the slabs. {note}")
        yield from _peened([stack for stack in at if stack.hardware.is_peened])

    @property
    def trial(self) -> str:
        """A peened one is tried with a piece of the same rod."""
        return "a longer piece of the rod, pushed through" if self.hardware.is_peened else ""

    @property
    def gluing(self) -> str:
        """Peened ones come last; the scales are kept in place without them."""
        words = "Waxed pieces of the rod hold the scales in the holes of peened pins; they come out when it has set."
        return words if self.hardware.is_peened else ""

    @property
    def if_tang_thinner(self) -> str:
        """It is ground flush, or sawn afterwards."""
        return ""


def _peened(rods: Sequence[RodStack]) -> Iterator[Fitting]:
    """Last of all: a head that is peened on the flat slab would be ground off with the contour."""
    if not rods:
        return
    names = tuple(stack.layers.name for stack in rods)
    yield Fitting(
        holes=names,
        part="handle",
        operation="contour the scales to their finished shape, before any peening",
        tool="gauges of the handle pages",
        note="Scales glued or held by loose rods. Peened on the flat slabs, the heads would be ground off.",
        when="at contouring",
    )
    yield Fitting(
        holes=names,
        part="both scales",
        operation=f"chamfer the holes on the finished outside, {broken_rims()}",
        tool="countersink turned by hand",
        note="The rod swells into it and holds the scale.",
        when="on the finished scales",
    )
    for group in _sawn_alike(rods):
        over = OVER_PEENED * group[0].hardware.width
        yield _sawn(group, f"stands out {show_length(over)}, half a diameter, on each side of the finished scales.")
    yield Fitting(
        holes=names,
        part="rods",
        operation="peen both ends",
        tool="ball-peen hammer, on a steel block",
        note="Light blows from both sides in turn, scales closed; stop when the chamfer is full, dress the heads.",
        when="on the finished scales",
    )


def _sawn(group: Sequence[RodStack], note: str) -> Fitting:
    rod = group[0].hardware
    return Fitting(
        holes=tuple(stack.layers.name for stack in group),
        part="rods",
        operation=f"saw to {sawn_length(_sawn_length(group))}, ends square and broken",
        tool=f"{rod.kind}, {show_length(rod.width)}",
        note=f"{len(group)} to saw; {note}",
        when="on the finished scales" if rod.is_peened else "before the trial",
        measures=True,
    )


def _sawn_alike(rods: Sequence[RodStack]) -> Iterator[list[RodStack]]:
    """Rods of one kind whose lengths nobody saws apart."""
    for _, group in grouped((stack.hardware, stack) for stack in rods):
        within = group[0].layers.knife.shop.tolerances.told_apart
        yield from close(group, lambda stack: (stack.cut_length.nominal,), within)


def _sawn_length(group: Sequence[RodStack]) -> float:
    """To which rods alike are sawn: the longest, as each is ground flush or peened afterwards, mm."""
    return max(stack.cut_length.nominal for stack in group)
