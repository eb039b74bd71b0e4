"""A drawing as DXF for a cutting machine: polylines of lines and arcs, circles, units set, nothing else.

The written text is read back and measured against the drawing before it is handed out.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import ezdxf
import numpy as np
import shapely
from ezdxf.document import Drawing as Document
from ezdxf.entities import Circle as DxfCircle
from ezdxf.entities import DXFEntity, LWPolyline
from ezdxf.entities import Polyline as DxfPolyline
from ezdxf.lldxf.const import DXFError
from shapely import LineString

from bladegeom.curves.arcs import fit_arcs
from bladegeom.curves.bounding_box import bounding_box
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.curves.meet import nearest
from bladegeom.curves.polyline import Polyline
from bladegeom.drawing.drawing import Circle, Drawing, Label, Path
from bladegeom.quantities.file_errors import ExportError
from bladegeom.quantities.lettering import one_line
from bladegeom.quantities.tolerances import ARC_FIT, ARC_FIT_RESERVE

Release = Literal["R2000", "R12"]
"""R2000 is what every program of this century reads; R12 is for old controllers: it holds no units."""

_MM = 4
"""$INSUNITS of millimetres; $MEASUREMENT 1 says metric. Source: DXF reference, HEADER section."""

_POLYLINE: Final[dict[Release, str]] = {"R2000": "LWPOLYLINE", "R12": "POLYLINE"}

_COLOURS: Final = {"CUT": 7, "MARK": 3}
"""Black or white, and green."""

_LONGEST_COMMENT = 200
"""Letters of one line of a comment; own choice: a DXF text ends at 255 bytes."""

_LARGEST_RADIUS = 10_000.0
"""Of an arc, mm; own choice: controllers lose digits on larger ones, and lines serve as well."""

_SAMPLE_STEP = 0.25
"""Arcs and curves are compared at places no farther apart, mm."""

_FINE = 1e-4
"""And no farther than chords stay this close to the arc, mm: that much the comparison itself can be off."""


@dataclass(frozen=True, kw_only=True)
class CutFile:
    """What stands in a cut file, as read back from its text. Lengths in mm.

    Args:
        loops: Closed outlines.
        open_lines: Outlines with gaps, on layer CUT.
        marks: Lines on any other layer.
        circles: Round holes.
        segments: Lines and arcs of all outlines that are cut.
        width: Of what is cut, along x.
        height: Of what is cut, along y.
        deviation: Greatest distance from the design.

    >>> from bladegeom import cut_files
    >>> measured = cut_files(design)["steel"].measured
    >>> measured.loops, measured.circles, measured.deviation < 0.011
    (1, 6, True)
    """

    loops: int
    open_lines: int
    marks: int
    circles: int
    segments: int
    width: float
    height: float
    deviation: float


def dxf_of_drawing(
    drawing: Drawing,
    *,
    release: Release = "R2000",
    off: float = 0.0,
    comment: Sequence[str] = (),
    within: float = ARC_FIT,
) -> tuple[bytes, CutFile]:
    """The DXF text (mm) and what was measured on it when read back.

    Args:
        drawing: Lines and circles.
        release: Of the format.
        off: How far the drawing's lines may be from the design already, mm; it counts as deviation.
        comment: Lines that stand before everything else, as group 999, which readers pass over.
        within: How far the file may be from the design, mm; more than what is kept back for rounding.

    Raises:
        ExportError: The drawing holds text, or the text read back does not measure true.
    """
    # Set for the writing only: it keeps dates and random ids out of the file, so that equal designs give equal bytes.
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        text = _text(_document(drawing, release, within - ARC_FIT_RESERVE - off))
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
    data = (_commented(comment) + text).encode("cp1252", errors="dxfreplace")
    return data, _measured(data.decode("cp1252"), drawing, release, off, within)


def _commented(comment: Sequence[str]) -> str:
    lines = [one_line(line) for line in (*comment, "made by bladegeom")]
    cut = [line[i : i + _LONGEST_COMMENT] for line in lines for i in range(0, len(line), _LONGEST_COMMENT)]
    return "".join(f"999\n{line}\n" for line in cut)


def _document(drawing: Drawing, release: Release, tolerance: float) -> Document:
    # R12 has no place for units, and the library warns on the terminal of any that are set.
    doc = Document.new(release) if release == "R12" else ezdxf.new(release, units=_MM)
    space = doc.modelspace()
    for item in drawing.items:
        if item.layer not in doc.layers:
            doc.layers.add(item.layer, color=_COLOURS.get(item.layer, 7), linetype="CONTINUOUS")
        attributes = {"layer": item.layer}
        if isinstance(item, Circle):
            space.add_circle((item.x, item.y), item.radius, dxfattribs=attributes)
        elif isinstance(item, Path):
            rows = _rows(item, tolerance)
            if release == "R12":
                space.add_polyline2d(rows, format="xyb", close=item.closed, dxfattribs=attributes)
            else:
                space.add_lwpolyline(rows, format="xyb", close=item.closed, dxfattribs=attributes)
        else:
            raise ExportError(f"{drawing.name}: a cut file cannot hold text on layer {item.layer}")
    x0, y0, x1, y1 = _extent(drawing)
    # On writing the space's extents go into the header, except where a corner is the origin.
    space.reset_extents((x0, y0, 0.0), (x1, y1, 0.0))
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (x0, y0, 0.0), (x1, y1, 0.0)
    return doc


def _rows(item: Path, tolerance: float) -> list[tuple[float, float, float]]:
    """x, y and bulge of each vertex; the last of an open line leads nowhere."""
    chain = fit_arcs([item.curve], tolerance, closed=item.closed, largest_radius=_LARGEST_RADIUS)
    bulges = chain.bulges.tolist() if item.closed else [*chain.bulges.tolist(), 0.0]
    return [(x, y, b) for (x, y), b in zip(chain.vertices.tolist(), bulges, strict=True)]


def _extent(drawing: Drawing) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x, greatest y of the lines themselves, mm."""
    boxes = np.array([_box(item) for item in drawing.items if not isinstance(item, Label)])
    (x0, y0), (x1, y1) = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)


