"""Rows of places inside a scale's border, and triangles between them, as far in as its roundings reach."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from bladegeom.curves.curve import FloatArray
from bladegeom.meshes.plan import twice_area
from bladegeom.meshes.scale_loop import ScaleLoop
from bladegeom.solids.mesh import Corners

_BLUNT = 0.05
"""Chords that meet sharper than this leave no row: 1 plus the cosine of their turn."""

_OWN = 1e-3
"""A place whose distance from the border differs by less from its level belongs to its own chords, mm."""

_SPREAD = 1.002
"""By so much, as a part of it, a place may be farther away than its level; own choice."""

_PROBES = np.linspace(0.0, 1.0, 9)
"""Where rows beside a corner of the front are set beside the face, as parts of their length."""

_TRIED = ((1, 0), (2, 0), (4, 0), (8, 0), (1, 1), (1, 2), (1, 4), (1, 8))
"""Rows left out where another side comes near, and levels at both ends of the front, tried in this order: where the
handle is narrower behind the front than along it, the last places of both ends may pass each other."""

_JOININGS = 20

_NEWTON, _STEP, _UPRIGHT = 3, 1e-5, 1e-9
"""Steps towards a place that is so far from both of two lines; mm for slopes; keeps lines that run alike apart."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Rows:
    """Places in rows inside the border, and triangles between them.

    Args:
        xy: Places, those of the border first, shape (n, 2), mm.
        triangles: Counter-clockwise, shape (m, 3).
        chord: Of the border, along which each lies, shape (m,).
        left: Border of what is left open, places counter-clockwise, shape (k,).
    """

    xy: FloatArray
    triangles: Corners
    chord: Corners
    left: Corners


def rows_of(loop: ScaleLoop) -> Rows:
    """As far in as each column of places belongs to its own chords; the border of what is left never meets itself."""
    tried = (_rows(_with_fewer(loop, levels), margin) for margin, levels in _TRIED)
    return next((rows for rows in tried if shapely.Polygon(rows.xy[rows.left]).is_valid), None) or _no_rows(loop)


def _with_fewer(loop: ScaleLoop, levels: int) -> ScaleLoop:
    """The loop with so many levels fewer at both ends of its front; the ends themselves stay."""
    lower, upper = ((at[: max(len(at) - levels, 1)], further) for at, further in (loop.lower, loop.upper))
    return dataclasses.replace(loop, lower=lower, upper=upper)


def _no_rows(loop: ScaleLoop) -> Rows:
    nothing = np.zeros(0, dtype=np.int64)
    return Rows(xy=loop.xy, triangles=nothing.reshape(0, 3), chord=nothing, left=np.arange(len(loop.xy)))


def _rows(loop: ScaleLoop, margin: int) -> Rows:
    n = len(loop.xy)
    places, deep = _columns(loop, margin)
    corners = (loop.lower, loop.upper)
    for corner in corners:
        _lay_corner(loop, corner, places, deep)
    number = _numbers(deep, places.shape[1])
    for on_front, on_border in corners:
        _name_corner(number, deep, on_front, on_border)
    height = np.minimum(deep, np.roll(deep, -1))
    for corner in corners:
        _end_where_bent(loop, corner, places, height)
    height = _joined_where_folded(places, number, height)
    i = np.repeat(np.arange(n), height)
    j, k = (i + 1) % n, np.arange(len(i)) - np.repeat(np.cumsum(height) - height, height)
    a, b, c, d = number[i, k], number[j, k], number[j, k + 1], number[i, k + 1]
    triangles, chord = np.concatenate([np.stack([a, b, c], axis=1), np.stack([a, c, d], axis=1)]), np.tile(i, 2)
    whole = (triangles != np.roll(triangles, 1, axis=1)).all(axis=1)
    xy = np.empty((number.max() + 1, 2))
    xy[number[number >= 0]] = places[number >= 0]
    return Rows(xy=xy, triangles=triangles[whole], chord=chord[whole], left=_left(number, height))


