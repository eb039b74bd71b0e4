"""Cut files of every choice, read back with another reader than the writer's own: ends, doubles, sizes, places."""

from __future__ import annotations

import dataclasses
import io
import itertools
import math
import re
from functools import cache
from typing import Any, NamedTuple

import ezdxf
import numpy as np
import pytest
import shapely
import specimens
from draws import draws, quick
from ezdxf import comments
from ezdxf.document import Drawing as Document
from ezdxf.math import bulge_radius
from hypothesis import given, reject
from hypothesis import strategies as st
from refusals import assert_refused

from bladegeom.checks.cutting import check_cutting
from bladegeom.commands.cut_files import cut_files
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.cutfile.cut import cut_parts
from bladegeom.cutfile.cut_tabs import between_tabs
from bladegeom.cutfile.dxf import Release
from bladegeom.cutfile.tab_places import tab_places
from bladegeom.design.design import Design
from bladegeom.drawing.drawing import Circle
from bladegeom.drilling.card import DrillCard
from bladegeom.fasteners.pin import Pin
from bladegeom.findings.check import check
from bladegeom.handle.scale_blank import cut_out
from bladegeom.holes.cut_holes import cut_holes
from bladegeom.knife.cutting import Cutting, Tabs
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.hole import Hole, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.revision_id import revision_id
from bladegeom.knife.rules import Process, Shop
from bladegeom.knife.scales import Liner, Scales
from bladegeom.knife.zone import MarkZone
from bladegeom.outline.halves import BladeProfile, HandleProfile
from bladegeom.outline.outline import join_halves
from bladegeom.outline.parameter import parameters
from bladegeom.profiles import get
from bladegeom.quantities.errors import BladegeomError, ParameterError, PlacingError

TRUE = 0.01
"""Greatest distance between cut file and design, mm."""

HOLES = (
    Slot(start=(-62.0, -12.0), end=(-70.0, -11.0), diameter=5.0, purpose="lightening"),
    Hole(x=-50.0, y=-13.0, diameter=6.0, purpose="lightening"),
    Hole(x=-25.0, y=-13.0, diameter=6.35, purpose="fastener"),
    Hole(x=-38.0, y=-13.0, diameter=5.0, purpose="fastener", made="drilled"),
    Hole(x=-82.0, y=-12.0, diameter=4.7625, purpose="lanyard", made="reamed"),
    Hole(x=-90.0, y=-12.0, diameter=1.5875, purpose="fastener"),
)
ALL = Cutting(allowance=0.4, undersize=0.25, pilot=2.0, tabs=Tabs(count=3, width=0.8), marks=True)


def holed(cutting: Cutting = Cutting(), **more: Any) -> Knife:  # noqa: B008
    return specimens.drop_point(holes=HOLES, cutting=cutting, **more)


class Read(NamedTuple):
    name: str
    data: bytes
    doc: Document
    lines: list[tuple[str, bool, FloatArray]]
    circles: list[tuple[str, float, float, float]]

    def cut(self, *, closed: bool) -> list[FloatArray]:
        return [xy for layer, ends, xy in self.lines if layer == "CUT" and ends == closed]


def read(name: str, data: bytes) -> Read:
    """By way of ezdxf's own flattening of each line and arc, which shares nothing with ours."""
    doc = ezdxf.read(io.StringIO(data.decode("cp1252")))
    assert not doc.audit().errors
    lines, circles = [], []
    for entity in doc.modelspace():
        kind: Any = entity
        if entity.dxftype() == "CIRCLE":
            circles.append((entity.dxf.layer, *kind.dxf.center.vec2, kind.dxf.radius))
            continue
        assert entity.dxftype() == ("POLYLINE" if doc.dxfversion == "AC1009" else "LWPOLYLINE")
        closed = kind.closed if entity.dxftype() == "LWPOLYLINE" else kind.is_closed
        corners = vertices_of(kind)
        xy: list[tuple[float, float]] = []
        for start, part in zip(corners, kind.virtual_entities(), strict=False):
            # The reader's arcs all run counter-clockwise: turned about where they do not begin at their vertex.
            along = [tuple(p)[:2] for p in part.flattening(1e-4)] if part.dxftype() == "ARC" else []
            xy += [start, *(along if along and math.dist(along[0], start) < 1e-6 else along[::-1])[1:-1]]
        xy.append(corners[0] if closed else corners[-1])
        lines.append((entity.dxf.layer, bool(closed), np.array(xy, dtype=np.float64)))
    return Read(name, data, doc, lines, circles)


