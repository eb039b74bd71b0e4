"""What a maker sets, scribes and measures, against closed forms of the section square to the edge."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from specimens import bar_outline, chef, drop_point, ground, petty, recurve

from bladegeom.curves.build import line
from bladegeom.grinding.grind_sheet import GrindSheet
from bladegeom.grinding.grind_words import scribe_words, tang_range, taper_words
from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, BevelToLine, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexEdge, HollowBevel
from bladegeom.knife.grind import STAGES, Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.workshop.route import route


def bar(
    bevel: Face | tuple[Face, ...],
    thick: float = 4.0,
    *,
    height: float = 30.0,
    taper: tuple[tuple[float, float], ...] = (),
    **more: Any,
) -> Knife:
    """A bar 200 mm long with its edge along y = -height, ground ahead of x 0."""
    plunge = Plunge(x=0.0, **{name: more.pop(name) for name in ("lean_deg", "radius") if name in more})
    knife = ground(bar_outline(height=height), thickness=thick)
    stock = Stock(steel="1084", thickness=thick, taper=taper)
    return dataclasses.replace(knife, grind=Grind(bevel=bevel, plunge=plunge, **more), stock=stock)


def degrees(rise: float, way: float) -> float:
    return math.degrees(math.atan2(rise, way))


@pytest.mark.parametrize(
    ("thick", "edge", "height", "angle"),
    # Source: closed form, a = atan((T - e) / 2 / H).
    [(3.2, 0.5, 18.0, 4.29), (2.4, 0.25, 45.0, 1.37), (4.0, 0.5, 20.0, 5.00)],
)
def test_angle_of_a_flat_bevel(thick: float, edge: float, height: float, angle: float) -> None:
    sheet = GrindSheet(bar(FlatBevel(height=height, edge_thickness=edge), thick, height=50.0))
    for station in sheet.stations:
        assert station.angle_deg == pytest.approx(angle, abs=0.005)
        assert station.angle_deg == pytest.approx(degrees((thick - edge) / 2, height), abs=1e-6)
        assert station.grind_line == pytest.approx(height, abs=1e-9)


def test_full_flat_tells_the_same_angle_to_the_spine() -> None:
    sheet = GrindSheet(bar(FullFlat(edge_thickness=0.25), 2.4, height=45.0))
    for station in sheet.stations:
        assert station.angle_deg == pytest.approx(degrees((2.4 - 0.25) / 2, 45.0), abs=1e-6)
        assert (station.grind_line, station.tilted) == (None, None)
        assert station.reach == pytest.approx(45.0, abs=1e-9)


def test_half_a_degree_moves_the_line_by_millimetres() -> None:
    # Source: closed form, (T - e) / 2 / tan(a -+ 0.5); 16.1 to 20.4 mm around 18.
    (first, *_) = GrindSheet(bar(FlatBevel(height=18.0, edge_thickness=0.5), 3.2)).stations
    angle = math.atan(1.35 / 18.0)
    expected = [1.35 / math.tan(angle + math.radians(by)) for by in (-0.5, 0.5)]
    assert first.tilted == pytest.approx(expected, abs=1e-6)
    assert first.tilted == pytest.approx((20.4, 16.1), abs=0.05)


@pytest.mark.parametrize("lean", [-20.0, 0.0, 8.0, 20.0])
def test_the_first_station_is_ground_all_the_way_up(lean: float) -> None:
    """On a recurve the line square to the edge leans back; behind the plunge line it would tell the bar's thickness."""
    knife = recurve()
    plunge = Plunge(x=knife.outline.heel[0] + 2.0, lean_deg=lean, radius=2.0)
    knife = dataclasses.replace(knife, grind=Grind(bevel=FullFlat(edge_thickness=0.35), plunge=plunge))
    first = GrindSheet(knife).first
    up = np.linspace(0.5, first.reach - 0.5, 50)
    steel = thickness(knife, "finished", *first.place(up))
    assert (np.diff(steel) > 0).all()
    assert (steel < knife.stock.thickness - 1e-3).all()


