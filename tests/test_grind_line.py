"""The grind line: where the faces meet the stock."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
import shapely
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from specimens import bar_outline, chef, drop_point, ground, petty, recurve

from bladegeom.curves.build import line, spline
from bladegeom.curves.curve import FloatArray
from bladegeom.curves.flatten import flatten
from bladegeom.grinding.grind_line import grind_line
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, BevelToLine, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, HollowBevel
from bladegeom.knife.grind import Grind, Plunge
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock

NEAR = 0.01
"""What is asked of a line that is scribed, mm."""

END = 0.03
"""As near as it comes to the border of the steel, mm: within 0.02 of the spine it counts as run out."""


def from_edge(knife: Knife, row: FloatArray) -> FloatArray:
    """Distances of points from the edge, on chords a hundred times finer than the library's."""
    return np.asarray(shapely.distance(shapely.points(row), shapely.LineString(flatten(knife.outline.edge, 5e-5))))


def made(knife: Knife, bevel: Face, **more: Any) -> Knife:
    plunge = {name: more.pop(name) for name in ("lean_deg", "radius") if name in more}
    grind = Grind(bevel=bevel, plunge=Plunge(x=knife.outline.heel[0], **plunge), **more)
    return dataclasses.replace(knife, grind=grind)


@pytest.mark.parametrize("make", [drop_point, petty, chef, recurve])
@pytest.mark.parametrize("lean", [0.0, 12.0, -12.0])
@pytest.mark.parametrize("radius", [0.0, 4.0])
def test_a_flat_bevel_ends_at_its_height(make: Any, lean: float, radius: float) -> None:
    knife = made(make(), FlatBevel(height=13.0, edge_thickness=0.3), lean_deg=lean, radius=radius)
    rows = grind_line(knife)
    assert rows
    for row in rows:
        assert np.abs(from_edge(knife, row) - 13.0).max() < NEAR
        assert (np.diff(row[:, 0]) > 0).all()
    # It begins on the plunge line, whichever way that leans, or on the choil behind it; and ends at the spine.
    ends = shapely.points([rows[0][0], rows[-1][-1]])
    assert shapely.distance(ends, shapely.boundary(knife.bevel_region)).max() < END


@pytest.mark.parametrize(
    "face",
    [
        HollowBevel(wheel_diameter=254.0, height=14.0, edge_thickness=0.6),
        ConvexBevel(height=14.0, edge_thickness=0.4, bulge=0.2),
    ],
    ids=lambda face: face.kind,
)
def test_round_bevels_end_at_their_height(face: Face) -> None:
    knife = made(drop_point(), face)
    (row,) = grind_line(knife)
    assert np.abs(from_edge(knife, row) - 14.0).max() < NEAR


@pytest.mark.parametrize("stage", ["finished", "sharp"])
def test_on_the_line_the_face_has_come_to_the_stock(stage: Any) -> None:
    knife = made(chef(), FlatBevel(height=22.0, edge_thickness=0.3))
    (row,) = grind_line(knife, stage)
    side = knife.side(stage, "right")
    inner = row[1:-1]
    for lift, ground_there in ((-NEAR, True), (NEAR, False)):
        z = side.height(inner[:, 0], inner[:, 1] + lift)
        assert ((z < side.stock.half_thickness(inner[:, 0]) - 1e-9) == ground_there).all()


def test_a_constant_angle_on_tapered_stock_sinks_to_the_tip() -> None:
    # Source: closed form, H(x) = (T(x) - e) / (2 tan a).
    knife = made(ground(bar_outline()), AngledBevel(angle_deg=5.0, edge_thickness=0.5))
    knife = dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=((20.0, 4.0), (180.0, 2.0))))
    (row,) = grind_line(knife)
    t = np.interp(row[:, 0], [20.0, 180.0], [4.0, 2.0])
    np.testing.assert_allclose(row[:, 1] + 30.0, (t - 0.5) / (2 * math.tan(math.radians(5.0))), atol=NEAR)
    assert (row[0, 0], row[-1, 0]) == pytest.approx((0.0, 200.0), abs=NEAR)


def test_a_constant_height_on_tapered_stock_stays() -> None:
    knife = ground(bar_outline(), height=18.0)
    knife = dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=((20.0, 4.0), (180.0, 2.0))))
    (row,) = grind_line(knife)
    np.testing.assert_allclose(row[:, 1], -12.0, atol=NEAR)


@draws(20)
@given(st.floats(0.5, 3.0), st.floats(3.0, 9.0))
def test_before_hardening_the_line_lies_lower(rough: float, angle: float) -> None:
    # Source: closed form: d more at the edge lowers the line by d / (2 tan a).
    knife = made(ground(bar_outline()), AngledBevel(angle_deg=angle, edge_thickness=0.5), rough_edge=rough)
    slope = 2 * math.tan(math.radians(angle))
    for stage, edge in (("rough", rough), ("finished", 0.5)):
        rows = grind_line(knife, stage)  # type: ignore[arg-type]
        height = (4.0 - edge) / slope
        if height < 29.0:
            np.testing.assert_allclose(rows[0][:, 1] + 30.0, height, atol=NEAR)
        elif height > 31.0:
            assert rows == ()


def test_a_drawn_line_is_the_grind_line() -> None:
    curve = spline([(-5.0, -14.0), (60.0, -11.0), (140.0, -16.0), (205.0, -8.0)])
    knife = made(ground(bar_outline()), BevelToLine(line=curve, edge_thickness=0.5))
    (row,) = grind_line(knife)
    away = shapely.distance(shapely.points(row), shapely.LineString(flatten(curve, 5e-5)))
    assert away.max() < NEAR
    # Within the drawn line's own chords of 0.005 mm; from end to end.
    assert (row[0, 0], row[-1, 0]) == pytest.approx((0.0, 200.0), abs=NEAR)


def test_a_drawn_line_that_runs_out_at_the_spine() -> None:
    curve = line((5.0, -14.0), (150.0, 0.0))
    knife = made(ground(bar_outline()), BevelToLine(line=curve, edge_thickness=0.5))
    (row,) = grind_line(knife)
    np.testing.assert_allclose(row[:, 1], -14.0 + 14.0 * (row[:, 0] - 5.0) / 145.0, atol=NEAR)
    # It ends 0.02 mm under the spine, at a slope of 14 in 145.
    assert row[-1, 0] == pytest.approx(150.0 - 0.02 * 145 / 14, abs=0.01)


@pytest.mark.parametrize("make", [drop_point, chef])
def test_none_where_the_face_runs_to_the_spine(make: Any) -> None:
    assert grind_line(made(make(), FullFlat(edge_thickness=0.3))) == ()


def test_none_on_a_side_that_is_not_ground() -> None:
    knife = made(drop_point(), FlatBevel(height=13.0, edge_thickness=0.3), only="right")
    assert grind_line(knife, "finished", "left") == ()
    assert grind_line(knife, "blank") == ()
    assert grind_line(knife, "rough") == ()
    (row,) = grind_line(knife, "finished", "right")
    assert np.abs(from_edge(knife, row) - 13.0).max() < NEAR


def test_left_and_right_are_alike() -> None:
    knife = drop_point()
    np.testing.assert_array_equal(grind_line(knife, flank="left")[0], grind_line(knife, flank="right")[0])
