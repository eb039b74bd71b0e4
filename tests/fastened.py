"""Knives with scales and hardware of every kind, and random ones."""

from __future__ import annotations

import dataclasses
from typing import get_args

import specimens
from hypothesis import strategies as st

from bladegeom.fasteners.bolt.kind import ShoulderedBolt
from bladegeom.fasteners.hardware import Hardware
from bladegeom.fasteners.pin import Pin
from bladegeom.fasteners.standoff.kind import StandoffScrews
from bladegeom.fasteners.tube import Tube
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.hole import Hole, Made, Opening, Purpose, Slot
from bladegeom.knife.knife import Knife
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.quantities.units import inch

INCH_STANDOFF = StandoffScrews(thread="#6-32", diameter=inch("1/4"), length=inch("1/2"))
METRIC_STANDOFF = StandoffScrews(thread="M4x0.7", diameter=7.0, length=10.0)
SHORT_STANDOFF = StandoffScrews(thread="M3x0.5", diameter=5.0, length=7.4)
BOLT = ShoulderedBolt(
    metal="304",
    thread="#6-32",
    head_diameter=inch("3/8"),
    head_height=5.0,
    shoulder_diameter=inch("1/4"),
    shoulder_length=9.0,
    stud_length=5.0,
)
PIN = Pin(rod="C26000", diameter=inch("3/16"))
PEENED = Pin(rod="304", diameter=inch("1/8"), peened=True)
WIDER_IN_SCALE = Pin(rod="304", diameter=4.0, tang_hole=4.1, scale_hole=4.5)
TUBE = Tube(metal="304", outside=inch("1/4"), inside=4.8)

HARDWARE: dict[str, Hardware] = {
    "inch standoff": INCH_STANDOFF,
    "metric standoff": METRIC_STANDOFF,
    "short standoff": SHORT_STANDOFF,
    "bolt": BOLT,
    "pin": PIN,
    "peened": PEENED,
    "wider in scale": WIDER_IN_SCALE,
    "tube": TUBE,
}

Taper = tuple[tuple[float, float], ...]

LINERS = (Liner(sheet="NEMA G-10", thickness=0.8), Liner(sheet="NEMA L", thickness=0.5))
FLAT = Scales(slab="NEMA G-10", thickness=8.0)
LINED = dataclasses.replace(FLAT, liners=LINERS)
GLUED = dataclasses.replace(LINED, liners_glued=True)
CONTOURED = dataclasses.replace(
    LINED,
    swell=((-110.0, 7.0), (-60.0, 8.0), (0.0, 7.0)),
    rounding=(Rounding(width=10.0, depth=2.0), Rounding(width=2.5, depth=2.5)),
)
TAPER: Taper = ((-112.0, 1.6), (-10.0, 4.0))


def bar(
    *fasteners: Fastener, scales: Scales | None = FLAT, taper: Taper = (), holes: tuple[Opening, ...] = ()
) -> Knife:
    """A rectangle of 100 by 30 mm behind x = 0, 4 mm thick where it is not tapered."""
    knife = specimens.ground(specimens.bar_outline(), scales=scales, fasteners=fasteners, holes=holes)
    return dataclasses.replace(knife, stock=dataclasses.replace(knife.stock, taper=taper))


def at(x: float, hardware: Hardware, *, y: float = -15.0, made: Made = "drilled") -> Fastener:
    """Hardware in its place."""
    return Fastener(x=x, y=y, hardware=hardware, made=made)


def mixed(scales: Scales | None = CONTOURED, taper: Taper = TAPER) -> Knife:
    """All kinds on a swelled handle with a tapered tang, holes of all kinds between them."""
    knife = specimens.drop_point(
        scales=scales,
        fasteners=(
            at(-20.0, BOLT, y=-12.0),
            at(-46.0, METRIC_STANDOFF, y=-13.0, made="reamed"),
            at(-58.0, INCH_STANDOFF, y=-14.0),
            at(-68.0, PIN),
            at(-85.0, PEENED, y=-21.0),
            at(-95.0, TUBE, made="cut"),
        ),
        holes=(
            Slot(start=(-30.0, -13.0), end=(-36.0, -13.0), diameter=5.0, purpose="lightening", made="drilled"),
            Hole(x=-77.0, y=-14.0, diameter=6.0, purpose="lightening"),
            Hole(x=-105.0, y=-15.0, diameter=5.0, purpose="lanyard", made="drilled"),
        ),
    )
    return dataclasses.replace(knife, stock=dataclasses.replace(knife.stock, taper=taper))


_MADE: st.SearchStrategy[Made] = st.sampled_from(get_args(Made))
_PLACES = st.tuples(st.floats(-95.0, -5.0), st.floats(-27.0, -3.0))
_SIZES = st.sampled_from([2.0, 3.175, 4.5, 5.0, 6.35, 7.77, 9.5])
_PURPOSE: st.SearchStrategy[Purpose] = st.sampled_from(get_args(Purpose))


@st.composite
def openings(draw: st.DrawFn) -> Opening:
    """A round hole or a slot anywhere in the bar's handle."""
    (x, y), size, purpose, made = draw(_PLACES), draw(_SIZES), draw(_PURPOSE), draw(_MADE)
    if draw(st.booleans()):
        return Hole(x=x, y=y, diameter=size, purpose=purpose, made=made)
    return Slot(start=(x, y), end=(x - 4.0, y + 1.0), diameter=size, purpose=purpose, made=made)


@st.composite
def knives(draw: st.DrawFn) -> Knife:
    """A bar with random hardware and holes, on bare steel or under scales of any of three kinds."""
    fasteners = [
        at(x, draw(st.sampled_from(list(HARDWARE.values()))), y=y, made=draw(_MADE))
        for x, y in draw(st.lists(_PLACES, max_size=5))
    ]
    return bar(
        *fasteners,
        scales=draw(st.sampled_from([None, FLAT, LINED, GLUED, CONTOURED])),
        taper=draw(st.sampled_from([(), ((-95.0, 2.0), (-5.0, 4.0))])),
        holes=tuple(draw(st.lists(openings(), max_size=4))),
    )