def test_half_a_degree_less_that_passes_the_spine_is_told_as_the_spine() -> None:
    # Source: closed form; 1.35 / tan(atan(1.35 / 26) - 0.5 degrees) is 31.3 mm, on a bar 30 mm high.
    knife = bar(FlatBevel(height=26.0, edge_thickness=0.5), 3.2, rough_edge=0.8)
    (first, *_) = GrindSheet(knife).stations
    more = 1.35 / math.tan(math.atan(1.35 / 26.0) + math.radians(0.5))
    assert first.tilted is not None
    assert first.tilted[0] is None
    assert first.tilted[1] == pytest.approx(more, abs=1e-6)


def test_the_route_names_no_grind_line_above_the_spine() -> None:
    # Source: closed form; (3.2 - 0.8) / 2 = 1.2, so that before hardening the line lies at 1.2 / 1.35 * 29.5 mm.
    knife = bar(FlatBevel(height=29.5, edge_thickness=0.5), 3.2, rough_edge=0.8)
    (told,) = (task for step in route(knife).operations for task in step.tasks if "Half a degree" in task)
    assert told == "Half a degree off moves this grind line to 22.0 mm (0.865 in) or up to the spine there."


def test_a_bevel_flatter_than_the_tilt_has_no_limit() -> None:
    # atan(0.2 / 25) is 0.46 degrees: half a degree less would never meet the stock.
    (first, *_) = GrindSheet(bar(FlatBevel(height=25.0, edge_thickness=0.6), 1.0)).stations
    assert first.grind_line == pytest.approx(25.0, abs=1e-9)
    assert first.tilted is None


@given(st.floats(1.5, 6.0), st.floats(0.1, 1.0), st.floats(3.0, 25.0), st.sampled_from([None, "right", "left"]))
@draws(20)
def test_one_side_alone_takes_the_whole_angle(thick: float, edge: float, height: float, only: Any) -> None:
    # Source: closed forms, atan((T - e) / H) for a chisel grind, atan((T - e) / 2 / H) a side for two.
    sheet = GrindSheet(bar(FlatBevel(height=height, edge_thickness=edge), thick, only=only), step=100.0)
    rise = (thick - edge) / (1 if only else 2)
    assert sheet.stations[0].angle_deg == pytest.approx(degrees(rise, height), abs=1e-6)
    # Scribe lines: in the middle for two sides; for one the edge lies in the other face.
    right, left = sheet.scribe_offsets("finished")
    expected = {None: (rise, rise), "right": (rise, 0.0), "left": (0.0, rise)}[only]
    assert (right, left) == pytest.approx(expected, abs=1e-12)
    assert thick - right - left == pytest.approx(edge, abs=1e-12)


def test_angle_and_line_follow_the_taper() -> None:
    # Source: closed forms, a(x) = atan((T(x) - e) / 2 / H) at constant height, H(x) = (T(x) - e) / (2 tan a) else.
    taper = ((20.0, 4.0), (180.0, 2.0))
    flat = GrindSheet(bar(FlatBevel(height=18.0, edge_thickness=0.5), taper=taper))
    angled = GrindSheet(bar(AngledBevel(angle_deg=5.0, edge_thickness=0.5), taper=taper))
    for station, other in zip(flat.stations, angled.stations, strict=True):
        t = float(np.interp(station.x, [20.0, 180.0], [4.0, 2.0]))
        assert station.stock == pytest.approx(t, abs=1e-9)
        assert station.grind_line == pytest.approx(18.0, abs=1e-9)
        assert station.angle_deg == pytest.approx(degrees((t - 0.5) / 2, 18.0), abs=1e-6)
        assert other.angle_deg == pytest.approx(5.0, abs=1e-6)
        assert other.grind_line == pytest.approx((t - 0.5) / 2 / math.tan(math.radians(5.0)), abs=1e-6)