def vertices_of(entity: Any) -> list[tuple[float, float]]:
    """As they stand in the file."""
    if entity.dxftype() == "LWPOLYLINE":
        return [(x, y) for x, y in entity.get_points("xy")]
    return [tuple(v.dxf.location)[:2] for v in entity.vertices]


def written(knife: Knife, release: Release = "R2000") -> list[Read]:
    design = Design(knife)
    allowed = design.allowing(*dict.fromkeys(finding.code for finding in design.errors))
    return [read(file.name, file.data) for file in cut_files(allowed, dxf=release).values()]


@cache
def everything() -> Read:
    (steel,) = written(holed(ALL))
    return steel


def wanted(knife: Knife) -> shapely.Polygon:
    """The steel with its allowance, by another library, moved to the origin as the file is."""
    ring = shapely.Polygon(flatten(knife.outline.loop, 0.0005))
    ring = ring.buffer(knife.cutting.allowance, quad_segs=256) if knife.cutting.allowance else ring
    return shapely.transform(ring, lambda xy: xy - xy.min(axis=0))


def apart(curve: Any, other: Any) -> float:
    return float(shapely.hausdorff_distance(shapely.segmentize(curve, 0.2), shapely.segmentize(other, 0.2)))


def shift(knife: Knife) -> FloatArray:
    """From the design's frame to the file's."""
    x0, y0, _, _ = knife.outline.bounds
    return np.array([x0, y0]) - knife.cutting.allowance


def require_whole(read_file: Read, knife: Knife) -> None:
    """What a shop asks of every file, and that it is the design."""
    assert {e.dxf.layer for e in read_file.doc.modelspace()} <= {"CUT", "MARK"}
    shapes = [(layer, xy.round(6).tobytes()) for layer, _, xy in read_file.lines] + [
        (c[0], str(c)) for c in read_file.circles
    ]
    assert len(set(shapes)) == len(shapes)
    for _, closed, xy in read_file.lines:
        # A closed polyline of a DXF ends in its first vertex, so that it has no gap at all.
        assert not closed or (xy[0] == xy[-1]).all()
        assert shapely.LineString(xy).is_simple
    ring = wanted(knife).exterior
    tabs = knife.cutting.tabs
    if tabs is None:
        outline, *slots = read_file.cut(closed=True)
        assert apart(shapely.LinearRing(outline), ring) <= TRUE
        assert not read_file.cut(closed=False)
    else:
        parts = read_file.cut(closed=False)
        slots = read_file.cut(closed=True)
        assert len(parts) == (len(tabs.at) or tabs.count)
        gaps = [math.dist(a[-1], b[0]) for a, b in itertools.pairwise([*parts, parts[0]])]
        assert gaps == pytest.approx([tabs.width] * len(parts), abs=1e-6)
        joined = shapely.LinearRing(np.concatenate(parts))
        assert apart(joined, ring) <= TRUE
    at = cut_holes(knife)
    whole = [hole for hole in at if hole.way != "left"]
    assert len(slots) + len(read_file.circles) == len(whole)
    circles = iter(read_file.circles)
    for hole in whole:
        if isinstance(hole.opening, Hole):
            layer, x, y, r = next(circles)
            assert layer == "CUT"
            assert 2 * r == pytest.approx(hole.diameter, abs=TRUE)
            assert (x, y) == pytest.approx(np.array([hole.opening.x, hole.opening.y]) - shift(knife), abs=TRUE)


