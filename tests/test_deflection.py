"""Cantilevers against closed forms, a frame, and other finite elements; and what bends more than what."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest
import shapely
from draws import draws, quick_rows
from gridded import POISSON, Array, Window, bent_with_shear
from gridded import bent as bent_on_a_grid
from hypothesis import given
from hypothesis import strategies as st
from refusals import assert_refused
from scipy.integrate import quad
from specimens import bar_outline, ground

from bladegeom.bending import deflection as meshed
from bladegeom.bending.cantilever import Cantilever, Deflection
from bladegeom.bending.deflection import LOAD_AHEAD, deflection, lightening_deflection
from bladegeom.bending.triangle_mesh import triangulated
from bladegeom.knife.hole import Hole, Opening, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.stock import Stock
from bladegeom.quantities.errors import ParameterError

HIGH, THICK, LONG = 30.0, 4.0, 100.0 - LOAD_AHEAD
"""Of the bar's tang, and from load to clamp, mm."""

SHEAR = 1.2 * 2 * (1 + POISSON)
"""What a load of 1 shears a rectangular section of 1 mm2 by for each mm; source: Timoshenko's beam, 6/5 over G."""


def bar(*holes: Opening, taper: tuple[tuple[float, float], ...] = (), **more: Any) -> Knife:
    knife = ground(bar_outline(), holes=holes, **more)
    return dataclasses.replace(knife, stock=Stock(steel="1084", thickness=THICK, taper=taper))


def bent(
    steel: shapely.Polygon, windows: Sequence[Window] = (), thick: Callable[[Array], Array] | None = None
) -> Deflection:
    """Of a polygon whose left end bears the load."""
    gone = [shapely.box(*window) for window in windows]
    held = Cantilever(
        mesh=triangulated(steel, [polygon.boundary for polygon in gone], 1.5),
        thickness=thick or (lambda x: np.full(len(x), THICK)),
    )
    return held.bent(steel.difference(shapely.union_all(gone)))


# Beams.


def test_a_uniform_cantilever() -> None:
    # Source: L^3 / (3 E I), edgewise with the shear of Timoshenko's beam. A slim strip: what the clamp keeps from
    # contracting across, which no beam knows, is 0.2 % of it.
    high = 8.0
    got = bent(shapely.box(0, 0, LONG, high))
    assert got.sideways == pytest.approx(LONG**3 / (3 * high * THICK**3 / 12), rel=0.01)
    assert got.edgewise == pytest.approx(
        LONG**3 / (3 * THICK * high**3 / 12) + SHEAR * LONG / (high * THICK), rel=0.003
    )


def test_the_bar_s_own_tang() -> None:
    got = deflection(bar())
    want = LONG**3 / (3 * THICK * HIGH**3 / 12) + SHEAR * LONG / (HIGH * THICK)
    assert got.edgewise == pytest.approx(want, rel=0.01)
    # The whole clamp holds a wide plate flat beside it: up to 1 - 0.3^2 as far as a beam, by how wide it is.
    assert 0.95 < got.sideways / (LONG**3 / (3 * HIGH * THICK**3 / 12)) < 0.99


@given(st.floats(1.0, 3.8), st.floats(6.0, 12.0))
@draws(5)
def test_tapers_in_thickness_and_in_height(thin: float, low: float) -> None:
    # Source: the unit load method, s^2 / (E I) and the shear from the load to the clamp.
    steel = shapely.Polygon([(0, 6 - low / 2), (LONG, 0), (LONG, 12), (0, 6 + low / 2)])

    def thick(x: Array) -> Array:
        return np.asarray(thin + (THICK - thin) * x / LONG)

    def high(x: float) -> float:
        return low + (12 - low) * x / LONG

    def beam(law: Callable[[float, float, float], float]) -> float:
        return float(quad(lambda x: law(x, high(x), float(thick(np.array([x]))[0])), 0, LONG)[0])

    got = bent(steel, thick=thick)
    assert got.sideways == pytest.approx(beam(lambda x, h, t: x * x * 12 / (h * t**3)), rel=0.015)
    assert got.edgewise == pytest.approx(beam(lambda x, h, t: x * x * 12 / (h**3 * t) + SHEAR / (h * t)), rel=0.01)


# Frames and other elements.


def test_a_frame_with_one_long_window() -> None:
    # Source: Vierendeel's frame. Each chord carries half the shear between ends that stay parallel, as a beam built in
    # at both; the whole section bends as a beam of two flanges. Where a beam 1 mm thick meets the solid, its end turns
    # by 16.67 M / (pi E c^2) more (W. J. O'Donnell, 1960, from memory).
    long, start, end, chord = 200.0, 20.0, 180.0, 3.0
    clear = end - start
    inertia = [THICK * (HIGH**3 - gone**3) / 12 for gone in (0.0, HIGH - 2 * chord)]
    flanges = (long**3 - end**3 + start**3) / 3 / inertia[0] + (end**3 - start**3) / 3 / inertia[1]
    chords = clear**3 / 2 / (12 * THICK * chord**3 / 12) + clear * 16.67 * clear / 4 / (math.pi * chord**2 * THICK)
    sheared = SHEAR * ((long - clear) / (HIGH * THICK) + clear / (2 * chord * THICK))
    got = bent(shapely.box(0, 0, long, HIGH), [(start, chord, end, HIGH - chord)])
    assert got.edgewise == pytest.approx(flanges + chords + sheared, rel=0.03)
    # The beam formula alone tells a tenth of that.
    assert got.edgewise > 10 * flanges


