"""A drawing as DXF for a cutting machine: closed polylines of lines and arcs, circles, units set, nothing else.

The written text is read back and measured against the drawing before it is handed out.
"""

from __future__ import annotations

import io
import math
from dataclasses import dataclass

import ezdxf
import numpy as np
import shapely
from ezdxf.document import Drawing as Document
from ezdxf.entities import Circle as DxfCircle
from ezdxf.entities import LWPolyline
from ezdxf.lldxf.const import DXFError
from shapely import LineString

from bladegeom.curves.arcs import fit_arcs
from bladegeom.curves.curve import Curve, FloatArray
from bladegeom.curves.extent import extent
from bladegeom.curves.flatten import flatten
from bladegeom.curves.meet import nearest
from bladegeom.draw.drawing import Circle, Drawing, Label, Path
from bladegeom.quantities.errors import ExportError
from bladegeom.quantities.tolerances import ARC_FIT, ARC_FIT_RESERVE

_MM = 4
"""$INSUNITS of millimetres; $MEASUREMENT 1 says metric. Source: DXF reference, HEADER section."""

_KINDS = {Path: "LWPOLYLINE", Circle: "CIRCLE"}

_SAMPLE_STEP = 0.25
"""Arcs and curves are compared at places no farther apart, mm."""

_FINE = 1e-4
"""And no farther than chords stay this close to the arc, mm: that much the comparison itself can be off."""


@dataclass(frozen=True, kw_only=True)
class CutFile:
    """What stands in a cut file, as read back from its text. Lengths in mm."""

    loops: int
    circles: int
    segments: int
    width: float
    height: float
    deviation: float


def dxf_of_drawing(drawing: Drawing) -> tuple[bytes, CutFile]:
    """The DXF text (release 2000, mm) and what was measured on it when read back.

    Raises:
        ExportError: The drawing holds text or an open line, or the text read back does not measure true.
    """
    # Set for the writing only: it keeps dates and random ids out of the file, so that equal designs give equal bytes.
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        text = _text(_document(drawing))
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
    return text.encode("cp1252"), _measured(text, drawing)


def _document(drawing: Drawing) -> Document:
    doc = ezdxf.new("R2000", units=_MM)
    space = doc.modelspace()
    for item in drawing.items:
        if item.layer not in doc.layers:
            doc.layers.add(item.layer, color=7, linetype="CONTINUOUS")
        if isinstance(item, Circle):
            space.add_circle((item.x, item.y), item.radius, dxfattribs={"layer": item.layer})
        elif isinstance(item, Path) and item.closed:
            chain = fit_arcs([item.curve], ARC_FIT - ARC_FIT_RESERVE, closed=True)
            rows = [(x, y, b) for (x, y), b in zip(chain.vertices.tolist(), chain.bulges.tolist(), strict=True)]
            space.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": item.layer})
        else:
            what = "text" if isinstance(item, Label) else "an open line"
            raise ExportError(f"{drawing.name}: a cut file cannot hold {what} on layer {item.layer}")
    x0, y0, x1, y1 = _extent(drawing)
    # On writing the space's extents go into the header, except where a corner is the origin.
    space.reset_extents((x0, y0, 0.0), (x1, y1, 0.0))
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (x0, y0, 0.0), (x1, y1, 0.0)
    return doc