def require_plain(read_file: Read) -> None:
    """What old controllers ask: no exponent in a number, no radius over 10 m, nothing shorter than 0.1 mm."""
    assert not re.search(rb"^\s*-?[0-9.]+[eE][-+]?[0-9]+\s*$", read_file.data, re.MULTILINE)
    for entity in read_file.doc.modelspace().query("LWPOLYLINE"):
        rows: list[tuple[float, float, float]] = list(entity.get_points("xyb"))  # type: ignore[attr-defined]
        for (x, y, bulge), (x1, y1, _) in itertools.pairwise([*rows, rows[0]] if entity.closed else rows):  # type: ignore[attr-defined]
            assert math.dist((x, y), (x1, y1)) >= 0.099
            if bulge:
                assert 0.1 <= abs(bulge_radius((x, y), (x1, y1), bulge)) <= 10_000.0


def test_a_short_straight_piece_beside_a_choil_is_no_line_of_its_own() -> None:
    """The underside goes on straight for 0.02 mm between two arcs; a pass sheet would refuse it."""
    blade = get("paring")(front_height=17.0, heel=9.795, choil_radius=4.08)
    assert isinstance(blade, BladeProfile)
    handle = get("swelled")()
    assert isinstance(handle, HandleProfile)
    (steel,) = written(specimens.ground(join_halves(blade, handle), thickness=1.8, height=10.0))
    require_plain(steel)


BLADES_AND_HANDLES = list(itertools.product(specimens.BLADES, specimens.HANDLES))
FEW_DESIGNS = draws(4, long=2000)


@st.composite
def designs(draw: st.DrawFn) -> Knife:
    """A profile with each size within 15 % of its default, holes where they fall, and any choices."""
    blade, handle = draw(st.sampled_from(BLADES_AND_HANDLES))
    halves = []
    for name in (blade, handle):
        kind = get(name)
        values = {}
        for parameter in parameters(kind):
            share = draw(st.floats(-0.15, 0.15))
            values[parameter.name] = min(max(parameter.default * (1 + share), parameter.low), parameter.high)
        halves.append(kind(**values))
    assert isinstance(halves[0], BladeProfile)
    assert isinstance(halves[1], HandleProfile)
    holes = [
        Hole(
            x=-20.0 - 12.0 * i - draw(st.floats(0.0, 4.0)),
            y=-10.0 - draw(st.floats(0.0, 4.0)),
            diameter=draw(st.floats(1.2, 6.0)),
            purpose=draw(st.sampled_from(("fastener", "lightening", "lanyard"))),
            made=draw(st.sampled_from(("cut", "drilled", "reamed"))),
        )
        for i in range(draw(st.integers(0, 5)))
    ]
    cutting = Cutting(
        allowance=draw(st.sampled_from((0.0, 0.0, 0.2, 0.5))),
        undersize=draw(st.sampled_from((0.0, 0.25))),
        pilot=draw(st.sampled_from((None, 2.0))),
        tabs=draw(st.none() | st.builds(Tabs, count=st.integers(1, 4), width=st.floats(0.5, 1.5))),
        marks=draw(st.booleans()),
    )
    return specimens.ground(
        join_halves(*halves), thickness=draw(st.floats(2.0, 5.0)), height=10.0, holes=tuple(holes), cutting=cutting
    )


@FEW_DESIGNS
@given(st.data(), st.sampled_from(("R2000", "R12")))
def test_any_design_with_any_choices(data: st.DataObject, release: Release) -> None:
    try:
        knife = data.draw(designs())
    except BladegeomError:
        # Halves that do not fit each other are no design.
        reject()
    (steel,) = written(knife, release)
    require_whole(steel, knife)
    require_plain(steel)


