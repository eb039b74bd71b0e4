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

from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten_pieces
from bladegeom.curves.segments import Segments
from bladegeom.importers.cut_plan import LIKELY, Chain, CutPlan, Stray
from bladegeom.importers.dxf_file import FARTHEST, open_dxf
from bladegeom.importers.dxf_spline import is_readable, spline_cubics
from bladegeom.importers.dxf_things import HiddenThings, layer_of, unit_of_drawing
from bladegeom.importers.layer_words import is_for_marks
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.lettering import visible
from bladegeom.quantities.units import MM_PER_INCH

_INCH: Final = float(MM_PER_INCH)

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

_CHORD = 0.005
"""A spline or an ellipse stands here as chords within this distance, mm."""

_MOST_CHORDS = 100_000
"""Splines beyond so many chords in all are listed but not measured; own choice."""

_COMMENT = re.compile(rb"\A(?:\xef\xbb\xbf)?(?:\s*999\s*\n[^\n]*\n)*")
_SAID = re.compile(rb"\b1 unit is 1 (mm|inch)\b")
"""How our own files tell their unit in the comment at their head where the release has no place for it."""


class _NotFlatError(ValueError):
    """A thing that does not lie in the plane z = 0."""


@dataclass
class _Found:
    """What was collected so far."""

    chains: list[Chain] = field(default_factory=list)
    marks: list[Chain] = field(default_factory=list)
    strays: list[Stray] = field(default_factory=list)
    chords: int = 0
    chord: float = _CHORD


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
    told = unit or _said(data)
    unit_name, factor = unit_of_drawing(doc)
    unseen, layers = HiddenThings(doc), Counter[str]()
    # Where the unit is not known yet, chords are short enough for inches.
    found = _Found(chord=_CHORD / (factor or _INCH))
    for entity in doc.modelspace():
        kind = visible(entity.dxftype())
        try:
            layer = layer_of(entity)
            layers[layer] += 1
            _sort(entity, kind, layer, found, unseen.why(entity, layer))
        except Exception as error:
            # An entity with missing or senseless numbers may raise anything: what it means cannot be told.
            raise UnreadableFileError(
                name, f"the file has a damaged {kind} that cannot be read; draw it again"
            ) from error
    factor = _factor(unit_name, factor, found.chains, told)
    metric = doc.header.get("$MEASUREMENT") if "$MEASUREMENT" in doc.header else None
    return CutPlan(
        name=visible(name),
        sha256=hashlib.sha256(data).hexdigest(),
        release=str(doc.acad_release),
        unit=unit_name,
        told="" if unit_name else told,
        mm_per_unit=factor,
        metric=None if metric is None else bool(metric),
        chains=tuple(_scaled(found.chains, factor)),
        marks=tuple(_scaled(found.marks, factor)),
        strays=tuple(replace(s, x=factor * s.x, y=factor * s.y) for s in found.strays),
        elsewhere=tuple(_elsewhere(doc)),
        layers=tuple(layers.items()),
    )


def _said(data: bytes) -> str:
    """The unit that the comment at a file's head tells, or ""."""
    head = _COMMENT.match(data[:20_000].replace(b"\r\n", b"\n"))
    match = _SAID.search(head[0]) if head else None
    return match[1].decode() if match else ""


def _factor(name: str, factor: float | None, chains: Sequence[Chain], told: str) -> float:
    """How many mm one unit is."""
    if factor is not None and name in ("mm", "inch"):
        return factor
    if not name and told:
        return _INCH if told == "inch" else 1.0
    xy = np.concatenate([np.empty((0, 2)), *(chain.segments.start for chain in chains)])
    longest = float(np.ptp(xy, axis=0).max()) if len(xy) else 0.0
    likely = (unit for unit in (factor or 1.0, 1.0, _INCH) if LIKELY[0] <= unit * longest <= LIKELY[1])
    return next(likely, 1.0)


