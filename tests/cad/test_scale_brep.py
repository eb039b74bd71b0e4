"""Weights of scales with their bores against solids of a CAD kernel."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

pytest.importorskip("build123d")

from breps import properties
from scale_breps import brep_scale

from bladegeom import (
    Fastener,
    FlatBevel,
    Grind,
    Knife,
    Liner,
    Outline,
    Pin,
    Plunge,
    Rounding,
    Scales,
    ShoulderedBolt,
    StandoffScrews,
    Stock,
    arc,
    inch,
    join_halves,
    line,
    profiles,
)
from bladegeom.handle.parts import handle_parts

MASS, CENTRE, INERTIA = 1e-3, 0.02, 3e-3
"""What a maker is promised: 0.1 % of mass, 0.02 mm of centroid, 0.3 % of inertia."""

SCREWS = StandoffScrews(thread="#6-32", diameter=inch("1/4"), length=inch("1/2"), screw_length=inch("3/8"))
BOLT = ShoulderedBolt(
    metal="C36000",
    thread="#6-32",
    head_diameter=7.9,
    head_height=4.0,
    shoulder_diameter=4.7,
    shoulder_length=5.5,
    stud_length=4.0,
)
PIN = Pin(rod="C26000", diameter=inch("3/16"))
LINERS = (Liner(sheet="NEMA G-10", thickness=0.8),)


def real(*fasteners: Fastener, **more: Any) -> Knife:
    """A drop point on a swelled handle."""
    return knife(join_halves(profiles.get("drop_point")(), profiles.get("swelled")()), *fasteners, **more)


def round_butted(*fasteners: Fastener, **more: Any) -> Knife:
    """A straight handle 26 mm high whose butt is half a circle: its border runs on smoothly."""
    butt = arc((-105.0, -13.0), 13.0, 90.0, 180.0)
    outline = Outline(
        edge=line((6.0, -26.0), (120.0, -6.0)),
        spine=line((120.0, -6.0), (100.0, 0.0), (0.0, 0.0)),
        handle_top=line((0.0, 0.0), butt.start),
        butt=butt,
        handle_underside=line(butt.end, (0.0, -26.0)),
        choil=line((0.0, -26.0), (6.0, -26.0)),
    )
    return knife(outline, *fasteners, **more)


def knife(outline: Outline, *fasteners: Fastener, **more: Any) -> Knife:
    return Knife(
        name="handle",
        outline=outline,
        stock=Stock(steel="1084", thickness=4.0),
        grind=Grind(bevel=FlatBevel(height=16.0, edge_thickness=0.4), plunge=Plunge(x=outline.heel[0])),
        scales=Scales(**{"slab": "NEMA L", "thickness": 9.0, **more}),
        fasteners=fasteners,
    )


# Measured, volume, centroid and inertia:
#   standoffs, flat                1e-15  0.0000 mm  1e-13
#   bolts and a pin, flat          1e-15  0.0000 mm  1e-13
#   quarter circle 2.5 mm, fillet  1.0e-4 0.0003 mm  3.1e-4
#   quarter circle 6 mm, fillet    5.4e-4 0.0008 mm  1.9e-3
#   dome, swept                    8.9e-6  0.0003 mm  2.9e-5
# A quarter circle stands upright at the border, where columns of four Gauss places see it least well.


def compared(made: Knife, **rounded: Any) -> tuple[float, float, float]:
    """By how much weighing and kernel differ in volume, in centroid in mm, and in second moments."""
    (right,) = (part for part in handle_parts(made) if part.name == "right scale")
    volume, centre, second = properties(brep_scale(made, **rounded))
    return (
        right.volume.amount / volume - 1,
        float(np.abs(np.array(right.volume.centre) - centre).max()),
        float(np.abs(np.diag(right.volume.central()) / np.diag(second) - 1).max()),
    )


def assert_same(found: tuple[float, float, float], *, closer: float) -> None:
    """Within what is promised, and within what was measured with some room."""
    volume, centre, inertia = found
    assert abs(volume) < min(MASS, closer)
    assert centre < CENTRE
    assert inertia < INERTIA


def test_flat_scale_with_standoffs() -> None:
    fasteners = (Fastener(x=-30.0, y=-12.0, hardware=SCREWS), Fastener(x=-85.0, y=-14.0, hardware=SCREWS))
    for liners in ((), LINERS):
        assert_same(compared(real(*fasteners, liners=liners)), closer=1e-6)


def test_flat_scale_with_bolts_and_a_pin() -> None:
    fasteners = (
        Fastener(x=-30.0, y=-12.0, hardware=BOLT),
        Fastener(x=-60.0, y=-13.0, hardware=PIN),
        Fastener(x=-90.0, y=-14.0, hardware=BOLT),
    )
    assert_same(compared(real(*fasteners)), closer=1e-6)


@pytest.mark.parametrize("radius", [2.5, 6.0])
def test_quarter_circle_with_bores(radius: float) -> None:
    fasteners = (
        Fastener(x=-30.0, y=-13.0, hardware=SCREWS),
        Fastener(x=-60.0, y=-13.0, hardware=BOLT),
        Fastener(x=-95.0, y=-13.0, hardware=SCREWS),
    )
    made = round_butted(*fasteners, rounding=Rounding(width=radius, depth=radius), liners=LINERS)
    assert_same(compared(made, fillet=radius), closer=2e-5)


def test_a_head_that_reaches_into_the_rounding() -> None:
    # The bolt's rim comes within 3 mm of the underside, where the face has fallen by 0.9 mm.
    fasteners = (Fastener(x=-50.0, y=-19.0, hardware=BOLT), Fastener(x=-90.0, y=-18.0, hardware=SCREWS))
    dome = Rounding(width=9.0, depth=4.0)
    assert_same(compared(round_butted(*fasteners, rounding=dome), dome=dome), closer=1e-4)


@pytest.mark.parametrize("dome", [Rounding(width=12.0, depth=2.0), Rounding(width=9.0, depth=4.0)])
def test_dome_with_bores(dome: Rounding) -> None:
    fasteners = (Fastener(x=-30.0, y=-13.0, hardware=SCREWS), Fastener(x=-80.0, y=-12.0, hardware=BOLT))
    assert_same(compared(round_butted(*fasteners, rounding=dome), dome=dome), closer=1e-4)
