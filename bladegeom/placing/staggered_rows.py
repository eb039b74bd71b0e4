"""Two staggered rows of lightening holes along the tang's borders: a pattern that looks intended."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from bladegeom.curves.curve import FloatArray
from bladegeom.knife.hole import Hole, Made
from bladegeom.knife.knife import Knife
from bladegeom.outline.outline import MID_STEP
from bladegeom.placing.ground import lightening_sizes
from bladegeom.placing.net_width import WidthLeft
from bladegeom.placing.width_limits import apart, beside, border_limits
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import PlacingError
from bladegeom.quantities.units import show_length

_NOWHERE = 1e6
"""As x or y, mm."""

_LEAST_SHARE = 0.6
"""A graded hole narrower than this share of the widest is left out: it looks like a mistake; own choice by eye."""

_LEAST_HOLES = 3
"""Fewer are no two rows; own choice."""


@dataclass(frozen=True, kw_only=True, eq=False)
class _Rows:
    """Places for an upper and a lower row, the same distance from the borders, every half millimetre along x.

    Args:
        xy: Shape (2, n, 2), the upper row first, mm.
        room: Largest legal radius of a single hole at each, shape (2, n), mm.
        height: Of the tang that holes at each x may take, shape (n,), mm.
        between: From row to row along y at each x, shape (n,), mm.
    """

    xy: FloatArray
    room: FloatArray
    height: FloatArray
    between: FloatArray


@dataclass(frozen=True, kw_only=True, eq=False)
class _Pattern:
    """One pattern: which places of which rows, and how wide."""

    rows: _Rows
    row: npt.NDArray[np.int64]
    place: npt.NDArray[np.int64]
    radius: FloatArray

    @property
    def worth(self) -> float:
        """Sum of squared radii, mm2."""
        return float((self.radius**2).sum())


def add_staggered_rows(knife: Knife, *, largest: float | None = None, graded: bool = True, made: Made = "cut") -> Knife:
    """Two rows of holes at an even pitch, each row at one distance from its border, one half a pitch behind the other.

    Where a fastener stands in the way a hole is left out, and the pitch goes on behind it. Of all distances, pitches
    and beginnings in half millimetres the pattern that takes out the most.

    Args:
        knife: To which they are added; fasteners first, lightening last.
        largest: No hole wider than this, mm.
        graded: Each hole may be as wide as its place allows; False makes all of one size.
        made: When they are made.

    Raises:
        PlacingError: The drill index has no usable size, or the tang has no room for two rows.

    >>> import dataclasses
    >>> bare = dataclasses.replace(knife, holes=())
    >>> len(add_staggered_rows(bare, largest=4.0).holes)
    21
    """
    checked("lightening rows: graded", graded, bool)
    radii = np.array(lightening_sizes(knife, largest=largest, made=made)) / 2
    found = [pattern for rows in _row_pairs(knife, radii) for pattern in _patterns(knife, rows, radii, graded=graded)]
    for pattern in sorted(found, key=lambda pattern: -pattern.worth):
        drilled = _drilled(knife, pattern, made)
        if _keeps(knife, drilled):
            return drilled
    web, thickness = knife.rules.least_web(knife.stock.thickness), knife.stock.thickness
    upper, lower = knife.outline.tang_height(knife.outline.mid_line[:, 0])
    high = float(np.nanmax(upper - lower, initial=0.0))
    raise PlacingError(
        f"no room for two staggered rows of {show_length(2 * float(radii[0]))}: a tang {show_length(high)} high must "
        f"hold a rim of {show_length(knife.rules.least_rim(thickness))} twice, webs of {show_length(web)}, and keep "
        f"{knife.rules.net_width:.0%} of its height; add_lightening_row makes one row",
        value=2 * float(radii[0]),
    )


def _row_pairs(knife: Knife, radii: FloatArray) -> Iterator[_Rows]:
    """Rows at every half millimetre from the borders at which the smallest size keeps its rim."""
    x = knife.outline.mid_line[:, 0]
    upper, lower = knife.outline.tang_height(x)
    high = np.nan_to_num(upper - lower)
    first, strips = knife.rules.least_rim(knife.stock.thickness) + float(radii[0]), WidthLeft.of(knife, knife.openings)
    offs = np.arange(first, high.max(initial=0.0) / 2, MID_STEP)
    up = np.stack([upper - offs[:, None], lower + offs[:, None]], axis=1)
    xy = np.stack([np.broadcast_to(x, up.shape), up], axis=3)
    # Where there is no steel at an x a place far from everything stands for it.
    flat = np.nan_to_num(xy.reshape(-1, 2), nan=_NOWHERE)
    # All at once: a place by itself takes most of its time for the calls.
    room = beside(knife, border_limits(knife, flat), flat, knife.openings, strips).room.reshape(up.shape)
    for off, places, widest in zip(offs.tolist(), xy, room, strict=True):
        # Where the tang is too low the rows would change sides.
        widest[:, high <= 2 * off] = -1.0
        if (widest >= radii[0]).any(axis=1).all():
            yield _Rows(xy=places, room=widest, height=(1 - knife.rules.net_width) * high, between=high - 2 * off)


def _patterns(knife: Knife, rows: _Rows, radii: FloatArray, *, graded: bool) -> Iterator[_Pattern]:
    """The best beginning of every pitch."""
    web = knife.rules.least_web(knife.stock.thickness) + 1e-9
    count = rows.room.shape[1]
    # Along a row as wide as possible is as far apart as need be; a wider pitch takes out less.
    least, most = 2 * float(radii[0]) + web, 2 * (2 * float(min(radii[-1], rows.room.max())) + web)
    for half in range(int(least / MID_STEP / 2), int(most / MID_STEP / 2) + 2):
        pitch = 2 * half
        cap = _by_neighbours(rows, half, web)
        size = np.searchsorted(radii, np.minimum(rows.room, cap), side="right") - 1
        if not graded:
            yield from _of_one_size(rows, radii, size, pitch)
            continue
        radius = np.where(size >= 0, radii[size], 0.0)
        radius[radius < _LEAST_SHARE * radius.max(initial=0.0)] = 0.0
        yield _best_beginning(rows, radius, pitch, count)


def _by_neighbours(rows: _Rows, half: int, web: float) -> FloatArray:
    """Largest radius at each place beside its neighbours half a pitch and a pitch away, all alike; shape (2, n), mm."""
    x, upper, lower = rows.xy[0, :, 0], rows.xy[0, :, 1], rows.xy[1, :, 1]
    apart = np.full((2, len(x)), 2 * half * MID_STEP)
    if half < len(x):
        along = x[half:] - x[:-half]
        # From a place of either row to the one ahead of it in the other; each is the way back for that one.
        for near, other, step in zip(
            apart, apart[::-1], (lower[half:] - upper[:-half], upper[half:] - lower[:-half]), strict=True
        ):
            across = np.hypot(along, step)
            np.fmin(near[:-half], across, out=near[:-half])
            np.fmin(other[half:], across, out=other[half:])
    by_web = (apart - web) / 2
    # An upright line half way between the two cuts both in chords of 2 sqrt(r^2 - (pitch / 4)^2).
    by_height = np.sqrt((rows.height / 4) ** 2 + (half * MID_STEP / 2) ** 2)
    # Rows that overlap along y are no two rows.
    return np.minimum(by_web, np.minimum(by_height, rows.between / 2))


def _best_beginning(rows: _Rows, radius: FloatArray, pitch: int, count: int) -> _Pattern:
    """Of all beginnings the one that takes out the most."""
    worth = radius**2
    beginnings = np.arange(pitch)
    sums = np.zeros(pitch)
    for row, shift in ((0, 0), (1, pitch // 2)):
        sums += np.bincount((np.arange(count) - shift) % pitch, weights=worth[row], minlength=pitch)
    begin = int(beginnings[sums.argmax()])
    which = [(row, np.arange((begin + shift) % pitch, count, pitch)) for row, shift in ((0, 0), (1, pitch // 2))]
    rows_of = np.concatenate([np.full(len(places), number) for number, places in which])
    place = np.concatenate([places for _, places in which])
    used = radius[rows_of, place] > 0
    return _Pattern(rows=rows, row=rows_of[used], place=place[used], radius=radius[rows_of, place][used])


def _of_one_size(rows: _Rows, radii: FloatArray, size: npt.NDArray[np.int64], pitch: int) -> Iterator[_Pattern]:
    """For each size the best beginning of a pattern with no other."""
    for k in range(int(size.max(initial=-1)) + 1):
        radius = np.where(size >= k, radii[k], 0.0)
        yield _best_beginning(rows, radius, pitch, radius.shape[1])


def _drilled(knife: Knife, pattern: _Pattern, made: Made) -> Knife:
    xy = pattern.rows.xy[pattern.row, pattern.place]
    order = np.lexsort((xy[:, 1], -xy[:, 0]))
    holes = tuple(
        Hole(x=x, y=y, diameter=2 * r, purpose="lightening", made=made)
        for (x, y), r in zip(xy[order].tolist(), pattern.radius[order].tolist(), strict=True)
    )
    return dataclasses.replace(knife, holes=(*knife.holes, *holes))


def _keeps(knife: Knife, drilled: Knife) -> bool:
    """Whether there are holes in both rows' sense, and each is legal beside all others."""
    added = drilled.holes[len(knife.holes) :]
    if len(added) < _LEAST_HOLES:
        return False
    xy, radius = np.array([(hole.x, hole.y) for hole in added]), np.array([hole.diameter for hole in added]) / 2
    alone, apiece = border_limits(drilled, xy), apart(xy, drilled.openings)
    apiece[np.array([[opening is hole for opening in drilled.openings] for hole in added])] = np.inf
    web = apiece.min(axis=1) - drilled.rules.least_web(drilled.stock.thickness)
    if (np.minimum(alone.room, web) < radius - 1e-9).any():
        return False
    strips = WidthLeft.of(drilled, ())
    return all(
        strips.holds(hole.x, hole.diameter / 2, [opening for opening in drilled.openings if opening is not hole])
        for hole in added
    )
