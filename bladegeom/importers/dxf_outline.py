"""An outline from a DXF, such as CAD programs and cutting shops exchange."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np
from ezdxf import path as dxf_path
from ezdxf.document import Drawing as Document
from ezdxf.entities import Circle, DXFEntity

from bladegeom.curves.build import arc, line
from bladegeom.curves.curve import Curve, FloatArray, join
from bladegeom.importers.dxf_file import open_dxf
from bladegeom.importers.dxf_spline import SPLINE_FIT, is_readable, spline_cubics
from bladegeom.importers.dxf_things import HiddenThings, layer_of, unit_of_drawing
from bladegeom.importers.lines import Lines
from bladegeom.importers.loops import DrawnKnife, drawn_knife
from bladegeom.importers.scale import KnownLength, KnownScale
from bladegeom.importers.source import read_bytes
from bladegeom.outline.landmarks import Landmarks
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.lettering import visible
from bladegeom.quantities.tolerances import JOINED
from bladegeom.quantities.units import length

_NO_LINES: Final = frozenset(("TEXT", "MTEXT", "DIMENSION", "HATCH", "POINT", "LEADER", "VIEWPORT", "ATTDEF", "IMAGE"))
"""What a drawing may hold beside its lines; it is passed over without a word."""

_SIZE_TOLD_BY: Final = "unit='mm' or unit='in', or a length that you know: length_between=((x1, y1), (x2, y2), mm)"

_LARGEST_BULGE: Final = 1e3
"""An arc of more is all but a full circle, which no polyline means; own choice."""


def outline_from_dxf(
    path: str | Path,
    marks: Landmarks,
    *,
    only: str | None = None,
    unit: str | None = None,
    length_between: KnownLength | None = None,
    blade_length: float | None = None,
    fair_within: float | None = None,
) -> DrawnKnife:
    """The outline in a DXF, and the circles and other closed lines within it.

    Lines, arcs, polylines with bulges, splines and ellipses whose ends lie within 0.05 mm of each other are chained;
    the outline is the largest closed line.

    Args:
        path: The file.
        marks: Where the parts begin; points in the units of the file.
        only: A layer: what lies on others is left out.
        unit: "mm", "cm" or "in", if the file does not say its unit, or says a wrong one.
        length_between: Two points and the mm between them; overrules the file's unit.
        blade_length: mm along the knife from ``handle_front`` to ``tip``, both given as points; the same.
        fair_within: Replace the line by few fair curves that pass it no farther off, mm.

    What is not shown, because it or its layer is invisible, off or frozen, and what is no line, such as a block, is not
    read; ``left_out`` of the result names it.

    Raises:
        UnreadableFileError: No DXF, no unit, no outline or two, a frame round the knife, or a size that no knife has by
            the file's own unit; the message says where and what to do.
        ParameterError: A landmark or a known length that does not fit the drawing.
        QuantityError: A unit that is none.

    >>> from bladegeom import Landmarks, cut_files
    >>> (path,) = cut_files(design)["steel"].save(folder / "part.dxf")
    >>> drawn = outline_from_dxf(path, Landmarks(handle_front=110.0, heel=110.0 - knife.outline.heel[0]))
    >>> round(drawn.outline.tip[0], 1), len(drawn.circles)
    (110.0, 6)
    """
    name = str(path)
    doc = open_dxf(read_bytes(path), name)
    known = KnownScale(length_between=length_between, blade_length=blade_length).mm_per_unit(marks)
    per_unit = known if known is not None else _unit(doc, unit, name)
    told = known is not None or unit is not None
    lines = Lines(name, per_unit * np.eye(2, 3), size_told_by="" if told else _SIZE_TOLD_BY)
    for entity in _chosen(doc, only, lines):
        _take(entity, per_unit, lines)
    return drawn_knife(lines, marks, fair_within)


def _unit(doc: Document, told: str | None, name: str) -> float:
    if told is not None:
        return length(f"1 {told}")
    said, factor = unit_of_drawing(doc)
    if factor is None:
        what = f"says {said}, which is none" if said else "does not say its unit"
        raise UnreadableFileError(
            name,
            f"{what}; tell it ({_SIZE_TOLD_BY})",
        )
    return factor


def _chosen(doc: Document, only: str | None, lines: Lines) -> list[DXFEntity]:
    """The things on the layer that was asked for, without those that are not shown."""
    unseen = HiddenThings(doc)
    there = [(entity, layer_of(entity)) for entity in doc.modelspace()]
    asked = [(e, layer) for e, layer in there if only is None or layer.lower() == only.lower()]
    if not asked and only is not None:
        layers = sorted({layer for _, layer in there})
        raise UnreadableFileError(
            lines.name, f"the file has nothing on a layer {only!r}; it has: {', '.join(layers[:12]) or 'nothing'}"
        )
    out: list[DXFEntity] = []
    for entity, layer in asked:
        if why := unseen.why(entity, layer):
            lines.left_out[f"{visible(entity.dxftype())} on layer {layer!r}, {why}"] += 1
        else:
            out.append(entity)
    return out


def _take(entity: DXFEntity, scale: float, lines: Lines) -> None:
    """Add what an entity draws."""
    kind = visible(entity.dxftype())
    if kind in _NO_LINES:
        return
    if kind not in _READERS or (kind == "SPLINE" and not is_readable(entity)):
        lines.left_out[f"{kind[:30]}, which is no line that is read: explode it if it belongs to the outline"] += 1
        return
    flat = getattr(entity.dxf, "extrusion", None)
    if flat is not None and abs(abs(flat.z) - 1) > 1e-6:
        lines.left_out[
            f"{kind} that does not lie flat: draw it in the plane of x and y if it belongs to the outline"
        ] += 1
        return
    layer = layer_of(entity)
    if isinstance(entity, Circle) and kind == "CIRCLE":
        centre = entity.ocs().to_wcs(entity.dxf.center)
        lines.circles.append((scale * centre.x, scale * centre.y, scale * entity.dxf.radius))
        return
    try:
        closed, pieces = _READERS[kind](entity, scale)
    except ValueError as error:
        raise UnreadableFileError(lines.name, f"the file has a damaged {kind} ({error}); draw it again") from error
    lines.add(scale * pieces, closed=closed, names=frozenset((layer,)))


def _spline(entity: Any, scale: float) -> tuple[bool, FloatArray]:
    return bool(entity.closed), np.ascontiguousarray(spline_cubics(entity, SPLINE_FIT / scale)[..., :2])


def _by_path(entity: Any, _: float) -> tuple[bool, FloatArray]:
    """Lines, arcs and ellipses by the library's own conversion to cubics."""
    way = dxf_path.make_path(entity, segments=_segments(entity))
    at, out = np.array([way.start.x, way.start.y]), []
    for step in way.commands():
        to = np.array([step.end.x, step.end.y])
        handles = [
            np.array([c.x, c.y]) for c in (getattr(step, n, None) for n in ("ctrl", "ctrl1", "ctrl2")) if c is not None
        ]
        if len(handles) == 2:
            out.append(np.stack([at, *handles, to]))
        elif len(handles) == 1:
            out.append(np.stack([at, at + 2 / 3 * (handles[0] - at), to + 2 / 3 * (handles[0] - to), to]))
        else:
            out.append(np.stack([at, at + (to - at) / 3, to - (to - at) / 3, to]))
        at = to
    return bool(getattr(entity, "closed", False)), np.array(out).reshape(-1, 4, 2)