@pytest.mark.parametrize(("edge", "sharpen", "apex"), [(0.25, 15.0, 0.48), (0.4, 20.0, 0.58), (0.8, 22.0, 1.07)])
def test_facet_on_a_bevel(edge: float, sharpen: float, apex: float) -> None:
    # Source: closed form, height e / (2 (tan a - tan b)), width height / cos a. The rule of thumb (e/2) / sin a takes
    # the face above for upright; a bevel of b degrees makes the facet wider by tan a / (tan a - tan b).
    knife = bar(FlatBevel(height=18.0, edge_thickness=edge), 3.2, sharpen_deg=sharpen)
    height, width = GrindSheet(knife).facet
    tan_a, tan_b = math.tan(math.radians(sharpen)), (3.2 - edge) / 2 / 18.0
    assert height == pytest.approx(edge / 2 / (tan_a - tan_b), abs=1e-6)
    assert width == pytest.approx(height / math.cos(math.radians(sharpen)), rel=1e-12)
    rule = edge / 2 / math.sin(math.radians(sharpen))
    assert rule == pytest.approx(apex, abs=0.005)
    assert width == pytest.approx(rule * tan_a / (tan_a - tan_b), abs=1e-6)


def test_facet_of_one_side_alone() -> None:
    # Source: closed form: the whole edge goes on one side, e / (tan a - tan b).
    knife = bar(FlatBevel(height=18.0, edge_thickness=0.3), only="left", sharpen_deg=25.0)
    height = 0.3 / (math.tan(math.radians(25.0)) - 3.7 / 18.0)
    assert GrindSheet(knife).facet[0] == pytest.approx(height, abs=1e-6)


def test_no_facet_on_a_zero_edge() -> None:
    assert GrindSheet(bar(AngledBevel(angle_deg=12.0))).facet == (0.0, 0.0)
    assert GrindSheet(bar(AngledBevel(angle_deg=12.0), only="right")).facet == (0.0, 0.0)


def test_hollow_wall() -> None:
    # Source: closed form, wall = chord thickness - 2 s, s = R - sqrt(R^2 - c^2 / 4): 254 mm wheel, chord 20: 0.39.
    rise = 0.4
    height = math.sqrt(400.0 - rise**2)
    knife = bar(HollowBevel(wheel_diameter=254.0, height=height, edge_thickness=1.2), 2.0)
    sagitta = 127.0 - math.sqrt(127.0**2 - 100.0)
    assert sagitta == pytest.approx(0.39, abs=0.005)
    # At the chord's middle, and from there the sagitta square to the chord: up by its slope.
    at = height / 2 + sagitta * rise / 20.0
    (found,) = thickness(knife, "finished", np.array([100.0]), np.array([at - 30.0]))
    assert found == pytest.approx(1.6 - 2 * sagitta * height / 20.0, abs=1e-9)
    # The thinnest place lies where the wheel runs upright: its centre's distance from the edge.
    centre = height / 2 - rise / 20.0 * (127.0 - sagitta)
    low = 0.6 + rise / 2 + height / 20.0 * (127.0 - sagitta) - 127.0
    for station in GrindSheet(knife).stations:
        assert station.wall == pytest.approx((2 * low, centre), abs=0.03)
        assert station.wall[0] == pytest.approx(2 * low, abs=1e-4)
        assert station.angle_deg == pytest.approx(degrees(rise, height), abs=1e-6)


def test_wall_of_a_flat_bevel_is_its_edge() -> None:
    for station in GrindSheet(drop_point()).stations:
        assert station.wall == pytest.approx((0.5, 0.0), abs=0.002)


@pytest.mark.parametrize("taper", [(), ((0.0, 4.0), (150.0, 2.0)), ((-60.0, 2.0), (0.0, 3.0), (150.0, 2.0))])
def test_scribe_lines_are_told_from_the_faces_of_the_blank(taper: tuple[tuple[float, float], ...]) -> None:
    # Source: closed form, (T - e) / 2 of the bar: its middle is the middle of the taper, whatever that is.
    sheet = GrindSheet(bar(FlatBevel(height=18.0, edge_thickness=0.5), taper=taper, rough_edge=0.8))
    assert sheet.scribe_offsets("rough") == pytest.approx((1.6, 1.6), abs=1e-12)
    assert sheet.scribe_offsets("finished") == pytest.approx((1.75, 1.75), abs=1e-12)
    assert (sheet.scribed_edge("rough"), sheet.scribed_edge("finished")) == (0.8, 0.5)


