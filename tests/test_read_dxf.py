"""DXF from anywhere: our own cut files, splines, loose lines and arcs, units, and clear words for what is wrong."""

from __future__ import annotations

import io
import itertools
from functools import cache
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import shapely
import specimens
import traces
from draws import draws
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_tells
from scipy.interpolate import BSpline

from bladegeom.curves.curve import Curve, FloatArray, points
from bladegeom.curves.meet import nearest
from bladegeom.cutfile.cut import cut_drawing
from bladegeom.cutfile.dxf import dxf_of_drawing
from bladegeom.cutfile.preflight import preflight_plan
from bladegeom.importers.cut_lines import read_cut_plan
from bladegeom.importers.dxf_outline import outline_from_dxf
from bladegeom.importers.dxf_spline import SPLINE_FIT, bspline_cubics
from bladegeom.importers.loops import DrawnKnife
from bladegeom.knife.rules import Process
from bladegeom.outline.landmarks import Landmarks
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError, QuantityError
from bladegeom.quantities.file_errors import UnreadableFileError
from bladegeom.quantities.tolerances import ARC_FIT

DESIGNS = {f"{blade} {handle}": (blade, handle) for blade in specimens.BLADES for handle in specimens.HANDLES}
OUTLINE = specimens.drop_point().outline
MARKS = traces.marks_of(OUTLINE)


def write(tmp_path: Path, doc: Document) -> Path:
    stream = io.StringIO()
    doc.write(stream)
    path = tmp_path / "x.dxf"
    path.write_bytes(stream.getvalue().encode("cp1252"))
    return path


def new(unit: int = 4) -> tuple[Document, Modelspace]:
    doc = ezdxf.new("R2000", units=unit)
    return doc, doc.modelspace()


def add_splines(space: Modelspace, loop: Curve, layer: str = "0") -> None:
    """Each piece by itself, in no order, every second one the other way round."""
    for i, piece in sorted(enumerate(loop.pieces), key=lambda piece: (piece[0] * 7) % len(loop)):
        rows = piece[::-1] if i % 2 else piece
        space.add_open_spline([(x, y, 0.0) for x, y in rows], degree=3, dxfattribs={"layer": layer})


@pytest.mark.parametrize("name", [*DESIGNS, "recurve", "disc"])
def test_our_own_cut_file_comes_back(name: str, tmp_path: Path) -> None:
    knife = (
        specimens.profile(*DESIGNS[name], holes=())
        if name in DESIGNS
        else specimens.recurve() if name == "recurve" else specimens.ground(specimens.disc_outline(), height=8.0)
    )  # fmt: skip
    path = tmp_path / "cut.dxf"
    path.write_bytes(dxf_of_drawing(cut_drawing(knife))[0])
    x0, y0, *_ = knife.outline.bounds
    back = outline_from_dxf(path, traces.marks_of(knife.outline, lambda p: (p[0] - x0, p[1] - y0)))
    assert traces.apart(back.outline.loop, knife.outline.loop) <= ARC_FIT
    assert back.outline.heel == pytest.approx(knife.outline.heel, abs=ARC_FIT)
    assert back.outline.tip == pytest.approx(knife.outline.tip, abs=ARC_FIT)


@given(length=st.floats(80.0, 140.0), height=st.floats(26.0, 38.0), drop=st.floats(4.0, 16.0))
@draws(6)
def test_random_knives_come_back(
    length: float, height: float, drop: float, tmp_path_factory: pytest.TempPathFactory
) -> None:
    outline = join_halves(get("drop_point")(blade_length=length, height=height, tip_drop=drop), get("swelled")())
    path = tmp_path_factory.mktemp("r") / "cut.dxf"
    path.write_bytes(dxf_of_drawing(cut_drawing(specimens.ground(outline)))[0])
    x0, y0, *_ = outline.bounds
    back = outline_from_dxf(path, traces.marks_of(outline, lambda p: (p[0] - x0, p[1] - y0)))
    assert traces.apart(back.outline.loop, outline.loop) <= ARC_FIT