def _box(item: Path | Circle) -> tuple[float, float, float, float]:
    if isinstance(item, Circle):
        return item.x - item.radius, item.y - item.radius, item.x + item.radius, item.y + item.radius
    return bounding_box(item.curve.pieces)


def _text(doc: Document) -> str:
    stream = io.StringIO()
    doc.write(stream)
    return _EXPONENT.sub(lambda found: plain_number(float(found[0])), stream.getvalue())


_EXPONENT: Final = re.compile(r"^-?[0-9]+(?:\.[0-9]+)?e[-+]?[0-9]+$", re.MULTILINE)
"""A number with an exponent, alone on its line; not every controller reads one."""


def plain_number(value: float) -> str:
    """A number without an exponent, to 16 places: no coordinate or bulge of a knife needs more.

    >>> plain_number(-2.5e-05), plain_number(1e20), plain_number(-1e-17)
    ('-0.000025', '100000000000000000000.0', '0.0')
    """
    text = f"{value:z.16f}".rstrip("0")
    return text + "0" if text.endswith(".") else text


def _measured(text: str, drawing: Drawing, release: Release, off: float, within: float) -> CutFile:
    try:
        doc = ezdxf.read(io.StringIO(text))
    except (DXFError, OSError) as error:
        raise ExportError(f"{drawing.name}: the cut file cannot be read back: {error}") from error
    _require_sound(doc, drawing, release)
    paths = [item for item in drawing.items if isinstance(item, Path)]
    rings = [item for item in drawing.items if isinstance(item, Circle)]
    lines = [(vertices(e), e) for e in doc.modelspace() if isinstance(e, LWPolyline | DxfPolyline)]
    circles = np.array([(*e.dxf.center.vec2, e.dxf.radius) for e in doc.modelspace() if isinstance(e, DxfCircle)])
    circles = circles.reshape(-1, 3)
    away = [_deviation(rows, item) for (rows, _), item in zip(lines, paths, strict=True)]
    moved = circles - np.array([(r.x, r.y, r.radius) for r in rings]).reshape(-1, 3)
    deviation = max([*(off + distance for distance in away), *(float(v) for v in np.abs(moved).ravel())], default=0.0)
    if not deviation <= within:
        raise ExportError(
            f"{drawing.name}: the cut file is {deviation:.4f} mm off the design when read back, more than {within} mm"
        )
    cut = [(rows, item) for (rows, _), item in zip(lines, paths, strict=True) if item.layer == "CUT"]
    samples = [sampled(rows, closed=item.closed) for rows, item in cut]
    every = np.concatenate([*samples, circles[:, :2] - circles[:, 2:], circles[:, :2] + circles[:, 2:]])
    size = np.ptp(every, axis=0) if len(every) else np.zeros(2)
    return CutFile(
        loops=sum(item.closed for _, item in cut),
        open_lines=sum(not item.closed for _, item in cut),
        marks=len(lines) - len(cut),
        circles=len(circles),
        segments=sum(len(rows) - (not item.closed) for rows, item in cut),
        width=float(size[0]),
        height=float(size[1]),
        deviation=deviation,
    )


