"""From the entities of a DXF to plain lines and arcs in mm, and a list of what is none."""

from __future__ import annotations

import hashlib
import itertools
import math
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

import numpy as np
from ezdxf.document import Drawing as Document
from ezdxf.entities import LWPolyline, Polyline

from bladegeom.body.cut_plan import LIKELY, Chain, CutPlan, Stray
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.segments import Segments
from bladegeom.quantities.errors import UnreadableFileError
from bladegeom.read.dxf_file import FARTHEST, open_dxf

UNITS: Final = {
    1: ("inch", 25.4),
    2: ("foot", 304.8),
    4: ("mm", 1.0),
    5: ("centimetre", 10.0),
    6: ("metre", 1000.0),
    8: ("microinch", 25.4e-6),
    9: ("mil", 0.0254),
    10: ("yard", 914.4),
    13: ("micron", 1e-3),
    14: ("decimetre", 100.0),
}
"""What $INSUNITS names, and how many mm it is. Source: DXF reference, HEADER section."""

_STRAYS: Final = {
    "TEXT": "text",
    "MTEXT": "text",
    "ATTRIB": "text",
    "ATTDEF": "text",
    "HATCH": "hatch",
    "MPOLYGON": "hatch",
    "SOLID": "hatch",
    "TRACE": "hatch",
    "DIMENSION": "dimension",
    "ARC_DIMENSION": "dimension",
    "LARGE_RADIAL_DIMENSION": "dimension",
    "LEADER": "dimension",
    "MULTILEADER": "dimension",
    "TOLERANCE": "dimension",
    "POINT": "point",
    "INSERT": "block",
}

_MARK: Final = re.compile(
    r"mark|engrav|etch|scrib|grav|text|note|dim|bema|border|frame|title|defpoints|construct|constr|centre|center|"
    r"hidden|guide|grind|stamp|bend|fold|hatch|annot|info",
    re.IGNORECASE,
)
"""Layers that are not for cutting, by their names; common practice, no source."""

_CHORD = 0.01
"""A spline or an ellipse stands here as chords within this distance, in units of the file."""

_MOST_KNOTS, _MOST_CHORDS = 2_000, 100_000
"""Splines with more control points, or beyond so many chords in all, are listed but not measured; own choice."""

_HIGHEST_DEGREE = 11
"""Of a spline that is measured; own choice: CAD programs write 3, sometimes 5."""


class _NotFlatError(ValueError):
    """A thing that does not lie in the plane z = 0."""


@dataclass
class _Found:
    """What was collected so far."""

    chains: list[Chain] = field(default_factory=list)
    marks: list[Chain] = field(default_factory=list)
    strays: list[Stray] = field(default_factory=list)
    chords: int = 0


def read_cut_plan(data: bytes, name: str, *, unit: str | None = None) -> CutPlan:
    """What a DXF holds, as plain values in mm.

    Args:
        data: The whole file.
        name: What to call it.
        unit: "mm" or "inch": what one unit is where the file does not say.

    A file that names no unit, or one that shops do not read, is read so that the part has the size of a knife: as its
    header says, else as mm, else as inch; as mm where none does. ``mm_per_unit`` tells which.

    Raises:
        UnreadableFileError: It is no DXF that can be read.
    """
    doc = open_dxf(data, name)
    hidden = {layer.dxf.name.lower() for layer in doc.layers if layer.is_off() or layer.is_frozen()}
    found, layers = _Found(), Counter[str]()
    for entity in doc.modelspace():
        kind = entity.dxftype()
        try:
            layer = str(entity.dxf.layer)
            layers[layer] += 1
            _sort(entity, kind, layer, found, aside=layer.lower() in hidden or bool(_MARK.search(layer)))
        except Exception as error:
            # An entity with missing or senseless numbers may raise anything: what it means cannot be told.
            raise UnreadableFileError(name, f"has a damaged {kind} that cannot be read; draw it again") from error
    said, factor = _unit(doc, found.chains, unit)
    metric = doc.header.get("$MEASUREMENT") if "$MEASUREMENT" in doc.header else None
    return CutPlan(
        name=name,
        sha256=hashlib.sha256(data).hexdigest(),
        release=str(doc.acad_release),
        unit=said,
        mm_per_unit=factor,
        metric=None if metric is None else bool(metric),
        chains=tuple(_scaled(found.chains, factor)),
        marks=tuple(_scaled(found.marks, factor)),
        strays=tuple(replace(s, x=factor * s.x, y=factor * s.y) for s in found.strays),
        elsewhere=tuple(_elsewhere(doc)),
        layers=tuple(layers.items()),
        hidden=tuple(name for name in layers if name.lower() in hidden),
    )


