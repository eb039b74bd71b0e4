"""Arcs in place of curves: never farther away than promised, tangent, with every corner, and few."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import FrozenInstanceError
from typing import NamedTuple

import numpy as np
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_facts
from strategies import arcs, curves, lines, wild_pieces

from bladegeom.curves.arcs import ArcChain, fit_arcs
from bladegeom.curves.build import arc, line, spline
from bladegeom.curves.curve import Curve, FloatArray, join, points, rotation, split
from bladegeom.curves.fillet import filleted
from bladegeom.curves.meet import nearest
from bladegeom.quantities.errors import CurveError
from bladegeom.quantities.tolerances import SMOOTH_DEG

ROUNDING = 1e-9
"""Rounding of radii of some metres and of nearest places, mm."""

tolerances = st.sampled_from([0.05, 0.01, 0.001, 1e-4])


class Segment(NamedTuple):
    """One line or arc, remade from two vertices and a bulge."""

    start: FloatArray
    end: FloatArray
    bulge: float

    @property
    def sweep(self) -> float:
        """Signed angle of the arc: the bulge is the tangent of its quarter."""
        return 4 * math.atan(self.bulge)

    @property
    def chord(self) -> FloatArray:
        return np.asarray(self.end - self.start)

    @property
    def radius(self) -> float:
        """Half the chord over the sine of half the sweep; endless for a line."""
        half = math.sin(abs(self.sweep) / 2)
        return float(np.hypot(*self.chord)) / 2 / half if half else math.inf

    @property
    def length(self) -> float:
        return self.radius * abs(self.sweep) if self.bulge else float(np.hypot(*self.chord))

    def direction(self, part: float) -> FloatArray:
        """Unit direction at a part of the arc: the chord's, turned by -sweep/2 at the start and +sweep/2 at the end."""
        d = self.chord / np.hypot(*self.chord)
        return np.asarray(rotation(math.degrees(self.sweep * (part - 0.5)))[:, :2] @ d)

    def at(self, parts: FloatArray) -> FloatArray:
        """Points: the chord of a part of an arc has the length 2 r sin(part sweep / 2) and half its turn."""
        out = []
        for part in parts:
            turned = self.sweep * part / 2
            share = math.sin(turned) / math.sin(self.sweep / 2) if self.bulge else float(part)
            if abs(self.sweep) < 1e-6:
                share = float(part)
            out.append(self.start + share * rotation(math.degrees(turned - self.sweep / 2))[:, :2] @ self.chord)
        return np.array(out)

    def distance(self, p: FloatArray) -> FloatArray:
        """Of points from the arc itself: its circle where they lie in its sector, else its nearer end."""
        ends = np.minimum(np.hypot(*(p - self.start).T), np.hypot(*(p - self.end).T))
        middle = (self.start + self.end) / 2
        normal = np.array([-self.chord[1], self.chord[0]]) / np.hypot(*self.chord)
        if abs(self.sweep) < 1e-4:  # a parabola is as near as 1e-11 of its chord; the radius would lose digits
            along = (p - self.start) @ self.chord / (self.chord @ self.chord)
            rise = (along * (1 - along)) * float(np.hypot(*self.chord)) * self.sweep / 2
            off = np.abs((p - self.start) @ normal + rise)
            return np.asarray(np.where((along >= 0) & (along <= 1), off, ends))
        half = self.sweep / 2
        centre = middle + normal * float(np.hypot(*self.chord)) / 2 / math.tan(half)
        # Angle from the direction of the arc's middle, seen from the centre.
        away = p - centre
        towards = -math.copysign(1.0, self.sweep) * normal
        angle = np.abs(np.arctan2(towards[0] * away[:, 1] - towards[1] * away[:, 0], away @ towards))
        return np.asarray(np.where(angle <= abs(half), np.abs(np.hypot(*away.T) - self.radius), ends))


def segments(chain: ArcChain) -> list[Segment]:
    ends = np.roll(chain.vertices, -1, axis=0) if chain.closed else chain.vertices[1:]
    return [Segment(p, q, float(b)) for p, q, b in zip(chain.vertices, ends, chain.bulges, strict=False)]


def hausdorff(originals: Sequence[Curve], chain: ArcChain, *, samples: int = 60) -> float:
    """Greatest distance, both ways, of dense samples of one from the whole of the other."""
    made = segments(chain)
    parts = np.linspace(0, 1, 9)
    on_arcs = np.concatenate([s.at(parts) for s in made])
    there = max(0.0, *(float(a) for a in _least([nearest(c, on_arcs).distance for c in originals])))
    on_curves = np.concatenate([points(c, np.linspace(0, len(c), samples * len(c) + 1)) for c in originals])
    back = float(_least([s.distance(on_curves) for s in made]).max())
    return max(there, back)


