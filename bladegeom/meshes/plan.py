"""The plan of a mesh: triangles over regions side by side, seen along z, that share the corners along their borders."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from bladegeom.curves.curve import FloatArray
from bladegeom.quantities.solid_errors import MeshError
from bladegeom.solids.mesh import Corners

Field = Callable[[FloatArray, FloatArray], tuple[FloatArray, Corners]]
"""Heights over the middle plane at places x and y, and which smooth surface counts at each, shape (n,) both.

Surfaces are numbers from 0 to 65535; one that goes on from block to block has the same number in each.
"""

Geometries = npt.NDArray[np.object_]
Marks = npt.NDArray[np.bool_]

GRID = 1e-4
"""Corners of borders lie on a grid of this, mm, so that none is nearer to another."""

_MOST = 200_000
"""Triangles of a plan that is still made finer: more take tens of seconds and half a gigabyte; own choice."""

_LEAST_AREA = 1e-9
"""A triangle with less is a line, mm2."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Block:
    """A solid between two heights over a region.

    Args:
        region: Polygon or polygons, with or without holes, mm.
        upper: Of its upper side.
        lower: Of its lower side; None where it is the upper one mirrored in the middle plane.
        lines: Within the region, along which edges of the mesh are to run besides those along its creases.
    """

    region: BaseGeometry
    upper: Field
    lower: Field | None = None
    lines: tuple[BaseGeometry, ...] = ()

    @property
    def fields(self) -> tuple[Field, ...]:
        """The upper one, and the lower one if it is another."""
        return (self.upper,) if self.lower is None else (self.upper, self.lower)


@dataclass(frozen=True, kw_only=True, eq=False)
class Plan:
    """Triangles side by side.

    Args:
        xy: Corners, shape (n, 2), mm.
        triangles: Corners of each, counter-clockwise, shape (m, 3).
        block: Number of the block that each is of, shape (m,).
    """

    xy: FloatArray
    triangles: Corners
    block: Corners

    @cached_property
    def edges(self) -> Corners:
        """Corners at both ends of every side, once each, shape (k, 2), the lower number first."""
        return np.stack(np.divmod(self._found[0], len(self.xy)), axis=1)

    @cached_property
    def sides(self) -> Corners:
        """Numbers among the edges of the three sides of each triangle, each opposite its corner, shape (m, 3)."""
        return self._found[1].reshape(-1, 3)

    @cached_property
    def neighbours(self) -> tuple[Corners, Corners]:
        """The triangle on one side of each edge, and the one on the other or -1, shape (k,) both."""
        order = np.argsort(self.sides.ravel(), kind="stable")
        side = self.sides.ravel()[order]
        again = np.flatnonzero(side[1:] == side[:-1]) + 1
        first, second = np.full((2, len(self.edges)), -1)
        first[side] = order // 3
        second[side[again]] = order[again - 1] // 3
        return first, second

    @property
    def rim(self) -> Corners:
        """Corners at both ends of the sides of one triangle alone, in that triangle's own sense, shape (k, 2)."""
        ends = np.stack([np.roll(self.triangles, -1, axis=1), np.roll(self.triangles, -2, axis=1)], axis=2)
        return np.asarray(ends[np.bincount(self.sides.ravel(), minlength=len(self.edges))[self.sides] == 1])

    @cached_property
    def _found(self) -> tuple[Corners, Corners]:
        ends = np.sort(np.stack([np.roll(self.triangles, -1, axis=1), np.roll(self.triangles, -2, axis=1)]), axis=0)
        keys, number = np.unique(ends[0] * len(self.xy) + ends[1], return_inverse=True)
        return keys, number

    def split(self, where: FloatArray) -> Plan:
        """Edges split, and the triangles at them with them.

        Args:
            where: Way along each edge from its first end, as a part of its length; NaN leaves it whole, shape (k,).

        Raises:
            MeshError: There would be too many triangles.
        """
        marked = np.flatnonzero(np.isfinite(where))
        first, last = self.xy[self.edges[marked]].transpose(1, 0, 2)
        if len(self.triangles) + 2 * len(marked) > _MOST:
            x, y = np.median((first + last) / 2, axis=0).tolist()
            message = (
                f"so fine a mesh takes more than {_MOST:,} triangles, most of them{{at}}; ask for a coarser tolerance"
            )
            raise MeshError(message, (x, y))
        xy = np.concatenate([self.xy, first + where[marked, None] * (last - first)])
        middle = np.full(len(where), -1)
        middle[marked] = len(self.xy) + np.arange(len(marked))
        triangles, parent = _parts(xy, self.triangles, middle[self.sides])
        return Plan(xy=xy, triangles=triangles, block=self.block[parent])


class EdgesOfBlocks(NamedTuple):
    """Each edge in each block that it is a side of, ascending by key, shape (n,)."""

    key: Corners
    """One number for the edge's ends and the block: the same in every finer plan that still has the edge."""
    edge: Corners
    """Number of the edge in the plan."""
    block: Corners
    """Number of the block."""

    def only(self, which: Marks) -> EdgesOfBlocks:
        """Some of them."""
        return EdgesOfBlocks(*(values[which] for values in self))


def edges_of_blocks(plan: Plan) -> EdgesOfBlocks:
    """All of a plan."""
    ends = plan.edges[plan.sides]
    keys = (ends[..., 0] << 40) | (ends[..., 1] << 12) | plan.block[:, None]
    key, at = np.unique(keys, return_index=True)
    return EdgesOfBlocks(key, plan.sides.ravel()[at], key & ((1 << 12) - 1))