def _unit(doc: Document, chains: Sequence[Chain], told: str | None) -> tuple[str, float]:
    """Name of the file's unit, empty where it says none, and how many mm one is."""
    number = int(doc.header["$INSUNITS"]) if "$INSUNITS" in doc.header else 0
    name, factor = UNITS.get(number, (f"unit number {number}", 1.0)) if number else ("", 1.0)
    if name in ("mm", "inch"):
        return name, factor
    if not name and told:
        return name, 25.4 if told == "inch" else 1.0
    xy = np.concatenate([np.empty((0, 2)), *(chain.segments.start for chain in chains)])
    longest = float(np.ptp(xy, axis=0).max()) if len(xy) else 0.0
    likely = (one for one in (factor, 1.0, 25.4) if LIKELY[0] <= one * longest <= LIKELY[1])
    return name, next(likely, 1.0)


def _scaled(chains: Sequence[Chain], factor: float) -> Iterator[Chain]:
    for chain in chains:
        yield replace(chain, segments=chain.segments.scaled(factor))


def _elsewhere(doc: Document) -> Iterator[tuple[str, int]]:
    for layout in doc.layouts:
        if layout.name != "Model":
            count = sum(entity.dxftype() != "VIEWPORT" for entity in layout)
            if count:
                yield layout.name, count


def _sort(entity: Any, kind: str, layer: str, found: _Found, *, aside: bool) -> None:
    """Put an entity where it belongs."""
    try:
        drawn = _rows(entity, kind, found)
    except _NotFlatError:
        found.strays.append(Stray(kind="not flat", what=kind, layer=layer, **_place(entity)))
        return
    if drawn is None:
        stray = _STRAYS.get(kind, "other")
        found.strays.append(Stray(kind=stray, what=kind, layer=layer, **_place(entity)))
        return
    name, rows, closed = drawn
    if not np.isfinite(rows).all() or np.abs(rows[:, :2]).max() > FARTHEST:
        raise ValueError
    segments = _segments(rows, closed=closed)
    (found.marks if aside else found.chains).append(Chain(kind=name, layer=layer, segments=segments, closed=closed))


def _rows(entity: Any, kind: str, found: _Found) -> tuple[str, FloatArray, bool] | None:
    """Kind, vertices with bulges (n, 3) and whether closed; None for what is no line."""
    if kind == "LINE":
        return "line", _flat([entity.dxf.start, entity.dxf.end]), False
    if kind in ("CIRCLE", "ARC"):
        return _arc(entity, kind)
    if isinstance(entity, LWPolyline):
        with entity.points("xyb") as rows:
            return _polyline(entity, np.array(rows, dtype=np.float64).reshape(-1, 3), float(entity.dxf.elevation))
    if isinstance(entity, Polyline):
        return _old_polyline(entity)
    if kind in ("SPLINE", "ELLIPSE"):
        return _chords(entity, kind, found)
    return None


