"""How thick the steel is at a place, against the laws of its two sides."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from specimens import bar_outline, ground

from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import FlatBevel
from bladegeom.knife.bevels.round import HollowBevel
from bladegeom.knife.grind import Flank, Grind, Plunge
from bladegeom.knife.hole import Hole
from bladegeom.knife.knife import Knife

T, E, H = 4.0, 0.5, 18.0


def bar(face: Face, only: Flank | None = None) -> Knife:
    """A bar whose edge runs along y = -30, ground ahead of x 0."""
    knife = ground(bar_outline(), thickness=T)
    return dataclasses.replace(knife, grind=Grind(bevel=face, plunge=Plunge(x=0.0), only=only))


@given(st.floats(0.1, 199.0), st.floats(0.0, 30.0), st.sampled_from([None, "right", "left"]))
def test_flat_bevel(x: float, d: float, only: Flank | None) -> None:
    # Source: closed form, e + (T - e) d / h: of two sides alike, and of one alone too.
    found = thickness(bar(FlatBevel(height=H, edge_thickness=E), only), "finished", np.array([x]), np.array([d - 30]))
    np.testing.assert_allclose(found, min(T, E + (T - E) * d / H), atol=1e-12)


@given(st.floats(-99.0, 0.0), st.floats(0.0, 30.0))
def test_behind_the_plunge_line_stands_the_bar(x: float, d: float) -> None:
    knife = bar(FlatBevel(height=H, edge_thickness=E))
    assert thickness(knife, "sharp", np.array([x]), np.array([d - 30.0]))[0] == T


def test_not_above_nothing_where_a_hollow_is_too_deep() -> None:
    # Source: closed form on the chord's middle: half of (T + e)/2 less a sagitta of R - sqrt(R^2 - c^2/4), along a
    # line square to the chord; the wheel of 50 mm takes 1.77 mm where 1.125 mm stand.
    knife = bar(HollowBevel(wheel_diameter=50.0, height=H, edge_thickness=E))
    chord = math.hypot(H, (T - E) / 2)
    sagitta = 25.0 - math.sqrt(25.0**2 - chord**2 / 4)
    into = (T - E) / 2 / chord * sagitta
    at = H / 2 + into
    (found,) = thickness(knife, "finished", np.array([100.0]), np.array([at - 30.0]))
    # The faces would have cut through each other: no steel is left, and less than none there cannot be.
    assert 2 * ((T + E) / 4 - H / chord * sagitta) < 0
    assert found == 0.0


def test_holes_are_not_looked_at() -> None:
    knife = bar(FlatBevel(height=H, edge_thickness=E))
    pierced = dataclasses.replace(knife, holes=(Hole(x=50.0, y=-10.0, diameter=6.0, purpose="lightening"),))
    at = np.array([50.0]), np.array([-10.0])
    assert thickness(pierced, "finished", *at)[0] == thickness(knife, "finished", *at)[0] == T
