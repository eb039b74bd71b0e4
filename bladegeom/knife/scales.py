"""Scales and liners as a maker declares them."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.monotone import monotone
from bladegeom.knife.require import require_all, require_finite, require_kind, require_not_negative, require_positive
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tables import Material, material
from bladegeom.quantities.units import show_length


@dataclass(frozen=True, kw_only=True)
class Liner:
    """A thin sheet between tang and scale, cut to the outline of the scale.

    Args:
        sheet: A name from the table of materials, or a Material of the shop's own.
        thickness: > 0 mm.
    """

    sheet: str | Material
    thickness: float

    def __post_init__(self) -> None:
        require_positive("liner", thickness=self.thickness)
        object.__setattr__(self, "sheet", material(self.sheet))

    @property
    def material(self) -> Material:
        """The sheet's material with its density and source."""
        return material(self.sheet)


@dataclass(frozen=True, kw_only=True)
class Rounding:
    """An arc from the flat of a scale, to which it is tangent, down to the scale's border.

    Equal numbers make a quarter circle; a wide and shallow one makes a dome.

    Args:
        width: From the border to where the flat begins, > 0 mm.
        depth: What is gone at the border, > 0 mm and at most the width.

    Raises:
        ParameterError: Deeper than wide: no arc would do it.
    """

    width: float
    depth: float

    def __post_init__(self) -> None:
        require_positive("rounding", width=self.width, depth=self.depth)
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


@dataclass(frozen=True, kw_only=True)
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
    """

    slab: str | Material
    thickness: float
    liners: tuple[Liner, ...] = ()
    liners_glued: bool = False
    swell: tuple[tuple[float, float], ...] = ()
    rounding: Rounding | tuple[Rounding, ...] = ()
    front_rounding: Rounding | None = None
    sanding: float = 0.5
    overhang: float = 1.5
    margin: float = 4.0

    def __post_init__(self) -> None:
        require_positive("scales", thickness=self.thickness)
        require_not_negative("scales", sanding=self.sanding, overhang=self.overhang, margin=self.margin)
        object.__setattr__(self, "slab", material(self.slab))
        require_all("scales", Liner, 'liners=(Liner(sheet="NEMA G-10", thickness=0.8),)', liners=self.liners)
        object.__setattr__(self, "liners", tuple(self.liners))
        require_kind("scales", bool, "liners_glued=True", liners_glued=self.liners_glued)
        rounding = (self.rounding,) if isinstance(self.rounding, Rounding) else self.rounding
        require_all("scales", Rounding, "rounding=Rounding(width=10.0, depth=3.0)", rounding=rounding)
        object.__setattr__(self, "rounding", tuple(rounding))
        if self.front_rounding is not None:
            example = "front_rounding=Rounding(width=2.0, depth=2.0)"
            require_kind("scales", Rounding, example, front_rounding=self.front_rounding)
        self._require_stations()
        self._require_left()

    def _require_stations(self) -> None:
        require_all("scales", Sequence, "swell=((-110.0, 6.0), (-60.0, 8.0), (0.0, 6.5))", swell=self.swell)
        object.__setattr__(self, "swell", tuple(self._station(station) for station in self.swell))
        for (a, _), (b, _) in itertools.pairwise(self.swell):
            if not a < b:
                raise ParameterError(f"scales: swell at x {b:g}", f"{b:g} mm", f"lie ahead of the station at x {a:g}")

    def _station(self, station: object) -> tuple[float, float]:
        if not (isinstance(station, Sequence) and len(station) == 2):
            raise ParameterError(
                "scales: swell", f"({station!r}, ...)", "hold stations (x, thickness), two numbers each"
            )
        x, thick = station
        require_finite("scales: swell station", x=x)
        require_positive(f"scales: swell at x {x:g}", thickness=thick)
        if thick > self.thickness:
            raise ParameterError(
                f"scales: swell at x {x:g}: thickness",
                show_length(thick),
                f"be at most the scale's, {show_length(self.thickness)}",
            )
        return x, thick

    def _require_left(self) -> None:
        thinnest = min((thick for _, thick in self.swell), default=self.thickness)
        gone = sum(one.depth for one in self.roundings)
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
    def liner(self) -> float:
        """Thickness of all liners of one side, mm."""
        return sum(one.thickness for one in self.liners)

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