def test_splines_come_back_exactly(tmp_path: Path) -> None:
    doc, space = new()
    add_splines(space, OUTLINE.loop)
    back = outline_from_dxf(write(tmp_path, doc), MARKS)
    assert traces.apart(back.outline.loop, OUTLINE.loop) < 1e-6


def raised(piece: FloatArray) -> FloatArray:
    """The same Bezier curve with one control point more. Source: Farin, Curves and Surfaces, degree elevation."""
    n = len(piece)
    share = np.arange(1, n)[:, None] / n
    return np.concatenate([piece[:1], share * piece[:-1] + (1 - share) * piece[1:], piece[-1:]])


@pytest.mark.parametrize(("degree", "ratio"), [(4, 1.0), (5, 1.0), (3, 1.7), (5, 0.6)])
def test_splines_of_other_degree_and_with_weights_come_back(degree: int, ratio: float, tmp_path: Path) -> None:
    """Raised in degree a curve stays what it is, and so it does with weights in a geometric row: another speed only."""
    doc, space = new(1)
    for piece in OUTLINE.loop.pieces / 25.4:
        rows = piece
        while len(rows) <= degree:
            rows = raised(rows)
        spline = space.add_spline(degree=degree)
        spline.control_points = [(x, y, 0.0) for x, y in rows]
        spline.knots = [0.0] * (degree + 1) + [1.0] * (degree + 1)
        spline.weights = [ratio**k for k in range(degree + 1)]
    path = write(tmp_path, doc)
    back = outline_from_dxf(path, traces.marks_of(OUTLINE, lambda p: (p[0] / 25.4, p[1] / 25.4)))
    assert traces.apart(back.outline.loop, OUTLINE.loop) < 1e-3
    plan = read_cut_plan(path.read_bytes(), "x.dxf")
    ring = shapely.LinearRing(OUTLINE.polygon.exterior)
    # Chords of 0.005 mm against a polygon of 0.005 mm.
    assert shapely.distance(shapely.points(plan.segments.start), ring).max() < 0.011


@given(data=st.data(), degree=st.integers(1, 7), extra=st.integers(0, 5), clamped=st.booleans())
@draws(20)
def test_splines_are_followed_within_half_a_thousandth(
    data: st.DataObject, degree: int, extra: int, *, clamped: bool
) -> None:
    """Against the evaluation of B-splines in scipy, rational ones as curves in three dimensions."""
    n = degree + 1 + extra
    rng = np.random.default_rng(data.draw(st.integers(0, 2**32)))
    knots = np.cumsum(rng.uniform(0.1, 1.0, n + degree + 1))
    if clamped:
        knots[: degree + 1], knots[n:] = knots[degree], knots[n]
    places = np.column_stack([np.linspace(0.0, 200.0, n), rng.uniform(-30.0, 30.0, n)])
    weights = rng.uniform(0.5, 2.0, n) if data.draw(st.booleans()) else np.ones(n)
    truth = BSpline(knots, np.column_stack([places * weights[:, None], weights]), degree)
    xyw = truth(np.linspace(knots[degree], knots[n], 500)[:-1])
    pieces = bspline_cubics(places, knots, weights, SPLINE_FIT)
    there = nearest(Curve(pieces), xyw[:, :2] / xyw[:, 2:]).distance
    assert there.max() <= SPLINE_FIT


