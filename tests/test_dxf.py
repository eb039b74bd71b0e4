"""The cut file: lines and arcs true to the design, units, nothing else in it, and refused when it is not so."""

from __future__ import annotations

import cmath
import io
import math
import os
import subprocess
import sys
from collections.abc import Callable
from functools import cache, partial
from typing import Any, NamedTuple

import ezdxf
import numpy as np
import pytest
import specimens
from draws import quick
from ezdxf.document import Drawing as Document
from ezdxf.entities import Circle as DxfCircle
from ezdxf.entities import LWPolyline
from scipy.spatial import cKDTree

from bladegeom.curves.build import line
from bladegeom.curves.curve import Curve, FloatArray, join
from bladegeom.cutfile import dxf
from bladegeom.cutfile.cut import cut_drawing, left_for_the_drill
from bladegeom.cutfile.dxf import CutFile, Release, dxf_of_drawing
from bladegeom.drawing.drawing import Circle, Drawing, Label, Path
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.placing.place import add_fasteners, add_lightening_row
from bladegeom.quantities.file_errors import ExportError

TRUE = 0.01
"""Greatest distance between cut file and design, mm; the file is measured by it before it is handed out."""

STEP = 0.02
"""Both are sampled at places this far apart, mm; on a radius of 2 mm chords are then true to 0.00003 mm."""


def drilled(knife: Knife) -> Knife:
    return add_lightening_row(add_fasteners(knife, specimens.pins("1/4"), count=2))


def pair(blade: str, handle: str) -> Knife:
    return drilled(specimens.profile(blade, handle))


def slotted() -> Knife:
    return specimens.drop_point(
        holes=(
            Slot(start=(-40.0, -13.0), end=(-55.0, -11.0), diameter=6.0, purpose="lightening"),
            Hole(x=-75.0, y=-13.0, diameter=8.0, purpose="lightening"),
            Hole(x=-25.0, y=-13.0, diameter=6.35, purpose="fastener", made="drilled"),
            Hole(x=-95.0, y=-13.0, diameter=4.0, purpose="lanyard", made="reamed"),
        )
    )


DESIGNS: dict[str, Callable[[], Knife]] = {
    **{f"{blade} {handle}": partial(pair, blade, handle) for blade in specimens.BLADES for handle in specimens.HANDLES},
    "slotted": slotted,
    "recurve": specimens.recurve,
    "bar": lambda: specimens.ground(specimens.bar_outline()),
    "disc": lambda: specimens.ground(specimens.disc_outline(), height=8.0),
}
MOST = ("drop_point swelled", "chef straight", "slotted", "recurve", "bar", "disc")
"""What the quick suite writes; the other pairs of profiles in the long one."""

every_design = pytest.mark.parametrize("name", quick(DESIGNS, *MOST))


class Written(NamedTuple):
    knife: Knife
    drawing: Drawing
    text: bytes
    told: CutFile
    doc: Document
    polylines: list[FloatArray]
    circles: list[tuple[float, float, float]]


@cache
def written(name: str) -> Written:
    knife = DESIGNS[name]()
    drawing = cut_drawing(knife)
    text, told = dxf_of_drawing(drawing)
    doc = ezdxf.read(io.StringIO(text.decode("cp1252")))
    space = doc.modelspace()
    polylines = [np.array(e.get_points("xyb")) for e in space if isinstance(e, LWPolyline)]
    circles = [(e.dxf.center.x, e.dxf.center.y, e.dxf.radius) for e in space if isinstance(e, DxfCircle)]
    return Written(knife, drawing, text, told, doc, polylines, circles)


def arcs(rows: FloatArray) -> FloatArray:
    """Points along a closed polyline with bulges.

    A bulge is the tangent of a quarter of the arc's sweep (DXF reference, LWPOLYLINE, group 42). Seen from its start,
    the chord to the place at share s of a sweep a has the length sin(s a / 2) / sin(a / 2) of the whole chord, and is
    turned back from it by (1 - s) a / 2: the inscribed angle.
    """
    out = []
    for (x, y, bulge), (u, v, _) in zip(rows, np.roll(rows, -1, axis=0), strict=True):
        start, chord = complex(x, y), complex(u - x, v - y)
        half = 2 * math.atan(bulge)
        size = abs(chord) if not bulge else abs(chord) * half / math.sin(half)
        for s in np.arange(0.0, 1.0, STEP / abs(size)):
            share = s if not bulge else math.sin(s * half) / math.sin(half)
            out.append(start + share * chord * cmath.exp(-1j * (1 - s) * half))
    return np.array([(z.real, z.imag) for z in out])


