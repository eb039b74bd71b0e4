from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Mapping, Sequence

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused, assert_tells
from scipy.interpolate import BPoly
from shapely.affinity import translate

from bladegeom import profiles
from bladegeom.curves.build import line, spline
from bladegeom.curves.curve import Curve, FloatArray, Vector
from bladegeom.curves.flatten import flatten
from bladegeom.curves.meet import nearest
from bladegeom.outline.halves import Joint
from bladegeom.outline.outline import CURVE_NAMES, Outline, join_halves
from bladegeom.quantities.errors import CurveError, OutlineError, ParameterError
from bladegeom.quantities.tolerances import CHORD, JOINED

EXACT = 1e-9  # rounding of numbers of a few hundred mm
FINE = 1e-5  # chord tolerance of the polygons that the exact numbers are compared with, mm

DropPoint, Petty, Chef, Straight, Swelled, BirdsHead = (
    profiles.get(name) for name in ("drop point", "petty", "chef", "straight", "swelled", "birds head")
)

HEEL, TIP, ORIGIN = (10.0, -25.0), (100.0, -10.0), (0.0, 0.0)
BUTT_TOP, BUTT_BOTTOM, FRONT_BOTTOM = (-100.0, -2.0), (-100.0, -24.0), (0.0, -20.0)
CORNERS = (HEEL, TIP, ORIGIN, BUTT_TOP, BUTT_BOTTOM, FRONT_BOTTOM)


def of_lines(**instead: Curve) -> Outline:
    """An outline of straight lines from corner to corner."""
    ends = zip(CURVE_NAMES, CORNERS, (*CORNERS[1:], CORNERS[0]), strict=True)
    return outline_of({name: line(a, b) for name, a, b in ends} | instead)


def outline_of(curves: Mapping[str, Curve] | Sequence[Curve]) -> Outline:
    named = curves if isinstance(curves, Mapping) else dict(zip(CURVE_NAMES, curves, strict=True))
    return Outline(
        edge=named["edge"],
        spine=named["spine"],
        handle_top=named["handle_top"],
        butt=named["butt"],
        handle_underside=named["handle_underside"],
        choil=named["choil"],
    )


def crossing(a: Vector, b: Vector, c: Vector, d: Vector) -> Vector:
    """Where the lines a b and c d cross, by Cramer's rule."""
    (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
    t = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / (ux * vy - uy * vx)
    return a[0] + t * ux, a[1] + t * uy


CURVED = {
    "drop point": join_halves(DropPoint(), BirdsHead()),
    "petty": join_halves(Petty(), Straight()),
    "chef": join_halves(Chef(), Swelled()),
}
curved = pytest.mark.parametrize("outline", CURVED.values(), ids=CURVED)


def sampled(curve: Curve, n: int = 4001) -> FloatArray:
    """Points of a curve by another library's Bernstein polynomials, shape (n, 2)."""
    k = len(curve)
    return np.asarray(BPoly(curve.pieces.transpose(1, 0, 2), np.arange(k + 1.0))(np.linspace(0.0, k, n)))


def fine_polygon(outline: Outline) -> shapely.Polygon:
    return shapely.Polygon(flatten(outline.loop, FINE))


def test_landmarks_are_where_the_curves_meet() -> None:
    outline = of_lines()
    assert outline.heel == HEEL
    assert outline.tip == TIP
    assert outline.front_bottom == FRONT_BOTTOM
    assert outline.spine.end == ORIGIN
    assert outline.loop.start == outline.loop.end == HEEL
    assert [c.start for c in outline.curves] == list(CORNERS)


def test_straight_lines_have_the_polygon_s_area_and_perimeter() -> None:
    outline = of_lines()
    x, y = np.array(CORNERS).T
    shoelace = 0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)
    assert outline.area == pytest.approx(shoelace, rel=1e-13)
    sides = sum(math.dist(a, b) for a, b in zip(CORNERS, (*CORNERS[1:], CORNERS[0]), strict=True))
    assert outline.perimeter == pytest.approx(sides, abs=1e-7)
    assert outline.bounds == (-100.0, -25.0, 100.0, 0.0)
    assert outline.polygon.equals(shapely.Polygon(CORNERS))


