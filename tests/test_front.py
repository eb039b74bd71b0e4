"""The bowed handle front against the circle through its ends, and all that is told from it."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from specimens import drop_point, ground, plain_tang

from bladegeom.curves.curve import FloatArray, Vector, points
from bladegeom.curves.flatten import flatten
from bladegeom.curves.measure import loop_moments
from bladegeom.grinding.zones import flat_region, placed_zones
from bladegeom.holes.clearance import behind_front, clearances
from bladegeom.knife.front import front_curve
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife
from bladegeom.knife.zone import TextureZone
from bladegeom.mass.weigh import weigh
from bladegeom.quantities.errors import ParameterError
from bladegeom.quantities.tolerances import CHORD

feet = st.tuples(st.floats(-15.0, 8.0), st.floats(-35.0, -15.0))
bows = st.floats(0.3, 3.5) | st.floats(-3.5, -0.3)


class Circle:
    """Of which an arc over a chord from the origin is a part; bulging by ``bow`` to the left of the way down."""

    def __init__(self, foot: Vector, bow: float) -> None:
        end = np.array(foot)
        self.chord = float(np.hypot(*end))
        self.down = end / self.chord
        self.ahead = np.array([-self.down[1], self.down[0]])
        self.bow = bow
        self.radius = ((self.chord / 2) ** 2 + bow**2) / (2 * abs(bow))
        self.half = 2 * math.atan(2 * abs(bow) / self.chord)
        """Half the angle of the arc, rad: tangent and chord enclose it. Source: the inscribed angle's theorem."""
        self.centre = end / 2 - math.copysign(self.radius - abs(bow), bow) * self.ahead

    @property
    def segment(self) -> float:
        """Area between chord and arc, mm2."""
        return self.radius**2 / 2 * (2 * self.half - math.sin(2 * self.half))


def dense(foot: Vector, bow: float) -> FloatArray:
    curve = front_curve(foot, bow)
    return points(curve, np.linspace(0.0, len(curve), 400))


@given(feet, bows)
def test_every_point_lies_on_the_circle(foot: Vector, bow: float) -> None:
    circle, xy = Circle(foot, bow), dense(foot, bow)
    np.testing.assert_allclose(np.hypot(*(xy - circle.centre).T), circle.radius, atol=1e-5)
    curve = front_curve(foot, bow)
    assert curve.start == (0.0, 0.0)
    assert curve.end == foot


@given(feet, bows)
def test_the_bow_is_the_height_over_the_chord(foot: Vector, bow: float) -> None:
    off = dense(foot, bow) @ Circle(foot, bow).ahead
    assert off[np.abs(off).argmax()] == pytest.approx(bow, abs=1e-4)
    assert (off * bow >= -1e-12).all()


@given(feet, bows)
def test_tangents_at_the_ends(foot: Vector, bow: float) -> None:
    # Positive bulges towards the tip: the way down leaves to the left of the chord by half the arc's angle.
    circle, curve = Circle(foot, bow), front_curve(foot, bow)
    for told, turn in ((curve.start_direction, 1.0), (curve.end_direction, -1.0)):
        a = turn * math.copysign(circle.half, bow)
        wanted = math.cos(a) * circle.down + math.sin(a) * circle.ahead
        np.testing.assert_allclose(told, wanted, atol=1e-4)


@given(feet, st.floats(0.3, 3.5))
def test_opposite_bows_are_mirror_images_in_the_chord(foot: Vector, bow: float) -> None:
    circle = Circle(foot, bow)
    out, hollow = dense(foot, bow), dense(foot, -bow)
    np.testing.assert_allclose(out @ circle.down, hollow @ circle.down, atol=1e-9)
    np.testing.assert_allclose(out @ circle.ahead, -(hollow @ circle.ahead), atol=1e-9)


def test_no_bow_is_a_straight_line() -> None:
    curve = front_curve((-3.0, -25.0), 0.0)
    assert len(curve) == 1
    assert points(curve, 0.5)[0] == pytest.approx((-1.5, -12.5))


@pytest.mark.parametrize("bow", [6.3, -6.3, 40.0])
def test_too_much_of_a_bow(bow: float) -> None:
    # A quarter of 25 mm.
    with pytest.raises(ParameterError) as caught:
        _ = ground(plain_tang(), front_bow=bow).handle_front
    assert_refused(caught.value, "knife: front_bow | 6.25 mm (0.246 in)")


@pytest.mark.parametrize("bow", [math.nan, math.inf, "2 mm"])
def test_a_bow_that_is_no_length(bow: Any) -> None:
    with pytest.raises(ParameterError) as caught:
        ground(plain_tang(), front_bow=bow)
    assert_refused(caught.value, "knife: front_bow")


# On a knife: a tang 120 mm long and 25 mm high.


def bowed(bow: float, lean: float = 0.0, **more: Any) -> Knife:
    return ground(plain_tang(length=120.0), front_bow=bow, front_lean_deg=lean, **more)


def circle_of(knife: Knife) -> Circle:
    return Circle(knife.handle_front.end, knife.front_bow)


