"""Cantilevers against closed forms: uniform, tapered, with a long slot."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from specimens import bar_outline, ground, tang_outline

from bladegeom.body.hole import Hole, Opening, Slot
from bladegeom.body.knife import Knife
from bladegeom.body.stock import Stock
from bladegeom.quantities.errors import ParameterError
from bladegeom.reason.deflection import LOAD_AHEAD, deflection, lightening_deflection

HIGH, THICK, LONG = 30.0, 4.0, 100.0 - LOAD_AHEAD
"""Of the bar's tang, and from load to clamp, mm."""


def bar(*holes: Opening, taper: tuple[tuple[float, float], ...] = (), **more: Any) -> Knife:
    knife = ground(bar_outline(), holes=holes, **more)
    return dataclasses.replace(knife, stock=Stock(steel="1084", thickness=THICK, taper=taper))


def test_a_uniform_cantilever() -> None:
    # Source: L^3 / (3 I) for a unit load at the end.
    got = deflection(bar())
    assert got.sideways == pytest.approx(LONG**3 / (3 * HIGH * THICK**3 / 12), rel=1e-12)
    assert got.edgewise == pytest.approx(LONG**3 / (3 * THICK * HIGH**3 / 12), rel=1e-12)


def linear(size: float, more: float) -> float:
    """Integral of s^2 / (a + k s) from 0 to L; a at the load, b at the clamp, k = (b - a) / L."""
    k = (more - size) / LONG
    primitive = [u * u / 2 - 2 * size * u + size**2 * math.log(u) for u in (size, more)]
    return (primitive[1] - primitive[0]) / k**3


def cubic(size: float, more: float) -> float:
    """Integral of s^2 / (a + k s)^3 from 0 to L."""
    k = (more - size) / LONG
    primitive = [math.log(u) + 2 * size / u - size**2 / (2 * u * u) for u in (size, more)]
    return (primitive[1] - primitive[0]) / k**3


@given(st.floats(1.0, 3.8))
def test_a_tapered_bar(thin: float) -> None:
    # Source: unit load method with I = h t^3 / 12 and t h^3 / 12, t linear from the load to the clamp.
    got = deflection(bar(taper=((-LONG, thin), (0.0, THICK))))
    assert got.sideways == pytest.approx(12 / HIGH * cubic(thin, THICK), rel=1e-8)
    assert got.edgewise == pytest.approx(12 / HIGH**3 * linear(thin, THICK), rel=1e-8)


def test_a_taper_that_begins_half_way() -> None:
    # Source: the unit load method piece by piece: 2 mm up to x -61.7, then linear to 4 mm at the clamp.
    start = -61.7
    got = deflection(bar(taper=((start, 2.0), (0.0, 4.0))))

    def thick(x: float) -> float:
        return 2.0 + 2.0 * max((x - start) / -start, 0.0)

    for value, power, unit in ((got.sideways, 3, 12 / HIGH), (got.edgewise, 1, 12 / HIGH**3)):
        want = sum(
            quad(lambda x, power=power: (x + LONG) ** 2 / thick(x) ** power, a, b, epsrel=1e-12)[0]
            for a, b in ((-LONG, start), (start, 0.0))
        )
        assert value == pytest.approx(unit * want, rel=1e-10)


def test_a_tang_that_narrows_to_the_butt() -> None:
    # 25 mm high at the clamp, 15 mm at the butt: the same integrals, height and thickness changed over.
    got = deflection(ground(tang_outline([(-100.0, -5.0)], [(-100.0, -20.0)])))
    low = 15.0 + 10.0 * LOAD_AHEAD / 100.0
    assert got.sideways == pytest.approx(12 / THICK**3 * linear(low, 25.0), rel=1e-9)
    assert got.edgewise == pytest.approx(12 / THICK * cubic(low, 25.0), rel=1e-9)


def test_a_plate_with_a_long_slot() -> None:
    # Source: the integral piece by piece: full, end of the slot as a half circle, slot, half circle, full.
    d, near, far = 10.0, 21.3, 68.9
    start, end = -near - d / 2, -far + d / 2
    slot = Slot(start=(start, -15.0), end=(end, -15.0), diameter=d, purpose="lightening")

    def inertia(x: float) -> tuple[float, float]:
        beside = max(x - start, end - x, 0.0)
        gone = 2 * math.sqrt(max((d / 2) ** 2 - beside**2, 0.0)) if -far <= x <= -near else 0.0
        return THICK**3 * (HIGH - gone) / 12, THICK * (HIGH**3 - gone**3) / 12

    got = deflection(bar(slot))
    for plane, value in enumerate((got.sideways, got.edgewise)):
        ends = [-LONG, -far, end, start, -near, 0.0]
        want = sum(
            quad(lambda x, plane=plane: (x + LONG) ** 2 / inertia(x)[plane], a, b, epsrel=1e-12)[0]
            for a, b in itertools.pairwise(ends)
        )
        assert value == pytest.approx(want, rel=1e-9)
    # It bends more than the solid plate and less than one that is so low all along.
    ratio = lightening_deflection(bar(slot))
    assert 1.0 < ratio.edgewise < ratio.sideways < HIGH / (HIGH - d)


def test_only_lightening_holes_make_the_difference() -> None:
    pin = Hole(x=-30.0, y=-15.0, diameter=6.0, purpose="fastener")
    light = Hole(x=-60.0, y=-15.0, diameter=10.0, purpose="lightening")
    assert lightening_deflection(bar(pin)).sideways == 1.0
    ratio, both, without = lightening_deflection(bar(pin, light)), deflection(bar(pin, light)), deflection(bar(pin))
    assert ratio.sideways == both.sideways / without.sideways > 1.0
    assert ratio.edgewise == both.over(without).edgewise > 1.0


@given(st.floats(-85.0, -25.0), st.floats(-12.0, -3.0))
def test_nearer_to_the_clamp_a_hole_costs_more(x: float, nearer: float) -> None:
    near, far = (
        lightening_deflection(bar(Hole(x=place, y=-15.0, diameter=8.0, purpose="lightening")))
        for place in (x - nearer, x)
    )
    assert near.sideways > far.sideways > 1.0
    assert near.edgewise > far.edgewise > 1.0


def test_a_tang_cut_through_holds_nothing() -> None:
    cut = Slot(start=(-40.0, -15.0), end=(-50.0, -15.0), diameter=40.0, purpose="lightening")
    got = lightening_deflection(bar(cut))
    assert (got.sideways, got.edgewise) == (math.inf, math.inf)


def test_a_tang_too_short() -> None:
    with pytest.raises(ParameterError, match=r"tang: length = 4.00 mm: it must be more than 5 mm"):
        deflection(ground(bar_outline(tang=4.0)))