@curved
def test_an_outline_is_a_closed_simple_counter_clockwise_loop(outline: Outline) -> None:
    ring = fine_polygon(outline).exterior
    assert ring.is_simple
    assert ring.is_ccw
    for before, after in zip(outline.curves, (*outline.curves[1:], outline.curves[0]), strict=True):
        assert before.end == after.start
    assert outline.spine.end == ORIGIN
    assert outline.tip[0] == outline.bounds[2]


@curved
def test_area_perimeter_and_moments_agree_with_a_fine_polygon(outline: Outline) -> None:
    polygon = fine_polygon(outline)
    assert outline.area == pytest.approx(polygon.area, abs=FINE * polygon.length)
    assert outline.perimeter == pytest.approx(polygon.length, abs=1e-3)
    area, sx, sy = outline.moments[:3]
    centre = (sx / area, sy / area)
    assert centre == pytest.approx((polygon.centroid.x, polygon.centroid.y), abs=1e-4)
    about = translate(polygon, -centre[0], -centre[1])
    x, y = np.array(about.exterior.coords).T
    twice = x[:-1] * y[1:] - x[1:] * y[:-1]
    ixx = float(np.sum(twice * (y[:-1] ** 2 + y[:-1] * y[1:] + y[1:] ** 2)) / 12)
    assert outline.moments[5] - sy**2 / area == pytest.approx(ixx, rel=1e-5)


@curved
def test_bounds_are_those_of_a_dense_sampling(outline: Outline) -> None:
    xy = np.concatenate([sampled(c) for c in outline.curves])
    x0, y0, x1, y1 = outline.bounds
    low, high = xy.min(axis=0), xy.max(axis=0)
    assert (low >= np.array([x0, y0]) - EXACT).all()
    assert (high <= np.array([x1, y1]) + EXACT).all()
    # Between two samples a curve of 2 mm radius rises by less than step^2 / 16.
    step = float(np.hypot(*np.diff(sampled(outline.loop), axis=0).T).max())
    assert np.abs(np.concatenate([low - (x0, y0), high - (x1, y1)])).max() < step**2 / 16


@curved
def test_the_polygon_stays_within_the_chord_tolerance(outline: Outline) -> None:
    points = shapely.points(np.concatenate([sampled(c) for c in outline.curves]))
    assert shapely.distance(points, outline.polygon.exterior).max() <= CHORD


@curved
def test_the_edge_as_points_lies_on_the_edge(outline: Outline) -> None:
    edge = shapely.LineString(sampled(outline.edge, 40_001))
    assert shapely.distance(shapely.points(outline.edge_points), edge).max() < 1e-7
    assert tuple(outline.edge_points[0]) == outline.heel
    assert tuple(outline.edge_points[-1]) == outline.tip


@given(
    name=st.sampled_from(sorted(CURVED)),
    where=st.lists(st.floats(-1.05, 1.05), min_size=1, max_size=8),
)
def test_tang_height_is_what_an_upright_cut_finds(name: str, where: list[float]) -> None:
    outline = CURVED[name]
    reach = max(-outline.bounds[0], outline.bounds[2])
    xs = np.array(where) * reach
    upper, lower = outline.tang_height(xs)
    for x, u, low in zip(xs, upper, lower, strict=True):
        cut = outline.polygon.intersection(shapely.LineString([(x, -200.0), (x, 200.0)]))
        if cut.length < EXACT:
            assert (math.isnan(u) and math.isnan(low)) or u == pytest.approx(low, abs=EXACT)
            continue
        top = max((cut.geoms if hasattr(cut, "geoms") else [cut]), key=lambda part: part.bounds[3])
        assert (low, u) == pytest.approx((top.bounds[1], top.bounds[3]), abs=1e-7)