def _flat(places: Sequence[Any]) -> FloatArray:
    rows = np.array([(p[0], p[1], p[2] if len(p) > 2 else 0.0) for p in places], dtype=np.float64)
    if np.abs(rows[:, 2]).max() > 1e-6:
        raise _NotFlatError
    return np.column_stack([rows[:, :2], np.zeros(len(rows))])


def _mirrored(entity: Any, rows: FloatArray, elevation: float) -> FloatArray:
    """Into the plane of the drawing: seen from below, x and the sense of turning change sign.

    Source: DXF reference, object coordinate systems.
    """
    x, y, z = entity.dxf.extrusion
    if math.hypot(x, y) > 1e-9 * abs(z) or abs(elevation) > 1e-6:
        raise _NotFlatError
    return rows if z > 0 else rows * (-1.0, 1.0, -1.0)


def _arc(entity: Any, kind: str) -> tuple[str, FloatArray, bool] | None:
    (x, y, *z), r = entity.dxf.center, float(entity.dxf.radius)
    if not r > 0:
        return None
    first, sweep = 0.0, 360.0
    if kind == "ARC":
        first = float(entity.dxf.start_angle)
        sweep = (float(entity.dxf.end_angle) - first) % 360.0 or 360.0
    # In two halves: the bulge of a whole turn would be infinite.
    angles = np.radians(first + sweep * np.array([0.0, 0.5, 1.0]))
    bulge = math.tan(math.radians(sweep) / 8)
    rows = np.stack([x + r * np.cos(angles), y + r * np.sin(angles), np.full(3, bulge)], axis=1)
    rows = _mirrored(entity, rows, float(z[0]) if z else 0.0)
    return ("circle", rows[:2], True) if sweep == 360.0 else ("arc", rows, False)


def _polyline(entity: Any, rows: FloatArray, elevation: float) -> tuple[str, FloatArray, bool] | None:
    if len(rows) < 2:
        return None
    return "polyline", _mirrored(entity, rows, elevation), bool(entity.is_closed)


def _old_polyline(entity: Polyline) -> tuple[str, FloatArray, bool] | None:
    """POLYLINE with its vertices; those that only frame a smoothed one are left out (bit 16 of their flags)."""
    vertices = [v for v in entity.vertices if not int(v.dxf.flags) & 16]
    if len(vertices) < 2 or not (entity.is_2d_polyline or entity.is_3d_polyline):
        return None
    if entity.is_3d_polyline:
        return "polyline", _flat([v.dxf.location for v in vertices]), bool(entity.is_closed)
    rows = np.array([(*v.dxf.location.vec2, v.dxf.bulge) for v in vertices], dtype=np.float64)
    return _polyline(entity, rows, max(abs(float(v.dxf.location.z)) for v in vertices))


def _chords(entity: Any, kind: str, found: _Found) -> tuple[str, FloatArray, bool] | None:
    if kind == "SPLINE":
        many = max(entity.control_point_count(), entity.fit_point_count(), entity.knot_count())
        if many > _MOST_KNOTS or int(entity.dxf.degree) > _HIGHEST_DEGREE:
            return None
    room = _MOST_CHORDS - found.chords
    places = list(itertools.islice(entity.flattening(_CHORD), room + 1))
    found.chords += len(places)
    if not 2 <= len(places) <= room:
        return None
    return kind.lower(), _flat(places), False


def _segments(rows: FloatArray, *, closed: bool) -> Segments:
    xy, bulge = rows[:, :2], rows[:, 2]
    if closed:
        return Segments(xy, np.roll(xy, -1, axis=0), bulge)
    return Segments(xy[:-1], xy[1:], bulge[:-1])


def _place(entity: Any) -> dict[str, float]:
    """Some place that belongs to an entity; the origin where it has none."""
    for name in ("insert", "location", "center", "start", "defpoint", "vtx0"):
        if entity.dxf.hasattr(name):
            x, y, *_ = entity.dxf.get(name)
            return {"x": float(x), "y": float(y)}
    return {"x": 0.0, "y": 0.0}