@pytest.mark.parametrize("release", quick(["R2000", "R12"], "R2000"))
@pytest.mark.parametrize(
    "cutting",
    [Cutting(), Cutting(allowance=0.4), Cutting(undersize=0.25), Cutting(tabs=Tabs(count=4)), ALL],
    ids=["nominal", "allowance", "undersize", "tabs", "all"],
)
def test_every_choice(cutting: Cutting, release: Release) -> None:
    knife = holed(cutting)
    (steel,) = written(knife, release)
    require_whole(steel, knife)
    assert steel.doc.dxfversion == {"R2000": "AC1015", "R12": "AC1009"}[release]
    # R12 has no place for a unit: name and comment speak for it.
    assert ("$INSUNITS" in steel.doc.header) == (release == "R2000")
    assert steel.name.endswith("_R12.dxf" if release == "R12" else "in.dxf")
    assert ("1 unit is 1 mm" in comment_of(steel)) == (release == "R12")


def comment_of(read_file: Read) -> str:
    text = read_file.data.decode("cp1252")
    return "\n".join(value for _, value in comments.from_stream(io.StringIO(text)))


def test_name_and_comment_say_what_it_is() -> None:
    (steel,) = written(holed())
    x0, y0, x1, y1 = holed().outline.bounds
    width, height = x1 - x0, y1 - y0
    assert f"_cut_steel_{width:.1f}x{height:.1f}mm_{width / 25.4:.2f}x{height / 25.4:.2f}in.dxf" in steel.name
    said = comment_of(steel)
    assert f"specimen, revision {revision_id(holed())}, steel" in said
    assert "mm, nominal size, no kerf compensation" in said
    assert "1084, 4.00 mm (0.157 in): cut 1" in said
    assert "left for the drill: F2, F3, T1" in said
    assert steel.data.startswith(b"999\n")
    every = everything()
    assert "_cut_steel_allowance0.40mm_3tabs_" in every.name
    assert "outline 0.40 mm (0.016 in) outside nominal to grind off" in comment_of(every)
    assert "3 tabs: the outline has 3 gaps of 0.80 mm (0.031 in)" in comment_of(every)
    assert "layer MARK is marked only" in comment_of(every)


def test_any_name_stands_in_a_comment_of_plain_lines() -> None:
    knife = dataclasses.replace(holed(), name="\u5305\u4e01 K\u00fcche\n0\nSECTION " + 300 * "x")
    (steel,) = written(knife)
    assert max(len(line) for line in steel.data.splitlines()) <= 255
    assert len(steel.name.encode()) <= 200
    assert "K\u00fcche" in comment_of(steel)


def test_equal_designs_give_equal_bytes() -> None:
    (same,), (other,) = (written(holed(cutting)) for cutting in (ALL, dataclasses.replace(ALL, allowance=0.41)))
    assert (same.name, same.data) == (everything().name, everything().data)
    assert (other.name, other.data) != (everything().name, everything().data)


def test_marks_touch_neither_cuts_nor_each_other() -> None:
    zone = MarkZone(x=20.0, y=-5.0, width=9.0, height=4.0, text="A 1")
    knife = holed(ALL, zones=(zone,), front_lean_deg=8.0, front_bow=1.5)
    (steel,) = written(knife)
    marks = [shapely.LineString(xy) for layer, _, xy in steel.lines if layer == "MARK"]
    cuts: list[Any] = [shapely.LineString(xy) for layer, _, xy in steel.lines if layer == "CUT"]
    cuts += [shapely.Point(x, y).buffer(r, quad_segs=64) for _, x, y, r in steel.circles]
    assert len(marks) >= 4
    assert min(mark.distance(cut) for mark in marks for cut in cuts) >= 0.98
    assert min(a.distance(b) for a, b in itertools.combinations(marks, 2)) >= 0.48
    # Each stands for a line of the design: the handle front among them, less what is pulled back.
    front = shapely.LineString(flatten(knife.handle_front, 0.001) - shift(knife))
    nearest = min(marks, key=lambda mark: mark.hausdorff_distance(front))
    assert nearest.length == pytest.approx(front.length, abs=3.0)
    assert nearest.distance(front) < TRUE
    assert steel.doc.layers.get("MARK").color != steel.doc.layers.get("CUT").color