def test_what_is_not_shown_is_not_read_and_is_named(tmp_path: Path) -> None:
    doc, space = new()
    add_splines(space, OUTLINE.loop)
    doc.layers.add("OLD").off()
    doc.layers.add("PAGE").freeze()
    for layer, invisible in (("OLD", 0), ("PAGE", 0), ("0", 1)):
        frame = [(-300, -300), (600, -300), (600, 300), (-300, 300)]
        space.add_lwpolyline(frame, close=True, dxfattribs={"layer": layer, "invisible": invisible})
    path = write(tmp_path, doc)
    back = outline_from_dxf(path, MARKS)
    assert traces.apart(back.outline.loop, OUTLINE.loop) < 1e-6
    assert back.left_out == (
        "1 LWPOLYLINE on layer 'OLD', switched off",
        "1 LWPOLYLINE on layer 'PAGE', frozen",
        "1 LWPOLYLINE on layer '0', invisible",
    )
    with pytest.raises(UnreadableFileError) as caught:
        outline_from_dxf(path, MARKS, only="PAGE")
    assert_tells(str(caught.value), "'PAGE'", "frozen")


@pytest.mark.parametrize(("layer", "way_out"), [("KNIFE", "only='KNIFE'"), ("0", "or delete the frame")])
def test_a_frame_round_the_knife_is_named(layer: str, way_out: str, tmp_path: Path) -> None:
    doc, space = new()
    add_splines(space, OUTLINE.loop, layer)
    for grow in (0, 5):
        space.add_lwpolyline(
            [(-200 - grow, -120 - grow), (220 + grow, -120 - grow), (220 + grow, 90 + grow), (-200 - grow, 90 + grow)],
            close=True,
        )
    path = write(tmp_path, doc)
    with pytest.raises(UnreadableFileError, match=r"a frame of 430\.0 x 220\.0 mm round a line of .*" + way_out):
        outline_from_dxf(path, MARKS)
    if layer != "0":
        assert traces.apart(outline_from_dxf(path, MARKS, only=layer).outline.loop, OUTLINE.loop) < 1e-6


def test_one_strange_thing_beside_the_outline_is_named_and_not_refused(tmp_path: Path) -> None:
    doc, space = new()
    add_splines(space, OUTLINE.loop)
    doc.blocks.new("B").add_line((0, 0), (1, 1))
    space.add_blockref("B", (0, 0))
    space.add_solid([(0, 0), (1, 0), (0, 1)])
    space.add_line((0, 0, 0), (5, 5, 0), dxfattribs={"extrusion": (1, 0, 0)})
    back = outline_from_dxf(write(tmp_path, doc), MARKS)
    assert traces.apart(back.outline.loop, OUTLINE.loop) < 1e-6
    assert [left_out.split(",")[0].split(" that")[0] for left_out in back.left_out] == ["1 INSERT", "1 SOLID", "1 LINE"]

    doc, space = new()
    doc.blocks.new("B").add_line((0, 0), (1, 1))
    space.add_blockref("B", (0, 0))
    with pytest.raises(UnreadableFileError) as caught:
        outline_from_dxf(write(tmp_path, doc), MARKS)
    assert_tells(str(caught.value), "1 INSERT", "explode")


def bar() -> Outline:
    return specimens.plain_tang()


def bar_marks() -> Landmarks:
    return traces.marks_of(bar())


def test_lines_arcs_ellipses_and_old_polylines(tmp_path: Path) -> None:
    """A bar with a round butt: half a circle as an arc, as an ellipse, and as the bulge of an old polyline."""
    corners = [(-100.0, 0.0), (0.0, 0.0), (100.0, 0.0), (120.0, -6.0), (6.0, -25.0), (0.0, -25.0), (-100.0, -25.0)]
    marks = Landmarks(handle_front=(0.0, 0.0), heel=(6.0, -25.0), tip=(120.0, -6.0), front_bottom=(0.0, -25.0))
    area = None
    for kind in ("arc", "ellipse", "polyline"):
        doc, space = new()
        if kind == "polyline":
            rows = [(x, y, 0.0) for x, y in corners]
            rows[-1] = (*corners[-1], -1.0)
            space.add_polyline2d(rows, format="xyb", close=True)
        else:
            for a, b in itertools.pairwise(corners):
                space.add_line(a, b)
            if kind == "arc":
                space.add_arc((-100.0, -12.5), 12.5, 90, 270)
            else:
                space.add_ellipse((-100.0, -12.5), (0.0, 12.5), 1.0, 0.0, np.pi)
        back = outline_from_dxf(write(tmp_path, doc), marks).outline
        assert back.bounds[0] == pytest.approx(-112.5, abs=1e-4), kind
        assert area is None or back.area == pytest.approx(area, rel=1e-6)
        area = back.area
        round_part = points(back.butt, np.linspace(0, len(back.butt), 50))
        assert np.hypot(*(round_part - (-100.0, -12.5)).T) == pytest.approx(12.5, abs=1e-4)


