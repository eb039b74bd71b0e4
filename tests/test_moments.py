"""Moments of simple solids against their closed forms, and the rules by which they add up."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bladegeom.curves.build import arc
from bladegeom.curves.measure import loop_moments
from bladegeom.solids.moments import NOTHING, Moments, of_layers, of_slab

numbers = st.floats(-50.0, 50.0)
sizes = st.floats(0.5, 60.0)


def rectangle(x: float, y: float, a: float, b: float) -> list[float]:
    """Integrals of 1, x, y, x^2, x y, y^2 over an a x b rectangle about (x, y). Source: closed form."""
    area = a * b
    return [area, area * x, area * y, area * (x * x + a * a / 12), area * x * y, area * (y * y + b * b / 12)]


def box(x: float, y: float, a: float, b: float, t: float) -> Moments:
    """A box from the middle plane up to t."""
    return of_slab(np.array(rectangle(x, y, a, b)), t)


@given(numbers, numbers, sizes, sizes, sizes)
def test_box(x: float, y: float, a: float, b: float, t: float) -> None:
    # Source: closed form: V = a b t, centre in its middle, V (side)^2 / 12 about it along each axis.
    solid = box(x, y, a, b, t)
    volume = a * b * t
    assert solid.amount == pytest.approx(volume, rel=1e-12)
    assert solid.centre == pytest.approx((x, y, t / 2), rel=1e-12, abs=1e-12)
    np.testing.assert_allclose(
        solid.central(), np.diag(volume * np.array([a * a, b * b, t * t]) / 12), rtol=1e-7, atol=1e-9 * volume * 1e4
    )
    assert solid.polar(x, y) == pytest.approx(volume * (a * a + b * b) / 12, rel=1e-7, abs=1e-6)


@given(numbers, numbers, numbers, numbers, sizes, sizes)
def test_parallel_axis(x: float, y: float, px: float, py: float, a: float, b: float) -> None:
    # Source: Steiner's theorem: I_p = I_c + V r^2.
    solid = box(x, y, a, b, 3.0)
    about_centre, r2 = solid.polar(x, y), (px - x) ** 2 + (py - y) ** 2
    assert solid.polar(px, py) == pytest.approx(about_centre + solid.amount * r2, rel=1e-9, abs=1e-5)
    central = solid.central()
    assert central[0, 0] + central[1, 1] == pytest.approx(about_centre, rel=1e-7, abs=1e-5)


@pytest.mark.parametrize(("radius", "height"), [(3.175, 4.0), (40.0, 2.5)])
def test_disc(radius: float, height: float) -> None:
    # Source: closed form: V = pi r^2 t, polar V r^2 / 2, across it V (3 r^2 + t^2) / 12.
    area = loop_moments(arc((12.0, -7.0), radius, 0.0, 360.0).pieces)
    solid = of_slab(area, height)
    volume = math.pi * radius**2 * height
    assert solid.amount == pytest.approx(volume, rel=1e-6)
    assert solid.centre == pytest.approx((12.0, -7.0, height / 2), abs=1e-6)
    assert solid.polar(12.0, -7.0) == pytest.approx(volume * radius**2 / 2, rel=2e-6)
    xx, yy, zz = np.diag(solid.central())
    assert yy + zz == pytest.approx(volume * (3 * radius**2 + height**2) / 12, rel=2e-6)
    assert xx + zz == pytest.approx(volume * (3 * radius**2 + height**2) / 12, rel=2e-6)


def test_tetrahedron_by_layers() -> None:
    # A corner tetrahedron with legs a, b, c: s = c (1 - x / a - y / b) over a right triangle.
    # Source: closed form: integral of x^i y^j z^k is a^(i+1) b^(j+1) c^(k+1) i! j! k! / (i + j + k + 3)!.
    a, b, c = 5.0, 8.0, 3.0

    def integral(i: int, j: int, k: int) -> float:
        f = math.factorial
        return a ** (i + 1) * b ** (j + 1) * c ** (k + 1) * f(i) * f(j) * f(k) / f(i + j + k + 3)

    degree = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2)]
    # The integral over z of z^k gives s^(k + 1) / (k + 1): the layers that the function asks for.
    layers = np.array([[integral(i, j, k) for i, j in degree] for k in range(3)])
    first = [(0, 0, 0), (1, 0, 0), (0, 1, 0), (0, 0, 1)]
    want = [*first, (2, 0, 0), (0, 2, 0), (0, 0, 2), (1, 1, 0), (1, 0, 1), (0, 1, 1)]
    solid = of_layers(layers)
    np.testing.assert_allclose(solid.values, [integral(*ijk) for ijk in want], rtol=1e-12)
    assert solid.centre == pytest.approx((a / 4, b / 4, c / 4), rel=1e-12)


def test_a_slab_below_is_the_mirror_image_of_one_above() -> None:
    above, below = box(3.0, 4.0, 10.0, 6.0, 2.0), box(3.0, 4.0, 10.0, 6.0, -2.0)
    np.testing.assert_array_equal(below.values, above.mirrored().values)
    assert below.centre == pytest.approx((3.0, 4.0, -1.0))
    np.testing.assert_array_equal(above.mirrored().mirrored().values, above.values)
    both = above + below
    assert both.centre == pytest.approx((3.0, 4.0, 0.0))
    # Source: closed form of a box 4 thick about its middle plane.
    assert both.central()[2, 2] == pytest.approx(10.0 * 6.0 * 4.0**3 / 12)


@given(st.lists(st.tuples(numbers, numbers, sizes, sizes), min_size=1, max_size=4))
def test_what_is_added_can_be_taken_away(boxes: list[tuple[float, float, float, float]]) -> None:
    solids = [box(*b, 2.0) for b in boxes]
    total = sum(solids, NOTHING)
    rest = total - sum(solids[1:], NOTHING)
    np.testing.assert_allclose(rest.values, solids[0].values, rtol=1e-9, atol=1e-8 * np.abs(total.values).max())


def test_balance_of_two_bodies() -> None:
    # Source: closed form: (m1 x1 + m2 x2) / (m1 + m2); here 60 mm3 at 0 and 180 mm3 at 40.
    two = box(0.0, 0.0, 5.0, 6.0, 2.0) + box(40.0, 0.0, 15.0, 6.0, 2.0)
    assert two.centre[0] == pytest.approx(180.0 * 40.0 / 240.0)


def test_mass_is_volume_times_density() -> None:
    solid = box(1.0, 2.0, 3.0, 4.0, 5.0)
    np.testing.assert_allclose(solid.times(7.85e-3).values, 7.85e-3 * solid.values)
    assert solid.times(7.85e-3).centre == pytest.approx(solid.centre)


def test_nothing_has_no_centre() -> None:
    assert NOTHING.amount == 0.0
    assert all(math.isnan(v) for v in NOTHING.centre)


def test_moments_cannot_be_changed() -> None:
    given_values = np.arange(10.0)
    solid = Moments(given_values)
    with pytest.raises(ValueError, match="read-only"):
        solid.values[0] = 1.0
    given_values[0] = 99.0
    assert solid.amount == 0.0
    with pytest.raises(AttributeError):
        solid.values = given_values  # type: ignore[misc]