def test_tabs_keep_away_from_tip_edge_plunge_and_holes() -> None:
    knife = holed(Cutting(tabs=Tabs(count=4, width=1.2)))
    (steel,) = written(knife)
    parts = steel.cut(closed=False)
    middles = [(a[-1] + b[0]) / 2 + shift(knife) for a, b in itertools.pairwise([*parts, parts[0]])]
    edge, plunge = (shapely.LineString(flatten(c, 0.01)) for c in (knife.outline.edge, knife.plunge_line))
    for x, y in middles:
        spot = shapely.Point(x, y)
        assert math.dist((x, y), knife.outline.tip) > 10.0
        assert min(spot.distance(edge), spot.distance(plunge)) >= 5.0 - TRUE
        for hole in knife.openings:
            assert spot.distance(shapely.LineString(hole.axis)) - hole.diameter / 2 >= 4.0 - TRUE
    assert min(math.dist(a, b) for a, b in itertools.combinations(middles, 2)) >= 10.0 - TRUE


def test_tabs_where_the_maker_wants_them() -> None:
    top = tuple(flatten(holed().outline.handle_top, 0.1)[3].tolist())
    knife = holed(Cutting(tabs=Tabs(at=((60.0, 0.0), top), width=1.5)))
    (steel,) = written(knife)
    require_whole(steel, knife)
    parts = steel.cut(closed=False)
    middles = [(a[-1] + b[0]) / 2 + shift(knife) for a, b in itertools.pairwise([*parts, parts[0]])]
    assert min(math.dist(middle, top) for middle in middles) < 0.05
    with pytest.raises(ParameterError) as caught:
        written(holed(Cutting(tabs=Tabs(at=((60.0, -9.0),)))))
    assert_refused(caught.value, "tabs: at")
    with pytest.raises(PlacingError, match="it lies on a corner"):
        written(holed(Cutting(tabs=Tabs(at=(holed().outline.tip,)))))
    full = Cutting(tabs=Tabs(count=12, width=5.0))
    crowded = specimens.ground(specimens.bar_outline(blade=50.0, tang=30.0), height=10.0, cutting=full)
    with pytest.raises(PlacingError, match="room for 8, not for 12"):
        written(crowded)
    assert [f.code for f in check_cutting(crowded)] == ["tabs"]


@pytest.mark.parametrize("count", [2, 3, 4])
@pytest.mark.parametrize("name", specimens.BLADES)
def test_tabs_are_spread_along_the_knife(name: str, count: int) -> None:
    """Own choice: the whole set spans half of the knife, and no two stand closer than half of an even spread."""
    knife = dataclasses.replace(specimens.profile(name, "swelled"), cutting=Cutting(tabs=Tabs(count=count)))
    x0, _, x1, _ = knife.outline.bounds
    at = sorted(x for x, _ in tab_places(knife))
    assert at[-1] - at[0] >= 0.5 * (x1 - x0)
    assert min(np.diff(at)) >= 0.5 * (at[-1] - at[0]) / (count - 1)


def test_one_tab_stands_near_the_middle_of_the_steel() -> None:
    knife = holed(Cutting(tabs=Tabs(count=1)))
    ((x, _),) = tab_places(knife)
    assert abs(x - knife.outline.polygon.centroid.x) < 15.0