def _least(distances: list[FloatArray]) -> FloatArray:
    return np.asarray(np.min(distances, axis=0))


def turns(chain: ArcChain) -> FloatArray:
    """Degrees between the end of each segment and the start of the next."""
    made = segments(chain)
    pairs = list(zip(made, [*made[1:], made[0]] if chain.closed else made[1:], strict=False))
    out = []
    for a, b in pairs:
        d, e = a.direction(1), b.direction(0)
        out.append(abs(math.degrees(math.atan2(d[0] * e[1] - d[1] * e[0], d @ e))))
    return np.array(out)


def assert_follows(originals: Sequence[Curve], tolerance: float, *, closed: bool = False) -> ArcChain:
    chain = fit_arcs(originals, tolerance, closed=closed)
    assert len(chain.bulges) == len(chain.vertices) - (not closed)
    assert chain.deviation <= tolerance
    np.testing.assert_array_equal(chain.vertices[0], originals[0].start)
    if not closed:
        np.testing.assert_array_equal(chain.vertices[-1], originals[-1].end)
    measured = hausdorff(originals, chain)
    assert measured <= chain.deviation + ROUNDING
    return chain


def blade() -> list[Curve]:
    """Outline of a blade and its handle, 220 mm long, counter-clockwise; corners at tip, choil and butt."""
    edge = spline([(100, -14), (150, -16), (190, -13), (220, -2)], start_deg=-2.0, end_deg=20.0)
    spine = spline([(220, -2), (170, 8), (110, 13), (40, 14), (0, 12)], start_deg=160.0)
    grip = spline([(0, -9), (20, -12), (60, -9), (95, -10), (100, -14)], end_deg=-70.0)
    return [edge, spine, line((0, 12), (0, -9)), grip]


# -- distance -------------------------------------------------------------------------------------------------------


@given(curves(), tolerances)
def test_arcs_stay_within_the_tolerance(curve: Curve, tolerance: float) -> None:
    chain = assert_follows([curve], tolerance)
    # A spline has no corner.
    assert (turns(chain) < SMOOTH_DEG).all()


@given(arcs() | lines(), tolerances)
def test_arcs_and_lines_too(curve: Curve, tolerance: float) -> None:
    chain = assert_follows([curve], tolerance)
    assert len(chain.bulges) <= 4


@draws(25)
@given(wild_pieces(), st.sampled_from([0.05, 0.001]))
def test_any_cubic_is_followed_or_refused_with_its_place(curve: Curve, tolerance: float) -> None:
    # A place where a cubic stands still and turns back, or turns within a hair's breadth, can be out of reach.
    try:
        assert_follows([curve], tolerance)
    except CurveError as error:
        refused = str(error)
    else:
        return
    x, y = curve.start
    assert refused == f"no arcs follow the curve that starts at x {x:.2f}, y {y:.2f} mm to within {tolerance:g} mm"


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.001, 1e-4])
@pytest.mark.parametrize("shift", [0.0, 1e4])
def test_hard_shapes(tolerance: float, shift: float) -> None:
    nearly_straight = spline([(0, 0), (50, 1e-4), (100, 0)])
    s_bend = spline([(0, 0), (10, 0), (12, 5), (22, 5)], start_deg=0.0, end_deg=0.0)
    tight = Curve(np.array([[[0, 0], [30, 0], [0, 0.5], [30, 0.5]]]))
    hairpin = spline([(0, 0), (40, 0), (40.4, 0.5), (40, 1), (0, 1)], start_deg=0.0, end_deg=180.0)
    coincident = Curve(np.array([[[0, 0], [20, 9], [20, 9], [40, 0]]]))
    doubled = Curve(np.array([[[0, 0], [0, 0], [20, 9], [20, 9]]]))
    for curve in (nearly_straight, s_bend, tight, hairpin, coincident, doubled):
        turned = curve.transformed(rotation(17.0)).moved(shift, -shift)
        chain = assert_follows([turned], tolerance)
        assert (turns(chain) < SMOOTH_DEG).all()


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.001])
def test_cusp_between_two_curves_is_a_corner(tolerance: float) -> None:
    # x = t^3, y = t^2 over [-1, 1], scaled by ten: it stands still at the origin and turns straight back.
    cusp = Curve(10 * np.array([[[-1, 1], [1, -1 / 3], [-1, -1 / 3], [1, 1]]]))
    before, after = split(cusp, 0.5)
    chain = assert_follows([before, after], tolerance)
    assert before.end in {(float(x), float(y)) for x, y in chain.vertices}