@pytest.mark.parametrize("lean", [0.0, 12.0])
@pytest.mark.parametrize("bow", [-4.0, -0.5, 0.5, 2.0, 6.0])
def test_area_of_the_handle(bow: float, lean: float) -> None:
    # Source: closed form: a trapezium, and the circle's segment over its front.
    knife = bowed(bow, lean)
    segment = math.copysign(circle_of(knife).segment, bow)
    wanted = 120.0 * 25.0 - 25.0**2 * math.tan(math.radians(lean)) / 2 + segment
    area = loop_moments(knife.handle_loop.pieces)[0]
    assert area == pytest.approx(wanted, abs=2e-4)
    assert knife.handle_region.area == pytest.approx(wanted, abs=CHORD * circle_of(knife).chord * 1.2)


@pytest.mark.parametrize("bow", [-3.0, 2.0])
def test_a_real_handle_is_larger_by_the_segment(bow: float) -> None:
    straight, arched = drop_point(front_lean_deg=8.0), drop_point(front_lean_deg=8.0, front_bow=bow)
    more = loop_moments(arched.handle_loop.pieces)[0] - loop_moments(straight.handle_loop.pieces)[0]
    assert more == pytest.approx(math.copysign(circle_of(arched).segment, bow), abs=2e-4)


@given(
    st.sampled_from([-5.0, -1.0, 1.0, 3.0, 6.0]),
    st.sampled_from([-5.0, 0.0, 20.0]),
    st.floats(-0.95, 0.95),
    st.floats(-10.0, 10.0),
)
def test_distance_behind_the_front(bow: float, lean: float, share: float, off: float) -> None:
    # Source: closed form: on a ray from the circle's centre within the arc, radius less distance from the centre.
    knife = bowed(bow, lean)
    circle = circle_of(knife)
    a = share * circle.half
    outwards = math.copysign(1.0, bow) * math.cos(a) * circle.ahead + math.sin(a) * circle.down
    # ``off`` behind the front: towards the centre where it bulges, away from it where it is hollow.
    place = circle.centre + (circle.radius - math.copysign(off, bow * off)) * outwards
    if circle.radius - math.copysign(off, bow * off) < 0.5 * circle.radius:
        return
    assert behind_front(knife, place) == pytest.approx(off, abs=2 * CHORD)


def test_distance_beyond_the_ends() -> None:
    # Above its upper end a bowed front is as far off as that end.
    knife = bowed(2.0)
    assert behind_front(knife, np.array([-30.0, 40.0])) == pytest.approx(50.0, abs=1e-9)
    assert behind_front(knife, np.array([30.0, 40.0])) == pytest.approx(-50.0, abs=1e-9)


def test_distances_of_many_points_keep_their_shape() -> None:
    knife, xy = bowed(2.0), np.random.default_rng(3).uniform(-40.0, 40.0, (4, 3, 2))
    all_at_once = behind_front(knife, xy)
    assert all_at_once.shape == (4, 3)
    assert all_at_once[2, 1] == behind_front(knife, xy[2, 1])


@pytest.mark.parametrize("bow", [-3.0, 3.0])
def test_clearance_of_a_hole_at_mid_height(bow: float) -> None:
    hole = Hole(x=-40.0, y=-12.5, diameter=6.0, purpose="lightening")
    (clear,) = clearances(bowed(bow, holes=(hole,)))
    far = shapely.LineString(flatten(bowed(bow).handle_front, 1e-5)).distance(shapely.Point(-40.0, -12.5))
    assert clear.behind_front == pytest.approx(far - 3.0, abs=2 * CHORD)


@pytest.mark.parametrize("lean", [-5.0, 0.0, 20.0])
@pytest.mark.parametrize("bow", [-4.0, 0.0, 2.0])
def test_the_other_balance_is_told_from_the_middle_of_the_front(bow: float, lean: float) -> None:
    knife = bowed(bow, lean)
    curve = knife.handle_front
    middle = points(curve, len(curve) / 2)[0]
    assert knife.handle_front_middle == pytest.approx(tuple(middle), abs=1e-5)
    weighed = weigh(knife)
    assert weighed.balance_from_middle == pytest.approx(weighed.total.centre[0] - middle[0], abs=1e-5)
    # The steel is the same whatever the front is.
    assert weighed.total.centre == pytest.approx(weigh(bowed(0.0)).total.centre, abs=1e-12)


@pytest.mark.parametrize("bow", [-3.0, 0.0, 3.0])
def test_what_is_kept_free_ahead_of_the_front(bow: float) -> None:
    knife = drop_point(front_bow=bow, front_lean_deg=5.0, height=12.0)
    front = shapely.LineString(flatten(knife.handle_front, 1e-4))
    ahead = flat_region(knife, "right")
    assert ahead.distance(front) == pytest.approx(0.0, abs=CHORD)
    assert shapely.intersection(ahead, knife.handle_region).area < 0.1
    zone = TextureZone(start=-50.0, end=70.0, depth=0.2, margin=0.5, front_margin=4.0)
    (placed,) = placed_zones(drop_point(front_bow=bow, front_lean_deg=5.0, height=12.0, zones=(zone,)))
    # GEOS smooths a hollow line by up to a hundredth of the distance before it offsets it.
    assert placed.region.distance(front) == pytest.approx(4.0, abs=0.01 * 4.0 + 2 * CHORD)
    # Everywhere along the front, not at one place only.
    middle = points(knife.handle_front, np.linspace(0.3, 0.7, 9) * len(knife.handle_front))
    away = shapely.distance(shapely.points(middle), placed.region)
    np.testing.assert_allclose(away, 4.0, atol=0.01 * 4.0 + 2 * CHORD)