def test_tang_height_tells_the_topmost_of_two_stretches() -> None:
    hooked = of_lines(
        handle_top=line(ORIGIN, (-100.0, 0.0)),
        butt=line((-100.0, 0.0), (-100.0, -40.0)),
        handle_underside=line(
            (-100.0, -40.0), (-60.0, -40.0), (-60.0, -35.0), (-90.0, -35.0), (-90.0, -20.0), FRONT_BOTTOM
        ),
    )
    upper, lower = hooked.tang_height(np.array([-95.0, -70.0, -30.0, -101.0, 101.0]))
    assert upper[:3].tolist() == [0.0, 0.0, 0.0]
    assert lower[:3].tolist() == [-40.0, -20.0, -20.0]
    assert np.isnan(upper[3:]).all()
    assert np.isnan(lower[3:]).all()


@pytest.mark.parametrize("index", range(6))
def test_a_gap_is_told_with_its_place_and_its_two_curves(index: int) -> None:
    outline = of_lines()
    name, following = CURVE_NAMES[index - 1], CURVE_NAMES[index]
    shortened = line(outline.curves[index - 1].start, (CORNERS[index][0] + 0.3, CORNERS[index][1] + 0.4))
    with pytest.raises(OutlineError) as caught:
        of_lines(**{name: shortened})
    assert caught.value.at == shortened.end
    assert f"x {shortened.end[0]:.2f}, y {shortened.end[1]:.2f} mm" in str(caught.value)
    assert name.replace("_", " ") in str(caught.value)
    assert name == "spine" or following.replace("_", " ") in str(caught.value)


def test_tiny_gaps_are_closed_to_identical_numbers() -> None:
    shifts = np.random.default_rng(3).uniform(-1e-7, 1e-7, (6, 2))
    whole = CURVED["drop point"]
    outline = outline_of([c.moved(dx, dy) for c, (dx, dy) in zip(whole.curves, shifts, strict=True)])
    assert [c.end for c in outline.curves] == [c.start for c in (*outline.curves[1:], outline.curves[0])]
    assert outline.spine.end == ORIGIN
    assert outline.area == pytest.approx(whole.area, abs=1e-4)


def test_a_gap_just_too_wide_is_not_closed() -> None:
    start = (BUTT_TOP[0], BUTT_TOP[1] - 1.01 * JOINED)
    with pytest.raises(OutlineError) as caught:
        of_lines(butt=line(start, BUTT_BOTTOM))
    assert_tells(str(caught.value), "handle top", "1.01e-06 mm")


def test_a_clockwise_outline_is_refused() -> None:
    mirror = [[1.0, 0.0, 0.0], [0.0, -1.0, 0.0]]
    with pytest.raises(OutlineError, match="clockwise"):
        outline_of([c.transformed(mirror) for c in of_lines().curves])


@pytest.mark.parametrize(
    ("name", "through", "names", "at"),
    [
        (
            "handle_underside",
            [BUTT_BOTTOM, (-50.0, 10.0), FRONT_BOTTOM],
            {"handle underside", "handle top"},
            [
                crossing(BUTT_BOTTOM, (-50.0, 10.0), ORIGIN, BUTT_TOP),
                crossing((-50.0, 10.0), FRONT_BOTTOM, ORIGIN, BUTT_TOP),
            ],
        ),
        ("edge", [HEEL, (50.0, 5.0), TIP], {"edge", "spine"}, [crossing(HEEL, (50.0, 5.0), TIP, ORIGIN)]),
        (
            "choil",
            [FRONT_BOTTOM, (30.0, -12.0), (40.0, -30.0), HEEL],
            {"choil", "edge"},
            [crossing((30.0, -12.0), (40.0, -30.0), HEEL, TIP)],
        ),
        (
            "edge",
            [HEEL, (60.0, -30.0), (50.0, -35.0), (50.0, -20.0), TIP],
            {"edge"},
            [crossing(HEEL, (60.0, -30.0), (50.0, -35.0), (50.0, -20.0))],
        ),
    ],
    ids=["handle", "blade", "choil", "edge alone"],
)
def test_a_crossing_is_told_with_its_place_and_its_curves(
    name: str, through: list[Vector], names: set[str], at: list[Vector]
) -> None:
    with pytest.raises(OutlineError, match="the outline crosses itself near x") as caught:
        of_lines(**{name: line(*through)})
    told = re.search(r"\((.*)\); change the values that shape it there", str(caught.value))
    assert told is not None
    assert set(told[1].split(" and ")) == names
    assert caught.value.at is not None
    assert min(math.dist(caught.value.at, place) for place in at) < 1e-6