@pytest.mark.parametrize(
    ("code", "unit", "size"), [(4, None, 1.0), (1, None, 25.4), (5, None, 10.0), (0, "in", 25.4), (6, "mm", 1.0)]
)
def test_units(code: int, unit: str | None, size: float, tmp_path: Path) -> None:
    doc, space = new(code)
    add_splines(space, OUTLINE.loop.transformed(np.eye(2, 3) / size))
    marks = traces.marks_of(OUTLINE, lambda p: (p[0] / size, p[1] / size))
    back = outline_from_dxf(write(tmp_path, doc), marks, unit=unit)
    assert back.mm_per_unit == pytest.approx(size)
    assert back.outline.bounds == pytest.approx(OUTLINE.bounds, rel=1e-6)


def test_a_size_that_no_knife_has_is_refused_until_a_unit_is_told(tmp_path: Path) -> None:
    """Drawn in mm, said to be metres: a knife as long as a street."""
    doc, space = new(6)
    add_splines(space, OUTLINE.loop)
    path = write(tmp_path, doc)
    # Distances in mm find nothing on such a street; the size is told all the same.
    for marks in (MARKS, Landmarks(handle_front=110.0, heel=100.0)):
        with pytest.raises(UnreadableFileError, match=r"2\d{5} mm .*unit='mm'"):
            outline_from_dxf(path, marks)
    assert outline_from_dxf(path, MARKS, unit="mm").outline.bounds == pytest.approx(OUTLINE.bounds, rel=1e-6)


def bare(path: Path) -> Path:
    """The same file without its header, as small programs write it."""
    data = path.read_bytes()
    path.write_bytes(
        b"0\nSECTION\n  2\nENTITIES\n"
        + data.partition(b"ENTITIES\n")[2].partition(b"ENDSEC\n")[0]
        + b"ENDSEC\n  0\nEOF\n"
    )
    return path


def test_a_file_without_a_header_says_no_unit(tmp_path: Path) -> None:
    doc, space = new()
    for a, b in itertools.pairwise([*bar().loop.pieces[:, 0], bar().loop.pieces[0, 0]]):
        space.add_line(a, b)
    path = bare(write(tmp_path, doc))
    with pytest.raises(UnreadableFileError, match="does not say its unit"):
        outline_from_dxf(path, bar_marks())
    assert outline_from_dxf(path, bar_marks(), unit="mm").outline.area == pytest.approx(bar().area, rel=1e-3)
    plan = read_cut_plan(path.read_bytes(), "bare.dxf")
    found = {f.code: f.severity for f in preflight_plan(plan, Process(), 0.0).findings}
    assert plan.unit == ""
    assert found["unit-missing"] == "error"


def test_a_file_without_a_header_keeps_layers_and_closed_lines(tmp_path: Path) -> None:
    doc, space = new()
    ring = bar().loop.pieces[:, 0]
    space.add_lwpolyline(ring, close=True, dxfattribs={"layer": "KNIFE"})
    path = bare(write(tmp_path, doc))
    plan = read_cut_plan(path.read_bytes(), "bare.dxf", unit="mm")
    assert [(chain.layer, chain.closed, len(chain.segments)) for chain in plan.chains] == [("KNIFE", True, len(ring))]