def vertices(entity: LWPolyline | DxfPolyline) -> FloatArray:
    """x, y, bulge of each vertex of a polyline as it stands in a file, shape (n, 3)."""
    if isinstance(entity, LWPolyline):
        return np.array(entity.get_points("xyb"), dtype=np.float64)
    return np.array([(*v.dxf.location.vec2, v.dxf.bulge) for v in entity.vertices], dtype=np.float64)


def _require_sound(doc: Document, drawing: Drawing, release: Release) -> None:
    """Refuse a file with faults, without its units or extents, with other things in it, or with an end left open."""
    faults = [str(entry.message) for entry in doc.audit().errors]
    if release != "R12" and (doc.header["$INSUNITS"], doc.header["$MEASUREMENT"]) != (_MM, 1):
        faults.append("units lost")
    said = [*doc.header["$EXTMIN"][:2], *doc.header["$EXTMAX"][:2]]
    if not np.allclose(said, _extent(drawing), rtol=0.0, atol=ARC_FIT):
        faults.append("extents lost")
    if faults:
        raise ExportError(f"{drawing.name}: the cut file does not pass its audit: {'; '.join(faults)}")
    kinds = {Path: _POLYLINE[release], Circle: "CIRCLE"}
    wanted = [(kinds[type(item)], item.layer) for item in drawing.items]
    if sorted((e.dxftype(), e.dxf.layer) for e in doc.modelspace()) != sorted(wanted):
        raise ExportError(f"{drawing.name}: the cut file holds other things than were drawn")
    closed = [item.closed for item in drawing.items if isinstance(item, Path)]
    if [is_closed(e) for e in doc.modelspace() if isinstance(e, LWPolyline | DxfPolyline)] != closed:
        raise ExportError(f"{drawing.name}: the cut file has an open outline")


def is_closed(entity: DXFEntity) -> bool:
    """Whether a polyline of a file leads back to its first vertex."""
    return bool(entity.closed if isinstance(entity, LWPolyline) else getattr(entity, "is_closed", False))


def sampled(rows: FloatArray, *, closed: bool = True) -> FloatArray:
    """Points along a polyline with bulges, close enough for chords within 1e-4 mm, shape (n, 2).

    Args:
        rows: x, y, bulge of each vertex, shape (n, 3), mm.
        closed: Whether the last vertex leads back to the first; else it is the last point.
    """
    out = []
    following = np.roll(rows, -1, axis=0).tolist()
    pairs = list(zip(rows.tolist(), following, strict=True))
    for (x0, y0, bulge), (x1, y1, _) in pairs if closed else pairs[:-1]:
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
    return np.concatenate([*out, *([] if closed else [rows[-1:, :2]])])


def _count(chord: float, bulge: float) -> int:
    """Into how many parts a line or an arc is cut."""
    if abs(bulge) < 1e-12:
        return math.ceil(chord / _SAMPLE_STEP)
    sweep = 4 * math.atan(abs(bulge))
    radius = chord / (2 * math.sin(sweep / 2))
    step = 2 * math.acos(max(0.0, 1 - _FINE / radius))
    return math.ceil(max(sweep / step, sweep * radius / _SAMPLE_STEP))


def _deviation(rows: FloatArray, item: Path) -> float:
    """Greatest distance between a polyline and the curve it stands for, from either to the other, mm."""
    curve, there = item.curve, sampled(rows, closed=item.closed)
    to_curve = float(nearest(curve, there).distance.max())
    back = shapely.get_coordinates(shapely.segmentize(LineString(flatten(curve, _FINE)), _SAMPLE_STEP))
    ring = np.concatenate([there, there[:1]]) if item.closed else there
    return max(to_curve, float(Polyline(ring).distances(*back.T).max()))