def arranged(blocks: Sequence[Block], creases: Sequence[BaseGeometry] = ()) -> Plan:
    """The plan of some blocks with no corners but those of their borders and lines.

    Args:
        blocks: Side by side.
        creases: Further lines that no triangle may cross.
    """
    areas = [_area(block.region) for block in blocks]
    drawn = [*(area.boundary for area in areas), *(line for block in blocks for line in block.lines)]
    # Numbers next to nothing are nothing: GEOS divides by them.
    rounded = shapely.transform(np.array([*drawn, *creases], dtype=object), lambda xy: xy.round(9))
    lines = shapely.unary_union(rounded, grid_size=GRID)
    cells, loose = _cells(lines)
    if len(loose):
        cells, _ = _cells(shapely.unary_union([lines, *_ties(lines, loose)], grid_size=GRID))
    inside = shapely.point_on_surface(cells)
    owner = np.full(len(cells), -1)
    for block, area in enumerate(areas):
        owner[shapely.intersects(area, inside)] = block
    cells, owner = cells[owner >= 0], owner[owner >= 0]
    found, cell = shapely.get_parts(shapely.constrained_delaunay_triangles(cells), return_index=True)
    corners = shapely.get_coordinates(found).reshape(-1, 4, 2)[:, :3]
    twice = twice_area(*corners.transpose(1, 0, 2))
    corners[twice < 0] = corners[twice < 0][:, ::-1]
    whole = np.abs(twice) > 2 * _LEAST_AREA
    places, number = np.unique(corners[whole, :, 0] + 1j * corners[whole, :, 1], return_inverse=True)
    xy = np.stack([places.real, places.imag], axis=1)
    return Plan(xy=xy, triangles=number.reshape(-1, 3), block=owner[cell[whole]])


def _area(region: BaseGeometry) -> BaseGeometry:
    """A region without the points and lines that cutting it may have left."""
    parts = shapely.get_parts(shapely.get_parts(region))
    return shapely.MultiPolygon(parts[shapely.get_dimensions(parts) == 2].tolist())


def _cells(lines: BaseGeometry) -> tuple[Geometries, Geometries]:
    """What lines enclose, and those of them that hang loose."""
    cells, _, loose, _ = shapely.polygonize_full(list(shapely.get_parts(lines)))
    return shapely.get_parts(cells), shapely.get_parts(loose)


def _ties(lines: BaseGeometry, loose: Geometries) -> list[BaseGeometry]:
    """From the ends of those lines that hang loose to what is nearest beside them."""
    hanging = shapely.multilinestrings(list(loose))
    firm = shapely.difference(lines, hanging)
    ends = [shapely.get_point(line, end) for line in shapely.get_parts(shapely.line_merge(hanging)) for end in (0, -1)]
    return [shapely.shortest_line(end, firm) for end in ends]


def twice_area(a: FloatArray, b: FloatArray, c: FloatArray) -> FloatArray:
    """Of triangles with these corners, counter-clockwise positive, shape (m,), mm2."""
    p, q = b - a, c - a
    return np.asarray(p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0])


def _parts(xy: FloatArray, triangles: Corners, middle: Corners) -> tuple[Corners, Corners]:
    """Triangles cut at the middles of their sides, -1 where a side stays whole; and the number that each came from."""
    count = (middle >= 0).sum(axis=1)
    numbers = np.arange(len(triangles))
    found, parents = [triangles[count == 0]], [numbers[count == 0]]
    # Turned so that the side that differs from the other two is the one opposite the first corner.
    odd = np.where(count == 1, (middle >= 0).argmax(axis=1), (middle < 0).argmax(axis=1))
    turn = (odd[:, None] + np.arange(3)) % 3
    corner, middle = np.take_along_axis(triangles, turn, axis=1), np.take_along_axis(middle, turn, axis=1)
    for marked, cut in enumerate((_in_two, _in_three, _in_four), start=1):
        which = count == marked
        parts = cut(xy, corner[which].T, middle[which].T)
        found += parts
        parents += [numbers[which]] * len(parts)
    return np.concatenate(found), np.concatenate(parents)


def _in_two(_xy: FloatArray, corner: Corners, middle: Corners) -> list[Corners]:
    (a, b, c), (p, _, _) = corner, middle
    return [np.stack(part, axis=1) for part in ((a, b, p), (a, p, c))]


def _in_three(xy: FloatArray, corner: Corners, middle: Corners) -> list[Corners]:
    (a, b, c), (_, q, r) = corner, middle
    # What is left under the corner that is cut off has four sides: its shorter diagonal parts it.
    shorter = np.hypot(*(xy[b] - xy[q]).T) < np.hypot(*(xy[r] - xy[c]).T)
    first = np.where(shorter, [r, b, q], [r, b, c]).T
    second = np.where(shorter, [b, c, q], [r, c, q]).T
    return [np.stack([a, r, q], axis=1), first, second]


def _in_four(_xy: FloatArray, corner: Corners, middle: Corners) -> list[Corners]:
    (a, b, c), (p, q, r) = corner, middle
    return [np.stack(part, axis=1) for part in ((a, r, q), (r, b, p), (q, p, c), (p, q, r))]