def test_scribe_lines_of_one_side_on_tapered_stock() -> None:
    # At the heel, x 0, 3 mm are left of 4, half a millimetre off each face: the edge lies in the tapered left one.
    taper = ((-60.0, 2.0), (0.0, 3.0), (150.0, 2.0))
    sheet = GrindSheet(bar(FlatBevel(height=18.0, edge_thickness=0.5), taper=taper, only="right"))
    assert sheet.scribe_offsets("finished") == pytest.approx((3.0, 0.5), abs=1e-12)
    # At the tip 2 mm are left, a millimetre off each face.
    assert sheet.scribe_offsets("finished", 150.0) == pytest.approx((2.5, 1.0), abs=1e-12)
    assert (scribe_words(2.5, 0.0), scribe_words(0.0, 2.5)) == tuple(
        f"2.50 mm (0.098 in) from the {name} face" for name in ("right", "left")
    )


def test_compound_bevel_tells_each_face() -> None:
    # Source: closed forms: the first face as by itself; the second meets it at e / (2 (tan a - tan b)).
    knife = bar((FlatBevel(height=18.0, edge_thickness=0.5), AngledBevel(angle_deg=12.0)), 3.2, rough_edge=0.8)
    sheet = GrindSheet(knife)
    (first, *_) = sheet.stations
    assert first.angle_deg == pytest.approx(degrees(1.35, 18.0), abs=1e-6)
    assert first.tilted == pytest.approx((20.4, 16.1), abs=0.05)
    (lower,) = sheet.lower
    assert lower.face == AngledBevel(angle_deg=12.0)
    assert lower.angle_deg == pytest.approx(12.0, abs=1e-6)
    assert lower.height == pytest.approx(0.25 / (math.tan(math.radians(12.0)) - 1.35 / 18.0), abs=1e-4)
    # The lines are scribed for the face that is ground first.
    assert sheet.scribe_offsets("finished") == pytest.approx((1.35, 1.35), abs=1e-12)
    assert sheet.uppermost == FlatBevel(height=18.0, edge_thickness=0.5)
    assert sheet.stations[0].wall == pytest.approx((0.0, 0.0), abs=1e-9)


def test_convex_edge_under_a_full_flat() -> None:
    flat = FullFlat(edge_thickness=0.4)
    # Source: closed form: with a bulge of c / 2 tan(a / 2) the arc comes in tangent; a little less reaches full height.
    rise = 0.2 + 1.8 * 4.0 / 30.0 - 0.1
    angle = math.atan(rise / 4.0) - math.atan(1.8 / 30.0)
    bulge = math.hypot(4.0, rise) / 2 * math.tan(angle / 2)
    sheet = GrindSheet(bar(ConvexEdge(under=flat, height=4.0, edge_thickness=0.2, bulge=0.98 * bulge)))
    (lower,) = sheet.lower
    assert lower.height == pytest.approx(4.0, abs=0.02)
    assert lower.angle_deg == pytest.approx(degrees(rise, 4.0), abs=0.01)
    fuller = GrindSheet(bar(ConvexEdge(under=flat, height=4.0, edge_thickness=0.2, bulge=2 * bulge)))
    assert fuller.lower[0].height < 3.0


def test_bevel_to_a_drawn_line_is_told_square_to_the_edge() -> None:
    # The edge lies along y -30, the line rises from 12 above it at x 0 to 20 at x 200.
    sheet = GrindSheet(bar(BevelToLine(line=line((0.0, -18.0), (200.0, -10.0)), edge_thickness=0.5)))
    for station in sheet.stations:
        assert station.grind_line == pytest.approx(12.0 + 8.0 * station.x / 200.0, abs=1e-6)