# -- lines, corners and true arcs -----------------------------------------------------------------------------------


@draws(25)
@given(st.integers(3, 9), st.floats(0.0, 360.0), tolerances)
def test_polygon_comes_back_as_it_is(n: int, heading: float, tolerance: float) -> None:
    around = np.radians(heading + 360 * np.arange(n + 1) / n)
    vertices = [(50 * float(np.cos(a)), 50 * float(np.sin(a))) for a in around[:-1]]
    sides = [line(p, q) for p, q in zip(vertices, [*vertices[1:], vertices[0]], strict=True)]
    chain = fit_arcs(sides, tolerance, closed=True)
    np.testing.assert_array_equal(chain.vertices, vertices)
    np.testing.assert_array_equal(chain.bulges, np.zeros(n))
    assert chain.deviation < ROUNDING
    again = fit_arcs([line(*vertices, vertices[0])], tolerance, closed=True)
    np.testing.assert_array_equal(again.vertices, chain.vertices)


def test_lines_in_a_row_are_one() -> None:
    chain = fit_arcs([line((0, 0), (10, 0), (30, 0)), line((30, 0), (31, 0))], 0.01, closed=False)
    np.testing.assert_array_equal(chain.vertices, [(0, 0), (31, 0)])
    np.testing.assert_array_equal(chain.bulges, [0])


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.001])
@pytest.mark.parametrize("shift", [0.0, 1e4])
def test_line_that_a_curve_carries_on_without_a_bend_stays_a_line(tolerance: float, shift: float) -> None:
    # A natural end has no curvature, as the line has none: nothing jumps, and yet the line ends there.
    bent = spline([(30, 0), (60, -3), (90, -20)])
    d = bent.start_direction
    straight = line((30 - 30 * d[0], -30 * d[1]), (30, 0))
    chain = assert_follows([straight.moved(shift, -shift), bent.moved(shift, -shift)], tolerance)
    np.testing.assert_array_equal(chain.vertices[1], (30 + shift, -shift))
    assert chain.bulges[0] == 0
    assert (chain.bulges[1:] != 0).all()


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.001])
@pytest.mark.parametrize("radius", [0.5, 5.0, 120.0])
@pytest.mark.parametrize("sweep", [20.0, -90.0, 135.0, -270.0, 360.0])
def test_true_arc_comes_back(radius: float, sweep: float, tolerance: float) -> None:
    # At most a half circle in one segment; radius as true as the drawn arc.
    chain = fit_arcs([arc((7, -3), radius, 25.0, sweep)], tolerance, closed=False)
    made = segments(chain)
    assert len(made) <= math.ceil(abs(sweep) / 180) + 1
    for s in made:
        assert s.radius == pytest.approx(radius, rel=2e-6)
        assert math.copysign(1.0, s.bulge) == math.copysign(1.0, sweep)
        assert abs(s.bulge) <= 1 + 1e-12
    assert sum(math.degrees(s.sweep) for s in made) == pytest.approx(sweep, abs=1e-3)


@pytest.mark.parametrize("tolerance", [0.05, 0.01, 0.001, 1e-4])
def test_rounded_rectangle_is_four_lines_and_four_arcs(tolerance: float) -> None:
    middle = line((12.5, 0), (25, 0))
    rest = [line((25, 0), (25, 18)), line((25, 18), (0, 18)), line((0, 18), (0, 0)), line((0, 0), (12.5, 0))]
    loop = filleted(middle, *rest, radius=5.0)
    chain = assert_follows([loop], tolerance, closed=True)
    # The first side is cut in two by the start of the loop; bulge of a quarter circle: tan(90/4 deg).
    quarter = math.tan(math.radians(22.5))
    np.testing.assert_allclose(chain.bulges, [0, quarter, 0, quarter, 0, quarter, 0, quarter, 0], atol=1e-6)
    assert (chain.bulges[::2] == 0).all()


@draws(25)
@given(st.lists(curves(most=3), min_size=2, max_size=3), st.sampled_from([0.05, 0.001]))
def test_every_corner_is_a_vertex(parts: list[Curve], tolerance: float) -> None:
    chained = [parts[0]]
    for part in parts[1:]:
        (ex, ey), (sx, sy) = chained[-1].end, part.start
        moved = part.moved(ex - sx, ey - sy)
        # Moving rounds; the corner is then the end of the curve before.
        chained.append(Curve(np.concatenate([[[chained[-1].end, *moved.pieces[0, 1:]]], moved.pieces[1:]])))
    chain = fit_arcs(chained, tolerance, closed=False)
    vertices = {(float(x), float(y)) for x, y in chain.vertices}
    for a, b in itertools.pairwise(chained):
        d, e = a.end_direction, b.start_direction
        if abs(math.degrees(math.atan2(d[0] * e[1] - d[1] * e[0], d[0] * e[0] + d[1] * e[1]))) > SMOOTH_DEG:
            assert a.end in vertices
    assert hausdorff(chained, chain) <= tolerance + ROUNDING


