"""The upper border of the ground faces: where they meet the untouched stock."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.grind import Flank, Stage
from bladegeom.knife.knife import Knife
from bladegeom.knife.memo import memo
from bladegeom.knife.side import Side
from bladegeom.solids.columns import columns_of

_PANEL = 2.0
"""Widest panel along x, mm; four places stand in each."""

_PROBES = 64
_HALVINGS = 18
_BELOW_SPINE = 0.02
"""A line closer to the spine than this has run out there, mm."""

_CLEAR = 1e-5
"""A face this far under the stock counts as ground, mm."""


@memo
def grind_line(knife: Knife, stage: Stage = "finished", flank: Flank = "right") -> tuple[FloatArray, ...]:
    """The grind line as rows of points (n, 2), from the plunge line forward, mm.

    None where the side is not ground, or ground to the spine all along. Where the line runs out into the spine a row
    ends; where it comes out again another begins.
    """
    side = knife.side(stage, flank)
    if not side.faces:
        return ()
    columns = columns_of(knife.bevel_region, (), _PANEL)
    y = _meeting(side, columns.x, columns.low, columns.high)
    found = np.flatnonzero(np.isfinite(y))
    rows = []
    for run in np.split(found, np.flatnonzero(np.diff(found) > 1) + 1):
        if len(run) < 2:
            continue
        first, last = int(run[0]), int(run[-1])
        before = columns.x[first - 1] if first else knife.bevel_region.bounds[0]
        behind = columns.x[last + 1] if last + 1 < len(y) else knife.bevel_region.bounds[2]
        start = _end(knife, side, float(columns.x[first]), float(before))
        end = _end(knife, side, float(columns.x[last]), float(behind))
        row = np.concatenate([[start], np.stack([columns.x[run], y[run]], axis=1), [end]])
        row.flags.writeable = False
        rows.append(row)
    return tuple(rows)


def _meeting(side: Side, x: FloatArray, low: FloatArray, high: FloatArray, *, halvings: int = _HALVINGS) -> FloatArray:
    """Where upright stretches first come from a ground face to the stock, going up, shape (n,); NaN where not."""
    # Up to just below the spine: a face that ends at the spine itself has no line of its own.
    top = np.maximum(high - _BELOW_SPINE, low)
    y = low[:, None] + (top - low)[:, None] * np.linspace(0.0, 1.0, _PROBES)
    ground = _is_ground(side, np.repeat(x, _PROBES), y.ravel()).reshape(y.shape)
    meets = np.flatnonzero(ground[:, 0] & ~ground.all(axis=1))
    gap = (~ground[meets]).argmax(axis=1)
    out = np.full(len(x), np.nan)
    below, above = y[meets, gap - 1], y[meets, gap]
    for _ in range(halvings):
        middle = (below + above) / 2
        still = _is_ground(side, x[meets], middle)
        below, above = np.where(still, middle, below), np.where(still, above, middle)
    out[meets] = (below + above) / 2
    return out


def _end(knife: Knife, side: Side, with_it: float, without: float) -> tuple[float, float]:
    """The last point of the line between an x where it is and one where it is not, by halving."""
    for _ in range(_HALVINGS):
        middle = (with_it + without) / 2
        if np.isfinite(_column(knife, side, middle, refined=False)):
            with_it = middle
        else:
            without = middle
    return with_it, _column(knife, side, with_it, refined=True)


def _column(knife: Knife, side: Side, x: float, *, refined: bool) -> float:
    """Height of the line at one x; infinite where there is none."""
    _, y0, _, y1 = knife.outline.bounds
    inside = shapely.intersection(shapely.LineString([(x, y0 - 1), (x, y1 + 1)]), knife.bevel_region)
    ends = np.array([part.bounds for part in shapely.get_parts(inside) if part.length > 0]).reshape(-1, 4)
    found = _meeting(side, np.full(len(ends), x), ends[:, 1], ends[:, 3], halvings=_HALVINGS if refined else 0)
    return float(np.min(found[np.isfinite(found)], initial=np.inf))


def _is_ground(side: Side, x: FloatArray, y: FloatArray) -> npt.NDArray[np.bool_]:
    # By the laws of the faces: the hollow along the plunge line is no matter of the grind line.
    laws = side.laws(x, y)
    return np.asarray(laws[1:].min(axis=0) < laws[0] - _CLEAR)
