"""The fixed set of 20 tangs on which placing is measured: every number of them is written down here.

Profiles of the shelf at several sizes, plain, tapered and waisted tangs, with 2 to 4 fasteners, under three sets of
rules and three sets of drills. The stored reference (``reference_placing``) was computed for exactly these.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

import numpy as np
from specimens import ground, plain_tang, tang_outline

from bladegeom.fasteners.pin import Pin
from bladegeom.knife.fastener import Fastener
from bladegeom.knife.knife import Knife
from bladegeom.knife.rules import HoleRules, Shop
from bladegeom.outline.outline import Outline, join_halves
from bladegeom.profiles.birds_head import BirdsHead
from bladegeom.profiles.chef import Chef
from bladegeom.profiles.drop_point import DropPoint
from bladegeom.profiles.petty import Petty
from bladegeom.profiles.straight import Straight
from bladegeom.profiles.swelled import Swelled
from bladegeom.quantities.drills import drill, drill_index
from bladegeom.quantities.units import inch

USUAL = HoleRules()
LIGHT = HoleRules(
    name="light", rim=2.0, web=2.0, per_thickness=0.5, edge_distance_per_diameter=1.0, clear_strip=6.0, net_width=0.4
)
CAREFUL = HoleRules(name="careful", rim=3.5, web=4.0, edge_distance_per_diameter=1.5, clear_strip=12.0, net_width=0.6)

FRACTIONS = Shop()
METRIC = Shop(drills=drill_index("metric"))
FEW = Shop(lightening_sizes=tuple(drill(name) for name in ("1/8", "3/16", "1/4", "5/16", "3/8")))

PIN = Pin(rod="304", diameter=inch("3/16"))
BOLT = Pin(rod="304", diameter=inch("5/16"))


def tang(
    outline: Outline,
    pins: Sequence[float],
    *,
    rules: HoleRules = USUAL,
    shop: Shop = FRACTIONS,
    thickness: float = 4.0,
    hardware: Pin = PIN,
    lean: float = 0.0,
) -> Knife:
    """A knife with fasteners at places along x, each half way between the tang's borders to a hundredth."""
    upper, lower = outline.tang_height(np.array(pins))
    middle = np.round((upper + lower) / 2, 2).tolist()
    fasteners = tuple(Fastener(x=x, y=y, hardware=hardware) for x, y in zip(pins, middle, strict=True))
    return ground(
        outline,
        thickness=thickness,
        height=14.0,
        edge=0.25,
        rules=rules,
        shop=shop,
        fasteners=fasteners,
        front_lean_deg=lean,
    )


def tapered(length: float, rear: float) -> Outline:
    """25 mm high at the front, less at the rear, both borders straight."""
    half = (25.0 - rear) / 2
    return tang_outline([(-length, -half)], [(-length, -25.0 + half)])


def waisted(length: float, waist: float) -> Outline:
    """25 mm high at both ends, less in the middle."""
    cut = (25.0 - waist) / 2
    middle = -length / 2
    return tang_outline([(middle, -cut), (-length, 0.0)], [(-length, -25.0), (middle, -25.0 + cut)])


def drop_point(**handle: float) -> Outline:
    return join_halves(DropPoint(), Swelled(**handle))


def petty(**handle: float) -> Outline:
    return join_halves(Petty(), Straight(**handle))


def chef(**handle: float) -> Outline:
    return join_halves(Chef(), BirdsHead(**handle))


TANGS: dict[str, Callable[[], Knife]] = {
    "plain": lambda: tang(plain_tang(length=120.0), (-20.0, -60.0, -100.0)),
    "plain, light": lambda: tang(plain_tang(length=120.0), (-20.0, -60.0, -100.0), rules=LIGHT),
    "plain, careful": lambda: tang(plain_tang(length=120.0), (-20.0, -60.0, -100.0), rules=CAREFUL),
    "plain, metric": lambda: tang(plain_tang(length=120.0), (-24.0, -96.0), shop=METRIC, thickness=3.0),
    "plain, few sizes": lambda: tang(plain_tang(length=100.0), (-20.0, -80.0), shop=FEW),
    "long": lambda: tang(plain_tang(length=140.0), (-20.0, -53.0, -86.0, -119.0), thickness=5.0),
    "tapered": lambda: tang(tapered(120.0, 15.0), (-20.0, -60.0, -95.0)),
    "tapered, light": lambda: tang(tapered(110.0, 12.0), (-18.0, -80.0), rules=LIGHT, shop=METRIC, thickness=3.0),
    "waisted": lambda: tang(waisted(120.0, 15.0), (-20.0, -60.0, -100.0)),
    "waisted, light": lambda: tang(waisted(130.0, 17.0), (-25.0, -105.0), rules=LIGHT, thickness=3.0),
    "drop point": lambda: tang(drop_point(), (-20.0, -95.0)),
    "drop point, careful": lambda: tang(drop_point(length=140.0), (-22.0, -65.0, -115.0), rules=CAREFUL, thickness=3.5),
    "drop point, short": lambda: tang(drop_point(length=98.0, swell=5.0), (-18.0, -78.0), rules=LIGHT, lean=10.0),
    "drop point, bolts": lambda: tang(drop_point(), (-22.0, -58.0, -95.0), hardware=BOLT, shop=METRIC),
    "petty": lambda: tang(petty(), (-18.0, -60.0, -98.0), thickness=2.5),
    "petty, light": lambda: tang(petty(length=130.0, flare=8.0), (-20.0, -110.0), rules=LIGHT, thickness=2.5),
    "petty, metric": lambda: tang(petty(length=95.0), (-18.0, -48.0, -78.0), shop=METRIC, rules=LIGHT, thickness=2.0),
    "chef": lambda: tang(chef(), (-20.0, -60.0, -95.0), thickness=2.5),
    "chef, light": lambda: tang(chef(length=140.0), (-22.0, -58.0, -94.0, -122.0), rules=LIGHT, thickness=2.5),
    "chef, careful": lambda: tang(chef(length=105.0), (-20.0, -80.0), rules=CAREFUL, shop=FEW, thickness=3.0),
}
"""By name; a knife with fasteners and no lightening holes."""


@cache
def knife_of(name: str) -> Knife:
    """One of them, built once."""
    return TANGS[name]()