# -- outlines -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("tolerance", "most"), [(0.05, 27), (0.01, 43), (0.001, 82), (1e-4, 180)])
def test_outline_of_a_blade(tolerance: float, most: int) -> None:
    """Numbers of segments by own measurement (25, 39, 75, 163) and a tenth to spare.

    The deviation of a biarc is of third order in its length, so that ten times the accuracy takes 2.15 times as many.
    """
    outline = blade()
    chain = assert_follows(outline, tolerance, closed=True)
    assert len(chain.bulges) <= most
    assert min(s.length for s in segments(chain)) > 0.05
    corners = {c.start for c in outline}
    following = [(float(x), float(y)) for x, y in np.roll(chain.vertices, -1, axis=0)]
    assert corners <= set(following)
    assert max(t for t, v in zip(turns(chain), following, strict=True) if v not in corners) < SMOOTH_DEG


@draws(25)
@given(curves(turn_deg=40.0), st.sampled_from([0.05, 0.01, 0.001]))
def test_no_segment_is_tiny(curve: Curve, tolerance: float) -> None:
    chain = fit_arcs([curve], tolerance, closed=False)
    assert min(s.length for s in segments(chain)) > 0.05


def test_closed_chain_does_not_repeat_its_first_vertex() -> None:
    circle = arc((0, 0), 10.0, 0.0, 360.0)
    chain = assert_follows([circle], 0.01, closed=True)
    away = np.hypot(*(chain.vertices - chain.vertices[0]).T)
    assert (away[1:] > 1.0).all()
    area = math.pi * 10**2
    # Polygon of the vertices and the circular segments over its sides: r^2 (sweep - sin sweep) / 2.
    x, y = chain.vertices.T
    polygon = float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2
    caps = sum(s.radius**2 * (s.sweep - math.sin(s.sweep)) / 2 for s in segments(chain))
    assert polygon + caps == pytest.approx(area, rel=1e-6)


def test_chain_cannot_be_written() -> None:
    chain = fit_arcs([arc((0, 0), 10.0, 0.0, 90.0)], 0.01, closed=False)
    for array in (chain.vertices, chain.bulges):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0.0
    with pytest.raises(FrozenInstanceError):
        chain.closed = True  # type: ignore[misc]


# -- errors ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("tolerance", [0.0, -0.01, math.nan, math.inf])
def test_tolerance_must_be_positive(tolerance: float) -> None:
    with pytest.raises(CurveError) as caught:
        fit_arcs([line((0, 0), (3, 0))], tolerance, closed=False)
    assert_facts(caught.value, value=tolerance, limit=0.0)


def test_tolerance_out_of_reach_names_the_place() -> None:
    with pytest.raises(CurveError) as caught:
        fit_arcs([spline([(1, 2), (30, 8), (70, 2)])], 1e-13, closed=False)
    assert_facts(caught.value, at=(1.0, 2.0), limit=1e-13)


def test_curves_must_follow_each_other() -> None:
    with pytest.raises(CurveError) as caught:
        fit_arcs([line((0, 0), (3, 0)), line((3.5, 0), (9, 0))], 0.01, closed=False)
    assert_facts(caught.value, at=(3.0, 0.0), value=0.5)


def test_closed_chain_must_close() -> None:
    with pytest.raises(CurveError) as caught:
        fit_arcs([line((0, 0), (3, 0), (3, 4))], 0.01, closed=True)
    assert_facts(caught.value, at=(3.0, 4.0), value=5.0)


def test_no_curves() -> None:
    with pytest.raises(CurveError, match="at least one curve"):
        fit_arcs([], 0.01, closed=False)


def test_joined_curves_are_one_stretch() -> None:
    curve = spline([(0, 0), (30, 8), (70, 2), (90, -11)])
    pieces = [Curve(curve.pieces[i : i + 1]) for i in range(3)]
    whole, parts = fit_arcs([join(*pieces)], 0.01, closed=False), fit_arcs(pieces, 0.01, closed=False)
    np.testing.assert_array_equal(whole.vertices, parts.vertices)
