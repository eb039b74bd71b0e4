"""What a printer makes of a solid: walls, floors and roofs of plastic alone, and a share of what lies between them."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from bladegeom.mockups.ballast import Balance
from bladegeom.mockups.body import QUARTER, Body, mesh_of, region_at
from bladegeom.mockups.printing import Printing
from bladegeom.solids.part import G_PER_MM3

_STEP: Final = 0.5
"""Between the planes at which the inside is asked, at most, mm."""


def printed_balance(solid: Body, printing: Printing) -> Balance:
    """What a piece weighs, and where it balances.

    Walls, floors and roofs are as thick as ``printing.wall``; what is thinner than two of them has no inside. Its
    share of plastic is ``printing.fill``.

    Args:
        solid: One piece.
        printing: How it is printed.
    """
    whole = mesh_of(solid).moments
    volume, moment = whole.amount, whole.amount * float(whole.centre[0])
    if printing.fill < 1.0:
        inside, inside_moment = _inside(solid, printing.wall)
        volume -= (1 - printing.fill) * inside
        moment -= (1 - printing.fill) * inside_moment
    return Balance(volume * printing.made_of.density_g_cm3 * G_PER_MM3, moment / volume)


def _inside(solid: Body, wall: float) -> tuple[float, float]:
    """Volume within walls, floors and roofs, and its moment along x, mm3 and mm4."""
    *_, low, _, _, high = solid.bounding_box()
    height = high - low - 2 * wall
    if height <= 0:
        return 0.0, 0.0
    count = math.ceil(height / _STEP)
    volume = moment = 0.0
    for z in (low + wall + height * (np.arange(count) + 0.5) / count).tolist():
        # Neither floor nor roof, and within the walls.
        open_to_both = region_at(solid, z - wall).intersection(region_at(solid, z + wall))
        region = open_to_both.buffer(-wall, quad_segs=QUARTER)
        if not region.is_empty:
            volume += region.area * height / count
            moment += region.area * region.centroid.x * height / count
    return volume, moment
