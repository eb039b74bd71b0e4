"""Holes and slots: what they refuse, where their rims are, and how much they take out."""

from __future__ import annotations

import dataclasses
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused

from bladegeom.curves.curve import points
from bladegeom.curves.measure import curve_length, loop_moments
from bladegeom.knife.hole import Hole, Opening, Slot, axis_points
from bladegeom.quantities.errors import ParameterError

numbers = st.floats(-150.0, 150.0)
sizes = st.floats(0.5, 20.0)

ROUND: dict[str, Any] = {"x": -30.0, "y": -12.0, "diameter": 6.35, "purpose": "fastener"}
LONG: dict[str, Any] = {"start": (-50.0, -12.0), "end": (-38.0, -12.0), "diameter": 8.0, "purpose": "lightening"}


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"x": math.nan}, "hole: x"),
        ({"y": math.inf}, "hole: y"),
        ({"x": "3"}, "hole: x | length("),
        ({"x": True}, "hole: x"),
        ({"diameter": 0.0}, "hole: diameter | 0"),
        ({"diameter": -6.0}, "hole: diameter | 0"),
        ({"diameter": math.nan}, "hole: diameter | 0"),
        ({"purpose": "beauty"}, "hole: purpose | 'fastener' | 'lightening' | 'lanyard'"),
        ({"made": "punched"}, "hole: made | 'cut' | 'drilled' | 'reamed'"),
    ],
)
def test_hole_refuses(wrong: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        Hole(**{**ROUND, **wrong})
    assert_refused(caught.value, told)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"end": (-50.0, -12.0)}, "slot: end"),
        ({"diameter": -8.0}, "slot: diameter | 0"),
        (
            {"start": (math.nan, 0.0)},
            "slot: start",
        ),
        ({"end": (1.0, 2.0, 3.0)}, "slot: end"),
        ({"end": None}, "slot: end"),
        ({"start": [0.0]}, "slot: start"),
        ({"purpose": ""}, "slot: purpose | 'lanyard'"),
    ],
)
def test_slot_refuses(wrong: dict[str, Any], told: str) -> None:
    with pytest.raises(ParameterError) as caught:
        Slot(**{**LONG, **wrong})
    assert_refused(caught.value, told)


def test_numbers_of_other_kinds_are_numbers() -> None:
    hole = Hole(x=np.int64(-30), y=np.float32(-12.0), diameter=np.float64(6.0), purpose="lightening")  # type: ignore[arg-type]
    assert hole.moments[0] == pytest.approx(math.pi * 9.0)


@pytest.mark.parametrize("opening", [Hole(**ROUND), Slot(**LONG)])
def test_openings_cannot_be_changed(opening: Opening) -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        opening.diameter = 3.0  # type: ignore[misc]
    opening.axis[:] = 0.0
    assert abs(opening.axis).max() > 0
    assert hash(opening) == hash(dataclasses.replace(opening))


@given(numbers, numbers, sizes)
def test_round_hole(x: float, y: float, d: float) -> None:
    hole = Hole(x=x, y=y, diameter=d, purpose="lightening")
    # Source: closed form: pi d^2 / 4; second moment about its centre pi d^4 / 64 along each axis.
    area = math.pi * d * d / 4
    n, mx, my, xx, xy, yy = hole.moments
    assert n == pytest.approx(area, rel=1e-12)
    assert (mx, my, xy) == pytest.approx((area * x, area * y, area * x * y), rel=1e-12)
    assert xx - area * x * x == pytest.approx(math.pi * d**4 / 64, rel=1e-6, abs=1e-9 * area * 150**2)
    assert yy - area * y * y == pytest.approx(math.pi * d**4 / 64, rel=1e-6, abs=1e-9 * area * 150**2)
    # The rim as drawn is the circle, counter-clockwise.
    np.testing.assert_allclose(loop_moments(hole.outline.pieces)[0], area, rtol=2e-6)
    rim = points(hole.outline, np.linspace(0.0, len(hole.outline), 97))
    np.testing.assert_allclose(np.hypot(rim[:, 0] - x, rim[:, 1] - y), d / 2, rtol=1e-6)


def test_slot_of_20_by_8() -> None:
    # Source: closed form, w (l - w) + pi w^2 / 4 = 146.265482 mm2 for 20 x 8.
    slot = Slot(**LONG)
    assert slot.moments[0] == pytest.approx(146.265482, rel=1e-6)
    assert (slot.x, slot.y) == (-44.0, -12.0)
    assert curve_length(slot.outline) == pytest.approx(2 * 12.0 + math.pi * 8.0, rel=1e-6)


@given(st.tuples(numbers, numbers), st.floats(0.5, 40.0), st.floats(0.0, 360.0), sizes)
def test_slot_in_any_direction(start: tuple[float, float], run: float, turn: float, d: float) -> None:
    # Source: closed form, along its length a about its middle: d a^3 / 12 + two half discs at a / 2:
    # pi r^4 / 4 + pi r^2 a^2 / 4 + 4 r^3 a / 3 / 2 x 2 / 2, see below; across: a d^3 / 12 + pi r^4 / 4.
    u = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    end = (start[0] + run * u[0], start[1] + run * u[1])
    n, mx, my, xx, xy, yy = Slot(start=start, end=end, diameter=d, purpose="lightening").moments
    r = d / 2
    assert n == pytest.approx(run * d + math.pi * r * r, rel=1e-6)
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    assert (mx / n, my / n) == pytest.approx((x, y), abs=1e-4)
    # A half disc's first moment about its straight side is 2 r^3 / 3, so both give 2 (a / 2)(2 r^3 / 3) x 2.
    along = d * run**3 / 12 + math.pi * r**4 / 4 + math.pi * r * r * run**2 / 4 + 4 * r**3 * run / 3
    across = run * d**3 / 12 + math.pi * r**4 / 4
    sxx, sxy, syy = xx - n * x * x, xy - n * x * y, yy - n * y * y
    slack = 1e-6 * n * 200.0**2
    assert sxx * u[0] ** 2 + 2 * sxy * u[0] * u[1] + syy * u[1] ** 2 == pytest.approx(along, rel=2e-6, abs=slack)
    assert sxx * u[1] ** 2 - 2 * sxy * u[0] * u[1] + syy * u[0] ** 2 == pytest.approx(across, rel=2e-6, abs=slack)


def test_axes() -> None:
    both = axis_points([Hole(**ROUND), Slot(**LONG)])
    np.testing.assert_array_equal(both, [[[-30.0, -12.0], [-30.0, -12.0]], [[-50.0, -12.0], [-38.0, -12.0]]])
    assert axis_points([]).shape == (0, 2, 2)
