"""A plain handle with one fastener, for sums that can be worked out by hand."""

from __future__ import annotations

import dataclasses
from typing import Any

from specimens import ground, plain_tang

from bladegeom.fasteners.bolt.kind import ShoulderedBolt
from bladegeom.fasteners.hardware import Hardware
from bladegeom.fasteners.pin import Pin
from bladegeom.fasteners.standoff.kind import StandoffScrews
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.handle_rules import Tolerances
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import Shop, boxed_set
from bladegeom.knife.scales import Liner, Rounding, Scales
from bladegeom.knife.stock import Stock
from bladegeom.quantities.drills import drill_index

BOLT = ShoulderedBolt(
    metal="304",
    thread="#8-32",
    head_diameter=9.5,
    head_height=4.0,
    shoulder_diameter=6.35,
    shoulder_length=9.5,
    stud_length=5.0,
)
INCH = StandoffScrews(thread="#6-32", diameter=6.35, length=12.7)
METRIC = StandoffScrews(thread="M4", diameter=7.0, length=12.0)
ROD = Pin(rod="C26000", diameter=4.7625)
DOME = Rounding(width=12.0, depth=2.0)


def liners(*thick: float) -> tuple[Liner, ...]:
    return tuple(Liner(sheet="G-10", thickness=thickness) for thickness in thick)


def handle(
    hardware: Hardware,
    *,
    tang: float = 4.0,
    taper: tuple[tuple[float, float], ...] = (),
    at: tuple[float, float] = (-40.0, -12.5),
    tolerances: Tolerances | None = None,
    drills: str | None = None,
    **scales: Any,
) -> Knife:
    """A tang 25 mm high and 120 mm long with scales 8 mm thick, half a millimetre of sanding, and one fastener."""
    index = drill_index(drills) if drills else boxed_set()
    shop = Shop(tolerances=tolerances or Tolerances(depth_division=0.0), drills=index)
    plain = ground(plain_tang(), thickness=tang)
    return dataclasses.replace(
        plain,
        stock=Stock(steel="1084", thickness=tang, taper=taper),
        scales=Scales(slab="NEMA L", **{"thickness": 8.0, "sanding": 0.5, **scales}),
        fasteners=(Fastener(x=at[0], y=at[1], hardware=hardware),),
        shop=shop,
    )
