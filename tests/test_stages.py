"""The stages of the work: blank, ground before hardening, ground to size, sharpened; and what is taken off between."""

from __future__ import annotations

import dataclasses
import itertools
import math
from typing import Any

import numpy as np
import pytest
from draws import draws
from hypothesis import given
from hypothesis import strategies as st
from specimens import bar_outline, drop_point, ground, pins, plain_tang

from bladegeom.grinding.thickness import thickness
from bladegeom.knife.bevels.face import Face
from bladegeom.knife.bevels.flat import AngledBevel, FlatBevel, FullFlat
from bladegeom.knife.bevels.round import ConvexBevel, ConvexEdge, HollowBevel
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.grind import STAGES, Grind, Plunge
from bladegeom.knife.hole import Hole, Opening
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Scales
from bladegeom.knife.stock import Stock
from bladegeom.mass.weigh import State, weigh

MIRROR_Z = np.array([1, 1, 1, -1, 1, 1, 1, 1, -1, -1], dtype=np.float64)
"""What becomes of the integrals of 1, x, y, z, x^2, y^2, z^2, x y, x z, y z where z changes its sign."""

STATES: tuple[State, ...] = ("bar", "plate", *STAGES)
DENSITY = 7.85e-3
"""Of 1084, g/mm3, as the table of materials has it."""

FLAT = FlatBevel(height=17.0, edge_thickness=0.5)
FACES: tuple[Face | tuple[Face, ...], ...] = (
    FLAT,
    AngledBevel(angle_deg=6.0, edge_thickness=0.4),
    FullFlat(edge_thickness=0.3),
    HollowBevel(wheel_diameter=254.0, height=17.0, edge_thickness=0.6),
    ConvexBevel(height=17.0, edge_thickness=0.4, bulge=0.3),
    (FLAT, AngledBevel(angle_deg=11.0)),
    ConvexEdge(under=FLAT, height=3.0, edge_thickness=0.2, bulge=0.03),
)


def made(bevel: Face | tuple[Face, ...], *taper: tuple[float, float], **more: Any) -> Knife:
    """A drop point of 4 mm stock."""
    knife = drop_point()
    plunge = Plunge(x=knife.outline.heel[0], radius=more.pop("radius", 0.0))
    stock = Stock(steel="1084", thickness=4.0, taper=taper)
    holes = more.pop("holes", ())
    return dataclasses.replace(knife, grind=Grind(bevel=bevel, plunge=plunge, **more), stock=stock, holes=holes)


def bar(bevel: Face | tuple[Face, ...], **more: Any) -> Knife:
    """A bar 200 by 30 by 4 mm, ground all along one long border, and a tang 100 mm long."""
    knife = ground(bar_outline())
    return dataclasses.replace(knife, grind=Grind(bevel=bevel, plunge=Plunge(x=0.0), **more))


@given(
    bevel=st.sampled_from(FACES),
    only=st.sampled_from([None, "right", "left"]),
    rough=st.floats(0.6, 2.0),
    radius=st.sampled_from([0.0, 4.0]),
    tip=st.floats(1.2, 4.0),
    at=st.lists(st.tuples(st.floats(-20.0, 108.0), st.floats(0.0, 1.0)), min_size=1, max_size=8),
)
def test_every_stage_lies_within_the_one_before(
    bevel: Face | tuple[Face, ...],
    only: Any,
    rough: float,
    radius: float,
    tip: float,
    at: list[tuple[float, float]],
) -> None:
    knife = made(bevel, (10.0, 4.0), (110.0, tip), only=only, rough_edge=rough, radius=radius, sharpen_deg=20.0)
    x, up = np.array(at).T
    high, low = knife.outline.tang_height(x)
    y = low + up * (high - low)
    for flank in ("right", "left"):
        heights = [knife.side(stage, flank).height(x, y) for stage in STAGES]
        for before, after in itertools.pairwise(heights):
            assert (after <= before + 1e-12).all()