WINDOWS: dict[str, list[Window]] = {
    "none": [],
    "one": [(20, 10, 75, 20)],
    "off the middle": [(20, 4, 75, 10)],
    "three beside each other": [(20, 4, 75, 10), (20, 13, 75, 17), (20, 20, 75, 26)],
    "many": [(x, y, x + 6, y + 6) for x in range(10, 82, 9) for y in (3, 12, 21)],
}


@pytest.mark.parametrize("name", WINDOWS)
def test_other_elements_tell_the_same(name: str) -> None:
    # External: other elements, assembled and solved by other code (see gridded.py).
    windows = WINDOWS[name]
    got, steel = bent(shapely.box(0, 0, LONG, HIGH), windows), (LONG, HIGH)
    want = bent_on_a_grid(steel, THICK, windows, 1.0)
    assert (got.sideways, got.edgewise) == pytest.approx(want, rel=0.03)


SHEARED = [("one", 0.005), ("three beside each other", 0.008), ("many", 0.04)]


@pytest.mark.parametrize(("name", "within"), quick_rows(SHEARED, SHEARED[0]))
def test_webs_as_narrow_as_the_steel_is_thick_shear_too(name: str, within: float) -> None:
    # External: eight-node squares of a plate that shears through its thickness (Mindlin), solved by SciPy; bricks tell
    # the same of the many windows within 0.5 %. A thin plate bends 0.7, 1.2 and 5.5 % less than these.
    steel, windows = (LONG, HIGH), WINDOWS[name]
    want = bent_with_shear(steel, THICK, windows, 1.0) / bent_with_shear(steel, THICK, (), 1.0)
    box = shapely.box(0, 0, *steel)
    assert bent(box, windows).sideways / bent(box).sideways == pytest.approx(want, rel=within)


# Tangs.


def test_beside_slots_a_tang_bends_more_than_a_beam() -> None:
    # Three slots 6 mm wide and 60 mm long, 1.5 mm apart. As a beam of what is left: 1 + (75^3 - 15^3) / 95^3
    # (2250 / 1521 - 1) = 1.23 times as far edgewise.
    slots = [Slot(start=(-20.0, y), end=(-80.0, y), diameter=6.0, purpose="lightening") for y in (-7.5, -15.0, -22.5)]
    ratio = lightening_deflection(bar(*slots))
    assert ratio.edgewise > 10.0 > 2.0 > ratio.sideways > 1.5


def test_only_lightening_holes_make_the_difference() -> None:
    pin = Hole(x=-30.0, y=-15.0, diameter=6.0, purpose="fastener")
    light = Hole(x=-60.0, y=-15.0, diameter=10.0, purpose="lightening")
    assert lightening_deflection(bar(pin)) == Deflection(sideways=1.0, edgewise=1.0)
    ratio, apart = lightening_deflection(bar(pin, light)), deflection(bar(pin, light)).over(deflection(bar(pin)))
    assert (ratio.sideways, ratio.edgewise) == pytest.approx((apart.sideways, apart.edgewise), rel=0.003)
    assert min(ratio.sideways, ratio.edgewise) > 1.0


@given(st.floats(-85.0, -30.0), st.floats(-25.0, -8.0))
@draws(3)
def test_nearer_to_the_clamp_a_hole_costs_more(x: float, nearer: float) -> None:
    at = (max(x - nearer, -12.0), x)
    near, far = (lightening_deflection(bar(Hole(x=place, y=-15.0, diameter=8.0, purpose="lightening"))) for place in at)
    assert near.sideways > far.sideways > 1.0
    assert near.edgewise > far.edgewise > 1.0


@st.composite
def openings(draw: st.DrawFn) -> tuple[Opening, ...]:
    """Anywhere, across each other and the border, as no rule allows."""
    place = st.tuples(st.floats(-103.0, 3.0), st.floats(-32.0, 2.0))
    out: list[Opening] = []
    for start in draw(st.lists(place, min_size=1, max_size=6)):
        size, end = draw(st.floats(0.3, 12.0)), draw(st.none() | place)
        if end is None or math.dist(start, end) < 0.1:
            out.append(Hole(x=start[0], y=start[1], diameter=size, purpose="lightening"))
        else:
            out.append(Slot(start=start, end=end, diameter=size, purpose="lightening"))
    return tuple(out)


@given(openings())
@draws(5)
def test_less_steel_never_bends_less(some: tuple[Opening, ...]) -> None:
    # On one mesh that holds whatever the shape is: what is left bears its load with less stiffness in every direction.
    ratio = lightening_deflection(bar(*some))
    assert min(ratio.sideways, ratio.edgewise) > 1 - 1e-6


def test_a_tang_cut_through_holds_nothing() -> None:
    cut = Slot(start=(-40.0, -15.0), end=(-50.0, -15.0), diameter=40.0, purpose="lightening")
    got = lightening_deflection(bar(cut))
    assert (got.sideways, got.edgewise) == (math.inf, math.inf)


def test_an_island_bears_nothing() -> None:
    # A hole right through the upper border at the load's line: below it the tang still hangs together.
    hole = Hole(x=-100.0 + LOAD_AHEAD, y=0.0, diameter=20.0, purpose="lightening")
    assert 1.0 < lightening_deflection(bar(hole)).sideways < 1.2


def test_a_tang_too_short() -> None:
    with pytest.raises(ParameterError) as caught:
        deflection(ground(bar_outline(tang=4.0)))
    assert_refused(caught.value, "tang: length | 5 mm")


@pytest.mark.parametrize("diameter", [2.0, 6.0, 12.7])
def test_a_hole_in_the_mesh_has_its_area(diameter: float) -> None:
    hole = Hole(x=-40.0, y=-12.0, diameter=diameter, purpose="lightening")
    assert meshed._rim(hole, 1.0).area == pytest.approx(math.pi * diameter**2 / 4, rel=1e-9)
