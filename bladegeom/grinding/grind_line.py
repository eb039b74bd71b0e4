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
from bladegeom.solids.panels import columns_of

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
    return _rows(knife, stage, alike(knife, flank))


def alike(knife: Knife, flank: Flank) -> Flank:
    """The side on which to look: both are ground alike but where only one of them is."""
    return flank if knife.grind.only else "right"


@memo
def _rows(knife: Knife, stage: Stage, flank: Flank) -> tuple[FloatArray, ...]:
    side = knife.side(stage, flank)
    if not side.faces:
        return ()
    columns = columns_of(knife.bevel_region, (), _PANEL)
    y = _meeting(side, columns.x, columns.low, columns.high)
    found = np.flatnonzero(np.isfinite(y))
    runs = [run for run in np.split(found, np.flatnonzero(np.diff(found) > 1) + 1) if len(run) > 1]
    if not runs:
        return ()
    first, last = np.array([(run[0], run[-1]) for run in runs]).T
    x0, _, x1, _ = knife.bevel_region.bounds
    beyond = np.concatenate([[x0], columns.x, [x1]])
    ends = _ends(knife, side, np.append(columns.x[first], columns.x[last]), np.append(beyond[first], beyond[last + 2]))
    rows = []
    for run, start, end in zip(runs, ends[: len(runs)], ends[len(runs) :], strict=True):
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
    if not len(meets):
        return out
    below, above = y[meets, gap - 1], y[meets, gap]
    for _ in range(halvings):
        middle = (below + above) / 2
        still = _is_ground(side, x[meets], middle)
        below, above = np.where(still, middle, below), np.where(still, above, middle)
    out[meets] = (below + above) / 2
    return out


def _ends(knife: Knife, side: Side, with_it: FloatArray, without: FloatArray) -> FloatArray:
    """Last points of the line between each x where it is and one where it is not, by halving, shape (n, 2)."""
    for _ in range(_HALVINGS):
        middle = (with_it + without) / 2
        on_it = np.isfinite(_heights(knife, side, middle, refined=False))
        with_it, without = np.where(on_it, [middle, without], [with_it, middle])
    return np.stack([with_it, _heights(knife, side, with_it, refined=True)], axis=1)


def _heights(knife: Knife, side: Side, x: FloatArray, *, refined: bool) -> FloatArray:
    """Height of the line at each x, shape (n,), mm; infinite where there is none."""
    _, y0, _, y1 = knife.outline.bounds
    upright = shapely.linestrings(np.stack([np.stack([x, x], axis=1), np.tile([y0 - 1, y1 + 1], (len(x), 1))], axis=2))
    parts, whose = shapely.get_parts(shapely.intersection(upright, knife.bevel_region), return_index=True)
    whose, parts = whose[shapely.length(parts) > 0], parts[shapely.length(parts) > 0]
    _, low, _, high = shapely.bounds(parts).T
    found = _meeting(side, x[whose], low, high, halvings=_HALVINGS if refined else 0)
    out = np.full(len(x), np.inf)
    np.fmin.at(out, whose, found)
    return out


def _is_ground(side: Side, x: FloatArray, y: FloatArray) -> npt.NDArray[np.bool_]:
    # By the laws of the faces: the hollow along the plunge line is no matter of the grind line.
    laws = side.laws(x, y)
    return np.asarray(laws[1:].min(axis=0) < laws[0] - _CLEAR)