def test_before_hardening_a_second_face_does_not_show_yet() -> None:
    # Source: closed form: the first face, 0.3 mm higher on both sides together; a second bevel to a zero edge would
    # have left 2 d tan 11 deg + 0.8 and so thinner steel, were it ground already as deep as the first.
    knife = made((FLAT, AngledBevel(angle_deg=11.0)), rough_edge=0.8)
    x, d = np.full(5, 30.0), np.array([0.0, 1.0, 2.0, 5.0, 10.0])
    y = knife.outline.heel[1] + d
    np.testing.assert_allclose(thickness(knife, "rough", x, y), 0.8 + 3.5 * d / 17.0, atol=1e-5)
    finished = np.minimum(0.5 + 3.5 * d / 17.0, 2 * d * math.tan(math.radians(11.0)))
    np.testing.assert_allclose(thickness(knife, "finished", x, y), finished, atol=1e-5)


def test_stages_of_a_bar() -> None:
    # Source: closed forms, sections square to the edge. Finished: rectangle less the triangles above the face, h
    # (T - e) / 2. Rough: less a triangle lower in proportion, (T - r)/(T - e) h. Sharp: less the triangle at the edge
    # of base e and height e / (2 (tan a - tan b)).
    t, e, r, h = 4.0, 0.5, 0.8, 18.0
    weighed = weigh(bar(FlatBevel(height=h, edge_thickness=e), rough_edge=r, sharpen_deg=20.0))
    whole = 300.0 * 30.0 * t
    facet = e / (2 * (math.tan(math.radians(20.0)) - (t - e) / 2 / h))
    off = {
        "bar": 0.0,
        "plate": 0.0,
        "blank": 0.0,
        "rough": 200.0 * (t - r) / 2 * h * (t - r) / (t - e),
        "finished": 200.0 * (t - e) / 2 * h,
        "sharp": 200.0 * ((t - e) / 2 * h + e * facet / 2),
    }
    for state in STATES:
        assert weighed.stage(state).amount == pytest.approx(whole - off[state], rel=1e-8)
    for before, after in itertools.combinations(STATES, 2):
        step = weighed.between(before, after)
        assert step.volume.amount == pytest.approx(off[after] - off[before], abs=1e-4)
        assert step.mass == pytest.approx((off[after] - off[before]) * DENSITY, abs=1e-6)


@pytest.mark.parametrize("bevel", FACES, ids=lambda bevel: str(getattr(bevel, "kind", "compound")))
def test_steps_add_up_from_the_bar_to_the_sharp_blade(bevel: Face | tuple[Face, ...]) -> None:
    hole = Hole(x=-40.0, y=-12.0, diameter=6.0, purpose="lightening")
    knife = made(bevel, (-60.0, 3.0), (10.0, 4.0), (110.0, 2.0), rough_edge=0.9, radius=4.0, holes=(hole,))
    weighed = weigh(knife)
    assert [(s.before, s.after) for s in weighed.steps] == list(itertools.pairwise(STATES))
    gone = sum((step.volume.values for step in weighed.steps), np.zeros(10))
    np.testing.assert_allclose(weighed.bar.values - gone, weighed.sharp.values, rtol=1e-12, atol=1e-6)
    for before, after in itertools.combinations(STATES, 2):
        step = weighed.between(before, after)
        was, left = weighed.stage(before), weighed.stage(after)
        assert step.mass == pytest.approx(step.volume.amount * DENSITY, rel=1e-12)
        assert step.volume.amount >= 0
        if step.volume.amount < 1e-6:
            continue
        # Source: closed form: removing v about x_h shifts the centre by v (x - x_h) / (V - v).
        shift = step.volume.amount * (was.centre[0] - step.volume.centre[0]) / left.amount
        assert step.balance_shift == pytest.approx(shift, abs=1e-9)


def test_grinding_shifts_the_balance_to_the_butt() -> None:
    # Source: closed form on a bar from x -100 to 200: its middle at 50 loses steel about 100.
    weighed = weigh(bar(FlatBevel(height=18.0, edge_thickness=0.5)))
    gone, whole = 200.0 * 1.75 * 18.0, 300.0 * 30.0 * 4.0
    assert weighed.between("blank", "finished").balance_shift == pytest.approx(gone * (50 - 100) / (whole - gone))


