"""Recurve: the edge is hollow behind a full belly, so that it draws into what it cuts."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from bladegeom.curves.curve import Curve, Vector
from bladegeom.outline import blade_parameters as usual
from bladegeom.outline.blade import BladeHalf
from bladegeom.outline.flow import straight_then_bend
from bladegeom.outline.parameter import parameter
from bladegeom.outline.through import through

_RISE, _SWEEP = 1.9, 2.0
"""Slopes of the edge at the heel and at the tip, times those of the chords to the next place; own choice by eye."""


def _hollow_rule(blade: Any) -> str:
    return "" if 0 < blade.hollow < blade.height else f"be more than 0 mm and less than {blade.height:g} mm"


def _hollow_at_rule(blade: Any) -> str:
    fits = 0 < blade.hollow_at < blade.belly_at
    return "" if fits else f"be more than 0 and less than belly_at ({blade.belly_at:g})"


@dataclass(frozen=True, kw_only=True)
class Recurve(BladeHalf):
    """Recurve blade half."""

    # Out of the hollow into the belly.
    inflections: ClassVar[Mapping[str, int]] = {"edge": 1}

    blade_length: float = usual.blade_length(128.0, 105.0, 200.0)
    height: float = usual.height(30.0, 27.0, 37.0)
    front_height: float = usual.front_height(23.0, 16.0, 25.0)
    heel: float = usual.ricasso(10.0, 8.0, 25.0)
    choil_radius: float = usual.notch_radius(6.5, 4.0, 8.0)
    tip_drop: float = usual.tip_drop(8.0, 1.0, 16.0)
    spine_straight: float = usual.spine_drops_at(0.35, 0.1, 0.6)
    hollow: float = parameter(3.0, "mm", 1.5, 5.0, "edge above the heel in the hollow", rule=_hollow_rule)
    belly_depth: float = parameter(1.5, "mm", 0.0, 4.0, "deepest place of the belly below the heel")
    hollow_at: float = parameter(0.26, "of the edge", 0.2, 0.32, "where the edge is highest", rule=_hollow_at_rule)
    belly_at: float = parameter(
        0.66,
        "of the edge",
        0.6,
        0.7,
        "where the belly is deepest",
        rule=lambda blade: "" if blade.belly_at < 1 else "be less than 1",
    )

    @property
    def _tip(self) -> Vector:
        return self.blade_length, -self.tip_drop

    def _edge(self) -> Curve:
        heel, tip = self._heel, self._tip
        reach = tip[0] - heel[0]
        hollow = (heel[0] + self.hollow_at * reach, heel[1] + self.hollow)
        belly = (heel[0] + self.belly_at * reach, heel[1] - self.belly_depth)
        rise = math.degrees(math.atan2(_RISE * self.hollow, hollow[0] - heel[0]))
        sweep = math.degrees(math.atan2(_SWEEP * (tip[1] - belly[1]), tip[0] - belly[0]))
        return through([(*heel, rise), (*hollow, 0.0), (*belly, 0.0), (*tip, sweep)])

    def _spine(self) -> Curve:
        return straight_then_bend((0.0, 0.0), self.spine_straight, self._tip, power=2.2)