def _lay_corner(loop: ScaleLoop, corner: tuple[Corners, Corners], places: FloatArray, deep: Corners) -> None:
    """Places between the two lines of a corner of the front, each at a level of both; changes places and depths."""
    on_front, on_border = corner
    grid = _grid(loop, on_front, on_border)
    region = shapely.Polygon(loop.xy).buffer(_OWN)
    sound = bool(shapely.contains_xy(region, *grid.reshape(-1, 2).T).all())
    for k, vertex in enumerate(on_border.tolist()):
        places[vertex, : len(on_front)] = grid[:, k]
        deep[vertex] = len(on_front) - 1 if sound else 0
    if sound and len(on_front) == len(loop.levels):
        places[on_front[-1], : len(on_border)] = grid[-1]
        deep[on_front[-1]] = len(on_border) - 1


def _end_where_bent(loop: ScaleLoop, corner: tuple[Corners, Corners], places: FloatArray, height: Corners) -> None:
    """Beside a corner of the front the strip along the border ends where its rows leave the face; changes heights.

    Where the front leans or bows out, rows there are arcs round the end of the border before they are lines.
    """
    on_front, on_border = corner
    strip = (on_border[-1] - (0 if on_front[0] else 1)) % len(height)
    rows = slice(1, height[strip] + 1)
    ends = np.stack([places[strip, rows], places[(strip + 1) % len(height), rows]], axis=1)
    xy = ends[:, :1] + _PROBES[:, None] * (ends[:, 1:] - ends[:, :1])
    z = loop.face.height(*xy.reshape(-1, 2).T).reshape(xy.shape[:2])
    straight = z[:, :1] + _PROBES * (z[:, -1:] - z[:, :1])
    near = (np.abs(z - straight) <= loop.sag).all(axis=1)
    height[strip] = np.logical_and.accumulate(near).sum()


def _grid(loop: ScaleLoop, on_front: Corners, on_border: Corners) -> FloatArray:
    """Places at each level of the border and each of the front, shape (levels, front levels, 2)."""
    a, b = loop.xy[on_front], loop.xy[on_border]
    grid = np.asarray(a[:, None] + b[None] - b[0])
    inner = grid[1:, 1:].reshape(-1, 2)
    wanted = np.stack(
        np.broadcast_arrays(loop.levels[1 : len(a), None], loop.front_levels[None, 1 : len(b)]), axis=-1
    ).reshape(-1, 2)
    for _ in range(_NEWTON if len(inner) else 0):
        now, along_x, along_y = (
            np.stack([line.distances(*(inner + step).T) for line in (loop.face.border, loop.face.front)], axis=1)
            for step in ((0.0, 0.0), (_STEP, 0.0), (0.0, _STEP))
        )
        slope = np.stack([along_x - now, along_y - now], axis=2) / _STEP
        inner = inner + np.linalg.solve(slope + _UPRIGHT * np.eye(2), (wanted - now)[..., None])[..., 0]
    grid[1:, 1:] = inner.reshape(len(a) - 1, len(b) - 1, 2)
    return grid


def _name_corner(number: Corners, deep: Corners, on_front: Corners, on_border: Corners) -> None:
    """Places that belong to two columns have one number; changes numbers."""
    number[on_border[0], 1 : len(on_front)] = on_front[1:]
    if deep[on_front[-1]]:
        number[on_front[-1], : len(on_border)] = number[on_border, len(on_front) - 1]


def _numbers(deep: Corners, most: int) -> Corners:
    """A number for each place in use, those of the border first; -1 is no place."""
    used = np.arange(most) <= deep[:, None]
    used[:, 0] = False
    number = np.full(used.shape, -1)
    number[:, 0] = np.arange(len(deep))
    number[used] = len(deep) + np.arange(used.sum())
    return number


def _left(number: Corners, height: Corners) -> Corners:
    """Along the inner ends of the strips, up and down the columns between strips of different height."""
    out: list[int] = []
    for i, (before, now) in enumerate(zip(np.roll(height, 1).tolist(), height.tolist(), strict=True)):
        for place in number[i, range(before, now + 1) if now >= before else range(before, now - 1, -1)].tolist():
            if out[-2:-1] == [place]:
                out.pop()  # there and back again
            elif out[-1:] != [place]:
                out.append(place)
    while out[0] == out[-1] or out[1] == out[-1]:
        out = out[:-1] if out[0] == out[-1] else out[1:]
    return np.array(out)