def bezier(curve: Curve) -> FloatArray:
    """Points along the true outline, by the Bernstein form."""
    out = []
    for a, b, c, d in curve.pieces:
        n = math.ceil((np.linalg.norm(b - a) + np.linalg.norm(c - b) + np.linalg.norm(d - c)) / STEP)
        t = (np.arange(n) / n)[:, None]
        out.append((1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t * t * c + t**3 * d)
    return np.concatenate(out)


def farthest(xy: FloatArray, ring: FloatArray) -> float:
    """Greatest distance of points from a closed ring of much closer ones: to the two sides at the nearest vertex."""
    _, i = cKDTree(ring).query(xy)
    return float(np.minimum(to_side(xy, ring[i - 1], ring[i]), to_side(xy, ring[i], ring[(i + 1) % len(ring)])).max())


def to_side(xy: FloatArray, a: FloatArray, b: FloatArray) -> FloatArray:
    d = b - a
    s = np.clip(((xy - a) * d).sum(axis=1) / (d * d).sum(axis=1), 0, 1)
    return np.asarray(np.hypot(*(xy - a - s[:, None] * d).T))


def paths(drawing: Drawing) -> list[Curve]:
    return [item.curve for item in drawing.items if isinstance(item, Path)]


@every_design
def test_cut_lines_are_true_to_the_design_both_ways(name: str) -> None:
    written_file = written(name)
    assert len(written_file.polylines) == len(paths(written_file.drawing))
    for rows, curve in zip(written_file.polylines, paths(written_file.drawing), strict=True):
        cut, true = arcs(rows), bezier(curve)
        worst = max(farthest(cut, true), farthest(true, cut))
        assert worst <= TRUE
        # What the export told was measured in another way, to 0.0002 mm.
        assert written_file.told.deviation >= worst - 2e-4


@every_design
def test_units_and_release(name: str) -> None:
    doc = written(name).doc
    # Source: DXF reference, HEADER: $INSUNITS 4 is mm, $MEASUREMENT 1 metric; AC1015 is release 2000.
    assert (doc.header["$INSUNITS"], doc.header["$MEASUREMENT"], doc.dxfversion) == (4, 1, "AC1015")


@every_design
def test_nothing_but_closed_polylines_and_circles_on_layer_cut(name: str) -> None:
    written_file = written(name)
    kinds = {(e.dxftype(), e.dxf.layer) for e in written_file.doc.modelspace()}
    assert kinds <= {("LWPOLYLINE", "CUT"), ("CIRCLE", "CUT")}
    assert not list(
        written_file.doc.query("*").filter(lambda e: e.dxftype() in {"TEXT", "MTEXT", "SPLINE", "INSERT", "LINE"})
    )
    for e in written_file.doc.modelspace():
        assert not isinstance(e, LWPolyline) or e.closed
    for rows in written_file.polylines:
        steps = np.linalg.norm(rows[:, :2] - np.roll(rows[:, :2], -1, axis=0), axis=1)
        # A repeated first vertex would be a last step of no length. 0.01 mm: shorter steps stop a machine.
        assert steps.min() > 0.01
    assert not written_file.doc.audit().errors


@every_design
def test_outline_is_smooth_where_the_design_is(name: str) -> None:
    written_file = written(name)
    rows, (curve, *_) = written_file.polylines[0], paths(written_file.drawing)
    p = curve.pieces
    before, after = p[:, 3] - p[:, 2], np.roll(p, -1, axis=0)[:, 1] - np.roll(p, -1, axis=0)[:, 0]
    turn = np.array([cmath.phase(complex(*b) / complex(*a)) for a, b in zip(before, after, strict=True)])
    corners = p[np.abs(turn) > math.radians(0.1), 3]
    for i, (x, y, bulge) in enumerate(rows):
        last_x, last_y, last_bulge = rows[i - 1]
        next_x, next_y, _ = rows[(i + 1) % len(rows)]
        # At its ends an arc leaves its chord by half its sweep.
        arriving = cmath.phase(complex(x - last_x, y - last_y)) + 2 * math.atan(last_bulge)
        leaving = cmath.phase(complex(next_x - x, next_y - y)) - 2 * math.atan(bulge)
        kink = abs(math.degrees(cmath.phase(cmath.exp(1j * (leaving - arriving)))))
        at_corner = np.hypot(*(corners - (x, y)).T).min() < 1e-6
        assert kink <= 0.1 or at_corner, (x, y)
    # And every corner of the design is a vertex.
    assert np.hypot(*(corners[:, None] - rows[None, :, :2]).transpose(2, 0, 1)).min(axis=1).max() < 1e-6


def test_few_segments() -> None:
    assert len(written("drop_point swelled").polylines[0]) < 80
    # Four lines and, on the upper border and on the lower, one more vertex each where handle and blade meet.
    assert len(written("bar").polylines[0]) <= 8


@every_design
def test_extents_and_told_size(name: str) -> None:
    written_file = written(name)
    xy = np.concatenate([arcs(rows) for rows in written_file.polylines])
    size = xy.max(axis=0) - xy.min(axis=0)
    x0, y0, x1, y1 = written_file.knife.outline.bounds
    assert size == pytest.approx((x1 - x0, y1 - y0), abs=2 * TRUE)
    assert (written_file.told.width, written_file.told.height) == pytest.approx(size, abs=1e-3)
    header = written_file.doc.header
    assert header["$EXTMIN"] == pytest.approx((0, 0, 0), abs=1e-6)
    assert header["$EXTMAX"] == pytest.approx((x1 - x0, y1 - y0, 0), abs=1e-6)
    assert xy.min() >= -TRUE


def test_a_slot_is_two_lines_and_two_half_circles() -> None:
    written_file = written("slotted")
    (slot,) = written_file.polylines[1:]
    # tan(180 / 4 degrees) = 1.
    assert sorted(slot[:, 2].round(9)) == [0, 0, 1, 1]
    (x0, y0, *_) = written_file.knife.outline.bounds
    straight = [np.hypot(*(np.roll(slot, -1, axis=0)[i, :2] - slot[i, :2])) for i in range(4)]
    # 15 mm along and 2 mm up; the tool is 6 mm wide.
    assert sorted(straight) == pytest.approx([6.0, 6.0, math.hypot(15, 2), math.hypot(15, 2)], abs=1e-6)
    assert slot[:, :2].mean(axis=0) == pytest.approx((-47.5 - x0, -12.0 - y0), abs=1e-6)


def test_cut_holes_are_circles_and_drilled_ones_are_left_out() -> None:
    written_file = written("slotted")
    x0, y0, *_ = written_file.knife.outline.bounds
    assert written_file.circles == [pytest.approx((-75.0 - x0, -13.0 - y0, 4.0), abs=1e-9)]
    assert left_for_the_drill(written_file.knife) == ("F1", "T1")
    assert (written_file.told.loops, written_file.told.circles) == (2, 1)
    assert written_file.told.segments == sum(len(rows) for rows in written_file.polylines)


def test_the_same_design_gives_the_same_bytes() -> None:
    assert dxf_of_drawing(cut_drawing(DESIGNS["slotted"]()))[0] == written("slotted").text


_SMALL = """
import hashlib
from bladegeom.curves.build import line
from bladegeom.drawing.drawing import Circle, Drawing, Path
from bladegeom.cutfile.dxf import dxf_of_drawing
curve = line((0, 0), (10, 0), (10, 5), (0, 0))
items = (Path(layer="CUT", curve=curve, closed=True), Circle(layer="CUT", x=7, y=2, radius=1))
print(hashlib.sha256(dxf_of_drawing(Drawing(name="x", items=items))[0]).hexdigest())
"""


@pytest.mark.parametrize("seeds", quick([4, 12], 4))
def test_bytes_do_not_depend_on_the_hash_seed(seeds: int) -> None:
    sums: set[str] = set()
    for first in range(0, seeds, 2):
        running = [
            subprocess.Popen(
                [sys.executable, "-c", _SMALL],
                env={**os.environ, "PYTHONHASHSEED": str(seed), "OPENBLAS_NUM_THREADS": "1"},
                stdout=subprocess.PIPE,
                text=True,
            )
            for seed in range(first, first + 2)
        ]
        sums |= {process.communicate(timeout=60)[0].strip() for process in running}
        assert [process.returncode for process in running] == [0, 0]
    assert len(sums) == 1
    assert len(sums.pop()) == 64


def outline_of(doc: Document) -> LWPolyline:
    (first, *_) = (e for e in doc.modelspace() if isinstance(e, LWPolyline))
    return first


def shift_vertex(doc: Document) -> None:
    outline = outline_of(doc)
    x, y, *rest = outline[7]
    outline[7] = (x, y + 0.05, *rest)


def change_bulge(doc: Document) -> None:
    outline = outline_of(doc)
    x, y, start, end, bulge = outline[7]
    outline[7] = (x, y, start, end, bulge + 0.02)


def drop_units(doc: Document) -> None:
    doc.header["$INSUNITS"] = 0


def say_inch(doc: Document) -> None:
    doc.header["$INSUNITS"] = 1


def say_imperial(doc: Document) -> None:
    doc.header["$MEASUREMENT"] = 0


def open_outline(doc: Document) -> None:
    outline_of(doc).closed = False


def shift_circle(doc: Document) -> None:
    circle = next(e for e in doc.modelspace() if isinstance(e, DxfCircle))
    circle.dxf.center = circle.dxf.center.replace(x=circle.dxf.center.x + 0.05)


def widen_circle(doc: Document) -> None:
    circle = next(e for e in doc.modelspace() if isinstance(e, DxfCircle))
    circle.dxf.radius += 0.05


def drop_extents(doc: Document) -> None:
    doc.modelspace().reset_extents()  # to the writer's "not known", 1e20


def other_layer(doc: Document) -> None:
    outline_of(doc).dxf.layer = "0"


def add_line(doc: Document) -> None:
    doc.modelspace().add_line((0, 0), (10, 10))


def lose_circle(doc: Document) -> None:
    doc.modelspace().delete_entity(next(e for e in doc.modelspace() if isinstance(e, DxfCircle)))


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (shift_vertex, r"specimen: the cut file is 0\.0\d+ mm off the design when read back, more than 0\.01 mm"),
        (change_bulge, r"mm off the design when read back, more than 0\.01 mm"),
        (shift_circle, r"the cut file is 0\.0500 mm off the design"),
        (widen_circle, r"the cut file is 0\.0500 mm off the design"),
        (drop_units, r"does not pass its audit: units lost"),
        (say_inch, r"does not pass its audit: units lost"),
        (say_imperial, r"does not pass its audit: units lost"),
        (drop_extents, r"does not pass its audit: extents lost"),
        (other_layer, r"holds other things than were drawn"),
        (open_outline, r"specimen: the cut file has an open outline"),
        (add_line, r"holds other things than were drawn"),
        (lose_circle, r"holds other things than were drawn"),
    ],
)
def test_a_spoilt_file_is_refused(
    spoil: Callable[[Document], None], message: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    build = dxf._document

    def spoilt(drawing: Drawing, release: Release, off: float) -> Document:
        doc = build(drawing, release, off)
        spoil(doc)
        return doc

    monkeypatch.setattr(dxf, "_document", spoilt)
    with pytest.raises(ExportError, match=message):
        dxf_of_drawing(written("slotted").drawing)


@pytest.mark.parametrize("keep", [0.0, 0.3, 0.9])
def test_a_file_cut_short_is_refused(keep: float, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = dxf._text

    def short(doc: Any) -> str:
        text = whole(doc)
        return text[: int(keep * len(text))]

    monkeypatch.setattr(dxf, "_text", short)
    with pytest.raises(ExportError, match="specimen: the cut file"):
        dxf_of_drawing(written("slotted").drawing)


def test_text_is_refused() -> None:
    label = Label(layer="NOTE", x=0, y=0, text="a")
    with pytest.raises(ExportError, match=r"Plate: .* NOTE"):
        dxf_of_drawing(Drawing(name="Plate", items=(label,)))


def test_the_writers_switch_for_fixed_dates_is_put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    square = join(line((0, 0), (9, 0), (9, 9)), line((9, 9), (0, 0)))
    for before in (False, True):
        monkeypatch.setattr(ezdxf.options, "write_fixed_meta_data_for_testing", before)
        dxf_of_drawing(Drawing(name="x", items=(Path(layer="CUT", curve=square, closed=True),)))
        assert ezdxf.options.write_fixed_meta_data_for_testing is before


def test_a_drawing_of_circles_alone_has_a_size() -> None:
    _, told = dxf_of_drawing(Drawing(name="x", items=(Circle(layer="CUT", x=5, y=5, radius=5),)))
    assert (told.loops, told.circles, told.segments, told.deviation) == (0, 1, 0, 0.0)
    assert (told.width, told.height) == pytest.approx((10.0, 10.0))