@pytest.mark.parametrize(("step", "inner"), [(10.0, range(10, 191, 10)), (25.0, range(25, 176, 25))])
def test_stations(step: float, inner: range) -> None:
    sheet = GrindSheet(bar(FlatBevel(height=18.0, edge_thickness=0.5)), step=step)
    # 1 mm ahead of the plunge line at x 0; every 10 or 25 mm; 3 mm behind the tip at 200.
    assert [station.x for station in sheet.stations] == pytest.approx([1.0, *inner, 197.0], abs=1e-9)


@pytest.mark.parametrize("make", [drop_point, petty, chef])
@pytest.mark.parametrize("step", [10.0, 25.0])
def test_stations_keep_apart_and_stand_square_to_the_edge(make: Any, step: float) -> None:
    knife = make()
    sheet = GrindSheet(knife, step=step)
    xs = np.array([station.x for station in sheet.stations])
    assert np.diff(xs).min() >= 4.0 - 1e-9
    assert np.diff(xs).max() <= step + 4.0
    edge = knife.outline.edge_points
    for station in sheet.stations:
        # Within the chord of 0.005 mm the foot lies on the edge; the line is square to the chord there.
        i = int(np.clip(np.searchsorted(edge[:, 0], station.foot[0]), 1, len(edge) - 1))
        chord = (edge[i] - edge[i - 1]) / np.hypot(*(edge[i] - edge[i - 1]))
        assert float(chord @ np.array(station.inward)) == pytest.approx(0.0, abs=0.03)
        end_x, end_y = station.place(np.array([station.reach]))
        upper, _ = knife.outline.tang_height(end_x)
        assert end_y[0] == pytest.approx(upper[0], abs=0.02)


@pytest.mark.parametrize(("lean", "first"), [(0.0, 6.0), (20.0, 6.0 + 30 * math.tan(math.radians(20.0))), (-20.0, 6.0)])
def test_the_first_station_stands_clear_of_the_plunge(lean: float, first: float) -> None:
    # 1 mm ahead of the plunge line's foremost end and of its radius of 5 mm.
    knife = bar(FlatBevel(height=18.0, edge_thickness=0.5), radius=5.0, lean_deg=lean)
    sheet = GrindSheet(knife)
    assert sheet.stations[0].x == pytest.approx(first, abs=1e-6)
    # So its thicknesses are those of the face.
    np.testing.assert_allclose(
        sheet.thickness("finished")[0, :4], 0.5 + 3.5 * np.array([0, 5, 10, 15]) / 18.0, atol=1e-9
    )


def test_a_blade_too_short_for_stations_has_one() -> None:
    knife = ground(bar_outline(blade=9.0, height=8.0), height=4.0, plunge=2.0)
    (station,) = GrindSheet(knife).stations
    assert station.x == pytest.approx(5.5)


@pytest.mark.parametrize("stage", STAGES)
def test_thickness_grid(stage: Any) -> None:
    # Source: closed form of each stage at distances from a straight edge.
    knife = bar(FlatBevel(height=18.0, edge_thickness=0.5), rough_edge=0.8, sharpen_deg=20.0)
    sheet = GrindSheet(knife, step=50.0)
    assert sheet.heights == (0.0, 5.0, 10.0, 15.0, 20.0, 25.0)
    d = np.array(sheet.heights)
    finished = np.minimum(0.5 + 3.5 * d / 18.0, 4.0)
    expected = {
        "blank": np.full(6, 4.0),
        "rough": np.minimum(finished + 0.3, 4.0),
        "finished": finished,
        "sharp": np.minimum(finished, 2 * d * math.tan(math.radians(20.0))),
    }[stage]
    np.testing.assert_allclose(sheet.thickness(stage), np.tile(expected, (len(sheet.stations), 1)), atol=1e-9)


def test_thickness_grid_of_a_curved_blade() -> None:
    knife = dataclasses.replace(
        drop_point(), stock=Stock(steel="1084", thickness=4.0, taper=((10.0, 4.0), (110.0, 2.0)))
    )
    sheet = GrindSheet(knife)
    values = sheet.thickness("finished")
    for station, row in zip(sheet.stations, values, strict=True):
        for height, value in zip(sheet.heights, row, strict=True):
            assert np.isnan(value) == (height > station.reach)
            if not np.isnan(value):
                x = station.foot[0] + height * station.inward[0]
                t = float(np.interp(x, [10.0, 110.0], [4.0, 2.0]))
                # On a convex edge the way square to it is the way from it, within its chords of 0.005 mm.
                assert value == pytest.approx(min(0.5 + (t - 0.5) * height / 16.0, t), abs=0.002)


