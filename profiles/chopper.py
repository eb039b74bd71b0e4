"""Chopper: a heavy blade that deepens towards the front and drops to a broad tip, with its weight ahead of the hand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from bladegeom.curves.curve import Curve, Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.parameter import parameter
from bladegeom.outline.starting_sizes import StartingSizes
from bladegeom.outline.through import through

_FALL, _RISE = 1.5, 1.9
"""Slopes of the edge at the heel and at the tip, times those of the chords to its deepest place; own choice by eye."""


@dataclass(frozen=True, kw_only=True)
class Chopper(BladeHalf):
    """Chopper blade half."""

    blade_length: float = usual.blade_length(235.0, 170.0, 290.0)
    height: float = usual.height(33.0, 31.0, 42.0)
    depth: float = parameter(
        13.0,
        "mm",
        6.0,
        18.0,
        "deepest place of the edge below the heel",
        rule=lambda blade: "" if blade.depth > 0 else "be more than 0 mm",
    )
    front_height: float = usual.front_height(25.0, 20.0, 28.0)
    heel: float = usual.ricasso(15.0, 11.0, 30.0)
    choil_radius: float = usual.notch_radius(8.0, 4.0, 9.0)
    tip_drop: float = usual.tip_drop(16.0, 8.0, 26.0)
    spine_straight: float = usual.spine_drops_at(0.3, 0.1, 0.6)
    deep_at: float = parameter(
        0.68,
        "of the edge",
        0.6,
        0.76,
        "where the edge is deepest",
        rule=lambda blade: "" if 0.3 < blade.deep_at < 1 else "be more than 0.3 and less than 1",
    )

    starting_sizes: ClassVar[StartingSizes] = StartingSizes(
        thickness=5.5, bevel_height=28.0, edge_thickness=0.7, rough_edge=1.2, sharpen_deg=22.0, fasteners=3
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop

    def _edge(self) -> Curve:
        heel, tip = self._heel, self._tip
        deep = (self.heel + self.deep_at * (tip[0] - self.heel), -self.height - self.depth)
        fall = math.degrees(math.atan2(_FALL * self.depth, deep[0] - heel[0]))
        rise = math.degrees(math.atan2(_RISE * (tip[1] - deep[1]), tip[0] - deep[0]))
        return through([(*heel, -fall), (*deep, 0.0), (*tip, rise)])

    def _spine(self) -> Curve:
        return straight_then_bend((0.0, 0.0), self.spine_straight, self._tip, power=2.1)