def test_no_unit_is_refused_with_the_way_out(tmp_path: Path) -> None:
    doc, space = new(0)
    add_splines(space, OUTLINE.loop)
    path = write(tmp_path, doc)
    with pytest.raises(UnreadableFileError) as caught:
        outline_from_dxf(path, MARKS)
    assert_tells(str(caught.value), "unit='mm'")
    with pytest.raises(QuantityError) as unread:
        outline_from_dxf(path, MARKS, unit="furlong")
    assert unread.value.text == "1 furlong"
    back = outline_from_dxf(path, MARKS, blade_length=220.0)
    assert back.outline.tip[0] == pytest.approx(220.0)


def test_small_gaps_are_closed_and_large_ones_are_told(tmp_path: Path) -> None:
    for gap, fine in ((0.03, True), (0.4, False)):
        doc, space = new()
        loop = bar().loop.pieces.copy()
        loop[2, 3, 0] += gap
        for p in loop:
            space.add_line(p[0], p[3])
        if fine:
            assert outline_from_dxf(write(tmp_path, doc), bar_marks()).outline.area == pytest.approx(
                bar().area, rel=1e-3
            )
        else:
            with pytest.raises(UnreadableFileError) as caught:
                outline_from_dxf(write(tmp_path, doc), bar_marks())
            assert_tells(str(caught.value), "0.40 mm")


def test_what_cannot_be_meant_is_told_with_its_place(tmp_path: Path) -> None:
    doc, space = new()
    add_splines(space, OUTLINE.loop, "KNIFE")
    add_splines(space, OUTLINE.loop.moved(0.0, 80.0), "OTHER")
    path = write(tmp_path, doc)
    with pytest.raises(UnreadableFileError) as caught:
        outline_from_dxf(path, MARKS)
    assert_tells(str(caught.value), "only=")
    assert outline_from_dxf(path, MARKS, only="knife").outline.area == pytest.approx(OUTLINE.area)
    with pytest.raises(UnreadableFileError, match=r"'CUT'.*KNIFE, OTHER"):
        outline_from_dxf(path, MARKS, only="CUT")

    doc, space = new()
    space.add_lwpolyline([(0, 0), (60, 40), (60, 0), (0, 40)], close=True)
    with pytest.raises(UnreadableFileError) as caught:
        outline_from_dxf(write(tmp_path, doc), MARKS)
    assert_tells(str(caught.value), "(30.00, 20.00)")


def test_circles_and_slots_are_told_back(tmp_path: Path) -> None:
    doc, space = new(1)
    add_splines(space, OUTLINE.loop.transformed(np.eye(2, 3) / 25.4))
    space.add_circle((-1.0, -0.5), 0.125)
    space.add_circle((9.0, 9.0), 0.125)
    space.add_lwpolyline([(-3, -0.4), (-2, -0.4), (-2, -0.6), (-3, -0.6)], close=True)
    space.add_text("a note")
    back = outline_from_dxf(write(tmp_path, doc), traces.marks_of(OUTLINE, lambda p: (p[0] / 25.4, p[1] / 25.4)))
    (hole,) = back.circles
    assert (hole.x, hole.y, hole.diameter) == pytest.approx((-25.4, -12.7, 6.35), abs=1e-4)
    assert len(back.others) == 1


@cache
def sound() -> bytes:
    return dxf_of_drawing(cut_drawing(specimens.drop_point()))[0]


@given(at=st.integers(0, 30_000), noise=st.binary(max_size=6))
@draws(12)
def test_damaged_files_give_an_outline_or_a_message(
    at: int, noise: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("d") / "x.dxf"
    path.write_bytes(sound()[:at] + noise + sound()[at + len(noise) :])
    try:
        back: DrawnKnife = outline_from_dxf(path, Landmarks(handle_front=110.0, heel=100.5))
    except BladegeomError:
        return
    assert back.outline.area > 0
