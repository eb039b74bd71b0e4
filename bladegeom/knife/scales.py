"""Scales and liners as a maker declares them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Annotated

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.monotone import monotone
from bladegeom.knife.stations import Stations, require_stations
from bladegeom.quantities.declared import declared
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.field_rules import Distance, Length, Like
from bladegeom.quantities.materials import AnyMaterial, Material, material
from bladegeom.quantities.units import show_length


@declared("liner", example='Liner(sheet="NEMA G-10", thickness=0.8)')
class Liner:
    """A thin sheet between tang and scale, cut to the outline of the scale.

    Args:
        sheet: A name from the table of materials, or a Material of the shop's own.
        thickness: More than 0 mm.

    >>> Liner(sheet="G-10", thickness=0.8).thickness
    0.8
    """

    sheet: AnyMaterial
    thickness: Length

    @property
    def material(self) -> Material:
        """The sheet's material with its density and source."""
        return material(self.sheet)


@declared("rounding", example="Rounding(width=10.0, depth=3.0)")
class Rounding:
    """An arc from the flat of a scale, to which it is tangent, down to the scale's border.

    Equal numbers make a quarter circle; a wide and shallow one makes a dome.

    Args:
        width: From the border to where the flat begins, > 0 mm.
        depth: What is gone at the border, > 0 mm and at most the width.

    Raises:
        ParameterError: Deeper than wide: no arc would do it.

    >>> Rounding(width=12.0, depth=2.0).depth
    2.0
    """

    width: Length
    depth: Length

    def __post_init__(self) -> None:
        if self.depth > self.width:
            raise ParameterError(
                "rounding: depth", show_length(self.depth), f"be at most the width, {show_length(self.width)}"
            )

    @property
    def radius(self) -> float:
        """Of the arc, mm."""
        return (self.width**2 + self.depth**2) / (2 * self.depth)

    def drop(self, distance: FloatArray) -> FloatArray:
        """What is gone at distances from the border, shape (n,), mm.

        Beyond the width it turns negative, with the arc's own curvature: the least of the flat and of what an arc
        leaves is then the face.
        """
        left, r = self.width - distance, self.radius
        arc = r - np.sqrt(np.maximum(r * r - np.clip(left, 0.0, self.width) ** 2, 0.0))
        return np.asarray(np.where(left >= 0, arc, -(left**2) / (2 * r)))


@declared("scales", example='Scales(slab="NEMA L", thickness=7.0)')
class Scales:
    """A pair of slabs, one on each side of the tang, cut to its outline; the left one mirrors the right one.

    Args:
        slab: A name from the table of materials, or a Material of the shop's own.
        thickness: Of each finished scale at its thickest, > 0 mm.
        liners: Under each scale, from the tang outwards.
        liners_glued: Whether they are glued to the scales before these are drilled, and never come off again;
            without liners it means nothing.
        swell: Stations (x, thickness) of the finished scale's flat, from the butt to the handle front, mm: between
            them the thickness runs smoothly without overshooting, outside it stays. Empty leaves it even.
        rounding: Arcs to the border along top, butt and underside; several add up, such as a dome and a broken edge.
        front_rounding: The same along the handle front.
        sanding: Left on the slab when it is drilled and glued, mm: the slab is bought this much thicker.
        overhang: Left round the tang when the scale is cut out, ground flush after gluing, mm; none at the front.
        margin: Round the cut-out scale on the piece to buy, mm.

    Raises:
        UnknownNameError: No such material.
        ParameterError: A thickness that is not positive or more than the slab's, roundings deeper than the scale.

    >>> from bladegeom import Liner
    >>> Scales(slab="NEMA L", thickness=7.0, liners=(Liner(sheet="G-10", thickness=0.8),)).material.name
    'NEMA L'
    """

    slab: AnyMaterial
    thickness: Length
    liners: tuple[Liner, ...] = ()
    liners_glued: bool = False
    swell: Stations = ()
    rounding: Annotated[Rounding | tuple[Rounding, ...], Like("Rounding(width=10.0, depth=3.0)")] = ()
    front_rounding: Rounding | None = None
    sanding: Distance = 0.5
    overhang: Distance = 1.5
    margin: Distance = 4.0

    def __post_init__(self) -> None:
        require_stations("scales: swell", self.swell, most=self.thickness, whose="scale")
        thinnest = min((thick for _, thick in self.swell), default=self.thickness)
        gone = sum(rounding.depth for rounding in self.roundings)
        corner = gone + (self.front_rounding.depth if self.front_rounding else 0.0)
        if corner >= thinnest:
            raise ParameterError(
                "scales: rounding depth",
                show_length(corner),
                f"leave some of the thinnest place, {show_length(thinnest)}, at the border and at the front's corners",
            )

    @property
    def material(self) -> Material:
        """The slab's material with its density and source."""
        return material(self.slab)

    @property
    def roundings(self) -> tuple[Rounding, ...]:
        """Arcs to the border, if any."""
        return (self.rounding,) if isinstance(self.rounding, Rounding) else self.rounding

    @property
    def front_roundings(self) -> tuple[Rounding, ...]:
        """The arc to the handle front, if there is one."""
        return (self.front_rounding,) if self.front_rounding else ()

    @property
    def liner(self) -> float:
        """Thickness of all liners of one side, mm."""
        return sum(liner.thickness for liner in self.liners)

    @property
    def glued_liners(self) -> bool:
        """Whether there are liners that are glued to the scales before these are drilled."""
        return self.liners_glued and bool(self.liners)

    @property
    def slab_thickness(self) -> float:
        """Of the slab as it is bought, drilled and glued, mm."""
        return self.thickness + self.sanding

    @property
    def is_flat(self) -> bool:
        """Whether the finished face is one plane, square to the border."""
        return not (self.swell or self.rounding or self.front_rounding)

    def flat(self, x: FloatArray) -> FloatArray:
        """Thickness at each x before any rounding, shape (n,), mm."""
        return self._flat(x) if self.swell else np.full(np.shape(x), self.thickness)

    @cached_property
    def _flat(self) -> Callable[[FloatArray], FloatArray]:
        x, thick = np.array(self.swell).T
        return monotone(x, thick)
