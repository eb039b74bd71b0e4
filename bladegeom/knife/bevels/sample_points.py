"""Places on the steel, with what a ground face asks about them."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.polyline import Polyline


@dataclass(frozen=True, kw_only=True, eq=False)
class SamplePoints:
    """Places on one side of the steel, ahead of the plunge line.

    Args:
        x: Shape (n,), mm.
        y: Shape (n,), mm.
        from_edge: Distance from the edge at which the face is asked for, shape (n,), mm.
        measured: Distance of the places themselves from the edge, shape (n,), mm.
        stock: Half-thickness of the stock there, shape (n,), mm.
        spine: The spine as chords, for faces that end there.
        alone: Whether only this side is ground, so that the edge lies in the other face.

    >>> import numpy as np
    >>> near, half = np.array([5.0]), np.array([1.75])
    >>> places = SamplePoints(
    ...     x=near,
    ...     y=-near,
    ...     from_edge=near,
    ...     measured=near,
    ...     stock=half,
    ...     spine=Polyline(np.zeros((2, 2))),
    ...     alone=False,
    ... )
    >>> places.edge_height(0.4).tolist()
    [0.2]
    """

    x: FloatArray
    y: FloatArray
    from_edge: FloatArray
    measured: FloatArray
    stock: FloatArray
    spine: Polyline
    alone: bool

    def at_distance(self, from_edge: float) -> SamplePoints:
        """The same places, asked for what the face does under or over them at another distance from the edge."""
        # A copy keeps the distance from the spine, which is dear, where it is measured already.
        there = copy.copy(self)
        object.__setattr__(there, "from_edge", np.full_like(self.from_edge, from_edge))
        return there

    @cached_property
    def to_spine(self) -> FloatArray:
        """Distance of the places themselves from the spine, shape (n,), mm."""
        return self.spine.distances(self.x, self.y)

    def edge_height(self, edge_thickness: float) -> FloatArray:
        """Height over the middle plane at which a face that leaves this edge begins, shape (n,), mm."""
        if self.alone:
            return edge_thickness - self.stock
        return np.full_like(self.stock, edge_thickness / 2)
