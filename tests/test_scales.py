"""Roundings against closed forms, the swell of a scale, and declarations that are refused."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from scipy.integrate import quad

from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.quantities.errors import BladegeomError, ParameterError, UnknownNameError
from bladegeom.quantities.materials import material


def scales(**more: Any) -> Scales:
    return Scales(**{"slab": "NEMA L", "thickness": 8.0, **more})


@st.composite
def roundings(draw: st.DrawFn) -> Rounding:
    width = draw(st.floats(0.3, 15.0))
    return Rounding(width=width, depth=width * draw(st.floats(0.05, 1.0)))


def drop(rounding: Rounding, distance: float) -> float:
    return float(rounding.drop(np.array([distance]))[0])


def gone(rounding: Rounding) -> float:
    """Area that a rounding takes off a section square to the border, mm2."""
    # The parameter t with d = w (1 - cos t) makes the quarter circle's upright end smooth.
    w = rounding.width
    area, _ = quad(lambda t: drop(rounding, w * (1 - math.cos(t))) * w * math.sin(t), 0.0, math.pi / 2, epsabs=1e-12)
    return area


# Roundings.


@given(st.floats(0.3, 15.0))
def test_a_quarter_circle(r: float) -> None:
    # Source: closed form: of the square over the radius pi / 4 is left.
    rounding = Rounding(width=r, depth=r)
    assert rounding.radius == pytest.approx(r)
    assert gone(rounding) == pytest.approx((1 - math.pi / 4) * r * r, rel=1e-8)
    assert drop(rounding, 0.0) == pytest.approx(r)
    # At 30 degrees up the circle.
    assert drop(rounding, r * (1 - math.cos(math.radians(30)))) == pytest.approx(r * 0.5, rel=1e-9)


@given(roundings())
def test_the_area_above_a_dome_s_arc(rounding: Rounding) -> None:
    # Source: closed form: the rectangle of width and depth, less half the circle's segment of that height.
    half = math.asin(min(rounding.width / rounding.radius, 1.0))
    if rounding.depth == rounding.width:
        half = math.pi / 2
    segment = rounding.radius**2 * (half - math.sin(half) * math.cos(half)) / 2
    assert gone(rounding) == pytest.approx(rounding.width * rounding.depth - segment, rel=1e-6)


@given(roundings(), st.floats(0.0, 1.0))
def test_the_face_is_an_arc_that_is_tangent_to_the_flat(rounding: Rounding, share: float) -> None:
    # The arc's centre lies below the place where the flat begins, a radius deep.
    d = share * rounding.width
    from_centre = math.hypot(rounding.width - d, rounding.radius - drop(rounding, d))
    assert from_centre == pytest.approx(rounding.radius, rel=1e-9)
    assert drop(rounding, 0.0) == pytest.approx(rounding.depth, rel=1e-9)
    assert drop(rounding, rounding.width) == 0.0
    step = 1e-4 * rounding.width
    assert abs(drop(rounding, rounding.width - step)) <= step * 1e-3


@given(roundings(), st.floats(0.0, 30.0))
def test_beyond_its_width_it_never_takes_anything(rounding: Rounding, further: float) -> None:
    beyond = drop(rounding, rounding.width + further)
    assert beyond <= 0.0
    # With the arc's own curvature, so that the change of law is met at second order.
    assert beyond == pytest.approx(-(further**2) / (2 * rounding.radius), abs=1e-12)


def test_the_radius_of_a_dome() -> None:
    # Source: closed form: a dome of 12 by 2 mm has a radius of (144 + 4) / 4 = 37.
    assert Rounding(width=12.0, depth=2.0).radius == pytest.approx(37.0)


@given(roundings(), st.floats(1.0, 3.0), st.floats(0.0, 20.0))
def test_deeper_and_wider_take_more(rounding: Rounding, factor: float, distance: float) -> None:
    deeper = Rounding(width=rounding.width, depth=min(rounding.depth * factor, rounding.width))
    wider = Rounding(width=rounding.width * factor, depth=rounding.depth)
    took = max(drop(rounding, distance), 0.0)
    assert max(drop(deeper, distance), 0.0) >= took - 1e-9
    assert max(drop(wider, distance), 0.0) >= took - 1e-9


# The flat of a scale.


def test_an_even_scale() -> None:
    x = np.array([-200.0, -50.0, 30.0])
    assert scales().flat(x).tolist() == [8.0] * 3
    assert scales().is_flat
    assert scales().slab_thickness == 8.5
    assert scales(sanding=0.0).slab_thickness == 8.0


def test_a_swelled_scale() -> None:
    # Source: closed form: level at every station here, so each stretch is 3 t^2 - 2 t^3 of its rise.
    slabs = scales(swell=((-110.0, 6.0), (-60.0, 8.0), (0.0, 6.5)))
    assert not slabs.is_flat
    x = np.array([-150.0, -110.0, -97.5, -85.0, -60.0, -30.0, 0.0, 20.0])
    wanted = [6.0, 6.0, 6.0 + 2.0 * 5 / 32, 7.0, 8.0, 7.25, 6.5, 6.5]
    assert slabs.flat(x) == pytest.approx(wanted)


@pytest.mark.parametrize(
    "more",
    [
        {"swell": ((0.0, 8.0),)},
        {"rounding": Rounding(width=1.0, depth=1.0)},
        {"front_rounding": Rounding(width=1.0, depth=1.0)},
    ],
)
def test_what_makes_a_scale_not_flat(more: dict[str, Any]) -> None:
    assert not scales(**more).is_flat


def test_one_rounding_or_several() -> None:
    edge, dome = Rounding(width=2.0, depth=2.0), Rounding(width=10.0, depth=2.0)
    assert scales(rounding=edge).roundings == (edge,)
    assert scales(rounding=edge) == scales(rounding=(edge,)) == scales(rounding=[edge])
    assert scales(rounding=(dome, edge)).roundings == (dome, edge)
    assert scales().roundings == ()


def test_liners_add_up() -> None:
    liners = [Liner(sheet="NEMA G-10", thickness=0.8), Liner(sheet="6061", thickness=0.4)]
    slabs = scales(liners=liners)
    assert slabs.liner == pytest.approx(1.2)
    liners.clear()
    assert len(slabs.liners) == 2
    assert scales().liner == 0.0
    own = dataclasses.replace(material("NEMA G-10"), name="own sheet", density_g_cm3=1.83)
    assert Liner(sheet=own, thickness=0.8).material is own
    assert slabs.liners[0].material.density_g_cm3 == 1.80


def test_scales_keep_no_list() -> None:
    stations: Any = [[-100.0, 6.0], [0.0, 7.0]]
    slabs = scales(swell=stations)
    stations[0][1] = 1.0
    assert slabs.swell == ((-100.0, 6.0), (0.0, 7.0))
    assert hash(slabs) == hash(dataclasses.replace(slabs))


ROUND, DEEP = Rounding(width=4.0, depth=4.0), Rounding(width=9.0, depth=4.0)


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (
            lambda: Rounding(width=2.0, depth=3.0),
            "rounding: depth | 2.00 mm",
        ),
        (lambda: Rounding(width=0.0, depth=1.0), "rounding: width | 0"),
        (lambda: Rounding(width=2.0, depth=-1.0), "rounding: depth | 0"),
        (lambda: Rounding(width=math.nan, depth=1.0), "rounding: width | 0"),
        (lambda: Liner(sheet="NEMA G-10", thickness=0.0), "liner: thickness | 0"),
        (lambda: scales(thickness=0.0), "scales: thickness | 0"),
        (lambda: scales(sanding=-0.1), "scales: sanding | 0"),
        (lambda: scales(overhang=-1.0), "scales: overhang | 0"),
        (lambda: scales(margin=math.inf), "scales: margin | 0"),
        (
            lambda: scales(swell=((-50.0, 9.0),)),
            "scales: swell at x -50 mm | 8.00 mm",
        ),
        (lambda: scales(swell=((-50.0, 0.0),)), "scales: number 1 of swell | 0"),
        (
            lambda: scales(swell=((-50.0, 7.0), (-50.0, 6.0))),
            "scales: swell",
        ),
        (
            lambda: scales(swell=((0.0, 7.0), (-50.0, 6.0))),
            "scales: swell",
        ),
        (
            lambda: scales(swell=((math.nan, 7.0),)),
            "scales: number 1 of swell",
        ),
        (
            lambda: scales(swell=((1.0, 2.0, 3.0),)),
            "scales: swell",
        ),
        (
            lambda: scales(swell=(-50.0, 7.0)),
            "scales: swell | swell=((",
        ),
        (
            lambda: scales(rounding=(2.0,)),
            "scales: rounding | rounding=Rounding",
        ),
        (
            lambda: scales(front_rounding=2.0),
            "scales: front_rounding | front_rounding=Rounding",
        ),
        (
            lambda: scales(rounding=(ROUND, DEEP)),
            "scales: rounding depth | 8.00 mm",
        ),
        (
            lambda: scales(rounding=ROUND, front_rounding=ROUND),
            "scales: rounding depth | 8.00 mm",
        ),
        (
            lambda: scales(rounding=ROUND, swell=((-50.0, 8.0), (0.0, 4.0))),
            "scales: rounding depth | 4.00 mm",
        ),
    ],
)
def test_one_message_for_each_wrong_value(make: Callable[[], object], told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        make()
    assert_refused(caught.value, told)


def test_liners_come_in_a_tuple() -> None:
    with pytest.raises(ParameterError) as caught:
        scales(liners=Liner(sheet="NEMA G-10", thickness=0.8))
    assert_refused(caught.value, 'scales: liners | (Liner(sheet="NEMA G-10", thickness=0.8),), with its comma')


@pytest.mark.parametrize("make", [lambda: scales(slab="ebonny"), lambda: Liner(sheet="NEMA GG", thickness=1.0)])
def test_unknown_materials(make: Callable[[], object]) -> None:
    with pytest.raises(UnknownNameError, match="material") as caught:
        make()
    assert isinstance(caught.value, BladegeomError)


@pytest.mark.parametrize("value", [scales(), Liner(sheet="NEMA G-10", thickness=0.8), Rounding(width=2.0, depth=1.0)])
def test_values_cannot_be_changed(value: Any) -> None:
    for f in dataclasses.fields(value):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(value, f.name, 1.0)
