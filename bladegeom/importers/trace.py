"""Points picked on a photograph or a scan, carried to true mm."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import shapely

from bladegeom.curves.build import line
from bladegeom.curves.curve import FloatArray, Vector
from bladegeom.importers.scale import KnownLength
from bladegeom.outline.landmarks import Landmarks
from bladegeom.outline.marked_loop import NEAR
from bladegeom.outline.outline import Outline
from bladegeom.outline.traced import place_loop
from bladegeom.quantities.csv_table import loose_rows
from bladegeom.quantities.declared import checked
from bladegeom.quantities.errors import CurveError, OutlineError, ParameterError
from bladegeom.quantities.field_rules import Length
from bladegeom.quantities.text_file import read_text
from bladegeom.quantities.units import show_length

SHEETS: Final = {"A4": (297.0, 210.0), "A3": (420.0, 297.0), "Letter": (279.4, 215.9)}
"""Width and height lying, mm. Sources: ISO 216; ANSI/ASME Y14.1, size A."""

_FLATTEST = 0.05
"""Four corners whose picture is flatter than this part of its length are no sheet seen from above; own choice."""

_LEAST_POINTS = 8
"""As for the fair curve through them."""

_WAY_HOME = 3.0
"""The step from the last point to the first is no longer than so many times the longest other; own choice."""

_MOST_BYTES = 4_000_000
"""A hundred thousand points; own choice."""

_COARSEST = 2.0
"""Crossings smaller than this are scatter however badly the points are picked, mm; own choice."""

Sheet = tuple[Sequence[Vector], str | tuple[float, float]]


@dataclass(frozen=True, eq=False)
class Trace:
    """Points in mm, y up, shape (n, 2), and the map (3, 3) from pixels to them, for places of the same picture.

    >>> trace = trace_points([(0.0, 0.0), (30.0, 0.0)], scale=((0.0, 0.0), (30.0, 0.0), 10.0))
    >>> trace.points.tolist()
    [[0.0, 0.0], [10.0, 0.0]]
    """

    points: FloatArray
    homography: FloatArray

    def at(self, pixel: Vector) -> Vector:
        """Where a place of the picture lies, mm."""
        x, y = _carried(np.array([pixel], dtype=np.float64), self.homography)[0]
        return float(x), float(y)


def trace_points(points: Sequence[Vector], *, scale: KnownLength | None = None, sheet: Sheet | None = None) -> Trace:
    """Picked points as mm, y up.

    Args:
        points: Pixels (x, y) with y down, as image programs show them.
        scale: Two pixels and the mm between them, for a scan or a picture taken squarely from far above.
        sheet: The four corners of a known sheet under the knife, in order round it from the upper left one as seen in
            the picture, and its name ("A4", "A3", "Letter", lying) or its width and height in mm; takes out the
            perspective of a photograph. Only what lies in the plane of the sheet comes out true.

    Raises:
        ParameterError: Neither or both told, or places from which no size follows.

    Source:
        Hartley and Zisserman, Multiple View Geometry, section 4.1 (the map of a plane from four points).

    >>> trace = trace_points([(0.0, 0.0), (300.0, 0.0)], scale=((0.0, 0.0), (300.0, 0.0), 100.0))
    >>> trace.points.tolist()
    [[0.0, 0.0], [100.0, 0.0]]
    """
    p = _points(points)
    if (scale is None) == (sheet is None):
        given = "told by neither" if scale is None else "told by both"
        must = "be told by one of the two: scale=, two points with their mm, or sheet=, a sheet's corners"
        raise ParameterError("true size", given, must)
    h = _from_length(scale) if scale is not None else _from_sheet(sheet)  # type: ignore[arg-type]
    return Trace(_carried(p, h), h)


def outline_from_trace(trace: Trace, marks: Landmarks, *, within: float) -> Outline:
    """Few fair curves through traced points, as an outline in the design's frame.

    Args:
        trace: Points in order round the whole knife, either way.
        marks: Where the parts begin; points in pixels of the picture.
        within: Greatest distance of a picked point from the line, mm: how well you pick.

    Raises:
        CurveError: A point that no fair curve passes within the distance.
        ParameterError: A landmark that does not lie on the line, or a distance beyond 3 mm.
        OutlineError: Points that do not come round, that cross their own line, or make no knife.

    >>> from bladegeom import Landmarks, trace_points
    >>> from bladegeom.curves.flatten import flatten
    >>> picked = [(x, -y) for x, y in flatten(knife.outline.loop, 0.05).tolist()[:-1]]
    >>> trace = trace_points(picked, scale=((0.0, 0.0), (100.0, 0.0), 100.0))
    >>> marks = Landmarks(handle_front=110.0, heel=110.0 - knife.outline.heel[0])
    >>> outline = outline_from_trace(trace, marks, within=0.3)
    >>> abs(outline.area - knife.outline.area) < 0.01 * knife.outline.area
    True
    """
    if not 0 < within <= NEAR:
        raise ParameterError("within", f"{within:g} mm", f"be more than 0 mm and at most {show_length(NEAR)}")
    p = trace.points
    p = p[np.hypot(*(p - np.roll(p, 1, axis=0)).T) > within / 10]
    if len(p) < _LEAST_POINTS:
        raise CurveError(
            f"a trace wants at least {_LEAST_POINTS} different points round the knife, not {len(p)}",
            value=len(p),
            limit=_LEAST_POINTS,
        )
    _require_closed(trace, p)
    _require_simple(trace, p, within)
    loop = line(*[(float(x), float(y)) for x, y in p], (float(p[0, 0]), float(p[0, 1])))
    return place_loop(loop, marks.carried(trace.at), fair_within=within, picked=True).outline


def _require_closed(trace: Trace, p: FloatArray) -> None:
    """Refuse points that stop on the way: the last step home is far longer than any other."""
    step = np.hypot(*np.diff(p, axis=0).T)
    home = math.dist(p[-1], p[0])
    if home > _WAY_HOME * step.max():
        raise OutlineError(
            f"the trace is open: from its last point, {_told(trace, p[-1])} of the picture, to its first, "
            f"{_told(trace, p[0])}, are {show_length(home)}, and no other step is longer than "
            f"{show_length(float(step.max()))}; pick on until you are round the knife"
        )


def _require_simple(trace: Trace, p: FloatArray, within: float) -> None:
    """Refuse points out of order or twice round; that close ones zigzag within the scatter is no crossing."""
    coarse = shapely.LinearRing(p).simplify(min(2 * within, _COARSEST), preserve_topology=False)
    if coarse.is_simple:
        return
    ring = shapely.Polygon(coarse.coords)
    place = shapely.is_valid_reason(ring).partition("[")[2].rstrip("]").split()
    raise OutlineError(
        f"the trace crosses itself near {_told(trace, np.array([float(v) for v in place[:2]]))} of the picture: pick "
        "the points once round the knife, in order"
    )


def _told(trace: Trace, place: FloatArray) -> str:
    """A place in mm as a place of the picture."""
    x, y, w = np.linalg.solve(trace.homography, [place[0], place[1], 1.0])
    return f"({x / w:.0f}, {y / w:.0f})"


def points_from_csv(path: str | Path) -> list[Vector]:
    r"""Points from a text file: x and y on each line, after a comma, a semicolon, a tab or blanks; other lines above.

    Raises:
        UnreadableFileError: No such lines, or one that is none among them.

    >>> path = folder / "picked.csv"
    >>> _ = path.write_text("x,y\n10,20\n30,40\n")
    >>> points_from_csv(path)
    [(10.0, 20.0), (30.0, 40.0)]
    """
    file = read_text(path, most_bytes=_MOST_BYTES, advice="nobody picks so many points; keep x and y alone")
    out: list[Vector] = []
    for number, cells in loose_rows(file):
        if not out and not _is_number(cells[0]):
            continue
        if len(cells) < 2 or not all(_is_number(cell) for cell in cells[:2]):
            raise file.error(f"{' '.join(cells)[:40]!r} is no point; write x,y with decimal points", number)
        out.append((float(cells[0]), float(cells[1])))
    if not out:
        raise file.error("the file has no points; write x,y on each line")
    return out


def _is_number(cell: str) -> bool:
    try:
        return math.isfinite(float(cell))
    except ValueError:
        return False


def _points(points: Sequence[Vector]) -> FloatArray:
    p = np.asarray(points, dtype=np.float64)
    if p.ndim != 2 or p.shape[1] != 2 or not np.isfinite(p).all():
        raise CurveError("traced points must be pairs of finite numbers (x, y)")
    return p


def _from_length(scale: KnownLength) -> FloatArray:
    a, b, mm = scale
    apart = math.dist(a, b)
    if not (apart > 0 and mm > 0 and math.isfinite(mm)):
        raise ParameterError("scale", scale, "be two different points and the mm between them, more than 0")
    s = mm / apart
    return np.diag([s, -s, 1.0])


def _from_sheet(sheet: Sheet) -> FloatArray:
    corners, size = sheet
    if isinstance(size, str) and size not in SHEETS:
        raise ParameterError("sheet", repr(size), f"be {', '.join(SHEETS)}, or a width and height in mm")
    width, height = SHEETS[size] if isinstance(size, str) else size
    seen = _points(corners)
    if len(seen) != 4:
        raise ParameterError("sheet: number of corners", len(seen), "be 4")
    checked("sheet: width", width, Length)
    checked("sheet: height", height, Length)
    side, following = np.roll(seen, -1, axis=0) - seen, np.roll(seen, -2, axis=0) - np.roll(seen, -1, axis=0)
    turn = side[:, 0] * following[:, 1] - side[:, 1] * following[:, 0]
    # Clockwise with y down, and not nearly on one line.
    if not (turn > _FLATTEST * np.hypot(*side.T) * np.hypot(*following.T)).all():
        raise ParameterError(
            "sheet: order of the corners", "another", "be upper left, upper right, lower right, lower left, as seen"
        )
    true = np.array([[0.0, height], [width, height], [width, 0.0], [0.0, 0.0]])
    rows = []
    # Pixels taken about their middle and size keep the equations well conditioned.
    middle, spread = seen.mean(axis=0), float(np.abs(seen - seen.mean(axis=0)).max())
    for (x, y), (u, v) in zip((seen - middle) / spread, true, strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y, -u], [0, 0, 0, x, y, 1, -v * x, -v * y, -v]]
    h = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    return np.asarray(
        h @ np.array([[1 / spread, 0, -middle[0] / spread], [0, 1 / spread, -middle[1] / spread], [0, 0, 1]])
    )


def _carried(pixels: FloatArray, h: FloatArray) -> FloatArray:
    out = np.concatenate([pixels, np.ones((len(pixels), 1))], axis=1) @ h.T
    if (out[:, 2] * out[0, 2] <= 0).any():
        raise ParameterError("place of a point", "beyond the horizon of the sheet's plane", "be on this side of it")
    return np.asarray(out[:, :2] / out[:, 2:])
