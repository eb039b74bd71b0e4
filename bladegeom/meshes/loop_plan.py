"""Triangles over a closed line, between its corners alone, and cut along stations."""

from __future__ import annotations

import re

import numpy as np
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import Plan, twice_area
from bladegeom.quantities.solid_errors import MeshError

_ON = 1e-6
"""A place as near to a station stands on it, mm."""


def flat_plan(xy: FloatArray, breaks: tuple[float, ...]) -> Plan:
    """Triangles over a loop, with sides along its stations.

    Args:
        xy: Corners of the loop, counter-clockwise, some of them at each station, shape (n, 2), mm; they stay the first.
        breaks: Stations along x, mm.
    """
    plan = filled(xy)
    for x in breaks:
        inner = np.bincount(plan.sides.ravel(), minlength=len(plan.edges)) == 2
        first, last = plan.xy[plan.edges, 0].T - x
        crossed = inner & (first * last < 0) & (np.minimum(np.abs(first), np.abs(last)) > _ON)
        with np.errstate(divide="ignore", invalid="ignore"):
            plan = plan.split(np.where(crossed, first / (first - last), np.nan))
    return plan


def filled(outer: FloatArray, *holes: FloatArray) -> Plan:
    """Triangles between the corners of a loop, and of loops inside it, alone.

    Args:
        outer: Corners of the loop, counter-clockwise, shape (n, 2), mm.
        holes: The same of loops inside it; all places are numbered in this order.

    Raises:
        MeshError: A loop meets itself.
    """
    xy = np.concatenate([outer, *holes])
    region = shapely.Polygon(outer, holes)
    try:
        found = shapely.get_coordinates(shapely.constrained_delaunay_triangles(region))
    except shapely.errors.GEOSException as error:
        raise MeshError(
            "the border of the handle meets itself{at}; change the outline or the handle front there",
            _where_met(region),
        ) from error
    found = found.reshape(-1, 4, 2)[:, :3]
    mixed, own = found[..., 0] + 1j * found[..., 1], xy[:, 0] + 1j * xy[:, 1]
    order = np.argsort(own)
    triangles = order[np.searchsorted(own[order], mixed)]
    clockwise = twice_area(*found.transpose(1, 0, 2)) < 0
    triangles[clockwise] = triangles[clockwise][:, ::-1]
    return Plan(xy=xy, triangles=triangles, block=np.zeros(len(triangles), dtype=np.int64))


def _where_met(region: shapely.Polygon) -> tuple[float, float] | None:
    """Where a border meets itself; GEOS says it behind its reason."""
    found = re.search(r"\[(\S+) (\S+)\]", shapely.is_valid_reason(region))
    return None if found is None else (float(found[1]), float(found[2]))