@pytest.mark.parametrize("bevel", FACES[:6], ids=lambda bevel: str(getattr(bevel, "kind", "compound")))
def test_a_left_handed_grind_is_the_mirror_of_a_right_handed_one(bevel: Face | tuple[Face, ...]) -> None:
    taper = ((10.0, 4.0), (110.0, 2.0))
    right, left = (made(bevel, *taper, only=only, rough_edge=0.9, radius=3.0) for only in ("right", "left"))
    for stage in STAGES:
        a, b = weigh(right).stage(stage).values, weigh(left).stage(stage).values
        np.testing.assert_allclose(a * MIRROR_Z, b, rtol=1e-12, atol=1e-9)
    x, y = np.linspace(0.0, 105.0, 60), np.full(60, -15.0)
    for stage in STAGES:
        np.testing.assert_array_equal(right.side(stage, "right").height(x, y), left.side(stage, "left").height(x, y))
        np.testing.assert_array_equal(right.side(stage, "left").height(x, y), left.side(stage, "right").height(x, y))
    # It does lean to one side: steel is missing on the right, so the centre lies left.
    assert weigh(right).finished.centre[2] < -0.01


def test_one_sided_bar() -> None:
    # Source: closed form: a triangle h (T - e) / 2 off one side; its centroid (T - e)/3 under the right face.
    t, e, h = 4.0, 0.5, 18.0
    weighed = weigh(bar(FlatBevel(height=h, edge_thickness=e), only="right"))
    step = weighed.between("blank", "finished")
    assert step.volume.amount == pytest.approx(200.0 * h * (t - e) / 2, rel=1e-8)
    assert step.volume.centre[2] == pytest.approx(t / 2 - (t - e) / 3, rel=1e-8)


@draws(15)
@given(bevel=st.sampled_from(FACES), rough=st.floats(0.6, 2.0), more=st.floats(0.05, 1.5))
def test_a_thicker_rough_edge_never_weighs_less(bevel: Face | tuple[Face, ...], rough: float, more: float) -> None:
    thin, thick = (weigh(made(bevel, rough_edge=edge)).rough.amount for edge in (rough, rough + more))
    assert thick > thin


def test_unground_before_hardening() -> None:
    weighed = weigh(made(FLAT))
    assert weighed.between("blank", "rough").volume.amount == 0
    assert weighed.between("rough", "finished").volume.amount == weighed.between("blank", "finished").volume.amount


def test_stages_of_tapered_stock() -> None:
    # Source: closed forms. A bar 300 by 30 that tapers from 4 mm at x -100 to 2 mm at 200: mean thickness 3. Its
    # bevel of h = 18 leaves, by the prismatoid formula, the mean of T - (T - e)/2 over h and T above: linear in T.
    knife = bar(FlatBevel(height=18.0, edge_thickness=0.5), rough_edge=None)
    knife = dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=((-100.0, 4.0), (200.0, 2.0))))
    weighed = weigh(knife)
    assert weighed.blank.amount == pytest.approx(300.0 * 30.0 * 4.0, rel=1e-12)
    # Hardened unground, it is tapered with the finish grinding.
    assert weighed.rough.amount == weighed.blank.amount
    # Mean thickness over the blade, x 0 to 200: (10/3 + 2) / 2.
    mean = (10 / 3 + 2) / 2
    assert weighed.finished.amount == pytest.approx(300.0 * 30.0 * 3.0 - 200.0 * 18.0 * (mean - 0.5) / 2, rel=1e-8)


TANG = ((-120.0, 2.0), (0.0, 4.0))


def pierced(*holes: Opening, taper: tuple[tuple[float, float], ...] = TANG) -> Knife:
    knife = ground(plain_tang(), holes=holes)
    return dataclasses.replace(knife, stock=Stock(steel="1084", thickness=4.0, taper=taper))


def on_chords(hole: Hole, lacking: float) -> float:
    """Most that chords of 0.0005 mm can make in volume where steel of a thickness is missing, mm3."""
    return 0.0005 * math.pi * hole.diameter * lacking