def _scaled(chains: Sequence[Chain], factor: float) -> Iterator[Chain]:
    for chain in chains:
        yield replace(
            chain,
            segments=chain.segments.scaled(factor),
            width=factor * chain.width,
            thickness=factor * chain.thickness,
        )


def _elsewhere(doc: Document) -> Iterator[tuple[str, int]]:
    for layout in doc.layouts:
        if layout.name != "Model":
            count = sum(entity.dxftype() != "VIEWPORT" for entity in layout)
            if count:
                yield visible(layout.name), count


def _sort(entity: Any, kind: str, layer: str, found: _Found, unseen: str) -> None:
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
    chain = Chain(
        kind=name,
        layer=layer,
        segments=_segments(rows, closed=closed),
        closed=closed,
        width=_width(entity),
        thickness=_size(entity, "thickness"),
        unseen=unseen,
    )
    (found.marks if unseen or is_for_marks(layer) else found.chains).append(chain)


def _width(entity: Any) -> float:
    """The greatest that a polyline is drawn with, in units of the file."""
    if isinstance(entity, LWPolyline):
        return max(_size(entity, "const_width"), float(np.abs(entity.lwpoints.values[:, 2:4]).max(initial=0.0)))
    if isinstance(entity, Polyline):
        wide = [_size(v, name) for v in entity.vertices for name in ("start_width", "end_width")]
        return max(_size(entity, "default_start_width"), _size(entity, "default_end_width"), *wide)
    return 0.0


def _size(entity: Any, name: str) -> float:
    """A size that an entity of this kind may have; 0 where it has none."""
    return abs(float(entity.dxf.get(name, 0.0))) if entity.dxf.is_supported(name) else 0.0


def _rows(entity: Any, kind: str, found: _Found) -> tuple[str, FloatArray, bool] | None:
    """Kind, vertices with bulges (n, 3) and whether closed; None for what is no line."""
    if kind == "LINE":
        return "line", _flat([entity.dxf.start, entity.dxf.end]), False
    if kind in ("CIRCLE", "ARC"):
        return _arc(entity, kind)
    if isinstance(entity, LWPolyline):
        # x, y, widths at start and end, bulge: taken as they are stored, for one by one they take long.
        rows = np.array(entity.lwpoints.values, dtype=np.float64).reshape(-1, 5)[:, (0, 1, 4)]
        return _polyline(entity, rows, float(entity.dxf.elevation))
    if isinstance(entity, Polyline):
        return _old_polyline(entity)
    if kind in ("SPLINE", "ELLIPSE"):
        return _chords(entity, kind, found)
    return None


def _flat(places: Sequence[Any] | FloatArray) -> FloatArray:
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
    room = _MOST_CHORDS - found.chords
    if kind == "ELLIPSE":
        places = np.array([tuple(p) for p in itertools.islice(entity.flattening(found.chord), room + 1)])
    elif is_readable(entity):
        cubics = spline_cubics(entity, found.chord)
        _flat(cubics.reshape(-1, 3))
        flat, _, _ = flatten_pieces(np.ascontiguousarray(cubics[..., :2]), found.chord)
        places = np.concatenate([flat, cubics[-1:, 3, :2]])
    else:
        return None
    found.chords += len(places)
    return (kind.lower(), _flat(places), False) if 2 <= len(places) <= room else None


def _segments(rows: FloatArray, *, closed: bool) -> Segments:
    xy, bulge = rows[:, :2], rows[:, 2]
    if closed:
        return Segments(xy, np.roll(xy, -1, axis=0), bulge)
    return Segments(xy[:-1], xy[1:], bulge[:-1])


def _place(entity: Any) -> dict[str, float]:
    """Some place that belongs to an entity; the origin where it has none."""
    for name in ("insert", "location", "center", "start", "defpoint", "vtx0"):
        if entity.dxf.is_supported(name) and entity.dxf.hasattr(name):
            x, y, *_ = entity.dxf.get(name)
            return {"x": float(x), "y": float(y)}
    return {"x": 0.0, "y": 0.0}