def _segments(entity: Any) -> int:
    """So many cubics that an arc or ellipse of any sweep is true to 4e-7 of its radius."""
    return 12 if entity.dxftype() in ("ARC", "ELLIPSE") else 1


def _lwpolyline(entity: Any, _: float) -> tuple[bool, FloatArray]:
    rows = [(x, y, b) for x, y, b in entity.get_points("xyb")]
    return bool(entity.closed), _bulged(rows, closed=bool(entity.closed), mirrored=_mirrored(entity))


def _polyline(entity: Any, _: float) -> tuple[bool, FloatArray]:
    if not entity.is_2d_polyline and not entity.is_3d_polyline:
        return False, np.zeros((0, 4, 2))
    # Vertices that only frame a smoothed line are left out: bit 16 of their flags (DXF reference, VERTEX).
    drawn = [v for v in entity.vertices if not int(v.dxf.flags) & 16]
    rows = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in drawn]
    return bool(entity.is_closed), _bulged(rows, closed=bool(entity.is_closed), mirrored=_mirrored(entity))


def _mirrored(entity: Any) -> bool:
    return bool(entity.dxf.get("extrusion", (0, 0, 1))[2] < 0)


def _bulged(rows: Sequence[tuple[float, float, float]], *, closed: bool, mirrored: bool) -> FloatArray:
    """Lines and arcs of a polyline; a bulge is the tangent of a quarter of the sweep (DXF reference)."""
    following = [*rows[1:], rows[0]] if closed else rows[1:]
    out: list[Curve] = []
    for (x0, y0, bulge), (x1, y1, _) in zip(rows, following, strict=False):
        a, b = (x0, y0), (x1, y1)
        if math.dist(a, b) <= JOINED:
            continue
        if abs(bulge) < 1e-12 or abs(bulge) > _LARGEST_BULGE:
            out.append(line(a, b))
            continue
        sweep = 4 * math.atan(bulge)
        k = (1 - bulge * bulge) / (4 * bulge)
        centre = ((x0 + x1) / 2 - k * (y1 - y0), (y0 + y1) / 2 + k * (x1 - x0))
        start = math.degrees(math.atan2(y0 - centre[1], x0 - centre[0]))
        # The arc's ends are those of the file to the last digit, so that no gap opens.
        pieces = arc(centre, math.dist(centre, a), start, math.degrees(sweep)).pieces.copy()
        pieces[0, 0], pieces[-1, 3] = a, b
        out.append(Curve(pieces))
    if not out:
        return np.zeros((0, 4, 2))
    pieces = join(*out).pieces.copy()
    if mirrored:
        pieces[..., 0] *= -1
    return pieces


_READERS: Final[dict[str, Callable[[Any, float], tuple[bool, FloatArray]]]] = {
    "LINE": _by_path,
    "ARC": _by_path,
    "CIRCLE": _by_path,
    "ELLIPSE": _by_path,
    "SPLINE": _spline,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
}