def test_tabs_in_places_that_nobody_would_choose_are_told() -> None:
    outline = holed().outline
    edge = flatten(outline.edge, 0.01)
    bad = {
        "edge": tuple(edge[len(edge) // 2].tolist()),
        "tip": shapely.LineString(edge).interpolate(-3.0).coords[0],
        "arc": tuple(flatten(outline.choil, 0.01)[4].tolist()),
    }
    for why, place in bad.items():
        found = [f for f in check_cutting(holed(Cutting(tabs=Tabs(at=(place,))))) if f.code == "tab-place"]
        assert [(f.severity, why in f.message) for f in found] == [("warning", True)], why
    straight = specimens.ground(specimens.bar_outline(blade=100.0, tang=90.0), height=10.0)
    top = max(flatten(straight.outline.handle_top, 0.01).tolist())[1]
    hole = Hole(x=-60.0, y=top - 5.0, diameter=6.0, purpose="lightening")
    beside = dataclasses.replace(straight, holes=(hole,), cutting=Cutting(tabs=Tabs(at=((-60.0, top),))))
    assert ["beside" in f.message for f in check_cutting(beside) if f.code == "tab-place"] == [True]
    # Tabs keep 4 mm off the rims of holes, an own choice: here the rim is 4.1 mm off.
    lower = dataclasses.replace(beside, holes=(dataclasses.replace(hole, y=top - 3.0 - 4.1),))
    ahead = dataclasses.replace(beside, cutting=Cutting(tabs=Tabs(at=((-30.0, top),))))
    for clear in (lower, ahead):
        assert [f for f in check_cutting(clear) if f.code == "tab-place"] == []


def test_one_file_for_each_part() -> None:
    scales = Scales(slab="NEMA L", thickness=8.0, liners=(Liner(sheet="NEMA G-10", thickness=0.8),), overhang=3.0)
    knife = holed(Cutting(allowance=0.3, scales=True), scales=scales)
    steel, liner, scale = written(knife)
    assert [read_file.name.split("_cut_")[1].split("_")[0] for read_file in (steel, liner, scale)] == [
        "steel",
        "liner",
        "scale",
    ]
    border = shapely.LinearRing(flatten(cut_out(knife, scales), 0.001))
    border = shapely.transform(border, lambda xy: xy - xy.min(axis=0))
    for read_file in (liner, scale):
        (rim,) = read_file.cut(closed=True)
        # The template's own line is true to 0.005 mm and more.
        assert apart(shapely.LinearRing(rim), border) <= 0.02
        assert len(rim) > 3
    # All round holes but those that only lighten; the smallest is under what can be cut.
    assert len(liner.circles) == 3
    assert not scale.circles
    assert "G-10, 0.80 mm (0.031 in): cut 2" in comment_of(liner)
    assert "left for the drill: F3" in comment_of(liner)
    assert "holes are at size" in comment_of(liner)
    assert "holes are at size" not in comment_of(scale) + comment_of(steel)
    assert len(written(holed(scales=scales))) == 2


def test_a_liner_that_is_glued_on_before_drilling_is_cut_without_holes() -> None:
    """Its holes are drilled with the scale, through the tang; a cut one would not lie over a tang that has grown."""
    scales = Scales(slab="NEMA L", thickness=8.0, liners=(Liner(sheet="NEMA G-10", thickness=0.8),))
    pin = Pin(rod="C26000", diameter=4.7625)
    loose = specimens.drop_point(scales=scales, fasteners=(Fastener(x=-40.0, y=-13.0, hardware=pin),))
    glued = dataclasses.replace(loose, scales=dataclasses.replace(scales, liners_glued=True))
    (_, cut), (_, bare) = cut_parts(loose), cut_parts(glued)
    assert [sum(isinstance(item, Circle) for item in part.drawing.items) for part in (cut, bare)] == [1, 0]
    assert (cut.left, bare.left) == ((), ("F1",))


def test_holes_that_cannot_be_cut_are_told_everywhere() -> None:
    knife = holed()
    (found,) = (f for f in check(knife) if f.code == "hole-too-small")
    assert (found.severity, found.measured, found.limit) == ("warning", 1.5875, 2.0)
    assert "hole F3 at (-90.00, -12.00)" in found.message
    assert "left out of the cut file and put on the drill card: 1/16 in drill" in found.message
    told = cut_files(Design(knife))["steel"].told
    assert "steel: not in the cut file, left for the drill: F2, F3, T1" in told
    card = DrillCard(knife)
    assert {p.name: p.made for p in card.places}["F3"] == "drilled"
    (row,) = (step for step in card.steps if step.holes == ("F3",) and step.makes)
    assert (row.operation, row.tool) == ("drill through", "1/16 in drill (1.588 mm)")


def test_the_drill_card_begins_where_the_shop_stops() -> None:
    knife = holed(Cutting(undersize=0.25, pilot=2.0))
    ways = {hole.name: (hole.way, hole.diameter) for hole in cut_holes(knife)}
    assert ways["F1"][0] == "under size"
    assert ways["F1"][1] == pytest.approx(6.1)
    assert ways["F2"] == ways["T1"] == ("pilot", 2.0)
    assert ways["F3"] == ("left", 0.0)
    assert ways["L1"] == ("to size", 6.0)
    steps = [step for step in DrillCard(knife).steps if step.phase == "before hardening"]
    by = {(step.holes, step.operation): step for step in steps}
    opened = by[("F1",), "drill or ream to size"]
    assert opened.note.startswith("The shop cut it 6.10 mm (0.240 in), 0.25 mm (0.010 in) under size.")
    assert by[("F2",), "drill through, led by the pilot hole"].note.startswith("The shop cut a pilot hole of 2.00 mm")
    assert ("T1",) in {holes for holes, operation in by if operation == "ream"}
    assert (("F3",), "lay off and centre-punch") in by
    assert not opened.checks
    # Each hole gets its size once.
    made = [feature.hole for step in steps for feature in step.makes]
    assert sorted(made) == sorted(knife.hole_ids)
    reamed = DrillCard(holed(Cutting(undersize=0.25)))
    (only,) = (step for step in reamed.steps if step.operation == "ream")
    assert only.note.startswith("The shop cut it 4.51 mm")
    assert {p.name: p.drill for p in reamed.places}["T1"].startswith("cut 4.51 mm (0.178 in), then reamer")


def test_findings_about_choices() -> None:
    def codes(knife: Knife) -> list[str]:
        return [finding.code for finding in check_cutting(knife) if finding.code != "hole-too-small"]

    assert codes(holed()) == []
    assert codes(holed(Cutting(marks=True))) == ["marks-cut-through"]
    laser = Shop(process=Process.named("laser"))
    assert codes(holed(Cutting(marks=True), shop=laser)) == []
    wire = Shop(process=Process.named("wire EDM"))
    assert "start-holes" in codes(holed(shop=wire))
    assert codes(holed(Cutting(pilot=4.5))) == ["pilot-too-wide"] * 2
    wide = Shop(process=Process(name="wide", inside_radius=20.0))
    tight = specimens.drop_point(cutting=Cutting(allowance=0.5), shop=wide)
    (found,) = (f for f in check_cutting(tight) if f.code == "allowance-inside-corner")
    assert found.severity == "error"
    assert "with an allowance of 0.50 mm (0.020 in) it is cut at" in found.message


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: Cutting(allowance=-0.1), "cutting: allowance | 0 | 5"),
        (lambda: Cutting(undersize=math.nan), "cutting: undersize | 0 | 1"),
        (lambda: Cutting(pilot=0.0), "cutting: pilot | 0"),
        (lambda: Cutting(tabs=3), "cutting: tabs | tabs=Tabs"),  # type: ignore[arg-type]
        (lambda: Tabs(count=0), "tabs: count | 1 | 12"),
        (lambda: Tabs(width=9.0), "tabs: width | 0.2 | 5"),
        (lambda: holed(cutting=True), "knife: cutting | cutting=Cutting"),  # type: ignore[arg-type]
    ],
)
def test_one_message_for_each_wrong_choice(make: Any, told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        make()
    assert_refused(caught.value, told)


@pytest.mark.parametrize("beside", [-0.1, -0.02, 0.0, 0.007, 0.15])
def test_a_tab_that_ends_beside_a_joint_of_the_outline_leaves_no_sliver(beside: float) -> None:
    outline = specimens.profile("petty", "birds_head").outline
    knot, width = outline.spine.pieces[-1, 0], 1.125
    places = [(float(knot[0]) + width / 2 + beside, float(knot[1]))]
    (whole,) = between_tabs(outline.loop, places, width)
    assert math.dist(whole.start, whole.end) == pytest.approx(width, abs=1e-6)
    assert np.hypot(*(whole.pieces[:, 3] - whole.pieces[:, 0]).T).min() > 0.15
    assert math.dist(((np.array(whole.start) + whole.end) / 2).tolist(), places[0]) <= 1.0