def test_a_lightening_hole_in_a_tapered_tang() -> None:
    # Source: closed form: over a disc the mean of a linear thickness is that at its centre, 4 - 50/60 at x -50.
    hole = Hole(x=-50.0, y=-12.0, diameter=9.0, purpose="lightening")
    weighed = weigh(pierced(hole))
    t = 4.0 - 50.0 / 60.0
    assert weighed.by_lightening.amount == pytest.approx(math.pi * 4.5**2 * t, abs=on_chords(hole, 4.0 - t))
    # The centre of what is taken out lies towards the thick end, by r^2 / 4 times the slope over the thickness.
    assert weighed.by_lightening.centre[0] == pytest.approx(-50.0 + 4.5**2 / 4 / 60 / t, abs=1e-5)


def test_a_lightening_hole_over_a_station() -> None:
    # Source: closed form: 4 mm ahead of the hole's middle, falling by 1/40 behind it: pi r^2 T - (2/3) r^3 / 40.
    hole = Hole(x=-40.0, y=-12.0, diameter=12.0, purpose="lightening")
    weighed = weigh(pierced(hole, taper=((-120.0, 2.0), (-40.0, 4.0))))
    assert weighed.by_lightening.amount == pytest.approx(
        math.pi * 36.0 * 4.0 - 2 / 3 * 216.0 / 40.0, abs=on_chords(hole, 12.0 / 40.0)
    )


def test_with_and_removed_is_without() -> None:
    holes = (
        Hole(x=-50.0, y=-12.0, diameter=9.0, purpose="lightening"),
        Hole(x=-80.0, y=-12.0, diameter=6.0, purpose="lightening"),
    )
    with_them, without = weigh(pierced(*holes)), weigh(pierced())
    back = with_them.total + with_them.lightening_mass
    np.testing.assert_allclose(back.values, without.total.values, rtol=1e-6, atol=1e-3)
    np.testing.assert_allclose(with_them.without_lightening.values, back.values, rtol=1e-12)
    # By itself, on a grid of 0.02 mm: density times thickness where a hole is.
    step = 0.02
    x, y = (a.ravel() for a in np.meshgrid(np.arange(-56.0, -44.0, step) + step / 2, np.arange(-18.0, -6.0, step)))
    mass = 0.0
    for hole in holes:
        dx = x + 50.0
        inside = dx**2 + (y + 12.0) ** 2 < (hole.diameter / 2) ** 2
        mass += DENSITY * float((4.0 + (dx + hole.x) / 60.0)[inside].sum()) * step**2
    assert with_them.lightening_mass.amount == pytest.approx(mass, rel=1e-3)


def test_holes_in_a_bevel_are_not_ground_twice() -> None:
    # Source: closed form: on a bar ground over its whole height a hole's mean thickness is that at its centre.
    hole = Hole(x=100.0, y=-15.0, diameter=8.0, purpose="lightening")
    plain = bar(FlatBevel(height=30.0, edge_thickness=0.5))
    knife = dataclasses.replace(plain, holes=(hole,))
    gone = weigh(plain).finished.amount - weigh(knife).finished.amount
    assert gone == pytest.approx(math.pi * 16.0 * (0.5 + 3.5 / 2), abs=on_chords(hole, 3.5 / 2))
    assert weigh(knife).by_lightening.amount == pytest.approx(gone, rel=1e-9)


def test_pins_are_as_long_as_the_stack_where_they_stand() -> None:
    # Source: closed form: pi d^2 / 4 times the tang's 3 mm at x -60 and two slabs of 7.
    pin = Fastener(x=-60.0, y=-12.0, hardware=pins(6.0, rod="C26000"))
    knife = dataclasses.replace(pierced(), scales=Scales(slab="NEMA C", thickness=7.0), fasteners=(pin,))
    (part,) = (part for part in weigh(knife).parts if part.name == "pin")
    # The face follows the taper, 1 mm in 60: over the pin it leans, and the centre moves by r^2 k / 4 z a side.
    volume = math.pi * 9.0 * (3.0 + 14.0)
    assert part.volume.amount == pytest.approx(volume, rel=1e-9)
    moved = 2 * math.pi * 3.0**4 / 4 * (1 / 120) / volume
    assert part.volume.centre == pytest.approx((-60.0 + moved, -12.0, 0.0), abs=1e-9)