def _extent(drawing: Drawing) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y of the lines themselves, mm."""
    boxes = np.array([_box(item) for item in drawing.items if not isinstance(item, Label)])
    (x0, y0), (x1, y1) = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def _box(item: Path | Circle) -> tuple[float, float, float, float]:
    if isinstance(item, Circle):
        return item.x - item.radius, item.y - item.radius, item.x + item.radius, item.y + item.radius
    return extent(item.curve.pieces)


def _text(doc: Document) -> str:
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue()


def _measured(text: str, drawing: Drawing) -> CutFile:
    try:
        doc = ezdxf.read(io.StringIO(text))
    except (DXFError, OSError) as error:
        raise ExportError(f"{drawing.name}: the cut file cannot be read back: {error}") from error
    _require_sound(doc, drawing)
    space = doc.modelspace()
    paths = [item for item in drawing.items if isinstance(item, Path)]
    rings = [item for item in drawing.items if isinstance(item, Circle)]
    polylines = [np.array(e.get_points("xyb")) for e in space if isinstance(e, LWPolyline)]
    circles = np.array([(*e.dxf.center.vec2, e.dxf.radius) for e in space if isinstance(e, DxfCircle)]).reshape(-1, 3)
    off = [_deviation(rows, item.curve) for rows, item in zip(polylines, paths, strict=True)]
    moved = circles - np.array([(r.x, r.y, r.radius) for r in rings]).reshape(-1, 3)
    deviation = max([*off, *(float(v) for v in np.abs(moved).ravel())], default=0.0)
    if not deviation <= ARC_FIT:
        raise ExportError(
            f"{drawing.name}: the cut file is {deviation:.4f} mm off the design when read back, more than {ARC_FIT} mm"
        )
    every = np.concatenate([*map(sampled, polylines), circles[:, :2] - circles[:, 2:], circles[:, :2] + circles[:, 2:]])
    size = every.max(axis=0) - every.min(axis=0)
    return CutFile(
        loops=len(polylines),
        circles=len(circles),
        segments=sum(len(rows) for rows in polylines),
        width=float(size[0]),
        height=float(size[1]),
        deviation=deviation,
    )


def _require_sound(doc: Document, drawing: Drawing) -> None:
    """Refuse a file with faults, without its units or extents, with an open outline, or with other things in it."""
    faults = [str(entry.message) for entry in doc.audit().errors]
    if (doc.header["$INSUNITS"], doc.header["$MEASUREMENT"]) != (_MM, 1):
        faults.append("units lost")
    said = [*doc.header["$EXTMIN"][:2], *doc.header["$EXTMAX"][:2]]
    if not np.allclose(said, _extent(drawing), rtol=0.0, atol=ARC_FIT):
        faults.append("extents lost")
    if faults:
        raise ExportError(f"{drawing.name}: the cut file does not pass its audit: {'; '.join(faults)}")
    wanted = [(_KINDS[type(item)], item.layer) for item in drawing.items]
    if sorted((e.dxftype(), e.dxf.layer) for e in doc.modelspace()) != sorted(wanted):
        raise ExportError(f"{drawing.name}: the cut file holds other things than were drawn")
    if not all(e.closed for e in doc.modelspace() if isinstance(e, LWPolyline)):
        raise ExportError(f"{drawing.name}: the cut file has an open outline")


def sampled(rows: FloatArray) -> FloatArray:
    """Points along a closed polyline with bulges, close enough for chords within 1e-4 mm, shape (n, 2).

    Args:
        rows: x, y, bulge of each vertex, shape (n, 3), mm.
    """
    out = []
    for (x0, y0, bulge), (x1, y1, _) in zip(rows.tolist(), np.roll(rows, -1, axis=0).tolist(), strict=True):
        start, chord = np.array([x0, y0]), np.array([x1 - x0, y1 - y0])
        count = _count(float(np.hypot(*chord)), bulge)
        s = np.arange(count) / count
        if abs(bulge) < 1e-12:
            out.append(start + s[:, None] * chord)
            continue
        # On an arc of sweep 4 atan(b), seen from its start, the direction turns evenly.
        sweep = 4 * math.atan(bulge)
        normal = np.array([-chord[1], chord[0]])
        centre = start + chord / 2 + normal * (1 - bulge * bulge) / (4 * bulge)
        a = s * sweep
        arm = start - centre
        out.append(centre + np.outer(np.cos(a), arm) + np.outer(np.sin(a), np.array([-arm[1], arm[0]])))
    return np.concatenate(out)


def _count(chord: float, bulge: float) -> int:
    """Into how many parts a line or an arc is cut."""
    if abs(bulge) < 1e-12:
        return math.ceil(chord / _SAMPLE_STEP)
    sweep = 4 * math.atan(abs(bulge))
    radius = chord / (2 * math.sin(sweep / 2))
    step = 2 * math.acos(max(0.0, 1 - _FINE / radius))
    return math.ceil(max(sweep / step, sweep * radius / _SAMPLE_STEP))


def _deviation(rows: FloatArray, curve: Curve) -> float:
    """Greatest distance between a polyline and the curve it stands for, from either to the other, mm."""
    there = sampled(rows)
    to_curve = float(nearest(curve, there).distance.max())
    back = shapely.segmentize(LineString(flatten(curve, _FINE)), _SAMPLE_STEP)
    ring = LineString(np.concatenate([there, there[:1]]))
    shapely.prepare(ring)
    return max(to_curve, float(shapely.distance(shapely.points(shapely.get_coordinates(back)), ring).max()))