def test_a_crossing_of_curves_is_found_too() -> None:
    whole = CURVED["chef"]
    start, end = whole.handle_underside.start, whole.handle_underside.end
    with pytest.raises(OutlineError) as caught:
        dataclasses.replace(whole, handle_underside=spline([start, (-55.0, 9.0), end]))
    assert_tells(str(caught.value), "handle top", "handle underside")


def test_the_spine_ends_at_the_origin() -> None:
    moved = [c.moved(0.0, 1.5) for c in of_lines().curves]
    with pytest.raises(OutlineError) as e:
        outline_of(moved)
    assert e.value.at == (0.0, 1.5)


def test_the_tip_lies_ahead() -> None:
    with pytest.raises(OutlineError) as caught:
        of_lines(edge=line(HEEL, (5.0, -10.0)), spine=line((5.0, -10.0), ORIGIN))
    assert caught.value.at == (5.0, -10.0)


def test_no_coordinate_is_missing() -> None:
    with pytest.raises(CurveError, match="not a finite number"):
        of_lines(edge=line(HEEL, (math.nan, -10.0)))
    with pytest.raises(ParameterError) as caught:
        join_halves(DropPoint(blade_length=math.nan), Swelled())
    assert_refused(caught.value, "blade_length")
    with pytest.raises(ParameterError) as caught:
        Joint(height=math.nan)
    assert (caught.value.part, caught.value.field) == ("steel at the handle front", "height")


def test_an_outline_never_changes() -> None:
    outline = join_halves(DropPoint(), Swelled())
    with pytest.raises(dataclasses.FrozenInstanceError):
        outline.edge = outline.spine  # type: ignore[misc]
    for array in (outline.edge.pieces, outline.moments, outline.edge_points):
        with pytest.raises(ValueError, match="read-only"):
            array.flat[0] = 1.0
    longer = DropPoint(blade_length=120.0).blade()
    changed = dataclasses.replace(outline, edge=longer.edge, spine=longer.spine)
    assert changed.bounds[2] == 120.0
    assert outline.bounds[2] == 110.0


def test_equal_parameters_make_equal_outlines() -> None:
    one, other = join_halves(DropPoint(), Swelled()), join_halves(DropPoint(), Swelled())
    assert one == other
    assert hash(one) == hash(other)
    assert one.loop.pieces.tobytes() == other.loop.pieces.tobytes()
    assert one != join_halves(DropPoint(belly=2.5), Swelled())
    assert one.profiles == (DropPoint(), Swelled())


def test_a_blade_is_no_handle() -> None:
    with pytest.raises(ParameterError) as caught:
        join_halves(Swelled(), DropPoint())
    assert_refused(caught.value, "blade")
    with pytest.raises(ParameterError) as caught:
        join_halves(DropPoint(), Chef())
    assert_refused(caught.value, "handle")


def test_mid_line_lies_half_way_and_knows_its_room() -> None:
    outline = join_halves(profiles.get("drop_point")(), profiles.get("swelled")())
    x, y, room = outline.mid_line.T
    upper, lower = outline.tang_height(x)
    np.testing.assert_allclose(y, (upper + lower) / 2)
    far = nearest(outline.loop, np.stack([x, y], axis=1)).distance
    np.testing.assert_allclose(room, far, atol=0.005)
    with pytest.raises(ValueError, match="read-only"):
        outline.mid_line[0, 0] = 1.0


def test_mid_line_is_silent_where_the_steel_ends() -> None:
    """A place within a thousandth of the butt may have no height of the chords: no room, and no library says a word."""
    outline = join_halves(profiles.get("drop_point")(), profiles.get("taper")(length=110.0005))
    _, y, room = outline.mid_line.T
    assert np.isnan(y).any()
    assert (np.isnan(room) == np.isnan(y)).all()