def test_stages_told_of() -> None:
    flat = FlatBevel(height=18.0, edge_thickness=0.5)
    assert GrindSheet(bar(flat)).stages == ("finished", "sharp")
    assert GrindSheet(bar(flat, rough_edge=0.8)).stages == ("rough", "finished", "sharp")


ZERO = FlatBevel(height=17.0, edge_thickness=0.0)


@pytest.mark.parametrize("only", [None, "right", "left"])
@pytest.mark.parametrize(
    "first", [ZERO, FullFlat(edge_thickness=0.0), BevelToLine(line=line((0, -10), (200, -12)), edge_thickness=0.0)]
)
@pytest.mark.parametrize(
    "second", [AngledBevel(angle_deg=30.0), AngledBevel(angle_deg=0.5), FullFlat(edge_thickness=0.0)]
)
def test_two_faces_from_the_same_edge(first: Face, second: Face, only: Any) -> None:
    # Source: two straight lines from one point meet nowhere else: the flatter one alone shows.
    sheet = GrindSheet(bar((first, second), only=only))
    assert all(math.isfinite(lower.height) and math.isfinite(lower.angle_deg) for lower in sheet.lower)
    # Ahead of a spine that falls to the tip another may be the flatter one.
    assert all(farther.station > 1 for farther in sheet.showing)


def test_a_face_that_never_shows_sets_no_scribe_line() -> None:
    sheet = GrindSheet(
        bar((FlatBevel(height=17.0, edge_thickness=0.3), AngledBevel(angle_deg=12.0, edge_thickness=0.6)))
    )
    assert (sheet.showing, sheet.scribed_edge("finished")) == ((), 0.3)


def test_the_middle_one_of_three_faces_shows() -> None:
    # Source: closed form: lines of heights 0.25 + 1.75 d / 25, 0.1 + d tan 8 and d tan 15 over the middle plane.
    faces = (FlatBevel(height=25.0, edge_thickness=0.5), AngledBevel(angle_deg=8.0, edge_thickness=0.2))
    sheet = GrindSheet(bar((*faces, AngledBevel(angle_deg=15.0))))
    middle, low = sheet.showing
    tan_8, tan_15 = math.tan(math.radians(8.0)), math.tan(math.radians(15.0))
    assert middle.height == pytest.approx(0.15 / (tan_8 - 1.75 / 25.0), abs=0.01)
    assert low.height == pytest.approx(0.1 / (tan_15 - tan_8), abs=1e-4)


def test_a_face_that_shows_farther_along_only() -> None:
    # 4 mm at the heel, 2 at the tip: a flat bevel of 6.7 degrees there is one of 3.4 here, flatter than 5.
    sheet = GrindSheet(bar((ZERO, AngledBevel(angle_deg=5.0)), taper=((0.0, 4.0), (200.0, 2.0))))
    (farther,) = sheet.showing
    assert (farther.face, sheet.uppermost) == (ZERO, AngledBevel(angle_deg=5.0))
    assert farther.station > 1
    assert farther.height == pytest.approx(17.0, abs=0.02)


def test_taper_in_words() -> None:
    taper = ((-60.0, 2.0), (0.0, 3.0), (150.0, 2.0))
    knife = bar(FlatBevel(height=18.0, edge_thickness=0.5), taper=taper)
    assert tang_range(knife) == pytest.approx((2.0, 3.0))
    assert taper_words(taper[1:], (3.0, 3.0)) == (
        "tapered: 3.00 mm (0.118 in) at x 0.00, 2.00 mm (0.079 in) at x 150.00; the tang 3.00 mm (0.118 in)"
    )
    assert taper_words(taper, tang_range(knife)).endswith("the tang 2.00 mm (0.079 in) to 3.00 mm (0.118 in)")
