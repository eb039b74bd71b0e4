"""DXF from anywhere: our own cut files, splines, loose lines and arcs, units, and clear words for what is wrong."""

from __future__ import annotations

import io
import itertools
from functools import cache
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import specimens
import traces
from ezdxf.document import Drawing as Document
from ezdxf.layouts import Modelspace
from hypothesis import given, settings
from hypothesis import strategies as st

from bladegeom.curves.curve import Curve, points
from bladegeom.draw.cut import cut_drawing
from bladegeom.export.dxf import dxf_of_drawing
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError, QuantityError, UnreadableFileError
from bladegeom.quantities.tolerances import ARC_FIT
from bladegeom.read.dxf_outline import outline_from_dxf
from bladegeom.read.loops import DrawnKnife
from bladegeom.shape.landmarks import Landmarks
from bladegeom.shape.outline import Outline, join_halves

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
    for i, piece in sorted(enumerate(loop.pieces), key=lambda one: (one[0] * 7) % len(loop)):
        rows = piece[::-1] if i % 2 else piece
        space.add_open_spline([(x, y, 0.0) for x, y in rows], degree=3, dxfattribs={"layer": layer})


@pytest.mark.parametrize("name", [*DESIGNS, "recurve", "disc"])
def test_our_own_cut_file_comes_back(name: str, tmp_path: Path) -> None:
    one = (
        specimens.profile(*DESIGNS[name], holes=())
        if name in DESIGNS
        else specimens.recurve() if name == "recurve" else specimens.ground(specimens.disc_outline(), height=8.0)
    )  # fmt: skip
    path = tmp_path / "cut.dxf"
    path.write_bytes(dxf_of_drawing(cut_drawing(one))[0])
    x0, y0, *_ = one.outline.bounds
    back = outline_from_dxf(path, traces.marks_of(one.outline, lambda p: (p[0] - x0, p[1] - y0)))
    assert traces.apart(back.outline.loop, one.outline.loop) <= ARC_FIT
    assert back.outline.heel == pytest.approx(one.outline.heel, abs=ARC_FIT)
    assert back.outline.tip == pytest.approx(one.outline.tip, abs=ARC_FIT)


@given(length=st.floats(80.0, 140.0), height=st.floats(26.0, 38.0), drop=st.floats(4.0, 16.0))
@settings(max_examples=6)
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
    add_splines(space, OUTLINE.loop)
    back = outline_from_dxf(write(tmp_path, doc), MARKS, unit=unit)
    assert back.mm_per_unit == pytest.approx(size)
    assert back.outline.bounds == pytest.approx([v * size for v in OUTLINE.bounds], rel=1e-6)


def test_no_unit_is_refused_with_the_way_out(tmp_path: Path) -> None:
    doc, space = new(0)
    add_splines(space, OUTLINE.loop)
    path = write(tmp_path, doc)
    with pytest.raises(UnreadableFileError, match=r"does not say its unit; tell it \(unit='mm'"):
        outline_from_dxf(path, MARKS)
    with pytest.raises(QuantityError, match="the unit 'furlong' is none of"):
        outline_from_dxf(path, MARKS, unit="furlong")
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
            with pytest.raises(UnreadableFileError, match=r"no closed line: .* ends at \(.* 0\.40 mm \(.* apart"):
                outline_from_dxf(write(tmp_path, doc), bar_marks())


def test_what_cannot_be_meant_is_told_with_its_place(tmp_path: Path) -> None:
    doc, space = new()
    add_splines(space, OUTLINE.loop, "KNIFE")
    add_splines(space, OUTLINE.loop.moved(0.0, 80.0), "OTHER")
    path = write(tmp_path, doc)
    with pytest.raises(UnreadableFileError, match=r"two outlines: .* middle at \(.*only="):
        outline_from_dxf(path, MARKS)
    assert outline_from_dxf(path, MARKS, only="knife").outline.area == pytest.approx(OUTLINE.area)
    with pytest.raises(UnreadableFileError, match="nothing on a layer 'CUT'; it has: KNIFE, OTHER"):
        outline_from_dxf(path, MARKS, only="CUT")

    doc, space = new()
    space.add_lwpolyline([(0, 0), (60, 40), (60, 0), (0, 40)], close=True)
    with pytest.raises(UnreadableFileError, match=r"crosses itself at \(30.00, 20.00\)"):
        outline_from_dxf(write(tmp_path, doc), MARKS)

    doc, space = new()
    add_splines(space, OUTLINE.loop)
    doc.blocks.new("B").add_line((0, 0), (1, 1))
    space.add_blockref("B", (0, 0))
    with pytest.raises(UnreadableFileError, match="holds a INSERT, which is not read; explode"):
        outline_from_dxf(write(tmp_path, doc), MARKS)


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
@settings(max_examples=12)
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