def _mitres(loop: ScaleLoop) -> FloatArray:
    """From each corner to where both its chords, moved in by 1 mm, meet, shape (n, 2).

    NaN at corners of two lines, or so sharp that there is no such place.
    """
    before = np.roll(loop.across, 1, axis=0)
    blunt = 1 + (before * loop.across).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        to = (before + loop.across) / blunt[:, None]
    to[blunt < _BLUNT] = np.nan
    to[[0, loop.front]] = np.nan
    return np.asarray(to)


def _columns(loop: ScaleLoop, margin: int) -> tuple[FloatArray, Corners]:
    """Places on each level of each corner, shape (n, levels, 2), and the last level that each corner may use."""
    n = len(loop.xy)
    to = _mitres(loop)
    most = max(len(loop.levels), len(loop.front_levels))
    of_front = np.arange(n) < loop.front
    level = np.where(of_front[:, None], _padded(loop.front_levels, most), _padded(loop.levels, most))
    places = loop.xy[:, None] + level[..., None] * np.nan_to_num(to)[:, None]
    there = np.isfinite(level) & np.isfinite(to[:, :1])
    there[:, 0] = False
    # Behind an inward corner the corner itself is nearest, and a little farther away than the level says.
    spread = np.broadcast_to(np.hypot(*to.T)[:, None], level.shape)
    there &= spread < 1 / _BLUNT
    there[there] = _own(loop, places[there], level[there], spread[there], np.nonzero(there)[0] < loop.front)
    there[:, 0] = True
    deep = np.logical_and.accumulate(there, axis=1).sum(axis=1) - 1
    full = np.where(of_front, len(loop.front_levels), len(loop.levels)) - 1
    return places, np.where(deep < full, np.maximum(deep - margin, 0), deep)


def _padded(levels: FloatArray, size: int) -> FloatArray:
    return np.concatenate([levels, np.full(size - len(levels), np.nan)])


def _own(
    loop: ScaleLoop, xy: FloatArray, level: FloatArray, spread: FloatArray, of_front: npt.NDArray[np.bool_]
) -> npt.NDArray[np.bool_]:
    """Which places lie inside, no nearer to any other chord of their line, and clear of the other line."""
    region = shapely.Polygon(loop.xy)
    shapely.prepare(region)
    from_border, from_front = loop.face.border.distances(*xy.T), loop.face.front.distances(*xy.T)
    away = np.where(of_front, from_front, from_border)
    own = (away > level - _OWN) & (away < level * np.minimum(spread, _SPREAD) + _OWN)
    clear = np.where(of_front, from_border > loop.levels[-1], from_front > max(_OWN, loop.front_levels[-1] - _OWN))
    return np.asarray(own & clear & shapely.contains_xy(region, *xy.T))


def _joined_where_folded(places: FloatArray, number: Corners, height: Corners) -> Corners:
    """Columns that would cross become one from there on, for their chord is shorter with each level and ends there.

    Changes places and numbers, and gives the height of each strip: lower where that did not help.
    """
    ahead = np.roll(np.arange(len(height)), -1)
    for _ in range(_JOININGS):
        sound = _sound(places, number, ahead)
        folded = sound < height
        folded &= ~np.roll(folded, 1)
        if not folded.any():
            break
        for i in np.flatnonzero(folded).tolist():
            j, k = ahead[i], slice(sound[i] + 1, height[i] + 1)
            places[j, k], number[j, k] = places[i, k], number[i, k]
    return np.minimum(height, _sound(places, number, ahead))


def _sound(places: FloatArray, number: Corners, ahead: Corners) -> Corners:
    """Up to which level the strip over each chord does not fold."""
    there = places[ahead]
    first = twice_area(places[:, :-1], there[:, :-1], there[:, 1:]) > 0
    second = twice_area(places[:, :-1], there[:, 1:], places[:, 1:]) > 0
    one_above = number[:, 1:] == number[ahead][:, 1:]
    one_below = number[:, :-1] == number[ahead][:, :-1]
    flat = np.where(one_above, one_below | first, first & second)
    return np.asarray(np.logical_and.accumulate(flat, axis=1).sum(axis=1))
