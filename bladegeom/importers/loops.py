"""Loose lines of a drawing: chained into loops, and which loop is the outline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely import Polygon

from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.flatten import flatten_pieces
from bladegeom.importers.lines import GAP, Lines, NamedLine
from bladegeom.importers.loop_checks import (
    open_ends,
    require_alone,
    require_likely_size,
    require_no_frame,
    require_whole,
)
from bladegeom.outline.landmarks import Landmarks, mapped_point
from bladegeom.outline.outline import Outline
from bladegeom.outline.traced import place_loop
from bladegeom.quantities.errors import OutlineError
from bladegeom.quantities.tolerances import CHORD


@dataclass(frozen=True, kw_only=True)
class RoundOpening:
    """A circle of the drawing, in the design's frame, mm.

    >>> RoundOpening(x=-30.0, y=-12.0, diameter=6.5).diameter
    6.5
    """

    x: float
    y: float
    diameter: float


_THERE_AND_BACK = 3
"""Points of a ring of two sides, the first of them twice."""


@dataclass(frozen=True, kw_only=True)
class DrawnKnife:
    """What was found in a drawing, in the design's frame.

    Args:
        outline: The steel.
        circles: Every circle within it: fastener holes, most likely. None of them becomes a hole by itself.
        others: Other closed lines within it, such as slots.
        mm_per_unit: How many mm one unit of the file is.
        left_out: What the drawing holds besides and was not read: hidden things, and kinds that are no lines.

    >>> from bladegeom import Landmarks, cut_files, outline_from_dxf
    >>> (path,) = cut_files(design)["steel"].save(folder / "part.dxf")
    >>> drawn = outline_from_dxf(path, Landmarks(handle_front=110.0, heel=110.0 - knife.outline.heel[0]))
    >>> len(drawn.circles), drawn.mm_per_unit
    (6, 1.0)
    """

    outline: Outline
    circles: tuple[RoundOpening, ...]
    others: tuple[Curve, ...]
    mm_per_unit: float
    left_out: tuple[str, ...] = ()


def drawn_knife(lines: Lines, marks: Landmarks, fair_within: float | None) -> DrawnKnife:
    """The outline among the lines of a file, and what else lies within it.

    Args:
        lines: From the file.
        marks: In the file's own coordinates.
        fair_within: As in :func:`place_loop`.

    Raises:
        UnreadableFileError: No closed line, two that may be meant, or one that crosses itself; the message says where.
    """
    found, loose = _chained(lines.open)
    rings = [(loop, flatten_pieces(loop.curve.pieces, CHORD)[0]) for loop in (*lines.loops, *found)]
    # There and back again encloses nothing.
    rings = [(loop, ring) for loop, ring in rings if len(ring) > _THERE_AND_BACK]
    if not rings:
        raise lines.failed(f"the file has no closed line{open_ends(loose, lines)}")
    loops, polygons = [loop for loop, _ in rings], [Polygon(ring) for _, ring in rings]
    i = max(range(len(loops)), key=lambda k: abs(polygons[k].convex_hull.area))
    require_whole(polygons[i], loose, lines)
    require_no_frame(polygons, i, loops, lines)
    others = [k for k in range(len(loops)) if k != i]
    require_alone(polygons, i, others, lines)
    require_likely_size(polygons[i], lines)
    marks = marks.mapped(lines.to_mm)
    try:
        outline, frame = place_loop(loops[i].curve, marks, fair_within=fair_within)
    except OutlineError as error:
        raise lines.failed(str(error)) from error
    steel = polygons[i]
    shapely.prepare(steel)
    inside = [c for c in lines.circles if steel.contains(shapely.Point(c[:2]))]
    return DrawnKnife(
        outline=outline,
        circles=tuple(_round(frame, c) for c in inside),
        others=tuple(
            loops[k].curve.transformed(frame) for k in others if steel.contains(polygons[k].representative_point())
        ),
        mm_per_unit=math.sqrt(abs(np.linalg.det(lines.to_mm[:, :2]))),
        left_out=lines.not_read,
    )


def _round(frame: FloatArray, circle: tuple[float, float, float]) -> RoundOpening:
    x, y = mapped_point(frame, circle[:2])
    return RoundOpening(x=x, y=y, diameter=2 * circle[2])


def _chained(lines: Sequence[NamedLine]) -> tuple[list[NamedLine], list[Curve]]:
    """Closed loops out of lines whose ends meet, and the chains that stay open or branch."""
    loops: list[NamedLine] = []
    loose: list[Curve] = []
    rest = [line.curve for line in lines]
    ends = np.array([[c.start, c.end] for c in rest]).reshape(-1, 2, 2)
    used = np.zeros(len(rest), dtype=bool)
    for first in range(len(rest)):
        if used[first]:
            continue
        before = used.copy()
        used[first] = True
        chain = _grown([rest[first]], rest, ends, used)
        if math.dist(chain[0].start, chain[-1].end) > GAP:
            chain = _grown([c.reversed() for c in reversed(chain)], rest, ends, used)
        curve = _sewn(chain)
        if math.dist(curve.start, curve.end) <= GAP and len(curve) > 1:
            names = frozenset[str]().union(*(lines[k].names for k in np.flatnonzero(used & ~before).tolist()))
            loops.append(NamedLine(curve, names))
        else:
            loose.append(curve)
    return loops, loose


def _grown(chain: list[Curve], rest: list[Curve], ends: FloatArray, used: npt.NDArray[np.bool_]) -> list[Curve]:
    """With every line added that goes on at its end, until it closes, ends or comes to a fork."""
    while math.dist(chain[0].start, chain[-1].end) > GAP:
        far = np.hypot(*np.moveaxis(ends - np.array(chain[-1].end), 2, 0))
        far[used] = np.inf
        there = np.argwhere(far <= GAP)
        if len(there) != 1:
            break
        i, end = there[0].tolist()
        used[i] = True
        chain.append(rest[i] if end == 0 else rest[i].reversed())
    return chain


def _sewn(chain: Sequence[Curve]) -> Curve:
    """One chain; ends that nearly meet are made to."""
    pieces = np.concatenate([c.pieces for c in chain])
    pieces[1:, 0] = pieces[:-1, 3]
    return Curve(pieces)
